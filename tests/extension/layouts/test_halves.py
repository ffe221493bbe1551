# SPDX-License-Identifier: GPL-2.0-or-later
"""Halves on the fold: the motion of a half, either way round, is a motion of the whole piece."""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.layouts.halves import fold_edge_of, half_laid, likely_halves, opened_out
from extension.layouts.registration import Motion
from nesting.geometry.shapes import unfold

HALF = np.array([0.0, 80.0, 110.0 + 30.0j, 60.0 + 90.0j, 90.0j])
"""A half whose fold edge is that from 0 up to 90i, before it is turned."""
TURNS = st.floats(0.0, 360.0)
PLACES = st.complex_numbers(max_magnitude=2e3, allow_nan=False, allow_infinity=False)


def drawn(turn: float, place: complex) -> tuple[np.ndarray, tuple[tuple[float, float], ...]]:
    """Return the half drawn somewhere on the page, and the ends of its fold edge."""
    ring = HALF * cmath.rect(1.0, math.radians(turn)) + place
    return ring, ((ring[0].real, ring[0].imag), (ring[4].real, ring[4].imag))


def moved_by(motion: Motion, ring: np.ndarray) -> np.ndarray:
    """Return points where a motion lays them."""
    return (ring.conj() if motion.mirrored else ring) * motion.turn + motion.move


@given(TURNS, PLACES, TURNS, PLACES, st.booleans())
def test_the_whole_lies_where_its_half_does(
    turn: float, place: complex, spin: float, move: complex, mirrored: bool
) -> None:
    ring, fold = drawn(turn, place)
    motion = Motion(mirrored, cmath.rect(1.0, math.radians(spin)), move, 0.0)
    whole = opened_out(motion, fold)  # type: ignore[arg-type]
    assert not whole.mirrored
    there = moved_by(motion, ring)
    # The half itself, seen as one of the two of the whole.
    again = half_laid(ring, fold, whole, over=mirrored)  # type: ignore[arg-type]
    assert np.abs(again - there).max() < 1e-6
    # Its fold edge is where the half's own is.
    edge = fold_edge_of(fold, whole)  # type: ignore[arg-type]
    assert np.abs(edge - there[[0, 4]]).max() < 1e-6
    # Every corner of what lies there is a corner of the piece as the engine unfolds it.
    outline = tuple((point.real, point.imag) for point in ring)
    points = unfold(outline, fold)  # type: ignore[arg-type]
    opened = moved_by(whole, points[:, 0] + 1j * points[:, 1])
    for corner in there:
        assert np.abs(opened - corner).min() < 1e-6


@given(TURNS, TURNS)
def test_the_likely_ways_of_a_half_are_those_of_its_whole(turn: float, degrees: float) -> None:
    ring, fold = drawn(turn, 3.0 + 4.0j)
    for mirrored, angle in likely_halves([(False, degrees), (True, 17.0)], fold):  # type: ignore[arg-type]
        motion = Motion(mirrored, cmath.rect(1.0, math.radians(angle)), 0j, 0.0)
        whole = opened_out(motion, fold)  # type: ignore[arg-type]
        assert abs(whole.turn - cmath.rect(1.0, math.radians(degrees))) < 1e-9
    assert len(ring) == 5


def test_a_half_that_is_not_mirrored_moves_as_its_whole() -> None:
    motion = Motion(False, 1j, 5.0 + 0j, 0.1)
    assert opened_out(motion, ((0.0, 0.0), (0.0, 1.0))) == motion
    assert opened_out(motion, ((0.0, 0.0), (0.0, 1.0))).away == pytest.approx(0.1)
