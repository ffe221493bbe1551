# SPDX-License-Identifier: GPL-2.0-or-later
"""What is said of a piece of cloth that is there: what is left of it, or what does not fit.

Of parts that do not fit also how much is missing, and what would make them fit.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence

from extension.job.changes import Tried, area_of
from extension.job.compared import AS_SHORT
from extension.job.options import LayOutOptions
from extension.job.plan import Cut, Plan
from extension.job.remnant import Remnant, area_text
from extension.language.rounding import at_least_text, least_text, length_text, small_text, told
from extension.language.words import listed
from nesting.model import Layout, LeftOver

MOST = 12
"""Pieces that a sentence names."""
NOT_FIT = "Did not fit: "
"""How the line begins that names what is left over."""


def short_cloth(
    plan: Plan,
    options: LayOutOptions,
    layout: Layout,
    all_need: float | None,
    fitting: Sequence[Tried] | None = (),
    *,
    lay_before: bool = False,
) -> list[str]:
    """Return what is left of the cloth that is there, what did not fit, and why.

    `all_need` is the length, mm, on which a short run laid all parts; None when none was made.
    `fitting` are the changes that were to make them fit; None where no change can. `lay_before`:
    the layout is one that lay there already, for which nothing was tried now.
    """
    said = _left_of_it(options, layout)
    if layout.left_over:
        said.append(f"{NOT_FIT}{listed(_left_over(plan, layout), MOST)}.")
    if layout.left_over and options.remnant is not None:
        said.append(_missing_on(options.remnant, options, layout))
        said += _fitting(options, fitting)
    elif layout.left_over and options.fabric_length is not None and not lay_before:
        said.append(_missing(options, options.fabric_length, layout, all_need))
        said += _fitting(options, fitting)
    said += _left_alone(plan, layout)
    return [*said, *_priorities(plan, options, layout)]


def _left_alone(plan: Plan, layout: Layout) -> list[str]:
    """Return the match points that meet nothing, since all that they match is left over."""
    if not layout.left_over or plan.job.fabric.repeat is None:
        return []
    over = Counter[str]()
    for rest in layout.left_over:
        over[rest.piece] += len(rest.copies)
    whole, laid = Counter[str](), Counter[str]()
    for id_, cut in plan.cuts.items():
        for group in {match.group for match in cut.piece.match}:
            whole[group] += cut.copies
            laid[group] += cut.copies - over[id_]
    names = [
        f"“{match.group}” of {cut.title}"
        for id_, cut in plan.cuts.items()
        for match in cut.piece.match
        if laid[match.group] == 1 < whole[match.group] and cut.copies > over[id_]
    ]
    if not names:
        return []
    meets, it = ("meets", "it") if len(names) == 1 else ("meet", "they")
    what = f"what {it} would have to match is left over"
    return [f"{listed(names, MOST)} {meets} nothing on this cloth: {what}."]


def rest_of(options: LayOutOptions, layout: Layout) -> tuple[float, float] | None:
    """Return length and width, mm, of what is left of the cloth in one piece, behind all parts.

    The length is what the length that is used leaves as it is printed, so it is never too much.
    None where that is less than a tape measure shows, or where the cloth is bought.
    """
    if options.fabric_length is None or options.remnant is not None:
        return None
    rest = options.fabric_length - float(told(layout.length, options.system))
    if at_least_text(rest, options.system) == at_least_text(0.0, options.system):
        return None
    return rest, layout.width


def _left_of_it(options: LayOutOptions, layout: Layout) -> list[str]:
    """Return how much is left in one piece."""
    if options.fabric_length is None or options.remnant is not None:
        return []
    rest = rest_of(options, layout)
    if rest is None:
        least = least_text(options.system)
        return [f"Nothing is left over in one piece at the far end, or less than {least}."]
    length = at_least_text(rest[0], options.system)
    width = small_text(rest[1], options.system)
    return [f"Left over in one piece at the far end: {length} × {width} between the selvedges."]


def _fitting(options: LayOutOptions, fitting: Sequence[Tried] | None) -> list[str]:
    """Return which changes make all parts fit, by layouts that were measured."""
    if fitting is None:
        return [
            "Nothing but more cloth can make all parts fit: together they are larger than this one."
        ]
    on = "this cloth" if options.remnant is None else "this remnant"
    said = [
        f"All parts fit on {on} {one.change.told(one.layout)}: a short run laid them "
        f"{_where(options, one.layout)}."
        for one in fitting
        if one.fits and one.layout is not None
    ]
    bad = [one.change.told() for one in fitting if not (one.fits or one.is_open)]
    untried = [one.change.told() for one in fitting if one.is_open]
    if bad:
        none = "Otherwise" if said else "To make all parts fit"
        said.append(
            f"{none} none of these changes was found to be enough in the time: {'; '.join(bad)}."
        )
    if untried:
        said.append(f"Not tried, for want of time, whether they fit {'; '.join(untried)}.")
    return said


def _where(options: LayOutOptions, layout: Layout) -> str:
    """Return where a run laid all parts."""
    if options.remnant is not None:
        return "there"
    return f"on {length_text(layout.length, options.system)}"


def _left_over(plan: Plan, layout: Layout) -> list[str]:
    """Return what is left over, what should have been laid first at the beginning."""
    ordered = sorted(
        layout.left_over,
        key=lambda left: (_place(plan.cuts, left), -area_of(layout, left.piece)),
    )
    return [
        f"{plan.cuts[left.piece].title} × {len(left.copies)}{_with_priority(plan.cuts[left.piece])}"
        for left in ordered
    ]


def _place(cuts: Mapping[str, Cut], left: LeftOver) -> float:
    priority = cuts[left.piece].piece.priority
    return float("inf") if priority is None else priority


def _with_priority(cut: Cut) -> str:
    priority = cut.piece.priority
    return "" if priority is None else f" (priority {priority:g})"


def _missing(options: LayOutOptions, cloth: float, layout: Layout, all_need: float | None) -> str:
    """Return how much cloth is missing, as far as it is known."""
    system = options.system
    if all_need is not None and all_need > cloth:
        # From the length as it is printed, so that the figures agree.
        more = float(told(all_need, system)) - cloth
        is_least = all_need - layout.lower_bound < AS_SHORT
        less = "they cannot lie on less" if is_least else "a longer one may need less"
        return (
            f"A short run laid all parts on {length_text(all_need, system)}, so "
            f"{length_text(more, system)} more would do; {less}."
        )
    if all_need is not None:
        return "A short run found room for all of them on this cloth: run it again with more time."
    if layout.lower_bound > cloth + 10.0:
        least = at_least_text(layout.lower_bound - cloth, system)
        return f"At least {least} more is needed; how much exactly was not tried, for want of time."
    return "How much is missing was not tried, for want of time."


def _missing_on(remnant: Remnant, options: LayOutOptions, layout: Layout) -> str:
    """Return how much is left over, and how much of a remnant is free for it."""
    missing = sum(area_of(layout, left.piece) * len(left.copies) for left in layout.left_over)
    free = (1.0 - layout.utilisation) * remnant.area
    told = f"{area_text(missing, options.system)}, and {area_text(free, options.system)}"
    said = f"What did not fit measures {told} of the remnant is free, in pieces"
    if missing > free + 1.0 or layout.lower_bound > (options.fabric_length or math.inf) + 1e-6:
        return f"{said}: lay it on other cloth, since no layout can hold all of it here."
    return f"{said}: lay it on other cloth, or run it again with more time."


def _priorities(plan: Plan, options: LayOutOptions, layout: Layout) -> list[str]:
    """Return what the priorities of pieces did, or that they did nothing."""
    urgent = [cut for cut in plan.cuts.values() if cut.piece.priority is not None]
    if not urgent:
        return []
    if options.fabric_length is None:
        names = listed(list(dict.fromkeys(cut.title for cut in urgent)), MOST)
        return [
            f"Priority counts on cloth of a fixed length only, so it changes nothing here: {names}."
        ]
    if not layout.left_over:
        return ["All parts fit, so priority changes nothing."]
    urgent.sort(key=lambda cut: cut.piece.priority or 0.0)
    names = listed([f"{cut.title} ({cut.piece.priority:g})" for cut in urgent], MOST)
    return [f"Laid first, by priority: {names}; of the others as much as found room."]
