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

ALIKE = 0.25
"""mm by which a fold may be off: on the upper layer all is off by twice as much."""
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
    before: Sequence[Section], after: Sequence[Section], system: System, design: Repeat | None
) -> tuple[str, ...]:
    """Return which folds were moved for a design, and to where, in a sentence each."""
    where = "on a dominant line or midway"
    if design is not None and design.half_drop:
        where = "on a dominant line (midway the rows of a half-drop change places)"
    pairs = [
        (old, new)
        for one, other in zip(before, after, strict=True)
        for old, new in ((one.lower, other.lower), (one.upper, other.upper))
    ]
    return tuple(
        f"Folded in {small_text(new, system)} deep instead of {small_text(old, system)}, so that "
        f"the fold of the cloth lies {where}, and both layers show the design alike."
        for old, new in pairs
        if old is not None and new is not None and old != new
    )


def not_double_text(
    sections: Sequence[Section], design: Repeat | None, width: float
) -> tuple[str, ...]:
    """Return why what has to match is not cut double on folded cloth; nothing where it may be.

    `sections` are as they lie, with their folds moved; the cloth is `width` mm wide.
    """
    folded = [one for one in sections if not one.is_open]
    if design is None or not folded:
        return ()
    if not design.even:
        why = "An uneven design runs the other way on the upper layer of folded cloth"
    elif any(one.crosswise for one in folded):
        why = "Folded crosswise, the two layers of a design need not meet"
    elif any(_is_off(one, design, width) for one in folded):
        where = "No dominant line" if design.half_drop else "Neither a dominant line nor midway"
        why = f"{where} is where the cloth could be folded so, so that its layers do not meet"
    else:
        return ()
    return (f"{why}: what has to match is cut in one layer.",)


def _is_off(section: Section, design: Repeat, width: float) -> bool:
    """Return whether a fold of a section lies where its two layers do not show a design alike."""
    if not design.across:
        return False
    lines = design.first, width - design.first
    return any(
        depth is not None and depth > 0.0 and _off(depth, line, design) > ALIKE
        for depth, line in zip(section.depths, lines, strict=True)
    )


def _off(depth: float, line: float, design: Repeat) -> float:
    """Return how far a fold is from the nearest place at which it is right, mm."""
    step = _step(design)
    return abs(depth - line - step * round((depth - line) / step))


def _step(design: Repeat) -> float:
    """Return how far apart the right places of a fold are, mm.

    Midway between two lines of a half-drop its rows change places.
    """
    return design.across if design.half_drop else design.across / 2.0


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
    if _off(depth, line, design) <= ALIKE:
        return depth
    half = _step(design)
    step = (depth - line) / half
    fits = [
        line + count * half
        for count in range(math.floor(step) - 1, math.ceil(step) + 2)
        if LEAST <= line + count * half <= most + 1e-6
    ]
    return min(fits, key=lambda one: abs(one - depth), default=depth)
