# SPDX-License-Identifier: GPL-2.0-or-later
"""Half an outline, drawn on the fold, as the path of the whole: its curves stay curves."""

from __future__ import annotations

import math
from collections.abc import Sequence

from extension.svg.building import number
from extension.svg.flatten import ENDS_MEET
from extension.svg.model import Matrix
from extension.svg.pathdata import Segment, Subpath
from extension.svg.transforms import apply, apply_vector
from nesting.model import Point

ARC = 7
"""How many numbers an elliptical arc has."""


def unfolded_data(
    subpaths: Sequence[Subpath], matrix: Matrix, fold: tuple[Point, Point], mirror: Matrix
) -> str | None:
    """Return path data of the whole outline, in the coordinates of the half's element.

    `matrix` maps these to page mm, `fold` is the fold edge in them, `mirror` the reflection about
    it. What else the element draws (inner subpaths) is doubled. The halves meet in the same two
    points to the last digit. None when the fold does not run from one corner of the path to
    another, or when an arc would not stay one because the element is stretched.
    """
    has_arcs = any(len(one) == ARC for subpath in subpaths for one in subpath.segments)
    if has_arcs and not _keeps_angles(matrix):
        return None
    data, unfolded = [], False
    for subpath in subpaths:
        whole = None if unfolded else _whole(subpath, matrix, fold, mirror)
        unfolded = unfolded or whole is not None
        data += [whole] if whole else [_data(subpath), _data(_reflected(subpath, mirror))]
    return " ".join(data) if unfolded else None


def _whole(
    subpath: Subpath, matrix: Matrix, fold: tuple[Point, Point], mirror: Matrix
) -> str | None:
    """Return the data of one subpath unfolded, or None when the fold is no part of it."""
    nodes, segments = _ring(subpath)
    first, last = (_node_at(nodes, matrix, end) for end in fold)
    if first is None or last is None or first == last:
        return None
    chains = [_chain(nodes, segments, first, last), _chain(nodes, segments, last, first)]
    half = max(chains, key=lambda chain: _reach(chain, matrix, fold))
    back = _reflected(_backwards(half), mirror)
    # The way back ends where the half began, in the same digits.
    ends_exactly = (*back.segments[-1][:-2], *half.start)
    there_and_back = (*half.segments, *back.segments[:-1], ends_exactly)
    return _data(Subpath(half.start, there_and_back, closed=True))


def _ring(subpath: Subpath) -> tuple[list[Point], list[Segment]]:
    """Return the corners of a closed subpath and the segment that leads on from each."""
    segments = list(subpath.segments)
    nodes = [subpath.start, *((one[-2], one[-1]) for one in segments)]
    if nodes[-1] == nodes[0]:
        nodes.pop()
    else:
        segments.append(nodes[0])
    return nodes, segments


def _node_at(nodes: Sequence[Point], matrix: Matrix, point: Point) -> int | None:
    """Return which corner lies at a point of the element's coordinates, or None."""
    away = [math.hypot(*apply_vector(matrix, (x - point[0], y - point[1]))) for x, y in nodes]
    nearest = away.index(min(away))
    return nearest if away[nearest] <= ENDS_MEET else None


def _chain(nodes: Sequence[Point], segments: Sequence[Segment], start: int, end: int) -> Subpath:
    """Return what is drawn from one corner forward to another."""
    count = (end - start) % len(nodes)
    walked = [segments[(start + step) % len(segments)] for step in range(count)]
    return Subpath(nodes[start], tuple(walked), closed=False)


def _reach(chain: Subpath, matrix: Matrix, fold: tuple[Point, Point]) -> float:
    """Return how far, in page mm, the points that steer a chain lie off the fold's line."""
    (ax, ay), (bx, by) = (apply(matrix, end) for end in fold)
    length = math.hypot(bx - ax, by - ay)
    farthest = 0.0
    for segment in chain.segments:
        # Of an arc only the end is a point; its two ends on the line still leave its bulge.
        if len(segment) == ARC:
            farthest = max(farthest, ENDS_MEET * 2.0)
        for index in range(5 if len(segment) == ARC else 0, len(segment), 2):
            x, y = apply(matrix, (segment[index], segment[index + 1]))
            farthest = max(farthest, abs((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / length)
    return farthest


def _backwards(chain: Subpath) -> Subpath:
    """Return a chain drawn from its end to its start."""
    starts = [chain.start, *((one[-2], one[-1]) for one in chain.segments)]
    turned: list[Segment] = []
    for before, segment in zip(reversed(starts[:-1]), reversed(chain.segments), strict=True):
        if len(segment) == ARC:
            rx, ry, turn, large, sweep = segment[:5]
            turned.append((rx, ry, turn, large, 1.0 - sweep, *before))
        else:
            pairs = list(zip(segment[:-2:2], segment[1:-2:2], strict=True))
            turned.append((*(value for pair in reversed(pairs) for value in pair), *before))
    return Subpath(starts[-1], tuple(turned), chain.closed)


def _reflected(subpath: Subpath, mirror: Matrix) -> Subpath:
    """Return the mirror image of a subpath; `mirror` is a reflection where there are arcs."""
    axis = math.degrees(math.atan2(mirror[1][0], mirror[0][0]))
    segments: list[Segment] = []
    for segment in subpath.segments:
        if len(segment) == ARC:
            rx, ry, turn, large, sweep, x, y = segment
            end = apply(mirror, (x, y))
            segments.append((rx, ry, axis - turn, large, 1.0 - sweep, *end))
            continue
        points = (apply(mirror, point) for point in zip(segment[::2], segment[1::2], strict=True))
        segments.append(tuple(value for point in points for value in point))
    return Subpath(apply(mirror, subpath.start), tuple(segments), subpath.closed)


def _keeps_angles(matrix: Matrix) -> bool:
    """Return whether a map only turns, mirrors and scales alike in all directions."""
    (a, c, _), (b, d, _) = matrix
    size = math.hypot(a, b)
    skew = abs(a * c + b * d) + abs(math.hypot(c, d) - size) * size
    return skew <= 1e-9 * size * size


def _data(subpath: Subpath) -> str:
    """Return path data with 10-digit numbers."""
    letters = {2: "L", 4: "Q", 6: "C", ARC: "A"}
    words = [f"M {_numbers(subpath.start)}"]
    words += [f"{letters[len(one)]} {_numbers(one)}" for one in subpath.segments]
    return " ".join([*words, "Z"] if subpath.closed else words)


def _numbers(values: Sequence[float]) -> str:
    """Return numbers as path data has them."""
    return ",".join(map(number, values))
