# SPDX-License-Identifier: GPL-2.0-or-later
"""Known sheets of a pattern, with lines, words and arrow heads, and how near another comes.

The pieces are invented shapes, or those of a drafted sample.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from lxml import etree

from extension.joining.segments import FloatArray
from extension.svg.document import parse
from extension.svg.leaves import read_leaves

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class TrueLine:
    """A line of the sheet, mm; `dashes` its dash pattern."""

    points: Points
    closed: bool = True
    colour: str = "#000000"
    width: float = 0.4
    dashes: tuple[float, ...] = ()


@dataclass(frozen=True)
class TrueWords:
    """A text of the sheet; `x`, `y` where its first letter stands, mm."""

    words: str
    x: float
    y: float
    size: float = 6.0


@dataclass(frozen=True)
class Truth:
    """The sheet before it was cut: `heads` are filled shapes, such as arrow heads."""

    width: float
    height: float
    lines: tuple[TrueLine, ...]
    words: tuple[TrueWords, ...] = ()
    heads: tuple[Points, ...] = ()
    elements: tuple[etree._Element, ...] = ()
    """The sheet as elements of SVG in mm, where it is more than its lines, words and heads."""
    defs: tuple[etree._Element, ...] = ()
    """What those refer to."""


def pieces(seed: int, width: float, height: float, count: int = 4) -> Truth:
    """Return a sheet of invented pieces with curves, dashed seam lines, grainlines and words."""
    chance = random.Random(seed)
    columns = math.ceil(math.sqrt(count * width / height))
    rows = math.ceil(count / columns)
    lines: list[TrueLine] = []
    words: list[TrueWords] = []
    heads: list[Points] = []
    across, down = width / columns, height / rows
    for number in range(count):
        row, column = divmod(number, columns)
        middle = ((column + 0.5) * across, (row + 0.5) * down)
        radii = (0.42 * across, 0.42 * down)
        outline = _blob(chance, middle, radii)
        lines.append(TrueLine(outline, width=0.5))
        inner = tuple(
            (middle[0] + 0.88 * (x - middle[0]), middle[1] + 0.88 * (y - middle[1]))
            for x, y in outline
        )
        lines.append(TrueLine(inner, dashes=(4.0, 2.0), width=0.3))
        top, bottom = middle[1] - 0.5 * radii[1], middle[1] + 0.5 * radii[1]
        x = middle[0] + chance.uniform(-10.0, 10.0)
        lines.append(TrueLine(((x, top), (x, bottom)), closed=False, width=0.3))
        heads.append(((x, top - 4.0), (x + 2.0, top + 2.0), (x - 2.0, top + 2.0)))
        words.append(TrueWords(f"Piece {number + 1} cut 2", x + 5.0, middle[1]))
    return Truth(width, height, tuple(lines), tuple(words), tuple(heads))


def _blob(chance: random.Random, middle: tuple[float, float], radii: tuple[float, float]) -> Points:
    waves = [(k, chance.uniform(0.0, 0.08), chance.uniform(0.0, math.tau)) for k in (2, 3, 5)]
    points = []
    for step in range(240):
        angle = math.tau * step / 240
        reach = 1.0 - sum(size * (1.0 + math.cos(k * angle + at)) / 2.0 for k, size, at in waves)
        points.append(
            (
                middle[0] + radii[0] * reach * math.cos(angle),
                middle[1] + radii[1] * reach * math.sin(angle),
            )
        )
    return tuple(points)


def drafted(drawing: bytes) -> Truth:
    """Return what a drawing shows as a sheet: its lines, filled shapes and texts."""
    document = parse(drawing)
    lines: list[TrueLine] = []
    words: list[TrueWords] = []
    heads: list[Points] = []
    for leaf in read_leaves(document, tolerance_mm=0.01):
        if leaf.hidden:
            continue
        if leaf.text.strip():
            low_x, low_y, _, high_y = leaf.box
            told = [line for line in leaf.text.split("\n") if line.strip()]
            size = (high_y - low_y) / max(1.25 * len(told), 1.0)
            words += [
                TrueWords(line, low_x, low_y + size * (0.9 + 1.25 * place), size)
                for place, line in enumerate(told)
            ]
        dashes = leaf.style.get("stroke-dasharray", "none")
        for ring in leaf.rings:
            filled = leaf.style.get("fill", "none") not in ("none", "#ffffff") and ring.closed
            if filled and leaf.style.get("stroke", "none") == "none":
                heads.append(ring.points)
                continue
            for mark, (tip, before) in (("start", (0, 1)), ("end", (-1, -2))):
                if leaf.style.get(f"marker-{mark}", "none") != "none":
                    heads.append(arrow_head(ring.points[tip], ring.points[before]))
            pattern = () if dashes == "none" else (4.0, 2.0)
            lines.append(TrueLine(ring.points, ring.closed, width=0.4, dashes=pattern))
    width, height = (document.viewport[0] * document.page[0][0], 0.0)
    height = document.viewport[1] * document.page[1][1]
    return Truth(width, height, tuple(lines), tuple(words), tuple(heads))


def arrow_head(tip: tuple[float, float], before: tuple[float, float]) -> Points:
    """Return an arrow head at an end of a line."""
    size = math.dist(tip, before)
    u, v = (before[0] - tip[0]) / size, (before[1] - tip[1]) / size
    return (
        tip,
        (tip[0] + 8.0 * u - 3.0 * v, tip[1] + 8.0 * v + 3.0 * u),
        (tip[0] + 8.0 * u + 3.0 * v, tip[1] + 8.0 * v - 3.0 * u),
    )


def farthest(truth: Sequence[Points], found: Sequence[Points], closed: bool) -> float:
    """Return how far lines that should be the same leave each other at most, mm; inf: no partner.

    The Hausdorff distance of the best pairs (shapely, which finds it at the vertices).
    """

    def shapes(lines: Sequence[Points]) -> list[shapely.Geometry]:
        return [shapely.LineString([*line, line[0]] if closed else line) for line in lines]

    true, put = shapes(truth), shapes(found)
    if len(true) != len(put):
        return math.inf
    worst, left = 0.0, list(range(len(put)))
    for shape in true:
        apart = [(float(shapely.hausdorff_distance(shape, put[n], 0.2)), n) for n in left]
        best, number = min(apart)
        worst = max(worst, best)
        left.remove(number)
    return worst


def shifted(lines: Sequence[Points], by: Sequence[float] | FloatArray) -> list[Points]:
    """Return lines moved by so many mm."""
    return [tuple((x + by[0], y + by[1]) for x, y in line) for line in lines]


def corner(lines: Sequence[Points]) -> FloatArray:
    """Return the upper left corner of the box of lines."""
    found: FloatArray = np.concatenate([np.array(line) for line in lines]).min(axis=0)
    return found
