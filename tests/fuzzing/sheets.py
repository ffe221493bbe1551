# SPDX-License-Identifier: GPL-2.0-or-later
"""A sheet that random pieces are drawn on, with what is known of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random

from lxml import etree

from tests.fuzzing.shapes import (
    Points,
    area,
    box,
    moved,
    outline,
    spelled,
)
from tests.helpers.svg_builder import SvgBuilder

LINE = {"fill": "none", "stroke": "#204080", "stroke_width": 0.8}
PITCH = 160.0
"""mm from one piece's place to the next."""


@dataclass(slots=True)
class Drawn:
    """A drawing, what lay-out is asked beside the width, and the pieces that are known.

    `pieces`: by the ids a part may name as its source, how many copies there are and their area,
    mm2; `total`: whether nothing else may be laid. None when what is drawn is anybody's guess.
    """

    data: bytes
    words: list[str] = field(default_factory=list)
    pieces: list[tuple[frozenset[str], int, float]] | None = None


class Sheet:
    """A sheet that pieces are drawn on one after the other, each in a place of its own."""

    def __init__(self, random: Random, drawing: SvgBuilder | None = None, unit: float = 1.0):
        self.random = random
        self.drawing = drawing or SvgBuilder("900mm", "700mm", (0, 0, 900, 700))
        self.unit = unit
        self.pieces: list[tuple[frozenset[str], int, float]] = []
        self._count = 0

    def place(self) -> tuple[float, float]:
        """Return the next free place."""
        column, row = self._count % 5, self._count // 5
        self._count += 1
        return 10.0 + PITCH * column, 10.0 + PITCH * row

    def piece(
        self,
        parent: etree._Element | None = None,
        *,
        points: Points | None = None,
        data: str | None = None,
        cut: int | None = None,
        grain: bool = True,
        fold: bool = False,
        is_known: bool = True,
        **lay: str,
    ) -> etree._Element:
        """Draw a piece as a group with its outline and grainline; return the group."""
        random, number = self.random, self._count
        points = moved(points or outline(random), *self.place())
        scaled = [(x * self.unit, y * self.unit) for x, y in points]
        cut = random.choice((1, 1, 2, 2, 3)) if cut is None else cut
        name = f"p{number}"
        details = {"name": f"Piece {number}", "cut": str(cut), **lay}
        made = self.drawing.add_group(parent, id=name, lay=details)
        d = data or spelled(random, scaled)
        self.drawing.add_path(d, made, id=f"{name}-o", lay={"role": "outline"}, **LINE)
        low_x, low_y, high_x, high_y = box(scaled)
        middle = (low_x + high_x) / 2
        if grain:
            ends = (middle, high_y - 5 * self.unit), (middle, low_y + 5 * self.unit)
            self.drawing.add_line(*ends, made, id=f"{name}-g", lay={"role": "grainline"}, **LINE)
        if fold:
            self.drawing.add_line(
                (low_x, low_y), (low_x, high_y), made, id=f"{name}-f", lay={"role": "fold"}, **LINE
            )
        if is_known and data is None:
            whole = area(points) * (2 if fold else 1)
            self.pieces.append((frozenset((name, f"{name}-o")), cut, whole))
        return made

    def done(self, *words: str, is_known: bool = True) -> Drawn:
        """Return the drawing."""
        return Drawn(self.drawing.data(), list(words), self.pieces if is_known else None)


Kind = Callable[[Random], Drawn]


def half_on_fold(points: Points) -> Points:
    """Return an outline whose left side is straight from top to bottom."""
    low_x, low_y, high_x, high_y = box(points)
    width, height = high_x - low_x, high_y - low_y
    return [(0, 0), (width * 0.6, 0), (width, height * 0.4), (width * 0.8, height), (0, height)]


def last_place(sheet: Sheet) -> tuple[float, float]:
    """Return where the last piece was put."""
    sheet._count -= 1
    return sheet.place()
