# SPDX-License-Identifier: GPL-2.0-or-later
"""Remnants made of a published jigsaw: without one of its tiles, the others still fill the rest.

ESICUP data set dighe1 (CC0; 2d_irregular): 16 tiles that fill a square of 100. What is left of the
square without a tile has a bay, or a hole, of the shape of that tile, and is covered by the others
and by nothing else.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
import shapely
from shapely import affinity

from nesting.jobs.validation import validated
from nesting.judge.check import check
from nesting.model import Job, Outline
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers.plain_judge import faults
from tests.helpers.published import instance_job


def ring(points: shapely.LinearRing) -> Outline:
    return tuple((float(x), float(y)) for x, y in points.coords[:-1])


@pytest.mark.parametrize(
    ("missing", "holes"),
    [("piece0", 0), ("piece4", 1), ("piece5", 0), ("piece6", 1), ("piece10", 1)],
)
def test_without_a_tile_the_others_fill_what_is_left(
    missing: str, holes: int, benchmark_folder: Path
) -> None:
    whole = instance_job(benchmark_folder, "dighe1")
    together = solve(whole, stop=AfterRounds(4), clock=lambda: 0.0)
    assert together.length == pytest.approx(100.0)
    (spot,) = (spot for spot in together.placements if spot.piece == missing)
    outline = together.outlines[missing]
    rest = shapely.box(0.0, 0.0, 100.0, 100.0) - affinity.translate(
        shapely.Polygon(outline), spot.x, spot.y
    )
    assert len(rest.interiors) == holes
    fabric = replace(
        whole.fabric, outline=ring(rest.exterior), holes=tuple(map(ring, rest.interiors))
    )
    others = tuple(piece for piece in whole.pieces if piece.id != missing)
    job = validated(Job(fabric, others))
    layout = solve(job, stop=AfterRounds(20), clock=lambda: 0.0)
    assert layout.left_over == ()
    assert layout.utilisation == pytest.approx(1.0, abs=1e-6)
    assert check(job, layout) == ()
    assert faults(job, layout) == []
