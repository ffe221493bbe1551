# SPDX-License-Identifier: GPL-2.0-or-later
"""Ottervane No. 1, a kitchen apron with a bib: four pieces, hems and seams included.

Measures (invented, one size): length 860, bib 280 wide, skirt of the apron 760 wide.
"""

from __future__ import annotations

from functools import cache

from tests.helpers.drafting.curves import line, polyline, rounded, rounded_below, sweep
from tests.helpers.drafting.draft import Draft, Notch
from tests.helpers.drafting.sheet import Page, Sheet

LENGTH = 860.0
BIB = 140.0
HALF_WIDTH = 380.0
ARMHOLE = 330.0
HEM_CORNER = 60.0


def body() -> Draft:
    """Half the apron, its centre front on the fold at the left."""
    corner = complex(HALF_WIDTH, LENGTH)
    hem_end, side_end = complex(0, LENGTH), complex(HALF_WIDTH, ARMHOLE)
    turn = rounded("hem", corner, side_end, hem_end, HEM_CORNER)
    seam = (
        line("bib", 0j, complex(BIB, 0)),
        sweep("armhole", complex(BIB, 0), 78.0, side_end, 18.0, 1.05),
        line("side", side_end, turn.start),
        turn,
        line("hem", turn.end, hem_end),
        line("fold", hem_end, 0j),
    )
    return Draft(
        id="apron-body",
        name="Apron body",
        cut="1",
        seam=seam,
        words=("Apron body", "cut 1 on the fold", "No. 1 · piece 1 of 4"),
        text_size=22,
        grain=(62 + 770j, 62 + 110j),
        fold="fold",
        notches=(Notch("side", 14),),
        drills=(112 + 470j, 312 + 470j),
    )


def pocket() -> Draft:
    """The patch pocket: rounded below, its upper edge turned in along the dashed line."""
    width = 200.0
    seam = rounded_below(width, 230.0, 45.0)
    return Draft(
        id="apron-pocket",
        name="Pocket",
        cut="2",
        seam=seam,
        words=("Pocket", "cut 2", "piece 2 of 4"),
        text_size=20,
        grain=(34 + 190j, 34 + 48j),
        lines=((line("turn-in", 0 + 30j, complex(width, 30)),),),
    )


def strip(name: str, title: str, cut: str, number: int, width: float, length: float) -> Draft:
    """A straight strip along the grain: neck strap or waist tie."""
    corners = (0j, complex(width, 0), complex(width, length), complex(0, length), 0j)
    return Draft(
        id=name,
        name=title,
        cut=cut,
        seam=polyline(("end", "side", "end", "side"), corners),
        words=(title, f"cut {cut}", f"piece {number} of 4"),
        text_size=13,
        grain=(complex(width / 2, length * 0.88), complex(width / 2, length * 0.4)),
    )


@cache
def drafts() -> tuple[Draft, ...]:
    """All pieces of the apron."""
    return (
        body(),
        pocket(),
        strip("apron-strap", "Neck strap", "1", 3, 90, 620),
        strip("apron-tie", "Waist tie", "2", 4, 90, 860),
    )


def sheet() -> Sheet:
    """The apron on one page, in millimetres."""
    page = Sheet(Page(900, 1040), "Ottervane No. 1 · Kitchen apron", "Four pieces, one size")
    pieces = page.layer("Pattern pieces")
    places = (40 + 140j, 460 + 140j, 680 + 140j, 790 + 140j)
    for draft, at in zip(drafts(), places, strict=True):
        page.draw(pieces, draft, at)
    notes = page.layer("Sheet heading")
    page.heading(
        notes, 40 + 65j, 26,
        ("No. 1 · Kitchen apron", "Ottervane, an invented label. Hems and seams are included."),
    )  # fmt: skip
    return page
