# SPDX-License-Identifier: GPL-2.0-or-later
"""Fold brackets, fold lines and the words for them: which edge lies on the fold."""

from __future__ import annotations

import math

import pytest

from extension.job.reading import ReadRequest, read_pieces
from extension.markings.proposals import Proposal
from extension.markings.proposing import propose
from extension.operations.read_markings import read_markings
from extension.svg.leaves import read_leaves
from tests.helpers.arrows import STYLES, Pen
from tests.helpers.svg_builder import SvgBuilder

LOOK = "fill:none;stroke:#000000;stroke-width:0.5"
HEADS = f"{LOOK};marker-start:url(#h);marker-end:url(#h)"
LEFT, TOP, WIDE, HIGH = 60.0, 40.0, 200.0, 320.0


def sheet(label: str = "Back\ncut 1 on fold") -> SvgBuilder:
    drawing = SvgBuilder("500mm", "500mm", (0, 0, 500, 500))
    outline = f"M {LEFT} {TOP} H {LEFT + WIDE} L {LEFT + WIDE + 20} {TOP + HIGH} H {LEFT} Z"
    drawing.add_path(outline, id="back", style=LOOK)
    if label:
        drawing.add_text(label, 130, 150, font_size=10)
    return drawing


def only(drawing: SvgBuilder) -> Proposal:
    (piece,) = propose(drawing.document()).pieces
    return piece


def folded_at(drawing: SvgBuilder) -> tuple[float, float] | None:
    """Return the x of both ends of the fold that the layout finds after reading."""
    document = drawing.document()
    read_markings(document)
    (piece,) = read_pieces(read_leaves(document), ReadRequest()).pieces
    return None if piece.fold is None else (piece.fold[0][0], piece.fold[1][0])


BRACKETS = {
    "with markers": [("M 63 80 H 74 V 300 H 63", HEADS)],
    "touching the edge": [("M 60 80 H 74 V 300 H 60", LOOK)],
    "in three lines": [("M 74 80 V 300", LOOK), ("M 74 80 H 62", HEADS), ("M 74 300 H 62", HEADS)],
    "heads beside it": [
        ("M 62 80 H 74 V 300 H 62", LOOK),
        ("M 65 78 L 62 80 L 65 82", LOOK),
        ("M 65 298 L 62 300 L 65 302", LOOK),
    ],
    "from outside": [("M 58 80 H 44 V 300 H 58", HEADS)],
}


@pytest.mark.parametrize("name", list(BRACKETS))
def test_a_bracket_means_the_edge_it_points_at(name: str) -> None:
    drawing = sheet()
    for data, look in BRACKETS[name]:
        drawing.add_path(data, style=look)
    piece = only(drawing)
    assert piece.fold
    assert piece.is_complete, piece.wants
    assert folded_at(drawing) == pytest.approx((LEFT, LEFT), abs=0.01)


@pytest.mark.parametrize("leg", [4.0, 14.0, 60.0])
@pytest.mark.parametrize("head", ["L 65 {a} V {b} Z", "L 65 {a} M 62 {y} L 65 {b}"])
def test_heads_of_their_own_say_fold_by_themselves(leg: float, head: str) -> None:
    """A PDF knows no markers: a bracket's heads are shapes beside it there."""
    drawing = sheet("Back\ncut 1")
    drawing.add_path(f"M 62 80 H {62 + leg} V 300 H 62", style=LOOK)
    for y in (80, 300):
        look = "fill:#000000;stroke:none" if "Z" in head else LOOK
        drawing.add_path(f"M 62 {y} " + head.format(y=y, a=y - 1.2, b=y + 1.2), style=look)
    piece = only(drawing)
    assert piece.fold
    assert piece.is_complete, piece.wants


def test_a_bracket_that_was_cut_in_the_middle_of_its_base_is_one() -> None:
    """Of points equally far from the tips any may be taken for a corner: this one was."""
    drawing = sheet()
    drawing.add_path("M 60.4 139.3 H 112.5 V 283.1 V 308.1 H 60.4", style=LOOK)
    piece = only(drawing)
    assert piece.fold
    assert piece.is_complete, piece.wants


@pytest.mark.parametrize("style", list(STYLES))
def test_a_grainline_that_crosses_a_bracket_is_no_head_of_it(style: str) -> None:
    """It was taken for one, so that the piece lay by its fold without a word."""
    drawing = sheet()
    drawing.add_path("M 62 80 H 116 V 300 H 62", style=HEADS)
    STYLES[style](Pen(drawing, None, (120.0, 250.0), 90.0, 100.0), True)
    piece = only(drawing)
    assert piece.fold
    assert piece.grain == pytest.approx(100.0, abs=0.2) or piece.wants


@pytest.mark.parametrize("degrees", [0.0, 33.0, 90.0, 211.0])
def test_brackets_in_every_direction(degrees: float) -> None:
    drawing = SvgBuilder("900mm", "900mm", (0, 0, 900, 900))
    group = drawing.add_group(transform=f"rotate({degrees} 450 450) translate(200 250)")
    drawing.add_path("M 60 40 H 260 V 360 H 60 Z", group, style=LOOK)
    drawing.add_path("M 63 80 H 74 V 300 H 63", group, style=HEADS)
    drawing.add_text("Back\ncut 1 on fold", 130, 150, group, font_size=10)
    piece = only(drawing)
    assert piece.fold
    assert piece.grain is not None
    # The fold runs up the turned group; SVG turns clockwise.
    assert math.cos(math.radians(2.0 * (piece.grain - (90.0 - degrees)))) > 0.99999


