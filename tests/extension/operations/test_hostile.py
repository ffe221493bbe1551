# SPDX-License-Identifier: GPL-2.0-or-later
"""Drawings with numbers, nestings and places that nobody drew by hand: read, or refused by name."""

from __future__ import annotations

import contextlib
import time
from pathlib import Path

import numpy as np
import pytest
import shapely

from extension.drawn.place import NEAR
from extension.language.errors import DrawingError
from extension.language.units import user_units
from extension.operations.join_lines import JoinOptions, join_lines
from extension.operations.read_markings import read_markings
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from extension.svg.transforms import can_be_undone, parse_transform
from nesting.errors import ThriftlayError
from tests.helpers.drawn import read, refusal, sheet
from tests.helpers.layouts import drawn_into
from tests.helpers.svg_builder import SvgBuilder

FAR = {
    "a circle": ("circle", {"cx": "1e16", "cy": 5, "r": 10}),
    "a path": ("path", {"d": "M 1e300 1e300 h 10 v 10 z"}),
    "a place that is no number": ("path", {"d": "M 0 0 L 1e308 9", "transform": "scale(1e9)"}),
    "a line across": ("path", {"d": "M -1e308 0 H 1e308"}),
    "a great circle": ("circle", {"cx": 0, "cy": 0, "r": "1e12"}),
    "a text": ("text", {"x": "1e300", "y": "1e300", "text": "Back, cut 2"}),
    "a large text": ("text", {"x": 1, "y": 1, "text": "Back, cut 2", "font_size": "1e300"}),
    "an image": ("image", {"x": "-1e9", "y": 0, "width": 10, "height": 10}),
}


def add(drawing: SvgBuilder, tag: str, attributes: dict[str, object], **more: object) -> None:
    plain = dict(attributes)
    text = plain.pop("text", None)
    element = drawing.add(tag, id="stray", **plain, **more)  # type: ignore[arg-type]
    if text is not None:
        element.text = str(text)


def with_stray(name: str) -> SvgBuilder:
    drawing = sheet()
    drawing.add_path("M 0 0 H 200 V 300 H 0 Z", id="front", lay={"cut": "2"})
    add(drawing, *FAR[name])  # type: ignore[arg-type]
    return drawing


def stray(drawing: SvgBuilder) -> Leaf:
    return next(leaf for leaf in read_leaves(drawing.document()) if leaf.id == "stray")


@pytest.mark.parametrize("name", FAR)
@pytest.mark.filterwarnings("error")
def test_a_stray_object_is_named_and_decides_nothing(name: str) -> None:
    leaf = stray(with_stray(name))
    assert (leaf.far, leaf.rings, leaf.text, leaf.box) == (True, (), "", (0.0, 0.0, 0.0, 0.0))
    reading = read(with_stray(name))
    assert [piece.id for piece in reading.pieces] == ["front"]
    assert [(one.object_id, one.reason) for one in reading.left_out] == [("stray", "too far away")]
    document, alone = with_stray(name).document(), sheet()
    alone.add_path("M 0 0 H 200 V 300 H 0 Z", id="front", lay={"cut": "2"})
    _, layer = drawn_into(document)
    _, same = drawn_into(alone.document())
    assert layer.get("transform") == same.get("transform")


@pytest.mark.parametrize("name", FAR)
@pytest.mark.filterwarnings("error")
def test_reading_and_joining_name_a_stray_object(name: str) -> None:
    outcome = read_markings(with_stray(name).document())
    assert any("(stray) reaches more than 1 km from the page" in line for line in outcome.summary)
    assert b"nan" not in outcome.drawing.split(b"stray")[-1]
    if FAR[name][0] == "path":
        joined = join_lines(with_stray(name).document(), JoinOptions())
        reasons = {one["id"]: one["reason"] for one in joined.report["left"]}
        assert reasons["stray"].startswith("reaches more than 1 km from the page")


