# SPDX-License-Identifier: GPL-2.0-or-later
"""Every limit of a job has two sides; every fault has one plain sentence that names the piece."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given

from nesting.errors import JobError
from nesting.jobs.validation import validated
from nesting.model import Fabric, Job, Outline, Piece, Placement
from tests.helpers import strategies

SQUARE: Outline = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
FOLD = ((0.0, 0.0), (0.0, 100.0))
PIECE = Piece("front", SQUARE, name="Front")


def job(piece: Piece | None = None, **fabric: Any) -> Job:
    return Job(replace(Fabric(width=1400.0), **fabric), (piece or PIECE,))


def sentence_of(faulty: Job) -> str:
    with pytest.raises(JobError) as caught:
        validated(faulty)
    sentence = str(caught.value)
    assert sentence.endswith(".") or "more)" in sentence
    assert "\n" not in sentence
    return sentence


@dataclass(frozen=True, slots=True)
class Later(Piece):
    """A piece with a field that validation does not know of."""

    basting: str = ""


@dataclass(frozen=True, slots=True)
class LaterFabric(Fabric):
    """Cloth with a field that validation does not know of."""

    weave: str = ""


def test_a_field_without_numbers_to_be_cleaned_is_never_dropped() -> None:
    given_ = Job(LaterFabric(1400.0, weave="twill"), (Later("front", SQUARE, basting="lower"),))
    assert validated(given_) == given_


@given(strategies.jobs())
def test_a_good_job_stays_what_it_is(good: Job) -> None:
    assert validated(good) == good


@pytest.mark.parametrize(
    ("field", "good", "bad"),
    [
        ("width", [10, 10_000], [9.99, 10_000.1, 0, -5]),
        ("length", [None, 0.001, 1_000_000], [0, -1, 1_000_000.1]),
        ("edge_margin", [0, 699], [-0.1, 700]),
        ("gap", [0, 1000], [-0.1, 1000.1]),
    ],
)
def test_sizes_of_the_fabric_have_limits(field: str, good: list[Any], bad: list[Any]) -> None:
    for value in good:
        assert getattr(validated(job(**{field: value})).fabric, field) == value
    for value in (*bad, math.nan, math.inf, -math.inf, True, "140", [1], {}):
        assert field.replace("_", " ") in sentence_of(job(**{field: value}))


@pytest.mark.parametrize(
    ("field", "word", "good", "bad"),
    [
        ("cut", "cut count", [1, 999], [0, -1, 1000, 1.5, 2.0, True, "2", None, math.nan, 10**400]),
        ("garments", "garments", [1, 999], [0, 1000, 1.5, True, None]),
        ("off_grain", "off-grain", [0, 45], [-0.1, 45.1, math.nan, True, "2"]),
        ("grain", "grain", [-360, 0.5, 360], [-360.1, 361, math.inf, "up", None]),
        ("hand", "hand", ["mirrored", "same"], ["Mirrored", "", None, True, 1]),
        ("either_side", "either side", [True, False], [1, 0, "yes", None]),
        ("turns", "turn", [(0,), (0, -90, 360)], [(), (0, 361), (0, "a"), (True,), 0, "0", None]),
        ("band", "edge on the border", ["", "hem", "left"], ["Hem", "below", None, True]),
        ("hidden", "hidden", [True, False], [1, 0, "yes", None]),
        ("turns_on_nap", "turns on nap", [True, False], [1, 0, "yes", None]),
        ("priority", "priority", [None, 1, -2.5, 1e6], [math.nan, math.inf, 2e6, True, "1"]),
        ("name", "name", ["", "Ärmel 😀"], [1, None, "\ud800"]),
        ("copies", "copies", [(), (1,)], [[], 1, "1", (0,), (2,), (1, 1), (1.0,), None]),
    ],
)
def test_values_of_a_piece_have_limits(
    field: str, word: str, good: list[Any], bad: list[Any]
) -> None:
    for value in good:
        assert getattr(validated(job(replace(PIECE, **{field: value}))).pieces[0], field) == value
    for value in bad:
        for fold in (None, FOLD):  # which is unfolded before the value is known to be wrong
            sentence = sentence_of(job(replace(PIECE, **{field: value}, fold=fold)))
            assert word in sentence
            assert "front" in sentence or field == "name"


@pytest.mark.parametrize("bad", ["", "  ", 5, None, True, ["a"], "x\udfff"])
def test_a_piece_without_a_proper_id_is_named_by_its_number(bad: Any) -> None:
    assert "piece" in sentence_of(job(replace(PIECE, id=bad)))
    two = Job(Fabric(1400.0), (PIECE, replace(PIECE, id=bad)))
    if not isinstance(bad, str) or not bad.strip():
        assert "piece number 2" in sentence_of(two)


@pytest.mark.parametrize(
    ("outline", "words"),
    [
        ("square", "must be a list of points"),
        (None, "must be a list of points"),
        ((), "has 0 points"),
        (SQUARE[:2], "has 2 points"),
        ((*SQUARE, (1.0,)), "not two numbers"),
        ((*SQUARE, 5), "not two numbers"),
        ((*SQUARE, (1.0, "2")), "must be a number"),
        ((*SQUARE, (True, 2.0)), "must be a number"),
        ((*SQUARE, (0.0, math.nan)), "must be from"),
        ((*SQUARE, (0.0, -math.inf)), "must be from"),
        ((*SQUARE, (0.0, 100_000.1)), "must be from -100,000 to 100,000 mm"),
        (((0, 0), (1, 0), (0, 0), (1, 0)), "has no area"),
        (((0, 0), (1, 1), (2, 2)), "has no area"),
        (((5, 5), (5, 5), (5, 5)), "fewer than three different points"),
        (((0, 0), (100, 100), (100, 0), (0, 100)), "crosses or touches itself near (50.0, 50.0)"),
        # A corner pushed through the opposite edge, and a spike that goes out and comes back.
        (((0, 0), (100, 0), (100, 100), (50, -10)), "crosses"),
        (((0, 0), (100, 0), (100, 100), (50, 100), (50, 200), (50, 100), (0, 100)), "touches"),
    ],
)
def test_an_outline_must_run_once_round_an_area(outline: Any, words: str) -> None:
    sentence = sentence_of(job(replace(PIECE, outline=outline)))
    assert words in sentence
    assert "piece “Front” (front)" in sentence


def test_the_error_names_its_piece_for_the_program() -> None:
    with pytest.raises(JobError) as caught:
        validated(Job(Fabric(1400.0), (PIECE, replace(PIECE, id="back", cut=0))))
    assert caught.value.piece == "back"


def test_points_that_repeat_are_dropped_and_the_outline_stays() -> None:
    doubled = tuple(point for point in SQUARE for _ in range(3))
    closed = (*doubled, SQUARE[0], (1e-9, 0.0))
    assert validated(job(replace(PIECE, outline=closed))).pieces[0].outline == SQUARE


def test_coordinates_up_to_a_hundred_metres_are_taken() -> None:
    far = strategies.moved(SQUARE, 99_900.0, -100_000.0)
    assert validated(job(replace(PIECE, outline=far))).pieces[0].outline == far


@pytest.mark.parametrize(
    ("fold", "words"),
    [
        ("left", "must be a list of points"),
        ((FOLD[0],), "has 1 points"),
        ((*FOLD, (0.0, 50.0)), "must be two points, not 3"),
        (((0.0, 0.0), (0.0, math.nan)), "must be from"),
        (((0.0, 0.0), (0.0, 0.0)), "has no length"),
        (((0.0, 0.0), (0.0, 90.0)), "does not start and end on its outline"),
        (((0.0, 0.0), (100.0, 100.0)), "not a straight edge"),
    ],
)
def test_a_fold_is_a_straight_edge_of_the_outline(fold: Any, words: str) -> None:
    sentence = sentence_of(job(replace(PIECE, fold=fold)))
    assert words in sentence
    assert "Front" in sentence


def test_a_half_that_crosses_its_own_fold_line_is_refused() -> None:
    across = (
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 150.0),
        (-20.0, 150.0),
        (-20.0, 120.0),
        (0.0, 100.0),
    )
    assert "Unfolded" in sentence_of(job(replace(PIECE, outline=across, fold=FOLD)))


def test_ids_are_unique_and_there_is_something_to_lay() -> None:
    assert "Two pieces have the id “front”" in sentence_of(Job(Fabric(1400.0), (PIECE, PIECE)))
    assert "no pieces" in sentence_of(Job(Fabric(1400.0), ()))


def test_two_thousand_parts_are_the_limit() -> None:
    assert validated(job(replace(PIECE, cut=500, garments=4)))
    over = Job(Fabric(1400.0), (replace(PIECE, cut=500, garments=4), replace(PIECE, id="b")))
    assert "2,001 parts" in sentence_of(over)


def test_of_several_faults_the_first_is_told_and_the_others_are_counted() -> None:
    bad = replace(PIECE, cut=0, grain=math.nan)
    assert sentence_of(job(bad, width=1)).startswith("The width of the fabric")
    assert sentence_of(job(bad, width=1)).endswith("(and 2 more)")


def test_numbers_of_other_libraries_become_plain_ones() -> None:
    mixed = replace(PIECE, cut=np.int64(2), grain=np.float64(90), turns=[np.float32(0), 180])
    piece = validated(job(mixed, width=np.float64(1400))).pieces[0]
    assert (piece.cut, piece.grain, piece.turns) == (2, 90.0, (0.0, 180.0))
    assert {type(piece.cut), type(piece.grain), type(piece.turns[0])} == {int, float}


HELD = Placement("front", (1,), 1, 0.0, False, 10.0, 20.0)


def held(*spots: Placement, **piece: Any) -> Job:
    return replace(job(replace(PIECE, **piece)), held=spots)


def test_a_held_placement_is_kept_as_it_is() -> None:
    assert validated(held(HELD)).held == (HELD,)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"piece": "back"}, "no piece of this job"),
        ({"piece": 5}, "no piece of this job"),
        ({"copies": (2,)}, "is copy 2"),
        ({"copies": (0,)}, "is copy 0"),
        ({"copies": (1, 2)}, "must cut one copy"),
        ({"copies": (True,)}, "must cut one copy"),
        ({"copies": 1}, "must cut one copy"),
        ({"garment": 2}, "not of garment 2"),
        ({"garment": True}, "not of garment true"),
        ({"flip": True}, "cut as drawn"),
        ({"flip": 0}, "true or false"),
        ({"x": math.nan}, "must be from"),
        ({"turn": "0"}, "must be a number"),
        ({"y": -0.01}, "beyond the cloth"),
        ({"turn": 180.0, "x": 200.0, "y": 200.0}, "does not run with the nap"),
        ({"turn": 90.0, "x": 200.0, "y": 200.0}, "its grainline is not where"),
    ],
)
def test_a_held_placement_keeps_the_rules(change: dict[str, Any], words: str) -> None:
    assert words in sentence_of(held(replace(HELD, **change)))


def test_held_placements_do_not_collide_and_are_of_different_copies() -> None:
    second = replace(HELD, copies=(2,), x=110.0)
    assert validated(held(HELD, second, cut=2, hand="same"))
    assert "held twice" in sentence_of(held(HELD, HELD, cut=2, hand="same"))
    near = replace(second, x=109.0)
    assert "overlap" in sentence_of(held(HELD, near, cut=2, hand="same"))
    assert "cut mirrored" in sentence_of(held(second, cut=2))
