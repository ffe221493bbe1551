# SPDX-License-Identifier: GPL-2.0-or-later
"""What the dialog of the cutting diagram passes on. See `extension.dialogs.dialog`."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from extension.dialogs.dialog import chosen_path, common_parser
from extension.operations.diagram import Wanted


def diagram_parser() -> ArgumentParser:
    """Return the parser of the dialog of the cutting diagram."""
    parser = common_parser()
    parser.set_defaults(command="diagram", tab="results")
    parser.add_argument("--page", default="")
    parser.add_argument("--pdf", default="")
    parser.add_argument("--full_size", default="")
    parser.add_argument("--paper", default="a4")
    parser.add_argument("--scale", default="fit")
    return parser


def diagram_files(values: Namespace) -> Wanted:
    """Return the files that were chosen.

    Raises OptionError, or DrawingError when one cannot be written to: before the work is done.
    """
    wanted = Wanted(
        chosen_path(values.page, "The web page"),
        chosen_path(values.pdf, "The PDF"),
        chosen_path(values.full_size, "The full-size page"),
    )
    wanted.check()
    return wanted
