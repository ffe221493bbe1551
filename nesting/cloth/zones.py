# SPDX-License-Identifier: GPL-2.0-or-later
"""The zones of a section of folded cloth: strips along it of one layer or of two.

Seen from above the table reaches from `lower` to width - `upper`; y is measured on the lower layer
as if that were spread out. What is cut through two layers keeps half the gap from the fold of the
cloth, since its other copy lies as far on the other side; what is drawn on the fold lies on it.
"""

from __future__ import annotations

from dataclasses import dataclass

from nesting.cloth.rooms import FIT_TOLERANCE
from nesting.model import Fabric, Section

Kind = tuple[int, bool, bool, int]
"""The layers of a zone, whether there is a fold, whether that is on its low side, and the row."""


@dataclass(frozen=True, slots=True)
class Zone:
    """A strip in which outlines may lie from `low` to `high`, mm.

    `fold` is where the fold of the cloth is, if the strip has one, and `from_low` whether that is
    its low side. A half-drop has two kinds of rows of repeats: `row` says which match points take.
    """

    low: float
    high: float
    layers: int
    fold: float | None = None
    from_low: bool = True
    row: int = 0

    @property
    def kind(self) -> Kind:
        """What tells it from the other zones of its section."""
        return self.layers, self.fold is not None, self.from_low, self.row

    @property
    def half_room(self) -> tuple[float, float]:
        """From where to where a half that lies on the fold may reach, mm."""
        assert self.fold is not None
        return (self.fold, self.high) if self.from_low else (self.low, self.fold)


def zones_of(fabric: Fabric, section: Section) -> tuple[Zone, ...]:
    """Return the zones of a section whose depths are known, from the lower selvedge up."""
    width, margin, apart = fabric.width, fabric.edge_margin, fabric.gap / 2.0
    lower, upper = known_depths(section)
    if section.crosswise:
        return (Zone(margin, width - margin, 2),)
    zones = []
    if lower > 0.0:
        zones.append(Zone(lower + apart, 2.0 * lower - margin, 2, lower))
    low = 2.0 * lower if lower > 0.0 else margin
    high = width - 2.0 * upper if upper > 0.0 else width - margin
    if high - low > FIT_TOLERANCE:
        zones.append(Zone(low, high, 1))
    if upper > 0.0:
        fold = width - upper
        zones.append(Zone(width - 2.0 * upper + margin, fold - apart, 2, fold, False))
    return tuple(zones)


def known_depths(section: Section) -> tuple[float, float]:
    """Return how deep a section is folded in, mm, whose depths have been chosen."""
    assert section.lower is not None
    assert section.upper is not None
    return section.lower, section.upper
