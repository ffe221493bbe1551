# SPDX-License-Identifier: GPL-2.0-or-later
"""What is read off a tape or a set square is what was meant, to less than can be seen."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from extension.diagram.shapes import told_scale
from extension.diagram.tape import degrees_text, long_tape_text, tape_text
from extension.language.rounding import INCH
from extension.language.units import System

LENGTHS = st.floats(0.0, 20_000.0)
STEPS: dict[System, Fraction] = {"metric": Fraction(1), "imperial": INCH / 32}
"""mm: a millimetre, or half of a sixteenth of an inch."""


@given(LENGTHS, st.sampled_from(["metric", "imperial"]))
def test_a_distance_is_told_to_half_a_step(length: float, system: System) -> None:
    unit = Fraction(10) if system == "metric" else INCH
    told = sum(map(Fraction, tape_text(length, system).split()), Fraction()) * unit
    assert abs(told - Fraction(length)) <= STEPS[system] / 2
    assert (told / STEPS[system]).denominator == 1


def test_the_unit_is_named() -> None:
    assert long_tape_text(123.4, "metric") == "12.3 cm"
    assert long_tape_text(25.4 * 4.875, "imperial") == "4 7/8 in"
    assert tape_text(0.2, "imperial") == "0"
    # What is a rounding beyond the edge is at the edge.
    assert tape_text(-1e-6, "metric") == "0.0"


@given(st.floats(0.0, 90.0), st.floats(0.001, 0.2))
def test_an_angle_is_told_as_finely_as_it_must_be(degrees: float, tolerance: float) -> None:
    told = degrees_text(degrees, tolerance)
    assert abs(float(told) - degrees) <= tolerance
    _, _, decimals = told.partition(".")
    if decimals:
        coarser = round(degrees, len(decimals) - 1)
        assert abs(coarser - degrees) > tolerance


@given(st.floats(0.01, 1.0))
def test_a_scale_is_what_it_is_printed_as(scale: float) -> None:
    told = told_scale(scale)
    assert told <= scale * (1.0 + 1e-9)
    assert told > scale * 0.98 * (1.0 - 0.01 * scale)
    assert abs(1.0 / float(f"{1.0 / told:.2f}") - told) < 1e-9