def test_a_piece_that_is_too_far_away_is_refused_by_name() -> None:
    drawing = sheet()
    drawing.add_path("M 1e16 0 h 100 v 100 h -100 z", id="a", label="Back", lay={"cut": "2"})
    assert refusal(drawing).startswith("“Back” (a) reaches more than 1 km from the page")
    drawing = sheet()
    drawing.add_path("M 1e16 0 h 100 v 100 h -100 z", id="a")
    assert refusal(drawing, "a").startswith("The line far off the page (a) reaches more")


def test_what_is_just_within_reach_does_not_push_a_layout_out_of_it() -> None:
    drawing = with_stray("a circle")
    drawing.add("rect", x=NEAR + 1000.0, width=10, height=10, id="beside")
    _, layer = drawn_into(drawing.document())
    assert parse_transform(layer.get("transform"))[0][2] < NEAR


@pytest.mark.parametrize(
    "transform", ["scale(0)", "scale(1, 0)", "matrix(1 1 1 1 0 0)", "scale(1e-300)"]
)
def test_what_is_flattened_shows_nothing(transform: str) -> None:
    assert not can_be_undone(parse_transform(transform))
    drawing = sheet()
    flat = drawing.add_group(transform=transform, id="flat", lay={"cut": "1"})
    drawing.add_path("M 0 0 H 200 V 300 H 0 Z", flat, id="a")
    drawing.add("text", flat, x=5, y=5, id="t").text = "Front"
    assert all(not leaf.rings and not leaf.text for leaf in read_leaves(drawing.document()))
    assert "holds no closed outline" in refusal(drawing)
    read_markings(drawing.document())


@pytest.mark.parametrize(
    "data",
    [
        "M 10 10 A 1e308 1e308 0 0 1 100 100 L 10 100 Z",
        "M 10 10 A 1e200 1e150 30 0 0 100 100 L 10 100 Z",
        "M 10 10 A 1e9 1e9 0 0 1 100 100 L 10 100 Z",
    ],
)
def test_an_arc_of_a_huge_circle_is_a_straight_line(data: str) -> None:
    drawing = sheet()
    drawing.add_path(data, id="a")
    (leaf,) = read_leaves(drawing.document())
    triangle = shapely.Polygon([(10, 10), (100, 100), (10, 100)])
    assert shapely.Polygon(leaf.rings[0].points).symmetric_difference(triangle).area < 0.01


@pytest.mark.parametrize(
    "data",
    [
        "M 10 10 A 1e308 1e308 0 1 1 100 100 L 10 100 Z",
        "M 10 10 A 1e308 1 0 0 1 100 100 A 1 1e308 45 1 1 10 10 Z",
        "M 10 10 A 1e-308 1e-308 0 0 1 100 100 L 10 100 Z",
    ],
)
def test_an_arc_that_no_numbers_can_follow_is_refused_by_name(data: str) -> None:
    drawing = sheet()
    drawing.add_path(data, id="a")
    with pytest.raises(DrawingError, match=r"the line \(a\)"):
        read_leaves(drawing.document())


@pytest.mark.parametrize("sheet_", ["a{" * 3000, "a " + ":not(" * 3000 + "b", "(" * 3000 + "{}"])
def test_a_style_sheet_that_nests_without_end_is_read_or_refused(sheet_: str) -> None:
    drawing = sheet()
    drawing.add("style").text = sheet_
    drawing.add_path("M 0 0 H 200 V 300 H 0 Z")
    told = ""
    with contextlib.suppress(DrawingError):
        assert len(read_leaves(drawing.document())) == 1
        told = "read"
    if not told:
        with pytest.raises(DrawingError, match="A style sheet of the drawing nests brackets too"):
            read_leaves(drawing.document())


