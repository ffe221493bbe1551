# SPDX-License-Identifier: GPL-2.0-or-later
"""Lengths of beginnings: as published, and as the law they follow says."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.restarts import units


def test_the_first_are_those_of_the_paper() -> None:
    """Luby, Sinclair, Zuckerman, 1993 (see the module), section 1, from memory."""
    published = [1, 1, 2, 1, 1, 2, 4, 1, 1, 2, 1, 1, 2, 4, 8, 1]
    assert [units(beginning) for beginning in range(1, 17)] == published


@given(st.integers(1, 9))
def test_a_block_is_the_one_before_twice_and_one_twice_as_long(blocks: int) -> None:
    block = [1]
    for _ in range(blocks):
        block = [*block, *block, 2 * block[-1]]
    assert [units(beginning) for beginning in range(1, len(block) + 1)] == block


@given(st.integers(0, 8))
def test_as_much_time_is_spent_on_every_length(blocks: int) -> None:
    """In whole blocks; the source's reason why no other order is much better."""
    lengths = [units(beginning) for beginning in range(1, 1 << (blocks + 1))]
    spent = {each: each * lengths.count(each) for each in lengths}
    assert set(spent) == {1 << power for power in range(blocks + 1)}
    assert set(spent.values()) == {1 << blocks}


@pytest.mark.parametrize("beginning", [0, -3])
def test_beginnings_are_counted_from_one(beginning: int) -> None:
    with pytest.raises(ValueError, match=f"counted from 1, not {beginning}"):
        units(beginning)
