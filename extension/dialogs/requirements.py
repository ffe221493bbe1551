# SPDX-License-Identifier: GPL-2.0-or-later
"""Fabric Requirements in the editor: from the dialog to the options of a table and its files."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path

from extension.dialogs.fields import (
    add_cloth_fields,
    add_design_fields,
    add_fold_fields,
    chosen_path,
    cloth_options,
    design_options,
    fold_options,
    yes_or_no,
)
from extension.dialogs.menu_command import MenuCommand
from extension.operations.requirements import fabric_requirements
from extension.operations.results import CSV, TEXT, WEB, check_results, with_ending
from extension.requirements_table.crews import crew_of
from extension.requirements_table.kept import Shelf
from extension.requirements_table.options import LONGER, PAPERS, TableOptions, table_options
from extension.requirements_table.publisher import about_rough
from extension.requirements_table.work import Run, TableProgress
from extension.svg.document import write_atomically


class Requirements(MenuCommand):
    """Draws the table of fabric requirements, and writes the files that are wanted."""

    tab = "fabric"

    def add_arguments(self, pars: ArgumentParser) -> None:
        """Add the fields of the dialog."""
        super().add_arguments(pars)
        pars.add_argument("--widths", default="115 cm, 140 cm, 150 cm")
        pars.add_argument("--nap", default="both")
        pars.add_argument("--no_nap", default="")
        pars.add_argument("--spread", default=LONGER)
        add_fold_fields(pars)
        add_design_fields(pars)
        pars.add_argument("--border", default="")
        pars.add_argument("--sizes", default="all")
        pars.add_argument("--raise_sizes", type=yes_or_no, default=True)
        add_cloth_fields(pars)
        pars.add_argument("--price", default="")
        pars.add_argument("--page", default="")
        pars.add_argument("--csv", default="")
        pars.add_argument("--text", default="")
        pars.add_argument("--paper", default=PAPERS[0])
        pars.add_argument("--locale", default="en")
        pars.add_argument("--merge_widths", default="")
        pars.add_argument("--write_layouts", type=yes_or_no, default=False)
        pars.add_argument("--seconds", type=int, default=180)
        pars.add_argument("--resume", default="")

    def wanted(self) -> TableOptions:
        """Return the options of the table. Raises OptionError."""
        values = self.options
        without = [f"{name}=without" for name in values.no_nap.split(",") if name.strip()]
        typed = {
            "widths": values.widths,
            "nap": "; ".join([values.nap, *without]),
            **fold_options(values),
            **design_options(values),
            "border": values.border,
            "price": values.price,
            "sizes": values.sizes,
            "raise_sizes": "yes" if values.raise_sizes else "no",
            "write_layouts": "yes" if values.write_layouts else "no",
            **{name: getattr(values, name) for name in ("paper", "locale", "merge_widths")},
            **cloth_options(values),
        }
        return table_options(typed, self.ids)

    def files(self) -> tuple[Path | None, ...]:
        """Return the files for the page, the CSV and the text.

        Raises OptionError, or DrawingError when one cannot be written to: before the work is done.
        """
        files = (
            with_ending(chosen_path(self.options.page, "The web page"), WEB),
            with_ending(chosen_path(self.options.csv, "The spreadsheet"), CSV),
            with_ending(chosen_path(self.options.text, "The text"), TEXT),
        )
        check_results("The table", zip(files, (WEB, CSV, TEXT), strict=True))
        return files

    def act(self) -> bytes:
        """Return the drawing with the table; write the files."""
        options, files = self.wanted(), self.files()
        shelf = Shelf(chosen_path(self.options.resume, "The folder for finished lengths"))

        def tell(now: TableProgress) -> None:
            limit = None if now.limit is None else (max(now.limit - now.seconds, 0.0), now.limit)
            self.host.talk.tell("progress", now.text, now.share, limit=limit)

        with crew_of(options.base.workers, "") as crew:
            run = Run(self.host.clock, self.host.stop, tell)
            outcome = fabric_requirements(self.drawing, options, run, crew, shelf)
        texts = (outcome.page, outcome.csv, outcome.block)
        for path, text in zip(files, texts, strict=True):
            if path is not None:
                write_atomically(text.encode(), path)
        for sentence in about_rough(outcome.table):
            self.hint(sentence)
        saved = [f"\nSaved as {path}" for path in files if path is not None]
        self.done(f"the table is on a new layer {outcome.where}{''.join(saved)}")
        return outcome.drawing
