# SPDX-License-Identifier: GPL-2.0-or-later
"""Where a part may lie: a room of positions along the cloth and across it.

Every search, the settling, the programs and the first layout ask for a part's room and for nothing
else: none of them knows the width of the cloth. A room is what the cloth leaves of the positions of
a shape, narrowed by what its part has of its own (a zone, a line, a repeat of the cloth's design).
All in mm, in the frame of a placement's (x, y); x runs along the cloth.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from nesting.model import Fabric

FIT_TOLERANCE = 1e-6
"""mm by which a part may exceed the fabric before it counts as too wide: rounding, not cloth."""
ON_STEP = 1e-7
"""mm within which a position is one of the steps of its axis."""

Corner = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Axis:
    """Positions from `low` to `high`; with a `period` only those at `phase` plus whole periods.

    It is empty when `low` is above `high`, or no step lies between them.
    """

    low: float = -math.inf
    high: float = math.inf
    period: float = 0.0
    phase: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a period that is no length: ValueError."""
        if not 0.0 <= self.period < math.inf or not math.isfinite(self.phase):
            raise ValueError(f"no period and phase of an axis: {self.period}, {self.phase}")

    def at_least(self, position: float) -> float:
        """Return the least position of the axis that is not below one; inf when there is none."""
        found = max(self.low, position)
        if self.period:
            steps = math.ceil((found - self.phase - ON_STEP) / self.period)
            found = self.phase + steps * self.period
        return found if found <= self.high + ON_STEP else math.inf

    def at_most(self, position: float) -> float:
        """Return the greatest position of the axis that is not above one; -inf without any."""
        found = min(self.high, position)
        if self.period:
            steps = math.floor((found - self.phase + ON_STEP) / self.period)
            found = self.phase + steps * self.period
        return found if found >= self.low - ON_STEP else -math.inf

    def nearest(self, position: float) -> float:
        """Return the position of the axis nearest to one; `position` itself when it is empty."""
        if not self.period:
            # The low end counts where rounding has put the ends the wrong way round.
            return min(max(self.low, position), max(self.low, self.high))
        near = [self.at_least(position), self.at_most(position)]
        found = [one for one in near if math.isfinite(one)]
        return min(found, key=lambda one: abs(one - position), default=position)

    def way_down(self, position: float, way: float) -> float:
        """Return the greatest way, at most `way`, that can be gone down from a position."""
        if not self.period:
            return way
        return max(0.0, position - self.at_least(position - way))

    def meet(self, other: Axis) -> Axis:
        """Return the positions of both. Raises ValueError when both have a period."""
        if self.period and other.period:
            raise ValueError("two periods on one axis")
        steps = self if self.period else other
        low, high = max(self.low, other.low), min(self.high, other.high)
        if low > high >= low - ON_STEP:  # one position, but for rounding
            high = low
        return Axis(low, high, steps.period, steps.phase)


ANYWHERE = Axis()


@dataclass(frozen=True, slots=True)
class Room:
    """The positions that a part may take in one of its shapes."""

    along: Axis = ANYWHERE
    across: Axis = ANYWHERE

    @property
    def axes(self) -> tuple[Axis, Axis]:
        """The two axes, that of x first."""
        return self.along, self.across

    @property
    def is_free(self) -> bool:
        """Whether it has no steps: then it is a box."""
        return not (self.along.period or self.across.period)

    def meet(self, other: Room) -> Room:
        """Return the positions of both."""
        return Room(self.along.meet(other.along), self.across.meet(other.across))


WHOLE = Room()
"""What does not narrow a room."""


def span_across(fabric: Fabric) -> float:
    """Return how much of the width, mm, parts may lie on: what the edge margins leave."""
    return fabric.width - 2.0 * fabric.edge_margin


def span_along(fabric: Fabric, length: float) -> float:
    """Return how much of a length of cloth, mm, parts may lie on: what the edge margins leave."""
    return length - 2.0 * fabric.edge_margin


def on_cloth(fabric: Fabric, low: Corner, high: Corner, length: float) -> Room:
    """Return the positions that keep a shape on cloth of a length, its edge margins left free.

    `low` and `high` are the corners of the shape's bounding box before it is moved. An axis is
    empty when the shape is longer, or wider, than the cloth by more than rounding.
    """
    margin = fabric.edge_margin
    x_low, y_low = margin - low[0], margin - low[1]
    x_high = length - margin - high[0]
    y_high = fabric.width - margin - high[1]
    if x_low > x_high >= x_low - FIT_TOLERANCE:
        x_high = x_low
    if y_low > y_high >= y_low - FIT_TOLERANCE:
        y_high = y_low
    return Room(Axis(x_low, x_high), Axis(y_low, y_high))
