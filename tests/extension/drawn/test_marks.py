# SPDX-License-Identifier: GPL-2.0-or-later
"""Marks travel with their piece; text stays readable, and nothing is drawn twice that is one."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from extension.drawn.frames import fold_mirror, mapped, onto_sheet, page_point
from extension.drawn.marks import DrawnMark, drawn_marks
from extension.pieces.model import DrawnPiece
from extension.svg.document import Document
from extension.svg.model import Matrix
from extension.svg.transforms import apply_vector, determinant, parse_transform
from nesting.geometry.shapes import whole_outline
from nesting.model import Placement
from tests.helpers.garments import garment
from tests.helpers.layouts import plan_of
from tests.helpers.svg_builder import SvgBuilder, set_lay


def placement(turn: float = 0.0, *, flip: bool = False) -> Placement:
    return Placement("any", (1,), 1, turn, flip, 0.0, 0.0)


def marks_of(
    document: Document, piece: str, spot: Placement
) -> tuple[DrawnPiece, Matrix, tuple[DrawnMark, ...]]:
    cut = plan_of(document).cuts[piece]
    matrix = onto_sheet(spot, cut.piece.grain, 1400.0)
    whole = tuple((float(x), float(y)) for x, y in whole_outline(cut.piece))
    part = shapely.Polygon(mapped(matrix, tuple(map(page_point, whole))))
    return cut.drawn, matrix, drawn_marks(cut.drawn, part, matrix)


def reading_direction(mark: DrawnMark) -> float:
    """Degrees clockwise from upright, as seen."""
    x, y = apply_vector(parse_transform(mark.element.get("transform")), (1.0, 0.0))
    return math.degrees(math.atan2(y, x))


@given(
    st.sampled_from([0.0, 90.0, 180.0, 270.0, 37.0]),
    st.booleans(),
    st.sampled_from(["", "scale(-1 1) translate(-600 0)", "rotate(30)", "rotate(180 300 200)"]),
)
def test_text_is_never_mirrored_and_never_head_down(
    turn: float, flip: bool, transform: str
) -> None:
    document = garment(transform=transform).document()
    _, _, marks = marks_of(document, "front", placement(turn, flip=flip))
    texts = [mark for mark in marks if mark.is_text]
    assert len(texts) == 1
    assert determinant(parse_transform(texts[0].element.get("transform"))) > 0.0
    assert -90.6 <= reading_direction(texts[0]) <= 90.6


def test_text_is_turned_upright_about_its_own_middle_where_there_is_room() -> None:
    document = garment().document()
    drawn, matrix, marks = marks_of(document, "front", placement())
    text = next(mark for mark in marks if mark.is_text)
    assert reading_direction(text) == pytest.approx(0.0, abs=1e-6)
    leaf = next(mark.leaf for mark in drawn.marks if mark.leaf.text)
    x, y = (leaf.box[0] + leaf.box[2]) / 2, (leaf.box[1] + leaf.box[3]) / 2
    assert text.area.centroid.coords[0] == pytest.approx(mapped(matrix, ((x, y),))[0])


def test_text_with_no_room_to_stand_upright_turns_with_its_part() -> None:
    drawing = SvgBuilder("600mm", "400mm", (0, 0, 600, 400))
    strip = drawing.add_group(id="strip", lay={"name": "Strip", "cut": "2"})
    drawing.add_rect(10, 10, 300, 30, strip, id="strip-outline")
    drawing.add_line((20, 35), (20, 15), strip, id="grain", lay={"role": "grainline"})
    drawing.add_text("A long line of words", 60, 30, strip, font_size=12)
    _, _, marks = marks_of(drawing.document(), "strip", placement())
    text = next(mark for mark in marks if mark.is_text)
    assert abs(reading_direction(text)) == pytest.approx(90.0)


@pytest.mark.parametrize("flip", [False, True])
def test_the_lines_of_a_label_stay_together_though_each_is_an_object(flip: bool) -> None:
    """As a PDF import leaves them: the short name alone would have room to stand upright."""
    drawing = SvgBuilder("600mm", "400mm", (0, 0, 600, 400))
    strip = drawing.add_group(id="strip", lay={"name": "Strip", "cut": "2"})
    drawing.add_rect(10, 10, 300, 36, strip, id="strip-outline")
    drawing.add_line((20, 35), (20, 15), strip, id="grain", lay={"role": "grainline"})
    drawing.add_text("Ab", 60, 25, strip, font_size=8)
    drawing.add_text("and a long line of words", 60, 36, strip, font_size=8)
    _, _, marks = marks_of(drawing.document(), "strip", placement(flip=flip))
    name, words = (mark for mark in marks if mark.is_text)
    assert reading_direction(name) == pytest.approx(reading_direction(words))
    first, second = (mark.area.buffer(-4.0) for mark in (name, words))
    assert first.distance(second) == pytest.approx(2.6), "as far apart as on the drawing"


def test_words_that_run_another_way_turn_by_themselves() -> None:
    drawing = SvgBuilder("600mm", "400mm", (0, 0, 600, 400))
    piece = drawing.add_group(id="strip", lay={"name": "Strip", "cut": "2"})
    drawing.add_rect(10, 10, 300, 300, piece, id="strip-outline")
    drawing.add_line((20, 35), (20, 15), piece, id="grain", lay={"role": "grainline"})
    drawing.add_text("Ab", 60, 100, piece, font_size=8)
    drawing.add_text("cd", 60, 110, piece, font_size=8, transform="rotate(-90 60 110)")
    _, _, marks = marks_of(drawing.document(), "strip", placement())
    texts = [mark for mark in marks if mark.is_text]
    assert [reading_direction(text) for text in texts] == pytest.approx([0.0, 0.0], abs=1e-6)


def test_on_a_flipped_part_text_keeps_its_place_though_it_is_not_mirrored() -> None:
    document = garment().document()
    _, _, plain = marks_of(document, "front", placement())
    _, _, flipped = marks_of(document, "front", placement(flip=True))
    one, other = (next(m for m in marks if m.is_text).area.centroid for marks in (plain, flipped))
    # The flip mirrors in the grainline, which lies along x: same distance from the cut end.
    assert other.x == pytest.approx(one.x)


def named(marks: tuple[DrawnMark, ...], kind: str) -> list[DrawnMark]:
    return [mark for mark in marks if mark.element.tag.endswith(f"}}{kind}")]


def test_on_a_whole_part_marks_are_doubled_but_not_what_is_one() -> None:
    drawn, _, marks = marks_of(garment().document(), "back", placement())
    # One grainline, one text; the dot twice, the circle astride the fold once, the one-sided once.
    assert len(named(marks, "line")) == 1
    assert len(named(marks, "text")) == 1
    assert len(named(marks, "circle")) == 4
    radii = sorted(mark.element.get("r", "") for mark in named(marks, "circle"))
    assert radii == ["2", "3", "3", "4"]
    assert sum(mark.role == "mark" for mark in drawn.marks) == 3


def test_the_double_of_a_mark_is_its_mirror_image_in_the_fold() -> None:
    drawn, matrix, marks = marks_of(garment().document(), "back", placement())
    dots = [mark for mark in named(marks, "circle") if mark.element.get("r") == "3"]
    assert drawn.fold is not None
    mirror = fold_mirror(drawn.fold)
    inside = [mapped(matrix, ((270.0, 160.0),))[0]]
    inside += [mapped(matrix, mapped(mirror, ((270.0, 160.0),)))[0]]
    for dot, point in zip(dots, inside, strict=True):
        assert dot.area.centroid.coords[0] == pytest.approx(point, abs=1e-3)


def test_the_sign_of_the_fold_is_dropped_with_the_fold() -> None:
    drawing = garment()
    back = next(node for node in drawing.root.iter("{*}g") if node.get("id") == "back")
    bracket = drawing.add_path("M 201 200 H 215 V 40 H 201", back, id="bracket", fill="none")
    _, _, plain = marks_of(drawing.document(), "back", placement())
    assert len(named(plain, "path")) == 2
    bracket.set("style", "marker-start:url(#a);marker-end:url(#a)")
    _, _, signed = marks_of(drawing.document(), "back", placement())
    assert named(signed, "path") == []


def test_the_sign_of_the_fold_is_dropped_with_heads_that_are_shapes() -> None:
    """As a PDF import leaves it: heads are shapes of their own at the ends of the bracket."""
    drawing = garment()
    back = next(node for node in drawing.root.iter("{*}g") if node.get("id") == "back")
    drawing.add_path("M 201 200 H 215 V 40 H 201", back, id="bracket", fill="none")
    drawing.add_path("M 201 200 L 207 198 L 207 202 Z", back, id="head")
    _, _, half = marks_of(drawing.document(), "back", placement())
    assert len(named(half, "path")) == 4, "one head alone may be anything"
    drawing.add_path("M 201 40 L 207 38 L 207 42 Z", back, id="other-head")
    _, _, signed = marks_of(drawing.document(), "back", placement())
    assert named(signed, "path") == []


def test_heads_of_a_grainline_are_on_the_half_that_it_is_on() -> None:
    drawing = garment()
    back = next(node for node in drawing.root.iter("{*}g") if node.get("id") == "back")
    grain = next(node for node in back.iter("{*}line") if "grain" in str(node.get("id")))
    x, y = float(grain.get("x1", "")), float(grain.get("y1", ""))
    drawing.add_path(f"M {x} {y} l 5 -60 h -10 Z", back, id="head")
    _, _, marks = marks_of(drawing.document(), "back", placement())
    assert len(named(marks, "line")) == len(named(marks, "path")) == 1


@pytest.mark.parametrize(
    "strokes", [("M {a},{b} L {x},{y} L {c},{b}",), ("M {x},{y} L {a},{b}", "M {x},{y} L {c},{b}")]
)
def test_heads_of_a_grainline_that_are_open_strokes_are_where_it_is(
    strokes: tuple[str, ...],
) -> None:
    """As a hand draws them: a chevron, or two short lines."""
    drawing = garment()
    back = next(node for node in drawing.root.iter("{*}g") if node.get("id") == "back")
    grain = next(node for node in back.iter("{*}line") if "grain" in str(node.get("id")))
    x, y = float(grain.get("x1", "")), float(grain.get("y1", ""))
    for stroke in strokes:
        data = stroke.format(x=x, y=y, a=x - 4, b=y - 9, c=x + 4)
        drawing.add_path(data, back, fill="none")
    _, _, marks = marks_of(drawing.document(), "back", placement())
    assert len(named(marks, "path")) == len(strokes)


def test_the_sign_of_the_fold_is_dropped_with_heads_that_are_open_strokes() -> None:
    drawing = garment()
    back = next(node for node in drawing.root.iter("{*}g") if node.get("id") == "back")
    drawing.add_path("M 201 200 H 215 V 40 H 201", back, id="bracket", fill="none")
    drawing.add_path("M 207 198 L 201 200 L 207 202", back, id="head", fill="none")
    drawing.add_path("M 207 38 L 201 40 L 207 42", back, id="other-head", fill="none")
    _, _, signed = marks_of(drawing.document(), "back", placement())
    assert named(signed, "path") == []


def test_what_is_said_to_be_the_bracket_is_dropped_without_heads() -> None:
    drawing = garment()
    back = next(node for node in drawing.root.iter("{*}g") if node.get("id") == "back")
    bracket = drawing.add_path("M 201 200 H 215 V 40 H 201", back, id="bracket", fill="none")
    set_lay(bracket, role="bracket")
    _, _, signed = marks_of(drawing.document(), "back", placement())
    assert named(signed, "path") == []


def words_on(piece: str, *lines: str, at: tuple[float, float] = (250.0, 120.0)) -> list[str]:
    """Return the words on a part whose piece has these lines more, an object for each."""
    drawing = garment()
    group = next(node for node in drawing.root.iter("{*}g") if node.get("id") == piece)
    for text in list(group.iter("{*}text")):
        group.remove(text)
    for number, line in enumerate(lines):
        drawing.add_text(line, at[0], at[1] + 12.0 * number, group, font_size=5)
    _, _, marks = marks_of(drawing.document(), piece, placement())
    texts = ("\n".join(m.element.itertext()) for m in marks if m.is_text)
    return [" / ".join(filter(None, map(str.strip, text.split("\n")))) for text in texts]


@pytest.mark.parametrize(
    ("label", "left"),
    [
        ("Back\ncut 1 on the fold\nNo. 7", "Back / cut 1 / No. 7"),
        ("Dos\n1 tissu\nau pli", "Dos / 1 tissu"),
        ("Rückenteil – 1x im Stoffbruch zuschneiden", "Rückenteil – 1x zuschneiden"),
        ("Back (on fold), cut 1", "Back, cut 1"),
        ("Back, do not cut on the fold line", "Back, do not cut on the fold line"),
    ],
)
def test_no_word_on_a_part_that_is_opened_out_tells_to_fold(label: str, left: str) -> None:
    assert words_on("back", label) == [left]
    assert words_on("front", label) == [label.replace("\n", " / ")], "that is not on the fold"


def test_a_text_that_says_nothing_else_is_not_on_the_part() -> None:
    assert words_on("back", "Back", "place on fold") == ["Back"]


def test_a_bare_fold_goes_only_where_it_stands_at_the_fold_edge() -> None:
    assert words_on("back", "fold", at=(204.0, 120.0)) == []
    assert words_on("back", "fold", at=(250.0, 120.0)) == ["fold"]


def test_letters_that_stand_each_at_its_place_stay_there() -> None:
    """As a PDF import gives the place of every letter."""
    drawing = garment()
    group = next(node for node in drawing.root.iter("{*}g") if node.get("id") == "back")
    for text in list(group.iter("{*}text")):
        group.remove(text)
    text = drawing.add_text("", 250, 120, group, font_size=5)
    row = etree.SubElement(text, "{http://www.w3.org/2000/svg}tspan")
    row.text = "on fold, cut 1"
    row.set("x", " ".join(str(250 + 3 * number) for number in range(len(row.text))))
    row.set("y", "120")
    _, _, marks = marks_of(drawing.document(), "back", placement())
    (left,) = (m.element for m in marks if m.is_text)
    kept = list(left.iter("{*}tspan"))[-1]
    assert kept.text == "cut 1"
    assert kept.get("x") == " ".join(str(250 + 3 * number) for number in range(9, 14))


def test_an_arrow_elsewhere_is_no_sign_of_the_fold() -> None:
    drawing = garment()
    back = next(node for node in drawing.root.iter("{*}g") if node.get("id") == "back")
    look = "fill:none;marker-start:url(#a);marker-end:url(#a)"
    drawing.add_path("M 260 190 H 275 V 120 H 260", back, id="arrow", style=look)
    _, _, marks = marks_of(drawing.document(), "back", placement())
    assert len(named(marks, "path")) == 2


def test_hidden_marks_do_not_travel() -> None:
    drawing = garment()
    notch = next(node for node in drawing.root.iter("{*}line") if node.get("id") == "front-notch")
    before = len(marks_of(drawing.document(), "front", placement())[2])
    drawing.hide(notch)
    assert len(marks_of(drawing.document(), "front", placement())[2]) == before - 1


@pytest.mark.parametrize(
    ("words", "same"),
    [
        (["Strip"], True),
        (["STRIP", "cut 2 main", "No. 3 · 110 · 1 of 15"], True),
        (["Strip", "cut 2 main on the bias"], True),
        (["Strip", "2x zuschneiden", "Teil 2 von 4"], True),
        (["Strip", "ease between notches"], False),
        (["Strip", "cut 2", "1 cm seam allowance included"], False),
        (["Strip", "zip"], False),
        (["Strip", "Left"], False),
        (["gather here"], False),
        (["cut 2 main"], False),
    ],
)
def test_a_label_is_ours_too_only_if_it_says_nothing_else(words: list[str], same: bool) -> None:
    drawing = SvgBuilder("600mm", "400mm", (0, 0, 600, 400))
    piece = drawing.add_group(id="strip", lay={"name": "Strip", "cut": "2"})
    drawing.add_rect(10, 10, 300, 300, piece, id="strip-outline")
    drawing.add_line((20, 35), (20, 15), piece, id="grain", lay={"role": "grainline"})
    for row, line in enumerate(words):
        drawing.add_text(line, 60, 100 + 10 * row, piece, font_size=8)
    drawing.add_text("fold up", 60, 250, piece, font_size=8)
    _, _, marks = marks_of(drawing.document(), "strip", placement())
    texts = [mark for mark in marks if mark.is_text]
    assert [mark.is_label for mark in texts] == [*([same] * len(words)), False]
