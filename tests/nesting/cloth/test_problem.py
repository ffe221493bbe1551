# SPDX-License-Identifier: GPL-2.0-or-later
"""From pieces to parts: counts, hands, garments, turns, what fits, and where a part may lie."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given

from nesting.cloth.hands import hands_of
from nesting.cloth.problem import (
    Problem,
    Spot,
    allowed_turns,
    build_problem,
    needed_length,
    outline_tuple,
    placements_of,
)
from nesting.errors import JobError, PieceTooWide
from nesting.model import Fabric, Job, LeftOver, Outline, Piece, Placement
from tests.helpers import strategies

FLAG: Outline = ((0.0, 0.0), (100.0, 0.0), (100.0, 30.0), (20.0, 30.0), (20.0, 80.0), (0.0, 80.0))
WIDE = Fabric(width=1000.0)


def problem_of(*pieces: Piece, fabric: Fabric = WIDE) -> Problem:
    return build_problem(Job(fabric, pieces))


def orientations(problem: Problem) -> list[set[tuple[float, bool]]]:
    return [
        {
            (problem.shapes[shape].orientation.turn, problem.shapes[shape].orientation.flip)
            for shape in part.shapes
        }
        for part in problem.parts
    ]


@pytest.mark.parametrize(
    ("cut", "garments", "flips"),
    [
        (1, 1, [False]),
        (1, 3, [False] * 3),
        (2, 1, [False, True]),
        (3, 1, [False, True, False]),
        (3, 2, [False, True, False] * 2),
        (4, 1, [False, True, False, True]),
        (2, 2, [False, True] * 2),
    ],
)
def test_pairs_are_made_within_each_garment(cut: int, garments: int, flips: list[bool]) -> None:
    """Garments x (cut // 2) copies are flipped; an odd count leaves one as drawn."""
    piece = Piece("a", FLAG, cut=cut, garments=garments)
    assert [hands_of(piece, n + 1) for n in range(cut * garments)] == [(flip,) for flip in flips]
    parts = problem_of(piece).parts
    assert sum(flips) == garments * (cut // 2)
    assert [part.copies for part in parts] == [(copy,) for copy in range(1, cut * garments + 1)]
    assert [part.garment for part in parts] == [n // cut + 1 for n in range(cut * garments)]
    assert orientations(problem_of(piece)) == [{(0.0, flip)} for flip in flips]


@pytest.mark.parametrize(
    ("piece", "hands"),
    [
        (Piece("a", FLAG, either_side=True), "?"),
        (Piece("a", FLAG, cut=2, either_side=True), "du"),
        (Piece("a", FLAG, cut=3, garments=2, either_side=True), "du?du?"),
        (Piece("a", FLAG, cut=2, hand="same", either_side=True), "??"),
        (Piece("a", FLAG, cut=2, fold=((0.0, 0.0), (0.0, 80.0)), either_side=True), "??"),
        (Piece("a", FLAG, cut=3), "dud"),
    ],
)
def test_either_side_frees_what_is_no_half_of_a_pair(piece: Piece, hands: str) -> None:
    ways = {"d": (False,), "u": (True,), "?": (False, True)}
    made = [hands_of(piece, n + 1) for n in range(piece.cut * piece.garments)]
    assert made == [ways[hand] for hand in hands]
    lying = [{flip for _, flip in each} for each in orientations(problem_of(piece))]
    assert lying == [set(each) for each in made]


def test_same_hands_and_fold_pieces_are_never_flipped() -> None:
    same = Piece("a", FLAG, cut=4, hand="same")
    fold = Piece("b", FLAG, cut=4, fold=((0.0, 0.0), (0.0, 80.0)))
    for problem in (problem_of(same), problem_of(fold)):
        assert all(not shape.orientation.flip for shape in problem.shapes)
        assert len(problem.shapes) == 1


@pytest.mark.parametrize(
    ("piece", "nap", "turns"),
    [
        (Piece("a", FLAG), True, (0.0,)),
        (Piece("a", FLAG), False, (0.0, 180.0)),
        (Piece("a", FLAG, turns_on_nap=True), True, (0.0, 180.0)),
        (Piece("a", FLAG, turns=(0.0, 360.0, -90.0)), False, (0.0, 270.0)),
        (Piece("a", FLAG, turns=(180.0,)), False, (180.0,)),
    ],
)
def test_turns_are_by_cloth_and_piece(piece: Piece, nap: bool, turns: tuple[float, ...]) -> None:
    assert allowed_turns(piece, replace(WIDE, nap=nap)) == turns


def test_a_piece_that_may_not_lie_with_the_nap_is_refused_by_name() -> None:
    with pytest.raises(JobError, match="No allowed turn is left for piece “a” on fabric with nap"):
        problem_of(Piece("a", FLAG, turns=(180.0,)))


def test_only_turns_that_fit_between_the_selvedges_are_left() -> None:
    long = ((0.0, 0.0), (300.0, 0.0), (300.0, 50.0), (0.0, 50.0))
    piece = Piece("a", long, turns=(0.0, 90.0), turns_on_nap=True)
    assert orientations(problem_of(piece, fabric=Fabric(200.0))) == [{(0.0, False)}]
    both = [{(0.0, False), (90.0, False)}]
    assert orientations(problem_of(piece, fabric=Fabric(300.0))) == both
    assert orientations(problem_of(piece, fabric=Fabric(320.0, edge_margin=10.0))) == both


def test_a_piece_too_wide_says_how_wide_the_cloth_must_be() -> None:
    with pytest.raises(PieceTooWide) as caught:
        problem_of(Piece("front", FLAG, name="Front"), fabric=Fabric(85.0, edge_margin=5.0))
    assert caught.value.piece == "front"
    assert (caught.value.needs_mm, caught.value.has_mm) == (90.0, 85.0)
    assert str(caught.value).startswith("Piece “Front” (front) needs fabric at least 9 cm wide")


@pytest.mark.parametrize(
    ("needs", "has", "told"),
    [
        (6000.0, 5000.0, ("600 cm", "500 cm")),
        (900.04, 900.0, ("90.1 cm", "90 cm")),
        (900.0, 899.96, ("90 cm", "89.9 cm")),
        (905.0000000001, 0.9999999999999999, ("90.5 cm", "0.1 cm")),
    ],
)
def test_the_widths_that_a_sentence_tells_are_enough_and_never_seem_to_be_the_same(
    needs: float, has: float, told: tuple[str, str]
) -> None:
    sentence = str(PieceTooWide("a", "A", needs, has))
    assert tuple(re.findall(r"[\d.]+ cm", sentence)) == told


def test_all_pieces_at_fault_are_counted_in_one_sentence() -> None:
    wide = [Piece(name, FLAG) for name in "abc"]
    with pytest.raises(PieceTooWide, match=r"Piece “a” needs .* \(and 2 more\)$"):
        problem_of(*wide, Piece("d", ((0.0, 0.0), (9.0, 0.0), (0.0, 9.0))), fabric=Fabric(50.0))


def test_held_copies_become_obstacles_and_not_parts() -> None:
    held = Placement("a", (2,), 1, 0.0, True, 10.0, 200.0)
    piece = Piece("a", FLAG, cut=3)
    problem = build_problem(Job(WIDE, (piece,), (held,)))
    assert [part.copies for part in problem.parts] == [(1,), (3,)]
    (obstacle,) = problem.fixed
    assert problem.shapes[obstacle.shape].orientation.flip
    assert (obstacle.x, obstacle.y) == (10.0, 200.0)
    assert problem.area == pytest.approx(3 * strategies.area(FLAG))


def test_shapes_are_shared_by_the_copies_that_lie_alike() -> None:
    problem = problem_of(Piece("a", FLAG, cut=10), fabric=replace(WIDE, nap=False))
    assert len(problem.parts) == 10
    assert len(problem.shapes) == 4


@given(strategies.jobs())
def test_every_copy_is_one_part_and_every_shape_knows_its_box(job: Job) -> None:
    problem = build_problem(job)
    wanted = [(p.id, n + 1) for p in job.pieces for n in range(p.cut * p.garments)]
    assert [(part.piece, *part.copies) for part in problem.parts] == wanted
    for shape in problem.shapes:
        assert shape.low == tuple(shape.points.min(axis=0))
        assert shape.high == tuple(shape.points.max(axis=0))
        assert shape.size == (shape.high[0] - shape.low[0], shape.high[1] - shape.low[1])


def test_spots_become_placements_in_the_order_of_parts_and_the_rest_is_left_over() -> None:
    held = (Placement("a", (1,), 1, 0.0, False, 0.0, 0.0),)
    job = Job(WIDE, (Piece("a", FLAG, cut=3, hand="same"), Piece("b", FLAG, garments=2)), held)
    problem = build_problem(job)
    spots = [Spot(0, 200.0, 5.0), None, None, Spot(1, 300.0, 6.0)]
    placements, left = placements_of(problem, spots, held)
    assert placements == (
        *held,
        Placement("a", (2,), 1, 0.0, False, 200.0, 5.0),
        Placement("b", (2,), 2, 0.0, False, 300.0, 6.0),
    )
    assert left == (LeftOver("a", (3,)), LeftOver("b", (1,)))


def test_the_length_needed_reaches_past_the_last_part_held_or_not() -> None:
    held = (Placement("a", (1,), 1, 0.0, False, 500.0, 10.0),)
    job = Job(replace(WIDE, edge_margin=10.0), (Piece("a", FLAG, cut=2, hand="same"),), held)
    problem = build_problem(job)
    assert needed_length(problem, [Spot(0, 10.0, 10.0)]) == 610.0
    assert needed_length(problem, [Spot(0, 700.0, 10.0)]) == 810.0
    assert needed_length(replace(problem, fixed=()), [None]) == 0.0


def test_the_outlines_of_a_problem_are_the_unfolded_ones() -> None:
    piece = Piece("a", FLAG, fold=((0.0, 0.0), (0.0, 80.0)))
    outline = outline_tuple(problem_of(piece).outlines["a"])
    assert strategies.area(outline) == pytest.approx(2 * strategies.area(FLAG))
    assert all(type(value) is float for point in outline for value in point)


@pytest.mark.parametrize(
    ("consent", "leans"), [(8.0, (8.0,)), (12.0, (12.0, 6.0)), (45.0, (45.0, 30.0, 15.0))]
)
def test_a_piece_that_may_lie_far_off_the_grain_leans_by_shares_as_well(
    consent: float, leans: tuple[float, ...]
) -> None:
    ways = {0.0, *leans, *(360.0 - lean for lean in leans)}
    leaning = Piece("flag", FLAG, off_grain=consent)
    assert orientations(problem_of(leaning)) == [{(turn, False) for turn in ways}]


def test_a_piece_that_may_lie_off_the_grain_leans_to_either_side() -> None:
    leaning = Piece("flag", FLAG, off_grain=2.0)
    assert orientations(problem_of(leaning, fabric=replace(WIDE, nap=False))) == [
        {(turn, False) for turn in (0.0, 2.0, 358.0, 180.0, 182.0, 178.0)}
    ]
    assert orientations(problem_of(leaning)) == [{(turn, False) for turn in (0.0, 2.0, 358.0)}]
