# SPDX-License-Identifier: GPL-2.0-or-later
"""Laws of joining: order, place and how dashes are cut do not matter."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from extension.joining.join import join_segments
from extension.joining.segments import Segment
from tests.helpers.broken import (
    NEAR,
    Points,
    grown,
    misses,
    pieces,
    segments,
)
from tests.helpers.chopping import apart, dashed


def result(joined_from: Sequence[Segment]) -> list[Points]:
    return [outline.points for outline in join_segments(joined_from).outlines]


def assert_same(one: Sequence[Points], other: Sequence[Points], near: float = 0.01) -> None:
    assert len(one) == len(other)
    for first, second in zip(one, other, strict=True):
        assert apart(first, second) < near


@st.composite
def broken(draw: st.DrawFn) -> tuple[list[Points], list[Points]]:
    """One to three sizes of a piece, and the dashes or cut lines they were broken into."""
    base = draw(pieces())
    sizes = draw(st.integers(1, 3))
    kinds = draw(st.permutations([(6.0, 3.0), (10.0, 2.0, 1.0, 2.0), (3.0, 2.0)]))
    truths, parts = [], []
    for number in range(sizes):
        truth = grown(base, 6.0 * number)
        truths.append(truth)
        start = draw(st.integers(0, 8))
        parts += dashed(truth, kinds[number], float(start))
    return truths, parts


@given(broken(), st.randoms(use_true_random=False))
def test_what_was_broken_is_joined_in_whatever_order_it_comes(
    case: tuple[list[Points], list[Points]], random: object
) -> None:
    truths, parts = case
    joined = join_segments(segments(parts))
    assert max(misses(joined, truths)) < NEAR
    mixed = [part[:: random.choice((1, -1))] for part in parts]  # type: ignore[attr-defined]
    random.shuffle(mixed)  # type: ignore[attr-defined]
    assert_same(result(segments(mixed)), [one.points for one in joined.outlines], near=1e-9)


@given(broken(), st.integers(0, 359), st.booleans(), st.tuples(*[st.integers(-500, 500)] * 2))
def test_turning_mirroring_and_moving_the_drawing_turns_the_result(
    case: tuple[list[Points], list[Points]], degrees: int, mirrored: bool, shift: tuple[int, int]
) -> None:
    truths, parts = case
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    turn = np.array([[cos, sin], [-sin, cos]])
    if mirrored:
        turn = turn @ np.diag([1.0, -1.0])
    moved = join_segments(segments([part @ turn + np.array(shift) for part in parts]))
    assert max(misses(moved, [truth @ turn + np.array(shift) for truth in truths])) < NEAR


@given(broken(), st.data())
def test_cutting_dashes_in_two_changes_nothing(
    case: tuple[list[Points], list[Points]], data: st.DataObject
) -> None:
    _, parts = case
    wholes = set(data.draw(st.sets(st.integers(0, len(parts) - 1), max_size=20)))
    cut: list[Points] = []
    for number, part in enumerate(parts):
        middle = part.mean(axis=0) if len(part) == 2 else part[len(part) // 2]
        if number in wholes and len(part) > 1:
            half = len(part) // 2
            first = [*part[:half], middle] if len(part) == 2 else part[: half + 1]
            second = [middle, *part[half:]] if len(part) == 2 else part[half:]
            cut += [np.array(one) for one in (first, second) if len(one) > 1]
        else:
            cut.append(part)
    assert_same(result(segments(cut)), result(segments(parts)))
