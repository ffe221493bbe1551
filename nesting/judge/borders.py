# SPDX-License-Identifier: GPL-2.0-or-later
"""The judge's rule about borders: a piece that asks for one lies with its edge on the line.

The edge is a side of the box round the outline as it lies upright, its grainline along the cloth:
a curved hem touches the line with what is farthest out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from nesting.judge.outlines import EDGE_SLACK, Laid, lies_upright, placed
from nesting.judge.unfolding import Cut, Unfolded
from nesting.judge.verdict import Violation, capital, figure, part_key
from nesting.model import EDGE_WORDS, Band, Edge, Fabric, Piece, Placement

BORDER = "border"
"""Name of the rule; its row is in `rules`."""


def off_borders(fabric: Fabric, pieces: Mapping[str, Piece], flat: Unfolded) -> list[Violation]:
    """Rule "border": the edge of a piece that asks for a border lies on it, the piece over it.

    That is asked of what is cut of each layer, on the flat cloth. Where cloth has several borders,
    of the nearest. The amount is how far, mm, the edge, or what reaches beyond it, is off the line
    at most.
    """
    found: list[Violation] = []
    if not fabric.bands:
        return found
    lying: dict[int, list[Laid]] = {}
    for laid in flat.laid:
        lying.setdefault(laid.part, []).append(laid)
    layers: dict[int, list[Cut]] = {}
    for cut in flat.cuts:
        layers.setdefault(cut.part, []).append(cut)
    for part, cuts in layers.items():
        piece = pieces[cuts[0].spot.piece]
        # The upper layer is missing while nobody knows how deep the cloth is folded.
        for cut, laid in zip(cuts if piece.band else (), lying.get(part, ()), strict=False):
            every = [(_off(piece, cut.spot, laid, band), band) for band in fabric.bands]
            off, nearest = min(every, key=lambda one: one[0])
            if off > EDGE_SLACK:
                copy = cut.spot.copies[0] if cut.spot.copies else 0
                label, edge = capital(f"copy {copy} of {piece.label}"), EDGE_WORDS[piece.band]
                sentence = (
                    f"{label} lies with its {edge} {figure(off)} mm off the border: move it onto "
                    f"the line at y = {figure(nearest.line)} mm."
                )
                found.append(Violation(BORDER, (part_key(piece.id, copy),), off, sentence))
    return found


def _off(piece: Piece, cut: Placement, laid: Laid, band: Band) -> float:
    """Return how far an edge, or what lies beyond it, is off the line of a band at most, mm.

    `cut` says how it lies on the flat cloth, its outline `laid` where.
    """
    ring = lies_upright(piece)
    low, high = complex(ring.real.min(), ring.imag.min()), complex(ring.real.max(), ring.imag.max())
    sides: dict[Edge, tuple[complex, complex]] = {
        "hem": (low, complex(low.real, high.imag)),
        "top": (complex(high.real, low.imag), high),
        "left": (complex(low.real, high.imag), high),
        "right": (low, complex(high.real, low.imag)),
    }
    away = replace(cut, x=0.0, y=0.0)
    reach = placed(ring, away).imag
    there = float(laid.polygon.bounds[1]) - float(reach.min())
    reach = reach + there
    edge = placed(np.array(sides[piece.band]), away).imag + there
    over = band.line - reach.min() if band.line < band.to else reach.max() - band.line
    return float(max(abs(edge - band.line).max(), over))
