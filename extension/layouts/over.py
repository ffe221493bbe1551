# SPDX-License-Identifier: GPL-2.0-or-later
"""What was left over when a layout was laid, by what was stored on it, and what still is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from extension.job.plan import Plan
from extension.job.settings import left_over_in
from extension.layouts.layers import LayoutLayer
from extension.layouts.sources import cuts_by_source
from nesting.cloth.hands import hands_of
from nesting.model import Piece

Copies = Mapping[str, tuple[int, ...]]
"""The numbers of copies, by the ids of their pieces."""


def left_over_then(plan: Plan | None, layer: LayoutLayer) -> Copies | None:
    """Return the copies of a plan for which there was no room when a layout was laid.

    None where that is not known: cloth that is bought has room for all, and layouts of earlier
    versions do not say.
    """
    stored = left_over_in(layer.result)
    if stored is None or plan is None:
        return None
    asked, now = layer.result.get("asked"), cuts_by_source(plan)
    found: dict[str, tuple[int, ...]] = {}
    for id_, copies in stored.items():
        cut = plan.cuts.get(id_)
        told = asked.get(id_) if isinstance(asked, dict) else None
        if cut is None and isinstance(told, list) and told:
            cut = now.get(str(told[0]))
        if cut is not None:
            found[cut.piece.id] = tuple(copy for copy in copies if copy in cut.piece.numbers)
    return found


def still_left_over(piece: Piece, absent: tuple[int, ...], then: tuple[int, ...]) -> list[int]:
    """Return which copies of a piece that are not there were left over when it was laid.

    Copies of a hand are as good as each other, so that as many of each hand are as were then:
    those very ones first.
    """
    quota = Counter(hands_of(piece, copy) for copy in then)
    found = []
    for copy in sorted(absent, key=lambda copy: copy not in then):
        if quota[hands_of(piece, copy)]:
            quota[hands_of(piece, copy)] -= 1
            found.append(copy)
    return sorted(found)
