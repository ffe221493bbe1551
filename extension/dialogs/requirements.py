# SPDX-License-Identifier: GPL-2.0-or-later
"""What the dialog of the table passes on, turned into options and files."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from extension.dialogs.dialog import added_allowance, chosen_path, common_parser, yes_or_no
from extension.operations.results import check_results
from extension.requirements_table.options import TableOptions, table_options


def requirements_parser() -> ArgumentParser:
    """Return the parser of the dialog of the table."""
    parser = common_parser()
    parser.set_defaults(command="requirements", tab="fabric")
    parser.add_argument("--widths", default="115 cm, 140 cm, 150 cm")
    parser.add_argument("--nap", default="both")
    parser.add_argument("--no_nap", default="")
    parser.add_argument("--selvedge", default="")
    parser.add_argument("--end_allowance", default="")
    parser.add_argument("--shrinkage", default="0 %")
    parser.add_argument("--round_up", default="auto")
    parser.add_argument("--sizes", default="all")
    parser.add_argument("--raise_sizes", type=yes_or_no, default=True)
    parser.add_argument("--gap", default="3 mm")
    parser.add_argument("--allowance_is", default="included")
    parser.add_argument("--allowance", default="1.5 cm")
    parser.add_argument("--lay_without_grain", type=yes_or_no, default=False)
    parser.add_argument("--page", default="")
    parser.add_argument("--csv", default="")
    parser.add_argument("--write_layouts", type=yes_or_no, default=False)
    parser.add_argument("--seconds", type=int, default=180)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--resume", default="")
    return parser


def requirements_options(values: Namespace) -> TableOptions:
    """Return the options of a table from what the dialog passed. Raises OptionError."""
    without = [f"{name}=without" for name in values.no_nap.split(",") if name.strip()]
    typed = {
        "widths": values.widths,
        "nap": "; ".join([values.nap, *without]),
        "selvedge": values.selvedge,
        "end_allowance": values.end_allowance,
        "shrinkage": values.shrinkage,
        "round_up": "" if values.round_up == "auto" else values.round_up,
        "sizes": values.sizes,
        "raise_sizes": "yes" if values.raise_sizes else "no",
        "gap": values.gap,
        "allowance": added_allowance(values),
        "no_grain": "lay" if values.lay_without_grain else "leave-out",
        "write_layouts": "yes" if values.write_layouts else "no",
        "seconds": str(values.seconds),
        "seed": str(values.seed),
    }
    return table_options(typed, values.ids)


def result_files(values: Namespace) -> tuple[Path | None, Path | None]:
    """Return the files for the page and the CSV.

    Raises OptionError, or DrawingError when one cannot be written to: before the work is done.
    """
    page = chosen_path(values.page, "The web page")
    csv = chosen_path(values.csv, "The spreadsheet")
    check_results("The table", [path for path in (page, csv) if path is not None])
    return page, csv
