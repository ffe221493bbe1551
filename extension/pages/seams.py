# SPDX-License-Identifier: GPL-2.0-or-later
"""How well a page goes on on another: which lines cross the edge, where, which way, how drawn.

All of it for edges that stand upright: pages that lie below each other are looked at on their side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from extension.joining.segments import BoolArray, FloatArray, IntArray, Look
from extension.pages.model import Box, Page
from extension.pages.reading import ROUNDED
from extension.pages.windows import SAME_SIDE

LONGEST_OVERLAP = 60.0
"""mm; pages overlap no more."""
BESIDE = 0.02
"""mm; pages that overlap by less than twice that do not."""
OFF = 0.25
"""mm by which a line may go on beside its end, and more where it meets the edge aslant."""
ASLANT = 0.1
"""mm more of that for each mm that a line runs along the edge while it crosses 1 mm."""
MOST_OFF = 2.0
ANGLE = np.radians(6.0)
"""By how much a line may turn where it goes on: a curve between two points of it."""
LEAST_SLOPE = np.sin(np.radians(3.0))
"""A line that crosses an edge more flatly than so tells nothing of where it goes on."""
FOR_VOTES = np.sin(np.radians(1.5))
"""A line that crosses the edge more squarely than so fits any overlap, and tells of none."""
CANDIDATES = 6
"""How many overlaps are looked at closely."""
BIN = 0.25
"""mm within which two lines speak for the same overlap."""


@dataclass(frozen=True, eq=False, slots=True)
class Side:
    """The segments of a page, seen so that its left and right edges are those that are looked at.

    `start`, `end` (N, 2) mm; `look` (N) numbers of looks. `first` (N) says which are the first of
    an open line, `last` (N) which are its last.
    """

    start: FloatArray
    end: FloatArray
    look: IntArray
    first: BoolArray
    last: BoolArray


@dataclass(frozen=True, eq=False, slots=True)
class Crossings:
    """Where lines cross an upright: `at` mm down it, `angle` of the line (0 to pi), `look`."""

    at: FloatArray
    angle: FloatArray
    look: IntArray

    def __len__(self) -> int:
        return len(self.at)


@dataclass(frozen=True, slots=True)
class Fit:
    """How many lines go on from one page to the next, and how many do not; counts by both sides."""

    found: int
    lost: int


def sides_of(pages: Sequence[Page], *, lying: bool) -> list[Side]:
    """Return the segments of pages, with x and y exchanged when `lying`."""
    looks: dict[Look, int] = {}
    return [_side(page, looks, lying) for page in pages]


def _side(page: Page, looks: dict[Look, int], lying: bool) -> Side:
    starts, ends, numbers, firsts, lasts = [], [], [], [], []
    for stroke in page.strokes:
        points = stroke.points[:, ::-1] if lying else stroke.points
        line = np.vstack([points, points[:1]]) if stroke.closed else points
        starts.append(line[:-1])
        ends.append(line[1:])
        # What the editor rounds differently on two pages is one look all the same.
        same = Look(stroke.look.colour, round(stroke.look.width, 1), ())
        numbers.append(np.full(len(line) - 1, looks.setdefault(same, len(looks)), dtype=np.intp))
        tips = np.zeros((2, len(line) - 1), dtype=bool)
        tips[0, 0] = not stroke.closed and _goes_in(line)
        tips[1, -1] = not stroke.closed and _goes_in(line[::-1])
        firsts.append(tips[0])
        lasts.append(tips[1])
    if not starts:
        nothing = np.empty((0, 2)), np.empty(0, dtype=np.intp), np.empty(0, dtype=bool)
        return Side(nothing[0], nothing[0], nothing[1], nothing[2], nothing[2])
    start, end = np.concatenate(starts), np.concatenate(ends)
    first, last = np.concatenate(firsts), np.concatenate(lasts)
    return Side(start, end, np.concatenate(numbers), first, last)


def _goes_in(line: FloatArray) -> bool:
    """Return whether a line leaves the edge that it begins at.

    What only comes to an edge, as a side that lies on it, is whole on the page beyond.
    """
    return bool(np.abs(line[1:3, 0] - line[0, 0]).max() > 2.0 * ROUNDED)


def lying(box: Box) -> Box:
    """Return a box with x and y exchanged."""
    return box[1], box[0], box[3], box[2]


class Seams:
    """The pages side by side: what crosses where, and how well any two go together."""

    def __init__(self, pages: Sequence[Page], window: Box, *, lying: bool) -> None:
        self._sides = sides_of(pages, lying=lying)
        self._left, self._right = window[0], window[2]
        self._low, self._high = window[1], window[3]
        self._known: dict[tuple[int, float], Crossings] = {}
        self._cuts: dict[tuple[int, float], Crossings] = {}

    @property
    def count(self) -> int:
        """How many pages there are."""
        return len(self._sides)

    @property
    def size(self) -> float:
        """How wide the window is, mm."""
        return self._right - self._left

    def at_right(self, page: int) -> Crossings:
        """Return the lines of a page that are cut at the right side of its window."""
        return self._cut(page, self._right)

    def at_left(self, page: int) -> Crossings:
        """Return the lines of a page that are cut at the left side of its window."""
        return self._cut(page, self._left)

    def fit(self, left: int, right: int, overlap: float) -> Fit:
        """Return how well one page goes on to the right on another that overlaps it by so much."""
        if overlap <= 2.0 * BESIDE:
            one = _matched(self.at_right(left), self.at_left(right))
            return Fit(2 * one.found, 2 * one.lost)
        beyond = self._crossings(right, self._left + overlap)
        first = _matched(self.at_right(left), beyond)
        second = _matched(self._crossings(left, self._right - overlap), self.at_left(right))
        return Fit(first.found + second.found, first.lost + second.lost)

    def overlaps(self) -> list[float]:
        """Return the overlaps that lines speak for, the likeliest first, with none among them."""
        votes = np.concatenate([self._votes(page) for page in range(self.count)] or [np.empty(0)])
        found = [0.0]
        while len(votes) and len(found) <= CANDIDATES:
            votes = np.sort(votes)
            counts = np.searchsorted(votes, votes + BIN, "right") - np.arange(len(votes))
            start = int(np.argmax(counts))
            if counts[start] < 2 and len(found) > 1:
                break
            near = votes[start : start + counts[start]]
            middle = float(np.median(near))
            found.append(0.0 if middle < 2.0 * BESIDE else middle)
            votes = votes[np.abs(votes - middle) > BIN]
        return list(dict.fromkeys(found))

    def _votes(self, page: int) -> FloatArray:
        """Return by how much others would overlap a page for its lines to go on there."""
        ends = self.at_right(page)
        found = []
        for other, side in enumerate(self._sides):
            if other == page:
                continue
            strip = np.minimum(side.start[:, 0], side.end[:, 0]) <= self._left + LONGEST_OVERLAP
            start, way, look = side.start[strip], (side.end - side.start)[strip], side.look[strip]
            slope = np.abs(way[:, 1]) > FOR_VOTES * np.hypot(way[:, 0], way[:, 1])
            start, way, look = start[slope], way[slope], look[slope]
            if not len(start) or not len(ends):
                continue
            t = (ends.at[:, None] - start[None, :, 1]) / way[None, :, 1]
            x = start[None, :, 0] + t * way[None, :, 0] - self._left
            turned = _turned(ends.angle[:, None], np.arctan2(way[:, 1], way[:, 0])[None, :])
            good = (t >= 0.0) & (t <= 1.0) & (turned <= ANGLE / 2.0)
            good &= (ends.look[:, None] == look[None, :]) & (x >= -OFF) & (x <= LONGEST_OVERLAP)
            found.append(np.maximum(x[good], 0.0))
        return np.concatenate(found) if found else np.empty(0)

    def _cut(self, page: int, at: float) -> Crossings:
        """Return the lines of a page that end at an upright."""
        if (page, at) not in self._cuts:
            side = self._sides[page]
            tips = [
                (points[here], (side.end - side.start)[here], side.look[here])
                for points, is_tip in ((side.start, side.first), (side.end, side.last))
                for here in [is_tip & (np.abs(points[:, 0] - at) <= SAME_SIDE)]
            ]
            place, way, look = (np.concatenate(each) for each in zip(*tips, strict=True))
            self._cuts[page, at] = self._kept(place[:, 1], way, look)
        return self._cuts[page, at]

    def _crossings(self, page: int, at: float) -> Crossings:
        key = page, round(at, 3)
        if key not in self._known:
            self._known[key] = self._crossing(self._sides[page], at)
        return self._known[key]

    def _crossing(self, side: Side, at: float) -> Crossings:
        one, two = side.start[:, 0] - at, side.end[:, 0] - at
        hit = ((one <= 0.0) & (two > 0.0)) | ((one > 0.0) & (two <= 0.0))
        start, way, look = side.start[hit], (side.end - side.start)[hit], side.look[hit]
        y = start[:, 1] + (at - start[:, 0]) / way[:, 0] * way[:, 1]
        return self._kept(y, way, look)

    def _kept(self, y: FloatArray, way: FloatArray, look: IntArray) -> Crossings:
        """Return crossings but for lines that run along the upright, or cross it out of view."""
        steep = np.abs(way[:, 0]) >= LEAST_SLOPE * np.hypot(way[:, 0], way[:, 1])
        inside = steep & (y >= self._low - OFF) & (y <= self._high + OFF)
        y, angle = y[inside], np.arctan2(way[inside, 1], way[inside, 0]) % np.pi
        order = np.lexsort((look[inside], y))
        return Crossings(y[order], angle[order], look[inside][order])


def _turned(one: FloatArray, other: FloatArray) -> FloatArray:
    """Return the angle between lines, radians."""
    apart = np.abs(one - other) % np.pi
    turned: FloatArray = np.minimum(apart, np.pi - apart)
    return turned


def _matched(one: Crossings, other: Crossings) -> Fit:
    """Return how many crossings of both sides go on in each other, and how many do not."""
    if not len(one) or not len(other):
        return Fit(0, len(one) + len(other))
    apart = np.abs(one.at[:, None] - other.at[None, :])
    aslant = np.abs(np.tan(one.angle))[:, None]
    allowed = np.minimum(OFF + ASLANT * aslant, MOST_OFF)
    good = (apart <= allowed) & (one.look[:, None] == other.look[None, :])
    good &= _turned(one.angle[:, None], other.angle[None, :]) <= ANGLE
    count = 0
    apart = np.where(good, apart, np.inf)
    while np.isfinite(apart).any():
        row, column = np.unravel_index(int(np.argmin(apart)), apart.shape)
        apart[row, :] = np.inf
        apart[:, column] = np.inf
        count += 1
    return Fit(2 * count, len(one) + len(other) - 2 * count)
