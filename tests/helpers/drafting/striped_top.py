# SPDX-License-Identifier: GPL-2.0-or-later
"""Ottervane No. 12, a top for cloth in uneven stripes: five pieces, with match points.

Measures (invented child, height 128): chest 780 with its ease, length 500. Seams of 1 cm and hems
are included. The stripes are meant to run across the cloth, round the wearer.
"""

from __future__ import annotations

from functools import cache

from tests.helpers.drafting.box_block import Block
from tests.helpers.drafting.curves import Chain, length, named, polyline, rounded_below
from tests.helpers.drafting.draft import Draft, Notch
from tests.helpers.drafting.place import origin
from tests.helpers.drafting.sheet import Page, Sheet

BLOCK = Block(
    neck=70, shoulder=96, slope=30, chest=195, underarm=190, long=500,
    cap=92, sleeve=250, wrist=105,
)  # fmt: skip
BACK_NECK, FRONT_NECK = 18.0, 62.0
SIDE_NOTCH, ARM_NOTCH = 190.0, 80.0
"""mm from the underarm down the side seam, and up the front armhole."""
SEAM, HEM = 10.0, 20.0
AT_POCKET = 62 + 238j


@cache
def front() -> Draft:
    """Front, its centre on the fold."""
    return _piece(
        1, "Front", "cut 1 on the fold", "1", BLOCK.half(FRONT_NECK),
        grain=(40 + 450j, 40 + 130j), fold="fold", drills=(AT_POCKET,),
        notches=(Notch("side", SIDE_NOTCH), Notch("armhole", BLOCK.armhole - ARM_NOTCH)),
        match={"notch-1": "side along", "notch-2": "armhole along", "dot-1": "pocket along"},
    )  # fmt: skip


@cache
def back() -> Draft:
    """Back, its centre on the fold."""
    return _piece(
        2, "Back", "cut 1 on the fold", "1", BLOCK.half(BACK_NECK),
        grain=(40 + 450j, 40 + 130j), fold="fold",
        notches=(Notch("side", SIDE_NOTCH),), match={"notch-1": "side along"},
    )  # fmt: skip


@cache
def sleeve() -> Draft:
    """Long sleeve, its front half to the left."""
    half_cap = length(named(BLOCK.arm, "cap")) / 2.0
    return _piece(
        3, "Sleeve", "cut 2", "2", BLOCK.arm,
        grain=(0 + 300j, 0 + 60j),
        notches=(Notch("cap", half_cap + ARM_NOTCH), Notch("cap", half_cap - ARM_NOTCH, True)),
        match={"notch-1": "armhole along"},
    )  # fmt: skip


@cache
def pocket() -> Draft:
    """Patch pocket."""
    return _piece(
        4, "Pocket", "cut 1", "1", rounded_below(96.0, 108.0, 26.0),
        grain=(26 + 88j, 26 + 24j), text_size=10, drills=(12 + 12j,),
        match={"dot-1": "pocket along"},
    )  # fmt: skip


@cache
def neckband() -> Draft:
    """Band round the neck, cut across: it is a tenth shorter than the neck and stretched on."""
    neck = length((*named(front().seam, "neck"), *named(back().seam, "neck")))
    long = 0.9 * 2.0 * neck
    corners = (0j, complex(long, 0), complex(long, 40), 40j, 0j)
    return _piece(
        5, "Neckband", "cut 1", "1", polyline(("edge", "end", "edge", "end"), corners),
        grain=(complex(long * 0.1, 42), complex(long * 0.1, -2)), text_size=11,
    )  # fmt: skip


def _piece(number: int, name: str, words: str, cut: str, seam: Chain, **more: object) -> Draft:
    """Return a piece of this top with its label."""
    return Draft(
        id=f"top-{name.lower()}",
        name=name,
        cut=cut,
        seam=seam,
        words=(name, words, f"No. 12 · {number} of 5"),
        usual=SEAM,
        allowance={"hem": HEM, "opening": HEM},
        **more,  # type: ignore[arg-type]
    )


@cache
def drafts() -> tuple[Draft, ...]:
    """All five pieces, in the order of their numbers."""
    return (front(), back(), sleeve(), pocket(), neckband())


def sheet() -> Sheet:
    """The top on one sheet."""
    page = Sheet(Page(1040, 720), "Ottervane No. 12 · Striped top", "Five pieces, one size")
    page.heading(
        page.layer("Sheet heading"), 40 + 60j, 26,
        (
            "No. 12 · Striped top",
            "Ottervane, an invented label. Seams of 1 cm are included; stripes run round.",
        ),
    )  # fmt: skip
    layer = page.layer("Pattern pieces")
    for draft in drafts():
        page.draw(layer, draft, origin(draft, CORNERS[draft.id]))
    return page


CORNERS = {
    "top-front": 40 + 140j,
    "top-back": 280 + 140j,
    "top-sleeve": 520 + 140j,
    "top-pocket": 880 + 140j,
    "top-neckband": 520 + 580j,
}
