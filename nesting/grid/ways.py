# SPDX-License-Identifier: GPL-2.0-or-later
"""The ways of parts to lie: each a kind of shape and the room that it has.

Most parts have one way for each turn they may take. A part with several zones to lie in has one for
each turn and zone, so a room belongs to a way and not to a shape.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from nesting.cloth.frame import Frame
from nesting.cloth.rooms import Room
from nesting.geometry.arrays import Ints
from nesting.geometry.shapes import Points
from nesting.grid.choices import LOW_X, MARKS_X, NX, Choices
from nesting.grid.maps import Grid

SLACK = 0.5
"""Cells by which a grid position may pass an end of its room; the programs bring it back."""


NO_MARKS = np.zeros(0, dtype=np.uint8)


class Ways:
    """All ways of a problem's parts, one part's after the other's.

    `kinds` gives the kind of each of the problem's shapes, `sizes` the extents of its box, mm.
    """

    def __init__(self, frame: Frame, kinds: Ints, sizes: Sequence[tuple[float, float]]) -> None:
        parts = frame.problem.parts
        found: list[dict[tuple[int, Room | None], int]] = []
        for part in parts:
            own: dict[tuple[int, Room | None], int] = {}
            for number, shape in enumerate(part.shapes):
                # Of shapes that are alike when moved one is enough, unless something of their own
                # narrows their rooms.
                narrowed = frame.room(part, shape) if part.rooms else None
                own.setdefault((int(kinds[shape]), narrowed), part.shapes[number])
            found.append(own)
        self.shapes = np.array([shape for own in found for shape in own.values()], dtype=np.int64)
        self.kinds = np.array([kind for own in found for kind, _ in own], dtype=np.int64)
        self.starts = np.cumsum([0, *(len(own) for own in found)]).astype(np.int64)
        owners = [part for part, own in zip(parts, found, strict=True) for _ in own]
        self.rooms = [
            frame.room(part, int(shape)) for part, shape in zip(owners, self.shapes, strict=True)
        ]
        self._narrowed = np.array([bool(part.rooms) for part in owners], dtype=np.bool_)
        self._sizes = np.array(sizes)[self.kinds].reshape(-1, 2)
        ends = [[(axis.low, axis.high) for axis in room.axes] for room in self.rooms]
        self._lows, self._highs = np.moveaxis(np.array(ends).reshape(-1, 2, 2), 2, 0)
        self._stepped = {k for k, room in enumerate(self.rooms) if not room.is_free}
        self._first = np.full((len(parts), int(kinds.max(initial=-1)) + 1), -1, dtype=np.int64)
        self._every = np.arange(len(parts))
        self._several: dict[tuple[int, int], list[int]] = {}
        for number in range(len(parts)):
            for way in range(self.starts[number], self.starts[number + 1]):
                kind = int(self.kinds[way])
                if self._first[number, kind] < 0:
                    self._first[number, kind] = way
                self._several.setdefault((number, kind), []).append(way)
        self._several = {key: ways for key, ways in self._several.items() if len(ways) > 1}

    @property
    def least_length(self) -> float:
        """Room along the cloth, mm, that one of the parts needs by itself."""
        ends = [
            room.along.at_least(-math.inf) + size
            for room, size in zip(self.rooms, self._sizes[:, 0].tolist(), strict=True)
        ]
        spans = zip(self.starts[:-1], self.starts[1:], strict=True)
        return max((min(ends[a:b]) for a, b in spans), default=0.0)

    @property
    def need_corners(self) -> bool:
        """Whether a part may have several ways of one kind, told apart by where it lies."""
        return bool(self._several)

    def taken(self, kinds: Ints, corners: Points) -> Ints:
        """Return the way that each part has taken, by its kind and its low corner (parts, 2), mm.

        Of several rooms of one kind it is the nearest; where no part has several, corners are not
        looked at.
        """
        ways: Ints = self._first[self._every, kinds]
        for (part, kind), several in self._several.items():
            if kinds[part] == kind:
                ways[part] = min(several, key=lambda way: self._off(way, corners[part]))
        return ways

    def limits(self, ways: Ints, corners: Points) -> tuple[Points, Points]:
        """Return the least and greatest low corners (parts, 2), mm, of parts that lie these ways.

        On an axis with steps a part stays on the step that is nearest to its corner.
        """
        lows, highs = self._lows[ways], self._highs[ways]
        if not self._stepped:
            return lows, highs
        for part, way in enumerate(ways.tolist()):
            if way in self._stepped:
                for axis, room in enumerate(self.rooms[way].axes):
                    if room.period:
                        step = room.nearest(float(corners[part, axis]))
                        lows[part, axis] = highs[part, axis] = step
        return lows, highs

    def on_grid(self, length: float, grid: Grid) -> Choices:
        """Return the ways as choices on a grid, on so much room along the cloth, mm.

        A way without any position is shut, unless its part has no other: then it has one.
        """
        offsets = grid.offsets[self.kinds]
        ends = self._highs.copy()
        ends[:, 0] = np.minimum(ends[:, 0], length - self._sizes[:, 0])
        low = np.ceil((self._lows - offsets) / grid.step - SLACK).astype(np.int64)
        high = np.floor((ends - offsets) / grid.step + SLACK).astype(np.int64)
        rooms = np.full((len(self.kinds), 6), -1, dtype=np.int64)
        counts = high - low + 1
        rooms[:, NX : NX + 2] = np.maximum(counts, 1)
        if self._narrowed.any():
            shut = self._narrowed & (counts < 1).any(axis=1)
            for part in np.flatnonzero(np.logical_and.reduceat(shut, self.starts[:-1])):
                shut[self.starts[part] : self.starts[part + 1]] = False
            rooms[shut, NX : NX + 2] = 0
        rooms[:, LOW_X : LOW_X + 2] = low
        marks: list[NDArray[np.uint8]] = []
        for way in sorted(self._stepped):
            for axis, room in enumerate(self.rooms[way].axes):
                if not room.period or not rooms[way, NX]:
                    continue
                count, first = int(rooms[way, NX + axis]), int(low[way, axis])
                open_ones = np.zeros(count, dtype=np.uint8)
                start = room.at_least(float(first * grid.step + offsets[way, axis]) - room.period)
                steps = start + room.period * np.arange(count * grid.step / room.period + 3)
                cells = np.rint((steps - offsets[way, axis]) / grid.step).astype(np.int64) - first
                open_ones[cells[(cells >= 0) & (cells < count)]] = 1
                rooms[way, MARKS_X + axis] = sum(len(one) for one in marks)
                marks.append(open_ones)
        flat = np.concatenate(marks) if marks else NO_MARKS
        return Choices(self.kinds, self.starts, rooms, flat)

    def _off(self, way: int, corner: Points) -> float:
        """Return how far a low corner lies from the room of a way, mm."""
        near = [
            axis.nearest(float(at)) for axis, at in zip(self.rooms[way].axes, corner, strict=True)
        ]
        return float(np.hypot(*(np.array(near) - corner)))


def into_rooms(choices: Choices, ways: Ints, laid: Ints) -> Ints:
    """Return the kinds and grid positions (3, parts) of parts, each brought into a room.

    A part goes to the nearest open position of its way, and where that is shut to another way.
    """
    rooms = choices.rooms[ways]
    if not rooms[:, NX].all():
        ways = ways.copy()
        for part in np.flatnonzero(rooms[:, NX] == 0):
            own = range(choices.starts[part], choices.starts[part + 1])
            ways[part] = next(way for way in own if choices.rooms[way, NX])
        rooms = choices.rooms[ways]
    moved: Ints = np.vstack((choices.kinds[ways], laid[1:]))
    places = moved[1:]
    for axis in (0, 1):
        low = rooms[:, LOW_X + axis]
        places[axis] = np.minimum(np.maximum(places[axis], low), low + rooms[:, NX + axis] - 1)
        if not len(choices.marks):
            continue
        for part in np.flatnonzero(rooms[:, MARKS_X + axis] >= 0):
            first, count = int(rooms[part, MARKS_X + axis]), int(rooms[part, NX + axis])
            steps = np.flatnonzero(choices.marks[first : first + count]) + low[part]
            if len(steps):
                places[axis, part] = steps[np.argmin(np.abs(steps - places[axis, part]))]
    return moved
