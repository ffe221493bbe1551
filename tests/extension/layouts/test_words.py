# SPDX-License-Identifier: GPL-2.0-or-later
"""The verdict of a check in one line."""

from __future__ import annotations

import pytest

from extension.layouts.situation import Finding
from extension.layouts.words import verdict


def finding(kind: str, *objects: str) -> Finding:
    return Finding(kind, (), objects, 1.0, "")


@pytest.mark.parametrize(
    ("kinds", "line"),
    [
        ([], "28 of 28 parts, no overlap, 1.84 m"),
        (["overlap", "overlap"], "28 of 28 parts, 2 overlaps, 1.84 m"),
        (["gap"], "28 of 28 parts, no overlap, 1 pair too close, 1.84 m"),
        (["turn", "nap", "nap"], "28 of 28 parts, no overlap, 1 part off the grain, "
         "2 parts against the nap, 1.84 m"),
    ],
)  # fmt: skip
def test_the_line_counts_faults_by_kind(kinds: list[str], line: str) -> None:
    assert verdict(28, 28, [finding(kind) for kind in kinds], 1836.2, "metric") == line


def test_one_too_many_is_told_but_missing_ones_only_by_the_count() -> None:
    found = [finding("count"), finding("count", "part-9")]
    line = verdict(27, 28, found, 1836.2, "metric")
    assert line == "27 of 28 parts, 1 too many, no overlap, 1.84 m"


def test_lengths_are_in_the_persons_own_units() -> None:
    assert verdict(1, 1, [], 914.4, "imperial") == "1 of 1 part, no overlap, 36 in"


def test_without_originals_nothing_is_counted() -> None:
    assert verdict(0, 0, [], 500.0, "metric") == "no part can be counted, no overlap, 0.50 m"
