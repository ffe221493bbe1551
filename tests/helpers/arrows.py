# SPDX-License-Identifier: GPL-2.0-or-later
"""Draws grainlines in every style met on patterns, at any place, length and direction."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from lxml import etree

from tests.helpers.svg_builder import SvgBuilder

LINE = "fill:none;stroke:#000000;stroke-width:0.5"
SOLID = "fill:#000000;stroke:none"

Draw = Callable[["Pen", bool], None]


class Pen:
    """Draws along an axis: `u` from 0 at the tail to the length at the tip, `v` to its left."""

    def __init__(
        self,
        drawing: SvgBuilder,
        parent: etree._Element | None,
        middle: tuple[float, float],
        length: float,
        degrees: float,
    ) -> None:
        self._drawing, self._parent = drawing, parent
        self.length = length
        self.size = min(0.12 * length, 12.0)
        angle = math.radians(degrees)
        self._u = (math.cos(angle), -math.sin(angle))
        self._middle = middle

    def _point(self, spot: tuple[float, float]) -> str:
        u, v = spot[0] - self.length / 2.0, spot[1]
        x = self._middle[0] + u * self._u[0] + v * self._u[1]
        y = self._middle[1] + u * self._u[1] - v * self._u[0]
        return f"{x:.4f},{y:.4f}"

    def path(
        self, *lines: Sequence[tuple[float, float]], closed: bool = False, more: str = ""
    ) -> None:
        """Add one path of straight lines; `more` is added to its style."""
        data = " ".join(f"M {' L '.join(map(self._point, line))}" for line in lines)
        look = (SOLID if closed else LINE) + more
        self._drawing.add_path(data + (" Z" if closed else ""), self._parent, style=look)

    def chevron(self, tip: float, way: float) -> list[tuple[float, float]]:
        """Return the corners of an open head whose point lies at `tip`."""
        back = tip - way * self.size
        return [(back, 0.4 * self.size), (tip, 0.0), (back, -0.4 * self.size)]


def _markers(pen: Pen, both: bool) -> None:
    start = ";marker-start:url(#head)" if both else ""
    pen.path([(0, 0), (pen.length, 0)], more=f";marker-end:url(#head){start}")


def _in_path(pen: Pen, both: bool) -> None:
    heads = [pen.chevron(pen.length, 1.0), *([pen.chevron(0.0, -1.0)] if both else [])]
    pen.path([(0, 0), (pen.length, 0)], *heads)


def _in_one_go(pen: Pen, both: bool) -> None:
    one, tip, other = pen.chevron(pen.length, 1.0)
    line = [(0.0, 0.0), tip, one, tip, other]
    if both:
        left, tail, right = pen.chevron(0.0, -1.0)
        line = [left, tail, right, *line]
    pen.path(line)


def _triangles(pen: Pen, both: bool) -> None:
    pen.path([(0, 0), (pen.length, 0)])
    for tip, way in ((pen.length, 1.0), (0.0, -1.0))[: 2 if both else 1]:
        pen.path(pen.chevron(tip, way), closed=True)


def _chevrons(pen: Pen, both: bool) -> None:
    pen.path([(0, 0), (pen.length, 0)])
    for tip, way in ((pen.length, 1.0), (0.0, -1.0))[: 2 if both else 1]:
        pen.path(pen.chevron(tip, way))


def _barbs(pen: Pen, both: bool) -> None:
    pen.path([(0, 0), (pen.length, 0)])
    for tip, way in ((pen.length, 1.0), (0.0, -1.0))[: 2 if both else 1]:
        one, point, other = pen.chevron(tip, way)
        pen.path([point, one])
        pen.path([point, other])


def _filled(pen: Pen, both: bool) -> None:
    size, half, thin = pen.size, 0.4 * pen.size, 0.12 * pen.size
    neck = pen.length - size
    upper = [(neck, thin), (neck, half), (pen.length, 0.0)]
    lower = [(x, -y) for x, y in reversed(upper[:-1])]
    tail = [(0.0, -thin), (0.0, thin)]
    if both:
        tail = [(size, -thin), (size, -half), (0.0, 0.0), (size, half), (size, thin)]
    pen.path([*upper, *lower, *tail], closed=True)


def _tapered(pen: Pen, both: bool) -> None:
    size, half = pen.size, 0.4 * pen.size
    middle = pen.length / 2.0 if both else 0.0
    upper = [(middle, 0.06 * size), (pen.length - size, 0.12 * size)]
    upper += [(pen.length - size, half), (pen.length, 0.0)]
    right = [*upper, *((x, -y) for x, y in reversed(upper[:-1]))]
    left = [(pen.length - x, y) for x, y in reversed(upper)]
    left = [*((x, -y) for x, y in reversed(left[1:])), *left] if both else []
    pen.path([*right, *left], closed=True)


def _broken(pen: Pen, both: bool) -> None:
    gap = 0.12 * pen.length
    low, high = (pen.length - gap) / 2.0, (pen.length + gap) / 2.0
    pen.path([(0, 0), (low, 0)], *([pen.chevron(0.0, -1.0)] if both else []))
    pen.path([(high, 0), (pen.length, 0)], pen.chevron(pen.length, 1.0))


def _dashed(pen: Pen, both: bool) -> None:
    dash = pen.length / 9.0
    dashes = [[(2 * i * dash, 0), ((2 * i + 1) * dash, 0)] for i in range(5)]
    heads = [pen.chevron(pen.length, 1.0), *([pen.chevron(0.0, -1.0)] if both else [])]
    pen.path(*dashes, *heads)


STYLES: dict[str, Draw] = {
    "markers": _markers,
    "heads in the path": _in_path,
    "drawn in one go": _in_one_go,
    "triangles beside the line": _triangles,
    "chevrons beside the line": _chevrons,
    "two barbs beside the line": _barbs,
    "filled outline": _filled,
    "filled, tapered": _tapered,
    "broken by its text": _broken,
    "dashed": _dashed,
}
