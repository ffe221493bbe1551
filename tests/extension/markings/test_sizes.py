# SPDX-License-Identifier: GPL-2.0-or-later
"""Sizes: by layers, groups, a legend of styles, or numbers at the lines of a nest."""

from __future__ import annotations

import pytest
from lxml import etree

from extension.job.reading import ReadRequest, read_pieces
from extension.markings.proposals import Proposals
from extension.markings.proposing import propose
from extension.markings.sizewords import is_bare_size, size_in
from extension.operations.read_markings import read_markings
from extension.svg.leaves import read_leaves
from tests.helpers.svg_builder import SvgBuilder

SIZES = ("36", "38", "40")
LOOK = "fill:none;stroke:#000000;stroke-width:0.5"
STEP = 8.0


def sheet() -> SvgBuilder:
    return SvgBuilder("800mm", "600mm", (0, 0, 800, 600))


def outline(number: int, left: float = 60.0) -> str:
    """Return a half front with its fold at the left, one size larger for each number."""
    wide, high = 150.0 + STEP * number, 300.0 + STEP * number
    return f"M {left} 350 V {350 - high} H {left + 0.6 * wide} L {left + wide} 350 Z"


def common(drawing: SvgBuilder, parent: etree._Element | None = None, left: float = 60.0) -> None:
    """Draw what all sizes share: label, grainline and the bracket at the fold."""
    drawing.add_text("Front\ncut 1 on fold", left + 45, 200, parent, font_size=10)
    arrow = f"{LOOK};marker-end:url(#h);marker-start:url(#h)"
    drawing.add_line((left + 30, 120), (left + 30, 300), parent, id="grain", style=arrow)
    bracket = f"M {left + 2} 120 H {left + 14} V 300 H {left + 2}"
    drawing.add_path(bracket, parent, id="bracket", style=arrow)


def pieces(proposals: Proposals) -> list[tuple[str, str | None, bool, float | None]]:
    return [(each.name, each.size, each.fold, each.grain) for each in proposals.pieces]


def expected(*sizes: str) -> list[tuple[str, str, bool, float]]:
    return [("Front", size, True, 90.0) for size in sizes]


def by_layers(names: tuple[str, ...]) -> SvgBuilder:
    drawing = sheet()
    for number, name in enumerate(names):
        layer = drawing.add_layer(name)
        drawing.add_path(outline(number), layer, id=f"front-{number}", style=LOOK)
    common(drawing, drawing.add_layer("All sizes"))
    return drawing


@pytest.mark.parametrize(
    "names",
    [SIZES, ("Size 36", "Size 38", "Size 40"), ("Gr. 36", "Gr. 38", "Gr. 40")],
    ids=["bare", "English", "German"],
)
def test_layers_named_by_size(names: tuple[str, ...]) -> None:
    proposals = propose(by_layers(names).document())
    assert pieces(proposals) == expected(*SIZES)
    assert not proposals.questions


@pytest.mark.parametrize(
    "shared", ["36-38", "36, 38", "36 + 38", "Size 36-38", "Gr. 36 und 38", "36 und 38", "36 38"]
)
def test_a_layer_for_several_sizes(shared: str) -> None:
    drawing = by_layers(("36", "38", "40"))
    layer = drawing.add_layer(shared)
    drawing.add_rect(400, 50, 120, 150, layer, id="pocket", style=LOOK)
    drawing.add_line((420, 180), (420, 70), layer, style=f"{LOOK};marker-end:url(#h)")
    drawing.add_text("Pocket\ncut 2", 440, 100, layer, font_size=8)
    document = drawing.document()
    read_markings(document)
    for size, held in (("36", True), ("38", True), ("40", False)):
        reading = read_pieces(read_leaves(document), ReadRequest(sizes=(size,)))
        assert ("Pocket" in {piece.name for piece in reading.pieces}) is held


@pytest.mark.parametrize(
    ("line", "size"),
    [
        ("36–40", "36–40"),
        ("36, 38", "36, 38"),
        ("36 and 40", "36, 40"),
        ("36-44", None),
        ("12-15", None),
        ("2", None),
    ],
)
def test_bare_sizes_on_a_piece_that_sizes_share(line: str, size: str | None) -> None:
    drawing = by_layers(SIZES)
    drawing.add_rect(400, 100, 100, 120, id="pocket", style=LOOK)
    drawing.add_text(f"Pocket\ncut 2\n{line}", 420, 140, font_size=10)
    proposals = propose(drawing.document())
    assert next(one.size for one in proposals.pieces if one.name == "Pocket") == size
    assert (line in proposals.unread) == (size is None)


