# SPDX-License-Identifier: GPL-2.0-or-later
"""Lineages: when one has come to its end, and what the next one begins from."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.search.lineage import Found, Lineage, begins_afresh

FIRST = Found(200.0, (), np.zeros((3, 1), dtype=np.int64))
BETTER = Found(190.0, (), np.ones((3, 1), dtype=np.int64))


@pytest.mark.parametrize(
    ("since", "lasts"), [(0, 80), (1, 80), (39, 80), (40, 80), (41, 82), (100, 200), (900, 1800)]
)
def test_a_lineage_ends_when_it_has_found_nothing_for_as_long_as_it_took(
    since: int, lasts: int
) -> None:
    """And never before a descent from the first layout has had its time."""
    lineage = Lineage(FIRST)
    lineage.age = since
    lineage.take(BETTER)
    assert lineage.best is BETTER
    ages = range(since, 2 * lasts)
    ended = [age for age in ages if Lineage(BETTER, False, age, lineage.since).is_over]
    assert ended[0] == lasts
    assert len(ended) == 2 * lasts - lasts


@given(st.integers(0, 15), st.integers(1, 50))
def test_beginnings_take_turns_and_neighbours_do_the_other(number: int, lineages: int) -> None:
    """So that half of the chains look for something new and half go on with the best."""
    afresh = begins_afresh(number, lineages)
    assert begins_afresh(number, lineages + 1) is not afresh
    assert begins_afresh(number + 1, lineages) is not afresh
