# SPDX-License-Identifier: GPL-2.0-or-later
"""Ottervane No. 14, a gathered skirt for cloth with a border: four pieces, hems on the border.

Measures (invented): waist 700, length 640. Seams of 1 cm are included; the hem is not turned up, it
lies with its cutting line on the border. Front and back may lie across the grain, on a nap too.
"""

from __future__ import annotations

from functools import cache

from tests.helpers.drafting.curves import Chain, line, polyline, smooth
from tests.helpers.drafting.draft import Draft, Notch
from tests.helpers.drafting.place import origin
from tests.helpers.drafting.sheet import Page, Sheet

LONG, SEAM = 640.0, 10.0
FRONT, BACK = 360.0, 380.0
"""Half the front, and one of the two backs, at the waist, mm; each flares by `FLARE` at the hem."""
FLARE, DIP = 36.0, 12.0
"""Mm by which a side goes out to the hem, and by which the waist is lower at the centre."""
BAND, WAIST = 78.0, 720.0
HEM = {"border": "hem", "turns": "four-way", "turns-on-nap": "allow"}


@cache
def front() -> Draft:
    """Front, its centre on the fold."""
    seam = polyline(
        ("waist", "side", "hem", "fold"),
        (complex(0, DIP), complex(FRONT, 0), complex(FRONT + FLARE, LONG), complex(0, LONG),
         complex(0, DIP)),
    )  # fmt: skip
    return _piece(
        1, "Skirt front", "cut 1 on the fold", "1", seam, HEM,
        grain=(60 + 560j, 60 + 140j), fold="fold", notches=(Notch("side", 200),),
    )  # fmt: skip


@cache
def back() -> Draft:
    """Back, with a seam at its centre."""
    seam = polyline(
        ("waist", "side", "hem", "centre"),
        (0j, complex(BACK, 0), complex(BACK + FLARE, LONG), complex(0, LONG), 0j),
    )
    return _piece(
        2, "Skirt back", "cut 2", "2", seam, HEM,
        grain=(60 + 560j, 60 + 140j), notches=(Notch("side", 200), Notch("centre", 470, True)),
    )  # fmt: skip


@cache
def waistband() -> Draft:
    """Waistband, folded lengthwise in wear."""
    corners = (0j, complex(BAND, 0), complex(BAND, WAIST), complex(0, WAIST), 0j)
    return _piece(
        3, "Waistband", "cut 1", "1", polyline(("end", "waist", "end", "edge"), corners), {},
        grain=(complex(BAND / 2, WAIST - 60), complex(BAND / 2, 420)), text_size=11,
    )  # fmt: skip


@cache
def pocket() -> Draft:
    """Pocket bag for the side seam: not seen, so it may lie over a flaw."""
    seam: Chain = (
        *smooth("bag", (0j, 100 + 20j, 158 + 140j, 100 + 262j, 0 + 238j), 10.0, 196.0),
        line("side", 0 + 238j, 0j),
    )
    return _piece(
        4, "Pocket bag", "cut 4", "4", seam, {"hidden": "yes"},
        grain=(24 + 205j, 24 + 40j), text_size=13, notches=(Notch("side", 40),),
    )  # fmt: skip


def _piece(
    number: int, name: str, words: str, cut: str, seam: Chain, more: dict[str, str], **own: object
) -> Draft:
    """Return a piece of this skirt with its label."""
    return Draft(
        id=name.lower().replace(" ", "-"),
        name=name,
        cut=cut,
        seam=seam,
        words=(name, words, f"No. 14 · {number} of 4"),
        usual=SEAM,
        allowance={"hem": 0.0},
        more=more,
        **own,  # type: ignore[arg-type]
    )


@cache
def drafts() -> tuple[Draft, ...]:
    """All four pieces, in the order of their numbers."""
    return (front(), back(), waistband(), pocket())


def sheet() -> Sheet:
    """The skirt on one sheet."""
    page = Sheet(Page(1280, 900), "Ottervane No. 14 · Border skirt", "Four pieces, one size")
    page.heading(
        page.layer("Sheet heading"), 40 + 60j, 26,
        (
            "No. 14 · Border skirt",
            "Ottervane, an invented label. Seams of 1 cm are included; the hem lies on the border.",
        ),
    )  # fmt: skip
    layer = page.layer("Pattern pieces")
    for draft in drafts():
        page.draw(layer, draft, origin(draft, CORNERS[draft.id]))
    return page


CORNERS = {
    "skirt-front": 40 + 140j,
    "skirt-back": 480 + 140j,
    "waistband": 960 + 140j,
    "pocket-bag": 1080 + 140j,
}
"""Where the upper left corner of each piece stands on the sheet, mm."""
