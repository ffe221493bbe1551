# SPDX-License-Identifier: GPL-2.0-or-later
"""A run on several remnants: the engine says which copies lie on which, and each has a layout."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from extension.job.changes import area_of
from extension.job.compared import Compared
from extension.job.options import LayOutOptions
from extension.job.plan import Cut, Plan, fabric_of
from extension.job.portions import LOTS, USUAL_LOT, Portion
from extension.language.words import listed
from extension.operations.running import Found, Run
from nesting.jobs.validation import validated
from nesting.judge.check import check
from nesting.judge.verdict import capital
from nesting.model import Job, Layout, LeftOver
from nesting.several import Copies, Several, Shared
from nesting.solve import solve
from nesting.stop import AfterRounds, AfterSeconds, AnyOf

SHARE = 0.5
"""Share of the time limit after which no other way of sharing copies out is tried."""
MOST_NAMED = 12


@dataclass(frozen=True, eq=False, slots=True)
class OnOne:
    """The options of the layout on one remnant, and how its copies were found to lie on it."""

    options: LayOutOptions
    known: Layout | None = None


@dataclass(frozen=True, eq=False, slots=True)
class SharedOut:
    """What is laid on each remnant that is used, and what is said about all of them."""

    layouts: tuple[OnOne, ...]
    notes: tuple[str, ...]


def share_out(
    plan: Plan, options: Sequence[LayOutOptions], run: Run, seconds: float, rounds: int | None
) -> SharedOut:
    """Return what is laid on each remnant that is used.

    `options` are those of all pieces of the plan on each remnant. Copies that fit on none are with
    the remnant that has most room left, so that they are told there. Raises JobError for a plan
    that cannot be laid.
    """
    shared = _shared(plan, options, run, seconds, rounds)
    on: dict[int, Copies] = {
        number: {piece.id: piece.numbers for piece in job.pieces}
        for number, job in shared.jobs.items()
    }
    left = {rest.piece: rest.copies for rest in shared.left_over}
    asked = on
    if left:
        roomiest = max(range(1, len(options) + 1), key=lambda k: (_room(options, shared, k), -k))
        asked = {**on, roomiest: _with(on.get(roomiest, {}), left)}
    each = None if rounds is None else max(1, rounds // len(asked))
    laid = tuple(
        OnOne(_holding(options[k - 1], plan, copies, each), shared.layouts.get(k))
        for k, copies in sorted(asked.items())
    )
    used = [(options[k - 1], copies) for k, copies in sorted(on.items())]
    said = [f"{_title(own)}: {listed(_names(plan, copies), MOST_NAMED)}." for own, copies in used]
    if left:
        said.append(f"Not all of this was found to fit: {listed(_names(plan, left), MOST_NAMED)}.")
    idle = [one.remnant.title for k, one in enumerate(options, 1) if k not in asked and one.remnant]
    said += [f"Not needed: {listed(idle, MOST_NAMED)}."] if idle else []
    return SharedOut(laid, (*said, *_parted(plan, on)))


def not_less(found: Found, known: Layout | None) -> Found:
    """Return a layout on a remnant, or that one which was known to hold more of its copies.

    What has to be of one lot is whole on the one that was known, and stays so.
    """
    laid = found.layout
    if known is None:
        return found
    there = _copies_on(known)
    is_parted = found.options.one_lot != USUAL_LOT and not there <= _copies_on(laid)
    if not is_parted and _area(laid) >= _area(known) * (1.0 - 1e-9):
        return found
    left: dict[str, tuple[int, ...]] = {
        piece.id: tuple(copy for copy in piece.numbers if (piece.id, copy) not in there)
        for piece in found.plan.job.pieces
    }
    left_over = tuple(LeftOver(id_, copies) for id_, copies in left.items() if copies)
    layout = replace(known, left_over=left_over, outlines=laid.outlines, rounds=laid.rounds)
    if check(found.plan.job, layout):
        return found
    best = Compared(found.options, layout)
    return replace(found, taken=replace(found.taken, laid=(best,), place=0))


def _shared(
    plan: Plan, options: Sequence[LayOutOptions], run: Run, seconds: float, rounds: int | None
) -> Shared:
    """Return what lies on which remnant, as far as it is found in the time or the rounds."""
    fabrics = tuple(fabric_of(one) for one in options)
    own = options[0]
    job = validated(Job(fabrics[0], plan.job.pieces, fabrics=fabrics, one_lot=LOTS[own.one_lot]))
    limit = AfterSeconds(SHARE * seconds, run.clock)
    enough = limit if rounds is None else AfterRounds(rounds * len(options))
    stop = AnyOf(enough, run.stop)
    several = Several(job, own.seed, own.workers, stop, run.clock, solve)
    before = -1
    for _, shared in several.shares():
        if not shared.left_over or several.rounds == before:
            break
        before = several.rounds
    return shared


def _holding(own: LayOutOptions, plan: Plan, copies: Copies, rounds: int | None) -> LayOutOptions:
    """Return the options of a layout of some copies on a remnant."""
    cuts = [plan.cuts[id_] for id_ in copies]
    portions = tuple(
        Portion(id_, plan.cuts[id_].of, some)
        for id_, some in copies.items()
        if len(some) < plan.cuts[id_].of
    )
    select = tuple(dict.fromkeys(cut.drawn.id for cut in cuts))
    return replace(own, select=select, portions=portions, rounds=rounds)


def _room(options: Sequence[LayOutOptions], shared: Shared, number: int) -> float:
    """Return how much of a remnant nothing lies on, mm2."""
    remnant, layout = options[number - 1].remnant, shared.layouts.get(number)
    whole = remnant.area if remnant else 0.0
    return whole * (1.0 - (layout.utilisation if layout else 0.0))


def _with(copies: Copies, more: Copies) -> dict[str, tuple[int, ...]]:
    """Return copies and more of them."""
    ids = dict.fromkeys((*copies, *more))
    return {id_: tuple(sorted((*copies.get(id_, ()), *more.get(id_, ())))) for id_ in ids}


def _copies_on(layout: Layout) -> set[tuple[str, int]]:
    """Return the copies of pieces that lie on a layout."""
    return {(spot.piece, copy) for spot in layout.placements for copy in spot.copies}


def _area(layout: Layout) -> float:
    """Return the area of what is laid, mm2."""
    return sum(area_of(layout, spot.piece) * len(spot.copies) for spot in layout.placements)


# --- words --------------------------------------------------------------------------------------


def _title(options: LayOutOptions) -> str:
    return capital(options.remnant.title) if options.remnant else ""


def _names(plan: Plan, copies: Copies) -> list[str]:
    """Return pieces as a list names them, with the numbers of copies where there are others."""
    return [_named(plan.cuts[id_], some) for id_, some in copies.items()]


def _named(cut: Cut, copies: Sequence[int]) -> str:
    if len(copies) == cut.of:
        return cut.title
    return f"{cut.title} ({listed([str(copy) for copy in copies], MOST_NAMED)} of {cut.of})"


def _parted(plan: Plan, on: Mapping[int, Copies]) -> list[str]:
    """Return which copies of one garment are cut from several remnants, and what to look at."""
    lots: dict[tuple[str, int], set[int]] = {}
    for number, copies in on.items():
        for id_, some in copies.items():
            cut = plan.cuts[id_].piece.cut
            for copy in some:
                lots.setdefault((id_, (copy - 1) // cut + 1), set()).add(number)
    titles = [plan.cuts[id_].title for (id_, _), cloths in lots.items() if len(cloths) > 1]
    garments: dict[int, set[int]] = {}
    for (_, garment), cloths in lots.items():
        garments.setdefault(garment, set()).update(cloths)
    if all(len(cloths) == 1 for cloths in garments.values()):
        return []
    look = (
        "lay the remnants side by side in daylight before you cut, since cloth of another dye lot "
        "differs in shade"
    )
    if titles:
        names = listed(list(dict.fromkeys(titles)), MOST_NAMED)
        return [
            f"Copies for one garment are cut from different remnants ({names}): {look}. "
            "To keep them together, choose what is cut from one remnant."
        ]
    return [f"Pieces of one garment are cut from different remnants: {look}."]
