# SPDX-License-Identifier: GPL-2.0-or-later
"""What is said of the match points of a layout before anything is laid: where they count, or not.

No attribute is dropped in silence: a point on cloth without a repeat in its direction is told.
"""

from __future__ import annotations

from collections.abc import Mapping

from extension.language.rounding import less_text
from extension.language.units import System
from extension.language.words import listed
from extension.pieces.model import DrawnPiece, MatchPoint
from nesting.model import Repeat

_MOST = 12
"""Pieces that a sentence names."""


def match_notes(pieces: Mapping[str, DrawnPiece], design: Repeat | None) -> tuple[str, ...]:
    """Return what is to be told of the match points of pieces, which come by their titles."""
    if not any(drawn.matched for drawn in pieces.values()):
        return () if design is None else (NO_POINTS,)
    if design is None:
        names = [title for title, drawn in pieces.items() if drawn.matched]
        return (
            f"The match points of {listed(names, _MOST)} are not used: this cloth has no repeat.",
        )
    return (
        *_places(pieces, design),
        *_halves(pieces, design),
        *_idle(pieces, design),
        *_both_ways(pieces, design),
        CAUTION,
    )


NO_POINTS = (
    "No piece has a match point, so nothing is laid by the design: give small marks of the pieces "
    "lay:match (Set Cutting Details)."
)


COST_NOT_TRIED = "What the matching costs was not tried: the time was too short."
RULES = (
    "Published rules of thumb for matching: one repeat for each piece that lies behind another "
    "along the cloth (Gala Fabrics, 2010), one for each main piece (Marcy Tilton), a quarter more "
    "cloth at least (The Sewtionary, p. 257)."
)
CAUTION = (
    "Before you cut what matches: check each point against the lines of the cloth itself, which "
    "may run askew; darts, eased seams and shoulders often cannot match."
)


def cost_text(needed: float, plain: float | str, system: System) -> tuple[str, ...]:
    """Return what the matching of a layout that needs `needed` mm costs, and the usual rules.

    `plain` is what a short run on plain cloth needs, mm, or why there is no figure.
    """
    if isinstance(plain, str):
        return (plain, RULES) if plain else ()
    more = less_text(needed, plain, system)
    if not more:
        return ("On plain cloth a short run found nothing shorter.", RULES)
    share = _share(needed, plain)
    return f"Matching takes {more} ({share} %) more than a short run on plain cloth.", RULES


def _share(needed: float, plain: float) -> str:
    """Return by which share of it a length is more than another, in whole per cent."""
    share = 100.0 * (needed / plain - 1.0)
    return "less than 1" if share < 1.0 else f"{share:.0f}"


def counts(point: MatchPoint, design: Repeat) -> bool:
    """Return whether the repeat runs in a direction in which a point is to match."""
    sizes = {"along": design.along, "across": design.across}
    return design.half_drop or any(
        size and point.match.axes in ("both", way) for way, size in sizes.items()
    )


def _places(pieces: Mapping[str, DrawnPiece], design: Repeat) -> list[str]:
    """Return on which line of the pieces the points lie that are marked on their edges."""
    said: dict[str, list[str]] = {}
    for title, drawn in pieces.items():
        for point in drawn.matched:
            if counts(point, design) and point.lies in ("cutting", "stitching", "labelled"):
                name = f"“{point.match.group}” of {title}"
                said.setdefault(_place(point), []).append(name)
    return [
        f"Matched at the {where}: {listed(list(dict.fromkeys(names)), _MOST)}."
        for where, names in said.items()
    ]


def _place(point: MatchPoint) -> str:
    """Return on which line a point lies that is marked on the edge of a piece."""
    if point.lies == "cutting":
        return (
            "cutting line, since no stitching line is drawn there and no label says how much seam "
            "allowance is included, so that what meets in the seam may be off"
        )
    if point.lies == "labelled":
        return (
            f"stitching line, {point.moved:.1f} mm inside the cutting line, by what labels say of "
            "the seam allowance that is included"
        )
    inside = f", {point.moved:.1f} mm inside the cutting line" if point.moved else ""
    return f"stitching line{inside}"


def _halves(pieces: Mapping[str, DrawnPiece], design: Repeat) -> list[str]:
    """Return that only the drawn half of pieces on the fold is matched across."""
    names = [
        title
        for title, drawn in pieces.items()
        if drawn.fold is not None and design.across and any(map(_is_beside, drawn.matched))
    ]
    if not names:
        return []
    other = "is its mirror image, which an uneven design does not match"
    if design.even:
        where = "a line" if design.half_drop else "a line or midway"
        other = f"does so as well where its centre lies on {where}"
    return [
        f"Across the cloth the drawn half of {listed(names, _MOST)} is matched: the other half "
        f"{other}."
    ]


def _is_beside(point: MatchPoint) -> bool:
    """Return whether a point is to match across and lies on one half only."""
    return point.lies != "line" and point.match.axes != "along"


def _both_ways(pieces: Mapping[str, DrawnPiece], design: Repeat) -> list[str]:
    """Return the points that match both ways in a half-drop, though one way was asked for."""
    names = [
        f"“{point.match.group}” of {title}"
        for title, drawn in pieces.items()
        for point in drawn.matched
        if design.half_drop and point.match.axes != "both"
    ]
    if not names:
        return []
    listing = listed(list(dict.fromkeys(names)), _MOST)
    return [f"In a half-drop all points match along and across alike: {listing} as well."]


def _idle(pieces: Mapping[str, DrawnPiece], design: Repeat) -> list[str]:
    """Return the points that would match in a direction in which the cloth has no repeat."""
    names = [
        f"“{point.match.group}” of {title}"
        for title, drawn in pieces.items()
        for point in drawn.matched
        if not counts(point, design)
    ]
    if not names:
        return []
    listing = listed(list(dict.fromkeys(names)), _MOST)
    return [f"{listing} is not used: the cloth has no repeat in that direction."]
