# SPDX-License-Identifier: GPL-2.0-or-later
"""Join Broken Lines in the editor."""

from __future__ import annotations

from argparse import ArgumentParser

from extension.dialogs.menu_command import MenuCommand
from extension.drawn.joined import LABEL
from extension.operations.join_lines import join_lines, join_options, nothing_joined


class JoinLines(MenuCommand):
    """Closes dashed or chopped outlines on a new layer, and tells what needs a look."""

    tab = "lines"

    def add_arguments(self, pars: ArgumentParser) -> None:
        """Add the field of the dialog."""
        super().add_arguments(pars)
        pars.add_argument("--tolerance", default="1 mm")

    def act(self) -> bytes:
        """Return the drawing with joined outlines on a new layer."""
        outcome = join_lines(self.drawing, join_options(self.options.tolerance, self.ids))
        if outcome.drawing is None:
            raise nothing_joined(outcome)
        if outcome.warnings:
            self.msg("\n\n".join(outcome.summary))
        self.done(f"closed outlines lie over your lines, on the layer “{LABEL}”.", may_be_far=False)
        return outcome.drawing
