# SPDX-License-Identifier: GPL-2.0-or-later
"""The judge's rule about borders: a piece that asks for one lies with its edge on the line.

The edge is a side of the box round the outline as it lies upright, its grainline along the cloth:
a curved hem touches the line with what is farthest out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from nesting.judge.outlines import EDGE_SLACK, is_finite, lies_upright, placed
from nesting.judge.verdict import Violation, capital, figure, part_key
from nesting.model import EDGE_WORDS, Band, Edge, Fabric, Piece, Placement

BORDER = "border"
"""Name of the rule; its row is in `rules`."""


def off_borders(
    fabric: Fabric, pieces: Mapping[str, Piece], placements: Sequence[Placement]
) -> list[Violation]:
    """Rule "border": the edge of a piece that asks for a border lies on it, the piece over it.

    Where cloth has several, on the nearest. The amount is how far, mm, the edge, or what reaches
    beyond it, is off the line at most.
    """
    found = []
    asking = [spot for spot in placements if pieces[spot.piece].band and is_finite(spot)]
    for spot in asking if fabric.bands else ():
        piece = pieces[spot.piece]
        every = [(_off(piece, spot, band), band) for band in fabric.bands]
        off, nearest = min(every, key=lambda one: one[0])
        if off > EDGE_SLACK:
            copy = spot.copies[0] if spot.copies else 0
            label, edge = capital(f"copy {copy} of {piece.label}"), EDGE_WORDS[piece.band]
            sentence = (
                f"{label} lies with its {edge} {figure(off)} mm off the border: move it onto the "
                f"line at y = {figure(nearest.line)} mm."
            )
            found.append(Violation(BORDER, (part_key(piece.id, copy),), off, sentence))
    return found


def _off(piece: Piece, spot: Placement, band: Band) -> float:
    """Return how far an edge, or what lies beyond it, is off the line of a band at most, mm."""
    ring = lies_upright(piece)
    low, high = complex(ring.real.min(), ring.imag.min()), complex(ring.real.max(), ring.imag.max())
    sides: dict[Edge, tuple[complex, complex]] = {
        "hem": (low, complex(low.real, high.imag)),
        "top": (complex(high.real, low.imag), high),
        "left": (complex(low.real, high.imag), high),
        "right": (low, complex(high.real, low.imag)),
    }
    edge = placed(np.array(sides[piece.band]), spot).imag
    reach = placed(ring, spot).imag
    over = band.line - reach.min() if band.line < band.to else reach.max() - band.line
    return float(max(abs(edge - band.line).max(), over))
