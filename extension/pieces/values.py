# SPDX-License-Identifier: GPL-2.0-or-later
"""Single values of attributes, from text: numbers, lengths and angles within their limits."""

from __future__ import annotations

import math

from extension.language.units import parse_angle, parse_length
from nesting.model import MOST_OFF_GRAIN, MOST_PRIORITY

_MOST_ALLOWANCE = 500.0
MOST_NOTE = 160
"""Letters of a note for cutting: about two lines of a table."""


def note_words(text: str) -> str | None:
    """Return the words of a note for cutting. Raises ValueError where they are too many."""
    words = " ".join(text.split())
    if len(words) > MOST_NOTE:
        raise ValueError(f"has {len(words)} letters")
    return words or None


def priority_of(text: str) -> float:
    """Return a priority. Raises ValueError."""
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not 0.0 < number <= MOST_PRIORITY:
        raise ValueError("")
    return number


def off_grain_of(text: str) -> float:
    """Return a consent to lie off the grain, degrees. Raises ValueError or OptionError."""
    degrees = parse_angle(text)
    if not 0.0 <= degrees <= MOST_OFF_GRAIN:
        raise ValueError("")
    return degrees


def allowance_of(text: str) -> float:
    """Return a seam allowance, mm. Raises ValueError or OptionError."""
    # A bare 0 needs no unit: nothing is nothing in every unit.
    length = 0.0 if text.strip() == "0" else parse_length(text)
    if length < 0.0:
        raise ValueError("is negative")
    if length > _MOST_ALLOWANCE:
        raise ValueError("is too much")
    return length
