# SPDX-License-Identifier: GPL-2.0-or-later
"""Ottervane No. 11, a boxy shirt for checked cloth: five pieces, with match points.

Measures (invented): chest 1120 with its ease, length 690. Seams of 1 cm and hems are included. The
dots are buttons, and on the front and on the pocket the corner where the two meet.
"""

from __future__ import annotations

from functools import cache

from tests.helpers.drafting.box_block import Block
from tests.helpers.drafting.curves import Chain, length, line, named, rounded_below, sweep
from tests.helpers.drafting.draft import Draft, Notch
from tests.helpers.drafting.place import origin
from tests.helpers.drafting.sheet import Page, Sheet

BLOCK = Block(
    neck=82, shoulder=142, slope=46, chest=280, underarm=262, long=690,
    cap=118, sleeve=180, wrist=178,
)  # fmt: skip
BACK_NECK, FRONT_NECK = 22.0, 88.0
STAND, FACING = 20.0, 64.0
"""What lies beyond the centre front: the buttons' stand, then a facing that is turned in."""
SIDE_NOTCH, ARM_NOTCH = 300.0, 110.0
"""mm from the underarm down the side seam, and up the front armhole."""
POCKET = (118.0, 140.0)
AT_POCKET = 92 + 262j
"""Where the corner of the pocket nearest the centre lies on the front."""
SEAM, HEM = 10.0, 25.0
CENTRE = "centre on line across"


@cache
def front() -> Draft:
    """Left and right front with their facing turned in at the dashed line."""
    buttons = tuple(complex(0, FRONT_NECK + 12 + 105 * k) for k in range(5))
    stand = complex(-STAND, FRONT_NECK), complex(-STAND, BLOCK.long)
    return _piece(
        1, "Front", "cut 2", "2", BLOCK.half(FRONT_NECK, STAND + FACING),
        grain=(52 + 620j, 52 + 330j),
        lines=((line("turn-in", *stand),),),
        drills=(*buttons, AT_POCKET),
        notches=(Notch("side", SIDE_NOTCH), Notch("armhole", BLOCK.armhole - ARM_NOTCH)),
        match={
            "notch-1": "side along", "notch-2": "armhole along",
            "dot-1": CENTRE, "dot-6": "pocket",
        },
    )  # fmt: skip


@cache
def back() -> Draft:
    """Back, its centre on the fold."""
    return _piece(
        2, "Back", "cut 1 on the fold", "1", BLOCK.half(BACK_NECK),
        grain=(60 + 560j, 60 + 200j), fold="fold",
        notches=(Notch("side", SIDE_NOTCH),),
        match={"notch-1": "side along", "fold": CENTRE},
    )  # fmt: skip


@cache
def sleeve() -> Draft:
    """Short sleeve, its front half to the left."""
    half_cap = length(named(BLOCK.arm, "cap")) / 2.0
    return _piece(
        3, "Sleeve", "cut 2", "2", BLOCK.arm,
        grain=(0 + 250j, 0 + 60j),
        notches=(Notch("cap", half_cap + ARM_NOTCH), Notch("cap", half_cap - ARM_NOTCH, True)),
        match={"notch-1": "armhole along"},
    )  # fmt: skip


@cache
def pocket() -> Draft:
    """Patch pocket, one alone, on the left front."""
    return _piece(
        4, "Pocket", "cut 1", "1", rounded_below(*POCKET, 16.0),
        grain=(34 + 118j, 34 + 30j), text_size=12, drills=(12 + 12j,),
        match={"dot-1": "pocket"},
    )  # fmt: skip


@cache
def collar() -> Draft:
    """Half a collar, its centre back on the fold."""
    half = length((*named(front().seam, "neck"), *named(back().seam, "neck")))
    seam = (
        sweep("outer", 0j, 0.0, complex(half + 14, -12), 350.0),
        line("end", complex(half + 14, -12), complex(half - 6, 66)),
        sweep("neck", complex(half - 6, 66), 176.0, 78j, 180.0),
        line("fold", 78j, 0j),
    )
    return _piece(
        5, "Collar", "cut 2 on the fold", "2", seam, fold="fold", text_size=11,
        grain=(24 + 66j, 24 + 14j), match={"fold": CENTRE},
    )  # fmt: skip


def _piece(number: int, name: str, words: str, cut: str, seam: Chain, **more: object) -> Draft:
    """Return a piece of this shirt with its label."""
    return Draft(
        id=f"shirt-{name.lower()}",
        name=name,
        cut=cut,
        seam=seam,
        words=(name, words, f"No. 11 · {number} of 5"),
        usual=SEAM,
        allowance={"hem": HEM, "opening": HEM},
        **more,  # type: ignore[arg-type]
    )


@cache
def drafts() -> tuple[Draft, ...]:
    """All five pieces, in the order of their numbers."""
    return (front(), back(), sleeve(), pocket(), collar())


def sheet() -> Sheet:
    """The shirt on one sheet."""
    page = Sheet(Page(1290, 900), "Ottervane No. 11 · Checked shirt", "Five pieces, one size")
    page.heading(
        page.layer("Sheet heading"), 40 + 60j, 26,
        (
            "No. 11 · Checked shirt",
            "Ottervane, an invented label. Seams of 1 cm are included; checks match at the seams.",
        ),
    )  # fmt: skip
    layer = page.layer("Pattern pieces")
    for draft in drafts():
        page.draw(layer, draft, origin(draft, CORNERS[draft.id]))
    return page


CORNERS = {
    "shirt-front": 40 + 140j,
    "shirt-back": 470 + 140j,
    "shirt-sleeve": 810 + 140j,
    "shirt-pocket": 810 + 520j,
    "shirt-collar": 1000 + 520j,
}
