# SPDX-License-Identifier: GPL-2.0-or-later
"""Ottervane No. 3, a child's lined jacket: 15 pieces, 28 parts from main cloth and lining.

Measures (invented child, height 110): chest 580, neck 285, shoulder 90, arm 400, upper arm 185.
The jacket: 370 round half the chest, 420 long, two-piece sleeves, flat collar, patch pockets.
"""

from __future__ import annotations

from functools import cache

from tests.helpers.drafting.curves import (
    Chain,
    Edge,
    backwards,
    length,
    line,
    named,
    renamed,
    rounded,
    rounded_below,
    split,
    sweep,
)
from tests.helpers.drafting.draft import Draft, Notch
from tests.helpers.drafting.jacket_block import (
    BACK_NECK,
    FACING_SHARE,
    FRONT_NECK,
    PLEAT,
    back_facing_line,
    back_seam,
    collar_seam,
    facing_line,
    front_seam,
    neck_to_centre,
    sleeve,
)
from tests.helpers.drafting.place import rows
from tests.helpers.drafting.sheet import Page, Sheet

SEAM = 10.0
SLEEVE_HEMS = {"hem": 35.0}
"""The lower edge of the body is bagged out with a plain seam; the sleeves are hemmed."""
SLEEVE_LINING_HEMS = {"hem": 15.0}


def _piece(
    number: int, name: str, words: str, cut: str, seam: Chain, *, grain: tuple[complex, complex],
    size: float = 15.0, **more: object,
) -> Draft:  # fmt: skip
    """Return a piece of this jacket with its usual allowance and label."""
    return Draft(
        id=name.lower().replace(" ", "-"),
        name=name,
        cut=cut,
        seam=seam,
        words=(name, words, f"No. 3 · 110 · {number} of 15"),
        text_size=size,
        grain=grain,
        usual=SEAM,
        **more,  # type: ignore[arg-type]
    )


def front() -> Draft:
    """Front, with the place of the pocket and the buttonholes."""
    pocket_top = (line("pocket", 62 + 262j, 162 + 258j),)
    buttonholes = tuple((line("buttonhole", at, at + 20),) for at in _buttons())
    return _piece(
        1, "Front", "cut 2 main", "2 main", front_seam(),
        grain=(30 + 375j, 30 + 105j),
        notches=(Notch("armhole", _front_notch()), Notch("side", 90)),
        lines=(pocket_top, *buttonholes),
    )  # fmt: skip


def back() -> Draft:
    """Back, on the fold."""
    return _piece(
        2, "Back", "cut 1 main on fold", "1 main", back_seam(),
        grain=(44 + 380j, 44 + 70j),
        fold="fold",
        notches=(Notch("armhole", _back_notch(), double=True), Notch("side", 90)),
    )  # fmt: skip


def sleeves(lining: bool) -> tuple[Draft, Draft]:
    """Top and under sleeve; those of the lining have a shorter hem."""
    drawn, kind = sleeve(), " lining" if lining else ""
    cloth = "lining" if lining else "main"
    allowance = SLEEVE_LINING_HEMS if lining else SLEEVE_HEMS
    first = 14 if lining else 3
    whole_cap = length(named(drawn.top, "cap"))
    top = _piece(
        first, f"Top sleeve{kind}", f"cut 2 {cloth}", f"2 {cloth}", drawn.top,
        grain=drawn.grain,
        allowance=allowance,
        notches=(
            Notch("cap", drawn.apex_at),
            Notch("cap", whole_cap - (FRONT_NOTCH - drawn.front_under)),
            Notch("cap", BACK_NOTCH - drawn.back_under, double=True),
        ),
    )  # fmt: skip
    under = _piece(
        first + 1, f"Under sleeve{kind}", f"cut 2 {cloth}", f"2 {cloth}", drawn.under,
        grain=(drawn.grain[0], drawn.grain[1] + 60j),
        allowance=allowance,
        notches=(Notch("cap", drawn.back_under),),
    )  # fmt: skip
    return top, under


FRONT_NOTCH = 98.0
"""mm along the armhole from the underarm, on front and sleeve alike."""
BACK_NOTCH = 104.0


def _front_notch() -> float:
    return length(named(front_seam(), "armhole")) - FRONT_NOTCH


def _back_notch() -> float:
    return length(named(back_seam(), "armhole")) - BACK_NOTCH


def _buttons() -> tuple[complex, ...]:
    return tuple(complex(-12, y) for y in (90.0, 168.0, 246.0, 324.0))


def collars() -> tuple[Draft, Draft]:
    """Top collar on the fold; under collar in two halves on the bias, 2 mm shallower."""
    neck = neck_to_centre()
    seam = collar_seam(neck)
    shoulder = Notch("neck", neck - length(named(back_seam(), "neck")))
    top = _piece(
        5, "Top collar", "cut 1 main on the fold", "1 main", seam,
        grain=(28 + 56j, 28 + 10j), size=12.0, fold="fold", notches=(shoulder,),
    )  # fmt: skip
    under = _piece(
        6, "Under collar", "cut 2 main on the bias", "2 main", renamed_fold(seam),
        grain=(22 + 52j, 62 + 12j), size=12.0, allowance={"outer": SEAM - 2.0},
        notches=(shoulder,),
    )  # fmt: skip
    return top, under


def renamed_fold(seam: Chain) -> Chain:
    """Return a half piece with a centre seam where the other has its fold."""
    return tuple(Edge("centre", edge.points) if edge.name == "fold" else edge for edge in seam)


