# SPDX-License-Identifier: GPL-2.0-or-later
"""The judge's rule "zone": where on folded cloth a part may lie.

Seen from above a section has up to three zones across: two layers, one, two. A part through two
layers lies wholly in a zone of two, a part on one layer wholly in a zone of one; a half laid on a
fold has its fold edge exactly there, and the rest of it on that fold's two layers. At an edge of
the cloth itself, a selvedge, a zone has no end: to lie beyond that is "off the cloth".
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from nesting.judge.outlines import EDGE_SLACK, FIGURES, Laid, fold_edge
from nesting.judge.verdict import Violation, capital, figure, keys_of, numbers
from nesting.model import Fabric, Layout, Piece, Placement, Section

ZONE = "zone"
"""Name of the rule; its row is in `rules`."""

Bounds = Sequence[float]
"""Of an outline: least x, least y, largest x, largest y, mm."""


@dataclass(frozen=True, slots=True)
class Zone:
    """A strip of a section: how many layers it has, and where it begins and ends, mm in y.

    `fold` is the y of the fold that joins its two layers; None for one layer, and where the cloth
    is folded crosswise.
    """

    layers: int
    low: float
    high: float
    fold: float | None = None

    def left_by(self, bounds: Bounds) -> float:
        """Return by how many mm an outline leaves the zone, less than 0 inside of it."""
        return max(self.low - bounds[1], bounds[3] - self.high)


def is_known(section: Section) -> bool:
    """Return whether it is known how deep a section is folded."""
    return all(depth is not None and math.isfinite(depth) for depth in section.depths)


def zones_of(section: Section, width: float) -> list[Zone]:
    """Return the zones across a section whose depths are known, from the lower selvedge up."""
    if section.crosswise:
        return [Zone(2, -math.inf, math.inf)]
    lower, upper = section.lower or 0.0, section.upper or 0.0
    inner, outer = 2.0 * lower, width - 2.0 * upper
    zones = []
    if lower > 0.0:
        high = math.inf if inner >= width - EDGE_SLACK else inner
        zones.append(Zone(2, lower, high, lower))
    if outer - inner > EDGE_SLACK:
        low = inner if lower > 0.0 else -math.inf
        zones.append(Zone(1, low, outer if upper > 0.0 else math.inf))
    if upper > 0.0:
        low = -math.inf if outer <= EDGE_SLACK else outer
        zones.append(Zone(2, low, width - upper, width - upper))
    return zones


def zone_of(section: Section, width: float, bounds: Bounds, layers: int) -> Zone | None:
    """Return the zone of so many layers that an outline leaves least, None without any."""
    zones = [zone for zone in zones_of(section, width) if zone.layers == layers]
    return min(zones, key=lambda zone: zone.left_by(bounds), default=None)


# --- the rule -----------------------------------------------------------------------------------


def off_section(spot: Placement, count: int) -> Violation:
    """Return the violation of a part in a section that the cloth does not have."""
    there = "there is only section 1" if count == 1 else f"there are only {count}"
    sentence = (
        f"Copy {numbers(spot.copies)} of piece “{spot.piece}” lies in section {spot.section} of "
        f"the cloth, but {there}: lay it in one that is there."
    )
    return Violation(ZONE, keys_of(spot), math.inf, sentence)


def stray(
    section: Section, width: float, piece: Piece | None, spot: Placement, laid: Laid
) -> Violation | None:
    """Return how a part breaks the rule, by its outline on the table; None when it does not.

    Of a section that is folded nobody yet knows how deep nothing is said.
    """
    if not is_known(section):
        return None
    told = _half if spot.on_fold else _full
    amount, sentence = told(zones_of(section, width), piece, spot, laid)
    if amount <= EDGE_SLACK:
        return None
    return Violation(ZONE, keys_of(spot), amount, sentence)


def _full(zones: Sequence[Zone], _: Piece | None, spot: Placement, laid: Laid) -> tuple[float, str]:
    """Return by how much a part leaves the zone where it may lie, and the words for it."""
    bounds = laid.polygon.bounds
    fitting = [zone for zone in zones if zone.layers == spot.layers]
    if not fitting:
        return math.inf, f"{capital(laid.label)} {_amiss(spot)}."
    zone = min(fitting, key=lambda one: one.left_by(bounds))
    amount = zone.left_by(bounds)
    edge = zone.low if zone.low - bounds[1] == amount else zone.high
    reach = f"{capital(laid.label)} reaches {figure(amount)} mm"
    if zone.layers == 1:
        return amount, (
            f"{reach} into where the cloth lies double, but is cut on one layer: move it to where "
            "the cloth lies single."
        )
    if edge == zone.fold:
        return amount, f"{reach} across the fold of the cloth: move it off the fold."
    return amount, (
        f"{reach} over the edge of the upper layer, but is cut through both: move it to where the "
        "cloth lies double."
    )


def _amiss(spot: Placement) -> str:
    """Return what is wrong with a part for whose layers there is no zone, and the remedy."""
    where = f"section {spot.section} of the cloth"
    if spot.layers == 2:
        return f"is laid through two layers, but {where} lies open: lay it on one layer"
    if spot.layers == 1:
        return (
            f"is laid on one layer, but {where} lies double all over: lay it where the cloth lies "
            "single"
        )
    return f"is laid through {spot.layers} layers, which {where} does not have: lay it again"


def _half(
    zones: Sequence[Zone], piece: Piece | None, spot: Placement, laid: Laid
) -> tuple[float, str]:
    """Return by how much a half misses the fold or its two layers, and the words for it."""
    edge = None if piece is None else fold_edge(piece, spot)
    who = capital(laid.label)
    if edge is None:
        return math.inf, f"{who} is laid on a fold, but has no fold edge: lay it whole."
    if spot.layers != 1:
        return math.inf, (
            f"{who} is laid on a fold, where one copy is cut, but is to cut {spot.layers}: lay "
            "each by itself."
        )
    folded = [(zone.fold, zone) for zone in zones if zone.fold is not None]
    if not folded:
        return math.inf, (
            f"{who} is laid on a fold, but section {spot.section} of the cloth has none that runs "
            "lengthwise: lay it whole."
        )
    away, fold, zone = min((float(abs(edge - fold).max()), fold, zone) for fold, zone in folded)
    if away > EDGE_SLACK:
        return away, (
            f"The fold edge of {laid.label} lies {figure(away)} mm off the fold of the cloth: "
            "move it exactly onto the fold."
        )
    _, low, _, high = laid.polygon.bounds
    reach = high - zone.high if fold == zone.low else zone.low - low
    return reach, (
        f"{who} reaches {figure(reach)} mm over the edge of the upper layer: fold the cloth "
        "deeper, or lay it whole."
    )


# --- what a layout says of its sections ---------------------------------------------------------


def sections_of(fabric: Fabric, layout: Layout | None) -> Sequence[Section]:
    """Return how the cloth of a layout lies: as it says, where that can be what was asked for."""
    if layout is None or len(layout.sections) != len(fabric.sections):
        return fabric.sections
    return layout.sections


def untrue_sections(fabric: Fabric, layout: Layout) -> list[Violation]:
    """Rule "length": the sections of a layout are those that were asked for, their depths known."""
    if not layout.sections and fabric.is_plain:
        return []
    asked, said = fabric.sections, layout.sections
    if len(asked) != len(said):
        sentence = (
            f"The layout states {len(said)} sections of the cloth, but {len(asked)} were asked for."
        )
        return [Violation(FIGURES, (), float(abs(len(asked) - len(said))), sentence)]
    return [
        Violation(
            FIGURES,
            (),
            math.inf,
            f"The layout states that section {number} of the cloth {_spread(one)}, but it was to "
            f"lie as one that {_spread(wanted)}.",
        )
        for number, (one, wanted) in enumerate(zip(said, asked, strict=True), 1)
        if not _is_as_asked(one, wanted, fabric.width)
    ]


def _is_as_asked(said: Section, asked: Section, width: float) -> bool:
    """Return whether a section lies as it was asked for and as cloth can lie."""
    depths = [math.nan if depth is None else depth for depth in said.depths]
    return (
        (said.crosswise, said.turned) == (asked.crosswise, asked.turned)
        and all(
            depth >= 0.0 if wanted is None else abs(depth - wanted) <= EDGE_SLACK
            for depth, wanted in zip(depths, asked.depths, strict=True)
        )
        and 2.0 * sum(depths) <= width + EDGE_SLACK
    )


def _spread(section: Section) -> str:
    """Return how a section lies, in words."""
    if section.crosswise:
        round_ = " with its upper layer turned round" if section.turned else ""
        return f"is folded crosswise{round_}"
    if section.is_open:
        return "lies open"
    deep = ["as deep as is best" if depth is None else figure(depth) for depth in section.depths]
    return f"is folded in by {deep[0]} and {deep[1]} mm"
