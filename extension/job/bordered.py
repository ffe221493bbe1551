# SPDX-License-Identifier: GPL-2.0-or-later
"""What is said of the border of a layout's cloth: where it runs, and what lies on it.

No wish is dropped in silence: a piece that asks for a border on cloth without one is named.
"""

from __future__ import annotations

from collections.abc import Mapping

from extension.job.border import UPPER
from extension.language.edges import LOWER_EDGE, LOWER_SELVEDGE, UPPER_EDGE, UPPER_SELVEDGE
from extension.language.rounding import small_text
from extension.language.units import System
from extension.language.words import listed
from extension.pieces.model import DrawnPiece
from nesting.model import EDGE_WORDS, Band, Edge, Job, Layout

_MOST = 12
"""Pieces that a sentence names."""
NOBODY = (
    "No piece asks for the border, so nothing is laid by it: say which edges lie on it with "
    "lay:border (Set Cutting Details)."
)
ON_LAYERS = {
    1: "What lies on the border is cut out of one layer.",
    2: "What lies on the border is cut through both layers, which both have it there.",
}
MIXED = "What lies on the border is cut double only where both layers have it there."
TURNED_OVER = (
    "Selvedges are told of the right side: turned over, to be folded wrong sides together, the "
    "cloth has its border at the other one."
)
ON_LINE = "What lies on its line is the cutting line, with all allowances."


def border_lines(job: Job, system: System, beside: str = "") -> list[str]:
    """Return where the borders of the cloth of a job run, and which of its pieces lie on them.

    `beside` is said of them in passing.
    """
    bands = job.fabric.bands
    if not bands:
        return []
    asking: dict[Edge, dict[str, None]] = {}
    for piece in job.pieces:
        if piece.band:
            asking.setdefault(piece.band, {})[piece.name or piece.id] = None
    sides = (LOWER_EDGE, UPPER_EDGE) if job.fabric.outline else (LOWER_SELVEDGE, UPPER_SELVEDGE)
    where = " and ".join(border_text(band, job.fabric.width, system, sides) for band in bands)
    line = f"{'Border' if len(bands) == 1 else 'Borders'} {where}{beside}"
    if not asking:
        return [f"{line}.", NOBODY]
    said = " and ".join(
        f"{listed(list(names), _MOST)} with the {EDGE_WORDS[edge]}"
        for edge, names in asking.items()
    )
    verb = "lies" if sum(map(len, asking.values())) == 1 else "lie"
    it = "it" if len(bands) == 1 else "one of them"
    return [f"{line}; on {it} {verb} {said}. {ON_LINE}"]


def folded_border_lines(job: Job, layout: Layout) -> list[str]:
    """Return out of how many layers of folded cloth that is cut which lies on a border."""
    asking = {piece.id for piece in job.pieces if piece.band}
    layers = {spot.layers for spot in layout.placements if spot.piece in asking}
    if not (job.fabric.bands and layout.sections and layers):
        return []
    said = [ON_LAYERS[layers.pop()] if len(layers) == 1 else MIXED]
    is_over = job.fabric.sides == "apart"
    if is_over and any(one.length > 0.0 and not one.is_open for one in layout.sections):
        said.append(TURNED_OVER)
    return [" ".join(said)]


def border_notes(
    pieces: Mapping[str, DrawnPiece], bands: tuple[Band, ...], *, is_told: bool
) -> tuple[str, ...]:
    """Return which pieces, by their titles, ask for a border that the cloth has not.

    `is_told` is false for cloth on which nobody expects one.
    """
    names = [title for title, drawn in pieces.items() if drawn.details.band]
    if bands or not names or not is_told:
        return ()
    ask, their = ("asks", "its edge lies") if len(names) == 1 else ("ask", "their edges lie")
    return (
        f"{listed(names, _MOST)} {ask} for a border (lay:border), but this cloth has none: "
        f"{their} anywhere.",
    )


def border_text(band: Band, width: float, system: System, sides: tuple[str, str]) -> str:
    """Return from where to where a border runs on cloth `width` mm wide.

    `sides` are what its lower and its upper side are called.
    """
    is_upper = band.name == UPPER
    ends = (width - band.line, width - band.to) if is_upper else (band.line, band.to)
    side = sides[is_upper]
    begins, stops = (small_text(end, system) for end in ends)
    if ends[0] == 0.0:
        return f"{stops} wide along the {side}"
    return f"from {begins} to {stops} off the {side}"
