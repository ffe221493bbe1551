# SPDX-License-Identifier: GPL-2.0-or-later
"""Long layouts of many different parts, window by window: which windows are taken, and when.

In a round each worker searches a window of its own (`nesting.search.window`), as far from those of
the others as the layout is long. A pass goes once over the whole length; in each pass windows begin
elsewhere and are searched longer. Nothing but the best layout and the number of rounds is carried
from round to round.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from nesting.cloth.problem import Problem, Spot, needed_length
from nesting.search.window import Window, from_the_left

SIZE = 24
"""Parts in a window."""
STRIDE = SIZE // 2
"""Parts from one window to the next."""
ROUNDS, MOST_ROUNDS = 4, 24
"""Rounds of the chain in a window in the first pass, and by how many more in each later one; and
how many at most."""
SHIFT = 5
"""Parts by which the windows of a pass begin farther than those of the one before."""
APART = SIZE + 2 * STRIDE
"""Parts from the window of one worker to that of the next, as a rule and but for the end."""


def takes_windows(problem: Problem) -> bool:
    """Return whether a problem is searched in windows.

    What is fixed, or narrowed, cannot move along with what is right of a window.
    """
    return problem.is_long and not problem.fixed and not problem.is_narrowed


def windows_of(
    problem: Problem, spots: Sequence[Spot], number: int, workers: int
) -> tuple[list[Window], int]:
    """Return the windows of a round, from the left, and the rounds of a chain in each."""
    order = from_the_left(problem, spots)
    last = len(order) - SIZE
    side_by_side = max(1, min(workers, last // APART))
    span = last // side_by_side
    each = -(-(last - (side_by_side - 1) * span) // STRIDE) + 1
    turn, place = divmod(number, each)
    shift = turn * SHIFT % STRIDE
    # More workers than windows: the same ones once more, with other seeds.
    firsts = sorted(
        min(last, max(0, k % side_by_side * span + place * STRIDE - shift)) for k in range(workers)
    )
    windows = [
        Window(
            tuple(order[:first]), tuple(order[first : first + SIZE]), tuple(order[first + SIZE :])
        )
        for first in firsts
    ]
    return windows, min(MOST_ROUNDS, ROUNDS * (turn + 1))


def together(
    problem: Problem,
    spots: tuple[Spot, ...],
    windows: Sequence[Window],
    found: Sequence[tuple[Spot, ...]],
) -> tuple[Spot, ...]:
    """Return the layout with what all windows have gained, as far as they do not meet.

    `windows` are in the order of the layout. What cannot be had together is had of the window that
    gains more.
    """
    gains = [needed_length(problem, spots) - needed_length(problem, one) for one in found]
    by_gain = sorted(range(len(found)), key=lambda k: (-gains[k], k))
    taken: list[int] = []
    best = spots
    for k in by_gain:
        if gains[k] <= 0.0:
            continue
        joined = _joined(problem, spots, windows, found, sorted([*taken, k]))
        if joined is not None:
            taken.append(k)
            best = joined
    return best


def _joined(
    problem: Problem,
    spots: tuple[Spot, ...],
    windows: Sequence[Window],
    found: Sequence[tuple[Spot, ...]],
    some: Sequence[int],
) -> tuple[Spot, ...] | None:
    """Return the layout with what some windows found; None when two of them would meet."""
    joined = list(spots)
    moved_by, reached = 0.0, -float("inf")
    for place, k in enumerate(some):
        window = windows[k]
        for part in window.moved:
            joined[part] = replace(found[k][part], x=found[k][part].x + moved_by)
        shapes = [(problem.shapes[joined[part].shape], joined[part].x) for part in window.moved]
        if min(shape.low[0] + x for shape, x in shapes) < reached + problem.fabric.gap:
            return None
        reached = max(shape.high[0] + x for shape, x in shapes)
        if window.right:
            moved_by += found[k][window.right[0]].x - spots[window.right[0]].x
        until = set(windows[some[place + 1]].right) if place + 1 < len(some) else set()
        for part in window.right:
            if part not in until:
                joined[part] = replace(spots[part], x=spots[part].x + moved_by)
    return tuple(joined)
