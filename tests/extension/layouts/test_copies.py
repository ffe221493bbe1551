# SPDX-License-Identifier: GPL-2.0-or-later
"""Which copy a part is follows from its hand and its note; the rest is missing or too much."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from extension.job.plan import Cut
from extension.language.names import lay
from extension.layouts.copies import Assigned, tally
from extension.layouts.found import FoundPart
from extension.layouts.recognise import LaidPart, Pose
from extension.layouts.registration import Motion
from extension.layouts.spots import Spot
from extension.pieces.outlines import ClosedShape, closed_shape
from tests.helpers.drawn import box, leaf
from tests.helpers.garments import garment
from tests.helpers.layouts import WIDE, plan_of
from tests.helpers.layouts import without as changed

PLAN = plan_of(garment().document(), changed(WIDE, garments=2))
CUTS = {"front": PLAN.cuts["front"]}
"""Four fronts: 1 and 3 as drawn, 2 and 4 mirrored."""


def shape() -> ClosedShape:
    found = closed_shape(leaf(box(0, 0, 10, 10)))
    assert found is not None
    return found


def part(*hands: bool, copy: int = 0, astray: str = "", cut: Cut | None = None) -> LaidPart:
    """Return a part that can be seen in these hands (none: its outline is unknown)."""
    noted = (copy,) if copy else ()
    found = FoundPart(shape(), "front", noted, False, (), astray)
    poses = tuple(Pose(0.0, hand, 0.0, 0.0, 0, Motion(hand, 1 + 0j, 0j, 0.0)) for hand in hands)
    return LaidPart(found, cut or CUTS["front"], poses, shapely.box(0, 0, 10, 10))


def copies(*parts: LaidPart) -> list[int]:
    """Return the copy of each part, 0 for one too many."""
    found = tally(CUTS, parts)
    by_part = {id(one.part): one.copies[0] for one in found.assigned}
    return [by_part.get(id(one), 0) for one in parts]


def test_parts_are_the_copies_they_are_noted_as() -> None:
    assert copies(part(True, copy=4), part(False, copy=1), part(True, copy=2)) == [4, 1, 2]


def test_a_duplicate_takes_the_place_of_a_missing_copy_of_its_hand() -> None:
    assert copies(part(False, copy=1), part(False, copy=1)) == [1, 3]


def test_a_duplicate_of_a_copy_with_no_place_left_is_one_too_many() -> None:
    whole = [part(False, copy=1), part(True, copy=2), part(False, copy=3), part(True, copy=4)]
    assert copies(*whole, part(False, copy=3)) == [1, 2, 3, 4, 0]
    assert tally(CUTS, whole).missing == {}


def test_a_part_that_fits_both_ways_takes_what_others_leave() -> None:
    either = part(False, True, copy=1)
    assert copies(part(False, copy=1), part(False, copy=3), either) == [1, 3, 2]


def test_parts_that_may_lie_either_way_leave_pairs_what_they_need() -> None:
    drawing = garment()
    front = next(one for one in drawing.root.iter() if one.get("id") == "front")
    front.set(lay("cut"), "3")
    front.set(lay("side-up"), "either")
    made = plan_of(drawing.document(), changed(WIDE, garments=2))
    cut = made.cuts["front"]  # 2 and 5 are mirrored, 3 and 6 either
    hands = (True, True, False, False, False, True)
    parts = [part(hand, cut=cut) for hand in hands]
    found = tally({"front": cut}, parts)
    by_part = {id(one.part): one for one in found.assigned}
    assert all(by_part[id(one)].pose is one.poses[0] for one in parts)
    assert {by_part[id(one)].copies for one in parts[:2]} == {(2,), (5,)}
    assert found.missing == {}


def test_a_part_of_the_wrong_hand_is_still_that_copy() -> None:
    parts = [part(False, copy=n) for n in (1, 2, 3)] + [part(True, copy=4)]
    assert sorted(copies(*parts)) == [1, 2, 3, 4]


def test_a_part_of_unknown_outline_counts() -> None:
    found = tally(CUTS, [part(copy=2)])
    assert [(one.copies, one.pose) for one in found.assigned] == [((2,), None)]
    assert found.missing == {"front": (1, 3, 4)}


def test_what_lies_on_the_layout_comes_before_what_lies_astray() -> None:
    whole = [part(False, copy=1, astray="Layer 1"), part(False, copy=1), part(False, copy=3)]
    mirrored = [part(True, copy=2), part(True, copy=4)]
    assert copies(*whole, *mirrored) == [0, 1, 3, 2, 4]


@given(st.lists(st.tuples(st.sets(st.booleans()), st.integers(0, 6)), max_size=8))
def test_each_copy_is_given_once_and_nothing_is_lost(
    hands: list[tuple[set[bool], int]],
) -> None:
    parts = [part(*sorted(each), copy=copy) for each, copy in hands]
    found = tally(CUTS, parts)
    given_copies = [copy for one in found.assigned for copy in one.copies]
    missing = list(found.missing.get("front", ()))
    assert sorted(given_copies + missing) == [1, 2, 3, 4]
    assert len(found.assigned) + len(found.surplus) == len(parts)
    assert len(found.assigned) == min(len(parts), 4)


@pytest.mark.parametrize("flip", [False, True])
def test_the_pose_is_one_of_the_copys_hand(flip: bool) -> None:
    (one,) = tally(CUTS, [part(False, True, copy=2 if flip else 1)]).assigned
    assert one.pose is not None
    assert one.pose.flip == flip


def test_a_part_through_two_layers_cuts_both_hands_of_a_pair_and_names_both() -> None:
    flat, double = (Assigned(part(False), copies, None) for copies in ((3,), (3, 4)))
    assert (flat.hands, double.hands) == ({False}, {False, True})
    assert flat.label == "Front (3 of 4)"
    assert double.label == "Front (3 + 4 of 4)"


# --- on two layers ------------------------------------------------------------------------------


def double(*hands: bool, noted: tuple[int, ...] = (), cut: Cut | None = None) -> LaidPart:
    """Return a part that lies where the cloth is double."""
    one = part(*(hands or (False,)), cut=cut)
    return replace(one, found=replace(one.found, copies=noted), spot=Spot(layers=2))


def pairs(*parts: LaidPart, cuts: dict[str, Cut] = CUTS) -> list[tuple[int, ...]]:
    """Return the copies of each part, none for one too many."""
    found = tally(cuts, parts)
    by_part = {id(one.part): one.copies for one in found.assigned}
    return [by_part.get(id(one), ()) for one in parts]


def test_a_part_on_two_layers_cuts_a_pair_whichever_way_it_lies() -> None:
    assert pairs(double(noted=(3, 4)), double(True, noted=(1, 2))) == [(3, 4), (1, 2)]


def test_two_copies_of_one_hand_are_no_pair() -> None:
    assert pairs(double(noted=(1, 3)), double(noted=(1, 3))) == [(1, 2), (3, 4)]


def test_a_single_keeps_its_copy_and_pairs_take_the_others() -> None:
    assert pairs(part(False, copy=1), part(True, copy=4), double()) == [(1,), (4,), (3, 2)]


def test_one_copy_left_for_two_layers_is_one_too_few() -> None:
    whole = [double(noted=(1, 2)), part(False, copy=3), double()]
    found = tally(CUTS, whole)
    (over,) = [one for one in found.assigned if one.cuts_too_many]
    assert over.part is whole[2]
    assert over.copies == (4,)
    assert found.missing == {}


def test_what_has_no_hand_is_cut_twice_at_once_in_any_two_copies() -> None:
    cuts = {"tab": PLAN.cuts["tab"]}
    parts = [double(cut=cuts["tab"], noted=(2, 3)), double(cut=cuts["tab"])]
    assert pairs(*parts, cuts=cuts) == [(2, 3), (1, 4)]


@given(st.integers(0, 4), st.integers(0, 6), st.integers(0, 6))
def test_no_copy_is_given_twice_nor_lost(doubles: int, up: int, down: int) -> None:
    every = [
        *(double() for _ in range(doubles)),
        *(part(False) for _ in range(up)),
        *(part(True) for _ in range(down)),
    ]
    found = tally(CUTS, every)
    given_out = [copy for one in found.assigned for copy in one.copies]
    missing = list(found.missing.get("front", ()))
    assert sorted(given_out + missing) == [1, 2, 3, 4]
    assert len(found.assigned) + len(found.surplus) == len(every)
    if doubles >= 2:
        assert [len(one.copies) for one in found.assigned if one.part.spot.layers == 2][:2] == [
            2,
            2,
        ]
