# SPDX-License-Identifier: GPL-2.0-or-later
"""The strategies keep what they promise: other tests lean on it."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given

from nesting.model import Job, Outline
from tests.helpers import strategies


@pytest.mark.parametrize(
    "kind",
    ["rectangles", "convex", "star_shaped", "l_shapes", "u_shapes", "needles", "spirals", "curved"],
)
def test_every_kind_gives_simple_outlines(kind: str) -> None:
    @given(getattr(strategies, kind)())
    def holds(outline: Outline) -> None:
        polygon = shapely.Polygon(outline)
        assert polygon.is_valid
        assert polygon.area >= 1.0
        assert strategies.area(outline) == pytest.approx(polygon.area)

    holds()


@given(strategies.placed_anywhere())
def test_outlines_placed_anywhere_are_simple(outline: Outline) -> None:
    assert shapely.Polygon(outline).is_valid


@given(strategies.shared_edges())
def test_shared_edges_touch_and_do_not_overlap(pair: tuple[Outline, Outline]) -> None:
    left, right = (shapely.Polygon(outline) for outline in pair)
    assert left.is_valid
    assert right.is_valid
    assert left.intersection(right).area == pytest.approx(0.0, abs=1e-9)
    assert left.distance(right) == 0.0


@given(strategies.half_outlines())
def test_halves_have_their_fold_on_the_outline(
    half: tuple[Outline, tuple[tuple[float, float], ...]],
) -> None:
    outline, ends = half
    assert shapely.Polygon(outline).is_valid
    assert set(ends) <= set(outline)


@given(strategies.jobs())
def test_jobs_can_be_laid_in_every_turn(job: Job) -> None:
    free = job.fabric.width - 2 * job.fabric.edge_margin
    assert all(strategies.reach(piece.outline) <= free for piece in job.pieces)
