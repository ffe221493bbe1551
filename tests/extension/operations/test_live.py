# SPDX-License-Identifier: GPL-2.0-or-later
"""What is shown of a run while it goes on: true lines, and a picture that shows where parts lie."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from typing import Any

import pytest
import shapely

from extension.drawn.lying import Lying, lying_of
from extension.operations.live import GAP, MOST_POINTS, Live
from extension.operations.progress import ProgressOfAll
from nesting.geometry.shapes import whole_outline
from nesting.model import Job, LaidSection, Layout, LeftOver
from nesting.search.keeper import Progress
from tests.helpers.folded import SPREADS, Folded, folded
from tests.helpers.plain_unfolding import drawn


def told(layout: Layout, job: Job, rounds: int = 1) -> Progress:
    return Progress(1.0, rounds, layout.length, layout.utilisation, 0.0, (job, layout))


def laid(spread: str) -> tuple[Folded, Layout]:
    one = folded(spread)
    outlines = {
        piece.id: tuple((float(x), float(y)) for x, y in whole_outline(piece))
        for piece in one.job.pieces
    }
    return one, replace(one.layout, outlines=outlines)


def lying(layout: Layout) -> dict[int, Lying]:
    sections = layout.sections or (LaidSection(length=layout.length),)
    return {
        one.number: one for one in lying_of(sections, layout.width, GAP * layout.width, 0.0, {})
    }


@pytest.mark.parametrize("spread", SPREADS)
def test_every_part_is_shown_where_it_lies_on_the_table(spread: str) -> None:
    one, layout = laid(spread)
    picture = Live("metric").picture(told(layout, one.job))
    assert picture is not None
    (cloth,) = picture["cloths"]
    sections = lying(layout)
    high = max(each.high for each in sections.values())
    pieces = {piece.id: piece for piece in one.job.pieces}
    assert len(cloth["parts"]) == len(one.spots)
    for part, spot in zip(cloth["parts"], one.spots, strict=True):
        flat = part["points"]
        seen = shapely.Polygon(list(zip(flat[0::2], flat[1::2], strict=True)))
        there = shapely.get_parts(drawn(pieces[spot.piece], spot))[0]
        start = sections[spot.section].start
        expected = shapely.transform(there, lambda at, x=start: [[x + a, high - b] for a, b in at])
        if spot.on_fold:  # its half, on the table
            on_table = sections[spot.section]
            expected &= shapely.box(-1e4, high - on_table.high, 1e4, high - on_table.low)
        assert seen.symmetric_difference(expected).area < 0.12 * expected.area
        assert seen.hausdorff_distance(expected) < 2.0  # of numbers without decimals
        assert part["flipped"] == spot.flip
    assert cloth["width"] == pytest.approx(high - min(each.low for each in sections.values()))
    strips = shapely.union_all(
        [shapely.box(x, y, x + length, y + height) for x, y, length, height, _ in cloth["sections"]]
    )
    parts = shapely.MultiPoint(
        [
            point
            for part in cloth["parts"]
            for point in zip(part["points"][::2], part["points"][1::2], strict=True)
        ]
    )
    assert strips.buffer(1.0).covers(parts)


def round_piece(count: int) -> tuple[Job, Layout]:
    """Return many parts of a round piece with very many points."""
    one, layout = laid("open")
    circle = tuple(
        (100.0 * math.cos(0.001 * math.pi * k), 100.0 * math.sin(0.001 * math.pi * k))
        for k in range(2000)
    )
    piece = replace(one.job.pieces[0], id="round", outline=circle, fold=None)
    spot = replace(one.spots[0], piece="round", layers=1, on_fold=False)
    spots = tuple(replace(spot, x=210.0 * k, y=150.0) for k in range(count))
    job = replace(one.job, pieces=(piece,))
    return job, replace(layout, placements=spots, outlines={"round": circle}, length=210.0 * count)


@pytest.mark.parametrize("count", [1, 30, 2000])
def test_a_picture_stays_small_whatever_is_drawn(count: int) -> None:
    job, layout = round_piece(count)
    picture = Live("metric").picture(told(layout, job))
    assert picture is not None
    parts = picture["cloths"][0]["parts"]
    assert len(parts) == count
    assert all(8 <= len(part["points"]) <= 2 * MOST_POINTS for part in parts)
    assert len(json.dumps(picture)) < 200_000
    json.dumps(picture, allow_nan=False)


def test_the_same_layout_is_not_shown_twice() -> None:
    one, layout = laid("open")
    live = Live("metric")
    assert live.picture(told(layout, one.job)) is not None
    assert live.picture(told(layout, one.job)) is None
    assert live.picture(Progress(1.0, 1, 900.0, 0.5, 0.0)) is None
    shorter = live.picture(told(replace(layout, length=layout.length - 5.0), one.job))
    assert shorter is not None
    assert shorter["cloths"][0]["first"] - shorter["cloths"][0]["length"] == pytest.approx(5.0)


def shown(live: Live, length: float, rounds: int = 1, **how: Any) -> list[str]:
    one, layout = laid("open")
    layout = replace(layout, length=length, utilisation=0.756, **how)
    return live.lines(told(layout, one.job, rounds)).splitlines()


def test_lines_tell_what_was_saved_since_the_first_layout() -> None:
    live = Live("metric")
    assert shown(live, 1203.0, 0) == [
        "Best so far: 1.21 m (first draft), 76% of the cloth used",
        "Saved since the first layout: nothing yet",
    ]
    assert shown(live, 988.0)[0] == "Best so far: 0.99 m, 76% of the cloth used"
    # As printed: 1.21 m less 0.99 m.
    assert shown(live, 988.0)[1] == "Saved since the first layout: 22 cm"
    assert shown(Live("imperial"), 1219.2)[0].startswith("Best so far: 48 in")


def test_where_not_all_fits_no_length_is_called_saved() -> None:
    live = Live("metric")
    over = (LeftOver("cuff", (1, 2)), LeftOver("tab", (1,)))
    assert shown(live, 990.0, left_over=over)[1] == "Not laid yet: 3 parts"
    assert shown(live, 1000.0, left_over=over[1:])[1] == "Not laid yet: 1 part"
    # The first one laid less: it is no measure.
    assert shown(live, 1000.0) == ["Best so far: 1.00 m, 76% of the cloth used"]


def test_of_several_layouts_each_has_a_line() -> None:
    one, layout = laid("open")
    live = Live("metric")

    def all_of(*lengths: float) -> list[str]:
        each = [
            (f"m{number}", told(replace(layout, length=length), one.job))
            for number, length in enumerate(lengths)
        ]
        return live.lines(ProgressOfAll.of(each, 1.0)).splitlines()

    assert all_of(1000.0, 500.0) == ["m0: 1.00 m", "m1: 0.50 m"]
    assert all_of(900.0, 500.0) == ["m0: 0.90 m, 10 cm saved", "m1: 0.50 m"]
    assert all_of(*[100.0] * 9)[-1] == "and 3 more"
