# SPDX-License-Identifier: GPL-2.0-or-later
"""Put Pages Together in the editor."""

from __future__ import annotations

from argparse import ArgumentParser

from extension.dialogs.fields import yes_or_no
from extension.dialogs.menu_command import MenuCommand
from extension.drawn.together import LABEL
from extension.operations.put_together import pages_options, put_together


class PutTogether(MenuCommand):
    """Makes one sheet of the pages of a pattern, and tells what needs a look."""

    tab = "pages"

    def add_arguments(self, pars: ArgumentParser) -> None:
        """Add the fields of the dialog."""
        super().add_arguments(pars)
        for name in ("rows", "columns", "overlap"):
            pars.add_argument(f"--{name}", default="auto")
        pars.add_argument("--scale_by_square", type=yes_or_no, default=False)

    def act(self) -> bytes:
        """Return the drawing with the sheet on a new layer."""
        given = self.options
        options = pages_options(
            given.rows, given.columns, given.overlap, self.ids, given.scale_by_square
        )
        outcome = put_together([self.drawing], options)
        if outcome.warnings:
            self.msg("\n\n".join(outcome.summary))
        self.done(f"the sheet is on the new layer “{LABEL}”, below all that was drawn before")
        return outcome.drawing
