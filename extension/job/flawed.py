# SPDX-License-Identifier: GPL-2.0-or-later
"""What is said of the flaws of a layout's cloth: how many, where they lie, what lies over them."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from extension.job.lying_flaws import Layer, flaws_lying
from extension.job.options import LayOutOptions
from extension.job.plan import Plan
from extension.language.rounding import small_text
from extension.language.units import System
from extension.language.words import counted, listed
from nesting.judge.flaws import lying_over_flaws
from nesting.judge.unfolding import unfold
from nesting.model import Layout, Outline

MOST = 12
"""Parts that one sentence names."""


def flaw_lines(plan: Plan, options: LayOutOptions, layout: Layout) -> list[str]:
    """Return that the cloth has flaws, where folded cloth has them, and what lies over one."""
    fabric = plan.job.fabric
    if not fabric.flaws:
        return []
    there = _shown(options, layout)
    beside = _beside([flaw for flaw in fabric.flaws if flaw not in there], options)
    if not there:
        return beside
    count = counted(len(there), "flaw")
    them = "it" if len(there) == 1 else "them"
    over = _over_flaws(plan, layout)
    folded = [_where(options, layout)] if layout.sections else []
    if not over:
        return [f"{count} of the cloth, hatched on it: no part lies over {them}.", *folded, *beside]
    verb, what = ("lies", "a hidden piece") if len(over) == 1 else ("lie", "hidden pieces")
    return [
        f"{count} of the cloth, hatched on it: {listed(over, MOST)}, {what}, {verb} over {them}; "
        f"no other part does.",
        *folded,
        *beside,
    ]


def _shown(options: LayOutOptions, layout: Layout) -> list[Outline]:
    """Return the flaws that lie on the cloth as it is drawn, in part at least."""
    length = max(options.bought(layout.length).length, layout.length)
    cloth = shapely.box(0.0, 0.0, length, layout.width)
    if options.remnant is not None:
        cloth = options.remnant.cloth
    areas = [shapely.make_valid(shapely.Polygon(flaw)) for flaw in options.flaws]
    pairs = zip(options.flaws, areas, strict=True)
    return [flaw for flaw, area in pairs if shapely.intersection(area, cloth).area > 0.0]


def _beside(flaws: Sequence[Outline], options: LayOutOptions) -> list[str]:
    """Return that flaws lie beyond the cloth of a layout: measured wrongly, or not needed."""
    if not flaws:
        return []
    corners = [map(min, zip(*flaw, strict=True)) for flaw in flaws]
    places = listed(
        [", ".join(_signed(one, options.system) for one in corner) for corner in corners], MOST
    )
    begins, lies, they, them = (
        ("begins", "lies", "it", "it") if len(flaws) == 1 else ("begin", "lie", "they", "them")
    )
    ends = "lower selvedge" if options.remnant is None else "lower edge"
    begin = "cut end" if options.remnant is None else "left end"
    return [
        f"{counted(len(flaws), 'flaw')} {lies} beyond this cloth, so nothing was kept off {them}: "
        f"{they} {begins} at {places} from the {begin} and the {ends}."
    ]


def _signed(length: float, system: System) -> str:
    """Return a length that may be less than nothing."""
    return f"{'-' if length < 0.0 else ''}{small_text(abs(length), system)}"


def _where(options: LayOutOptions, layout: Layout) -> str:
    """Return in which layer each flaw comes to lie of what is used of folded cloth."""
    flaws, sides = options.flaws, options.sides
    found: dict[int, set[Layer]] = {}
    for number, section in enumerate(layout.sections, 1):
        end = section.length / 2.0 if section.crosswise else section.length
        for one in flaws_lying(flaws, layout.sections, number, layout.width, sides):
            if one.area.bounds[0] < end:
                found.setdefault(one.number, set()).add(one.layer)
    told = [
        f"the flaw at {_at(flaws[number - 1], options)} {_layers(where)}"
        for number, where in sorted(found.items())
    ]
    if not told:
        return "None lies on what is used of the folded cloth."
    turned = ", its right side up" if sides == "apart" else ""
    return (
        f"Counted from the cut end and the lower selvedge of the cloth before it is folded{turned}:"
        f" {listed(told, MOST)}."
    )


def _layers(where: set[Layer]) -> str:
    """Return in which layers a flaw lies."""
    folded = sorted(layer for layer in where if layer)
    single = ["where the cloth lies single"] if "" in where else []
    if len(folded) == 2:
        return listed(["in both layers", *single])
    return listed([*(f"in the {layer} layer" for layer in folded), *single])


def _at(flaw: Outline, options: LayOutOptions) -> str:
    """Return where a flaw begins."""
    x, y = (small_text(max(0.0, min(ends)), options.system) for ends in zip(*flaw, strict=True))
    return f"{x}, {y}"


def _over_flaws(plan: Plan, layout: Layout) -> list[str]:
    """Return how sentences name the parts that lie over a flaw, in the order of the pieces."""
    pieces = {piece.id: piece for piece in plan.job.pieces}
    flat = unfold(plan.job.fabric, pieces, layout.placements, layout.sections)
    parts = {part.part for part, _ in lying_over_flaws(flat.laid, plan.job.fabric)}
    placed = [layout.placements[part] for part in sorted(parts)]
    return [plan.cuts[spot.piece].label_of(spot.copies) for spot in placed]
