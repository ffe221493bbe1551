# SPDX-License-Identifier: GPL-2.0-or-later
"""Where on folded cloth a part lies: in which section, and on how many layers."""

from __future__ import annotations

from dataclasses import dataclass

import shapely

from extension.drawn.lying import Lying, lies_wrong_side_up
from nesting.judge.zones import zones_of
from nesting.model import Sides

ROUNDING = 0.01
"""mm that numbers rounded by the editor can be off."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A section by its number, where it begins in the engine's frame, mm, and how many layers.

    `wrong_side_up`: the lower layer shows the wrong side of the cloth.
    """

    section: int = 1
    start: float = 0.0
    layers: int = 1
    wrong_side_up: bool = False


FLAT = Spot()
"""On plain cloth."""


def spot_of(lying: Lying, sides: Sides, area: shapely.Geometry, noted: int) -> Spot:
    """Return where an area lies that is in a section; `noted` is how many copies it says it cuts.

    It is cut from all layers of the zone that it lies in. Where it lies across two, as noted.
    """
    over = lies_wrong_side_up(lying.section, sides)
    layers = _layers(lying, area, noted)
    return Spot(lying.number, lying.start, layers, over)


def _layers(lying: Lying, area: shapely.Geometry, noted: int) -> int:
    """Return on how many layers an area lies."""
    zones = zones_of(lying.section, lying.width)
    within = [zone.layers for zone in zones if zone.left_by(area.bounds) <= ROUNDING]
    if within:
        return within[0]
    there = {zone.layers for zone in zones}
    wanted = 2 if noted == 2 else 1
    return wanted if wanted in there else there.pop()
