# SPDX-License-Identifier: GPL-2.0-or-later
"""The cutting line round a stitching line: every edge moved out by its own allowance."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from tests.helpers.drafting.curves import Chain, Edge, line, outward, split, tangent

PARALLEL = 1e-3
"""Sine of the angle under which two edges count as running on smoothly."""


def cutting_line(seam: Sequence[Edge], allowance: Mapping[str, float], usual: float) -> Chain:
    """Return the cutting line of a clockwise seam line, corners mitred.

    `allowance` gives mm by edge name, `usual` is taken for every other name. A curve becomes two
    curves with handles scaled to its radius (Tiller & Hanson, "Offsets of two-dimensional
    profiles", IEEE Computer Graphics and Applications 4 (1984), 36-46), within about 0.3 mm.
    Raises ValueError at an inward corner of curves, which no piece here has.
    """
    widths = [allowance.get(edge.name, usual) for edge in seam]
    sides = [_offset(edge, width) for edge, width in zip(seam, widths, strict=True)]
    chain: list[Edge] = []
    for index, side in enumerate(sides):
        following = sides[(index + 1) % len(sides)]
        meeting = _meeting(side[-1], following[0])
        if meeting is None:
            chain.extend(side)
            if abs(side[-1].end - following[0].start) > PARALLEL:
                chain.append(line(side[-1].name, side[-1].end, following[0].start))
            continue
        chain.extend(side[:-1])
        chain.extend(_ended(side[-1], meeting))
        sides[(index + 1) % len(sides)] = (*_begun(following[0], meeting), *following[1:])
    # The first side was begun last: its new start is in `sides`, not yet in the chain.
    return _closed(chain, sides[0])


def _closed(chain: list[Edge], first: Sequence[Edge]) -> Chain:
    """Return the chain with the start of its first edge as the last corner left it."""
    begun = first[0]
    if begun.is_line and not chain[0].is_line:
        return (begun, *chain)
    return (replace(chain[0], points=(begun.start, *chain[0].points[1:])), *chain[1:])


def _offset(edge: Edge, width: float) -> Chain:
    if edge.is_line:
        return (replace(edge, points=tuple(p + width * outward(edge, 0.5) for p in edge.points)),)
    return tuple(_scaled(half, width) for half in split(edge, 0.5))


def _scaled(edge: Edge, width: float) -> Edge:
    """Return the parallel curve: ends moved out, handles longer or shorter with the chord."""
    start = edge.start + width * outward(edge, 0.0)
    end = edge.end + width * outward(edge, 1.0)
    scale = abs(end - start) / abs(edge.end - edge.start)
    near = start + scale * (edge.points[1] - edge.start)
    far = end - scale * (edge.end - edge.points[2])
    return replace(edge, points=(start, near, far, end))


def _meeting(before: Edge, after: Edge) -> complex | None:
    """Return where the two edges meet when run on straight; None when they run on smoothly."""
    along, next_along = tangent(before, 1.0), tangent(after, 0.0)
    sine = (along.conjugate() * next_along).imag
    if abs(sine) < PARALLEL:
        return None
    gap = after.start - before.end
    return before.end + along * ((gap.conjugate() * next_along).imag / sine)


def _ended(edge: Edge, point: complex) -> Chain:
    if edge.is_line:
        return (replace(edge, points=(edge.start, point)),)
    _refuse_cut(edge, (point - edge.end) / tangent(edge, 1.0))
    return (edge, line(edge.name, edge.end, point)) if abs(point - edge.end) > PARALLEL else (edge,)


def _begun(edge: Edge, point: complex) -> Chain:
    if edge.is_line:
        return (replace(edge, points=(point, edge.end)),)
    _refuse_cut(edge, (edge.start - point) / tangent(edge, 0.0))
    far = abs(point - edge.start) > PARALLEL
    return (line(edge.name, point, edge.start), edge) if far else (edge,)


def _refuse_cut(edge: Edge, ahead: complex) -> None:
    if ahead.real < -PARALLEL:
        raise ValueError(f"the curve {edge.name} would have to be cut back at an inward corner")
