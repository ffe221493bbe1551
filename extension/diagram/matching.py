# SPDX-License-Identifier: GPL-2.0-or-later
"""How far the match points of a part are from the dominant lines of the design, for the tape."""

from __future__ import annotations

from collections.abc import Iterator

from extension.diagram.places import Place
from extension.diagram.tape import UNITS, tape_text
from extension.language.units import System
from nesting.model import Match, Point, Repeat

ON_LINE = 0.5
"""mm within which a point is on a line: less than the eye sees."""


def match_head(system: System) -> str:
    """Return the head of the column."""
    return f"match point to the nearest dominant line, {UNITS[system][0]}"


def match_text(place: Place, design: Repeat, system: System) -> str:
    """Return where the match points of a part lie: `side: 1.2 behind, on the line across`."""
    told = []
    for match, at in place.matched:
        ways = list(_ways(match, at, design, system))
        if ways:
            told.append(f"{match.group}: {', '.join(ways)}")
    return "; ".join(told) or "–"


def match_note(design: Repeat) -> str:
    """Return how the distances to the lines are read."""
    said = []
    if design.along:
        said.append("along the cloth before it or behind it, as seen from the cut end")
    if design.across:
        said.append("across the cloth below it or above it")
    return f"A match point lies, by the nearest dominant line, {' and '.join(said)}."


def _ways(match: Match, at: Point, design: Repeat, system: System) -> Iterator[str]:
    """Yield how far a point is from the nearest line, for each way in which it is to match."""
    along, across = from_lines(design, at)
    for way, off, words in (("along", along, _ALONG), ("across", across, _ACROSS)):
        if off is None or not (design.half_drop or match.axes in ("both", way)):
            continue
        if abs(off) <= ON_LINE:
            yield f"on the line {way}"
        else:
            yield f"{tape_text(abs(off), system)} {words[off > 0.0]}"


_ALONG, _ACROSS = ("before", "behind"), ("below", "above")


def from_lines(design: Repeat, at: Point) -> tuple[float | None, float | None]:
    """Return how far a point is beyond the nearest line along the cloth and across it, mm.

    None in a direction without a repeat. In a half-drop every second row is shifted.
    """
    x, y = at
    across, row = None, 0
    if design.across:
        row = round((y - design.first) / design.across)
        across = y - design.first - row * design.across
    if not design.along:
        return None, across
    shifted = x - (row % 2) * design.along / 2.0 if design.half_drop else x
    return shifted - design.along * round(shifted / design.along), across
