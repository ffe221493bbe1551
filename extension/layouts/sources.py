# SPDX-License-Identifier: GPL-2.0-or-later
"""Which piece of a drawing an original is now: the same piece may answer to several ids.

It has the id of its outline or of the group that it is drawn in. Which of them is the piece's
changes when a layer becomes a plain group, as in a "Plain SVG", or a group is made a layer.
"""

from __future__ import annotations

from collections import Counter

from extension.job.plan import Cut, Plan


def cuts_by_source(plan: Plan | None) -> dict[str, Cut]:
    """Return the cuts of a plan by every id that their piece alone answers to."""
    cuts = () if plan is None else tuple(plan.cuts.values())
    own = {cut.drawn.id: cut for cut in cuts}
    others = [(name, cut) for cut in own.values() for name in _other_names(cut) - own.keys()]
    often = Counter(name for name, _ in others)
    return {**{name: cut for name, cut in others if often[name] == 1}, **own}


def _other_names(cut: Cut) -> set[str]:
    """Return the ids of the outline of a piece and of all groups round it."""
    outline = cut.drawn.marks[0].leaf
    return {outline.id, *(group.id for group in outline.groups)}
