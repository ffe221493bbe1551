# SPDX-License-Identifier: GPL-2.0-or-later
"""A run on several remnants: the engine says which copies lie on which, and each has a layout."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, replace

from extension.job.changes import area_of
from extension.job.compared import Compared
from extension.job.options import LayOutOptions
from extension.job.plan import Cut, Plan, fabric_of
from extension.job.portions import LOTS, USUAL_LOT, Portion
from extension.job.summary import left_out_lines
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
    """What is to be laid on each remnant that is used, and which of them are not needed."""

    layouts: tuple[OnOne, ...]
    idle: tuple[str, ...]
    plan: Plan

    def told(self, laid: Sequence[Layout]) -> tuple[str, ...]:
        """Return what is said about all layouts, in the order of the remnants, as they came."""
        titles = [_title(one.options) for one in self.layouts]
        on = [_in_order(self.plan, _copies_on(one)) for one in laid]
        said = [
            f"{capital(title)}: {listed(_names(self.plan, copies), MOST_NAMED)}."
            for title, copies in zip(titles, on, strict=True)
            if copies
        ]
        everywhere = {copy for one in laid for copy in _copies_on(one)}
        left = _in_order(self.plan, _asked(self.plan) - everywhere)
        if left:
            names = listed(_names(self.plan, left), MOST_NAMED)
            said.append(f"Not all of this was found to fit: {names}.")
            said += _not_complete(self.plan, self.layouts[0].options.one_lot, titles, on, left)
        said += [f"Not needed: {listed(list(self.idle), MOST_NAMED)}."] if self.idle else []
        # Each layout is a run on its own pieces, so none of them tells what the whole run left out.
        said += left_out_lines(self.plan.left_out)
        return (*said, *_parted(self.plan, dict(enumerate(on))))


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
    idle = tuple(_title(one) for k, one in enumerate(options, 1) if k not in asked)
    return SharedOut(laid, idle, plan)


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


def _asked(plan: Plan) -> set[tuple[str, int]]:
    """Return all copies of the pieces of a plan."""
    return {(id_, copy) for id_, cut in plan.cuts.items() for copy in cut.piece.numbers}


def _in_order(plan: Plan, copies: Set[tuple[str, int]]) -> dict[str, tuple[int, ...]]:
    """Return copies by their pieces, in the order of the plan."""
    found = {
        id_: tuple(copy for copy in cut.piece.numbers if (id_, copy) in copies)
        for id_, cut in plan.cuts.items()
    }
    return {id_: some for id_, some in found.items() if some}


def _area(layout: Layout) -> float:
    """Return the area of what is laid, mm2."""
    return sum(area_of(layout, spot.piece) * len(spot.copies) for spot in layout.placements)


# --- words --------------------------------------------------------------------------------------


def _title(options: LayOutOptions) -> str:
    return options.remnant.title if options.remnant else ""


def _names(plan: Plan, copies: Copies) -> list[str]:
    """Return pieces as a list names them, with the numbers of copies where there are others."""
    return [_named(plan.cuts[id_], some) for id_, some in copies.items()]


def _named(cut: Cut, copies: Sequence[int]) -> str:
    if len(copies) == cut.of:
        return cut.title
    return f"{cut.title} ({listed([str(copy) for copy in copies], MOST_NAMED)} of {cut.of})"


def _not_complete(
    plan: Plan, one_lot: str, titles: Sequence[str], on: Sequence[Copies], left: Copies
) -> list[str]:
    """Return what was to be of one lot and lies there in part: nobody should begin to cut it."""
    if one_lot == USUAL_LOT:
        return []
    lots: dict[tuple[str, int], dict[str, tuple[int, ...]]] = {}
    for id_, copies in left.items():
        for copy in copies:
            lot = lots.setdefault(_lot(plan, one_lot, id_, copy), {})
            lot[id_] = (*lot.get(id_, ()), copy)
    said = []
    for (of, garment), lost in lots.items():
        where = [
            title
            for title, copies in zip(titles, on, strict=True)
            if any(
                _lot(plan, one_lot, id_, copy) == (of, garment)
                for id_, some in copies.items()
                for copy in some
            )
        ]
        if where:
            what = f"Garment {garment}" if _garments(plan) > 1 else "The garment"
            held = "all of it"
            if of:
                more = f" of garment {garment}" if plan.cuts[of].piece.garments > 1 else ""
                what, held = f"{plan.cuts[of].title}{more}", "all its copies"
            without = listed(_names(plan, lost), MOST_NAMED)
            said.append(
                f"{what} is NOT complete: no remnant was found to hold {held}, so only a part lies "
                f"on {listed(where, MOST_NAMED)}, without {without}. "
                "Cut nothing of it before you have cloth of the same dye lot for the rest."
            )
    return said


def _lot(plan: Plan, one_lot: str, id_: str, copy: int) -> tuple[str, int]:
    """Return the lot of a copy: its garment, and its piece where only those of one are together."""
    garment = (copy - 1) // plan.cuts[id_].piece.cut + 1
    return (id_ if LOTS[one_lot] == "piece" else "", garment)


def _garments(plan: Plan) -> int:
    """Return of how many garments the pieces of a plan are."""
    return max(cut.piece.garments for cut in plan.cuts.values())


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
