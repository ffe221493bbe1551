# SPDX-License-Identifier: GPL-2.0-or-later
"""The page in full size is what lies on the layout, millimetre for millimetre.

It is read by an independent reader (inkex) and compared with the drawing's own layer.
"""

from __future__ import annotations

import io
import itertools
from dataclasses import replace
from pathlib import Path

import inkex
import pytest
import shapely
from inkex.bezier import cspsubdiv

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.diagram.editor import pdf_of
from extension.diagram.full_size import full_size
from extension.language.errors import DrawingError, OptionError
from extension.layouts.layers import one_layer
from extension.svg.document import serialise
from tests.helpers.cloth import between_selvedges, typed_between_selvedges
from tests.helpers.edited import SPOTS, Edited
from tests.helpers.folded_by_hand import (
    CLOTH,
    SPREADS,
    EditedFolded,
    open_behind,
    with_a_single,
)
from tests.helpers.garments import garment
from tests.helpers.laid import read_layouts
from tests.helpers.layouts import drawn_into, no_time
from tests.helpers.pdf import pages_of
from tests.helpers.screen import need

SVG = "{http://www.w3.org/2000/svg}"
LABEL = "{http://www.inkscape.org/namespaces/inkscape}label"


def page_of(edited: Edited) -> inkex.SvgDocumentElement:
    """Return the page of the only layout of a drawing."""
    document = edited.document
    return inkex.load_svg(full_size(document, one_layer(document, ""))).getroot()


def layer(page: inkex.SvgDocumentElement, label: str) -> inkex.BaseElement:
    return next(one for one in page if one.get(LABEL) == label)


def mm(element: inkex.BaseElement) -> list[tuple[float, float]]:
    """Return the points of a shape in mm on the page, as the page says its size."""
    page = element.root
    path = element.path.to_absolute().transform(element.composed_transform())
    curves = inkex.CubicSuperPath(path)
    per_mm = page.viewport_to_unit("1mm")
    cspsubdiv(curves, 0.02 * per_mm)
    return [(node[1][0] / per_mm, node[1][1] / per_mm) for node in curves[0]]


def outlines(page: inkex.SvgDocumentElement) -> list[shapely.Polygon]:
    """Return the outlines of the parts: the first line of each group."""
    groups = [one for one in layer(page, "parts") if one.tag == f"{SVG}g"]
    return [shapely.Polygon(mm(next(iter(group.iterdescendants())))) for group in groups]


def words(page: inkex.SvgDocumentElement) -> str:
    return " ".join(str(text) for text in page.itertext())


def test_every_part_lies_as_on_the_layout_and_is_as_large() -> None:
    edited = Edited()
    drawn = [part.shape for part in read_layouts(edited.data)[0].parts]
    shown = outlines(page_of(edited))
    assert len(shown) == len(drawn) == len(SPOTS)
    dx = shown[0].bounds[0] - drawn[0].bounds[0]
    dy = shown[0].bounds[1] - drawn[0].bounds[1]
    for one, other in zip(shown, drawn, strict=True):
        moved = shapely.affinity.translate(other, dx, dy)
        assert one.symmetric_difference(moved).area < 0.05 * one.length


@pytest.mark.parametrize("spread", SPREADS)
def test_folded_cloth_has_its_sections_side_by_side_with_their_parts(spread: str) -> None:
    options = replace(CLOTH, nap=spread != "crosswise", gap=1.0)
    edited = EditedFolded(*open_behind(SPREADS[spread]), drawing=with_a_single(), options=options)
    page = page_of(edited)
    drawn, shown = [part.shape for part in read_layouts(edited.data)[0].parts], outlines(page)
    dx, dy = (shown[0].bounds[n] - drawn[0].bounds[n] for n in (0, 1))
    for one, other in zip(shown, drawn, strict=True):
        moved = shapely.affinity.translate(other, dx, dy)
        assert one.symmetric_difference(moved).area < 0.05 * one.length
    used = [one for one in edited.sheet.layout.sections if one.length > 0.0]
    cloths = [
        shapely.union_all([shapely.LineString(mm(line)) for line in one.iter(f"{SVG}path")])
        for one in layer(page, "cloth")
    ]
    assert len(cloths) == len(used)
    grounds = [shapely.box(*one.bounds) for one in cloths]
    assert all(any(ground.buffer(0.1).contains(one) for ground in grounds) for one in shown)
    told = [text for text in layer(page, "cloth").itertext() if "fold of the cloth" in text]
    across = [one for one in used if one.crosswise and not one.turned]
    assert len(told) == sum(bool(one.lower) + bool(one.upper) for one in used) + len(across)


def test_a_part_moved_by_hand_is_shown_where_it_lies_now() -> None:
    before = outlines(page_of(Edited()))
    edited = Edited()
    edited.transform("tab", 1, "translate(10,0)")
    after = outlines(page_of(edited))
    moves = [round(b.bounds[0] - a.bounds[0], 3) for a, b in zip(before, after, strict=True)]
    assert sorted(moves) == [0.0, 0.0, 0.0, 0.0, 10.0]


