# SPDX-License-Identifier: GPL-2.0-or-later
"""What no layout can beat: a proven lower bound on the length, and utilisation.

The cloth between the margins is w wide. Look at one column of it, a cut straight across. The
parts that it meets lie one above the other with a gap g between them, so their chords c (lengths
within the column) satisfy sum (c + g) <= w + g. From that alone follow five bounds:

- *area*: integrated over all columns, the chords are the areas.
- *share*: for every whole k >= 1, sum (ceil((k + 1) (c + g) / (w + g)) - 1) <= k, because
  ceil(y) - 1 < y for y > 0 makes the left side less than k + 1. Integrated over all columns it
  bounds k times the length. Source: dual feasible functions, Fekete & Schepers, "New classes of
  fast lower bounds for bin packing problems", Mathematical Programming 91, 2001, pp. 11-31.
- *rows*: at most m parts with (c + g) > (w + g) / (m + 1) meet one column. So their runs of such
  columns are intervals of which at most m overlap; they fall into m rows, in each of which they
  follow each other. Of the k m + 1 longest, k + 1 share a row. For equal rectangles this is the
  true optimum, whole rows included. Source: the pigeonhole bound for scheduling on m machines.
- *longest*: no layout is shorter than its longest part.
- *lines*: parts that may lie nowhere but along a line of the cloth (on a fold of it) follow each
  other there; with m such lines they fall into m rows, as above.

With a gap all holds once more for parts grown by g / 2 all round, on cloth grown by as much: grown
parts do not overlap. Of a part that may take several turns the turn that gives least is counted.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from nesting.cloth.problem import Problem, least_end
from nesting.cloth.remnant import least_length
from nesting.cloth.rooms import span_across
from nesting.geometry.lying import Shape
from nesting.geometry.shapes import Points
from nesting.stop import go_on_unless, never

Floats = NDArray[np.float64]

SHARES = 12
"""Largest k of the bounds by share: finer ones come close to the area."""
ROWS = 100
"""Largest number of rows that is looked at."""
STRICT = 1e-9
"""Relative excess from which one length counts as greater than another: rounding must not."""
SHY = 0.98
"""Share of half the gap by which an outline with hollows grows: GEOS smooths hollows a little."""

ON_LINE, LINE = 1e-6, 3
"""mm within which a corner lies on a line, and decimals to which lines are the same."""

SHARE_LEVELS = np.array([j / (k + 1) for k in range(1, SHARES + 1) for j in range(1, k + 1)])
"""Shares of the cloth above which a chord counts once more, those of k = 1, 2, ... in turn."""
FIRST_OF_SHARE = np.array([k * (k - 1) // 2 for k in range(1, SHARES + 1)])
"""Where the levels of each k begin."""


@dataclass(frozen=True, eq=False, slots=True)
class Slabs:
    """A polygon cut across at every corner: within a slab the chord is linear.

    `left` and `right` are the chords at the two ends of each slab, `widths` their widths, mm.
    """

    left: Floats
    right: Floats
    widths: Floats


@dataclass(frozen=True, eq=False, slots=True)
class Columns:
    """What the columns of one shape say; all in mm but the area.

    `length` is the extent along the cloth; `share[k - 1]` the integral of the share function;
    `runs[m - 1]` the longest run of columns that only m parts can have in common.
    """

    area: float
    length: float
    share: Floats
    runs: Floats

    def least(self, other: Columns) -> Columns:
        """Return what holds for either of two turns."""
        return Columns(
            min(self.area, other.area),
            min(self.length, other.length),
            np.minimum(self.share, other.share),
            np.minimum(self.runs, other.runs),
        )


def utilisation(area: float, width: float, length: float) -> float:
    """Return the share of the cloth that parts of so much area cover; 0 without cloth."""
    return area / (width * length) if length > 0.0 else 0.0


def lower_bound(
    problem: Problem, tilting: Collection[str] = (), should_stop: Callable[[], bool] = never
) -> float:
    """Return a length of cloth, mm, edge margins included, that no layout of all parts is below.

    `tilting` are pieces that may lie off the grain; of these only the area counts. Held parts
    count like the others, and the cloth reaches to the end of the last of them, and of each part
    that may not lie farther to the left; an outline of its own has enough area there. Raises
    Stopped when told to stop.
    """
    fabric = problem.fabric
    free = span_across(fabric)
    gap = fabric.gap
    choices = [part.shapes for part in problem.parts]
    choices += [(spot.shape,) for spot in problem.held]
    plain = _column_table(problem.shapes, tilting, free, gap, 0.0, should_stop)
    bound = _bound([_least(plain[shape] for shape in choice) for choice in choices], free)
    if gap > 0.0:
        grown = _column_table(problem.shapes, tilting, free + gap, 0.0, gap / 2.0, should_stop)
        parts = [_least(grown[shape] for shape in choice) for choice in choices]
        bound = max(bound, _bound(parts, free + gap) - gap)
    if problem.is_narrowed:
        bound = max(bound, _along_lines(problem))
    ends = [spot.x + problem.shapes[spot.shape].high[0] for spot in problem.held]
    ends += [least_end(problem, part) for part in problem.parts if part.rooms]
    if fabric.outline:
        ends.append(least_length(fabric, problem.area) - fabric.edge_margin)
    return max([bound + 2.0 * fabric.edge_margin, *(end + fabric.edge_margin for end in ends)])


def _bound(parts: Sequence[Columns], free: float) -> float:
    """Return the best of the four bounds for parts on cloth of which `free` mm can be used."""
    if not parts:
        return 0.0
    share = np.sum([part.share for part in parts], axis=0) / np.arange(1, SHARES + 1)
    return max(
        sum(part.area for part in parts) / free,
        float(share.max()),
        max(part.length for part in parts),
        _rows(np.array([part.runs for part in parts])),
    )


def _rows(runs: Floats) -> float:
    """Return the bound by rows from the runs (parts x numbers of rows)."""
    longest = -np.sort(-runs, axis=0)
    return max(_in_rows(column, rows) for rows, column in enumerate(longest.T, 1))


def _in_rows(lengths: Floats, rows: int) -> float:
    """Return what the longest of some rows has at least; `lengths` fall, and fill the rows."""
    best = 0.0
    for last in range(0, len(lengths), rows):
        more = last // rows
        # Of so many longest, more + 1 share a row: at best the shortest of them.
        best = max(best, float(lengths[last - more : last + 1].sum()))
    return best


def _along_lines(problem: Problem) -> float:
    """Return the bound by the parts that may lie along some lines of the cloth alone."""
    gap, groups = problem.fabric.gap, dict[frozenset[float], list[float]]()
    for part in problem.parts:
        lines, chords = set[float](), []
        for number, room in enumerate(part.rooms):
            across, shape = room.across, problem.shapes[part.shapes[number]]
            if across.low < across.high:
                break
            # Above a line along its low side, below one along its high side.
            chord, end = max(
                (_chord(shape.points, end), end) for end in (shape.low[1], shape.high[1])
            )
            lines.add(round(across.low + end, LINE))
            chords.append(chord)
        else:
            if lines:
                groups.setdefault(frozenset(lines), []).append(min(chords) + gap)
    found = [
        _in_rows(-np.sort(-np.array(lengths)), len(lines)) - gap
        for lines, lengths in groups.items()
    ]
    return max(found, default=0.0)


def _chord(points: Points, across: float) -> float:
    """Return how long an outline runs along a line across which it does not reach, mm."""
    on_line = points[np.abs(points[:, 1] - across) <= ON_LINE, 0]
    return float(np.ptp(on_line)) if len(on_line) else 0.0


def _least(columns: Iterable[Columns]) -> Columns:
    """Return what holds in whichever of its turns a part lies."""
    first, *others = columns
    for other in others:
        first = first.least(other)
    return first


def _column_table(
    shapes: Sequence[Shape],
    tilting: Collection[str],
    free: float,
    gap: float,
    growth: float,
    should_stop: Callable[[], bool],
) -> list[Columns]:
    """Return the columns of every shape, grown by `growth`, on cloth `free` mm wide."""
    known: dict[tuple[str, float, bool], Columns] = {}
    table = []
    for shape in shapes:
        turn, flip = shape.orientation.turn % 180.0, shape.orientation.flip
        # Half a turn and a flip leave all chords as they are; not so the flip of an oblique part.
        key = (shape.piece, turn, flip and turn % 90.0 != 0.0)
        if key not in known:
            go_on_unless(should_stop)
            polygon = _grown(shape.points, growth)
            known[key] = (
                Columns(polygon.area, 0.0, np.zeros(SHARES), np.zeros(ROWS))
                if shape.piece in tilting
                else _columns(polygon, free, gap)
            )
        table.append(known[key])
    return table


def _grown(points: Points, growth: float) -> shapely.Polygon:
    """Return an outline as a polygon, grown all round by at most `growth` mm."""
    polygon = shapely.Polygon(points)
    if growth == 0.0:
        return polygon
    hollow = polygon.convex_hull.area - polygon.area > STRICT * polygon.area
    # Its arcs are inscribed, so the grown polygon is never larger than it should be.
    return polygon.buffer(growth * SHY if hollow else growth, quad_segs=8)


def _columns(polygon: shapely.Polygon, free: float, gap: float) -> Columns:
    """Return what the columns of one polygon say on cloth `free` mm wide."""
    slabs = _slabs(polygon)
    whole = (free + gap) * (1.0 + STRICT)
    measures = _above(slabs, whole * SHARE_LEVELS - gap).sum(axis=0)
    share = np.add.reduceat(measures, FIRST_OF_SHARE)
    runs = _longest_runs(slabs, whole / np.arange(2, ROWS + 2) - gap)
    return Columns(polygon.area, float(slabs.widths.sum()), share, runs)


def _slabs(polygon: shapely.Polygon) -> Slabs:
    """Return the slabs of a polygon."""
    rings = [shapely.get_coordinates(ring) for ring in (polygon.exterior, *polygon.interiors)]
    x, y = np.concatenate([ring[:-1] for ring in rings]).T
    u, v = np.concatenate([ring[1:] for ring in rings]).T
    xs = np.unique(x)
    low, high = xs[:-1, None], xs[1:, None]
    spans = (np.minimum(x, u) <= low) & (np.maximum(x, u) >= high)
    slope = (v - y) / np.where(u == x, 1.0, u - x)
    # Whichever way the rings run, edges one way count as above, the other way as below.
    side = np.where(spans, np.sign(u - x), 0.0)
    left = np.abs((side * (y + slope * (low - x))).sum(axis=1))
    right = np.abs((side * (y + slope * (high - x))).sum(axis=1))
    return Slabs(left, right, np.diff(xs))


def _above(slabs: Slabs, levels: Floats) -> Floats:
    """Return how much of each slab, mm, has a chord greater than each level (slabs x levels)."""
    low = np.minimum(slabs.left, slabs.right)[:, None]
    high = np.maximum(slabs.left, slabs.right)[:, None]
    part = (high - levels) / np.where(high > low, high - low, 1.0)
    share = np.where(low > levels, 1.0, np.where(high > levels, part, 0.0))
    return slabs.widths[:, None] * share


def _longest_runs(slabs: Slabs, levels: Floats) -> Floats:
    """Return for each level the longest stretch of neighbouring columns with a greater chord."""
    above = _above(slabs, levels)
    starts, ends = slabs.left[:, None] > levels, slabs.right[:, None] > levels
    best, run = np.zeros(len(levels)), np.zeros(len(levels))
    for start, end, stretch in zip(starts, ends, above, strict=True):
        run = np.where(start, run, 0.0) + stretch
        best = np.maximum(best, run)
        run = np.where(end, run, 0.0)
    return best
