# SPDX-License-Identifier: GPL-2.0-or-later
"""When chains step back: in the order that is published, and as the law behind it says."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.search.restarts import STUCK, STUCK_MORE, STUCK_MOST, targets, units


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


def test_a_patient_chain_waits_ever_longer_and_the_others_in_lubys_order() -> None:
    steps = range(1, 13)
    patient = [targets(step, is_patient=True) for step in steps]
    assert patient[:3] == [STUCK, STUCK + STUCK_MORE, STUCK + 2 * STUCK_MORE]
    assert patient == sorted(patient)
    assert patient[-1] == STUCK_MOST
    assert [targets(step, is_patient=False) for step in steps] == [
        STUCK * units(step) for step in steps
    ]


@pytest.mark.parametrize("is_patient", [False, True])
def test_steps_are_counted_from_one(*, is_patient: bool) -> None:
    with pytest.raises(ValueError, match="counted from 1, not 0"):
        targets(0, is_patient=is_patient)
