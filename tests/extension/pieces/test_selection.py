# SPDX-License-Identifier: GPL-2.0-or-later
"""Which outlines are the pieces of a run."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.pieces.marks import owners_of
from extension.pieces.scope import Scope
from extension.pieces.selection import Choice, choose, looks_unclosed
from extension.pieces.structure import structure_of
from extension.svg.model import Leaf
from tests.helpers.drawn import box, group, leaf

FRONT = leaf(box(0, 0, 300, 500), id="front")
BACK = leaf(box(400, 0, 300, 500), id="back")
FRAME = leaf(box(-50, -50, 900, 700), id="frame")
POCKET = leaf(box(50, 300, 120, 130), id="pocket")
POCKET_LIES = "12 × 13 cm (pocket) lies inside the outline of 30 × 50 cm (front)"
NAMED = leaf(box(0, 700, 200, 100), id="collar", lay={"name": "Collar"})
HOLE = leaf(box(50, 50, 6, 6), id="hole")
LINE = leaf([(150, 50), (150, 450)], closed=False, id="line")
STRAY = leaf([(800, 800), (900, 800)], closed=False, id="stray")
UNCLOSED = leaf(box(0, 900, 200, 300), closed=False, id="sleeve", label="Sleeve")


def chosen(leaves: Sequence[Leaf], *selected: str) -> tuple[list[str], Choice]:
    structure = structure_of(leaves)
    choice = choose(leaves, structure, owners_of(leaves, structure), Scope(leaves, selected))
    return [structure.shapes[index].leaf.id for index in choice.pieces], choice


def pieces(leaves: Sequence[Leaf], *selected: str) -> list[str]:
    found, choice = chosen(leaves, *selected)
    assert choice.faults == ()
    return found


def reasons(leaves: Sequence[Leaf], *selected: str) -> dict[str, str]:
    left_out = chosen(leaves, *selected)[1].left_out
    return {each.object_id: each.reason for each in left_out}


def fault(leaves: Sequence[Leaf], *selected: str) -> str:
    (found,) = chosen(leaves, *selected)[1].faults
    return str(found)


def test_without_any_details_every_closed_outline_is_a_piece_but_a_frame() -> None:
    leaves = [FRAME, FRONT, BACK, HOLE, LINE]
    assert pieces(leaves) == ["front", "back"]
    assert reasons(leaves) == {"frame": "frame"}


def test_where_some_have_details_the_others_are_left_out() -> None:
    leaves = [FRONT, NAMED, LINE]
    assert pieces(leaves) == ["collar"]
    assert reasons(leaves) == {"front": "unmarked"}


def test_a_size_of_its_own_marks_a_piece_too() -> None:
    sized = replace(BACK, attributes={"size": "38"})
    assert pieces([FRONT, sized, NAMED]) == ["back", "collar"]


def test_a_size_of_a_layer_marks_nothing() -> None:
    layer = group("l1", layer=True, size="38")
    assert pieces([replace(BACK, groups=(layer,)), FRONT]) == ["back", "front"]


def test_what_is_selected_is_a_piece_with_or_without_details() -> None:
    assert pieces([FRONT, BACK, NAMED], "front", "collar") == ["front", "collar"]
    assert reasons([FRONT, BACK, NAMED], "front") == {}


def test_a_selected_frame_is_left_out() -> None:
    assert pieces([FRAME, FRONT, BACK], "frame", "back") == ["back"]
    assert reasons([FRAME, FRONT, BACK], "frame", "back") == {"frame": "frame"}


def test_a_selected_layer_is_read_as_a_drawing() -> None:
    layer = group("l1", layer=True)
    leaves = [replace(each, groups=(layer,)) for each in (FRONT, NAMED)]
    assert pieces([*leaves, BACK], "l1") == ["collar"]
    assert reasons([*leaves, BACK], "l1") == {"front": "unmarked"}


def test_selecting_a_mark_selects_its_piece() -> None:
    leaves = [FRONT, BACK, HOLE, LINE]
    assert pieces(leaves, "line") == ["front"]
    assert pieces(leaves, "hole") == ["front"]


def test_selecting_a_group_selects_the_piece_in_it() -> None:
    both = (group("g1"),)
    leaves = [replace(FRONT, groups=both), replace(LINE, groups=both), BACK]
    assert pieces(leaves, "g1") == ["front"]


@given(st.permutations(["front", "back", "line", "collar"]))
def test_the_order_of_a_selection_does_not_matter(order: list[str]) -> None:
    assert pieces([NAMED, FRONT, LINE, BACK], *order) == ["collar", "front", "back"]


def test_locked_outlines_take_part_only_with_details() -> None:
    leaves = [replace(each, locked=True) for each in (FRONT, NAMED)]
    assert pieces([*leaves, BACK]) == ["collar"]
    assert reasons([*leaves, BACK]) == {"front": "locked", "back": "unmarked"}
    assert pieces([replace(FRONT, locked=True), BACK]) == ["back"]


def test_a_locked_outline_that_is_selected_takes_part() -> None:
    assert pieces([replace(FRONT, locked=True), BACK], "front") == ["front"]


def test_a_part_that_was_moved_off_its_layout_is_not_laid_again() -> None:
    part = replace(BACK, attributes={"of": "front", "copy": "2"})
    assert pieces([FRONT, part]) == ["front"]
    assert reasons([FRONT, part]) == {"back": "unmarked"}


def test_an_unexplained_outline_names_both() -> None:
    sentence = fault([FRONT, POCKET])
    assert sentence.startswith(f"The outline of {POCKET_LIES}: give it lay:role=“stitching”")
    assert fault([FRONT, replace(FRONT, id="twin")]).startswith(
        "The outline of 30 × 50 cm (twin) lies exactly on the outline of 30 × 50 cm (front)"
    )


def test_a_pocket_with_details_is_a_piece_and_no_fault() -> None:
    pocket = replace(POCKET, attributes={"name": "Pocket"})
    front = replace(FRONT, attributes={"cut": "2"})
    assert pieces([front, pocket]) == ["front", "pocket"]


def test_a_pocket_in_an_outline_that_is_not_laid_is_no_fault() -> None:
    assert pieces([FRONT, POCKET, NAMED]) == ["collar"]
    assert pieces([FRONT, POCKET, BACK], "back") == ["back"]


def test_a_pocket_selected_by_itself_is_a_piece() -> None:
    assert pieces([FRONT, POCKET], "pocket") == ["pocket"]
    assert fault([FRONT, POCKET], "pocket", "front").startswith(f"The outline of {POCKET_LIES}")
    assert fault([FRONT, POCKET], "front").startswith(f"The outline of {POCKET_LIES}")


def test_an_open_line_in_no_piece_is_named() -> None:
    assert reasons([FRONT, LINE, STRAY]) == {"stray": "mark of no piece"}
    text = leaf(box(900, 0, 90, 9), text="Heading", id="text")
    assert reasons([FRONT, text]) == {}
    assert reasons([FRONT, replace(text, attributes={"role": "label"})]) == {
        "text": "mark of no piece"
    }


@pytest.mark.parametrize(
    ("leaves", "selected"),
    [
        pytest.param([FRONT, replace(STRAY, attributes={"cut": "2"})], (), id="with details"),
        pytest.param([FRONT, UNCLOSED], (), id="goes round an area"),
        pytest.param([NAMED, UNCLOSED], ("sleeve", "collar"), id="selected"),
    ],
)
def test_an_open_outline_is_refused_by_name(leaves: list[Leaf], selected: tuple[str, ...]) -> None:
    assert "is open: close it with the node tool" in fault(leaves, *selected)


def test_an_open_outline_that_nobody_asked_for_is_only_named() -> None:
    assert reasons([NAMED, UNCLOSED]) == {"sleeve": "mark of no piece"}
    assert pieces([FRONT, UNCLOSED], "front") == ["front"]


def test_what_looks_like_an_outline_that_was_not_closed() -> None:
    assert looks_unclosed(UNCLOSED)
    assert not looks_unclosed(STRAY)
    assert not looks_unclosed(leaf([(0, 0), (10, 0), (10, 300), (0, 300)], closed=False))
    assert not looks_unclosed(leaf([(0, 0), (9, 0), (9, 9)], closed=False))


def test_a_group_that_cannot_be_a_piece_is_refused_once() -> None:
    both = (group("g1", cut="2"),)
    leaves = [replace(FRONT, groups=both), replace(BACK, groups=both)]
    assert "holds 2 outlines side by side" in fault(leaves)


DASHES = [
    leaf([(10.0 * k, 0), (10.0 * k + 6, 0)], closed=False, id=f"dash-{k}") for k in range(60)
] + [leaf([(10.0 * k, 400), (10.0 * k + 6, 400)], closed=False, id=f"low-{k}") for k in range(60)]
HEAD = leaf([(300, 100), (303, 110), (297, 110)], id="arrow-head")


def test_a_sheet_of_dashes_is_not_laid_out_as_its_arrow_heads() -> None:
    assert fault([*DASHES, HEAD]) == (
        "The drawing has 120 open lines that belong to no piece, and beside them closed outlines "
        "no larger than the outline of 0.6 × 1 cm (arrow-head): its outlines seem to be broken "
        "into short lines, so run Join "
        "Broken Lines first, or give the pieces their cutting details."
    )


def test_loose_lines_beside_true_pieces_are_only_named() -> None:
    assert pieces([*DASHES, FRONT, BACK]) == ["front", "back"]


def test_a_few_lines_beside_a_small_piece_are_no_broken_sheet() -> None:
    assert pieces([*DASHES[:20], HEAD]) == ["arrow-head"]


def test_a_small_piece_with_details_among_dashes_is_what_she_says() -> None:
    marked = leaf([(300, 100), (303, 110), (297, 110)], id="tab", lay={"cut": "2"})
    assert pieces([*DASHES, marked]) == ["tab"]