@pytest.mark.parametrize(
    ("width", "side", "told"),
    [("90cm", 100.0, "10 cm × 10 cm"), ("36in", 4 * 25.4, "4 in × 4 in")],
    ids=["metric", "inches"],
)
def test_the_test_square_is_as_large_as_it_says(width: str, side: float, told: str) -> None:
    page = page_of(Edited(garment(), typed_between_selvedges({"fabric_width": width})))
    square = page.getElementById("test-square")
    low_x, low_y, high_x, high_y = shapely.Polygon(mm(square)).bounds
    assert (high_x - low_x, high_y - low_y) == pytest.approx((side, side), abs=1e-6)
    assert told in words(page)
    assert "Measure both sides before you cut" in words(page)


def test_the_grid_has_the_step_of_the_test_square() -> None:
    grid = layer(page_of(Edited()), "grid")
    lines = [mm(one) for one in grid.iterdescendants(f"{SVG}path")]
    across = sorted(ends[0][0] for ends in lines if abs(ends[0][0] - ends[1][0]) < 1e-6)
    steps = {round(b - a, 6) for a, b in itertools.pairwise(across)}
    assert steps == {100.0}


def test_numbers_and_names_are_those_of_the_diagram_and_hands_are_told() -> None:
    said = words(layer(page_of(Edited()), "parts"))
    assert "1 Back" in said
    assert "2-1 Front" in said
    assert "printed side down" in said
    assert "centre, do not cut" in said


def test_lines_are_dark_and_wide_and_nothing_hides_the_grid() -> None:
    for one in layer(page_of(Edited()), "parts").iterdescendants(f"{SVG}path"):
        look = dict(inkex.Style(one.get("style")))
        if look.get("stroke", "none") != "none":
            scale = abs(one.composed_transform().a * one.composed_transform().d) ** 0.5 or 1.0
            assert float(look["stroke-width"]) * scale >= 0.39
            assert look["stroke"] in ("#000000", "#2b2b2b")
            assert look["fill"] == "none"


def test_only_the_line_that_is_cut_is_made_bold() -> None:
    page = page_of(Edited())
    (front, *_) = [one for one in layer(page, "parts") if one.tag == f"{SVG}g"]
    outline, *marks = [
        one for one in front.iterdescendants() if "stroke-width" in one.get("style", "")
    ]
    bold, *others = [
        float(inkex.Style.parse_str(one.get("style"))["stroke-width"]) for one in (outline, *marks)
    ]
    assert bold == pytest.approx(0.8, abs=0.02)
    # The notch is wide enough to be seen, and no wider.
    assert min(others) == pytest.approx(0.4, abs=0.02)


def test_the_page_is_no_layout_itself() -> None:
    document = Edited().document
    data = full_size(document, one_layer(document, ""))
    assert b"urn:thriftlay:1" not in data.replace(b'xmlns:lay="urn:thriftlay:1"', b"")
    assert b"lay:" not in data.replace(b'xmlns:lay="urn:thriftlay:1"', b"")


def test_cautions_stand_on_the_page() -> None:
    said = words(page_of(Edited()))
    for words_ in ("never “fit to page”", "after every knock", "An estimate, not a guarantee"):
        assert words_ in " ".join(said.split())


def test_a_layout_that_breaks_a_rule_is_not_published() -> None:
    edited = Edited()
    edited.transform("tab", 1, "translate(-10,180)")
    with pytest.raises(DrawingError, match="put right what Check Layout tells"):
        page_of(edited)


def two_layouts(folder: Path) -> Path:
    """Write a drawing with two layouts."""
    document = garment().document()
    drawn_into(document, between_selvedges(900.0))
    drawn_into(document, between_selvedges(1400.0))
    file = folder / "two.svg"
    file.write_bytes(serialise(document))
    return file


def test_of_several_layouts_one_must_be_chosen(tmp_path: Path) -> None:
    drawing, out, err = two_layouts(tmp_path), io.StringIO(), io.StringIO()
    words_ = ["diagram", str(drawing), "--full-size", str(tmp_path / "full.svg")]
    assert run(words_, Terminal(out, err), no_time) == 2
    assert "say which one is meant" in err.getvalue()
    assert not (tmp_path / "full.svg").exists()


@pytest.mark.editor
def test_the_pdf_is_as_large_as_the_drawing(tmp_path: Path) -> None:
    need("inkscape")
    drawing, file = tmp_path / "laid.svg", tmp_path / "full.PDF"
    drawing.write_bytes(Edited().data)
    told = Terminal(io.StringIO(), io.StringIO())
    assert run(["diagram", str(drawing), "--full-size", str(file)], told, no_time) == 0
    (page,) = pages_of(file)
    wide, high = page_of(Edited()).get("width"), page_of(Edited()).get("height")
    assert f"{page.width:.0f}mm" == f"{float(wide[:-2]):.0f}mm"
    assert f"{page.height:.0f}mm" == f"{float(high[:-2]):.0f}mm"
    assert "Test square" in page.text
    assert "Check the test square" in " ".join(page.text.split())
    assert page.outside(5.0) == []


def test_a_page_longer_than_a_pdf_may_be_is_refused_with_the_remedy() -> None:
    drawing = b'<svg xmlns="http://www.w3.org/2000/svg" width="5200mm" height="100mm"/>'
    with pytest.raises(OptionError, match=r"5\.20 m long.*write it as SVG"):
        pdf_of(drawing, "no program is asked")
