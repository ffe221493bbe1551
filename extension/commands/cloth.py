# SPDX-License-Identifier: GPL-2.0-or-later
"""Arguments that tell of the cloth, the same for one layout and for a table."""

from __future__ import annotations

from argparse import ArgumentParser, _ArgumentGroup


def add_width_arguments(parser: ArgumentParser) -> None:
    """Add what a width is, and what comes off it."""
    group = parser.add_argument_group("what the width is")
    group.add_argument(
        "--width-is",
        metavar="booked|usable",
        default="",
        help="as on the bolt (default), or measured between the selvedges",
    )
    group.add_argument(
        "--selvedge",
        metavar="LENGTH",
        default="",
        help="off each side of a width as on the bolt, 12.5mm or 1/2in unless told",
    )


def add_sides_argument(group: _ArgumentGroup) -> None:
    """Add how the two layers of folded cloth face each other."""
    group.add_argument(
        "--sides",
        metavar="together|apart",
        default="",
        help="right sides of folded cloth, together unless told",
    )
