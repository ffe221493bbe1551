# SPDX-License-Identifier: GPL-2.0-or-later
"""Attributes of pieces and marks."""

from __future__ import annotations

import pytest

from extension.language.errors import DrawingError
from extension.pieces.attributes import (
    PIECE_ATTRIBUTES,
    TURNS,
    MarkDetails,
    PieceDetails,
    Typed,
    makes_piece,
    mark_details,
    piece_details,
    says_leave_out,
)
from extension.pieces.cutlist import Demand


def read(**attributes: str) -> PieceDetails:
    named = {name.replace("_", "-"): value for name, value in attributes.items()}
    return piece_details(named, "“Front” (path1)", "path1")


def test_nothing_said_takes_the_defaults() -> None:
    assert read() == PieceDetails()
    assert read().turns == (0.0, 180.0)
    assert read().cut is None


def test_every_documented_example_is_accepted() -> None:
    """The examples that messages show must themselves be right."""
    piece_details(PIECE_ATTRIBUTES, "x", "x")
    mark_details(PIECE_ATTRIBUTES, "x", "x")


def test_every_value_is_typed() -> None:
    details = read(
        name=" Left  sleeve ",
        priority="2",
        cut="2; 1 lining",
        hand="SAME",
        side_up="Either",
        grain="Up",
        fold="line12",
        top="End",
        turns="Four way",
        turns_on_nap="allow",
        off_grain="2°",
        allowance="5/8in",
    )
    assert details == PieceDetails(
        name="Left sleeve",
        priority=2.0,
        cut=(Demand(2, "main", "same"), Demand(1, "lining", "same")),
        side_up="either",
        grain=Typed(90.0),
        fold="line12",
        top="end",
        turns=(0.0, 90.0, 180.0, 270.0),
        turns_on_nap=True,
        off_grain=2.0,
        allowance=pytest.approx(15.875),  # 5/8 in, 1 in = 25.4 mm exactly (agreement of 1959)
    )


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("right", Typed(0.0)),
        ("DOWN", Typed(270.0)),
        ("45", Typed(45.0)),
        ("-30deg", Typed(-30.0)),
        ("22,5°", Typed(22.5)),
        ("grain-7", "grain-7"),
        ("#grain7", "grain7"),
        ("Fadenlauf ä", "Fadenlauf ä"),
    ],
)
def test_a_grain_is_a_direction_or_the_id_of_a_line(text: str, expected: object) -> None:
    assert read(grain=text).grain == expected
    assert read(fold=text).fold == expected


def test_free_turns_are_every_fifteen_degrees() -> None:
    assert len(TURNS["free"]) == 24
    assert set(TURNS["four-way"]) < set(TURNS["free"])


@pytest.mark.parametrize(
    ("name", "value"),
    [
        *(("cut", count) for count in ("0", "-1", "1.5", "10000", "", "two")),
        *(("allowance", length) for length in ("-1cm", "15", "wide", "1km", "51cm", "nan")),
        *(("off-grain", angle) for angle in ("-1", "46", "nan", "much")),
        *(("turns", word) for word in ("", "sideways", "2", "two")),
        *(("priority", number) for number in ("high", "nan", "inf", "")),
        ("hand", "left"),
        ("side-up", "wrong"),
        ("leave-out", "perhaps"),
        ("top", "middle"),
        ("turns-on-nap", "maybe"),
        ("grain", " "),
    ],
)
def test_a_value_that_cannot_be_used_is_refused_by_name(name: str, value: str) -> None:
    read_it = says_leave_out if name == "leave-out" else piece_details
    with pytest.raises(DrawingError) as caught:
        read_it({name: value}, "“Front” (path1)", "path1")
    sentence = str(caught.value)
    assert sentence.startswith(f"“Front” (path1) has lay:{name}=“{value}”")
    assert PIECE_ATTRIBUTES[name] in sentence
    assert caught.value.object_id == "path1"
    assert sentence.count(": ") == 1
    assert sentence.endswith(".")


def test_a_refusal_says_what_is_allowed() -> None:
    with pytest.raises(DrawingError, match="one-way, two-way, four-way or free"):
        read(turns="all")
    with pytest.raises(DrawingError, match="whole number from 1 to 999"):
        read(cut="0")


def test_a_misspelt_attribute_is_refused_with_the_nearest_name() -> None:
    with pytest.raises(DrawingError, match="lay:alowance: use lay:allowance, or"):
        read(alowance="15mm")
    with pytest.raises(DrawingError, match="lay:xyzzy: remove it"):
        read(xyzzy="1")


def test_marks_of_a_layout_on_a_copied_part_are_no_fault() -> None:
    assert read(of="path9", copy="1", turned="0") == PieceDetails()


def test_an_object_can_be_marked_to_leave_out() -> None:
    assert says_leave_out({"leave-out": "Yes"}, "x", "x")
    assert not says_leave_out({"leave-out": "no"}, "x", "x")
    assert not says_leave_out({"cut": "2"}, "x", "x")


def test_a_mark_has_a_role() -> None:
    assert mark_details({"role": "GrainLine"}, "x", "x") == MarkDetails("grainline")
    assert mark_details({"one-side": "yes"}, "x", "x") == MarkDetails(None, True)
    with pytest.raises(DrawingError, match=r"X has lay:role=“arrow”.*outline, grainline, fold"):
        mark_details({"role": "arrow"}, "x", "x")


@pytest.mark.parametrize(
    ("attributes", "expected"),
    [
        ({}, False),
        ({"size": "38"}, False),
        ({"leave-out": "yes"}, False),
        ({"role": "grainline", "one-side": "yes"}, False),
        ({"of": "path1"}, False),
        ({"cut": "2"}, True),
        ({"name": "Front"}, True),
        ({"role": "Outline"}, True),
    ],
)
def test_cutting_details_make_a_piece(attributes: dict[str, str], expected: bool) -> None:
    assert makes_piece(attributes) is expected
