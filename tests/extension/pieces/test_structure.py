# SPDX-License-Identifier: GPL-2.0-or-later
"""Which outlines are pieces, and whose the groups are."""

from __future__ import annotations

from extension.pieces.structure import Structure, has_mark_role, structure_of
from extension.svg.model import Leaf
from nesting.model import Outline
from tests.helpers.drawn import box, group, leaf

FRONT: Outline = box(0, 0, 300, 500)
BACK: Outline = box(400, 0, 300, 500)
HEAD: Outline = ((150, -10), (155, 8), (145, 8))
"""An arrow head that sticks out of the front."""


def kinds(*leaves: Leaf) -> list[tuple[str, int | None]]:
    return [(each.kind, each.owner) for each in structure_of(leaves).standings]


def homes(structure: Structure) -> dict[str, str]:
    return {
        "/".join(key): structure.shapes[index].leaf.id for key, index in structure.homes.items()
    }


def test_a_role_makes_a_mark_but_that_of_an_outline() -> None:
    assert has_mark_role(leaf(FRONT, lay={"role": "Stitching"}))
    assert not has_mark_role(leaf(FRONT, lay={"role": "outline"}))
    assert not has_mark_role(leaf(FRONT))
    assert has_mark_role(leaf(FRONT, groups=[group("g", role="mark")]))


def test_a_closed_mark_is_no_outline_of_its_own() -> None:
    found = structure_of([leaf(FRONT), leaf(box(9, 9, 200, 300), lay={"role": "stitching"})])
    assert len(found.shapes) == 1


def test_a_group_with_one_outline_is_the_piece() -> None:
    inner, outer = group("inner"), group("outer")
    line = leaf([(10, 10), (10, 90)], closed=False, groups=[outer])
    found = structure_of([leaf(FRONT, id="front", groups=[outer, inner]), line])
    assert homes(found) == {"outer": "front", "outer/inner": "front"}
    assert found.own_groups(0) == (outer, inner)
    assert found.claimed == (False,)


def test_a_group_with_two_outlines_side_by_side_is_a_container() -> None:
    both = group("both")
    found = structure_of([leaf(FRONT, groups=[both]), leaf(BACK, groups=[both])])
    assert homes(found) == {}
    assert found.faults == {}


def test_a_layer_is_a_container_even_of_one_piece() -> None:
    layer = group("layer1", layer=True)
    assert homes(structure_of([leaf(FRONT, groups=[layer])])) == {}


def test_details_on_a_group_claim_its_outline() -> None:
    named = group("g1", cut="2")
    found = structure_of([leaf(FRONT, id="front", groups=[named]), leaf(BACK)])
    assert found.claimed == (True, False)
    assert homes(found) == {"g1": "front"}


def test_details_on_a_group_of_two_outlines_are_refused() -> None:
    both = group("g1", label="Bodice", cut="2")
    found = structure_of([leaf(FRONT, id="f", groups=[both]), leaf(BACK, id="b", groups=[both])])
    assert str(found.faults[("g1",)]) == (
        "The group “Bodice” (g1) carries cutting details but holds 2 outlines side by side, the "
        "outline of 30 × 50 cm (f) and the outline of 30 × 50 cm (b): give each outline its own "
        "details instead."
    )


def test_a_group_that_names_its_outline_holds_other_closed_lines_as_it_likes() -> None:
    named = group("g1", cut="2")
    outline = leaf(FRONT, id="front", groups=[named], lay={"role": "outline"})
    found = structure_of([outline, leaf(box(290, 300, 60, 60), groups=[named])])
    assert homes(found) == {"g1": "front"}
    assert found.faults == {}


def test_details_on_a_group_without_a_closed_outline_are_refused() -> None:
    named = group("g1", cut="2")
    found = structure_of([leaf(FRONT, closed=False, groups=[named])])
    assert "holds no closed outline: close" in str(found.faults[("g1",)])


def test_a_size_on_a_group_claims_nothing() -> None:
    sized = group("g1", size="38")
    found = structure_of([leaf(FRONT, groups=[sized]), leaf(BACK, groups=[sized])])
    assert found.claimed == (False, False)
    assert found.faults == {}


def test_what_a_clone_of_a_group_shows_is_a_piece_of_its_own() -> None:
    original, clone = group("g1", cut="2"), group("use2", cut="2")
    found = structure_of(
        [leaf(FRONT, id="front", groups=[original]), leaf(BACK, id="front", groups=[clone])]
    )
    assert found.claimed == (True, True)
    assert found.homes == {("g1",): 0, ("use2",): 1}


def test_an_arrow_head_that_sticks_out_is_a_mark_of_the_piece_it_touches() -> None:
    assert kinds(leaf(FRONT), leaf(HEAD)) == [("piece", None), ("mark", 0)]


def test_a_small_shape_grouped_with_a_piece_is_a_mark_of_it_wherever_it_lies() -> None:
    both = group("g1")
    beside = leaf(box(310, 0, 8, 8), groups=[both])
    assert kinds(leaf(FRONT, groups=[both]), beside) == [("piece", None), ("mark", 0)]
    assert kinds(leaf(FRONT), leaf(box(310, 0, 8, 8))) == [("piece", None), ("piece", None)]


def test_a_belt_loop_in_a_group_of_pieces_is_not_swallowed() -> None:
    both = group("g1")
    loop = leaf(box(310, 0, 12, 70), groups=[both])
    assert kinds(leaf(FRONT, groups=[both]), loop) == [("piece", None), ("piece", None)]


def test_a_tiny_piece_with_details_of_its_own_stays_a_piece() -> None:
    tab = leaf(box(290, 0, 20, 20), lay={"cut": "2"})
    assert kinds(leaf(FRONT), tab) == [("piece", None), ("piece", None)]
