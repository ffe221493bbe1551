# SPDX-License-Identifier: GPL-2.0-or-later
"""Phases worth trying for match points that hang together and are free to lie anywhere alike.

Little cloth is lost where a large part touches an end of the cloth, or lies on its fold, so these
phases come first, those of the largest parts before the others; then some spread evenly.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from nesting.cloth.hands import hands_of
from nesting.cloth.places import Places
from nesting.cloth.problem import lying_turns
from nesting.cloth.repeats import Design
from nesting.geometry.lying import Orientation
from nesting.geometry.shapes import signed_area, whole_outline
from nesting.model import Job, Piece

LARGE = 3
"""Parts whose ends are brought to those of the cloth."""
EVENLY = 4
"""Phases spread evenly over a repeat."""
APART = 1.0 / 48.0
"""Share of a repeat by which phases differ that are both tried."""
Span = tuple[float, float]


def phases_of(job: Job, design: Design, sections: Sequence[Places]) -> list[list[float]]:
    """Return for each tie of a design the phases that are tried, mm, the likeliest first."""
    return [list(_phases(job, design, tie, sections)) for tie in range(len(design.ties))]


def _phases(job: Job, design: Design, tie: int, sections: Sequence[Places]) -> Iterator[float]:
    """Yield the phases of one tie."""
    if design.ties[tie].fixed is not None:
        yield design.first_phases[tie]
        return
    axis = design.ties[tie].axis
    period = design.periods[axis]
    found: list[float] = []
    evenly = (k * period / EVENLY for k in range(EVENLY))
    for phase in (*_at_ends(job, design, tie, sections), *evenly):
        if all(design.off(axis, phase - other) > APART * period for other in found):
            found.append(phase)
            yield phase


def _at_ends(job: Job, design: Design, tie: int, sections: Sequence[Places]) -> Iterator[float]:
    """Yield the phases with which large parts touch an end of the cloth, or lie on its fold."""
    axis, margin = design.ties[tie].axis, job.fabric.edge_margin
    tied = [piece for piece in job.pieces if design.is_tied(piece)]
    tied.sort(key=lambda piece: -abs(signed_area(whole_outline(piece))))
    for piece in tied[:LARGE]:
        for places in sections:
            for spot in places.on_folds(piece) if axis else ():
                yield from _at(design, tie, piece, *spot)
            spans = places.spans() if axis else [(margin, math.inf)]
            for lying in _orientations(job, design, piece):
                shape = places.whole(piece, lying)
                for low, high in spans:
                    yield from _at(design, tie, piece, lying, low - shape.low[axis])
                    yield from _at(design, tie, piece, lying, high - shape.high[axis])


def _at(design: Design, tie: int, piece: Piece, lying: Orientation, spot: float) -> Iterator[float]:
    """Yield the phase that a spot on the tie's axis, mm, gives a piece, if it has a point there."""
    phase = design.phase_at(tie, piece, lying, spot) if math.isfinite(spot) else None
    if phase is not None:
        yield phase


def _orientations(job: Job, design: Design, piece: Piece) -> Iterator[Orientation]:
    """Yield how copies of a piece may lie."""
    hands = {flip for copy in piece.numbers for flip in hands_of(piece, copy)}
    for turn in lying_turns(piece, job.fabric):
        if design.allows(piece, turn):
            yield from (Orientation(turn, flip) for flip in sorted(hands))
