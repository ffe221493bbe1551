# SPDX-License-Identifier: GPL-2.0-or-later
"""Distances and angles as they are told to somebody with a tape measure and a set square."""

from __future__ import annotations

from fractions import Fraction

from extension.language.rounding import INCH, mixed
from extension.language.units import System

PARTS_OF_INCH = 32
"""Sixteenths of an inch may put a part 1.1 mm away, with half of one along and half across."""
MOST_DECIMALS = 4

UNITS: dict[System, tuple[str, str]] = {
    "metric": ("cm", "centimetres"),
    "imperial": ("in", "inches"),
}
"""Units of distances on the cloth: short, and in full."""


def tape_text(length: float, system: System) -> str:
    """Return a distance in mm as read off a tape, without its unit: `12.3` cm or `4 7/8` in."""
    if system == "metric":
        return f"{max(length, 0.0) / 10.0:.1f}"
    steps = round(Fraction(max(length, 0.0)) / INCH * PARTS_OF_INCH)
    return mixed(Fraction(steps, PARTS_OF_INCH))


def long_tape_text(length: float, system: System) -> str:
    """Return a distance in mm as read off a tape, with its unit: `12.3 cm` or `4 7/8 in`."""
    return f"{tape_text(length, system)} {UNITS[system][0]}"


def degrees_text(degrees: float, tolerance: float) -> str:
    """Return an angle with as few decimals as keep it within `tolerance` degrees: `30`, `12.4`."""
    told = (f"{degrees:.{decimals}f}" for decimals in range(MOST_DECIMALS))
    near = (text for text in told if abs(float(text) - degrees) <= tolerance)
    return next(near, f"{degrees:.{MOST_DECIMALS}f}")
