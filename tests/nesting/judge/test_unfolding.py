# SPDX-License-Identifier: GPL-2.0-or-later
"""Where cloth is folded, which hand is cut on which layer, and what has no hand at all.

The figures of the judge are written out here once more; none of them is imported.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely

from nesting.judge.check import check, check_held, check_laid, check_placed
from nesting.judge.outlines import Laid
from nesting.judge.unfolding import Unfolded, unfold
from nesting.model import Fabric, Job, LaidSection, Piece, Placement, Section, Sides
from tests.helpers.folded import CUFF, TAB, folded, layout_on, put
from tests.helpers.judged import SQUARE, kinds
from tests.helpers.plain_judge import faults, rules_of

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
        low = 400.0 - y - 14.0 if expected else y
        flat = unfold(fabric, {"tab": piece}, layout.placements)
        assert bounds_of(flat) == [pytest.approx((0.0, low, 50.0, low + 14.0))]
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


# --- before anything else is laid ---------------------------------------------------------------


def test_where_nobody_knows_yet_how_deep_only_the_lower_layer_is_judged() -> None:
    piece = Piece("cuff", CUFF, cut=2)
    spot = replace(put(piece, 0.0, 100.0, layers=2), copies=(1, 2))
    for section in (Section(None, 0.0), Section(None, 200.0), Section(math.nan, 0.0)):
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


def test_what_puts_a_part_right_that_lies_against_the_nap_is_said_by_why_it_does() -> None:
    piece = Piece("cuff", CUFF, cut=2)
    for section, turn, remedies in (
        (Section(200.0, 0.0), 180.0, ["turn it back", "turn it back"]),
        (
            Section(crosswise=True),
            0.0,
            ["cut the upper layer off along the fold and turn it round"],
        ),
        (Section(crosswise=True), 180.0, ["turn it back"]),
        (Section(crosswise=True, turned=True), 180.0, ["turn it back", "turn it back"]),
    ):
        job = Job(Fabric(400.0, sections=(section,)), (piece,))
        spot = replace(put(piece, 0.0, 300.0, turn, layers=2), copies=(1, 2))
        found = check(job, layout_on(job, [spot]))
        assert {one.kind for one in found} == {"nap"}
        assert [one.sentence.split(": ")[1] for one in found] == [f"{one}." for one in remedies]
    drawn = unfold(
        job.fabric, {}, [spot], on_table=unfold(job.fabric, {"cuff": piece}, [spot]).laid
    )
    assert [cut.is_reversed for cut in drawn.cuts] == [False, False]


def test_after_a_part_that_lies_nowhere_the_others_are_still_judged() -> None:
    piece = Piece("tab", TAB, hand="same", cut=3)
    fabric = Fabric(400.0)
    for lost in ({"section": 0}, {"section": 2}, {"section": -1}, {"x": math.nan}):
        spots = [replace(put(piece, 60.0 * k, 0.0), copies=(k + 1,)) for k in range(3)]
        spots[1] = replace(spots[1], **lost)  # type: ignore[arg-type]
        flat = unfold(fabric, {"tab": piece}, spots)
        assert [laid.part for laid in flat.laid] == [0, 2]
        assert [laid.key for laid in flat.laid] == ["tab #1", "tab #3"]
        assert len(flat.cuts) == 3
        assert len(flat.strays) == (0 if "x" in lost else 1)
        assert flat.lengths == (170.0,)


def test_a_part_in_no_section_is_asked_for_its_hand_as_it_lies() -> None:
    fabric = Fabric(400.0, sections=(Section(200.0, 0.0),), sides="apart")
    piece = Piece("cuff", CUFF, cut=2)
    for section in (0, 2):
        for layers, copies in ((1, (1,)), (2, (1, 2))):
            spot = replace(put(piece, 0.0, 300.0, section=section, layers=layers), copies=copies)
            flat = unfold(fabric, {"cuff": piece}, [spot])
            assert [cut.spot for cut in flat.cuts] == [spot]
            assert kinds(flat.strays) == ["zone"]


@pytest.mark.parametrize("sides", ["together", "apart"])
def test_a_half_on_the_fold_is_cut_as_drawn_whichever_side_lies_up(sides: Sides) -> None:
    piece = Piece("yoke", ((0, 0), (100, 0), (90, 40), (0, 40)), fold=FOLD)
    for section, y in ((Section(150.0, 0.0), 150.0), (Section(0.0, 150.0), 250.0)):
        job = Job(Fabric(400.0, sections=(section,), sides=sides), (piece,))
        spot = Placement("yoke", (1,), 1, 0.0, False, 0.0, y, on_fold=True)
        assert check(job, layout_on(job, [spot])) == ()
        flat = unfold(job.fabric, {"yoke": piece}, [spot])
        middle = y if sides == "together" else 400.0 - y
        assert bounds_of(flat) == [pytest.approx((0.0, middle - 40.0, 100.0, middle + 40.0))]


def test_a_part_too_near_to_the_fold_lies_too_near_to_its_own_other_copy() -> None:
    piece = Piece("cuff", CUFF, cut=4)
    job = Job(Fabric(400.0, gap=3.0, sections=(Section(200.0, 0.0),)), (piece,))
    first = replace(put(piece, 0.0, 201.0, layers=2), copies=(1, 2))
    second = replace(put(piece, 62.0, 300.0, layers=2), copies=(3, 4))
    (found,) = check(job, layout_on(job, [first, second]))
    assert (found.kind, found.parts) == ("gap", ("cuff #1", "cuff #2"))
    assert found.amount == pytest.approx(1.0)
    assert found.sentence == (
        "Copy 1 of piece “cuff” lies 1 mm from the fold of the cloth, less than half the gap of "
        "3 mm, so what is cut on both layers lies too near: move it away from the fold."
    )
    near = replace(second, y=second.y - 98.0)
    beside = check(job, layout_on(job, [replace(first, y=202.0), near]))
    assert [one.parts for one in beside] == [("cuff #1", "cuff #3"), ("cuff #2", "cuff #4")]
    assert beside[0].sentence == (
        "Copy 1 of piece “cuff” and copy 3 of piece “cuff” lie 2 mm apart, less than the gap of "
        "3 mm: move them apart."
    )
    on_top = check(job, layout_on(job, [replace(first, y=202.0), replace(near, x=30.0)]))
    assert kinds(on_top) == ["overlap", "overlap"]


def test_sheets_of_short_cloth_end_where_it_does() -> None:
    """Of two sheets of one length each ends at half of what is left."""
    piece = Piece("a", SQUARE, cut=2, hand="same")
    for turned, off in ((True, [19.0, 19.0]), (False, [38.0])):
        fabric = Fabric(
            250.0, length=200.0 - 38.0, nap=False, sections=(Section(0, 0, True, turned),)
        )
        spot = replace(put(piece, 0.0, 0.0, layers=2), copies=(1, 2))
        found = check_placed(fabric, {"a": piece}, [spot])
        assert {one.kind for one in found} == {"off the cloth"}
        assert [one.amount for one in found] == pytest.approx(off)
        assert all("at the other cut end" in one.sentence for one in found)


def test_what_leaves_its_zone_over_a_selvedge_of_the_upper_layer_is_told_once() -> None:
    piece = Piece("cuff", CUFF, cut=2)
    job = Job(Fabric(400.0, sections=(Section(100.0, 0.0),)), (piece,))
    spot = replace(put(piece, 0.0, 180.0, layers=2), copies=(1, 2))
    assert kinds(check(job, layout_on(job, [spot]))) == ["zone"]
    across = replace(spot, y=90.0)
    assert kinds(check(job, layout_on(job, [across]))) == ["zone"]


def test_of_outlines_that_nobody_unfolded_no_fold_is_told() -> None:
    laid = [Laid(name, name, shapely.box(x, 0, x + 50, 50)) for name, x in (("a", 0), ("b", 52))]
    (found,) = check_laid(laid, Fabric(400.0, gap=3.0))
    assert found.sentence == "A and b lie 2 mm apart, less than the gap of 3 mm: move them apart."


def test_a_part_that_leaves_its_zone_is_still_seen_where_it_overlaps_the_next() -> None:
    piece = Piece("tab", TAB, hand="same", cut=2)
    fabric = Fabric(400.0, sections=(Section(100.0, 0.0),))
    spots = [replace(put(piece, 5.0 * k, 195.0 + 6 * k), copies=(k + 1,)) for k in range(2)]
    assert kinds(check_placed(fabric, {"tab": piece}, spots)) == ["overlap", "zone"]
    assert kinds(check_placed(fabric, {"tab": piece}, spots[::-1])) == ["overlap", "zone"]
