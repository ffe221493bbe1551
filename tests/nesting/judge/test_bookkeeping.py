# SPDX-License-Identifier: GPL-2.0-or-later
"""The judge's rules without geometry: every copy once, in its hand and turn, and what was held."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from nesting.cloth import hands
from nesting.judge.bookkeeping import (
    against_the_nap,
    moved_though_held,
    wrong_counts,
    wrong_hands,
    wrong_turns,
)
from nesting.judge.check import check
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


def test_a_garment_ends_with_its_last_copy() -> None:
    """Of two garments of three copies each, copies 1 to 3 are the first and 4 to 6 the second."""
    piece = Piece("a", FLAG, cut=3, garments=2)
    job = Job(Fabric(width=250.0), (piece,))
    garments = [1, 1, 1, 2, 2, 2]
    assert check(job, row(piece, [False, True, False, False, True, False], garments)) == ()
    found = check(job, row(piece, [False, True, True, False, False, False], garments))
    assert [(one.kind, one.amount) for one in found] == [("hand", 1.0), ("hand", 1.0)]
    assert "garment 1 has 2 mirrored and 1 as drawn, but it needs 1 and 2" in found[0].sentence
    assert "garment 2 has 0 mirrored and 3 as drawn, but it needs 1 and 2" in found[1].sentence
    assert found[0].parts == ("a #1", "a #2", "a #3")


def test_the_garment_of_a_part_is_that_of_its_first_copy() -> None:
    """A part of several copies is no part of open cloth; its hand is counted all the same."""
    piece = Piece("a", FLAG, cut=1, garments=3)
    both = Placement("a", (2, 3), 2, 0.0, True, 0.0, 80.0)
    (found,) = wrong_hands({"a": piece}, [both])
    assert "garment 2 has 2 mirrored and 0 as drawn, but it needs 0 and 1" in found.sentence
    (found,) = wrong_hands({"a": piece}, [both, replace(both, copies=())])
    assert found.parts == ("a #2", "a #3")
    assert "garment 1" in wrong_hands({"a": piece}, [replace(both, copies=(1,))])[0].sentence
    # What cuts no copy has no hand that could be wrong.
    assert wrong_hands({"a": piece}, [replace(both, copies=())]) == []


def test_a_part_that_cuts_no_copy_is_counted_with_the_first_garment() -> None:
    piece = Piece("a", FLAG, cut=1, garments=2)
    none = Placement("a", (), 1, 0.0, True, 0.0, 80.0)
    flipped = Placement("a", (1,), 1, 0.0, True, 200.0, 80.0)
    (found,) = wrong_hands({"a": piece}, [none, flipped])
    assert found.parts == ("a #1",)
    assert "garment 1 has 1 mirrored" in found.sentence


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


@pytest.mark.parametrize("turn", [0.0, 90.0, 180.0, 357.0])
@pytest.mark.parametrize("sign", [-1.0, 1.0])
@pytest.mark.parametrize("off_grain", [0.0, 2.0])
@pytest.mark.parametrize("round_about", [-720.0, -360.0, 0.0, 360.0])
def test_a_turn_may_differ_by_a_millionth_of_a_degree(
    turn: float, sign: float, off_grain: float, round_about: float
) -> None:
    piece = Piece("a", SQUARE, turns=(turn,), off_grain=off_grain)

    def found(off: float) -> list[str]:
        lying = spot("a", 1, 0, 0, turn + sign * (off_grain + off) + round_about)
        return kinds(wrong_turns({"a": piece}, [lying]))

    assert found(-off_grain) == []
    assert found(0.97e-6) == []
    assert found(1.03e-6) == ["turn"]
    assert found(90.0) == ["turn"]


@pytest.mark.parametrize(("off", "expected"), [(0.97e-6, []), (1.03e-6, ["nap"])])
def test_the_nap_is_kept_to_a_millionth_of_a_degree(off: float, expected: list[str]) -> None:
    pieces = {"a": Piece("a", SQUARE), "b": Piece("b", SQUARE, turns_on_nap=True)}
    for turn in (off, -off, 360.0 - off):
        lying = [spot("a", 1, 0, 0, turn), spot("b", 1, 0, 0, turn)]
        found = against_the_nap(Fabric(width=250.0, nap=True), pieces, lying)
        assert kinds(found) == expected
        assert all(one.parts == ("a #1",) for one in found)
        assert against_the_nap(Fabric(width=250.0, nap=False), pieces, lying) == []


def test_how_far_a_part_is_turned_is_said_from_the_nearest_turn() -> None:
    piece = Piece("a", SQUARE, turns=(0.0, 90.0), off_grain=2.0)
    (found,) = wrong_turns({"a": piece}, [spot("a", 1, 0, 0, 100.0)])
    assert found.amount == pytest.approx(8.0)
    assert found.parts == ("a #1",)
    (found,) = wrong_turns({"a": piece}, [spot("a", 1, 0, 0, math.nan)])
    assert math.isnan(found.amount)
    # A piece without any turn may lie in none.
    (found,) = wrong_turns({"a": replace(piece, turns=())}, [spot("a", 1, 0, 0)])
    assert found.amount == 358.0


def test_the_judge_knows_hands_of_the_problem_the_search_gets() -> None:
    """Copies flipped as `problem` says are clean for every count and number of garments."""
    for cut in range(1, 6):
        for garments in (1, 2, 3):
            piece = Piece("a", FLAG, cut=cut, garments=garments)
            flips = [hands.hands_of(piece, n + 1)[0] for n in range(cut * garments)]
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


@pytest.mark.parametrize("way", [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0), (0.6, -0.8)])
def test_a_held_part_may_move_by_rounding_alone(way: tuple[float, float]) -> None:
    held = spot("a", 1, 20, 30)
    for far, expected in ((0.0, []), (0.97e-5, []), (1.03e-5, ["held moved"])):
        now = replace(held, x=held.x + far * way[0], y=held.y + far * way[1])
        found = moved_though_held([held], [spot("b", 1, 0, 0), now])
        assert kinds(found) == expected
        for one in found:
            assert one.parts == ("a #1",)
            assert one.amount == pytest.approx(far, rel=1e-3)
            assert one.sentence.endswith("is held, but was moved: put it back.")


def test_a_held_part_that_is_gone_or_turned_is_named() -> None:
    held = spot("a", 1, 20, 30)
    (gone,) = moved_though_held([held], [spot("a", 2, 20, 30), spot("b", 1, 20, 30)])
    assert (gone.parts, gone.amount) == (("a #1",), math.inf)
    assert gone.sentence.endswith("is held, but was moved: put it back.")
    for change in ({"turn": 180.0}, {"flip": True}, {"turn": 90.0, "x": 0.0}):
        (turned,) = moved_though_held([held], [replace(held, **change)])
        assert turned.sentence.endswith("is held, but was turned: put it back.")
    (nowhere,) = moved_though_held([held], [replace(held, x=math.nan)])
    assert nowhere.kind == "held moved"


# --- words and amounts of counts ----------------------------------------------------------------


def test_counts_are_told_with_the_copies_at_fault() -> None:
    job = Job(Fabric(width=250.0), (Piece("a", SQUARE, cut=2, hand="same", garments=2),))

    def found(*copies: tuple[int, ...], left: tuple[int, ...] = ()) -> list[tuple[str, float]]:
        lying = [
            Placement("a", some, (min(some) + 1) // 2, 0.0, False, 0.0, 0.0) for some in copies
        ]
        rest = [LeftOver("a", left)] if left else []
        return [(one.sentence, one.amount) for one in wrong_counts(job, lying, rest)]

    assert found((1,), (2,), (3,), (4,)) == []
    assert found((1,), (3,)) == [("Copy 2, 4 of piece “a” is missing.", 2.0)]
    assert found((1,), (2,), (3,), (4,), (5,)) == [("Copy 5 of piece “a” was not asked for.", 1.0)]
    assert found((1,), (2,), (2,), (3,), (2,), (4,)) == [
        ("Copy 2 of piece “a” is there 3 times.", 1.0)
    ]
    assert found((1, 2), (3,), (4,)) == [
        ("Copy 1, 2 of piece “a” cannot be cut by one part of a single layer.", 2.0)
    ]
    assert found((1,), (2,), (3,), left=(4,)) == [
        ("Copy 4 of piece “a” is left over although the cloth is long enough.", 1.0)
    ]
    job = replace(job, fabric=replace(job.fabric, length=500.0))
    assert found((1,), (2,), left=(3, 4)) == []
    assert found((1,), (2,), (3,), left=(3, 4)) == [("Copy 3 of piece “a” is there 2 times.", 1.0)]


def test_the_garment_of_each_copy_is_looked_at() -> None:
    job = Job(Fabric(width=250.0), (Piece("a", SQUARE, cut=2, hand="same", garments=2),))
    for copy in (1, 2, 3, 4):
        for garment in (0, 1, 2, 3):
            lying = [replace(spot("a", n, 0, 0), garment=(n + 1) // 2) for n in (1, 2, 3, 4)]
            lying[copy - 1] = replace(lying[copy - 1], garment=garment)
            found = wrong_counts(job, lying, [])
            assert len(found) == (garment != (copy + 1) // 2)
