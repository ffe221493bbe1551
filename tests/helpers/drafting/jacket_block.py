# SPDX-License-Identifier: GPL-2.0-or-later
"""The block of the child's jacket: its seams, before they are cut into pieces.

The front is drawn with its front edge at the left and its side seam at the right, like the back.
"""

from __future__ import annotations

import cmath
import math
from functools import cache

from tests.helpers.drafting.curves import (
    Chain,
    Edge,
    length,
    line,
    named,
    rounded,
    smooth,
    split,
    sweep,
    towards,
    trued,
)
from tests.helpers.drafting.sleeve import Sleeve, two_piece_sleeve

LENGTH = 420.0
DEPTH = 178.0
"""Depth of the armhole below the nape."""
SIDE = complex(9, LENGTH - DEPTH)
"""From the underarm to the hem: equal on front and back, so that the side seams match."""
SHOULDER = 90.0
SHOULDER_EASE = 4.0
"""The back shoulder is eased onto the front one."""
FACING = 50.0
"""Width of the facings at the shoulder."""
FACING_SHARE = 0.88
"""Where along the hem, from the side seam, the front facing ends."""
EXTENSION = 24.0
"""From the centre front to the front edge, for the buttons."""
PLEAT = 12.0
"""Ease pleat in the centre back of the lining."""
COLLAR = 66.0
"""Depth of the collar at the centre back."""
SLEEVE_EASE = 16.0
SHOULDER_SLOPE = 21.0

BACK_NECK = 62 - 20j
FRONT_NECK = 60 - 20j
FRONT_EDGE = complex(-EXTENSION, 66)


@cache
def back_seam() -> Chain:
    """Half the back, centre back on the fold at x = 0, nape at y = 0."""
    tip = BACK_NECK + (SHOULDER + SHOULDER_EASE) * towards(SHOULDER_SLOPE)
    underarm = complex(182, DEPTH)
    hem = underarm + SIDE
    return (
        sweep("neck", 0j, 0.0, BACK_NECK, 285.0),
        line("shoulder", BACK_NECK, tip),
        *smooth("armhole", (tip, 143 + 96j, underarm), 100.0, 5.0),
        sweep("side", underarm, 97.0, hem, 80.0),
        sweep("hem", hem, 176.0, complex(0, LENGTH + 4), 180.0),
        line("fold", complex(0, LENGTH + 4), 0j),
    )


@cache
def front_seam() -> Chain:
    """The front, centre front at x = 0; its lower front corner is rounded."""
    tip = FRONT_NECK + SHOULDER * towards(SHOULDER_SLOPE)
    underarm = complex(186, DEPTH)
    hem = underarm + SIDE
    bottom = complex(-EXTENSION, LENGTH + 8)
    corner = rounded("front-edge", bottom, bottom + 150, FRONT_EDGE, 70.0)
    return (
        *smooth("neck", (FRONT_EDGE, complex(6, 58), FRONT_NECK), -4.0, 283.0),
        line("shoulder", FRONT_NECK, tip),
        *smooth("armhole", (tip, 133 + 100j, underarm), 104.0, 2.0),
        sweep("side", underarm, 97.0, hem, 80.0),
        sweep("hem", hem, 176.0, corner.start, 180.0),
        corner,
        line("front-edge", corner.end, FRONT_EDGE),
    )


@cache
def facing_line() -> Chain:
    """The inner edge of the front facing, from shoulder to hem; the lining is sewn to it."""
    top = FRONT_NECK + FACING * towards(SHOULDER_SLOPE)
    return (sweep("facing", top, 104.0, facing_hem(), 92.0, 1.05),)


@cache
def back_facing_line() -> Chain:
    """The lower edge of the back neck facing, from the fold to the shoulder."""
    end = BACK_NECK + FACING * towards(SHOULDER_SLOPE)
    return (sweep("facing", complex(0, FACING + 4), 0.0, end, 285.0),)


def facing_hem() -> complex:
    """Where the facing meets the hem of the front."""
    hem = named(front_seam(), "hem")[0]
    return split(hem, FACING_SHARE)[1].start


@cache
def sleeve() -> Sleeve:
    """Top and under sleeve, the cap trued to the armhole plus its ease."""
    around = length(named(front_seam(), "armhole")) + length(named(back_seam(), "armhole"))
    return two_piece_sleeve(around + SLEEVE_EASE, arm=395.0, cap=112.0, wrist=112.0)


@cache
def collar_seam(whole: float) -> Chain:
    """Half the collar, centre back on the fold at the left; `whole` mm along its neck edge."""
    foot = complex(0, COLLAR)

    def neck(reach: float) -> Edge:
        return sweep("neck", complex(reach, COLLAR - 17), 160.0, foot, 180.0)

    edge = neck(trued(lambda reach: length((neck(reach),)), whole, 50.0, whole))
    corner = edge.start + complex(15, 5 - COLLAR)
    tip = rounded("outer", corner, complex(40, 2), edge.start, 26.0)
    slope = math.degrees(cmath.phase(tip.points[1] - tip.start))
    return (
        sweep("outer", 0j, 0.0, tip.start, slope),
        tip,
        line("outer", tip.end, edge.start),
        edge,
        line("fold", foot, 0j),
    )


def neck_to_centre() -> float:
    """Neck edge from the centre back to the centre front: the collar stops at the centre."""
    neck = named(front_seam(), "neck")
    return length(neck) - EXTENSION + length(named(back_seam(), "neck"))
