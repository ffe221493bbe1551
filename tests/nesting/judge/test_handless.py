# SPDX-License-Identifier: GPL-2.0-or-later
"""What has no hand: outlines that are their own mirror image, cut through two layers at once."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from nesting.judge.check import check
from nesting.judge.unfolding import is_own_mirror
from nesting.model import Fabric, Job, Outline, Piece, Section
from tests.helpers.folded import CUFF, TAB, layout_on, put
from tests.helpers.judged import SQUARE, kinds
from tests.helpers.plain_judge import faults, rules_of
from tests.helpers.plain_unfolding import is_symmetric

FOLD = ((0.0, 0.0), (100.0, 0.0))


@pytest.mark.parametrize(
    ("outline", "expected"),
    [
        (SQUARE, True),
        (CUFF, False),
        (TAB, False),
        (((0, 0), (100, 20), (100, 80), (0, 100)), True),
        (((0, 0), (100, 0), (60, 100), (0, 100)), False),
        # The same corners above and below, but a notch above alone.
        (((0, 0), (100, 0), (100, 100), (50, 50), (0, 100)), False),
        (((0, 0), (50, 50), (100, 0), (100, 100), (50, 50), (0, 100)), True),
    ],
)
def test_an_outline_is_its_own_mirror_image_about_the_grainline_or_not(
    outline: Outline, expected: bool
) -> None:
    for grain in (0.0, 180.0, 33.3):
        turned = shapely.affinity.rotate(shapely.Polygon(outline), grain, origin=(7, -900))
        piece = Piece("a", tuple(turned.exterior.coords)[:-1], grain=grain)
        assert is_own_mirror(piece) is expected
        assert is_symmetric(piece) is expected
    # About a grainline across it is another matter.
    assert is_own_mirror(Piece("a", ((0, 0), (100, 20), (100, 80), (0, 100)), grain=90.0)) is False


def test_a_mirror_image_may_be_off_by_a_tenth_of_a_millimetre_and_rounding() -> None:
    """A dent in one of two edges: its depth is how far the mirror image is off."""
    for depth, expected in ((0.0, True), (0.1, True), (0.1045, True), (0.1055, False), (1, False)):
        outline = ((0, 0), (100, 0), (100, 100), (60, 100), (50, 100 - depth), (40, 100), (0, 100))
        assert is_own_mirror(Piece("a", outline)) is expected, depth


@pytest.mark.parametrize("hand", ["same", "mirrored"])
@pytest.mark.parametrize("handed", [False, True])
@pytest.mark.parametrize("outline", [SQUARE, CUFF])
def test_copies_without_a_hand_are_cut_at_once_whatever_they_are(
    outline: Outline, handed: bool, hand: str
) -> None:
    piece = Piece("a", outline, cut=2, hand=hand, handed=handed)  # type: ignore[arg-type]
    job = Job(Fabric(400.0, sections=(Section(200.0, 0.0),)), (piece,))
    spot = replace(put(piece, 0.0, 250.0, layers=2), copies=(1, 2))
    clean = hand == "mirrored" or (outline is SQUARE and not handed)
    for flip in (False, True):
        turned = replace(put(piece, 0.0, 250.0, layers=2, flip=flip), copies=(1, 2))
        assert kinds(check(job, layout_on(job, [turned]))) == ([] if clean else ["hand"])
    # One by one it keeps to its hands, as on open cloth.
    job = Job(Fabric(400.0), (piece,))
    singly = [replace(spot, layers=1, copies=(k + 1,), x=100.0 * k) for k in range(2)]
    assert kinds(check(job, layout_on(job, singly))) == ([] if hand == "same" else ["hand"])


def test_single_copies_beside_some_without_a_hand_have_their_own() -> None:
    piece = Piece("a", SQUARE, cut=4)
    job = Job(Fabric(400.0, sections=(Section(100.0, 0.0),)), (piece,))
    double = replace(put(piece, 0.0, 100.0, layers=2), copies=(1, 2))
    for flips, clean in (((False, False), True), ((True, True), True), ((False, True), True)):
        singly = [
            replace(put(piece, 100.0 * (k + 1), 250.0, flip=flip), copies=(k + 3,))
            for k, flip in enumerate(flips)
        ]
        layout = layout_on(job, [double, *singly])
        assert (check(job, layout) == ()) is clean
        assert (faults(job, layout) == []) is clean


def test_a_whole_piece_of_two_halves_has_no_hand_through_two_layers() -> None:
    piece = Piece("yoke", ((0, 0), (100, 0), (90, 40), (0, 40)), cut=2, fold=FOLD)
    job = Job(Fabric(400.0, sections=(Section(200.0, 0.0),)), (piece,))
    spot = replace(put(piece, 0.0, 250.0, layers=2), copies=(1, 2))
    assert check(job, layout_on(job, [spot])) == ()
    job = replace(job, pieces=(replace(piece, handed=True),))
    assert kinds(check(job, layout_on(job, [spot]))) == ["hand"]


def test_what_may_not_lie_in_the_turn_of_its_mirror_image_is_refused() -> None:
    """A whole piece without a hand, 30 degrees off the fold: its other copy leans the other way."""
    for turns, expected in (((30.0,), ["turn"]), ((30.0, 330.0), [])):
        piece = Piece("a", SQUARE, cut=2, hand="same", turns=turns)
        job = Job(Fabric(800.0, nap=False, sections=(Section(400.0, 0.0),)), (piece,))
        spot = replace(put(piece, 0.0, 500.0, 30.0, layers=2), copies=(1, 2))
        assert kinds(check(job, layout_on(job, [spot]))) == expected
        assert rules_of(faults(job, layout_on(job, [spot]))) == set(expected)