def facings() -> tuple[Draft, Draft]:
    """Front facing, and the back neck facing on the fold."""
    seam, shoulder_end = front_seam(), facing_line()[0].start
    hem = split(named(seam, "hem")[0], FACING_SHARE)[1]
    front_facing = (
        *named(seam, "neck"),
        line("shoulder", FRONT_NECK, shoulder_end),
        *facing_line(),
        hem,
        *named(seam, "front-edge"),
    )
    back_facing = (
        *named(back_seam(), "neck"),
        line("shoulder", BACK_NECK, back_facing_line()[0].end),
        *backwards(back_facing_line()),
        line("fold", back_facing_line()[0].start, 0j),
    )
    return (
        _piece(
            7, "Front facing", "cut 2 main", "2 main", front_facing,
            grain=(20 + 390j, 20 + 170j), size=12.0, notches=(Notch("facing", 150),),
        ),
        _piece(
            8, "Neck facing", "cut 1 main on fold", "1 main", back_facing,
            grain=(13 + 40j, 13 + 5j), size=9.0, fold="fold",
        ),
    )  # fmt: skip


def pocket() -> Draft:
    """Patch pocket, rounded below."""
    seam = rounded_below(104.0, 118.0, 30.0)
    return _piece(
        9, "Pocket", "cut 2 main", "2 main", seam,
        grain=(16 + 88j, 16 + 12j), size=12.0, allowance={"opening": 25.0},
    )  # fmt: skip


def flap() -> Draft:
    """Pocket flap, its lower edge bowed."""
    seam = (
        line("top", 0j, 110 + 0j),
        line("edge", 110 + 0j, 110 + 28j),
        sweep("edge", 110 + 28j, 90.0, 92 + 46j, 174.0),
        sweep("edge", 92 + 46j, 174.0, 18 + 46j, 186.0),
        sweep("edge", 18 + 46j, 186.0, 0 + 28j, 270.0),
        line("edge", 0 + 28j, 0j),
    )
    return _piece(
        10, "Pocket flap", "cut 2 main, 2 lining", "2 main; 2 lining", seam,
        grain=(12 + 36j, 12 + 6j), size=10.0,
    )  # fmt: skip


def belt() -> Draft:
    """Half belt across the back, doubled: two whole pieces, both cut on the fold."""
    end = rounded("edge", 104 + 0j, 0j, 104 + 44j, 22.0)
    low = rounded("edge", 104 + 44j, 104 + 0j, 44j, 22.0)
    seam = (
        line("edge", 0j, end.start),
        end,
        low,
        line("edge", low.end, 44j),
        line("fold", 44j, 0j),
    )
    return _piece(
        11, "Back belt", "cut 2 main on the fold", "2 main", seam,
        grain=(18 + 38j, 18 + 6j), size=9.0, fold="fold", drills=(92 + 22j,),
    )  # fmt: skip


def linings() -> tuple[Draft, Draft]:
    """Front and back lining: what the facings leave, with a pleat down the centre back."""
    seam = front_seam()
    tip = named(seam, "shoulder")[0].end
    hem = split(named(seam, "hem")[0], FACING_SHARE)[0]
    front_lining = (
        line("shoulder", facing_line()[0].start, tip),
        *named(seam, "armhole"),
        *named(seam, "side"),
        hem,
        *backwards(facing_line()),
    )
    rear = back_seam()
    neck, foot = back_facing_line()[0], named(rear, "hem")[0].end
    back_lining = (
        line("pleat", neck.start - PLEAT, neck.start),
        *renamed((neck,), "facing"),
        line("shoulder", neck.end, named(rear, "shoulder")[0].end),
        *named(rear, "armhole"),
        *named(rear, "side"),
        *named(rear, "hem"),
        line("hem", foot, foot - PLEAT),
        line("fold", foot - PLEAT, neck.start - PLEAT),
    )
    return (
        _piece(
            12, "Front lining", "cut 2 lining", "2 lining", front_lining,
            grain=(112 + 330j, 112 + 90j), size=12.0,
            notches=(
                Notch("armhole", _front_notch()),
                Notch("side", 90),
                Notch("facing", length(facing_line()) - 150),
            ),
        ),
        _piece(
            13, "Back lining", "cut 1 lining on the fold", "1 lining", back_lining,
            grain=(30 + 380j, 30 + 110j), fold="fold",
            notches=(Notch("armhole", _back_notch(), double=True), Notch("side", 90)),
        ),
    )  # fmt: skip


@cache
def drafts() -> tuple[Draft, ...]:
    """All 15 pieces, in the order of their numbers."""
    return (
        front(),
        back(),
        *sleeves(lining=False),
        *collars(),
        *facings(),
        pocket(),
        flap(),
        belt(),
        *linings(),
        *sleeves(lining=True),
    )


def sheet() -> Sheet:
    """The jacket on one sheet: main cloth above, lining below."""
    page = Sheet(Page(1150, 1330), "Ottervane No. 3 · Lined jacket", "A child's jacket, 110")
    heading = page.layer("Sheet heading")
    page.heading(
        heading, 40 + 60j, 26,
        (
            "No. 3 · Lined jacket, height 110",
            "Ottervane, an invented label. Seam allowance 1 cm is included; dashed = stitching.",
        ),
    )  # fmt: skip
    one = {draft.id: draft for draft in drafts()}
    table = [[one[name] for name in row] for row in ROWS]
    main, lining = page.layer("Main cloth"), page.layer("Lining")
    for draft, at in rows(table, 40 + 130j, 26.0):
        page.draw(lining if draft.id.endswith("-lining") else main, draft, at)
    return page


ROWS = (
    ("front", "back", "top-sleeve", "under-sleeve", "front-facing"),
    ("top-collar", "under-collar", "neck-facing", "pocket", "pocket-flap", "back-belt"),
    ("front-lining", "back-lining", "top-sleeve-lining", "under-sleeve-lining"),
)
"""How the pieces stand on the sheet."""
