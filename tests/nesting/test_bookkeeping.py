# SPDX-License-Identifier: GPL-2.0-or-later
"""The judge's rules without geometry: every copy once, in its hand and turn, and what was held."""

from __future__ import annotations

from dataclasses import replace

import pytest

from nesting import problem
from nesting.check import check
from nesting.model import Fabric, Job, Layout, LeftOver, Piece, Placement
from tests.helpers.judged import FLAG, SQUARE, kinds, laid_out, spot, two_squares

# --- count --------------------------------------------------------------------------------------


def test_missing_doubled_and_foreign_parts_are_counts() -> None:
    job = two_squares()
    here = spot("a", 1, 0, 0)
    cases = {
        (here,): ("b #1",),
        (here, spot("b", 1, 100, 0), spot("b", 1, 200, 0)): ("b #1",),
        (here, spot("b", 1, 100, 0), spot("b", 2, 200, 0)): ("b #2",),
        (here, spot("b", 1, 100, 0), spot("c", 1, 200, 0)): ("c #1",),
    }
    for placements, parts in cases.items():
        known = [one for one in placements if one.piece != "c"]
        layout = replace(laid_out(job, *known), placements=placements)
        # Figures and hands of such a layout are wrong as well, which is not the point here.
        found = [one for one in check(job, layout) if one.kind not in ("length", "hand")]
        assert kinds(found) == ["count"]
        assert found[0].parts == parts
    assert kinds(check(job, laid_out(job, here, spot("b", 1, 100, 0)))) == []


def test_one_part_of_a_single_layer_cuts_one_copy() -> None:
    job = Job(Fabric(width=250.0), (Piece("a", SQUARE, cut=2, hand="same"),))
    both = Placement("a", (1, 2), 1, 0.0, False, 0.0, 0.0)
    assert kinds(check(job, laid_out(job, both))) == ["count"]


def test_a_copy_belongs_to_its_garment() -> None:
    job = Job(Fabric(width=250.0), (Piece("a", SQUARE, garments=2),))
    first, second = spot("a", 1, 0, 0), spot("a", 2, 100, 0)
    assert kinds(check(job, laid_out(job, first, second))) == ["count"]
    assert check(job, laid_out(job, first, replace(second, garment=2))) == ()


def test_left_over_parts_are_counted_on_a_fixed_length_and_refused_on_an_open_one() -> None:
    job, rest = two_squares(), (LeftOver("b", (1,)),)
    assert kinds(check(job, laid_out(job, spot("a", 1, 0, 0), left_over=rest))) == ["count"]
    short = replace(job, fabric=replace(job.fabric, length=150.0))
    assert check(short, laid_out(short, spot("a", 1, 0, 0), left_over=rest)) == ()
    twice = laid_out(short, spot("a", 1, 0, 0), left_over=(*rest, LeftOver("a", (1,))))
    assert kinds(check(short, twice)) == ["count"]


# --- hand ---------------------------------------------------------------------------------------


def row(piece: Piece, flips: list[bool], garments: list[int] | None = None) -> Layout:
    job = Job(Fabric(width=250.0), (piece,))
    spots = [
        Placement("a", (n + 1,), g, 0.0, flip, 100.0 * n, 80.0 if flip else 0.0)
        for n, (flip, g) in enumerate(zip(flips, garments or [1] * len(flips), strict=True))
    ]
    return laid_out(job, *spots)


@pytest.mark.parametrize(
    ("piece", "flips", "clean"),
    [
        (Piece("a", FLAG, cut=2), [False, True], True),
        (Piece("a", FLAG, cut=2), [True, False], True),
        (Piece("a", FLAG, cut=2), [False, False], False),
        (Piece("a", FLAG, cut=2), [True, True], False),
        (Piece("a", FLAG, cut=1), [True], False),
        (Piece("a", FLAG, cut=3), [False, True, False], True),
        (Piece("a", FLAG, cut=3), [True, True, False], False),
        (Piece("a", FLAG, cut=4), [False, True, True, False], True),
        (Piece("a", FLAG, cut=4), [False, True, False, False], False),
        (Piece("a", FLAG, cut=2, hand="same"), [False, False], True),
        (Piece("a", FLAG, cut=2, hand="same"), [False, True], False),
        (Piece("a", FLAG, cut=1, either_side=True), [True], True),
        (Piece("a", FLAG, cut=2, either_side=True), [True, True], False),
        (Piece("a", FLAG, cut=3, either_side=True), [True, True, False], True),
        (Piece("a", FLAG, cut=3, either_side=True), [True, True, True], False),
        (Piece("a", FLAG, cut=3, either_side=True), [False, False, False], False),
        (Piece("a", FLAG, cut=2, hand="same", either_side=True), [True, True], True),
    ],
)
def test_pairs_are_mirrored_and_an_odd_one_is_as_drawn(
    piece: Piece, flips: list[bool], clean: bool
) -> None:
    job = Job(Fabric(width=250.0), (piece,))
    assert kinds(check(job, row(piece, flips))) == ([] if clean else ["hand"])


