# SPDX-License-Identifier: GPL-2.0-or-later
"""Matching marks of the sheet: what lies across the edges of pages, or alike on both sides of one.

Most are told before, since they come back from page to page; with few pages they do not.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from extension.joining.segments import BoolArray, FloatArray
from extension.pages.furniture import LETTERS
from extension.pages.model import Box, Patch, SheetLine, Words

LARGEST = 25.0
"""mm; a matching mark is no larger."""
ON_SEAM = 0.2
"""mm from an edge within which a line ends there."""
MIDDLE = 0.4
"""mm from an edge within which the middle of a mark lies that is drawn across it."""
BESIDE = 20.0
"""mm from an edge within which the letters of matching marks stand."""
AT_HEAD = 0.5
"""mm beside an arrow head at which its line may end."""
SAME_LINE = 3.0
"""mm by which the letters of two pages may be off: how wide they are is guessed."""


@dataclass(frozen=True, eq=False, slots=True)
class SeamLines:
    """Where on the sheet pages meet: x of the upright edges, y of the level ones, mm."""

    upright: FloatArray
    level: FloatArray

    def away(self, axis: int, value: float) -> float:
        """Return how far a place is from the nearest edge across an axis, mm."""
        seams = (self.upright, self.level)[axis]
        return float(np.abs(seams - value).min()) if len(seams) else np.inf

    def on(self, points: FloatArray) -> BoolArray:
        """Return which of some points lie on an edge."""
        found: BoolArray = np.zeros(len(points), dtype=bool)
        for axis, seams in enumerate((self.upright, self.level)):
            for seam in seams:
                found |= np.abs(points[:, axis] - seam) <= ON_SEAM
        return found


def ends_of_long(lines: Sequence[SheetLine]) -> FloatArray:
    """Return where open lines end that are no marks themselves, (N, 2)."""
    ends = [line.points[[0, -1]] for line in lines if not line.closed and not _is_small(line.box)]
    return np.concatenate(ends) if ends else np.empty((0, 2))


def marks_of_lines(
    lines: Sequence[SheetLine], seams: SeamLines, tips: FloatArray
) -> Iterator[SheetLine]:
    """Yield small lines that are marks: closed ones and crosses across an edge, halves facing.

    What a longer line ends at is its arrow head; `tips` (N, 2) are the ends of those.
    """
    small = [line for line in lines if _is_small(line.box) and not _ends_there(line.box, tips)]
    across = [line for line in small if _is_across(line.box, seams)]
    straight = [line for line in across if not line.closed and _is_straight(line.points)]
    halves = [line for line in small if not line.closed and seams.on(line.points[[0, -1]]).all()]
    yield from (line for line in across if line.closed)
    for one in straight:
        if any(_crosses(one.points, other.points) for other in straight if other is not one):
            yield one
    for one in halves:
        if any(_faces(one.points, other.points) for other in halves if other is not one):
            yield one


def marks_of_patches(
    patches: Sequence[Patch], seams: SeamLines, tips: FloatArray
) -> Iterator[Patch]:
    """Yield small filled shapes that are marks: across an edge, or alike on both sides of it."""
    touching = (one for one in patches if _is_small(one.box) and _touches_edge(one.box, seams))
    small = [one for one in touching if not _ends_there(one.box, tips)]
    for patch in small:
        facing = (other for other in small if other is not patch)
        if _is_across(patch.box, seams) or any(
            _meet_on_edge(patch.box, other.box, seams) for other in facing
        ):
            yield patch


def marks_of_words(
    words: Sequence[tuple[Words, Box]], seams: SeamLines, gone: Sequence[tuple[Words, Box]]
) -> Iterator[Words]:
    """Yield letters that stand alike on both sides of an edge, each with its box on the sheet.

    `gone` are those that were taken away before, being in one place of many pages.
    """
    short = [(one, box) for one, box in words if len(one.text) <= LETTERS]
    for one, box in short:
        if any(
            one is not other and one.text == other.text and _face(box, beside, seams)
            for other, beside in (*short, *gone)
        ):
            yield one


def _is_small(box: Box) -> bool:
    return max(box[2] - box[0], box[3] - box[1]) <= LARGEST


def _is_across(box: Box, seams: SeamLines) -> bool:
    """Return whether the middle of a box is on an edge."""
    return min(seams.away(a, (box[a] + box[a + 2]) / 2.0) for a in (0, 1)) <= MIDDLE


def _ends_there(box: Box, tips: FloatArray) -> bool:
    """Return whether one of the ends of lines is in a box, or at it."""
    low, high = np.array(box[:2]) - AT_HEAD, np.array(box[2:]) + AT_HEAD
    return bool(((tips >= low) & (tips <= high)).all(axis=1).any())


def _touches_edge(box: Box, seams: SeamLines) -> bool:
    """Return whether a side of a box, or its middle, is on an edge."""
    places = ((a, (b * box[a] + (2 - b) * box[a + 2]) / 2.0) for a in (0, 1) for b in (0, 1, 2))
    return min(seams.away(axis, value) for axis, value in places) <= MIDDLE


def _is_straight(points: FloatArray) -> bool:
    along, off = points[-1] - points[0], points - points[0]
    across = np.abs(off[:, 0] * along[1] - off[:, 1] * along[0])
    return bool(across.max() <= 0.1 * np.hypot(*along))


def _crosses(one: FloatArray, other: FloatArray) -> bool:
    """Return whether two straight lines halve each other at a right angle."""
    apart = np.abs((one[0] + one[-1]) - (other[0] + other[-1])).max() / 2.0
    way, across = one[-1] - one[0], other[-1] - other[0]
    turned = abs(float(way @ across)) <= 0.1 * np.hypot(*way) * np.hypot(*across)
    return bool(apart <= 1.0 and turned)


def _faces(one: FloatArray, other: FloatArray) -> bool:
    """Return whether two lines have both their ends in common."""
    there = np.abs(one[[0, -1]] - other[[0, -1]]).max()
    back = np.abs(one[[0, -1]] - other[[-1, 0]]).max()
    return bool(min(there, back) <= 2.0 * ON_SEAM)


def _meet_on_edge(one: Box, other: Box, seams: SeamLines) -> bool:
    """Return whether two boxes of one height lie on both sides of an edge that they touch."""
    for axis in (0, 1):
        along = 1 - axis
        level = max(abs(one[along] - other[along]), abs(one[along + 2] - other[along + 2]))
        touch = min(abs(one[axis + 2] - other[axis]), abs(other[axis + 2] - one[axis]))
        middle = (min(one[axis], other[axis]) + max(one[axis + 2], other[axis + 2])) / 2.0
        if level <= MIDDLE and touch <= MIDDLE and seams.away(axis, middle) <= MIDDLE:
            return True
    return False


def _face(one: Box, other: Box, seams: SeamLines) -> bool:
    """Return whether two letters stand beside each other with an edge in the middle."""
    places = [((box[0] + box[2]) / 2.0, (box[1] + box[3]) / 2.0) for box in (one, other)]
    for axis in (0, 1):
        apart = abs(places[0][axis] - places[1][axis])
        off = abs(places[0][1 - axis] - places[1][1 - axis])
        middle = (places[0][axis] + places[1][axis]) / 2.0
        if off <= SAME_LINE and apart <= 2.0 * BESIDE and seams.away(axis, middle) <= SAME_LINE:
            return True
    return False
