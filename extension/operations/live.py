# SPDX-License-Identifier: GPL-2.0-or-later
"""What is shown of a run while it goes on: lines about the best layout, and a small picture of it.

The picture is plain data, a few thousand numbers at most, whatever the drawing holds: outlines
are simplified to what a few hundred pixels show, and many parts become boxes. It is made for
looking at alone; nothing is measured in it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely

from extension.drawn.lying import lying_of
from extension.language.rounding import length_text, less_text
from extension.language.units import System
from extension.operations.progress import ProgressOfAll
from nesting.geometry.shapes import Points, oriented
from nesting.model import Job, LaidSection, Layout, Placement
from nesting.search.keeper import Progress

MOST_LINES = 6
"""Layouts that have a line of their own."""
MOST_POINTS = 40
"""Points of an outline."""
POINTS_OF_ALL = 3000
"""Points of all parts together, about."""
LEAST_POINTS = 4
"""What has more, where no more are left for each, is drawn as its box."""
PIXELS = 440.0
"""How long the cloth is about to be on the screen; what is smaller than one of them goes."""
GAP = 0.01
"""Size of the space between two sections, in widths of the cloth, by `lying_of`'s measure."""

Picture = dict[str, Any]


class Live:
    """What is shown of one run. Lengths are told in `system`."""

    def __init__(self, system: System) -> None:
        self._system = system
        self._first: dict[str, Layout] = {}
        self._reach: dict[str, float] = {}
        self._seen: list[Layout] = []
        self._outlines: dict[tuple[int, str], tuple[Job, Points]] = {}

    def lines(self, now: Progress) -> str:
        """Return a line or two about the best layout so far, a line each of several."""
        each = _each(now)
        if len(each) == 1:
            return "\n".join(self._about(*each[0]))
        told = [f"{name}: {self._briefly(name, one)}" for name, one in each[:MOST_LINES]]
        more = len(each) - MOST_LINES
        return "\n".join([*told, f"and {more} more"] if more > 0 else told)

    def picture(self, now: Progress) -> Picture | None:
        """Return the best layouts as `host/pictures.py` has them; None when they are as before."""
        best = [(name, *one.best) for name, one in _each(now) if one.best is not None]
        seen = [layout for _, _, layout in best]
        if not best or [*map(id, seen)] == [*map(id, self._seen)]:
            return None
        self._seen = seen
        count = sum(len(layout.placements) for layout in seen)
        points = min(MOST_POINTS, max(POINTS_OF_ALL // max(count, 1), LEAST_POINTS))
        return {"cloths": [self._cloth(*one, points) for one in best]}

    def _about(self, name: str, now: Progress) -> list[str]:
        """Return how long a layout is, and what was saved since the first one of the run."""
        told = [f"Best so far: {self._length(now)}, {now.utilisation:.0%} of the cloth used"]
        left, saved = _left_over(now), self._saved(name, now)
        if left:
            return [*told, f"Not laid yet: {left} part{'s' * (left > 1)}"]
        if saved is None:
            return told
        return [*told, f"Saved since the first layout: {saved or 'nothing yet'}"]

    def _briefly(self, name: str, now: Progress) -> str:
        """Return the same in a few words."""
        left, saved = _left_over(now), self._saved(name, now)
        more = f", {left} not laid yet" if left else (f", {saved} saved" if saved else "")
        return f"{self._length(now)}{more}"

    def _length(self, now: Progress) -> str:
        draft = "" if now.rounds else " (first draft)"
        return f"{length_text(now.length, self._system)}{draft}"

    def _saved(self, name: str, now: Progress) -> str | None:
        """Return what was saved since the first layout, "" for nothing; None: not to be told."""
        if now.best is None:
            return None
        first = self._first.setdefault(name, now.best[1])
        if first.left_over or now.best[1].left_over:
            return None
        return less_text(first.length, now.length, self._system)

    def _cloth(self, name: str, job: Job, layout: Layout, points: int) -> Picture:
        """Return one cloth as it lies, with its parts, mm from the cut end and its upper edge."""
        sections = layout.sections or (LaidSection(length=layout.length),)
        between = GAP * layout.width
        lying = {one.number: one for one in lying_of(sections, layout.width, between, 0.0, {})}
        low, high = min(one.low for one in lying.values()), max(one.high for one in lying.values())
        reach = max(one.end for one in lying.values())
        first = self._reach.setdefault(name, reach)
        grains = {piece.id: piece.grain for piece in job.pieces}
        parts = []
        for spot in layout.placements:
            one = lying.get(spot.section)
            if one is None:
                continue
            seen = self._part(job, layout, spot, grains[spot.piece], first / PIXELS, points)
            if spot.on_fold:
                seen = _clipped(_clipped(seen, one.low, 1.0), one.high, -1.0)
            if len(seen) < 3:
                continue
            there = np.column_stack([seen[:, 0] + one.start, high - seen[:, 1]])
            flat = np.rint(there).astype(int).ravel().tolist()
            parts.append({"points": flat, "flipped": int(spot.flip)})
        zones = [
            [one.start, high - zone.high, one.length, zone.high - zone.low, zone.layers]
            for one in lying.values()
            for zone in one.zones
        ]
        return {
            "name": name,
            "length": round(reach, 1),
            "first": round(first, 1),
            "width": round(high - low, 1),
            "sections": [[round(value, 1) for value in zone] for zone in zones],
            "parts": parts,
        }

    def _part(
        self, job: Job, layout: Layout, spot: Placement, grain: float, pixel: float, points: int
    ) -> Points:
        """Return the outline of a part on the cloth, simplified, y up."""
        key = (id(job), spot.piece)
        if key not in self._outlines:
            outline = _simplified(layout.outlines[spot.piece], pixel, points)
            self._outlines[key] = job, outline  # kept, so that its id stays its own
        there = oriented(self._outlines[key][1], grain, spot.turn, spot.flip)
        if len(there) > points:
            (x, y), (x2, y2) = there.min(axis=0), there.max(axis=0)
            there = np.array([(x, y), (x2, y), (x2, y2), (x, y2)])
        moved: Points = there + np.array([spot.x, spot.y])
        return moved


def _left_over(now: Progress) -> int:
    """Return how many parts the best layout leaves over."""
    left = now.best[1].left_over if now.best is not None else ()
    return sum(len(one.copies) for one in left)


def _each(now: Progress) -> Sequence[tuple[str, Progress]]:
    """Return the layouts of a run by their names; one alone needs none."""
    return now.each if isinstance(now, ProgressOfAll) else (("", now),)


def _simplified(outline: Sequence[tuple[float, float]], pixel: float, most: int) -> Points:
    """Return an outline without what is smaller than a pixel, of at most so many points if it can.

    `pixel` in mm.
    """
    points = np.asarray(outline, dtype=np.float64)
    # What is no larger than a pixel keeps its shape all the same.
    pixel = min(pixel, float(np.ptp(points, axis=0).min()) / 16.0)
    for _ in range(3):
        ring = shapely.get_coordinates(shapely.Polygon(points).simplify(pixel))[:-1]
        if 3 <= len(ring) <= most:
            return np.asarray(ring, dtype=np.float64)
        pixel *= 2.0
    return points


def _clipped(points: Points, at: float, side: float) -> Points:
    """Return what of a polygon lies above y = `at` (side 1) or below it (side -1)."""
    found: list[tuple[float, float]] = []
    for (x, y), (x2, y2) in zip(points, np.roll(points, -1, axis=0), strict=True):
        inside, next_inside = side * (y - at) >= 0.0, side * (y2 - at) >= 0.0
        if inside:
            found.append((float(x), float(y)))
        if inside != next_inside:
            found.append((float(x + (x2 - x) * (at - y) / (y2 - y)), at))
    return np.array(found, dtype=np.float64).reshape(-1, 2)
