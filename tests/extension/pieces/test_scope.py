# SPDX-License-Identifier: GPL-2.0-or-later
"""What is selected, and what takes no part in a run."""

from __future__ import annotations

from dataclasses import replace

import pytest

from extension.language.errors import DrawingError
from extension.pieces.scope import Scope, Screened, outermost, screen
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from tests.helpers.drawn import box, group, leaf, shape, sheet

FRONT = leaf(box(0, 0, 300, 500), id="front")
BACK = leaf(box(400, 0, 300, 500), id="back")


def screened(*leaves: Leaf, chosen: tuple[str, ...] | None = None) -> Screened:
    return screen(leaves, Scope(leaves, ()), chosen)


def kept(found: Screened) -> list[str]:
    return [each.id for each in found.leaves]


def sized(size: str, id: str, x: float = 0.0) -> Leaf:
    return leaf(box(x, 0, 300, 500), id=id, lay={"size": size})


def test_nothing_selected_is_everything() -> None:
    scope = Scope([FRONT, BACK], ())
    assert scope.everything
    assert scope.holds(FRONT)
    assert not scope.is_direct(FRONT)


def test_a_group_is_selected_with_all_in_it_and_a_layer_less_directly() -> None:
    inner = leaf(box(0, 0, 9, 9), groups=[group("layer1", layer=True), group("g1")])
    by_group, by_layer = Scope([FRONT, inner], ["g1"]), Scope([FRONT, inner], ["layer1"])
    assert by_group.is_direct(inner)
    assert not by_group.holds(FRONT)
    assert by_layer.holds(inner)
    assert not by_layer.is_direct(inner)


def test_a_range_or_list_of_sizes_belongs_to_each_that_it_holds() -> None:
    leaves = sized("38", "a"), sized("40", "b", 400), sized("38-42", "c", 800), FRONT
    assert screened(*leaves, chosen=("40",)).sizes == ("38", "40")
    assert kept(screened(*leaves, chosen=("40",))) == ["b", "c", "front"]
    assert kept(screened(sized("36, 38", "a"), sized("38", "b"), chosen=("36",))) == ["a"]
    assert screened(sized("36, 38", "a"), sized("36, 38", "b"), FRONT).sizes == ("36, 38",)
    with pytest.raises(DrawingError, match="drawn in 2 sizes, 36 and 38"):
        screened(sized("36, 38", "a"), sized("38", "b"))


def test_what_is_not_drawn_is_told() -> None:
    assert Scope([FRONT], ["front", "gone", "gone"]).unknown == ["gone"]


def test_selecting_an_original_does_not_select_what_clones_of_its_group_show() -> None:
    drawing = sheet()
    clone_first = drawing.add_use("bodice", id="copy", x=500)
    bodice = drawing.add_group(id="bodice")
    drawing.add_rect(0, 0, 300, 500, bodice, id="front")
    assert clone_first is not None
    leaves = read_leaves(drawing.document())
    scope = Scope(leaves, ["front"])
    assert [[g.id for g in each.groups] for each in leaves if scope.holds(each)] == [["bodice"]]


def test_hidden_and_left_out_things_take_no_part() -> None:
    hidden = replace(FRONT, hidden=True)
    out = leaf(box(400, 0, 90, 90), id="old", label="Old collar", lay={"leave-out": "yes"})
    found = screened(hidden, BACK, out)
    assert kept(found) == ["back"]
    assert [each.leaf.id for each in found.hidden] == ["front"]
    assert [(each.object_id, each.label) for each in found.left_out] == [("old", "Old collar")]


def test_a_left_out_group_is_named_once() -> None:
    old = group("g9", leave_out="yes")
    inside = leaf(box(0, 0, 90, 90), groups=[old]), leaf(box(9, 9, 9, 9), groups=[old])
    assert [each.object_id for each in screened(*inside).left_out] == ["g9"]


def test_a_left_out_mark_is_not_counted_among_pieces() -> None:
    line = leaf([(0, 0), (9, 9)], closed=False, lay={"leave-out": "yes"})
    assert screened(FRONT, line).left_out == ()


