# SPDX-License-Identifier: GPL-2.0-or-later
"""Which ends of lines at the edges of pages are one line that goes on there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cmp_to_key

import numpy as np

from extension.joining.lines import Ends, Line, ends_of
from extension.joining.nearest import tree_of
from extension.joining.segments import BoolArray, FloatArray, IntArray, Look, length_of
from extension.pages.model import SheetLine

REACH = 0.4
"""mm between two ends at an edge that may be one line: each page may be off by half of it."""
STRAIGHT_ON = np.cos(np.radians(25.0))
"""How far from straight on a line may go on over an edge."""
CLOSE = 0.05
"""Gap in mm, and turn, by which one way to go on must be better than another to be taken for it."""
CORNER = 0.1
"""mm within which two lines that end away from edges meet."""
STEP, PARTED = 1.0, 0.2
"""mm between the places where two lines are compared, and how far apart they have parted."""
SAME_DASH = 0.1
"""mm by which a dash may differ on two pages..."""
SAME_SHARE = 0.05
"""...or by this share of it, if that is more."""


def linked(parts: Sequence[SheetLine], at_edge: BoolArray) -> dict[int, int]:
    """Return the ends that are one, each by the other: 2 k is the first end of part k.

    `at_edge` (2 N) says which ends lie at an edge. Lines that lie on each other there, as the fold
    edges of a nest or the sides of two frames, could change partners and run into each other, so
    that one line went round several pieces: dashes and sizes tell first, then which lies to the
    left of which where they part, and then what closes a line.
    """
    plain = [Look(part.look.colour, round(part.look.width, 1), ()) for part in parts]
    ends = ends_of(
        [
            Line(part.points, look, (n,), ())
            for n, (part, look) in enumerate(zip(parts, plain, strict=True))
        ]
    )
    free = np.flatnonzero(at_edge)
    if len(free) < 2:
        return {}
    round_corners = _corners(ends, np.flatnonzero(~at_edge))
    ways, links = _ways_on(parts, ends, free), _Links(parts, ends.outward, round_corners)
    _follow_all(ways, links)
    _close_all(ways, links)
    return links.of


Way = tuple[bool, float, int, int]
"""Whether the dashes or layers of two ends differ, how far they are from one line, and the two."""


def _ways_on(parts: Sequence[SheetLine], ends: Ends, free: IntArray) -> list[Way]:
    """Return the ways on over an edge, the best first."""
    pairs = tree_of(ends.place[free]).query_pairs(REACH, output_type="ndarray")
    one, two = free[pairs[:, 0]], free[pairs[:, 1]]
    gap = np.hypot(*(ends.place[one] - ends.place[two]).T)
    onward = -(ends.outward[one] * ends.outward[two]).sum(axis=1)
    good = (ends.look[one] == ends.look[two]) & (onward >= STRAIGHT_ON)
    off = np.round(gap + (1.0 - onward), 6)
    found = []
    for index in np.flatnonzero(good):
        a, b = int(one[index]), int(two[index])
        dashes = parts[a // 2].look.dashes, parts[b // 2].look.dashes
        layers = parts[a // 2].layer, parts[b // 2].layer
        others = not _same_dashes(*dashes), layers[0] != layers[1]
        if not (others[0] and all(dashes)) and not (others[1] and all(layers)):
            found.append((any(others), float(off[index]), a, b))
    return sorted(found)


def _same_dashes(one: Sequence[float], other: Sequence[float]) -> bool:
    """Return whether two dash patterns are one, but for what was rounded."""
    return len(one) == len(other) and all(
        abs(a - b) <= max(SAME_DASH, SAME_SHARE * max(a, b))
        for a, b in zip(one, other, strict=True)
    )


def _corners(ends: Ends, free: IntArray) -> dict[int, int]:
    """Return the ends away from edges at which just two lines meet, as where an outline begins."""
    if len(free) < 2:
        return {}
    near = tree_of(ends.place[free]).query_ball_point(ends.place[free], CORNER)
    pairs = {tuple(free[sorted(found)].tolist()) for found in near if len(found) == 2}
    alike = [(a, b) for a, b in pairs if ends.look[a] == ends.look[b]]
    return {**dict(alike), **{b: a for a, b in alike}}


class _Links:
    """Which ends are one so far, and the lines that come of it."""

    def __init__(
        self, parts: Sequence[SheetLine], outward: FloatArray, corners: Mapping[int, int]
    ) -> None:
        self.of: dict[int, int] = {}
        self._parts = parts
        self._outward = outward
        self._corners = corners
        self._far = [end ^ 1 for end in range(2 * len(parts))]
        for a, b in corners.items():
            if a < b:
                self._meet(a, b)

    def add(self, a: int, b: int) -> None:
        """Make two ends one, if both are free."""
        if a in self.of or b in self.of:
            return
        self.of[a], self.of[b] = b, a
        self._meet(a, b)

    def _meet(self, a: int, b: int) -> None:
        """Note that two ends are at one place: the line goes on from the one's far end."""
        one, other = self._far[a], self._far[b]
        self._far[one], self._far[other] = other, one

    def closes(self, a: int, b: int) -> bool:
        """Return whether two free ends are those of one line."""
        return self._far[a] == b

    def follow(self, ends: set[int], ways: set[tuple[int, int]]) -> None:
        """Make ends one that lie on each other: in the order in which they lie side by side.

        Where the lines part, on either page, one lies to the left of the other, and they do not
        cross where they run on each other: but a frame may cross what has one side on it, and that
        is known by more lines that are closed so. Nothing is done where the ends are no pairs.
        """
        along = self._outward[min(ends)]
        here = sorted(end for end in ends if self._outward[end] @ along > 0.0)
        beyond = sorted(ends - set(here))
        if len(here) != len(beyond):
            return
        here.sort(key=cmp_to_key(self._side))
        beyond.sort(key=cmp_to_key(self._side), reverse=True)
        pairs = list(zip(here, beyond, strict=True))
        closing = [(a, self._far[a]) for a in here if self._far[a] in beyond]
        if len(closing) > sum(self.closes(*pair) for pair in pairs):
            done = {end for pair in closing for end in pair}
            left = [[end for end in side if end not in done] for side in (here, beyond)]
            pairs = [*closing, *zip(*left, strict=True)]
        if all((min(pair), max(pair)) in ways for pair in pairs):
            for a, b in pairs:
                self.add(a, b)

    def _side(self, a: int, b: int) -> int:
        """Return -1 when the line of one end leaves another's to the left, seen from there."""
        one, two = self._from(a), self._from(b)
        most = min(length_of(one), length_of(two))
        steps = np.linspace(0.0, most, max(2, int(most / STEP) + 2))
        here, there = _at(one, steps), _at(two, steps)
        apart = np.flatnonzero(np.hypot(*(here - there).T) > PARTED)
        if not len(apart):
            return 0
        first = int(apart[0])
        way, to = here[first - 1] - here[max(first - 2, 0)], there[first] - here[first]
        if first < 2:
            way = -self._outward[a]
        # On the page y goes down: what is turned to by a positive angle is to the right.
        return -1 if way[0] * to[1] - way[1] * to[0] > 0.0 else 1

    def _from(self, end: int) -> FloatArray:
        """Return the points of the line so far, from a free end on."""
        found: list[FloatArray] = []
        seen: set[int] = set()
        here: int | None = end
        while here is not None and here // 2 not in seen:
            seen.add(here // 2)
            points = self._parts[here // 2].points
            found.append(points if here % 2 == 0 else points[::-1])
            here = self.of.get(here ^ 1, self._corners.get(here ^ 1))
        return np.concatenate(found)


def _at(points: FloatArray, steps: FloatArray) -> FloatArray:
    """Return the points of a line so many mm from its first point."""
    pieces = np.diff(points, axis=0)
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(pieces[:, 0], pieces[:, 1]))])
    found: FloatArray = np.stack([np.interp(steps, gone, points[:, a]) for a in (0, 1)], axis=1)
    return found


