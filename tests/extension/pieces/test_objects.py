# SPDX-License-Identifier: GPL-2.0-or-later
"""What leaves are called, and what they have from the groups round them."""

from __future__ import annotations

from extension.pieces.objects import (
    called,
    draws,
    given_name,
    is_original,
    role_carrier,
    size_of,
)
from extension.svg.leaves import read_leaves
from tests.helpers.drawn import box, group, leaf, sheet

OUTLINE = box(0, 0, 100, 100)


def test_a_message_names_an_object_and_its_id() -> None:
    assert called(leaf(OUTLINE, id="path1")) == "the outline of 10 × 10 cm (path1)"
    assert called(leaf(OUTLINE, id="path1", label="Front")) == "“Front” (path1)"
    assert (
        called(leaf(OUTLINE, id="path1", label="f", lay={"name": " Front "})) == "“Front” (path1)"
    )
    assert called(leaf(OUTLINE, id="Ärmel", label="Ärmel")) == "“Ärmel”"
    assert called(group("g1", label="Layer 1")) == "“Layer 1” (g1)"
    assert given_name(leaf(OUTLINE)) == ""


def test_a_size_is_that_of_the_nearest_carrier() -> None:
    layer = group("l1", layer=True, size="38")
    assert size_of(leaf(OUTLINE)) is None
    assert size_of(leaf(OUTLINE, groups=[layer])) == "38"
    assert size_of(leaf(OUTLINE, groups=[layer, group("g1", size=" 40 ")])) == "40"
    assert size_of(leaf(OUTLINE, groups=[layer], lay={"size": "42"})) == "42"
    assert size_of(leaf(OUTLINE, groups=[layer], lay={"size": " "})) == "38"


def test_a_clone_of_nothing_draws_nothing() -> None:
    assert draws(leaf(OUTLINE))
    assert draws(leaf(OUTLINE, text="Front"))
    assert not draws(leaf())


def test_what_a_clone_shows_is_no_original() -> None:
    drawing = sheet()
    bodice = drawing.add_group(id="bodice")
    drawing.add_rect(0, 0, 30, 50, bodice, id="front")
    drawing.add_use("bodice", id="again")
    drawing.add_use("front", id="twin")
    leaves = read_leaves(drawing.document())
    assert [is_original(each) for each in leaves] == [True, False, False]


def test_a_role_may_stand_on_a_group() -> None:
    arrow = group("arrow", role="grainline")
    line = leaf([(0, 0), (0, 9)], closed=False, groups=[group("g1"), arrow])
    assert role_carrier(line) is arrow
    own = leaf(OUTLINE, groups=[arrow], lay={"role": "mark"})
    assert role_carrier(own) is own
    assert role_carrier(leaf(OUTLINE)) is None
