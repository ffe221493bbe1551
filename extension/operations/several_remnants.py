# SPDX-License-Identifier: GPL-2.0-or-later
"""A run on several remnants: the engine is asked, in short runs, what each of them holds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely

from extension.job.options import LayOutOptions
from extension.job.plan import Cut, Plan, fabric_of
from extension.job.several_remnants import Sharing
from extension.language.words import listed
from extension.operations.running import Run
from nesting.geometry.shapes import whole_outline
from nesting.judge.verdict import capital
from nesting.model import Job
from nesting.solve import solve
from nesting.stop import AfterRounds, AnyOf

PROBE = 4
"""Rounds of a short run; the run that follows begins with the same ones."""
SHARE = 0.5
"""Share of the time limit after which no other way of sharing pieces out is tried."""
MOST_NAMED = 12


@dataclass(frozen=True, eq=False, slots=True)
class Shared:
    """The options of the layouts that come of it, and what is said about all of them."""

    options: tuple[LayOutOptions, ...]
    notes: tuple[str, ...]


def share_out(
    plan: Plan, options: Sequence[LayOutOptions], run: Run, seconds: float, rounds: int | None
) -> Shared:
    """Return the options of a layout on each remnant that is used, with the pieces it is to hold.

    `options` are those of all pieces of the plan on each remnant. Pieces that fit on none are with
    the remnant that has most room left, so that they are told there.
    """
    by_piece: dict[str, list[Cut]] = {}
    for cut in plan.cuts.values():
        by_piece.setdefault(cut.drawn.id, []).append(cut)
    names = list(by_piece)
    pieces = [sum(map(_area_of, by_piece[name])) for name in names]
    cloths = [one.remnant.area if one.remnant else 0.0 for one in options]
    probe = PROBE if rounds is None else max(1, min(PROBE, rounds // len(options)))

    def is_over() -> bool:
        return run.stop(0) or (rounds is None and run.clock() > SHARE * seconds)

    def holds(cloth: int, some: frozenset[int]) -> frozenset[int]:
        cuts = [cut for number in sorted(some) for cut in by_piece[names[number]]]
        own = options[cloth]
        layout = solve(
            Job(fabric_of(own), tuple(cut.piece for cut in cuts)),
            seed=own.seed,
            stop=AnyOf(AfterRounds(probe), run.stop),
            workers=own.workers,
            clock=run.clock,
        )
        left = {rest.piece for rest in layout.left_over}
        return frozenset(
            number
            for number in some
            if not any(cut.piece.id in left for cut in by_piece[names[number]])
        )

    found = Sharing(pieces, cloths, holds, is_over).shared()
    missing = set(range(len(names))) - {piece for some in found.values() for piece in some}
    if missing:
        room = {k: area - sum(pieces[p] for p in found.get(k, ())) for k, area in enumerate(cloths)}
        roomiest = max(room, key=lambda cloth: (room[cloth], -cloth))
        found[roomiest] = found.get(roomiest, frozenset()) | missing
    used = [(options[cloth], sorted(found[cloth])) for cloth in sorted(found)]
    each = None if rounds is None else max(probe, rounds // len(used))
    laid = [
        replace(own, select=tuple(names[number] for number in some), rounds=each)
        for own, some in used
    ]
    said = [_holds_text(own, [by_piece[names[number]][0] for number in some]) for own, some in used]
    idle = [one.remnant.title for k, one in enumerate(options) if k not in found and one.remnant]
    unfit = [by_piece[names[number]][0].title for number in sorted(missing)]
    said += [f"Not all of this was found to fit: {listed(unfit, MOST_NAMED)}."] if unfit else []
    said += [f"Not needed: {listed(idle, MOST_NAMED)}."] if idle else []
    return Shared(tuple(laid), tuple(said))


def _holds_text(options: LayOutOptions, cuts: Sequence[Cut]) -> str:
    """Return which pieces are laid on a remnant."""
    title = options.remnant.title if options.remnant else ""
    names = listed(list(dict.fromkeys(cut.title for cut in cuts)), MOST_NAMED)
    return f"{capital(title)}: {names}."


def _area_of(cut: Cut) -> float:
    """Return the area of all copies of a piece, mm2."""
    return float(shapely.Polygon(whole_outline(cut.piece)).area) * cut.copies
