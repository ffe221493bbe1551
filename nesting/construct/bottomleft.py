# SPDX-License-Identifier: GPL-2.0-or-later
"""Constructive search: parts one by one to the leftmost, then lowest, free position.

The order of the parts decides the layout, so better orders are searched for. The outlines it
works on are simplified outward; what that costs is given back at the end of each round by
settling the parts on their true outlines (`nesting.press.settle`).
Source: the bottom-left rule on no-fit polygons after Gomes & Oliveira, "A 2-exchange heuristic for
nesting problems", EJOR 141(2), 2002.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from nesting.cloth.problem import Part, Problem, Spot, needed_length, room_of
from nesting.cloth.rooms import Room
from nesting.construct.leftmost import Barrier, barrier_of, leftmost_in
from nesting.geometry.clip import NO_SLITS, Region
from nesting.geometry.lying import Shape, keep_apart
from nesting.geometry.nofit import NoFits
from nesting.geometry.shapes import key_of
from nesting.geometry.simplify import bases_of
from nesting.press.settle import Settler
from nesting.stop import Stopped, never

Order = tuple[int, ...]
"""Indices of the parts, the one to be placed first first."""

SIMPLER = 1.0 / 1000.0
"""Tolerance of the outlines searched with, as a share of the fabric's width."""
CYCLE = 400
"""Steps from one start of annealing to the next."""
HEAT = 0.001
"""By which share of the best length, on average, a layout may be longer and still be accepted."""
TRIES = 20
"""Times to look for two parts that differ, before two equal ones are changed about."""
SHORTER = 1e-6
"""mm by which a layout must be shorter to count as better."""
EVEN = 1e-6
"""mm: right ends nearer than that are equally far left, so that the lower position wins."""
FIRST = 1e12
"""mm or mm2 that make a part larger than all others."""
NOTHING = Region((), (), NO_SLITS)
"""The no-fit polygon of shapes that may lie over each other."""
SAME = 1e-9
"""mm within which two outlines are the same, moved."""


def improve(
    problem: Problem,
    start: tuple[Spot | None, ...],
    *,
    seed: int,
    workers: int,
    should_stop: Callable[[int], bool],
    on_better: Callable[[tuple[Spot, ...], int], None],
) -> int:
    """Search for better orders of the parts and hand over ever shorter layouts; return the rounds.

    The contract is that of `nesting.search.improver.Improver`. In a round each of `workers` chains,
    with a random generator of its own, tries one order; all of them run in this process.
    """
    rounds = 0

    def stopped() -> bool:
        return should_stop(rounds)

    # What takes long is prepared here, where a stop is heard; those who need it find it remembered.
    try:
        for tolerance in (0.0, SIMPLER * problem.fabric.width):
            bases_of(problem.shapes, problem.fabric.gap, tolerance, stopped)
    except Stopped:
        return rounds
    best = _Best(problem, start, on_better)
    constructor = Constructor(problem)
    chains = [
        _Chain(problem, constructor, np.random.default_rng([seed, number]), number)
        for number in range(workers)
    ]
    while problem.parts and not stopped():
        for chain in chains:
            spots = chain.step(stopped)
            if spots is None or not best.take(spots, rounds + 1, stopped):
                return rounds
        rounds += 1
    return rounds


@dataclass(frozen=True, slots=True)
class _Choice:
    """A free position of a part: how good it is (less is better) and where it lies."""

    score: tuple[int, int]
    spot: Spot


