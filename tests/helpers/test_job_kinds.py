# SPDX-License-Identifier: GPL-2.0-or-later
"""Jobs of every kind are valid, and are what their kind says."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely
from hypothesis import Phase, find, given, settings

from nesting.cloth.problem import build_problem
from nesting.jobs.validation import validated
from nesting.judge.check import check_held
from nesting.model import Job
from tests.helpers import job_kinds
from tests.helpers.job_kinds import KINDS


@pytest.mark.parametrize("kind", KINDS)
def test_jobs_of_every_kind_are_valid(kind: str) -> None:
    @settings(max_examples=20)
    @given(KINDS[kind]())
    def holds(job: Job) -> None:
        job = validated(job)
        for fabric in job.fabrics[:1] or (job.fabric,):  # others may be too narrow for a piece
            build_problem(replace(job, fabric=fabric))
        assert check_held(job) == ()

    holds()


@given(job_kinds.jigsaws())
def test_the_tiles_of_a_jigsaw_fill_their_rectangle(job: Job) -> None:
    tiles = [shapely.Polygon(piece.outline) for piece in job.pieces]
    assert all(tile.is_valid for tile in tiles)
    whole = shapely.union_all(tiles)
    assert sum(tile.area for tile in tiles) == pytest.approx(shapely.box(*whole.bounds).area)
    assert whole.area == pytest.approx(shapely.box(*whole.bounds).area)
    assert whole.bounds[3] == job.fabric.width


@given(job_kinds.keyholes())
def test_a_keyhole_is_a_rectangle_less_its_hole_and_its_slit(
    keyhole: tuple[tuple[tuple[float, float], ...], tuple[float, float]],
) -> None:
    outline, (wide, tall) = keyhole
    polygon = shapely.Polygon(outline)
    assert polygon.is_valid
    box = shapely.box(*polygon.bounds)
    assert wide * tall < box.area - polygon.area < wide * tall + 60.0 * tall + 1e-9


@pytest.mark.parametrize(
    ("kind", "wanted"),
    [
        ("held", lambda job: len(job.held) > 1),
        ("pairs", lambda job: any(piece.garments > 1 and piece.cut > 1 for piece in job.pieces)),
        ("folds", lambda job: sum(piece.fold is not None for piece in job.pieces) > 1),
        ("jigsaws", lambda job: len(job.pieces) > 6),
        ("gaps and margins", lambda job: job.fabric.gap > 0 and job.fabric.edge_margin > 0),
    ],
)
def test_a_kind_has_what_it_is_named_for(kind: str, wanted: object) -> None:
    once = settings(phases=[Phase.generate], max_examples=200)
    find(KINDS[kind](), wanted, settings=once)  # type: ignore[arg-type]
