# SPDX-License-Identifier: GPL-2.0-or-later
"""Cutting Diagram in the editor: which files are wanted, of which layouts."""

from __future__ import annotations

from argparse import ArgumentParser
from datetime import date

from extension.dialogs.fields import chosen_path
from extension.dialogs.menu_command import MenuCommand
from extension.operations.diagram import Look, Wanted, Watch, publish
from extension.svg.document import serialise


class Diagram(MenuCommand):
    """Writes the pages that are wanted of the selected layouts, all with none selected."""

    tab = "results"

    def add_arguments(self, pars: ArgumentParser) -> None:
        """Add the fields of the dialog."""
        super().add_arguments(pars)
        pars.add_argument("--page", default="")
        pars.add_argument("--pdf", default="")
        pars.add_argument("--full_size", default="")
        pars.add_argument("--tiles", default="no")
        pars.add_argument("--paper", default="a4")
        pars.add_argument("--scale", default="fit")

    def files(self) -> Wanted:
        """Return the files that were chosen.

        Raises OptionError, or DrawingError when one cannot be written to: before the work is done.
        """
        wanted = Wanted.named(
            chosen_path(self.options.page, "The web page"),
            chosen_path(self.options.pdf, "The PDF"),
            chosen_path(self.options.full_size, "The full-size page"),
        )
        wanted.check()
        return wanted

    def act(self) -> bytes:
        """Write the pages; return the drawing as it was."""
        wanted = self.files()

        def tell(text: str) -> None:
            self.host.talk.tell("progress", text, cancels=True)

        tiles = None if self.options.tiles == "no" else self.options.tiles
        look = Look(self.options.paper, self.options.scale, date.today(), tiles)
        watch = Watch(tell, self.host.stop)
        left = publish(self.drawing, self.selected_layouts(), look, wanted, watch)
        if left:
            self.msg("\n".join(left))
        files = (wanted.page, wanted.pdf, wanted.full_size)
        made = [f"\n{path}" for path in files if path is not None]
        self.done(f"written to{''.join(made)}", may_be_far=False)
        return serialise(self.drawing)
