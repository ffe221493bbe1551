# SPDX-License-Identifier: GPL-2.0-or-later
"""What travels with a piece."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.language.errors import DrawingError
from extension.pieces.marks import mark_of, owners_of
from extension.pieces.structure import structure_of
from extension.svg.model import Leaf
from tests.helpers.drawn import box, group, leaf

FRONT = leaf(box(0, 0, 300, 500), id="front")
BACK = leaf(box(300, 0, 300, 500), id="back")


def line(x1: float, y1: float, x2: float, y2: float, **rest: object) -> Leaf:
    return leaf([(x1, y1), (x2, y2)], closed=False, id="line", **rest)  # type: ignore[arg-type]


def owners(mark: Leaf, *others: Leaf) -> list[str]:
    """Return the ids of the outlines that a leaf is a mark of."""
    leaves = (mark, *others)
    structure = structure_of(leaves)
    found = owners_of(leaves, structure).get(0, ())
    return [structure.shapes[index].leaf.id for index in found]


def test_what_lies_inside_travels_with_the_piece() -> None:
    assert owners(line(150, 100, 150, 400), FRONT, BACK) == ["front"]
    assert owners(leaf(box(320, 50, 60, 12), text="Back"), FRONT, BACK) == ["back"]
    assert owners(leaf(box(50, 50, 9, 9)), FRONT, BACK) == ["front"]


def test_what_lies_on_the_edge_belongs_to_its_piece() -> None:
    assert owners(line(0, 0, 0, 500), FRONT) == ["front"]
    assert owners(line(-0.3, 100, -0.3, 400), FRONT) == ["front"]
    assert owners(line(-2, 100, -2, 400), FRONT) == []


def test_more_than_half_of_a_line_must_lie_inside() -> None:
    assert owners(line(-40, 50, 60, 50), FRONT) == ["front"]
    assert owners(line(-60, 50, 40, 50), FRONT) == []


def test_what_is_grouped_with_a_piece_belongs_to_it_wherever_it_lies() -> None:
    both = group("g1")
    front = leaf(box(0, 0, 300, 500), id="front", groups=[both])
    assert owners(line(350, 0, 350, 90, groups=[both]), front, BACK) == ["front"]


def test_in_a_pocket_drawn_on_a_front_a_line_is_the_pockets() -> None:
    pocket = leaf(box(50, 300, 120, 130), id="pocket", lay={"name": "Pocket"})
    assert owners(line(60, 320, 160, 320), FRONT, pocket) == ["pocket"]
    assert owners(line(110, 20, 110, 480), FRONT, pocket) == ["front"]


def test_a_line_shared_by_all_sizes_belongs_to_a_piece_of_each() -> None:
    sizes = [
        leaf(box(0, 0, 300 + 10 * step, 500), id=f"front{size}", lay={"size": size})
        for step, size in enumerate(("36", "38", "40"))
    ]
    assert owners(line(150, 100, 150, 400), *sizes) == ["front36", "front38", "front40"]
    sized = line(150, 100, 150, 400, lay={"size": "38"})
    assert owners(sized, *sizes) == ["front38"]


def test_what_lies_nowhere_belongs_to_no_piece() -> None:
    assert owners(line(800, 0, 900, 0), FRONT, BACK) == []


@given(st.permutations(range(6)))
def test_the_order_of_the_drawing_does_not_change_whose_a_mark_is(order: list[int]) -> None:
    leaves = [
        FRONT,
        BACK,
        line(150, 100, 150, 400),
        leaf(box(320, 50, 60, 12), text="Back", id="text"),
        leaf(box(50, 50, 9, 9), id="hole"),
        line(900, 0, 900, 90),
    ]
    leaves = [leaves[index] for index in order]
    structure = structure_of(leaves)
    found = {
        leaves[place].id: [structure.shapes[index].leaf.id for index in indices]
        for place, indices in owners_of(leaves, structure).items()
        if leaves[place].rings == () or len(leaves[place].rings[0].points) != 2
    }
    assert found == {"text": ["back"], "hole": ["front"]}


def test_roles_are_said_or_else_text_is_a_label_and_all_else_a_mark() -> None:
    assert mark_of(line(0, 0, 9, 9)).role == "mark"
    assert mark_of(leaf(box(0, 0, 9, 9), text="Front")).role == "label"
    assert mark_of(line(0, 0, 9, 9, lay={"role": "Notch"})).role == "notch"
    grouped = line(0, 0, 9, 9, groups=[group("arrow", role="grainline")])
    assert mark_of(grouped).role == "grainline"


def test_a_mark_or_its_group_may_be_on_one_side_only() -> None:
    assert not mark_of(line(0, 0, 9, 9)).one_side
    assert mark_of(line(0, 0, 9, 9, lay={"one-side": "yes"})).one_side
    assert mark_of(line(0, 0, 9, 9, groups=[group("pocket", one_side="yes")])).one_side


def test_a_role_that_is_none_is_refused_by_name() -> None:
    with pytest.raises(DrawingError, match=r"\(line\) has lay:role=“arrow”"):
        mark_of(line(0, 0, 9, 9, lay={"role": "arrow"}))
