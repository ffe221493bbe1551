# SPDX-License-Identifier: GPL-2.0-or-later
"""Where cloth is folded, which hand is cut on which layer, and what has no hand at all.

The figures of the judge are written out here once more; none of them is imported.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely

from nesting.judge.check import check, check_held, check_placed
from nesting.judge.unfolding import Unfolded, is_own_mirror, unfold
from nesting.model import Fabric, Job, LaidSection, Outline, Piece, Placement, Section, Sides
from tests.helpers.folded import CUFF, TAB, folded, layout_on, put
from tests.helpers.judged import SQUARE, kinds
from tests.helpers.plain_judge import faults, rules_of
from tests.helpers.plain_unfolding import is_symmetric

INCH = 25.4
FOLD = ((0.0, 0.0), (100.0, 0.0))


def bounds_of(flat: Unfolded) -> list[tuple[float, ...]]:
    return [laid.polygon.bounds for laid in flat.laid]


# --- values of the trade ------------------------------------------------------------------------


@pytest.mark.parametrize(("inches", "fold"), [(60.0, 30.0), (54.0, 27.0), (45.0, 22.5)])
def test_the_fold_of_common_widths_lies_at_their_half(inches: float, fold: float) -> None:
    """Threads 151 (2010) draws planning lines for 60, 54 and 45 in with folds at 30, 26 and 22 1/2.

    26 is a slip of the pen: half of 54 is 27. A half that reaches from the fold to the selvedges
    opens out to the whole width, to the last hundredth of a millimetre.
    """
    width, half = inches * INCH, fold * INCH
    piece = Piece("skirt", ((0, 0), (100, 0), (100, half), (0, half)), fold=FOLD)
    job = Job(Fabric(width, sections=(Section(half, 0.0),)), (piece,))
    spot = Placement("skirt", (1,), 1, 0.0, False, 0.0, half, on_fold=True)
    flat = unfold(job.fabric, {"skirt": piece}, [spot])
    assert bounds_of(flat) == [pytest.approx((0.0, 0.0, 100.0, width))]
    layout = layout_on(job, [spot])
    assert layout.utilisation == pytest.approx(1.0)
    assert check(job, layout) == ()
    wider = replace(piece, outline=((0, 0), (100, 0), (100, half + 0.01), (0, half + 0.01)))
    job = replace(job, pieces=(wider,))
    assert kinds(check(job, layout_on(job, [spot]))) == ["off the cloth"]


@pytest.mark.parametrize("sides", ["together", "apart"])
def test_what_is_traced_printed_side_up_is_cut_mirrored_on_the_wrong_side(sides: Sides) -> None:
    """The face trap: right sides together the lower layer shows its right side, the upper one its
    wrong side, so a tracing is cut as drawn below and mirrored above (which face each layer shows:
    sewing.org, "cutting 2", and Textile and Garment Construction, Form One, p. 179)."""
    piece = Piece("cuff", CUFF, cut=2)
    fabric = Fabric(400.0, sections=(Section(200.0, 0.0),), sides=sides)
    flat = unfold(fabric, {"cuff": piece}, [put(piece, 0.0, 300.0, layers=2)])
    # The long edge of a cuff lies at its foot as drawn, and at its head when it is mirrored.
    drawn = [
        laid.polygon.contains(shapely.Point(50.0, laid.polygon.bounds[1] + 1.0))
        for laid in flat.laid
    ]
    assert drawn == ([True, False] if sides == "together" else [False, True])
    assert [cut.spot.flip for cut in flat.cuts] == [not one for one in drawn]


@pytest.mark.parametrize("sides", ["together", "apart"])
def test_a_single_part_on_a_layer_with_its_wrong_side_up_is_cut_mirrored(sides: Sides) -> None:
    """The classic error of the same trap: a single piece, printed side up, on the wrong side."""
    piece = Piece("tab", TAB, hand="same")
    fabric = Fabric(400.0, sections=(Section(100.0, 0.0), Section()), sides=sides)
    for section, y in ((1, 300.0), (2, 50.0)):
        job = Job(fabric, (piece,))
        layout = layout_on(job, [put(piece, 0.0, y, section=section)])
        expected = ["hand"] if sides == "apart" and section == 1 else []
        assert kinds(check(job, layout)) == expected
        assert rules_of(faults(job, layout)) == set(expected)


def test_layers_of_a_double_fold_meet_in_the_middle() -> None:
    """Both selvedges brought to the centre: two folds (Fundamentals of Clothing Construction,
    lesson 12), each a quarter of the width from where the selvedge was."""
    piece = Piece("strip", ((0, 0), (100, 0), (100, 100), (0, 100)), cut=4, hand="same")
    fabric = Fabric(400.0, sections=(Section(100.0, 100.0),))
    spots = [
        replace(put(piece, 0.0, y, layers=2), copies=copies)
        for y, copies in ((100.0, (1, 2)), (200.0, (3, 4)))
    ]
    flat = unfold(fabric, {"strip": piece}, spots)
    lows = [low for _, low, _, _ in bounds_of(flat)]
    assert lows == [100.0, 0.0, 200.0, 300.0]
    job = Job(fabric, (piece,))
    assert check(job, layout_on(job, spots)) == ()
    assert layout_on(job, spots).utilisation == pytest.approx(1.0)


# --- where copies come to lie -------------------------------------------------------------------


def test_the_upper_layer_of_a_crosswise_fold_lies_end_for_end() -> None:
    piece = Piece("cuff", CUFF, cut=2)
    spot = replace(put(piece, 10.0, 50.0, layers=2), copies=(1, 2))
    for turned, expected in ((False, [(10, 50, 70, 80), (78, 50, 138, 80)]), (True, None)):
        fabric = Fabric(400.0, gap=8.0, nap=False, sections=(Section(0, 0, True, turned),))
        flat = unfold(fabric, {"cuff": piece}, [spot])
        assert bounds_of(flat) == (expected or [(10, 50, 70, 80), (10, 320, 70, 350)])
        assert [cut.spot.turn % 360 for cut in flat.cuts] == [0.0, 0.0 if turned else 180.0]
        assert [cut.spot.flip for cut in flat.cuts] == [False, True]
        assert [laid.sheet.number for laid in flat.laid] == [0, 1 if turned else 0]
        assert flat.lengths == ((140.0,) if turned else (148.0,))


@pytest.mark.parametrize("sides", ["together", "apart"])
@pytest.mark.parametrize("turn", [0.0, 30.0, 90.0, 180.0, 270.0])
@pytest.mark.parametrize(
    "section",
    [Section(200.0, 0.0), Section(0.0, 200.0), Section(0, 0, True), Section(0, 0, True, True)],
)
def test_what_each_copy_is_called_is_how_it_lies(
    section: Section, turn: float, sides: Sides
) -> None:
    """The outline of every cut is what its turn and hand say, wherever that lies."""
    piece = Piece("cuff", CUFF, cut=2, grain=25.0)
    fabric = Fabric(400.0, nap=False, sections=(section,), sides=sides)
    spot = replace(put(piece, 5.0, 250.0 if section.lower else 50.0, turn, layers=2), copies=(1, 2))
    flat = unfold(fabric, {"cuff": piece}, [spot])
    for cut, laid in zip(flat.cuts, flat.laid, strict=True):
        (said,) = unfold(Fabric(400.0), {"cuff": piece}, [replace(cut.spot, layers=1)]).laid
        x, y = (laid.polygon.bounds[k] - said.polygon.bounds[k] for k in (0, 1))
        moved = shapely.affinity.translate(said.polygon, x, y)
        assert shapely.hausdorff_distance(moved, laid.polygon) <= 1e-9


def test_sections_are_cut_from_the_cloth_one_after_the_other() -> None:
    piece = Piece("a", SQUARE, cut=3, hand="same")
    sections = (Section(), Section(), Section(0, 0, True, True))
    fabric = Fabric(250.0, length=1000.0, edge_margin=10.0, sections=sections)
    spots = [
        replace(put(piece, x, 20.0, section=section), copies=(section,))
        for section, x in ((1, 10.0), (2, 50.0), (3, 10.0))
    ]
    spots[2] = replace(spots[2], layers=2, copies=(3, 4))
    flat = unfold(fabric, {"a": piece}, spots)
    assert flat.lengths == (120.0, 160.0, 240.0)
    assert [laid.sheet.number for laid in flat.laid] == [0, 2, 4, 5]
    assert [laid.sheet.end(1000.0) for laid in flat.laid] == [1000.0, 880.0, 360.0, 360.0]
    assert [laid.part for laid in flat.laid] == [0, 1, 2, 2]
    # Nothing of one section is near anything of another.
    assert kinds(check_placed(fabric, {"a": piece}, spots)) == []


def test_a_section_without_parts_takes_no_cloth() -> None:
    case = folded("lengthwise, then open", margin=5.0)
    only = [spot for spot in case.spots if spot.section == 2]
    assert layout_on(case.job, only).sections[0].length == 0.0
    pieces = {piece.id: piece for piece in case.job.pieces}
    assert unfold(case.job.fabric, pieces, only).lengths[0] == 0.0


def test_which_of_two_copies_is_the_mirrored_one_say_their_numbers() -> None:
    """Copies of two garments may be cut at once, whichever of them lies on top."""
    piece = Piece("cuff", CUFF, cut=2, garments=2)
    for sides in ("together", "apart"):
        fabric = Fabric(400.0, sections=(Section(200.0, 0.0),), sides=sides)  # type: ignore[arg-type]
        job = Job(fabric, (piece,))
        for first, second in (((1, 4), (3, 2)), ((4, 1), (2, 3)), ((1, 2), (4, 3))):
            spots = [
                replace(
                    put(piece, 100.0 * k, 300.0, layers=2),
                    copies=copies,
                    garment=(copies[0] + 1) // 2,
                )
                for k, copies in enumerate((first, second))
            ]
            assert check(job, layout_on(job, spots)) == ()
            assert faults(job, layout_on(job, spots)) == []
            flat = unfold(fabric, {"cuff": piece}, spots)
            hands = {cut.spot.copies[0]: cut.spot.flip for cut in flat.cuts}
            assert hands == {1: False, 2: True, 3: False, 4: True}
            garments = {cut.spot.copies[0]: cut.spot.garment for cut in flat.cuts}
            assert garments == {1: 1, 2: 1, 3: 2, 4: 2}


def test_an_odd_copy_makes_no_pair_of_another_garments() -> None:
    """Of three copies a garment the third is as drawn: two of those are no pair."""
    piece = Piece("cuff", CUFF, cut=3, garments=2)
    job = Job(Fabric(400.0, sections=(Section(200.0, 0.0), Section())), (piece,))
    spots = [
        replace(put(piece, 100.0 * k, 300.0, layers=2), copies=copies, garment=garment)
        for k, (copies, garment) in enumerate((((1, 2), 1), ((4, 5), 2), ((3, 6), 1)))
    ]
    assert kinds(check(job, layout_on(job, spots))) == ["hand"]
    (found,) = check(job, layout_on(job, spots))
    assert found.sentence.endswith("two layers cut one of each, so lay them on one layer.")
    free = replace(job, pieces=(replace(piece, either_side=True),))
    assert check(free, layout_on(free, spots)) == ()


# --- what has no hand ---------------------------------------------------------------------------


def bumped(height: float) -> Outline:
    """Return a square with a blunt bump on its upper edge."""
    return ((0, 0), (100, 0), (100, 100), (60, 100), (60, 100 + height), (40, 100 + height),
            (40, 100), (0, 100))  # fmt: skip


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


# --- before anything else is laid ---------------------------------------------------------------


def test_where_nobody_knows_yet_how_deep_only_the_lower_layer_is_judged() -> None:
    piece = Piece("cuff", CUFF, cut=2)
    spot = replace(put(piece, 0.0, 100.0, layers=2), copies=(1, 2))
    for section in (Section(None, 0.0), Section(0.0, None), Section(math.nan, 0.0)):
        job = Job(Fabric(400.0, sections=(section,)), (piece,), held=(spot,))
        assert check_held(job) == ()
        flat = unfold(job.fabric, {"cuff": piece}, [spot])
        assert len(flat.laid) == 1
        assert [cut.spot.flip for cut in flat.cuts] == [False, True]
        off = replace(job, held=(replace(spot, y=-1.0),))
        assert kinds(check_held(off)) == ["off the cloth"]
        turned = replace(job, pieces=(replace(piece, turns=(180.0,), turns_on_nap=True),))
        assert kinds(check_held(turned)) == ["turn", "turn"]
    known = unfold(job.fabric, {"cuff": piece}, [spot], [LaidSection(100.0, 0.0)])
    assert len(known.laid) == 2


def test_held_parts_are_asked_for_their_zone() -> None:
    case = folded("to a depth")
    first = case.spots[0]
    job = replace(case.job, held=(first,))
    assert check_held(job) == ()
    assert kinds(check_held(replace(job, held=(replace(first, y=first.y + 60.0),)))) == ["zone"]


def test_outlines_measured_on_a_drawing_are_unfolded_in_place_of_the_pieces() -> None:
    case = folded("to a depth", gap=3.0)
    pieces = {piece.id: piece for piece in case.job.pieces}
    table = unfold(Fabric(400.0), pieces, [replace(one, layers=1) for one in case.spots]).laid
    same = unfold(case.job.fabric, pieces, case.spots, on_table=table)
    plain = unfold(case.job.fabric, pieces, case.spots)
    assert bounds_of(same) == bounds_of(plain)
    assert [one.key for one in same.laid] == [one.key for one in plain.laid]
    # Moved by hand, and of a piece that nobody knows.
    off = [
        replace(one, polygon=shapely.affinity.translate(one.polygon, 0.0, 60.0)) for one in table
    ]
    moved = unfold(case.job.fabric, {}, case.spots, on_table=off)
    assert {one.kind for one in moved.strays} == {"zone"}
    assert len(moved.laid) == len(plain.laid)


def test_a_placement_that_is_nowhere_is_told_once() -> None:
    case = folded("lengthwise")
    for bad in (math.nan, math.inf):
        lost = case.changed(0, x=bad)
        pieces = {piece.id: piece for piece in case.job.pieces}
        assert kinds(check_placed(case.job.fabric, pieces, lost.spots)) == ["off the cloth"]
