# SPDX-License-Identifier: GPL-2.0-or-later
"""Folds of cloth with a design: searched ones lie where both layers show it alike."""

from __future__ import annotations

import pytest

from nesting.cloth.depths import no_deeper
from nesting.cloth.repeats import Design
from nesting.errors import JobError
from nesting.model import OPEN, Fabric, Job, Match, Repeat, Section
from tests.helpers import plain_judge
from tests.helpers.matched_pieces import TRIANGLE, laid, matched, rectangle


@pytest.mark.parametrize("half_drop", [False, True])
@pytest.mark.parametrize("first", [0.0, 17.0])
def test_a_searched_depth_is_on_a_line_or_midway(half_drop: bool, first: float) -> None:
    """Pairs are cut double there; a fold just deep enough for them would show them apart."""
    pieces = tuple(
        matched(name, outline, Match((10.0, 20.0), "side"), cut=2)
        for name, outline in (("pair", TRIANGLE), ("other", rectangle(140.0, 90.0)))
    )
    repeat = Repeat(along=40.0, across=50.0, first=first, half_drop=half_drop)
    for sections in ((Section(None), OPEN), (Section(None, None), OPEN)):
        job = Job(Fabric(520.0, repeat=repeat, sections=sections), pieces)
        layout = laid(job)
        assert plain_judge.faults(job, layout) == []
        assert [spot.layers for spot in layout.placements] == [2, 2]
        step = 50.0 if half_drop else 25.0
        lower, upper = layout.sections[0].depths
        for depth, line in ((lower, first), (upper, 520.0 - first)):
            assert depth is not None
            assert not depth or (depth - line) / step == pytest.approx(round((depth - line) / step))


def test_a_fold_becomes_shallower_by_whole_repeats() -> None:
    piece = matched("pair", TRIANGLE, Match((10.0, 20.0), "side"), cut=2)
    for half_drop, period in ((False, 50.0), (True, 100.0)):
        repeat = Repeat(along=40.0, across=50.0, half_drop=half_drop)
        fabric = Fabric(500.0, repeat=repeat, sections=(Section(None), OPEN))
        design = Design(Job(fabric, (piece,)))
        for used in (40.0, 50.0, 99.0, 100.0, 110.0):
            depth = no_deeper(used, 200.0, design)
            assert used <= depth < used + period
            assert (200.0 - depth) % period == pytest.approx(0.0)
    assert no_deeper(80.0, 200.0, None) == 80.0


@pytest.mark.parametrize(
    ("section", "half_drop", "words"),
    [
        (Section(205.0, 45.0), False, "folded on a dominant line or midway"),
        (Section(225.0, 25.0), True, r"folded on a dominant line: fold it on one"),
        (Section(crosswise=True), True, r"folded on a dominant line: fold it on one"),
    ],
)
def test_cloth_that_is_folded_beside_its_lines_all_over_is_refused(
    section: Section, half_drop: bool, words: str
) -> None:
    piece = matched("pair", TRIANGLE, Match((10.0, 20.0), "side"), cut=2)
    repeat = Repeat(along=40.0, across=60.0, half_drop=half_drop)
    with pytest.raises(JobError, match=words):
        laid(Job(Fabric(500.0, repeat=repeat, sections=(section,)), (piece,)))
