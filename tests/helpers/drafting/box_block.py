# SPDX-License-Identifier: GPL-2.0-or-later
"""Block of a boxy top with dropped shoulders: halves of the body, and a sleeve set into them.

Side seams of front and back are the same curve, so that stripes that match at one notch run on over
the whole of the seam. The same goes for the shoulder.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from tests.helpers.drafting.curves import (
    Chain,
    length,
    line,
    moved,
    named,
    smooth,
    sweep,
    trued,
)


@dataclass(frozen=True)
class Block:
    """Measures in mm of half a top; its centre is at x = 0, y = 0 is the neck at the shoulder."""

    neck: float
    """Half the width of the neck."""
    shoulder: float
    """How far the shoulder goes out from the neck."""
    slope: float
    """How far it falls on the way."""
    chest: float
    """A quarter of the chest with its ease."""
    underarm: float
    """How deep the armhole is."""
    long: float
    """From the neck at the shoulder to the hem."""
    cap: float
    """How high the cap of the sleeve is."""
    sleeve: float
    """How long the sleeve is below its cap."""
    wrist: float
    """Half the width of the hem of the sleeve."""

    @cached_property
    def side(self) -> Chain:
        """The side seam from the underarm to the hem, a little narrower at the waist."""
        start, end = complex(self.chest, self.underarm), complex(self.chest + 9, self.long)
        middle = start + 0.45 * (end - start) - 8
        return smooth("side", (start, middle, end), 95.0, 85.0)

    def half(self, depth: float, edge: float = 0.0) -> Chain:
        """Return half a body with a neck `depth` mm deep, its centre edge `edge` mm beyond x = 0.

        That edge is named `fold` where it is the centre, else `edge`.
        """
        neck_point = complex(self.neck, 0)
        tip = neck_point + complex(self.shoulder, self.slope)
        foot, top = complex(-edge, self.long), complex(-edge, depth)
        centre = complex(0, depth)
        beyond = (line("edge neck", top, centre),) if edge else ()
        return (
            *beyond,
            sweep("neck", centre, 0.0, neck_point, 282.0 if depth > 40.0 else 310.0),
            line("shoulder", neck_point, tip),
            sweep("armhole", tip, 100.0, self.side[0].start, 55.0),
            *self.side,
            line("hem", self.side[-1].end, foot),
            line("edge" if edge else "fold", foot, top),
        )

    @property
    def armhole(self) -> float:
        """The armhole of one half, mm: it is the same in front and behind."""
        return length(named(self.half(20.0), "armhole"))

    @cached_property
    def arm(self) -> Chain:
        """A sleeve, its front half to the left, the cap as long as both armholes and 6 mm."""

        def half_cap(wide: float) -> Chain:
            return (sweep("cap", 0j, 8.0, complex(wide, self.cap), 48.0),)

        wanted = self.armhole + 3.0
        wide = trued(lambda value: length(half_cap(value)), wanted, 20.0, wanted)
        right = half_cap(wide)
        left = moved(right, lambda point: -point.conjugate())
        underarm, hem = right[0].end, complex(self.wrist, self.cap + self.sleeve)
        return (
            *right,
            line("underarm", underarm, hem),
            line("hem", hem, -hem.conjugate()),
            line("underarm", -hem.conjugate(), left[0].end),
            sweep("cap", left[0].end, 312.0, 0j, 352.0),
        )
