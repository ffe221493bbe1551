# SPDX-License-Identifier: GPL-2.0-or-later
"""Makes longer lines of lines and the ways over the gaps between them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.ops import substring

from extension.joining.bridges import Way, drawn_over
from extension.joining.lines import Ends, Line, put_together
from extension.joining.segments import TOUCH, FloatArray, Look, length_of
from extension.joining.touching import chains_of


@dataclass(frozen=True, eq=False, slots=True)
class Woven:
    """Lines that are still open, and those that came out closed."""

    open: tuple[Line, ...]
    closed: tuple[Line, ...]


def weave(lines: Sequence[Line], ends: Ends, ways: Iterable[Way]) -> Woven:
    """Return the lines with these ways taken; an end takes part in one way at most."""
    at = {end: one for one in ways for end in (one.one, one.two)}
    found: tuple[list[Line], list[Line]] = ([], [])
    for chain, closed in chains_of(partners(2 * len(lines), at)):
        single = len(chain) == 1 and not closed
        found[closed].append(lines[chain[0] // 2] if single else chained(chain, at, lines, ends))
    return Woven(tuple(found[0]), tuple(found[1]))


def partners(count: int, at: Mapping[int, Way]) -> list[int]:
    """Return the end that each of `count` ends is linked with by the ways at them, or -1."""
    partner = [-1] * count
    for end, one in at.items():
        partner[end] = one.two if end == one.one else one.one
    return partner


def chained(chain: Sequence[int], at: Mapping[int, Way], lines: Sequence[Line], ends: Ends) -> Line:
    """Return one line of lines in the order and the directions in which a chain enters them."""
    parts: list[FloatArray] = []
    members: list[int] = []
    dashes: list[float] = []
    gaps: list[float] = []
    for entered in chain:
        line = lines[entered // 2]
        turned = slice(None, None, -1 if entered % 2 else 1)
        points = line.points[turned]
        points = _cut(points, _behind(at.get(entered), entered))
        parts.append(_cut(points[::-1], _behind(at.get(entered ^ 1), entered ^ 1))[::-1])
        members += line.members[turned]
        dashes += line.dashes[turned]
        gaps += line.gaps[turned]
        onward = at.get(entered ^ 1)
        if onward is not None:
            over = drawn_over(ends, onward)
            parts.append(over if onward.one == entered ^ 1 else over[::-1])
            gaps.append(onward.gap)
    look = _most([lines[entered // 2] for entered in chain])
    return _unbroken(put_together(parts), look, members, dashes, gaps)


def _unbroken(
    points: FloatArray, look: Look, members: list[int], dashes: list[float], gaps: list[float]
) -> Line:
    """Return a line with dashes that touch counted as one."""
    whole, wide = [dashes[0]], []
    for gap, dash in zip(gaps, dashes[1:], strict=False):
        if gap <= TOUCH:
            whole[-1] += dash
        else:
            whole.append(dash)
            wide.append(gap)
    wide += [gap for gap in gaps[len(dashes) - 1 :] if gap > TOUCH]
    return Line(points, look, tuple(members), tuple(whole), tuple(wide))


def _behind(way: Way | None, end: int) -> float:
    """Return by how many mm a line runs past the corner that a way makes at its end."""
    if way is None or not way.corner:
        return 0.0
    return max(0.0, -(way.ahead_one if way.one == end else way.ahead_two))


def _cut(points: FloatArray, beginning: float) -> FloatArray:
    """Return a line without so many mm of its beginning (nothing of it when it is shorter)."""
    if beginning <= 0.0:
        return points
    if length_of(points) <= beginning:
        return points[-1:]
    line = substring(shapely.LineString(points), beginning, length_of(points))
    return np.asarray(line.coords, dtype=float)


def _most(lines: Sequence[Line]) -> Look:
    """Return the look that makes up most of the length of some lines."""
    lengths: dict[Look, float] = {}
    for line in lines:
        lengths[line.look] = lengths.get(line.look, 0.0) + line.length
    return max(sorted(lengths), key=lambda look: round(lengths[look], 3))
