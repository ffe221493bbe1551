# SPDX-License-Identifier: GPL-2.0-or-later
"""Ottervane No. 2, a wrap skirt: seven pieces from main cloth, lining and interfacing.

Measures (invented): waist 740, hip 980, length 650. Drawn without seam allowance: every piece says
how much is to be added (1.5 cm). The wrap front is drawn with its edge at the left.
"""

from __future__ import annotations

from functools import cache

from tests.helpers.drafting.curves import (
    Chain,
    length,
    line,
    moved,
    named,
    outward,
    polyline,
    position,
    rounded,
    smooth,
    spot_on,
    sweep,
)
from tests.helpers.drafting.draft import Draft, Notch
from tests.helpers.drafting.place import origin
from tests.helpers.drafting.sheet import Page, Sheet

LENGTH = 650.0
BAND = 72.0
"""Width of the waistband before it is folded lengthwise."""
DART, DART_LENGTH = 24.0, 125.0
FACING = 62.0
WRAP = 205.0
"""From the centre front to the edge of the wrap."""
CORNER = 230.0
"""How far the lower corner of the wrap is rounded off."""
ALLOWANCE = "15mm"


@cache
def side_seam() -> Chain:
    """The side seam from waist to hem, its top at the origin: the same for front and back."""
    return smooth("side", (0j, 44 + 205j, 92 + 652j), 68.0, 83.0)


@cache
def back_seam() -> Chain:
    """Half the back, centre back on the fold at x = 0."""
    waist_side = complex(208, -14)
    side = moved(side_seam(), lambda point: point + waist_side)
    return (
        sweep("waist", 8j, 0.0, waist_side, 350.0),
        *side,
        sweep("hem", side[-1].end, 174.0, complex(0, LENGTH + 8), 180.0),
        line("fold", complex(0, LENGTH + 8), 8j),
    )


@cache
def front_seam() -> Chain:
    """The wrap front, centre front at x = 0."""
    waist_side = complex(204, -14)
    side = moved(side_seam(), lambda point: point + waist_side)
    bottom, top = complex(-WRAP, LENGTH + 10), complex(-WRAP, 14)
    corner = rounded("edge", bottom, bottom + 300, top, CORNER)
    return (
        *smooth("waist", (top, 10j, waist_side), 0.0, 350.0),
        *side,
        sweep("hem", side[-1].end, 174.0, corner.start, 180.0),
        corner,
        line("edge", corner.end, top),
    )


def dart(chain: Chain, at: float) -> tuple[complex, complex, complex]:
    """Return a dart at `at` mm along an edge, square to it."""
    first, last = (spot_on(chain, at + half) for half in (-DART / 2.0, DART / 2.0))
    middle, share = spot_on(chain, at)
    apex = position(middle, share) - DART_LENGTH * outward(middle, share)
    return position(*first), apex, position(*last)


def back() -> Draft:
    """Back, on the fold, with a waist dart; the lining is cut by the same piece."""
    return _piece(
        1, "Back", "cut 1 main, 1 lining\non fold", "1 main; 1 lining", back_seam(),
        grain=(60 + 600j, 60 + 120j), fold="fold", text_size=18,
        darts=(dart(named(back_seam(), "waist"), 108.0),),
        notches=(Notch("side", 200, double=True),),
    )  # fmt: skip


def front() -> Draft:
    """Wrap front with its dart and the line of the centre front."""
    waist = named(front_seam(), "waist")
    centre = (line("centre front", 40j, complex(0, LENGTH - 30)),)
    return _piece(
        2, "Wrap front", "cut 2 main, 2 lining", "2 main; 2 lining", front_seam(),
        grain=(-140 + 420j, -140 + 110j), text_size=18,
        darts=(dart(waist, length(waist) - 96.0),),
        lines=(centre,),
        notches=(Notch("side", 200), Notch("waist", WRAP)),
    )  # fmt: skip


def facing() -> Draft:
    """Facing of the wrap's edge, round its lower corner."""
    edges = named(front_seam(), "edge")
    corner, straight = edges
    inner_corner = complex(-WRAP + FACING, LENGTH + 10 - FACING)
    turn = rounded("inner", inner_corner, inner_corner - 300j, inner_corner + 300, CORNER - FACING)
    top = complex(-WRAP + FACING, straight.end.imag - 1.0)
    seam = (
        line("waist", straight.end, top),
        line("inner", top, turn.start),
        turn,
        line("hem", turn.end, corner.start),
        corner,
        straight,
    )
    return _piece(
        3, "Wrap facing", "2 main, 2 interf.", "2 main; 2 interfacing", seam,
        grain=(complex(-WRAP + 31, 400), complex(-WRAP + 31, 150)), text_size=11,
        notches=(Notch("inner", 240),),
    )  # fmt: skip


