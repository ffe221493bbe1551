# SPDX-License-Identifier: GPL-2.0-or-later
"""Read Pattern Markings in the editor."""

from __future__ import annotations

from argparse import ArgumentParser

from extension.dialogs.fields import yes_or_no
from extension.dialogs.menu_command import MenuCommand
from extension.operations.read_markings import read_markings

MOST_QUESTIONS = 6
"""How many questions a window shows; the review layer has them all."""


class ReadMarkings(MenuCommand):
    """Writes what is drawn on the pieces on them, and tells what to look at."""

    tab = "read"

    def add_arguments(self, pars: ArgumentParser) -> None:
        """Add the fields of the dialog."""
        super().add_arguments(pars)
        pars.add_argument("--overwrite", type=yes_or_no, default=False)
        pars.add_argument("--match_notches", type=yes_or_no, default=False)

    def act(self) -> bytes:
        """Return the drawing with what is drawn on the pieces written on them."""
        outcome = read_markings(
            self.drawing,
            overwrite=self.options.overwrite,
            match_notches=self.options.match_notches,
        )
        first, *questions = outcome.summary
        if questions:
            more = len(questions) - MOST_QUESTIONS
            rest = [f"{more} more stand in the list beside the drawing."] if more > 0 else []
            self.msg("\n\n".join([*questions[:MOST_QUESTIONS], *rest]))
        self.done(f"{first}\nIt is shown on the pieces, and listed to the left of the drawing")
        return outcome.drawing
