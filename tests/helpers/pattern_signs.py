# SPDX-License-Identifier: GPL-2.0-or-later
"""Signs on pattern pieces in the styles met: fold brackets and notches."""

from __future__ import annotations

from collections.abc import Callable

from lxml import etree

from tests.helpers.svg_builder import SvgBuilder

LINE = "fill:none;stroke:#000000;stroke-width:0.4"
HEADS = f"{LINE};marker-start:url(#head);marker-end:url(#head)"
SOLID = "fill:#000000;stroke:none"


class Bracket:
    """Draws a bracket at an upright edge: `u` mm to the right of it, between two heights.

    `unit` is one mm at full scale.
    """

    def __init__(
        self,
        drawing: SvgBuilder,
        parent: etree._Element,
        x: float,
        ends: tuple[float, float],
        unit: float,
    ) -> None:
        self._drawing, self._parent, self._x, self.unit = drawing, parent, x, unit
        self.top, self.bottom = ends

    def lines(self, *lines: tuple[tuple[float, float], ...], look: str = LINE) -> None:
        """Add each line by its points, `u` and height, as an object of its own."""
        for points in lines:
            data = "M " + " L ".join(f"{self._x + u * self.unit:.3f} {y:.3f}" for u, y in points)
            self._drawing.add_path(data + (" Z" if look == SOLID else ""), self._parent, style=look)

    def bent(self, tip: float, base: float, look: str = LINE) -> None:
        """Add the bracket as one path whose tips and base are so far from the edge."""
        self.lines(
            ((tip, self.top), (base, self.top), (base, self.bottom), (tip, self.bottom)), look=look
        )

    def apart(self, tip: float, base: float, look: str, short: float = 0.0) -> None:
        """Add base and legs as three lines; the legs end `short` before the base."""
        self.lines(((base, self.top), (base, self.bottom)))
        ends = [((base - short, y), (tip, y)) for y in (self.top, self.bottom)]
        self.lines(*ends, look=look)

    def heads(self, tip: float, look: str) -> None:
        """Add a head at each tip, pointing to the edge."""
        size = 6.0
        for y in (self.top, self.bottom):
            back, half = tip + size, 0.4 * size * self.unit
            self.lines(((back, y - half), (tip, y), (back, y + half)), look=look)


def _open_heads(bracket: Bracket) -> None:
    bracket.bent(1.0, 30.0)
    bracket.heads(1.0, LINE)


def _filled_heads(bracket: Bracket) -> None:
    bracket.apart(2.0, 30.0, LINE)
    bracket.heads(1.0, SOLID)


ONE_HEAD = f"{LINE};marker-end:url(#head)"
BRACKETS: dict[str, Callable[[Bracket], None]] = {
    "one path, heads by markers": lambda b: b.bent(2.0, 30.0, HEADS),
    "one path, no heads, touching": lambda b: b.bent(0.0, 30.0),
    "three lines, heads by markers": lambda b: b.apart(2.0, 30.0, ONE_HEAD),
    "three lines, no heads, touching": lambda b: b.apart(0.0, 30.0, LINE),
    "three lines, just short of each other": lambda b: b.apart(2.0, 30.0, ONE_HEAD, 1.0),
    "long legs": lambda b: b.bent(2.0, 60.0, HEADS),
    "short legs": lambda b: b.bent(1.0, 12.0, HEADS),
    "open heads beside it": _open_heads,
    "filled heads beside three lines": _filled_heads,
    "no heads, just short of the edge": lambda b: b.bent(3.0, 30.0),
}


def notch(
    drawing: SvgBuilder, parent: etree._Element, style: str, x: float, y: float, unit: float
) -> None:
    """Draw a notch at a point of a right-hand edge; it goes to the left, into the piece."""
    deep, half = 6.0 * unit, 2.5 * unit
    if style == "line":
        drawing.add_line((x, y), (x - deep, y), parent, style=LINE)
    if style == "double":
        for shift in (0.0, 2.0 * half):
            drawing.add_line((x, y + shift), (x - deep, y + shift), parent, style=LINE)
    if style == "wedge":
        data = f"M {x} {y - half} L {x - deep} {y} L {x} {y + half}"
        drawing.add_path(data, parent, style=LINE)
    if style == "filled":
        data = f"M {x} {y - half} L {x - deep} {y} L {x} {y + half} Z"
        drawing.add_path(data, parent, style=SOLID)
    if style == "T":
        data = f"M {x} {y} H {x - deep} M {x - deep} {y - half} V {y + half}"
        drawing.add_path(data, parent, style=LINE)


NOTCHES = ("line", "double", "wedge", "filled", "T", "none")