class Constructor:
    """Lays out a problem by orders of its parts; what is known about pairs is kept for the next.

    `tolerance` mm is how far the outlines searched with may exceed the true ones.
    """

    def __init__(self, problem: Problem, tolerance: float | None = None) -> None:
        if tolerance is None:
            tolerance = SIMPLER * problem.fabric.width
        self._problem = problem
        self._barriers = _barriers_of(problem.shapes, problem.fabric.gap, tolerance)
        self._shapes = [self._barriers.different(part) for part in problem.parts]

    def lay(
        self,
        order: Sequence[int],
        kept: Sequence[Spot | None] = (),
        should_stop: Callable[[], bool] = never,
    ) -> tuple[Spot | None, ...] | None:
        """Return the spots of all parts placed in an order; None when told to stop.

        `kept` are the spots of the first parts of the order, known from an earlier layout.
        """
        spots: list[Spot | None] = [None] * len(self._problem.parts)
        placed: list[Spot] = list(self._problem.fixed)
        reached: dict[tuple[int, Room], tuple[float, float]] = {}
        for part, spot in zip(order, kept, strict=False):
            spots[part] = spot
            placed += [spot] if spot else []
        for part in order[len(kept) :]:
            if should_stop():
                return None
            choice = self._best(part, placed, reached)
            if choice is not None:
                spots[part] = choice.spot
                placed.append(choice.spot)
        return tuple(spots)

    def _best(
        self,
        part: int,
        placed: Sequence[Spot],
        reached: dict[tuple[int, Room], tuple[float, float]],
    ) -> _Choice | None:
        """Return the best free position of a part among its orientations.

        `reached` remembers how far left each shape could go in each room: with more parts placed it
        cannot go farther.
        """
        best = None
        for shape in self._shapes[part]:
            outline = self._problem.shapes[shape]
            room = room_of(self._problem, self._problem.parts[part], shape)
            found = leftmost_in(
                room,
                [(self._barriers.between(spot.shape, shape), spot.x, spot.y) for spot in placed],
                reached.get((shape, room), (-math.inf, -math.inf)),
                math.inf if best is None else (best.score[0] + 1.0) * EVEN - outline.high[0],
            )
            if found is None:
                continue
            reached[shape, room] = found
            x, y = found
            score = (
                math.floor((x + outline.high[0]) / EVEN + 0.5),
                math.floor((y + outline.low[1]) / EVEN + 0.5),
            )
            if best is None or score < best.score:
                best = _Choice(score, Spot(shape, x, y))
        return best


class _Barriers:
    """The no-fit polygons of all pairs of a problem's shapes, as arrays, when first asked for."""

    def __init__(self, shapes: Sequence[Shape], nofits: NoFits) -> None:
        self._shapes, self._nofits = shapes, nofits
        self._known: dict[tuple[int, int], Barrier] = {}

    def between(self, fixed: int, moving: int) -> Barrier:
        """Return the no-fit polygon of two shapes, given by index."""
        pair = fixed, moving
        if pair not in self._known:
            apart = keep_apart(self._shapes[fixed], self._shapes[moving])
            region = self._nofits.region(fixed, moving) if apart else NOTHING
            self._known[pair] = barrier_of(region)
        return self._known[pair]

    def different(self, part: Part) -> list[int]:
        """Return those of a part's shapes that differ by more than a movement, or in their room."""
        seen: set[tuple[bytes, Room | None]] = set()
        kept = []
        for number, shape in enumerate(part.shapes):
            room = part.rooms[number] if part.rooms else None
            key = key_of(self._nofits.outline(shape), SAME), room
            if key not in seen:
                seen.add(key)
                kept.append(shape)
        return kept


@lru_cache(maxsize=4)
def _barriers_of(shapes: tuple[Shape, ...], gap: float, tolerance: float) -> _Barriers:
    """Return the pairs of shapes of one problem: shared by all searches that ask in turn.

    They hold nothing but what follows from the shapes, so sharing changes no result.
    """
    return _Barriers(shapes, NoFits(shapes, bases_of(shapes, gap, tolerance)))


@dataclass(frozen=True, slots=True)
class _Tried:
    """An order and what came of it; `length` is infinite when a part is missing."""

    order: Order
    spots: tuple[Spot | None, ...]
    length: float


