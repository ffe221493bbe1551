# SPDX-License-Identifier: GPL-2.0-or-later
"""Test squares: found, measured both ways, told; what is none.

The words are common practice, no source.
"""

from __future__ import annotations

import math

import pytest

from extension.job.reading import ReadRequest, read_pieces
from extension.operations.read_markings import read_markings
from extension.pieces.squares import WORDS, Square, find_squares, told
from extension.svg.leaves import read_leaves
from nesting.model import Outline
from tests.helpers.svg_builder import SvgBuilder

PIECE: Outline = ((200.0, 0.0), (500.0, 0.0), (500.0, 600.0), (200.0, 600.0))
Text = tuple[str, tuple[float, float, float, float]]


def square(width: float, height: float, turned: float = 0.0) -> Outline:
    cos, sin = math.cos(math.radians(turned)), math.sin(math.radians(turned))
    corners = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    return tuple((x * cos - y * sin, x * sin + y * cos) for x, y in corners)


def written(words: str, x: float = 8.0, y: float = 25.0) -> Text:
    return words, (x, y, x + 30.0, y + 5.0)


def only(outline: Outline, *texts: Text) -> Square:
    (found,) = find_squares([PIECE, outline], texts)
    return found


@pytest.mark.parametrize(("language", "words"), [(x, w) for x in WORDS for w in WORDS[x]])
def test_a_square_with_its_words_is_one_in_every_language(language: str, words: str) -> None:
    found = only(square(50.0, 50.0), written(f"{words.upper()}: 5 x 5 cm", y=52.0))
    assert found.sides == pytest.approx((50.0, 50.0))
    assert found.stated == 50.0
    assert not found.is_off


@pytest.mark.parametrize(
    ("said", "side", "stated"),
    [
        ("test square 5 x 5 cm", 49.6, 50.0),
        ("test square 5cm", 50.0, 50.0),
        ("Testquadrat 10 cm × 10 cm", 100.0, 100.0),
        ('test square 2" x 2"', 50.8, 50.8),
        ("test square 1 in", 25.0, 25.4),
        ("carré test 4 x 4 cm (1 1/2 in)", 40.0, 40.0),
        ("carré test 4 x 4 cm (1 1/2 in)", 38.0, 38.1),
        ("quadrato di prova 2,5 cm", 25.0, 25.0),
        ("test square: measure it", 50.0, None),
        ("test square 50", 50.0, None),
    ],
)
def test_the_size_that_it_states(said: str, side: float, stated: float | None) -> None:
    found = only(square(side, side), written(said))
    assert found.stated == (None if stated is None else pytest.approx(stated))


def test_it_is_measured_both_ways_and_told() -> None:
    found = only(square(49.6, 49.8), written("test square 5 x 5 cm"))
    assert told(found) == (
        "The test square measures 49.6 x 49.8 mm instead of 50: the drawing is 0.6 % too small."
    )
    assert found.factor == pytest.approx(50.0 / 49.7)
    assert "1.2 % too large" in told(only(square(50.6, 50.6), written("test square 5 cm")))
    assert "stretched" in told(only(square(50.0, 49.0), written("test square 5 cm")))
    assert "as it should" in told(only(square(50.1, 49.9), written("test square 5 cm")))
    assert "not said" in told(only(square(50.1, 49.9), written("test square")))


@pytest.mark.parametrize("turned", [0.0, 90.0, 33.0, 180.0])
def test_it_may_lie_any_way_round(turned: float) -> None:
    outline = square(50.0, 50.0, turned)
    middle = [sum(each) / 4.0 for each in zip(*outline, strict=True)]
    box = (middle[0] - 9.0, middle[1] - 2.0, middle[0] + 9.0, middle[1] + 2.0)
    assert only(outline, ("test square 5 cm", box)).sides == pytest.approx((50.0, 50.0))


def test_a_square_in_which_only_its_size_is_written_is_one() -> None:
    assert only(square(51.0, 51.0), written("5 x 5 cm")).stated == 50.0


