# SPDX-License-Identifier: GPL-2.0-or-later
"""Rows of the table: sizes as typed, sets of them, and which is the larger."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.language.errors import OptionError
from extension.requirements_table.sizes import (
    SizeSet,
    is_larger,
    size_areas,
    size_sets,
    smallest_first,
)
from tests.helpers.drawn import read
from tests.helpers.graded import tunic

DRAWN = ("S", "M", "L")
AREAS = {"s": 10.0, "m": 12.0, "l": 15.0, "petite": 12.0}


def titles(text: str, drawn: tuple[str, ...] = DRAWN) -> list[str]:
    return [row.title for row in size_sets(text, drawn)]


def test_all_is_every_size_by_itself_in_order() -> None:
    assert titles("all") == titles("") == titles(" ALL ") == ["S", "M", "L"]


def test_a_drawing_without_sizes_has_one_row() -> None:
    assert titles("all", ()) == ["one size"]


def test_sizes_and_sets_are_taken_as_typed_and_named_as_drawn() -> None:
    assert titles("l, s+M, s=2+l") == ["L", "S + M", "2 × S + L"]


def test_a_size_twice_in_a_set_is_two_garments() -> None:
    assert size_sets("s+s", DRAWN) == (SizeSet((("S", 2),)),)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("S,XL", "There is no size “XL” in the drawing: choose from S, M and L."),
        ("S,,M", "is no size"),
        ("S+", "is no size"),
        ("S,s", "named twice"),
        ("S=0", "whole number from 1 to 999"),
        ("S=two", "“two”"),
    ],
)
def test_what_cannot_be_a_row_is_told_in_one_sentence(text: str, words: str) -> None:
    with pytest.raises(OptionError, match=r"\.$") as caught:
        size_sets(text, DRAWN)
    assert words in str(caught.value)


def test_a_size_of_a_drawing_without_any_is_told() -> None:
    with pytest.raises(OptionError, match="No piece in the drawing has a size"):
        size_sets("38", ())


def single(size: str) -> SizeSet:
    return SizeSet(((size, 1),))


def test_the_larger_size_is_the_one_of_more_area() -> None:
    assert is_larger(single("L"), single("S"), AREAS)
    assert not is_larger(single("S"), single("L"), AREAS)
    assert not is_larger(single("M"), single("Petite"), AREAS)


def test_sets_compare_garment_by_garment() -> None:
    assert is_larger(SizeSet((("M", 1), ("L", 1))), SizeSet((("S", 1), ("L", 1))), AREAS)
    assert not is_larger(SizeSet((("S", 1), ("L", 1))), SizeSet((("M", 2),)), AREAS)
    assert not is_larger(SizeSet((("L", 2),)), single("S"), AREAS)


sets = st.lists(
    st.tuples(st.sampled_from(["S", "M", "L", "Petite"]), st.integers(1, 3)),
    max_size=3,
    unique_by=lambda pair: pair[0],
).map(lambda pairs: SizeSet(tuple(pairs)))


@given(sets, sets, sets)
def test_larger_is_an_order(a: SizeSet, b: SizeSet, c: SizeSet) -> None:
    assert not is_larger(a, a, AREAS)
    assert not (is_larger(a, b, AREAS) and is_larger(b, a, AREAS))
    if is_larger(a, b, AREAS) and is_larger(b, c, AREAS):
        assert is_larger(a, c, AREAS)


def test_areas_count_copies_and_both_halves_of_fold_pieces() -> None:
    areas = size_areas(read(tunic(("S",), pocket=True), sizes=("S",)).pieces, ("S",))
    pieces = {piece.name: piece for piece in read(tunic(("S",)), sizes=("S",)).pieces}
    assert set(areas) == {"s"}  # the pocket belongs to every size and is not counted
    assert pieces["Front"].fold is not None
    assert sum(demand.cut for demand in pieces["Yoke"].demands) == 3
    # The yoke is a trapezium, 210 and 165 wide and 90 high; three of it are cut.
    (yoke,) = size_areas([pieces["Yoke"]], ("S",)).values()
    assert yoke == pytest.approx(3 * 90 * (210 + 165) / 2)


def test_drawn_largest_first_the_table_still_begins_with_the_smallest() -> None:
    assert smallest_first(("L", "Petite", "M", "S"), AREAS) == ("S", "Petite", "M", "L")