def test_sizes_are_listed_in_the_order_drawn() -> None:
    leaves = sized("40", "a"), sized("36", "b"), sized(" 40", "c"), FRONT
    assert screened(*leaves, chosen=("36",)).sizes == ("40", "36")


def test_several_sizes_and_none_chosen_are_refused_and_listed() -> None:
    for drawn in (("36", "38", "40"), ("40", "36", "38")):
        with pytest.raises(DrawingError, match="in 3 sizes, 36, 38 and 40: choose the size"):
            screened(*(sized(size, size) for size in drawn))
    with pytest.raises(DrawingError, match="choose from 98 and 104"):
        screened(sized("104", "a"), sized("98", "b"), chosen=("110",))


def test_a_size_in_words_is_asked_about_beside_others() -> None:
    pocket = sized("98 to 110", "pocket", 400)
    with pytest.raises(DrawingError, match=r"write lay:size=“98, 110” .* or “98-110”"):
        screened(sized("98", "a"), sized("104", "b"), pocket, chosen=("104",))
    assert kept(screened(pocket, FRONT)) == ["pocket", "front"]


def test_an_empty_choice_of_sizes_is_none() -> None:
    with pytest.raises(DrawingError, match="choose the size"):
        screened(sized("36", "a"), sized("38", "b"), chosen=())


def test_one_size_need_not_be_chosen() -> None:
    assert kept(screened(sized("38", "a"), sized("38", "b"), FRONT)) == ["a", "b", "front"]


def test_a_selection_within_one_size_needs_no_choice() -> None:
    leaves = sized("36", "a"), sized("38", "b", 400)
    assert kept(screen(leaves, Scope(leaves, ["a"]), None)) == ["a", "b"]


def test_a_chosen_size_keeps_its_pieces_and_those_of_every_size() -> None:
    leaves = sized("2 T", "a"), sized("3T", "b", 400), leaf(box(800, 0, 90, 90), id="belt")
    found = screened(*leaves, chosen=("2t",))
    assert kept(found) == ["a", "belt"]
    assert [each.leaf.id for each in found.other_size] == ["b"]


def test_a_size_that_is_not_drawn_is_refused() -> None:
    with pytest.raises(DrawingError, match="no size “44” in the drawing: choose from 36 and 38"):
        screened(sized("36", "a"), sized("38", "b"), chosen=("36", "44"))
    with pytest.raises(DrawingError, match="No piece in the drawing has a size, so size “44”"):
        screened(FRONT, chosen=("44",))


def test_wrong_attributes_are_refused_wherever_they_stand() -> None:
    leaves = [
        leaf(box(0, 0, 9, 9), groups=[group("g1", colour="red")]),
        leaf([(0, 0), (9, 9)], closed=False, id="line", lay={"role": "arow"}),
        leaf(box(0, 0, 9, 9), id="box", lay={"leave-out": "maybe"}),
    ]
    faults = [str(fault) for fault in screened(FRONT, *leaves).faults]
    assert len(faults) == 3
    assert "lay:colour" in faults[0]
    assert "lay:role=“arow”" in faults[1]
    assert "lay:leave-out=“maybe”" in faults[2]
    assert screen([FRONT, *leaves], Scope([FRONT, *leaves], ["front"]), None).faults == ()


def test_hidden_things_may_be_wrong() -> None:
    wrong = replace(leaf(box(0, 0, 9, 9), lay={"colour": "red"}), hidden=True)
    assert kept(screened(FRONT, wrong)) == ["front"]
    assert screened(FRONT, wrong).faults == ()


def test_lines_of_what_is_out_are_not_counted_with_it() -> None:
    old, pocket, kept_piece = (
        shape(*box(0, 0, 300, 500)),
        shape(*box(50, 50, 90, 90)),
        shape(*box(400, 0, 300, 500)),
    )
    inside = shape(*box(450, 50, 90, 90))
    assert outermost([old, pocket, inside], [kept_piece]) == [old]
