# SPDX-License-Identifier: GPL-2.0-or-later
"""Layouts read back from a drawing with lxml and svgelements, which the program does not use."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
import svgelements
from lxml import etree

LAY = "{urn:thriftlay:1}"
SVG = "{http://www.w3.org/2000/svg}"
STEPS = 48
"""Into so many chords a curve is cut."""
MM_PER_PX = 25.4 / 96.0


@dataclass(frozen=True, slots=True)
class Part:
    """One part as drawn: its source, its copies, and its outline in mm in the layer's frame."""

    of: str
    copy: str
    shape: shapely.Geometry


def layers_of(root: etree._Element) -> list[etree._Element]:
    """Return the layers of layouts in document order."""
    return [node for node in root.iter(f"{SVG}g") if node.get(f"{LAY}layout") is not None]


def parts_of(layer: etree._Element) -> list[etree._Element]:
    """Return the groups of parts on a layer, an outline where it has no group."""
    noted = [node for node in layer.iterdescendants(etree.Element) if node.get(f"{LAY}of")]
    return [node for node in noted if not any(one in noted for one in node.iterancestors())]


def outlines_of(part: etree._Element) -> list[etree._Element]:
    """Return the outlines of a part: the shapes that say what they are of."""
    return [
        node
        for node in part.iter(etree.Element)
        if node.get(f"{LAY}of") and node.tag != f"{SVG}g" and node.tag != f"{SVG}use"
    ]


def matrix_of(node: etree._Element, upto: etree._Element | None) -> svgelements.Matrix:
    """Return the transform from a node's own coordinates to those inside an element round it."""
    matrix = svgelements.Matrix()
    here: etree._Element | None = node
    while here is not None and here is not upto:
        matrix = matrix * svgelements.Matrix(here.get("transform", ""))
        here = here.getparent()
    return matrix


def page_of(root: etree._Element) -> svgelements.Matrix | None:
    """Return the transform from user units to mm on the page; None for a page without a size."""
    sides = []
    for name in ("width", "height"):
        text = root.get(name, "")
        if not text or text.endswith("%"):
            return None
        sides.append(float(svgelements.Length(text).value(ppi=96.0)))
    scale = svgelements.Matrix.scale(MM_PER_PX)
    if root.get("viewBox") is None:
        return scale
    box = [float(word) for word in root.get("viewBox", "").replace(",", " ").split()]
    text = svgelements.Viewbox.viewbox_transform(
        0, 0, *sides, *box, root.get("preserveAspectRatio")
    )
    return svgelements.Matrix(text) * scale


def points_of(outline: etree._Element) -> list[tuple[float, float]]:
    """Return the first ring of a shape in its own coordinates, curves in chords."""
    points: list[tuple[float, float]] = []
    for segment in _path_of(outline):
        if isinstance(segment, svgelements.Move):
            if points:
                break
            points.append((segment.end.x, segment.end.y))
        elif isinstance(segment, svgelements.Line | svgelements.Close):
            if segment.end is not None:
                points.append((segment.end.x, segment.end.y))
        else:
            bent = [(at.x, at.y) for at in (segment.point(k / STEPS) for k in range(1, STEPS + 1))]
            # An arc with a radius beyond all numbers has no points there; it is its chord.
            points += bent if np.isfinite(bent).all() else [(segment.end.x, segment.end.y)]
    return points


_CURVES = (svgelements.CubicBezier, svgelements.QuadraticBezier)

SHAPES = {
    "rect": (svgelements.Rect, ("x", "y", "width", "height", "rx", "ry")),
    "circle": (svgelements.Circle, ("cx", "cy", "r")),
    "ellipse": (svgelements.Ellipse, ("cx", "cy", "rx", "ry")),
}


def _path_of(outline: etree._Element) -> svgelements.Path:
    """Return a shape of any tag as a path."""
    tag = str(outline.tag).rpartition("}")[2]
    if tag in SHAPES:
        shape, names = SHAPES[tag]
        given = {name: outline.get(name) for name in names if outline.get(name)}
        sides = {k: float(svgelements.Length(v).value(ppi=96.0)) for k, v in given.items()}
        return svgelements.Path(shape(**sides))
    if tag in ("polygon", "polyline"):
        return svgelements.Path(svgelements.Polygon(outline.get("points", "")))
    return _by_the_standard(svgelements.Path(outline.get("d", "")))


def _by_the_standard(path: svgelements.Path) -> svgelements.Path:
    """Return path data with the controls of S and T where SVG 2 (9.3.6, 9.3.7) has them.

    Behind a curve of the other kind they lie at its end; svgelements reflects that curve's own.
    The editor does as the standard says.
    """
    before = None
    for segment in path:
        kind = type(segment)
        first = "control1" if kind is svgelements.CubicBezier else "control"
        if kind in _CURVES and segment.smooth:
            control = segment.start
            if isinstance(before, kind):
                last = getattr(before, "control2" if first == "control1" else "control")
                control = 2.0 * segment.start - last
            setattr(segment, first, control)
        before = segment
    return path


def drawn_parts(layer: etree._Element) -> list[Part]:
    """Return the parts on a layer as they are drawn, in the frame of the layer."""
    found = []
    for group in parts_of(layer):
        for outline in outlines_of(group)[:1]:
            matrix = matrix_of(outline, layer)
            points = [
                matrix.point_in_matrix_space(svgelements.Point(*at)) for at in points_of(outline)
            ]
            shape = shapely.Polygon([(at.x, at.y) for at in points])
            found.append(
                Part(
                    outline.get(f"{LAY}of", ""),
                    outline.get(f"{LAY}copy", ""),
                    shape if shape.is_valid else _areas_of(shapely.make_valid(shape)),
                )
            )
    return found


def _areas_of(shape: shapely.Geometry) -> shapely.Geometry:
    """Return what of a mended shape covers anything: a spike becomes a line beside it."""
    areas = [one for one in shapely.get_parts(shape) if shapely.get_dimensions(one) == 2]
    return shapely.union_all(areas) if areas else shape
