# SPDX-License-Identifier: GPL-2.0-or-later
"""A remnant that parts are laid on: its outline in the frame of the cloth, and its name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import shapely

from extension.language.errors import OptionError
from extension.language.rounding import at_least_text
from extension.language.units import System
from nesting.model import Outline

SQUARE_METRE = 1e6
"""mm2."""
SQUARE_YARD = 914.4**2
"""mm2 (international yard and pound agreement of 1959: a yard is 0.9144 m)."""
OPEN_ALONE = (
    "A remnant is laid open, without a design that is matched: choose “open” for how the cloth "
    "lies and no repeat, or lay the pieces on cloth from the bolt."
)


@dataclass(frozen=True, slots=True)
class Remnant:
    """A piece of cloth that was drawn: `id` of the drawing and name, outline and holes.

    In mm, x along the cloth from the leftmost point, y across it from the lowest one.
    """

    id: str
    name: str
    outline: Outline
    holes: tuple[Outline, ...] = ()

    @property
    def length(self) -> float:
        """How long it is at its longest, mm."""
        return max(x for x, _ in self.outline)

    @property
    def width(self) -> float:
        """How wide it is at its widest, mm."""
        return max(y for _, y in self.outline)

    @property
    def cloth(self) -> shapely.Geometry:
        """Where there is cloth."""
        whole = shapely.make_valid(shapely.Polygon(self.outline))
        holes = [shapely.make_valid(shapely.Polygon(hole)) for hole in self.holes]
        return shapely.difference(whole, shapely.union_all(holes)) if holes else whole

    def between(self, low: float, high: float) -> shapely.Geometry:
        """Return what of it lies between two lines across it, mm."""
        return shapely.intersection(self.cloth, shapely.box(0.0, low, self.length, high))

    @property
    def area(self) -> float:
        """How much cloth it is, mm2."""
        return float(self.cloth.area)

    @property
    def title(self) -> str:
        """What sentences call it."""
        return f"remnant “{self.name or self.id}”"


def stored_remnant(values: Mapping[str, Any] | None) -> Remnant | None:
    """Return a remnant that is stored as plain values. Raises ValueError, TypeError, KeyError."""
    if values is None:
        return None
    holes = tuple(_outline(hole) for hole in values["holes"])
    return Remnant(str(values["id"]), str(values["name"]), _outline(values["outline"]), holes)


def _outline(points: Sequence[Sequence[float]]) -> Outline:
    return tuple((float(x), float(y)) for x, y in points)


def check_remnant(remnant: Remnant | None, is_open: bool, design: str) -> None:
    """Raise OptionError for a remnant that is folded, or has a design to be heeded."""
    if remnant is not None and (design or not is_open):
        raise OptionError(OPEN_ALONE)


def remnant_text(remnant: Remnant, system: System) -> str:
    """Return what a remnant is, and from where things are measured on it."""
    long, wide = (at_least_text(size, system) for size in (remnant.length, remnant.width))
    size = f"{long} long and {wide} wide at most, {area_text(remnant.area, system)} of cloth"
    return (
        f"On {remnant.title}, {size}. Its grain runs from left to right. Measured from the dashed "
        "frame that it just fits in."
    )


def area_text(area: float, system: System) -> str:
    """Return an area, mm2, in square metres or square yards: `0.21 m²`."""
    metric = system == "metric"
    return f"{area / (SQUARE_METRE if metric else SQUARE_YARD):.2g} {'m²' if metric else 'sq yd'}"
