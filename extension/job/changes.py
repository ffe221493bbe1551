# SPDX-License-Identifier: GPL-2.0-or-later
"""Single changes to how pieces are laid that may take less cloth, and what each of them gives up.

Nothing of this is done unasked: a short run measures it, and it is told beside what it gives up.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from extension.job.design import runs_one_way
from extension.job.options import LayOutOptions
from extension.job.plan import Cut, Plan, fabric_of
from extension.language.rounding import small_text
from extension.language.spreads import spread_name
from extension.language.words import listed
from nesting.cloth.hands import hands_of
from nesting.cloth.lots import lots_of
from nesting.cloth.problem import allowed_turns, lying_turns
from nesting.cloth.remnant import cloth_area
from nesting.model import Fabric, Job, Layout, Piece

OFF_GRAIN = 2.0
"""Degrees off the grain that are tried where a piece does not say that it may lie so."""
QUARTERS = (90.0, 270.0)
MOST = 12
"""Pieces that a sentence names."""
NO_NAP = "without nap"
FOLDED = "on cloth folded lengthwise instead of open"
OPEN = "open"
_NOISE = 1e-6


@dataclass(frozen=True, eq=False, slots=True)
class Change:
    """A plan with one thing changed. `before` is the plan as it was.

    `words` and `gives_up` are parts of a sentence; of a consent that pieces would give, `{}` is
    where those are named that made use of it. `short` names it where it is one of many. `times`:
    how many times as much it lays as before.
    """

    words: str
    short: str
    gives_up: str
    before: Plan
    plan: Plan
    options: LayOutOptions
    times: int = 1

    def told(self, layout: Layout | None = None) -> str:
        """Return what is changed; with a layout by it, for which pieces, and what is given up."""
        if layout is None:
            return self.words.format("pieces")
        used = self.used_by(layout)
        if self.is_consent and not used:
            return "with nothing changed (a longer run should find it)"
        return f"{self.named(used)} (given up: {self.gives_up})"

    @property
    def is_narrower(self) -> bool:
        """Whether it lays the parts on narrower cloth, which saves no length."""
        return self.plan.job.fabric.width < self.before.job.fabric.width

    @property
    def is_consent(self) -> bool:
        """Whether pieces would give it."""
        return "{}" in self.words

    def named(self, used: Sequence[str]) -> str:
        """Return what is changed, for the pieces of these ids."""
        titles = dict.fromkeys(self.before.cuts[id_].title for id_ in used)
        return self.words.format(listed(list(titles), MOST) or "pieces")

    def short_of(self, used: Sequence[str]) -> str:
        """Return it in short, with the pieces of these ids where there are any."""
        titles = dict.fromkeys(self.before.cuts[id_].title for id_ in used)
        return " ".join(filter(None, (listed(list(titles), MOST), self.short)))

    def used_by(self, layout: Layout) -> list[str]:
        """Return the ids of the pieces that lie on a layout as they might not have before."""
        job = self.before.job
        pieces = {piece.id: piece for piece in job.pieces}
        allowed = {piece.id: lying_turns(piece, job.fabric) for piece in job.pieces}
        used = {
            spot.piece
            for spot in layout.placements
            if all(_apart(spot.turn, turn) > _NOISE for turn in allowed[spot.piece])
            or (
                len(spot.copies) == 1
                and spot.flip not in hands_of(pieces[spot.piece], *spot.copies)
            )
        }
        return [piece.id for piece in job.pieces if piece.id in used]


@dataclass(frozen=True, eq=False, slots=True)
class Tried:
    """A change and the judged layout of all parts by a short run with it.

    None: it was not tried, for want of time, or where not `is_possible` parts cannot be laid so.
    `fits`: by the judge it is one on the cloth that is there.
    """

    change: Change
    layout: Layout | None
    fits: bool = False
    is_possible: bool = True

    @property
    def is_open(self) -> bool:
        """Whether nothing is known of it."""
        return self.layout is None and self.is_possible


def changes_of(plan: Plan, options: LayOutOptions, *, is_compared: bool) -> list[Change]:
    """Return the single changes that may take less cloth, those that give up least first.

    `is_compared`: the cloth was laid folded and open already.
    """
    spreads = () if is_compared else tuple(_other_spread(plan, options))
    made = [*_less_gap(plan, options), *spreads, *_no_nap(plan, options)]
    return [*made, *off_grain(plan, options), *across(plan, options)]


def nap_may_matter(plan: Plan) -> bool:
    """Return whether some piece could lie in another way if the cloth had no nap.

    A design that has one way up has it without nap as well.
    """
    fabric = plan.job.fabric
    if runs_one_way(fabric.repeat):
        return False
    free = replace(fabric, nap=False)
    return fabric.nap and any(
        allowed_turns(piece, free) != allowed_turns(piece, fabric) for piece in plan.job.pieces
    )


def may_be_cut_double(job: Job) -> bool:
    """Return whether some pieces could lie on a fold of the cloth, or be cut twice at once."""
    halves = any(piece.fold is not None for piece in job.pieces)
    return halves or any(len(lot.copies) > 1 for lot in lots_of(job))


def area_of_cloth_is_too_small(plan: Plan, layout: Layout, cloth: float) -> bool:
    """Return whether no way to lay the parts can bring all of them onto `cloth` mm: by area alone.

    `layout` is one of the plan that leaves some over. A remnant has the area that it has.
    """
    fabric = plan.job.fabric
    whole = cloth_area(fabric) if fabric.outline else cloth * fabric.width
    covered = whole if fabric.outline else layout.length * layout.width
    missing = sum(area_of(layout, left.piece) * len(left.copies) for left in layout.left_over)
    # Half a per cent more, because the judge lets parts share a hair.
    return layout.utilisation * covered + missing > 1.005 * whole


def area_of(layout: Layout, piece: str) -> float:
    """Return the area, mm2, of the whole outline of a piece of a layout."""
    outline = layout.outlines[piece]
    around = zip(outline, (*outline[1:], outline[0]), strict=True)
    return abs(math.fsum(ax * by - bx * ay for (ax, ay), (bx, by) in around)) / 2.0


def _apart(one: float, other: float) -> float:
    """Return how far two directions are apart, degrees."""
    return abs((one - other + 180.0) % 360.0 - 180.0)


def _on(plan: Plan, fabric: Fabric) -> Plan:
    """Return a plan on other cloth."""
    return replace(plan, job=replace(plan.job, fabric=fabric))


def with_options(plan: Plan, options: LayOutOptions) -> Plan:
    """Return a plan on the cloth of other options."""
    return _on(plan, fabric_of(options))


def _less_gap(plan: Plan, options: LayOutOptions) -> Iterator[Change]:
    """Yield parts that touch."""
    if options.gap > 0.0:
        other = replace(options, gap=0.0)
        yield Change(
            "with no gap between parts",
            "no gap",
            f"the {small_text(options.gap, options.system)} between them, so that one cut parts "
            "two",
            plan,
            _on(plan, replace(plan.job.fabric, gap=0.0)),
            other,
        )


def _other_spread(plan: Plan, options: LayOutOptions) -> Iterator[Change]:
    """Yield open cloth instead of folded, or the other way round."""
    if plan.job.held or options.border or options.remnant:
        return
    if options.spread != OPEN:
        asked = spread_name(options.sections[0], options.usable_width, options.system)
        other = replace(options, spread=OPEN)
        words, short = f"on open cloth instead of {asked}", "open cloth"
        gives_up = "cutting two at once"
    elif may_be_cut_double(plan.job):
        other = replace(options, spread="lengthwise")
        words, short = FOLDED, "folding it lengthwise"
        gives_up = "seeing each part on one layer; what lies on two is cut through both"
    else:
        return
    yield Change(words, short, gives_up, plan, with_options(plan, other), other)


def _no_nap(plan: Plan, options: LayOutOptions) -> Iterator[Change]:
    """Yield cloth without nap."""
    if nap_may_matter(plan) and not runs_one_way(options.design):
        other = replace(options, nap=False)
        gives_up = "all tops one way, which shows on cloth that has a nap or a one-way print"
        free = with_options(plan, other)
        if plan.job.held:  # which lie as the cloth lies now
            free = _on(plan, replace(plan.job.fabric, nap=False))
        yield Change(NO_NAP, "no nap", gives_up, plan, free, other)


def off_grain(plan: Plan, options: LayOutOptions) -> Iterator[Change]:
    """Yield a consent to lie a little off the grain, of all pieces that give none."""

    def leaning(piece: Piece, fabric: Fabric) -> Piece:
        return replace(piece, off_grain=max(piece.off_grain, OFF_GRAIN))

    words = f"with {{}} up to {OFF_GRAIN:g}° off the grain", f"{OFF_GRAIN:g}° off the grain"
    yield from consent(plan, options, words, "the exact grain", leaning)


def across(plan: Plan, options: LayOutOptions) -> Iterator[Change]:
    """Yield a consent to be turned across the grain, of all pieces that give none."""

    def turned(piece: Piece, fabric: Fabric) -> Piece:
        turns = allowed_turns(piece, fabric)
        return replace(piece, turns=tuple(dict.fromkeys((*turns, *QUARTERS))), turns_on_nap=True)

    nap = ", and all tops one way" if plan.job.fabric.nap else ""
    gives_up = f"the grain: cloth gives and hangs otherwise across{nap}"
    words = "with {} turned across the grain", "across the grain"
    yield from consent(plan, options, words, gives_up, turned)


def consent(
    plan: Plan,
    options: LayOutOptions,
    words: tuple[str, str],
    gives_up: str,
    given: Callable[[Piece, Fabric], Piece],
) -> Iterator[Change]:
    """Yield what pieces might do if they gave a consent; nothing where all give it already.

    `words` are those of the change, and the short ones.
    """
    fabric = plan.job.fabric
    pieces = tuple(given(piece, fabric) for piece in plan.job.pieces)
    if all(
        _ways_to_lie(new, fabric) == _ways_to_lie(old, fabric)
        for new, old in zip(pieces, plan.job.pieces, strict=True)
    ):
        return
    yield Change(*words, gives_up, plan, with_pieces(plan, pieces), options)


def with_pieces(plan: Plan, pieces: tuple[Piece, ...]) -> Plan:
    """Return a plan whose pieces are cut otherwise."""
    cuts: Mapping[str, Cut] = {
        piece.id: replace(plan.cuts[piece.id], piece=piece) for piece in pieces
    }
    return replace(plan, cuts=cuts, job=replace(plan.job, pieces=pieces))


def _ways_to_lie(piece: Piece, fabric: Fabric) -> tuple[object, ...]:
    """Return in which turns a piece may lie, and with which side up its copies may."""
    return lying_turns(piece, fabric), [hands_of(piece, copy + 1) for copy in range(piece.cut)]
