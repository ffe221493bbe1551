# SPDX-License-Identifier: GPL-2.0-or-later
"""An outline is found again however it was moved, turned, mirrored or written."""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from extension.layouts import registration
from extension.layouts.registration import (
    EXACT,
    SAME,
    SAMPLES,
    SEEDS,
    STEPS,
    Contour,
    Ring,
    contour,
    motions,
    moved,
    nearest,
)
from nesting.model import Outline
from tests.helpers.strategies import l_shapes, outlines, star_shaped

angles = st.floats(0.0, 360.0, exclude_max=True)
places = st.complex_numbers(max_magnitude=3000.0)
LOPSIDED = ((0.0, 0.0), (200.0, 0.0), (230.0, 90.0), (120.0, 60.0), (40.0, 140.0))


def placed(outline: Outline, mirrored: bool, degrees: float, move: complex) -> Outline:
    """Return an outline mirrored in the x axis, turned and moved, by other means than the code."""
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return tuple(
        (cos * x - sin * y + move.real, sin * x + cos * y + move.imag)
        for x, y in ((x, -y if mirrored else y) for x, y in outline)
    )


def with_more_points(outline: Outline, shares: tuple[float, ...]) -> Outline:
    """Return the same outline with points added within its edges."""
    points = np.array(outline)
    added = []
    for here, there in zip(points, np.roll(points, -1, axis=0), strict=True):
        added.append(here)
        added += [here + share * (there - here) for share in shares]
    return tuple((float(x), float(y)) for x, y in added)


def off(source: Contour, outline: Contour) -> float:
    """Return how far the best motion leaves the outline, measured point by point."""
    best = min(motions(source, outline), key=lambda motion: motion.away)
    there = moved(source, best)
    edges = np.append(outline.ring, outline.ring[0])
    return max(_to_edges(point, edges) for point in there)


def _to_edges(point: complex, edges: np.ndarray) -> float:
    start, along = edges[:-1], np.diff(edges)
    share = np.clip(((point - start) * along.conj()).real / np.abs(along) ** 2, 0.0, 1.0)
    return float(np.abs(point - start - share * along).min())


@given(outlines(), st.booleans(), angles, places, st.integers(0, 20))
def test_a_moved_outline_is_found_exactly(
    outline: Outline, mirrored: bool, degrees: float, move: complex, start: int
) -> None:
    start %= len(outline)
    there = placed(outline[start:] + outline[:start], mirrored, degrees, move)
    source, target = contour(outline), contour(there)
    assert any(motion.mirrored == mirrored for motion in motions(source, target))
    assert off(source, target) < 1e-4


@given(star_shaped() | l_shapes(), st.booleans(), angles, places)
def test_other_points_on_the_same_line_change_nothing(
    outline: Outline, mirrored: bool, degrees: float, move: complex
) -> None:
    there = with_more_points(placed(outline, mirrored, degrees, move), (0.31, 0.77))
    assert off(contour(outline), contour(there)) < 0.01


def test_the_motion_is_the_one_that_was_made() -> None:
    there = placed(LOPSIDED, True, 33.0, 500.0 - 70.0j)
    (motion,) = motions(contour(LOPSIDED), contour(there[::-1]))
    assert motion.mirrored
    assert motion.degrees == pytest.approx(33.0, abs=1e-9)
    assert motion.move == pytest.approx(500.0 - 70.0j, abs=1e-9)


@pytest.mark.parametrize("change", [0.5, 3.0, 40.0])
def test_an_outline_with_one_corner_moved_is_another_one(change: float) -> None:
    moved_corner = (*LOPSIDED[:4], (40.0, 140.0 + change))
    source, target = contour(LOPSIDED), contour(moved_corner)
    assert motions(source, target) == []
    assert SAME < nearest(source, target) <= change


def test_what_a_knife_cannot_follow_is_the_same_outline() -> None:
    nudged = (*LOPSIDED[:4], (40.0, 140.1))
    assert len(motions(contour(LOPSIDED), contour(nudged))) == 1


def test_a_rectangle_fits_in_four_ways_and_the_likely_one_comes_first() -> None:
    source = contour(((0.0, 0.0), (90.0, 0.0), (90.0, 30.0), (0.0, 30.0)))
    assert len(motions(source, source)) == 4
    first = motions(source, source, [(True, 180.0)])[0]
    assert (first.mirrored, first.degrees) == (True, pytest.approx(180.0))


def test_a_circle_fits_in_any_way_and_so_in_the_likely_one() -> None:
    ring = tuple(
        (50.0 * math.cos(a), 50.0 * math.sin(a)) for a in np.linspace(0, 2 * math.pi, 721)[:-1]
    )
    first = motions(contour(ring), contour(ring), [(False, 77.0)])[0]
    assert first.degrees == pytest.approx(77.0, abs=0.2)


@given(outlines(), st.floats(1.02, 3.0))
def test_a_resized_outline_is_another_one(outline: Outline, scale: float) -> None:
    points = np.array(outline)
    assume(np.ptp(points, axis=0).max() * (scale - 1.0) > 3.0 * SAME)
    larger = tuple((float(x), float(y)) for x, y in points * scale)
    assert motions(contour(outline), contour(larger)) == []


def test_a_contour_knows_its_measures() -> None:
    square = contour(((0.0, 0.0), (0.0, 10.0), (10.0, 10.0), (10.0, 0.0)))
    assert (square.area, square.perimeter) == (100.0, 40.0)
    assert cmath.isclose(square.mirrored().ring.mean(), 5.0 - 5.0j)


def saw_edged(teeth: int, deep: float) -> Outline:
    """Return a circle whose edge is a saw, 10 cm about its middle."""
    angles = (math.tau * k / teeth for k in range(teeth))
    radii = (100.0 + deep * (k % 2) for k in range(teeth))
    return tuple((r * math.cos(a), r * math.sin(a)) for r, a in zip(radii, angles, strict=True))


def test_finely_drawn_outlines_are_looked_at_a_few_times_only(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # Every edge for every point at every step took minutes for two outlines of 5,000 points.
    asked = []
    feet = registration._feet

    def counted(outline: Contour, points: Ring) -> tuple[Ring, np.ndarray]:
        asked.append(len(points))
        return feet(outline, points)

    monkeypatch.setattr(registration, "_feet", counted)
    one, other = contour(saw_edged(5000, 1.0)), contour(saw_edged(4998, 1.7))
    assert motions(one, other) == []
    assert max(asked) <= 2 * SAMPLES
    assert len(asked) <= 4 * SEEDS * STEPS
    turned = contour(placed(saw_edged(5000, 1.0), True, 33.0, 7 + 5j))
    assert motions(one, turned)[0].away <= EXACT
