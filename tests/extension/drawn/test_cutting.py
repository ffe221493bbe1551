# SPDX-License-Identifier: GPL-2.0-or-later
"""Where a part is cut and where it is sewn: the drawn lines themselves, unfolded where need be."""

from __future__ import annotations

import pytest
import shapely
from lxml import etree

from extension.drawn.cutting import cutting_line, drawn_fold, stitching_line
from extension.drawn.ink import PART_LINE, THIN_LINE
from extension.job.options import LayOutOptions
from extension.pieces.model import DrawnPiece
from extension.svg.basic_shapes import Measures, shape_subpaths
from extension.svg.document import Document
from extension.svg.flatten import flatten
from extension.svg.scales import scale_of
from extension.svg.transforms import IDENTITY, parse_transform
from nesting.cloth.problem import outline_tuple
from nesting.geometry.shapes import whole_outline
from tests.helpers.cloth import between_selvedges
from tests.helpers.garments import PAGES, garment
from tests.helpers.layouts import plan_of

INCLUDED = between_selvedges(1400.0)
ADDED = between_selvedges(1400.0, allowance=10.0)


def drawn(
    document: Document, piece: str, options: LayOutOptions = INCLUDED
) -> tuple[DrawnPiece, etree._Element, shapely.Polygon]:
    """Return a piece, its cutting line, and where the engine wants it cut (on the page)."""
    cut = plan_of(document, options).cuts[piece]
    whole = outline_tuple(whole_outline(cut.piece))
    line = cutting_line(cut.drawn, whole, IDENTITY, "#ffffff")
    return cut.drawn, line, shapely.Polygon([(x, -y) for x, y in whole])


def area_of(line: etree._Element) -> shapely.Polygon:
    kind = etree.QName(line).localname
    attributes = {str(name): str(value) for name, value in line.attrib.items()}
    subpaths = shape_subpaths(kind, attributes, Measures((100.0, 100.0)))
    matrix = parse_transform(line.get("transform"))
    return shapely.Polygon(flatten(subpaths, matrix, 0.01)[0].points)


def width_on_cloth(line: etree._Element) -> float:
    style = dict(part.split(":") for part in line.get("style", "").split(";"))
    return float(style["stroke-width"]) * scale_of(parse_transform(line.get("transform")))


@pytest.mark.parametrize("page", PAGES.values(), ids=PAGES.keys())
@pytest.mark.parametrize("piece", ["front", "back", "tab"])
@pytest.mark.parametrize("options", [INCLUDED, ADDED], ids=["included", "added"])
def test_the_cutting_line_is_what_the_engine_lays(
    page: tuple[str, str, tuple[float, float, float, float], str],
    piece: str,
    options: LayOutOptions,
) -> None:
    _, line, wanted = drawn(garment(page).document(), piece, options)
    assert area_of(line).hausdorff_distance(wanted) < 0.1
    assert width_on_cloth(line) == pytest.approx(PART_LINE, rel=1e-6)


def test_a_drawn_outline_stays_the_kind_of_element_it_is() -> None:
    document = garment().document()
    assert etree.QName(drawn(document, "tab")[1]).localname == "rect"
    assert " C " in drawn(document, "front")[1].get("d", "").replace("C", " C ")


def test_a_half_keeps_its_curves_and_has_no_edge_along_the_fold() -> None:
    _, line, _ = drawn(garment().document(), "back")
    data = line.get("d", "")
    assert data.count("A") == 2
    assert data.count("Q") == 2
    part = area_of(line)
    fold = shapely.LineString([(200, 30), (200, 210)])
    assert part.buffer(-1.0).contains(fold)


def test_nothing_is_sewn_apart_from_the_cut_unless_an_allowance_was_added() -> None:
    document = garment().document()
    piece, _, _ = drawn(document, "front")
    assert stitching_line(piece, IDENTITY) == ()


@pytest.mark.parametrize("piece", ["front", "back", "tab"])
def test_with_an_allowance_the_drawn_line_is_the_stitching_line(piece: str) -> None:
    document = garment().document()
    read, line, _ = drawn(document, piece, ADDED)
    (seam,) = stitching_line(read, IDENTITY)
    inner, outer = area_of(seam.element), area_of(line)
    assert outer.contains(inner)
    assert outer.exterior.distance(inner) == pytest.approx(10.0, abs=0.1)
    assert "stroke-dasharray" in seam.element.get("style", "")
    assert width_on_cloth(seam.element) == pytest.approx(THIN_LINE)
    assert seam.area.intersects(inner.exterior)
    assert not seam.is_text


def test_the_fold_of_the_stitching_line_is_the_drawn_one() -> None:
    document = garment().document()
    read, _, _ = drawn(document, "back", ADDED)
    assert read.fold is not None
    ends = sorted(read.fold, key=lambda end: end[1])
    assert [end[1] for end in ends] == pytest.approx([-230.0, -10.0])
    fold = drawn_fold(read)
    assert fold is not None
    assert sorted(fold, key=lambda end: end[1]) == [(200.0, -220.0), (200.0, -20.0)]


def test_a_light_line_is_drawn_in_ink_on_the_part() -> None:
    drawing = garment()
    for node in drawing.root.iter("{*}path"):
        node.set("stroke", "#ffee99")
    _, line, _ = drawn(drawing.document(), "front")
    assert "stroke:#2b2b2b" in line.get("style", "")
