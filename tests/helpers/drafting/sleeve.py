# SPDX-License-Identifier: GPL-2.0-or-later
"""A two-piece sleeve: a one-piece block with its underarm folded under at the quarter lines."""

from __future__ import annotations

from dataclasses import dataclass

from tests.helpers.drafting.curves import (
    Chain,
    backwards,
    length,
    line,
    moved,
    position,
    smooth,
    split,
    trued,
)

FRONT_SHIFT, BACK_SHIFT = 14.0, 8.0
"""How far, mm, the two seams are moved from the quarter lines under the arm, out of sight."""

CAP_SHAPE = ((0.0, 0.0), (0.115, 0.14), (0.27, 0.64), (0.49, 1.0), (0.72, 0.66), (0.875, 0.14))
"""Points of the cap as shares of its width and height, from the back underarm to the front."""

APEX = 0.49
"""Share of the width at which the cap is highest: the shoulder seam meets it there."""


@dataclass(frozen=True, slots=True)
class Sleeve:
    """Both parts, clockwise, in one frame as they lie on each other, the hind seam at the left.

    `back_under` and `front_under` are how much of the cap, mm, the under sleeve has on either
    side of the underarm; `apex_at` is how far along the cap of the top sleeve the shoulder lies.
    """

    top: Chain
    under: Chain
    apex_at: float
    back_under: float
    front_under: float
    grain: tuple[complex, complex]


def two_piece_sleeve(around: float, arm: float, cap: float, wrist: float) -> Sleeve:
    """Return a sleeve whose cap is `around` mm long in all.

    `arm` mm from the top of the cap to the wrist, `cap` mm high, `wrist` mm wide when folded flat.
    The block is made as wide as the length of the cap asks for.
    """

    def block(width: float) -> Chain:
        points = [complex(width * x, -cap * y) for x, y in CAP_SHAPE]
        return smooth("cap", (*points, complex(width, 0.0)), 0.0, 0.0)

    width = trued(lambda value: length(block(value)), around, around / 2.0, around)
    return _divided(block(width), width, arm - cap, wrist)


def _divided(cap: Chain, width: float, wrist_at: float, wrist: float) -> Sleeve:
    """Return the block cut at its shifted quarter lines, the underarm joined in the middle."""
    hind, front = width / 4.0 - BACK_SHIFT, 3.0 * width / 4.0 + FRONT_SHIFT
    back_end, rest = cut_at(cap, hind)
    middle, front_end = cut_at(rest, front)
    # Folded under, each end of the cap is seen in the mirror of its quarter line.
    under_back = backwards(moved(back_end, lambda p: complex(width / 2.0 - p.real, p.imag)))
    under_front = backwards(moved(front_end, lambda p: complex(1.5 * width - p.real, p.imag)))
    tops, unders = middle, under_back + under_front
    apex, _ = cut_at(middle, width * APEX)
    foot = complex(width * 0.5, wrist_at - 30.0)
    return Sleeve(
        _part(tops, wrist_at, 0.75 * width, wrist, -BACK_SHIFT, FRONT_SHIFT),
        _part(unders, wrist_at, 0.75 * width, wrist, BACK_SHIFT, -FRONT_SHIFT),
        length(apex),
        length(under_back),
        length(under_front),
        (foot, complex(width * 0.5, 30.0)),
    )


def _part(
    cap: Chain, wrist_at: float, quarter: float, wrist: float, hind_by: float, front_by: float
) -> Chain:
    """Return one part: its cap, and the two seams, which are the same but for a shift sideways."""
    front_wrist = complex(quarter - 8.0 + front_by, wrist_at - 6.0)
    hind_wrist = complex(quarter - 8.0 - wrist + hind_by, wrist_at + 8.0)
    front = _seam("front-seam", cap[-1].end, front_wrist, 7.0)
    hind = _seam("hind-seam", cap[0].start, hind_wrist, 9.0)
    return (*cap, *front, line("hem", front_wrist, hind_wrist), *backwards(hind))


def _seam(name: str, top: complex, wrist: complex, bend: float) -> Chain:
    """Return a seam bent to the left at the elbow by `bend` mm."""
    elbow = top + (wrist - top) * 0.48 - bend
    return smooth(name, (top, elbow, wrist), 96.0, 82.0)


def cut_at(chain: Chain, x: float) -> tuple[Chain, Chain]:
    """Return the two parts of a chain that runs to the right, cut where it passes `x`."""
    for index, edge in enumerate(chain):
        if edge.end.real > x:
            share = trued(lambda value, edge=edge: position(edge, value).real, x, 0.0, 1.0)  # type: ignore[misc]
            first, last = split(edge, share)
            return (*chain[:index], first), (last, *chain[index + 1 :])
    raise ValueError(f"the chain does not reach {x:.1f}")
