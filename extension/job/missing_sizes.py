# SPDX-License-Identifier: GPL-2.0-or-later
"""Tells which pieces a chosen size lacks, though the drawing has them in other sizes.

A cuff that all sizes share, but that is drawn with those of one, would be missing in the others.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable

from extension.language.words import folded, listed, rising
from extension.pieces.model import DrawnPiece
from extension.pieces.objects import carriers, size_of
from extension.pieces.outlines import ClosedShape
from extension.pieces.sizes import covers

MOST = 12
"""Pieces and sizes that a sentence names."""


def about_missing_sizes(
    pieces: Iterable[DrawnPiece], others: Iterable[ClosedShape], chosen: Collection[str] | None
) -> list[str]:
    """Return a sentence for each name that is drawn in sizes, and not in a chosen one.

    `others` are the outlines of other sizes. What has no name as a piece may be any, and
    is not told: in the editor sizes of one piece often have names of their own.
    """
    drawn: dict[str, tuple[str, list[str | None]]] = {}
    named = [(name, piece.size) for piece in pieces if (name := piece.details.name)]
    named += [(name, size_of(shape.leaf)) for shape in others if (name := _name(shape))]
    for name, size in named:
        drawn.setdefault(folded(name), (name, []))[1].append(size)
    lacking: dict[tuple[tuple[str, ...], tuple[str, ...]], list[str]] = {}
    for name, sizes in drawn.values():
        known = [size for size in sizes if size is not None]
        missing = [one for one in chosen or () if not any(covers(size, one) for size in known)]
        if missing and len(known) == len(sizes):
            key = tuple(missing), tuple(rising(dict.fromkeys(known)))
            lacking.setdefault(key, []).append(f"“{name}”")
    return [
        f"Size {listed(list(missing), MOST)} has no {listed(names, MOST)}: drawn in size "
        f"{listed(list(known), MOST)} alone. Where it is for all sizes, give it no size."
        for (missing, known), names in lacking.items()
    ]


def _name(shape: ClosedShape) -> str:
    """Return the name that an outline or the innermost group of it has as a piece, else ""."""
    names = (carrier.attributes.get("name", "") for carrier in carriers(shape.leaf))
    return next((" ".join(name.split()) for name in names if name), "")
