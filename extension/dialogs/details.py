# SPDX-License-Identifier: GPL-2.0-or-later
"""Set Cutting Details in the editor: a field that is empty leaves each piece as it is."""

from __future__ import annotations

from argparse import ArgumentParser

from extension.dialogs.menu_command import MenuCommand
from extension.operations.details import ALL, set_details

FIELDS = tuple(name.replace("-", "_") for name in ALL)
"""Fields of the dialog."""


class Details(MenuCommand):
    """Sets the details that are filled in on the selected pieces."""

    tab = "cutting"

    def add_arguments(self, pars: ArgumentParser) -> None:
        """Add the fields of the dialog."""
        super().add_arguments(pars)
        for field in FIELDS:
            pars.add_argument(f"--{field}", default="")

    def changes(self) -> dict[str, str]:
        """Return the details that were filled in, by their names."""
        typed = {field: str(getattr(self.options, field)).strip() for field in FIELDS}
        return {field.replace("_", "-"): text for field, text in typed.items() if text}

    def act(self) -> bytes:
        """Return the drawing with details set on the selected pieces."""
        outcome = set_details(self.drawing, self.ids, self.changes())
        self.done("\n".join(outcome.summary), may_be_far=False)
        return outcome.drawing