def test_a_bracket_without_a_count_is_one_on_the_fold() -> None:
    drawing = sheet("Back")
    drawing.add_path("M 63 80 H 74 V 300 H 63", style=HEADS)
    piece = only(drawing)
    assert piece.fold
    assert [demand.cut for demand in piece.demands] == [1]
    assert piece.attributes["cut"] == "1"


def test_cut_two_with_a_bracket_is_two_whole_pieces() -> None:
    drawing = sheet("Back\ncut 2")
    drawing.add_path("M 63 80 H 74 V 300 H 63", style=HEADS)
    piece = only(drawing)
    assert piece.fold
    assert [demand.cut for demand in piece.demands] == [2]


def test_a_dashed_line_on_the_edge_is_the_fold() -> None:
    drawing = sheet()
    drawing.add_line((60, 60), (60, 340), id="line", style=f"{LOOK};stroke-dasharray:9,3,1,3")
    assert only(drawing).fold
    assert folded_at(drawing) is not None


def test_words_along_an_edge_mean_it() -> None:
    drawing = sheet("Back\ncut 1")
    drawing.add_text("PLACE ON FOLD", 0, 0, font_size=8, transform="translate(70 260) rotate(-90)")
    assert only(drawing).fold
    assert folded_at(drawing) == pytest.approx((LEFT, LEFT), abs=0.01)


@pytest.mark.parametrize("words", ["im Bruch", "au pli", "al doblez", "na dobra"])
def test_on_fold_without_any_mark_is_asked_and_not_guessed(words: str) -> None:
    piece = only(sheet(f"1x {words}"))
    assert not piece.fold
    assert any("which edge" in want for want in piece.wants)


@pytest.mark.parametrize("label", ["Back\ncut 1 pair", "Back\ncut 2\ndo not cut on fold"])
def test_a_label_that_disagrees_with_the_bracket_is_asked_about(label: str) -> None:
    drawing = sheet(label)
    drawing.add_path("M 63 80 H 74 V 300 H 63", style=HEADS)
    piece = only(drawing)
    assert not piece.fold
    assert any("label says otherwise" in want for want in piece.wants)


def test_brackets_at_two_edges_are_asked_about() -> None:
    drawing = sheet()
    drawing.add_path("M 63 80 H 74 V 300 H 63", style=HEADS)
    drawing.add_path("M 90 43 V 54 H 230 V 43", style=HEADS)
    piece = only(drawing)
    assert not piece.fold
    assert any("two edges" in want for want in piece.wants)


def test_a_pocket_drawn_on_a_piece_is_no_bracket() -> None:
    drawing = sheet("Back\ncut 2")
    drawing.add_path("M 110 200 V 280 H 190 V 200", style=LOOK)
    piece = only(drawing)
    assert not piece.fold
    assert not any("bracket" in want for want in piece.wants)


def test_the_originals_stay_as_they_are() -> None:
    drawing = sheet()
    drawing.add_path("M 63 80 H 74 V 300 H 63", id="bracket", style=HEADS)
    document = drawing.document()
    shown = {e.get("id"): (e.get("d"), e.get("style"), e.text) for e in document.root.iter("{*}*")}
    read_markings(document)
    after = {e.get("id"): (e.get("d"), e.get("style"), e.text) for e in document.root.iter("{*}*")}
    assert {name: after[name] for name in shown} == shown


INNER = {
    "FOLD LINE": "M 62 200 H 268",
    "fold": "M 160 45 V 350",
    "Bruchlinie": "M 62 200 H 268",
    "ligne de pliure": "M 160 45 V 350",
    "Hem fold line": "M 60 340 H 278",
    "pleat fold": "M 160 40 V 200",
}


@pytest.mark.parametrize("words", list(INNER))
@pytest.mark.parametrize("look", [LOOK, f"{LOOK};stroke-dasharray:6,3"], ids=["solid", "dashed"])
def test_a_fold_line_inside_a_piece_does_not_put_it_on_the_fold(words: str, look: str) -> None:
    drawing = sheet("Back\ncut 2")
    drawing.add_path("M 200 90 V 180", style=HEADS)
    drawing.add_path(INNER[words], style=look)
    upright = " V " in INNER[words]
    x, y = INNER[words].split()[1:3]
    place = (
        f"translate({float(x) + 9} 330) rotate(-90)"
        if upright
        else f"translate(150 {float(y) - 3})"
    )
    drawing.add_text(words, 0, 0, font_size=8, transform=place)
    piece = only(drawing)
    assert not piece.fold
    assert piece.is_complete, piece.wants
    assert [(one.cut, one.hand) for one in piece.demands] == [(2, "mirrored")]
    assert folded_at(drawing) is None


def test_the_words_for_a_bracket_inside_the_piece_are_its_own() -> None:
    drawing = sheet("Back\ncut 1")
    drawing.add_path("M 60 80 H 74 V 300 H 60", style=LOOK)
    drawing.add_text("FOLD", 0, 0, font_size=8, transform="translate(83 220) rotate(-90)")
    assert only(drawing).fold
