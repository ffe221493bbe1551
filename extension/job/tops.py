# SPDX-License-Identifier: GPL-2.0-or-later
"""Which way the tops of parts lie: all one way, or some otherwise by their consent."""

from __future__ import annotations

from collections.abc import Iterable

from extension.job.plan import Plan
from extension.language.words import listed
from nesting.model import Piece, Placement

ROUNDING = 0.5
"""Degrees by which a top may be turned beyond what its piece may be off the grain."""
MOST = 12


def lies_ahead(piece: Piece, turn: float) -> bool:
    """Return whether the top of a part lies along the cloth, as those of most do on a nap.

    `turn` in degrees; as far as its piece may be off the grain is no other way.
    """
    off = turn % 360.0
    return min(off, 360.0 - off) <= piece.off_grain + ROUNDING


def is_one_way(plan: Plan, placements: Iterable[Placement]) -> bool:
    """Return whether all tops lie one way."""
    return not _otherwise(plan, placements)


def tops_text(plan: Plan, placements: Iterable[Placement]) -> str:
    """Return which way the tops lie on a nap, in the words behind `With nap: `."""
    titles = _otherwise(plan, placements)
    if not titles:
        return "all tops one way"
    return f"tops one way, but not all those of {listed(titles, MOST)}"


def _otherwise(plan: Plan, placements: Iterable[Placement]) -> list[str]:
    """Return the titles of pieces of which a part does not lie with its top ahead."""
    cuts = [plan.cuts[one.piece] for one in placements if not _ahead(plan, one)]
    return list(dict.fromkeys(cut.title for cut in cuts))


def _ahead(plan: Plan, one: Placement) -> bool:
    return lies_ahead(plan.cuts[one.piece].piece, one.turn)
