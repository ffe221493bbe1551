# SPDX-License-Identifier: GPL-2.0-or-later
"""What is told of edges with a seam allowance of their own, alike wherever it is told."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from extension.job.plan import titled
from extension.language.rounding import small_text
from extension.language.units import System
from extension.language.words import listed
from extension.pieces.model import DrawnPiece, Edge

MOST = 12
"""Edges or pieces that a sentence names."""


def edges_text(edges: Sequence[Edge], system: System) -> str:
    """Return the allowances of edges: `4 cm at “hem”`; "" where there is none."""
    names: dict[float, dict[str, None]] = {}
    for edge in edges:
        names.setdefault(edge.allowance, {})[edge.called] = None
    return ", ".join(
        f"{_amount(amount, system)} at {listed(list(own), MOST)}" for amount, own in names.items()
    )


def edges_of_pieces(pieces: Iterable[DrawnPiece], system: System) -> str:
    """Return the allowances of the edges of pieces: `4 cm at “hem” of Front and Back`."""
    titles: dict[str, dict[str, None]] = {}
    for drawn in pieces:
        told = edges_text(drawn.edges, system)
        if told:
            titles.setdefault(told, {})[titled(drawn)] = None
    return "; ".join(f"{told} of {listed(list(own), MOST)}" for told, own in titles.items())


def _amount(amount: float, system: System) -> str:
    return small_text(amount, system) if amount else "nothing"