def test_a_label_and_a_layer_of_two_sizes_are_asked_about() -> None:
    drawing = by_layers(SIZES)
    layer = drawing.add_layer("36")
    drawing.add_rect(400, 100, 100, 120, layer, id="pocket", style=LOOK)
    drawing.add_text("Pocket\ncut 2\nsize 38", 420, 140, font_size=10)
    (pocket,) = (one for one in propose(drawing.document()).pieces if one.name == "Pocket")
    assert "Its label says size “38”, but the layer or group “36” says “36”." in pocket.wants


def test_one_group_for_each_size() -> None:
    drawing = sheet()
    for number, size in enumerate(SIZES):
        group = drawing.add_group(label=f"size {size}")
        drawing.add_path(outline(number), group, style=LOOK)
    common(drawing)
    assert pieces(propose(drawing.document())) == expected(*SIZES)


def test_a_layer_called_by_any_number_is_no_size() -> None:
    drawing = sheet()
    drawing.add_path(outline(0), drawing.add_layer("Layer 1"), style=LOOK)
    common(drawing, drawing.add_layer("Layer 2"))
    ((_, size, _, _),) = pieces(propose(drawing.document()))
    assert size is None


@pytest.mark.parametrize(
    "looks",
    [
        ("stroke:#ff0000", "stroke:#0000ff", "stroke:#008000"),
        ("stroke:#000", "stroke:#000;stroke-dasharray:6,2", "stroke:#000;stroke-dasharray:1,2"),
    ],
    ids=["colours", "dashes"],
)
def test_styles_explained_by_a_legend(looks: tuple[str, ...]) -> None:
    drawing = sheet()
    for number, look in enumerate(looks):
        drawing.add_path(outline(number), style=f"fill:none;{look}")
        y = 420.0 + 15 * number
        drawing.add_line((300, y), (340, y), style=look)
        drawing.add_text(f"Size {SIZES[number]}", 348, y + 3, font_size=8)
    common(drawing)
    proposals = propose(drawing.document())
    assert pieces(proposals) == expected(*SIZES)
    assert not proposals.questions
    assert not proposals.unread


DASHES = ("stroke:#000", "stroke:#000;stroke-dasharray:6,2", "stroke:#000;stroke-dasharray:1,2")


def explained(drawing: SvgBuilder, row: int, look: str, words: str) -> None:
    """Add a row of a legend: a sample line beside its words."""
    drawing.add_line((300, 420 + 15 * row), (340, 420 + 15 * row), style=look)
    drawing.add_text(words, 348, 423 + 15 * row, font_size=8)


@pytest.mark.parametrize(
    ("mark", "row"),
    [("M 290 424 V 418 H 296", 0), ("M 292 435 H 298", 1), ("M 292 452 H 296", 2)],
    ids=["a bent mark", "a stroke before dashes", "a stroke out of line"],
)
def test_a_mark_close_to_a_sample_of_a_legend_is_no_part_of_it(mark: str, row: int) -> None:
    """A corner mark of the page was taken for a dash, so that no size was known."""
    drawing = sheet()
    for number, look in enumerate(DASHES):
        drawing.add_path(outline(number), style=f"fill:none;{look}")
        explained(drawing, number, look, f"Size {SIZES[number]}")
    drawing.add_path(mark, id=f"mark-{row}", style=LOOK)
    common(drawing)
    assert pieces(propose(drawing.document())) == expected(*SIZES)


@pytest.mark.parametrize("stroke", ["none", "#000"])
def test_a_legend_speaks_of_outlines_not_of_filled_arrow_heads(stroke: str) -> None:
    """Heads got the size of the first style, so that the other sizes lost their grainline."""
    drawing = sheet()
    for number, look in enumerate(DASHES):
        drawing.add_path(outline(number), style=f"fill:none;{look}")
        explained(drawing, number, look, f"Size {SIZES[number]}")
    drawing.add_text("Front\ncut 2", 105, 200, font_size=10)
    drawing.add_line((90, 120), (90, 300), id="grain", style=LOOK)
    for tip, tail in ((112, 122), (308, 298)):
        head = f"M 90 {tip} L 87 {tail} H 93 Z"
        drawing.add_path(head, style=f"fill:#000;stroke:{stroke};stroke-width:0.5")
    drawing.add_path("M 160 250 h 4 v 4 h -4 z", style="fill:#000;stroke:none")
    found = pieces(propose(drawing.document()))
    assert found == [("Front", size, False, 90.0) for size in SIZES]
    document = drawing.document()
    read_markings(document)
    for size in SIZES:
        (piece,) = read_pieces(read_leaves(document), ReadRequest(sizes=(size,))).pieces
        assert piece.grain_from == "grainline"


