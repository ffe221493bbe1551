# SPDX-License-Identifier: GPL-2.0-or-later
"""Whether the outline of a piece of cloth can be one, and where its cloth ends."""

from __future__ import annotations

from collections.abc import Iterator

from nesting.cloth.remnant import free_area, usable
from nesting.cloth.rooms import FIT_TOLERANCE
from nesting.jobs.outlines import clean_outline, points_faults, shape_faults
from nesting.jobs.values import is_list
from nesting.judge.verdict import capital
from nesting.model import Fabric

MOST_HOLES = 200
LEAST = 1.0
"""mm2 of cloth below which nothing can be laid on it."""


def remnant_faults(fabric: Fabric, *, is_plain: bool, is_sized: bool) -> Iterator[str]:
    """Yield what is wrong with the outline of the cloth and its holes.

    `is_plain`: it lies open and has no repeat; `is_sized`: its width and length are right.
    """
    if not is_list(fabric.outline) or not is_list(fabric.holes) or len(fabric.holes) > MOST_HOLES:
        yield (
            f"The outline of the cloth must be a list of points, and its holes a list of at most "
            f"{MOST_HOLES} outlines."
        )
        return
    if len(fabric.outline) == 0:
        if len(fabric.holes):
            yield (
                "Holes belong to cloth with an outline of its own: give the fabric its outline, "
                "or call them flaws."
            )
        return
    faults: list[str] = []
    outlines = [("the outline of the cloth", fabric.outline)]
    outlines += [(f"the outline of hole {n}", hole) for n, hole in enumerate(fabric.holes, 1)]
    for what, outline in outlines:
        wrong = list(points_faults(what, outline, 3))
        faults += wrong or shape_faults(capital(what), clean_outline(outline), "remnant")
    yield from faults
    if not is_plain:
        yield (
            "A remnant of an outline of its own is known of cloth that lies open in one layer and "
            "has no repeat: lay it open, or leave the outline out."
        )
    elif not faults and is_sized:
        yield from _size_faults(fabric)


def _size_faults(fabric: Fabric) -> Iterator[str]:
    """Yield what is wrong between an outline and the sizes of its cloth."""
    xs, ys = zip(*clean_outline(fabric.outline), strict=True)
    length = max(xs) if fabric.length is None else fabric.length
    over = max(-min(xs), -min(ys), max(xs) - length, max(ys) - fabric.width)
    if over > FIT_TOLERANCE:
        yield (
            f"The outline of the cloth reaches {over:g} mm beyond its length or width: move it so "
            "that both begin at 0, or make the fabric larger."
        )
    elif free_area(usable(fabric)) < LEAST:
        yield (
            f"The holes and the edge margin of {fabric.edge_margin:g} mm leave nothing of the "
            "cloth: make them smaller."
        )


def end_of(fabric: Fabric) -> float | None:
    """Return where the cloth ends, mm; one with an outline of its own has an end."""
    if fabric.length is not None:
        return float(fabric.length)
    return max((float(x) for x, _ in fabric.outline), default=None)
