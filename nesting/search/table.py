# SPDX-License-Identifier: GPL-2.0-or-later
"""What all chains of one problem share: convex parts and overlap maps of its kinds of shapes.

Shapes that differ by a movement only are one kind. The cell of the grid follows from the size of
the parts, and how far outlines are simplified from the cell: both are the same on every width.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from nesting.cloth.clump import Clump, members_of
from nesting.cloth.frame import Frame
from nesting.cloth.problem import Problem, needed_length
from nesting.geometry.arrays import Ints
from nesting.geometry.convex import cut_up
from nesting.geometry.lying import Shape, passing_pairs
from nesting.geometry.shapes import Points, key_of
from nesting.geometry.simplify import bases_of
from nesting.grid.maps import Grid, build_grid
from nesting.grid.ways import Ways
from nesting.stop import never

CELLS = 48.0
"""Cells along a side of a square as large as the mean of the parts."""
SIMPLER = 0.25
"""Cells by which the outlines searched with may be farther out than the true ones."""
SAME = 1e-6
"""mm within which two outlines are the same, moved."""
TURNS_TO = 1_000_000
"""The part of a degree that tells turns apart."""


@dataclass(frozen=True, eq=False, slots=True)
class Table:
    """What all chains of one problem share.

    `kinds` gives the kind of each of the problem's shapes, `rough` and `true` the convex parts of
    each kind (simplified, and on the true outline), `sizes` the extents of its box, `ways` what
    each part may take. No layout is shorter than `least_length`, mm, the margins not counted.
    `passing` are the pairs of kinds, either way round, that may lie over each other.
    """

    frame: Frame
    kinds: Ints
    rough: tuple[tuple[Points, ...], ...]
    true: tuple[tuple[Points, ...], ...]
    sizes: tuple[tuple[float, float], ...]
    grid: Grid
    ways: Ways
    least_length: float
    passing: frozenset[tuple[int, int]]

    @property
    def problem(self) -> Problem:
        """The problem that the table is of."""
        return self.frame.problem


def build_table(
    problem: Problem,
    is_cancelled: Callable[[], bool] = never,
    workers: int = 1,
    side: float | None = None,
) -> Table:
    """Return the table of a problem: convex parts and overlap maps of its kinds of shapes.

    `workers` threads build the maps. `side` mm is that of a square as large as the mean of the
    parts, where that is not the mean of these. Raises Stopped when cancelled.
    """
    gap, frame = problem.fabric.gap, Frame(problem)
    kinds, examples = _kinds_of(problem.shapes)
    if side is None:
        side = problem.mean_side
    cell = side / CELLS
    chosen = [problem.shapes[index] for index in examples]
    members = [shape for shape, _, _ in members_of(chosen)]
    rough_bases = bases_of(members, gap, SIMPLER * cell, is_cancelled)
    true_bases = bases_of(members, gap, 0.0, is_cancelled)
    rough = _convex(chosen, rough_bases, is_cancelled)
    drawn_simply = all(np.array_equal(rough_bases[name], true_bases[name]) for name in true_bases)
    true = rough if drawn_simply else _convex(chosen, true_bases, is_cancelled)
    sizes = tuple(shape.size for shape in chosen)
    ways = Ways(frame, kinds, sizes)
    held = frame.along(needed_length(problem, ())) if problem.held else 0.0
    least = max(ways.least_length, problem.area / frame.across, held)
    half_turns = _half_turns(problem.shapes, kinds)
    passing = passing_pairs(chosen)
    grid = build_grid(rough, sizes, cell, is_cancelled, workers, half_turns, passing)
    return Table(frame, kinds, rough, true, sizes, grid, ways, least, passing)


def _convex(
    chosen: Sequence[Shape], bases: Mapping[str, Points], is_cancelled: Callable[[], bool]
) -> tuple[tuple[Points, ...], ...]:
    """Return the convex parts of each shape, those of all its members, from the low corner."""
    every = members_of(chosen)
    cut = iter(cut_up([member for member, _, _ in every], bases, is_cancelled))
    found: list[tuple[Points, ...]] = []
    for shape in chosen:
        if not isinstance(shape, Clump):
            found.append(next(cut))
            continue
        moved = [
            part + (np.add(member.low, (x, y)) - np.array(shape.low))
            for member, x, y in shape.members
            for part in next(cut)
        ]
        found.append(tuple(moved))
    return tuple(found)


def _kinds_of(shapes: Sequence[Shape]) -> tuple[Ints, list[int]]:
    """Return the kind of each shape, and an example of each kind."""
    known: dict[tuple[bytes, bool, bool], int] = {}
    examples: list[int] = []
    kinds = np.zeros(len(shapes), dtype=np.int64)
    for index, shape in enumerate(shapes):
        key = key_of(shape.points, SAME), shape.is_hidden, shape.gives_way
        if key not in known:
            known[key] = len(examples)
            examples.append(index)
        kinds[index] = known[key]
    return kinds, examples


def _half_turns(shapes: Sequence[Shape], kinds: Ints) -> list[int]:
    """Return for each kind of shape the kind that it is when turned by 180 degrees, -1 for none."""
    known = {_lying(shape, 0): int(kind) for shape, kind in zip(shapes, kinds, strict=True)}
    found = [-1] * (int(kinds.max()) + 1)
    for shape, kind in zip(shapes, kinds, strict=True):
        found[kind] = known.get(_lying(shape, 180), -1)
    return [other if other >= 0 and found[other] == k else -1 for k, other in enumerate(found)]


def _lying(shape: Shape, more: int) -> tuple[str, bool, int]:
    """Return how a shape lies, turned by some more degrees: what tells shapes apart."""
    turn = round((shape.orientation.turn + more) * TURNS_TO) % (360 * TURNS_TO)
    return shape.piece, shape.orientation.flip, turn
