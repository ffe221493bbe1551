# SPDX-License-Identifier: GPL-2.0-or-later
"""What the dialog of the cutting diagram passes on. See `extension.dialog`."""

from __future__ import annotations

from argparse import ArgumentParser

from extension.dialog import common_parser


def diagram_parser() -> ArgumentParser:
    """Return the parser of the dialog of the cutting diagram."""
    parser = common_parser()
    parser.set_defaults(command="diagram", tab="results")
    parser.add_argument("--page", default="")
    parser.add_argument("--paper", default="a4")
    parser.add_argument("--scale", default="fit")
    return parser
