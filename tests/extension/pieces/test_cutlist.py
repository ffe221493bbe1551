# SPDX-License-Identifier: GPL-2.0-or-later
"""Cut lists."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.pieces.cutlist import MOST, Demand, cut_list


def demands(text: str) -> list[tuple[int, str, str]]:
    return [(each.cut, each.material, each.hand) for each in cut_list(text)]


def test_a_bare_count_is_of_the_main_material_in_mirrored_pairs() -> None:
    assert demands(" 2 ") == [(2, "main", "mirrored")]


def test_a_list_names_materials_and_hands() -> None:
    assert demands("2 main; 1 interfacing; 2 lining same") == [
        (2, "main", "mirrored"),
        (1, "interfacing", "mirrored"),
        (2, "lining", "same"),
    ]


def test_the_hand_of_the_piece_holds_where_an_item_names_none() -> None:
    assert cut_list("2; 2 lining mirrored", "same") == (
        Demand(2, "main", "same"),
        Demand(2, "lining", "mirrored"),
    )


@pytest.mark.parametrize(
    "text",
    [
        "2 main + 1 interfacing",
        "2 MAIN & 1 Fusible",
        "2x main, 1x interfacing;",
        "2 × Oberstoff\n1 × Bügeleinlage",
        "2 Main mirrored; 1 entoilage Mirrored",
    ],
)
def test_other_ways_to_write_the_same_list(text: str) -> None:
    assert demands(text) == [(2, "main", "mirrored"), (1, "interfacing", "mirrored")]


@pytest.mark.parametrize(
    "text",
    [
        *("0", "-1", "1.5", "1,5", "10000", "1000", "", " ; ", "two", "main", "1e2", "२", "1/2"),
        *("2 main; 1 Self", "2 main 1 lining", "2; 0 lining", "+"),
    ],
)
def test_a_count_that_cannot_be_cut_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"count|twice"):
        cut_list(text)


@given(st.integers(1, MOST), st.sampled_from(["", "lining", "Futter", "rib knit"]))
def test_every_count_within_the_limits_is_read(count: int, name: str) -> None:
    assert cut_list(f"{count} {name}")[0].cut == count


@given(st.text(max_size=20))
def test_any_text_is_read_or_refused(text: str) -> None:
    with suppress(ValueError):
        assert all(1 <= demand.cut <= MOST and demand.material for demand in cut_list(text))
