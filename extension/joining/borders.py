# SPDX-License-Identifier: GPL-2.0-or-later
"""Outlines that touch along a stretch: a border of both, drawn once for each.

One of the two lines was taken away as a copy of the other. Then either one outline is left open
where the copy was, or the two came out as one, with the border as a line across. A line that was
drawn once stays what it is, a line in a piece.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import LinearRing, LineString, Polygon
from shapely.ops import split

from extension.joining.duplicates import Cleaned
from extension.joining.lines import Line, prolonged
from extension.joining.outlines import Outline, outline_of
from extension.joining.passes import Unclear, members_of, one_pass
from extension.joining.segments import TOUCH, length_of

MOST = 0.5
"""Share of an outline that may be a copy; where more is, all was drawn twice."""
LEAST_BORDER = 30.0
"""mm of copies below which there is no border among them: dots that fell on other lines."""
NEAR = 6.0
"""mm, beside the tolerance, from the end of a border to the outline it divides."""


@dataclass(frozen=True, eq=False, slots=True)
class Shared:
    """All outlines, those with a shared border made good; what is still open; what was decided."""

    outlines: tuple[Outline, ...]
    open: tuple[Line, ...]
    unclear: tuple[Unclear, ...]


def with_shared_borders(
    outlines: Sequence[Outline], lines: Sequence[Line], clean: Cleaned, tolerance: float
) -> Shared:
    """Return the outlines with those added, or divided, that share a border with another."""
    finder = _Finder(clean, tolerance)
    found: list[Outline] = []
    left: list[Line] = []
    for line in lines:
        owner = finder.divided_by(line, outlines)
        halves = finder.halves(owner, line) if owner is not None else []
        if owner is None or len(halves) != 2:
            left.append(line)
            continue
        outlines = [*(one for one in outlines if one is not owner), *halves]
        finder.tell(line.members)
    closed = finder.closed_with_copies(left)
    used = {member for outline in closed for member in outline.line.members}
    for outline in closed:
        finder.tell([one for one in outline.line.members if one in clean.copies])
    found = [*outlines, *closed]
    return Shared(
        tuple(found),
        tuple(line for line in left if not used & set(line.members)),
        tuple(finder.told),
    )


class _Finder:
    """Looks for borders among the segments of a drawing."""

    def __init__(self, clean: Cleaned, tolerance: float) -> None:
        self._clean = clean
        self._tolerance = tolerance
        self.told: list[Unclear] = []

    def tell(self, members: Sequence[int]) -> None:
        """Note that segments were taken for a border."""
        points = [self._clean.segments[number].points for number in members]
        x, y = np.concatenate(points).mean(axis=0).tolist()
        self.told.append(Unclear((x, y), tuple(members), decided=True))

    def divided_by(self, line: Line, outlines: Sequence[Outline]) -> Outline | None:
        """Return the outline that a line drawn twice divides, if its own lines were drawn once."""
        twice = self._length(set(line.members) & self._clean.twice)
        if len(line.points) < 2 or twice < MOST * self._length(line.members):
            return None
        for outline in outlines:
            twice = self._length(set(outline.line.members) & self._clean.twice)
            area = Polygon(outline.points).buffer(TOUCH)
            drawn_once = twice < MOST * self._length(outline.line.members)
            if drawn_once and area.covers(LineString(line.points)):
                return outline
        return None

    def halves(self, outline: Outline, line: Line) -> list[Outline]:
        """Return the two outlines into which a line divides one, as joined from their segments."""
        reach = NEAR + self._tolerance
        border = prolonged(line.points, reach)
        members = [*outline.line.members, *line.members]
        found = []
        for part in split(Polygon(outline.points), LineString(border)).geoms:
            ring = part.exterior
            own = [number for number in members if self._lies_on(number, ring)]
            joined = one_pass(self._clean.segments, self._in_order(own), self._tolerance)
            found += [outline_of(closed) for closed in joined.closed]
        return [one for one in found if one.fault is None]

    def closed_with_copies(self, lines: Sequence[Line]) -> list[Outline]:
        """Return the outlines that open lines make with lines that were taken away as copies."""
        copies = set(self._clean.copies)
        own = members_of(lines)
        if not own or self._length(copies) < LEAST_BORDER:
            return []
        joined = one_pass(self._clean.segments, self._in_order(own | copies), self._tolerance)
        outlines = [outline_of(line) for line in joined.closed]
        return [one for one in outlines if one.fault is None and self._is_own(one, copies)]

    def _is_own(self, outline: Outline, copies: set[int]) -> bool:
        borrowed = self._length(copies & set(outline.line.members))
        return 0.0 < borrowed < MOST * self._length(outline.line.members)

    def _in_order(self, numbers: Iterable[int]) -> list[int]:
        wanted = set(numbers)
        return [one for one in (*self._clean.order, *self._clean.copies) if one in wanted]

    def _length(self, numbers: Iterable[int]) -> float:
        return sum(length_of(self._clean.segments[number].points) for number in numbers)

    def _lies_on(self, number: int, ring: LinearRing) -> bool:
        points = self._clean.segments[number].points
        middle = shapely.points(points.mean(axis=0))
        return bool(shapely.distance(middle, ring) <= 2.0 * TOUCH)