def test_long_rows_of_digits_and_comments_are_read_once() -> None:
    # Digits that could be read in many ways took minutes, and no stop was heard meanwhile.
    digits, started = "1" * 100_000, time.process_time()
    with pytest.raises(ValueError, match="translate"):
        parse_transform(f"translate({digits}x)")
    with pytest.raises(ValueError, match="111"):
        user_units(f"{digits}x", (1.0, 1.0), "x", 16.0)
    drawing = sheet()
    drawing.add_path(f"M {digits}x", id="a")
    with pytest.raises(
        DrawingError, match=r"The line \(a\) has a part that cannot be read"
    ) as refused:
        read_leaves(drawing.document())
    assert len(str(refused.value)) < 200
    drawing = sheet()
    drawing.add_path("M 0 0 H 200 V 300 H 0 Z", style="/*" * 100_000 + "fill:red")
    read_leaves(drawing.document())
    assert time.process_time() - started < 20.0


def test_a_quotation_without_end_is_cut_short() -> None:
    assert str(ThriftlayError(f"“{'x' * 300}” is wrong.")) == f"“{'x' * 60}…” is wrong."
    assert str(ThriftlayError(f"“{'x' * 200}” is wrong.")) == f"“{'x' * 200}” is wrong."


@pytest.mark.parametrize("side", ["2e6", "1e300"])
def test_a_page_beside_which_nothing_could_be_read_is_refused(side: str, tmp_path: Path) -> None:
    drawing = tmp_path / "in.svg"
    drawing.write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{side}" height="100" viewBox="0 0 1 1"/>'
    )
    with pytest.raises(DrawingError, match="no usable size"):
        parse(drawing)


@pytest.mark.parametrize(
    "page",
    [
        'width="600mm" height="600mm" viewBox="0 0 1e-300 1e-300"',
        'width="1e-300mm" height="600mm" viewBox="0 0 600 600"',
    ],
)
def test_a_page_that_no_numbers_can_follow_is_refused(page: str) -> None:
    with pytest.raises(DrawingError, match="The page has no usable size"):
        parse(f'<svg xmlns="http://www.w3.org/2000/svg" {page}/>'.encode())


SPIKES = {
    "spike": "M 10 310 H 210 V 400 L 9000 400 L 210 400 V 500 H 10 Z",
    "slit": "M 10 310 H 210 V 400 L 50 400 L 210 400 V 500 H 10 Z",
    "whisker": "M 10 310 H 210 V 500 V 310 V 500 H 10 Z",
    "spike beside a hole": "M 10 310 H 210 V 400 H 9000 H 210 V 500 H 10 Z M 50 350 h 9 v 9 h -9 Z",
}


@pytest.mark.parametrize("fold", [False, True])
@pytest.mark.parametrize("name", SPIKES)
def test_what_is_judged_is_what_is_drawn(name: str, fold: bool) -> None:
    drawing = sheet()
    piece = drawing.add_group(id="p", lay={"cut": "1"})
    drawing.add_path(SPIKES[name], piece, id="a")
    if fold:
        drawing.add_path("M 10 500 V 310", piece, id="f", lay={"role": "fold"})
    document = drawing.document()
    sheet_, layer = drawn_into(document)
    (outline,) = sheet_.layout.outlines.values()
    judged = shapely.Polygon(outline)
    drawn = [
        leaf for leaf in read_leaves(document, include_layouts=True) if "of" in leaf.attributes
    ]
    rings = [ring.points for leaf in drawn for ring in leaf.rings]
    points = np.array([point for ring in rings for point in ring])
    size = points.max(axis=0) - points.min(axis=0)
    low_x, low_y, high_x, high_y = judged.bounds
    assert sorted(size) == pytest.approx(sorted([high_x - low_x, high_y - low_y]), abs=0.2)
    longest = sum(shapely.LinearRing(ring).length for ring in rings)
    holes = (36.0 * (2 if fold else 1)) if "hole" in name else 0.0
    doubled = 400.0 if name == "whisker" else 0.0
    assert longest <= judged.length + holes + (2.0 if fold else 1.0) * doubled + 1.0
    assert layer.get("id")