def band(name: str, number: int, words: str, cut: str, long: float, fold: bool) -> Draft:
    """A waistband part of `long` mm, folded lengthwise in wear at the notch of its end."""
    corners = (0j, complex(BAND, 0), complex(BAND, long), complex(0, long), 0j)
    names = ("fold" if fold else "end", "waist", "end", "edge")
    return _piece(
        number, name, words, cut, polyline(names, corners),
        grain=(complex(BAND * 0.78, long * 0.9), complex(BAND * 0.78, long * 0.62)),
        text_size=10, fold="fold" if fold else None,
        notches=(Notch("end", BAND / 2.0),),
    )  # fmt: skip


def back_band() -> Draft:
    """Back waistband: as long as the back waist with its dart closed."""
    return band(
        "Back band", 4, "1 main, 1 interf.\non fold", "1 main; 1 interfacing", back_waist(), True
    )


def front_band() -> Draft:
    """Front waistband: as long as the waist of one wrap front with its dart closed."""
    waist = length(named(front_seam(), "waist")) - DART
    return band("Front band", 5, "2 main, 2 interf.", "2 main; 2 interfacing", waist, False)


def back_waist() -> float:
    """Half the back waist in mm, dart closed."""
    return length(named(back_seam(), "waist")) - DART


def tie() -> Draft:
    """The tie that closes the wrap, pointed at its end."""
    width, long = 64.0, 620.0
    seam = polyline(
        ("end", "side", "end", "side", "side"),
        (32 + 0j, complex(width, 40), complex(width, long), complex(0, long), 40j, 32 + 0j),
    )
    return _piece(
        6, "Tie", "cut 2", "2", seam, text_size=13,
        grain=(complex(32, long - 60), complex(32, 190)),
    )  # fmt: skip


def pocket() -> Draft:
    """Pocket bag for the side seam: one layer main, one lining."""
    seam = (
        *smooth("bag", (0j, 96 + 22j, 150 + 140j, 96 + 255j, 0 + 232j), 10.0, 196.0),
        line("side", 0 + 232j, 0j),
    )
    return _piece(
        7, "Pocket bag", "2 main, 2 lining", "2 main; 2 lining", seam, text_size=13,
        grain=(22 + 200j, 22 + 40j), notches=(Notch("side", 40), Notch("side", 190)),
    )  # fmt: skip


def _piece(
    number: int, name: str, words: str, cut: str, seam: Chain, **more: object
) -> Draft:  # fmt: skip
    """Return a piece of this skirt with its label and the allowance that is to be added."""
    return Draft(
        id=name.lower().replace(" ", "-"),
        name=name,
        cut=cut,
        seam=seam,
        words=(name, *words.split("\n"), f"No. 2 · {number} of 7"),
        more={"allowance": ALLOWANCE},
        **more,  # type: ignore[arg-type]
    )


@cache
def drafts() -> tuple[Draft, ...]:
    """All seven pieces, in the order of their numbers."""
    return (back(), front(), facing(), back_band(), front_band(), tie(), pocket())


def sheet() -> Sheet:
    """The skirt on one sheet."""
    page = Sheet(Page(1514, 860), "Ottervane No. 2 · Wrap skirt", "Seven pieces, one size")
    page.heading(
        page.layer("Sheet heading"), 40 + 60j, 26,
        (
            "No. 2 · Wrap skirt",
            "Ottervane, an invented label. Drawn without seam allowance: add 1.5 cm, not on folds.",
        ),
    )  # fmt: skip
    layer = page.layer("Pattern pieces")
    for draft in drafts():
        page.draw(layer, draft, origin(draft, CORNERS[draft.id]))
    return page


CORNERS = {
    "back": 40 + 140j,
    "wrap-front": 380 + 140j,
    "wrap-facing": 922 + 140j,
    "front-band": 1020 + 140j,
    "back-band": 1124 + 140j,
    "pocket-bag": 1228 + 140j,
    "tie": 1410 + 140j,
}
"""Where the upper left corner of each piece stands on the sheet, mm."""
