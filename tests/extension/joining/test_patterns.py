# SPDX-License-Identifier: GPL-2.0-or-later
"""Dash patterns are read from dashes, and told apart."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from extension.joining.patterns import Pattern, fits_in, pattern_of, unlikeness
from extension.joining.segments import length_of
from tests.helpers.broken import bodice
from tests.helpers.chopping import edge_by_edge


@pytest.mark.parametrize(
    "drawn", [(6, 3), (8, 2, 1, 2), (12, 2, 1, 2, 1, 2), (0, 2), (12, 3, 6, 3, 1, 3)]
)
def test_the_pattern_is_read_as_it_is_drawn(drawn: Sequence[float]) -> None:
    lengths, gaps = list(drawn[::2]) * 10, list(drawn[1::2]) * 10
    pattern = pattern_of(lengths, gaps[:-1])
    assert pattern is not None
    assert sorted(pattern.as_drawn()) == pytest.approx(sorted(drawn))
    assert pattern.as_drawn()[0] == pytest.approx(max(drawn[::2]))


def test_dashes_cut_short_at_corners_are_no_kind_of_their_own() -> None:
    lengths = [length_of(part) for part in edge_by_edge(bodice(), (6.0, 3.0))]
    assert pattern_of(lengths, [3.0] * (len(lengths) - 1)) == Pattern((6.0,), (1,), 3.0)


def test_a_line_cut_anyhow_has_no_pattern() -> None:
    rng = np.random.default_rng(2)
    assert pattern_of(rng.uniform(1, 30, 60).tolist(), rng.uniform(0.2, 9, 59).tolist()) is None
    assert pattern_of([6.0] * 4, [3.0] * 3) is None


def test_patterns_are_unlike_from_nothing_to_all() -> None:
    dashes, long, dot_dash = (
        Pattern((6.0,), (1,), 3.0),
        Pattern((12.0,), (1,), 3.0),
        Pattern((6.0, 1.0), (1, 1), 3.0),
    )
    assert unlikeness(dashes, dashes) == 0.0
    assert unlikeness(dashes, None) == 0.0
    assert 0.0 < unlikeness(dashes, dot_dash) < 0.5
    assert unlikeness(dashes, long) == pytest.approx(0.8)
    assert unlikeness(dashes, Pattern((1.0,), (1,), 1.0)) == pytest.approx(1.0)


def test_a_long_line_is_no_part_of_a_pattern_of_short_dashes() -> None:
    pattern = Pattern((6.0, 1.0), (1, 1), 2.0)
    assert fits_in(pattern, [6.1, 3.0, 0.0])
    assert not fits_in(pattern, [6.0, 40.0])
    assert fits_in(None, [400.0])
