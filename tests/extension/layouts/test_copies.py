# SPDX-License-Identifier: GPL-2.0-or-later
"""Which copy a part is follows from its hand and its note; the rest is missing or too much."""

from __future__ import annotations

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