class _Chain:
    """Orders tried one after the other, each a small change of an earlier one.

    First the orders by size. Then cycles of simulated annealing, cooling down, that start by turns
    from the best order so far and from a fresh one in which large parts tend to come first.
    """

    def __init__(
        self,
        problem: Problem,
        constructor: Constructor,
        generator: np.random.Generator,
        number: int,
    ) -> None:
        self._problem = problem
        self._constructor = constructor
        self._generator = generator
        self._sizes = np.roll(_sizes(problem), -number, axis=0)
        self._kinds = [(part.piece, part.shapes, part.rooms) for part in problem.parts]
        self._steps = 0
        self._best = self._current = _Tried((), (), math.inf)

    def step(self, should_stop: Callable[[], bool]) -> tuple[Spot | None, ...] | None:
        """Try one order and return its layout, or None when told to stop."""
        cycle, phase = divmod(self._steps - len(self._sizes), CYCLE)
        same = 0
        if cycle < 0:
            order = _descending(self._sizes[self._steps])
        elif phase == 0 and cycle % 2 == 1:
            order = self._fresh()
        else:
            self._current = self._best if phase == 0 else self._current
            order, same = self._changed()
        kept = [self._current.spots[part] for part in order[:same]]
        spots = self._constructor.lay(order, kept, should_stop)
        if spots is None:
            return None
        length = math.inf if None in spots else needed_length(self._problem, spots)
        self._judge(_Tried(order, spots, length), 0.0 if cycle < 0 else 1.0 - phase / CYCLE)
        self._steps += 1
        return spots

    def _judge(self, tried: _Tried, heat: float) -> None:
        """Go on from what was tried when it is not worse, or by chance when it is a little."""
        allowance = HEAT * heat * self._best.length * self._generator.exponential()
        # Any order is better than none to go on from; and infinite lengths leave no allowance.
        fresh = heat == 1.0 or not self._current.order
        if fresh or tried.length <= self._current.length + allowance:
            self._current = tried
        if tried.length < self._best.length:
            self._best = tried

    def _fresh(self) -> Order:
        """Return a random order in which large parts tend to come first."""
        size = self._sizes[self._generator.integers(len(self._sizes))]
        return _descending(size * self._generator.uniform(0.5, 1.0, len(size)))

    def _changed(self) -> tuple[Order, int]:
        """Return the current order with two parts swapped or one moved, and how many stay first."""
        order = list(self._current.order)
        first = second = 0
        for _ in range(TRIES):
            first, second = sorted(self._generator.integers(len(order), size=2).tolist())
            if self._kinds[order[first]] != self._kinds[order[second]]:
                break
        match self._generator.integers(4):
            case 0:
                order.insert(first, order.pop(second))
            case 1:
                order.insert(second, order.pop(first))
            case _:
                order[first], order[second] = order[second], order[first]
        return tuple(order), first


class _Best:
    """The shortest layout so far, on true outlines."""

    def __init__(
        self,
        problem: Problem,
        start: tuple[Spot | None, ...],
        on_better: Callable[[tuple[Spot, ...], int], None],
    ) -> None:
        self._problem = problem
        self._on_better = on_better
        self._settler = Settler(problem)
        self._length = math.inf if None in start else needed_length(problem, start)
        self._unsettled = math.inf

    def take(
        self, spots: Sequence[Spot | None], rounds: int, should_stop: Callable[[], bool]
    ) -> bool:
        """Settle a layout that is shorter than all before it, and hand it over if it is best.

        Returns False when stopped in between.
        """
        length = math.inf if None in spots else needed_length(self._problem, spots)
        if length >= self._unsettled:
            return True
        settled = self._settler.settle(spots, should_stop)
        if settled is None:
            return False
        self._unsettled = length
        length = needed_length(self._problem, settled)
        if length < self._length - SHORTER:
            self._length = length
            self._on_better(tuple(spot for spot in settled if spot is not None), rounds)
        return True


def orders_by_size(problem: Problem) -> list[Order]:
    """Return the orders that are tried first: by descending size, of whatever kind."""
    return [_descending(size) for size in _sizes(problem)]


def _sizes(problem: Problem) -> NDArray[np.float64]:
    """Return what parts are sorted by, a row each: area, box area, length, width, diagonal.

    Parts that must lie near the start of the cloth come before all others.
    """
    boxes = np.array([problem.shapes[part.shapes[0]].size for part in problem.parts])
    boxes = boxes.reshape(-1, 2)
    area = np.array([part.area for part in problem.parts])
    sizes = np.array(
        [
            boxes[:, 0] * boxes[:, 1],
            boxes[:, 0],
            np.hypot(boxes[:, 0], boxes[:, 1]),
            area,
            boxes[:, 1],
        ]
    )
    near = [any(math.isfinite(room.along.high) for room in part.rooms) for part in problem.parts]
    sizes[:, near] += FIRST
    return sizes


def _descending(size: NDArray[np.float64]) -> Order:
    """Return the parts by decreasing size, equal ones by index."""
    return tuple(np.argsort(-size, kind="stable").tolist())
