# SPDX-License-Identifier: GPL-2.0-or-later
"""What is laid and cut on each section of folded cloth, in working order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from extension.job.options import LayOutOptions
from extension.job.plan import Plan
from extension.language.spreads import ON_FOLD, THROUGH_BOTH, spread_name
from extension.language.words import listed
from extension.language.working_order import lay_text, lies_text
from nesting.cloth.repeats import matches_along
from nesting.model import LaidSection, Layout, Placement, Section

MOST = 12
"""Pieces that are named for one way to lie."""


def cloth_text(plan: Plan, options: LayOutOptions, layout: Layout) -> str:
    """Return how the cloth of a layout lies, in a sentence."""
    fabric = plan.job.fabric
    sections: Sequence[Section] = layout.sections
    return lies_text(sections, layout.width, fabric.sides, options.system)


def working_order(plan: Plan, options: LayOutOptions, layout: Layout) -> tuple[str, ...]:
    """Return what to do with the cloth of a layout, a sentence for each section on which parts lie.

    Nothing for cloth that lies open all over; where it was to be folded, that it came to lie so.
    """
    fabric, done = plan.job.fabric, 0
    if not layout.sections:
        return ()
    if all(section.is_open or not section.length for section in layout.sections):
        asked = [one for one in fabric.sections if not one.is_open]
        if not asked:
            return ()
        words = spread_name(asked[0], layout.width, options.system)
        return (
            f"Cloth {words} was asked for, but no part came to lie there: all of it lies open.",
        )
    told = []
    for number, section in enumerate(layout.sections, start=1):
        own = [one for one in layout.placements if one.section == number]
        if not own:
            continue
        order = lay_text(
            section,
            layout.width,
            fabric.sides,
            options.system,
            is_rest=done > 0,
            on_line=any(matches_along(fabric.repeat, plan.cuts[one.piece].piece) for one in own),
        )
        told.append(f"{order}; lay and cut {_parts_text(plan, section, own)}.")
        done += 1
    return tuple(told)


def cuts_text(layout: Layout) -> str:
    """Return into how many outlines folding makes the parts, "" where each is cut by itself."""
    parts = sum(len(one.copies) for one in layout.placements)
    if parts == len(layout.placements):
        return ""
    return f"{len(layout.placements)} outlines to cut, since what lies on two layers is cut once"


def _parts_text(plan: Plan, section: LaidSection, own: Sequence[Placement]) -> str:
    """Return what is cut of a section, by how it lies: `on the fold of the cloth: Back; ...`."""
    if section.is_open:
        return _named(plan, own)
    ways = (
        (ON_FOLD, [one for one in own if one.on_fold]),
        (THROUGH_BOTH, [one for one in own if one.layers > 1]),
        ("on one layer", [one for one in own if one.layers == 1 and not one.on_fold]),
    )
    return "; ".join(f"{words}: {_named(plan, some)}" for words, some in ways if some)


def _named(plan: Plan, own: Sequence[Placement]) -> str:
    """Return the pieces of some placements, each with how often it is cut: `Strap (2 times)`."""
    counts = Counter(plan.cuts[one.piece].title for one in own)
    names = [name if count == 1 else f"{name} ({count} times)" for name, count in counts.items()]
    return listed(names, MOST)