@pytest.mark.parametrize(
    ("outline", "words"),
    [
        (square(50.0, 50.0), "Pocket, cut 2, 5 x 5 cm"),
        (square(50.0, 50.0), "10 x 10 cm"),
        (square(50.0, 50.0), "38"),
        (square(50.0, 80.0), "test square 5 cm"),
        (((0.0, 0.0), (50.0, 9.0), (50.0, 59.0), (0.0, 50.0)), "test square 5 cm"),
        (square(600.0, 600.0), "test square 60 cm"),
    ],
)
def test_what_is_no_test_square(outline: Outline, words: str) -> None:
    assert find_squares([PIECE, outline], [written(words)]) == ()


def test_squares_that_are_all_there_is_are_pieces() -> None:
    outlines = [tuple((x + 60.0 * n, y) for x, y in square(50.0, 50.0)) for n in range(4)]
    texts = [written("5 x 5 cm", x=8.0 + 60.0 * n) for n in range(4)]
    assert find_squares(outlines, texts) == ()
    assert find_squares([PIECE, *outlines], texts) == ()


# --- in a drawing --------------------------------------------------------------------------------


def drawing(side: float, piece: float = 400.0) -> SvgBuilder:
    """Return a piece with a test square drawn on it."""
    made = SvgBuilder("900mm", "900mm", (0, 0, 900, 900))
    made.add_rect(10, 10, piece * 0.75, piece, id="front", style="fill:none;stroke:#000")
    made.add_rect(60, 60, side, side, id="square", style="fill:none;stroke:#000")
    text = made.add("text", id="words", x=62, y=80, style="font-size:5px")
    text.text = "test square 5 x 5 cm"
    return made


def test_it_is_never_a_piece_nor_a_part_of_one() -> None:
    reading = read_pieces(read_leaves(drawing(50.0).document()), ReadRequest())
    assert [piece.id for piece in reading.pieces] == ["front"]
    assert [(one.object_id, one.reason) for one in reading.left_out] == [("square", "test square")]
    assert all(mark.leaf.id not in ("square", "words") for mark in reading.pieces[0].marks)
    assert not any("test square" in note for note in reading.notes)


def test_one_that_is_off_is_warned_of_first() -> None:
    reading = read_pieces(read_leaves(drawing(49.6).document()), ReadRequest())
    assert reading.notes[0].startswith("The test square measures 49.6 x 49.6 mm instead of 50")
    proposals = read_markings(drawing(49.6).document())
    assert any("49.6 x 49.6 mm" in line for line in proposals.summary)
    within = read_pieces(read_leaves(drawing(50.2).document()), ReadRequest())
    assert not any("test square" in note for note in within.notes)


def test_what_she_marked_as_a_piece_is_one() -> None:
    made = drawing(50.0)
    (outline,) = made.root.iterfind(".//*[@id='square']")
    outline.set("{urn:thriftlay:1}cut", "2")
    reading = read_pieces(read_leaves(made.document()), ReadRequest())
    assert [piece.id for piece in reading.pieces] == ["square"]


@pytest.mark.parametrize(("size", "what"), [(40.0, "small"), (4500.0, "large")])
def test_a_drawing_of_no_size_for_a_person_is_asked_about(size: float, what: str) -> None:
    made = SvgBuilder("900cm", "900cm", (0, 0, 9000, 9000))
    made.add_rect(10, 10, size / 2.0, size, id="front", style="stroke:#000")
    reading = read_pieces(read_leaves(made.document()), ReadRequest())
    assert reading.notes[0].startswith("Is the drawing in its full size?")
    assert what in reading.notes[0]


def test_a_square_frame_round_pieces_and_the_words_of_a_test_square_is_none() -> None:
    frame = square(290.0, 285.0)
    inner: Outline = ((40.0, 60.0), (110.0, 60.0), (110.0, 180.0), (40.0, 180.0))
    label = ("Front\ncut 2", (60.0, 100.0, 90.0, 110.0))
    words = written("Test square 5 x 5 cm")
    assert find_squares([frame, inner], [label, words]) == ()
    (found,) = find_squares([frame, inner, square(50.0, 50.0)], [label, words])
    assert (found.outline, found.texts) == (2, (1,))


def test_words_within_a_square_are_not_those_of_a_larger_one_round_it() -> None:
    (found,) = find_squares([square(300.0, 300.0), square(50.0, 50.0)], [written("test square")])
    assert found.outline == 1