ALL_SIZES = ("All sizes", "alle Größen", "toutes tailles", "todas las tallas", "tutte le taglie")


@pytest.mark.parametrize("words", [*ALL_SIZES, "alle maten", "todos os tamanhos"])
def test_a_line_for_all_sizes_belongs_to_every_size(words: str) -> None:
    drawing = sheet()
    for number, look in enumerate(DASHES[:2]):
        drawing.add_path(outline(number), style=f"fill:none;{look}")
        explained(drawing, number, look, f"Size {SIZES[number]}")
    common_look = "stroke:#000;stroke-dasharray:12,2,2,2"
    explained(drawing, 2, common_look, words)
    common(drawing)
    drawing.add_path("M 400 60 H 560 V 160 H 400 Z", id="pocket", style=f"fill:none;{common_look}")
    drawing.add_text("Pocket\ncut 2", 420, 100, font_size=10)
    drawing.add_line((520, 70), (520, 150), style=f"{LOOK};marker-end:url(#h)")
    found = propose(drawing.document())
    assert [(each.name, each.size) for each in found.pieces] == [
        ("Front", "36"),
        ("Front", "38"),
        ("Pocket", None),
    ]
    assert not found.unread
    document = drawing.document()
    read_markings(document)
    for size in SIZES[:2]:
        read_ones = read_pieces(read_leaves(document), ReadRequest(sizes=(size,))).pieces
        assert sorted(piece.name for piece in read_ones) == ["Front", "Pocket"]


def test_numbers_at_the_lines_of_a_nest() -> None:
    drawing = sheet()
    for number, size in enumerate(SIZES):
        drawing.add_path(outline(number), style=LOOK)
        drawing.add_text(size, 100, 50 - STEP * number - 1, font_size=5)
    common(drawing)
    proposals = propose(drawing.document())
    assert pieces(proposals) == expected(*SIZES)
    assert not proposals.questions


def test_a_nest_without_sizes_is_asked_about_and_never_one_piece_with_lines() -> None:
    drawing = sheet()
    for number in range(3):
        drawing.add_path(outline(number), id=f"front-{number}", style=LOOK)
    common(drawing)
    read = propose(drawing.document())
    assert [piece.is_complete for piece in read.pieces] == [False]
    assert any("2 outlines lie inside it: are they other sizes" in each for each in read.questions)


def test_two_numbers_at_one_line_are_asked_about() -> None:
    drawing = sheet()
    for number in range(2):
        drawing.add_path(outline(number), style=LOOK)
    drawing.add_text("36", 100, 49, font_size=5)
    drawing.add_text("38", 130, 49, font_size=5)
    common(drawing)
    assert any("do not tell" in each for each in propose(drawing.document()).questions)


@pytest.mark.parametrize("size", SIZES)
def test_each_size_is_laid_with_the_common_lines(size: str) -> None:
    document = by_layers(SIZES).document()
    read_markings(document)
    (piece,) = read_pieces(read_leaves(document), ReadRequest(sizes=(size,))).pieces
    assert (piece.name, piece.size) == ("Front", size)
    assert piece.fold is not None
    assert piece.grain == pytest.approx(90.0)
    assert piece.grain_from == "grainline"


def test_a_fold_line_drawn_once_serves_every_size() -> None:
    drawing = sheet()
    for number, size in enumerate(SIZES):
        drawing.add_path(outline(number), drawing.add_layer(size), style=LOOK)
    layer = drawing.add_layer("common")
    drawing.add_text("Front\ncut 1 on fold", 105, 200, layer, font_size=10)
    drawing.add_line((60, 34), (60, 350), layer, id="fold", style=f"{LOOK};stroke-dasharray:9,3")
    document = drawing.document()
    report = read_markings(document).report
    assert [piece["fold"] for piece in report["pieces"]] == [True] * 3
    reading = read_pieces(read_leaves(document), ReadRequest(sizes=SIZES))
    assert all(piece.fold is not None for piece in reading.pieces)


@pytest.mark.parametrize("text", ["38", "XL", "S", "86/92", "2T", "116", "3XL", "M"])
def test_bare_sizes(text: str) -> None:
    assert is_bare_size(text)
    assert size_in(text) == text


@pytest.mark.parametrize("text", ["Layer 1", "CF", "300", "A", "12 cm", "cut 2", "1 of 3", ""])
def test_what_is_no_size(text: str) -> None:
    assert not is_bare_size(text)
    assert size_in(text) is None
