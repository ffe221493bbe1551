# SPDX-License-Identifier: GPL-2.0-or-later
"""Puts segments end to end where exactly two ends of one look meet: nothing to decide there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from extension.joining.lines import Line, put_together
from extension.joining.nearest import tree_of
from extension.joining.segments import TOUCH, FloatArray, Segment, directed, length_of

NOWHERE: FloatArray = np.empty((0, 2))
APART = 1e7
"""mm between the planes in which lines of different looks are searched."""


@dataclass(frozen=True, eq=False, slots=True)
class Touched:
    """Lines that are open, and those that came out closed."""

    open: tuple[Line, ...]
    closed: tuple[Line, ...]


def planes(places: FloatArray, looks: Sequence[int]) -> FloatArray:
    """Return places (n, 2) as (n, 3): lines of different looks lie in planes far apart."""
    return np.column_stack([places, np.asarray(looks, dtype=float) * APART])


def put_end_to_end(
    segments: Sequence[Segment],
    order: Sequence[int],
    free: FloatArray = NOWHERE,
    reach: float = 0.0,
) -> Touched:
    """Return the segments whose numbers are in `order` as lines; dots stay by themselves.

    Where a line that may go on from there lies near, they are not put together: `free` are the
    places (n, 2) of free ends, `reach` is how near, mm.
    """
    lines = [number for number in order if len(segments[number].points) > 1]
    dots = [number for number in order if len(segments[number].points) == 1]
    partner = _partners([segments[number] for number in lines], free, reach)
    found: list[Line] = []
    closed: list[Line] = []
    for chain, is_closed in chains_of(partner):
        members = [lines[end // 2] for end in chain]
        points = put_together(_in_direction(segments[lines[end // 2]], end) for end in chain)
        look = segments[members[0]].look
        line = Line(points, look, tuple(members), (length_of(points),))
        (closed if is_closed else found).append(line)
    found += [Line(segments[dot].points, segments[dot].look, (dot,), (0.0,)) for dot in dots]
    return Touched(tuple(found), tuple(closed))


def chains_of(partner: Sequence[int]) -> list[tuple[list[int], bool]]:
    """Return the chains of lines whose ends are linked, as the ends at which each is entered.

    `partner[e]` is the end that end e is linked with, or -1; line k has the ends 2 k and 2 k + 1.
    The second value says whether a chain closes. Open chains come first at the lowest free end.
    """
    chains: list[tuple[list[int], bool]] = []
    seen = [False] * (len(partner) // 2)
    free = [end for end, other in enumerate(partner) if other < 0]
    for start in (*free, *range(0, len(partner), 2)):
        if seen[start // 2]:
            continue
        chain, end = [], start
        while end >= 0 and not seen[end // 2]:
            seen[end // 2] = True
            chain.append(end)
            end = partner[end ^ 1]
        chains.append((chain, end >= 0))
    return chains


def _in_direction(segment: Segment, entered: int) -> FloatArray:
    points = directed(segment.points)
    return points[::-1] if entered % 2 else points


def _partners(segments: Sequence[Segment], free: FloatArray, reach: float) -> list[int]:
    """Return for each end the only other one at its place, -1 where there is none or several.

    And -1 where one of the `free` places is within reach.
    """
    partner = [-1] * (2 * len(segments))
    if not segments:
        return partner
    places = np.array([directed(one.points)[i] for one in segments for i in (0, -1)])
    looks = sorted({segment.look for segment in segments})
    numbers = {look: number for number, look in enumerate(looks)}
    tree = tree_of(planes(places, [numbers[one.look] for one in segments for _ in (0, 1)]))
    near: list[list[int]] = [[] for _ in partner]
    for one, other in tree.query_pairs(TOUCH):
        near[one].append(other)
        near[other].append(one)
    open_to = tree_of(free).query(places)[0] <= reach if len(free) else np.zeros(len(places))
    for end, others in enumerate(near):
        if len(others) == 1 and near[others[0]] == [end] and not open_to[end]:
            partner[end] = others[0]
    return partner