def _follow_all(ways: Sequence[Way], links: _Links) -> None:
    """Make one what goes on in the best way: first what is clear, and then what is not."""
    best: dict[int, tuple[bool, float]] = {}
    for unlike, off, a, b in reversed(ways):
        best[a] = best[b] = (unlike, off)
    near = {
        (a, b)
        for unlike, off, a, b in ways
        if all(best[end][0] == unlike and off <= best[end][1] + CLOSE for end in (a, b))
    }
    groups: dict[int, set[int]] = {}
    for a, b in sorted(near):
        group = groups.get(a, {a}) | groups.get(b, {b})
        groups.update(dict.fromkeys(group, group))
    bundles = sorted({min(group): group for group in groups.values()}.items())
    for _, ends in sorted(bundles, key=lambda each: len(each[1])):
        links.follow(ends, near)


def _close_all(ways: Sequence[Way], links: _Links) -> None:
    """Make one what is left: the best first, and of those as good what closes a line."""
    left = list(ways)
    while left := [way for way in left if way[2] not in links.of and way[3] not in links.of]:
        unlike, best = left[0][:2]
        near = [way for way in left if way[0] == unlike and way[1] <= best + CLOSE]
        closing = [way for way in near if links.closes(*way[2:])]
        for way in closing or near[:1]:
            links.add(*way[2:])
