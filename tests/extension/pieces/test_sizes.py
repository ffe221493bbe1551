# SPDX-License-Identifier: GPL-2.0-or-later
"""What the size of a piece says: one, a list, a range. How sizes are written: common practice."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.pieces.sizes import (
    any_covered,
    covers,
    same_size,
    sizes_drawn,
    sizes_named,
    words_join,
)


@pytest.mark.parametrize(
    ("text", "held", "not_held"),
    [
        ("38", "38", "40"),
        ("2 T", "2t", "3T"),
        ("38, 40", "40", "39"),
        ("38 + 40", "38", "42"),
        ("38-42", "40", "44"),
        ("38 – 42", "42", "36"),
        ("S-XL", "L", "XXL"),
        ("S-3XL", "XXL", "XS"),
        ("xs-m", "S", "38"),
        ("86/92", "92", "98"),
        ("36-40, 44", "38", "42"),
        ("2T-4T", "3T", "3"),
        ("M - tall", "M - tall", "L"),
        ("8-16", "10", "10T"),
        ("7.5-8.5", "8", "9"),
        ("98 104 110", "104", "116"),
        ("98-116", "98/104", "122/128"),
        ("98/104-122/128", "110/116", "86/92"),
        ("98-116", "104-110", "122-128"),
        ("S-XL", "L/XL", "XXS/XS"),
        ("Small-Large", "Medium", "petite"),
        ("6-12m", "6 m", "6"),
        ("0-6M", "3-6M", "6-9M"),
        ("UK 8-12", "UK 10", "10"),
        ("T1-T3", "T2", "2T"),
        ("38-42 petite", "40 petite", "40"),
        ("98-104-110", "104", "101"),
        ("S M L", "M", "XL"),
        ("36-40 42", "36-40 42", "38"),
        ("12 M", "12m", "M"),
        ("110 98", "110 98", "98"),
    ],
)
def test_a_size_holds_another(text: str, held: str, not_held: str) -> None:
    assert covers(text, held)
    assert not covers(text, not_held)
    assert same_size(text, held)
    assert not same_size(text, not_held)


@pytest.mark.parametrize(
    ("text", "is_open"),
    [
        ("98 to 110", True),
        ("98 und 104", True),
        ("36 t/m 46", True),
        ("S up to XL", True),
        ("98-110", False),
        ("98 104 110", False),
        ("38 petite", False),
        ("petite", False),
        ("M - tall", False),
        ("98 / 104", False),
        ("98 + 104", False),
    ],
)
def test_words_between_two_sizes_are_told_from_lists_and_ranges(text: str, is_open: bool) -> None:
    assert words_join(text) == is_open


def test_what_has_no_size_belongs_to_every_size() -> None:
    assert same_size(None, "38")
    assert same_size("38", None)
    assert any_covered(None, ["38"])
    assert any_covered("38-42", ["44", "40"])
    assert not any_covered("38-42", ["44"])


def test_two_ranges_meet_where_they_overlap() -> None:
    assert same_size("38-42", "42-46")
    assert same_size("38, 40", "40, 42")
    assert not same_size("38-42", "44-48")


@pytest.mark.parametrize(
    ("written", "drawn"),
    [
        ([], ()),
        (["38-42"], ("38-42",)),
        (["38, 40", "38, 40"], ("38, 40",)),
        (["38", "38-42", "40"], ("38", "40")),
        (["38, 40", "38"], ("38", "40")),
        (["36-40", "42-46"], ("36-40", "42-46")),
        (["36-40", "38", "44-48"], ("38", "44-48")),
        (["S-L", "s", "S", "M"], ("s", "M")),
        (["86/92", "98/104"], ("86/92", "98/104")),
        (["86/92", "98/104", "86-104"], ("86/92", "98/104")),
        (["86-104", "86/92-98/104", "86/92"], ("86/92",)),
        (["2-4T", "2T-4T"], ("2-4T",)),
        (["0-3M", "3-6M", "0-6M"], ("0-3M", "3-6M")),
    ],
)
def test_sizes_of_a_drawing(written: list[str], drawn: tuple[str, ...]) -> None:
    assert sizes_drawn(written) == drawn


_SIZES = st.lists(
    st.one_of(
        st.integers(1, 60).map(str),
        st.tuples(st.integers(1, 30), st.integers(31, 60)).map(lambda ends: f"{ends[0]}-{ends[1]}"),
        st.lists(st.integers(1, 60).map(str), min_size=2, max_size=3).map(", ".join),
        st.sampled_from(
            ["S", "M", "S-XL", "86/92", "petite", "86-92", "1-3/4", "2/3", "2-9m", "2m-9m", "3 m"]
        ),
    ),
    min_size=1,
    max_size=6,
)


@given(_SIZES)
def test_no_piece_is_without_a_size_that_can_be_chosen(written: list[str]) -> None:
    drawn = sizes_drawn(written)
    assert len({size.casefold() for size in drawn}) == len(drawn)
    for text in written:
        assert any(covers(text, size) for size in drawn)


@given(_SIZES)
def test_meeting_goes_both_ways(written: list[str]) -> None:
    for one in written:
        for other in written:
            assert same_size(one, other) == same_size(other, one)
    assert all(same_size(text, size) for text in written for size in sizes_named(text))
