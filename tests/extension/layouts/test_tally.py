# SPDX-License-Identifier: GPL-2.0-or-later
"""Which part takes which copy when several could: the strictest claim first, then in order."""

from __future__ import annotations

from dataclasses import replace

import pytest

from extension.language.names import lay
from extension.layouts.copies import Assigned, tally
from extension.layouts.spots import Spot
from tests.extension.layouts.test_copies import CUTS, PLAN, double, pairs, part
from tests.helpers.garments import garment
from tests.helpers.layouts import WIDE, plan_of
from tests.helpers.layouts import without as changed

BOTH = {name: PLAN.cuts[name] for name in ("front", "back")}


@pytest.mark.parametrize(
    ("on_fold", "layers", "copies", "too_many"),
    [(False, 1, 1, False), (False, 2, 1, True), (False, 2, 2, False), (True, 2, 1, False)],
)
def test_a_part_on_two_layers_cuts_too_many_where_one_copy_is_needed_of_it(
    on_fold: bool, layers: int, copies: int, too_many: bool
) -> None:
    one = replace(part(False), on_fold=on_fold, spot=Spot(layers=layers))
    taken = tuple(range(1, copies + 1))
    assert Assigned(one, taken, one.poses[0]).cuts_too_many is too_many
    unknown = replace(one, poses=())
    assert not Assigned(unknown, taken, None).cuts_too_many, "it may be a half"


def test_two_pieces_are_counted_each_by_itself_in_the_order_of_the_parts() -> None:
    parts = [
        part(False, copy=2, cut=BOTH["back"]),
        part(True, copy=4),
        part(False, copy=1, cut=BOTH["back"]),
        part(False, copy=1),
        part(False, copy=1, cut=BOTH["back"]),
        replace(part(False), cut=None, trouble="not asked for"),
        replace(part(False), cut=None, trouble="original"),
    ]
    found = tally(BOTH, parts)
    assert [(parts.index(one.part), one.copies) for one in found.assigned] == [
        (0, (2,)), (1, (4,)), (2, (1,)), (3, (1,)),
    ]  # fmt: skip
    assert [parts.index(one) for one in found.surplus] == [4, 5]
    assert found.missing == {"front": (2, 3)}


def test_what_is_too_much_comes_in_the_order_of_the_parts_too() -> None:
    backs = [part(False, copy=copy, cut=BOTH["back"]) for copy in (1, 2, 2)]
    stranger = replace(part(False), cut=None, trouble="not asked for")
    fronts = [part(hand, copy=copy) for copy, hand in enumerate((False, True) * 2, start=1)]
    parts = [stranger, *backs, *fronts, part(False)]
    assert [parts.index(one) for one in tally(BOTH, parts).surplus] == [0, 3, 8]


@pytest.mark.parametrize("noted", [(), (3,), (3, 3), (3, 6), (3, 9), (1, 2, 3), (1, 3)])
def test_a_note_of_no_pair_leaves_a_part_on_two_layers_the_first_pair(
    noted: tuple[int, ...],
) -> None:
    assert pairs(double(noted=noted)) == [(1, 2)]


def test_a_pair_that_is_noted_comes_before_one_that_is_not() -> None:
    assert pairs(double(), double(noted=(1, 2))) == [(3, 4), (1, 2)]
    assert pairs(double(), part(False, copy=1)) == [(3, 2), (1,)]


def test_the_last_pair_goes_to_the_part_that_is_noted_as_it() -> None:
    assert pairs(double(), double(noted=(1, 2)), double(noted=(3, 4))) == [(), (1, 2), (3, 4)]


def test_a_copy_that_may_lie_either_way_makes_a_pair_with_whatever_is_free() -> None:
    drawing = garment()
    front = next(one for one in drawing.root.iter() if one.get("id") == "front")
    front.set(lay("cut"), "3")
    front.set(lay("side-up"), "either")
    # Of two garments' three, 2 and 5 are mirrored, and 3 and 6 lie either way.
    cut = plan_of(drawing.document(), changed(WIDE, garments=2)).cuts["front"]
    for taken, pair in (((1, 2), (3, 5)), ((1, 2, 6), (3, 5)), ((1, 2, 5, 6), (3, 4))):
        laid = [part(copy in (2, 5), copy=copy, cut=cut) for copy in taken]
        assert pairs(*laid, double(cut=cut), cuts={"front": cut})[-1] == pair


def test_a_part_noted_as_a_pair_is_the_first_of_it_where_the_cloth_is_single() -> None:
    flat = part(False)
    assert pairs(replace(flat, found=replace(flat.found, copies=(3, 4)))) == [(3,)]


def test_a_half_on_the_fold_is_one_copy_however_many_layers_lie_there() -> None:
    for noted in ((3,), ()):
        half = replace(double(noted=noted), on_fold=True)
        assert pairs(half) == [noted or (1,)]


def test_a_pair_is_seen_in_its_best_pose_or_in_none() -> None:
    (one,) = tally(CUTS, [double(True, False)]).assigned
    assert one.pose is one.part.poses[0]
    (unknown,) = tally(CUTS, [replace(double(noted=(1, 2)), poses=())]).assigned
    assert (unknown.copies, unknown.pose) == ((1, 2), None)


def test_where_the_wrong_side_shows_a_part_is_of_the_other_hand() -> None:
    over = Spot(wrong_side_up=True)
    parts = [replace(part(hand), spot=over) for hand in (False, True)]
    assert pairs(*parts) == [(2,), (1,)]
    assert pairs(*(replace(one, on_fold=True) for one in parts)) == [(1,), (2,)]


def test_a_part_of_one_hand_alone_comes_before_those_that_fit_either_way() -> None:
    fits_both = [part(False, True), part(True, False)]
    assert pairs(*fits_both, part(True), part(True)) == [(1,), (3,), (2,), (4,)]


def test_a_part_that_fits_either_way_is_seen_in_the_hand_of_its_copy() -> None:
    parts = [part(False), part(False), part(False, True), part(False, True)]
    found = tally(CUTS, parts).assigned[2:]
    assert [one.copies for one in found] == [(2,), (4,)]
    assert all(one.pose is one.part.poses[-1] for one in found)


def test_of_several_poses_of_its_hand_the_first_is_taken() -> None:
    one, wrong = part(False, False, copy=1), part(False, False)
    found = tally(CUTS, [one, part(False, copy=3), wrong]).assigned
    assert found[0].pose is one.poses[0]
    assert found[2].copies == (2,)
    assert found[2].pose is wrong.poses[0], "not one that is equal to it"


def test_a_note_of_the_wrong_hand_is_left_for_the_part_of_the_right_one() -> None:
    assert pairs(part(False, copy=2), part(True, copy=1)) == [(1,), (2,)]


def test_parts_of_unknown_outline_take_the_first_copies_that_are_left() -> None:
    assert pairs(part(), part(), part(False, copy=1)) == [(2,), (3,), (1,)]
