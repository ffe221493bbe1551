# SPDX-License-Identifier: GPL-2.0-or-later
"""Arguments that are the same for one layout and for a table: of the cloth, and of the pieces."""

from __future__ import annotations

from argparse import ArgumentParser, _ArgumentGroup

TYPED = (
    "width_is",
    "selvedge",
    "sides",
    "gap",
    "round_up",
    "end_allowance",
    "shrinkage",
    "shrinkage_across",
    "allowance",
    "no_grain",
    "seconds",
    "rounds",
    "seed",
    "workers",
)
"""What both commands hand over as typed: the options judge it, in one sentence each."""


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


def add_design_arguments(group: _ArgumentGroup) -> None:
    """Add the design of the cloth: its repeat, and how its dominant lines lie."""
    group.add_argument(
        "--repeat",
        metavar="along=LENGTH,across=LENGTH",
        default="",
        help="of stripes, checks or a print; by material: main=along=8cm,across=6cm; linings and "
        "interfacings have none unless named",
    )
    for name, words in (
        ("--uneven", "the design is not the same both ways from a dominant line"),
        ("--half-drop", "every second repeat across begins half a repeat farther along"),
    ):
        group.add_argument(name, metavar="yes|no", nargs="?", default="", const="yes", help=words)
    group.add_argument(
        "--first-line",
        metavar="LENGTH",
        default="",
        help="from where the usable width begins at the lower selvedge to the first dominant line "
        "along the cloth, 0 unless told",
    )


def add_border_argument(group: _ArgumentGroup) -> None:
    """Add the border of the cloth."""
    group.add_argument(
        "--border",
        metavar="[MATERIAL=][lower|upper|both ]FROM,TO",
        default="",
        help="a strip of the cloth along a selvedge, the lower one unless told, from where the "
        "usable width begins: 0cm,12cm; what asks for it (lay:border) lies with that edge at FROM",
    )


def add_price_argument(group: _ArgumentGroup) -> None:
    """Add what a metre or yard costs."""
    group.add_argument(
        "--price",
        metavar="[MATERIAL=]PRICE,…",
        default="",
        help="of a metre or yard, by the unit of the width: main=12.50,lining=6",
    )


def add_buying_arguments(group: _ArgumentGroup) -> None:
    """Add what lies between parts, and what is bought beyond the length they need."""
    group.add_argument("--gap", default="", help="between parts, 3mm unless told")
    group.add_argument("--round-up", metavar="1/8yd|5cm|10cm|none", default="")
    group.add_argument(
        "--end-allowance",
        metavar="LENGTH",
        default="",
        help="added in all for uneven ends, 5cm or 2in unless told; 0cm for none",
    )
    group.add_argument(
        "--shrinkage", metavar="PERCENT", default="", help="lost in the wash along the cloth"
    )
    group.add_argument(
        "--shrinkage-across",
        metavar="PERCENT",
        default="",
        help="the same across it: less of the width can be used",
    )


def add_reading_arguments(group: _ArgumentGroup) -> None:
    """Add which pieces are read, and how."""
    group.add_argument("--select", metavar="ID", nargs="+", action="extend", default=[])
    group.add_argument(
        "--allowance", metavar="included|LENGTH", default="", help="seam allowance to add"
    )
    group.add_argument("--no-grain", metavar="lay|leave-out", default="")
