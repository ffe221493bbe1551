# SPDX-License-Identifier: GPL-2.0-or-later
"""Leaves made by hand, and whole drawings in millimetres, for tests of reading."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pytest
from lxml import etree

from extension.job.reading import ReadRequest, read_pieces
from extension.language.errors import DrawingError
from extension.pieces.model import DrawnPiece, Reading
from extension.pieces.outlines import ClosedShape, closed_shape
from extension.svg.leaves import read_leaves
from extension.svg.model import Group, Leaf, Matrix, Ring
from extension.svg.transforms import IDENTITY, apply
from nesting.model import Outline, Point
from tests.helpers.svg_builder import SvgBuilder


def leaf(
    *rings: Sequence[Point],
    closed: bool = True,
    id: str = "path1",
    lay: Mapping[str, str] | None = None,
    groups: Sequence[Group] = (),
    matrix: Matrix = IDENTITY,
    text: str = "",
    label: str = "",
) -> Leaf:
    """Return a leaf; `rings` are in its own coordinates, mapped to the page by `matrix`."""
    on_page = tuple(Ring(tuple(apply(matrix, point) for point in ring), closed) for ring in rings)
    points = [point for ring in on_page for point in ring.points] or [(0.0, 0.0)]
    xs, ys = zip(*points, strict=True)
    return Leaf(
        id=id,
        label=label,
        element=etree.Element("{http://www.w3.org/2000/svg}path"),
        matrix=matrix,
        style={},
        attributes=dict(lay or {}),
        groups=tuple(groups),
        rings=() if text else on_page,
        box=(min(xs), min(ys), max(xs), max(ys)),
        text=text,
    )


def group(id: str, *, layer: bool = False, label: str = "", **lay: str) -> Group:
    """Return a group or layer; keywords are its attributes of ours."""
    return Group(id, label, layer, {name.replace("_", "-"): value for name, value in lay.items()})


def shape(*points: Point, **rest: object) -> ClosedShape:
    """Return the closed shape of a leaf with one outline."""
    found = closed_shape(leaf(points, **rest))  # type: ignore[arg-type]
    assert found is not None
    return found


def box(x: float, y: float, width: float, height: float) -> Outline:
    """Return a rectangle with its corner nearest the origin at (x, y)."""
    return (x, y), (x + width, y), (x + width, y + height), (x, y + height)


def sheet(width: float = 2000, height: float = 1500) -> SvgBuilder:
    """Return an empty drawing whose user unit is a millimetre."""
    return SvgBuilder(f"{width}mm", f"{height}mm", (0, 0, width, height))


def read(drawing: SvgBuilder, *selected: str, **wishes: object) -> Reading:
    """Return the reading of a drawing; keywords are those of a request."""
    request = ReadRequest(selected=selected, **wishes)  # type: ignore[arg-type]
    return read_pieces(read_leaves(drawing.document()), request)


def piece(drawing: SvgBuilder, *selected: str, **wishes: object) -> DrawnPiece:
    """Return the one piece that is read."""
    (only,) = read(drawing, *selected, **wishes).pieces
    return only


def ids(reading: Reading) -> list[str]:
    """Return the ids of the pieces, in their order."""
    return [piece.id for piece in reading.pieces]


def reasons(reading: Reading) -> dict[str, str]:
    """Return why each object is left out."""
    return {left.object_id: left.reason for left in reading.left_out}


def refusal(drawing: SvgBuilder, *selected: str, **wishes: object) -> str:
    """Return the sentence with which a drawing is refused."""
    with pytest.raises(DrawingError) as caught:
        read(drawing, *selected, **wishes)
    sentence = str(caught.value)
    assert sentence.count("\n") == 0
    assert sentence.endswith((".", ")"))
    return sentence


def pattern() -> SvgBuilder:
    """Return a drawing of four pieces: marked, on the fold, named by id, and typed."""
    drawing = sheet()
    front = drawing.add_group(id="front", lay={"name": "Front", "cut": "2"})
    drawing.add_path("M 10 10 H 200 L 260 180 V 600 H 10 Z", front, id="front-outline")
    drawing.add_line((100, 500), (100, 100), front, id="front-grain", lay={"role": "grainline"})
    drawing.add_path("M 60 60 L 90 120 L 120 60", front, id="front-dart")
    drawing.add_path("M 300 10 H 500 V 600 H 300 Z", id="back", lay={"name": "Back", "cut": "1"})
    drawing.add_line((300, 400), (300, 100), id="back-fold", lay={"role": "fold"})
    drawing.add_text("Back", 380, 300, id="back-label", font_size=20)
    drawing.add_rect(600, 10, 200, 90, id="collar", lay={"cut": "2", "grain": "collar-grain"})
    drawing.add_line((620, 50), (780, 50), id="collar-grain")
    drawing.add_rect(600, 200, 60, 300, id="belt", lay={"cut": "1", "grain": "up"})
    return drawing