@pytest.mark.parametrize(
    ("flips", "advice"),
    [([True, True, True], "needs 2 and 1: flip 1."), ([False] * 3, "needs 1 and 2: flip 1.")],
)
def test_the_advice_flips_no_more_than_must_be(flips: list[bool], advice: str) -> None:
    piece = Piece("a", FLAG, cut=3, either_side=True)
    (found,) = check(Job(Fabric(width=250.0), (piece,)), row(piece, flips))
    assert found.sentence.endswith(advice)


def test_hands_are_counted_within_each_garment() -> None:
    piece = Piece("a", FLAG, cut=2, garments=2)
    job = Job(Fabric(width=250.0), (piece,))
    assert check(job, row(piece, [False, True, True, False], [1, 1, 2, 2])) == ()
    # Two pairs in all, but not one in each garment.
    found = check(job, row(piece, [True, True, False, False], [1, 1, 2, 2]))
    assert kinds(found) == ["hand", "hand"]


def test_a_piece_drawn_on_the_fold_is_never_flipped() -> None:
    piece = Piece("a", SQUARE, cut=2, fold=((0.0, 0.0), (0.0, 100.0)))
    job = Job(Fabric(width=250.0), (piece,))

    def pair(flip: bool) -> Layout:
        return laid_out(job, spot("a", 1, 100, 0), spot("a", 2, 300, 100 * flip, flip=flip))

    assert check(job, pair(False)) == ()
    assert kinds(check(job, pair(True))) == ["hand"]


# --- turn and nap -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("piece", "nap", "turn", "expected"),
    [
        (Piece("a", SQUARE), False, 180.0, []),
        (Piece("a", SQUARE), False, 90.0, ["turn"]),
        (Piece("a", SQUARE), True, 180.0, ["nap"]),
        (Piece("a", SQUARE), True, 90.0, ["turn", "nap"]),
        (Piece("a", SQUARE, turns_on_nap=True), True, 180.0, []),
        (Piece("a", SQUARE, turns=(0.0,)), False, 180.0, ["turn"]),
        (Piece("a", SQUARE, turns=(0.0, 90.0), turns_on_nap=True), True, 450.0, []),
        (Piece("a", SQUARE, turns=(0.0,)), True, 0.01, ["turn", "nap"]),
        (Piece("a", SQUARE, turns=(0.0,), off_grain=2.0), True, 358.5, []),
        (Piece("a", SQUARE, turns=(0.0,), off_grain=2.0), True, 2.01, ["turn", "nap"]),
    ],
)
def test_turns_are_those_of_the_piece_and_of_the_nap(
    piece: Piece, nap: bool, turn: float, expected: list[str]
) -> None:
    job = Job(Fabric(width=400.0, nap=nap), (piece,))
    assert kinds(check(job, laid_out(job, spot("a", 1, 150, 150, turn)))) == expected


def test_the_judge_knows_hands_of_the_problem_the_search_gets() -> None:
    """Copies flipped as `problem` says are clean for every count and number of garments."""
    for cut in range(1, 6):
        for garments in (1, 2, 3):
            piece = Piece("a", FLAG, cut=cut, garments=garments)
            flips = [problem.hands_of(piece, n + 1)[0] for n in range(cut * garments)]
            numbers = [n // cut + 1 for n in range(cut * garments)]
            assert check(Job(Fabric(width=250.0), (piece,)), row(piece, flips, numbers)) == ()


# --- held ----------------------------------------------------------------------------------------


def test_a_held_part_stays_where_it_lies() -> None:
    held = spot("a", 1, 20, 30)
    job = replace(two_squares(), held=(held,))
    other = spot("b", 1, 150, 0)
    assert check(job, laid_out(job, held, other)) == ()
    for change in ({"x": 20.01}, {"flip": True, "y": 130.0}, {"turn": 360.0}):
        found = check(job, laid_out(job, replace(held, **change), other))
        assert "held moved" in kinds(found)
