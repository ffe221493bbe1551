# SPDX-License-Identifier: GPL-2.0-or-later
"""Arrows as plain paths, because a marker would have to be added to the drawing's definitions."""

from __future__ import annotations

import math

from lxml import etree

from extension.drawn.ink import INK, line_look
from extension.svg.building import element, path_data, style
from nesting.model import Point

_HEAD_LENGTH, _HEAD_HALF = 0.4, 0.22
"""Length and half width of a short arrow's head, as shares of the arrow."""
_SLIM = 0.3
"""Half width of a dimension line's head as a share of its length."""


def arrow(middle: Point, turn: float, length: float, width: float) -> list[etree._Element]:
    """Return a short arrow on the sheet in a direction of the engine's frame (degrees, y up).

    `length` of the whole and `width` of its line are in mm.
    """
    ux, uy = math.cos(math.radians(turn)), -math.sin(math.radians(turn))
    tip = (middle[0] + ux * length / 2.0, middle[1] + uy * length / 2.0)
    tail = (middle[0] - ux * length / 2.0, middle[1] - uy * length / 2.0)
    head = _HEAD_LENGTH * length
    neck = (tip[0] - ux * head * 0.9, tip[1] - uy * head * 0.9)
    return [_line(tail, neck, width), _head(tail, tip, head, _HEAD_HALF * length)]


def dimension(start: Point, end: Point, head: float, width: float) -> list[etree._Element]:
    """Return a line with a head of `head` mm at both ends; nothing where both are one point."""
    if start == end:
        return []
    half = _SLIM * head
    return [
        _line(start, end, width),
        _head(start, end, head, half),
        _head(end, start, head, half),
    ]


def _line(start: Point, end: Point, width: float) -> etree._Element:
    """Return a straight line."""
    data = path_data((start, end), closed=False)
    return element("path", {"d": data, "style": style(line_look(INK, width))})


def _head(start: Point, tip: Point, length: float, half: float) -> etree._Element:
    """Return the filled head at `tip` of an arrow that comes from `start`."""
    reach = math.dist(start, tip)
    ux, uy = (tip[0] - start[0]) / reach, (tip[1] - start[1]) / reach
    back = (tip[0] - ux * length, tip[1] - uy * length)
    corners = (
        tip,
        (back[0] - uy * half, back[1] + ux * half),
        (back[0] + uy * half, back[1] - ux * half),
    )
    look = style({"fill": INK, "stroke": "none"})
    return element("path", {"d": path_data(corners, closed=True), "style": look})
