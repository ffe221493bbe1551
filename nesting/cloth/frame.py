# SPDX-License-Identifier: GPL-2.0-or-later
"""One frame between where parts lie on the cloth and what grids and programs move.

A spot is the (x, y) of a placement; grids and programs move the low corner of a part's box, counted
from where the edge margins end, in mm. Grids measure corners in cells (`nesting.grid.maps.Grid`),
the programs in shares of the width (`nesting.press.compaction.Press`), each from these mm.
"""

from __future__ import annotations

import math

from nesting.cloth.problem import Part, Problem, Spot, room_of
from nesting.cloth.rooms import Axis, Corner, Room, span_across, span_along

ROUNDING = 1e-9
"""mm within which an end of a room is the edge of the cloth itself."""


class Frame:
    """The frame of one problem."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self._margin = problem.fabric.edge_margin

    @property
    def across(self) -> float:
        """The room across the cloth, mm."""
        return span_across(self.problem.fabric)

    def along(self, length: float) -> float:
        """Return the room along a length of cloth, mm."""
        return span_along(self.problem.fabric, length)

    def corner(self, spot: Spot) -> Corner:
        """Return the low corner of what lies at a spot, mm."""
        low = self.problem.shapes[spot.shape].low
        return spot.x + low[0] - self._margin, spot.y + low[1] - self._margin

    def spot(self, part: Part, shape: int, corner: Corner) -> Spot:
        """Return the spot of a part's shape by its low corner, within the room of the part.

        Rounding must not carry a part over an edge of the cloth, or off a step of its room.
        """
        room, low = room_of(self.problem, part, shape, math.inf), self.problem.shapes[shape].low
        x = room.along.nearest(corner[0] + self._margin - low[0])
        y = room.across.nearest(corner[1] + self._margin - low[1])
        return Spot(shape, float(x), float(y))

    def room(self, part: Part, shape: int) -> Room:
        """Return where the low corner of a part's shape may lie on cloth of any length.

        Where that is up to an edge of the cloth it ends exactly at 0, or as far before the other
        edge as the shape is wide.
        """
        room, lying = room_of(self.problem, part, shape, math.inf), self.problem.shapes[shape]
        edges = (math.inf, self.across - lying.size[1])
        axes = [
            _shifted(axis, low - self._margin, edge)
            for axis, low, edge in zip(room.axes, lying.low, edges, strict=True)
        ]
        return Room(axes[0], axes[1])


def _shifted(axis: Axis, by: float, edge: float) -> Axis:
    """Return an axis moved, its ends put on the edges of the cloth where they are there."""
    low, high = axis.low + by, axis.high + by
    low = 0.0 if abs(low) < ROUNDING else low
    high = edge if abs(high - edge) < ROUNDING else high
    return Axis(low, high, axis.period, axis.phase + by)
