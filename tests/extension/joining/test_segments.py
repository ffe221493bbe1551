# SPDX-License-Identifier: GPL-2.0-or-later
"""An order and a direction of lines that do not depend on how they were drawn."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.joining.segments import directed, in_fixed_order, length_of
from tests.helpers.broken import BLACK, RED, Points, segments

coordinates = st.integers(-500, 500).map(lambda n: n / 4.0)
lines = st.lists(st.tuples(coordinates, coordinates), min_size=2, max_size=5, unique=True).map(
    np.array
)


@given(st.lists(lines, max_size=8), st.randoms(use_true_random=False))
def test_the_order_is_that_of_the_geometry(parts: list[Points], random: object) -> None:
    drawn = segments(parts) + segments(parts[:2], RED)
    mixed = [*drawn]
    random.shuffle(mixed)  # type: ignore[attr-defined]

    def keys(those: list) -> list:
        return [(one.look, directed(one.points).tolist()) for one in those]

    ordered = [drawn[number] for number in in_fixed_order(drawn)]
    again = [mixed[number] for number in in_fixed_order(mixed)]
    ends = [(look, [points[0], points[-1]]) for look, points in keys(ordered)]
    assert ends == [(look, [points[0], points[-1]]) for look, points in keys(again)]


@given(lines)
def test_a_line_and_its_reverse_are_directed_alike(points: Points) -> None:
    assert directed(points).tolist() == directed(points[::-1]).tolist()
    assert length_of(points) == pytest.approx(length_of(points[::-1]))


def test_looks_are_kept_apart() -> None:
    one = np.array([[0.0, 0.0], [1.0, 0.0]])
    drawn = segments([one], RED) + segments([one + 5.0], BLACK)
    assert [drawn[number].look for number in in_fixed_order(drawn)] == [BLACK, RED]
