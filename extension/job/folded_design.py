# SPDX-License-Identifier: GPL-2.0-or-later
"""Folds of cloth with a design: both layers show it alike where a fold is on a line, or midway.

So a fold is moved to the nearest such place. Only an even design has any.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from extension.language.rounding import small_text
from extension.language.units import System
from nesting.model import Repeat, Section

ALIKE = 0.5
"""mm by which a fold may be off: less than the eye sees."""
LEAST = 10.0
"""mm: nothing is folded in less deep."""


def on_design(
    sections: Sequence[Section], design: Repeat | None, width: float
) -> tuple[Section, ...]:
    """Return sections of cloth, `width` mm wide, with their folds on lines of a design, or midway.

    A depth that is still to be searched for stays so, and all stays where no depth would do.
    """
    if design is None or not design.even or not design.across:
        return tuple(sections)
    return tuple(_moved(one, design, width) for one in sections)


def moved_text(
    before: Sequence[Section], after: Sequence[Section], system: System
) -> tuple[str, ...]:
    """Return which folds were moved, and to where, in a sentence each."""
    pairs = [
        (old, new)
        for one, other in zip(before, after, strict=True)
        for old, new in ((one.lower, other.lower), (one.upper, other.upper))
    ]
    return tuple(
        f"Folded in {small_text(new, system)} deep instead of {small_text(old, system)}, so that "
        "the fold of the cloth lies on a dominant line or midway, and both layers show the design "
        "alike."
        for old, new in pairs
        if old is not None and new is not None and old != new
    )


def not_double_text(sections: Sequence[Section], design: Repeat | None) -> tuple[str, ...]:
    """Return why what has to match is not cut double on folded cloth; nothing where it may be."""
    folded = [one for one in sections if not one.is_open]
    if design is None or not folded:
        return ()
    if not design.even:
        why = "An uneven design runs the other way on the upper layer of folded cloth"
    elif any(one.crosswise for one in folded):
        why = "Folded crosswise, the two layers of a design need not meet"
    else:
        return ()
    return (f"{why}: what has to match is cut in one layer.",)


def _moved(section: Section, design: Repeat, width: float) -> Section:
    """Return one section with its folds moved."""
    lower, upper = section.lower, section.upper
    if section.crosswise or lower is None or upper is None:
        return section
    if lower:
        lower = _nearest(lower, design.first, design, width / 2.0 - upper)
    if upper:
        upper = _nearest(upper, width - design.first, design, width / 2.0 - lower)
    return replace(section, lower=lower, upper=upper)


def _nearest(depth: float, line: float, design: Repeat, most: float) -> float:
    """Return the depth nearest to one at which the fold is right, `most` mm at most.

    A dominant line is `line` mm from the selvedge that is folded in.
    """
    # Midway between two lines of a half-drop its rows change places.
    half = design.across if design.half_drop else design.across / 2.0
    step = (depth - line) / half
    if abs(step - round(step)) * half <= ALIKE:
        return depth
    fits = [
        line + count * half
        for count in range(math.floor(step) - 1, math.ceil(step) + 2)
        if LEAST <= line + count * half <= most + 1e-6
    ]
    return min(fits, key=lambda one: abs(one - depth), default=depth)
