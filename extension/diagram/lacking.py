# SPDX-License-Identifier: GPL-2.0-or-later
"""What is not on a layout: parts without room on cloth that is there, pieces without a grainline.

Such a layout is a good one of what lies on it, as a check says by what was stored when it was laid.
Where an earlier version stored nothing, no part that is not on such cloth is a fault here. Cloth
that is bought has room for all.
"""

from __future__ import annotations

from extension.job.plan import Cut
from extension.language.words import listed
from extension.layouts.checked import Checked
from extension.layouts.situation import Finding
from nesting.judge.bookkeeping import COUNT


def faults(checked: Checked) -> tuple[Finding, ...]:
    """Return what is wrong with a layout; parts that are left over are no fault."""
    options = checked.layer.options
    is_bought = options.fabric_length is None and options.remnant is None
    if is_bought or checked.situation.over_then is not None:
        return checked.findings
    return tuple(one for one in checked.findings if one.kind != COUNT or one.objects)


def lacking(checked: Checked) -> tuple[tuple[Cut, int], ...]:
    """Return the pieces of which copies are not on a layout, and how many of each."""
    situation = checked.situation
    return tuple((situation.cuts[id_], len(copies)) for id_, copies in situation.absent.items())


def lacking_text(checked: Checked) -> str:
    """Return what is not on a layout, in sentences; nothing where everything is."""
    names = [_named(cut, count) for cut, count in lacking(checked)]
    said = []
    if names:
        them = "it" if sum(count for _, count in lacking(checked)) == 1 else "them"
        said = [f"NOT on this layout: {listed(names, len(names))}. Cut {them} from other cloth."]
    return " ".join([*said, *_without_grain(checked)])


def _without_grain(checked: Checked) -> list[str]:
    """Return which pieces of the drawing no layout holds, since nobody knows how they lie."""
    plan = checked.situation.plan
    left = () if plan is None else plan.left_out
    names = [one.label or one.seen for one in left if one.reason == "no grainline"]
    if not names:
        return []
    rest = "It is" if len(names) == 1 else "They are"
    return [
        f"NOT on this layout, for want of a grainline: {listed(names, 12)}. {rest} still to be cut."
    ]


def _named(cut: Cut, count: int) -> str:
    """Return a piece with how many of its copies are not there, of those that should be."""
    if cut.copies < cut.of:
        return f"{cut.title} × {count} (of the {cut.copies} for this cloth)"
    # Not “2 of 2”: that is the name of one copy, the second.
    return cut.title if cut.copies == 1 else f"{cut.title} × {count} (of {cut.copies})"
