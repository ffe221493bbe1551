# SPDX-License-Identifier: GPL-2.0-or-later
"""The basic shapes of SVG as subpaths: rectangle, circle, ellipse, line, polyline, polygon.

Source: SVG 2, chapter 10 (each shape's "equivalent path").
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from extension.language.units import MEDIUM, Viewport, user_units
from extension.svg.pathdata import Segment, Subpath, parse_path, points_of

SHAPES = frozenset({"path", "rect", "circle", "ellipse", "line", "polyline", "polygon"})


@dataclass(frozen=True, slots=True)
class Measures:
    """What lengths of a shape's attributes are measured against: percentages, and em."""

    viewport: Viewport
    font_size: float = MEDIUM

    def of(self, attributes: Mapping[str, str], name: str, axis: str = "") -> float:
        """Return an attribute in user units, 0 when it is absent. Raises ValueError."""
        return self.given(attributes, name, axis) or 0.0

    def given(self, attributes: Mapping[str, str], name: str, axis: str = "") -> float | None:
        """Return an attribute in user units, None when it is absent or "auto"."""
        text = attributes.get(name, "").strip()
        if text in ("", "auto"):
            return None
        try:
            return user_units(text, self.viewport, axis, self.font_size)
        except ValueError:
            raise ValueError(f"{name}={text}") from None


def shape_subpaths(
    kind: str, attributes: Mapping[str, str], measures: Measures
) -> tuple[Subpath, ...]:
    """Return what an element of one of the `SHAPES` draws, in its own coordinates.

    Empty when it draws nothing (no path data, no width, no radius). Raises ValueError with the
    part that cannot be read.
    """
    match kind:
        case "path":
            return parse_path(attributes.get("d", ""))
        case "rect":
            return _rectangle(attributes, measures)
        case "circle":
            radius = measures.of(attributes, "r")
            return _ellipse(attributes, measures, radius, radius)
        case "ellipse":
            rx, ry = measures.given(attributes, "rx", "x"), measures.given(attributes, "ry", "y")
            rx, ry = (ry if rx is None else rx), (rx if ry is None else ry)
            return _ellipse(attributes, measures, rx or 0.0, ry or 0.0)
        case "line":
            start = measures.of(attributes, "x1", "x"), measures.of(attributes, "y1", "y")
            end = measures.of(attributes, "x2", "x"), measures.of(attributes, "y2", "y")
            return (Subpath(start, (end,), closed=False),)
    points = points_of(attributes.get("points", ""))
    if len(points) < 2:
        return ()
    return (Subpath(points[0], tuple(points[1:]), closed=kind == "polygon"),)


def _ellipse(
    attributes: Mapping[str, str], measures: Measures, rx: float, ry: float
) -> tuple[Subpath, ...]:
    """Return an ellipse as four arcs, from its rightmost point."""
    if rx <= 0.0 or ry <= 0.0:
        return ()
    x, y = measures.of(attributes, "cx", "x"), measures.of(attributes, "cy", "y")
    ends = ((x, y + ry), (x - rx, y), (x, y - ry), (x + rx, y))
    arcs = tuple((rx, ry, 0.0, 0.0, 1.0, *end) for end in ends)
    return (Subpath((x + rx, y), arcs, closed=True),)


def _rectangle(attributes: Mapping[str, str], measures: Measures) -> tuple[Subpath, ...]:
    """Return a rectangle, from its top left corner, with its corners rounded where it says so."""
    x, y = measures.of(attributes, "x", "x"), measures.of(attributes, "y", "y")
    width = measures.of(attributes, "width", "x")
    height = measures.of(attributes, "height", "y")
    if width <= 0.0 or height <= 0.0:
        return ()
    rx, ry = _corner_radii(attributes, measures, width, height)
    right, bottom = x + width, y + height
    if rx == 0.0 or ry == 0.0:
        corners = ((right, y), (right, bottom), (x, bottom))
        return (Subpath((x, y), corners, closed=True),)

    def corner(to_x: float, to_y: float) -> Segment:
        return (rx, ry, 0.0, 0.0, 1.0, to_x, to_y)

    segments = (
        (right - rx, y),
        corner(right, y + ry),
        (right, bottom - ry),
        corner(right - rx, bottom),
        (x + rx, bottom),
        corner(x, bottom - ry),
        (x, y + ry),
        corner(x + rx, y),
    )
    return (Subpath((x + rx, y), segments, closed=True),)


def _corner_radii(
    attributes: Mapping[str, str], measures: Measures, width: float, height: float
) -> tuple[float, float]:
    """Return the radii of a rectangle's corners: one stands for both, neither passes the half."""
    rx, ry = measures.given(attributes, "rx", "x"), measures.given(attributes, "ry", "y")
    rx, ry = (ry if rx is None else rx), (rx if ry is None else ry)
    return min(max(rx or 0.0, 0.0), width / 2.0), min(max(ry or 0.0, 0.0), height / 2.0)
