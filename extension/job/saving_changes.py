# SPDX-License-Identifier: GPL-2.0-or-later
"""The single changes that are tried where a person asks what would save cloth.

Beside those that may make parts fit: either side up, wider cloth, everything twice, and a consent
of one piece alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from extension.job.changes import Change, across, changes_of, consent, off_grain, with_options
from extension.job.changes import with_pieces as plan_with
from extension.job.options import COUNT_LIMIT, SELVEDGE, LayOutOptions
from extension.job.plan import Plan
from extension.language.rounding import small_text
from extension.language.units import MM_PER_INCH, System
from nesting.model import Fabric, Piece

USUAL_WIDTHS: dict[System, tuple[float, ...]] = {
    "metric": (900.0, 1150.0, 1400.0, 1500.0, 1600.0),
    "imperial": tuple(MM_PER_INCH * width for width in (36, 45, 54, 60, 72)),
}
"""mm as on the bolt: the widths for which pattern envelopes most often tell a length (common
practice, no source)."""
WIDER, NARROWER = 2, 1
"""Usual widths that are tried: the next ones."""
_AS_WIDE = 15.0
"""mm by which a width may be off a usual one and be it: 112 cm is sold as 45 in, and as 115 cm."""


def saving_changes(plan: Plan, options: LayOutOptions, *, is_compared: bool) -> list[Change]:
    """Return the changes that may take less cloth, those that give up least first.

    Of a consent all pieces that do not give it yet give it at once: where it saves nothing then,
    no piece alone need be tried. `is_compared`: the cloth was laid folded and open already.
    """
    kept = changes_of(plan, options, is_compared=is_compared)
    of_cloth = [change for change in kept if not change.is_consent]
    consents = (*off_grain(plan, options), *_either_side(plan, options), *across(plan, options))
    return [*_twice(plan, options), *_as_wide(plan, options), *of_cloth, *consents]


def of_one_piece(change: Change, piece: str) -> Change:
    """Return a consent that one piece alone gives."""
    given = {one.id: one for one in change.plan.job.pieces}
    pieces = tuple(given[one.id] if one.id == piece else one for one in change.before.job.pieces)
    return replace(change, plan=plan_with(change.before, pieces))


def next_widths(options: LayOutOptions) -> tuple[float, ...]:
    """Return the next usual widths of cloth, mm as on the bolt: wider ones, then a narrower one."""
    booked = options.fabric_width
    if options.width_is == "usable":
        booked += 2.0 * SELVEDGE[options.system]
    usual = USUAL_WIDTHS[options.system]
    wider = [width for width in usual if width > booked + _AS_WIDE]
    narrower = [width for width in usual if width < booked - _AS_WIDE]
    return (*wider[:WIDER], *narrower[-NARROWER:])


def _is_this_cloth(plan: Plan, options: LayOutOptions) -> bool:
    """Return whether one piece of cloth is meant and no other: it is there, or parts lie on it."""
    return options.fabric_length is not None or bool(options.flaws or plan.job.held)


def _as_wide(plan: Plan, options: LayOutOptions) -> Iterator[Change]:
    """Yield the next usual widths."""
    if _is_this_cloth(plan, options):
        return
    for width in next_widths(options):
        typed = width
        if options.width_is == "usable":
            typed -= 2.0 * SELVEDGE[options.system]
        other = replace(options, fabric_width=typed)
        yield Change(
            f"on cloth {small_text(width, options.system)} wide as on the bolt",
            f"cloth {small_text(width, options.system)} wide",
            "nothing, if it is sold so wide and a metre or yard costs the same",
            plan,
            with_options(plan, other),
            other,
        )


def _twice(plan: Plan, options: LayOutOptions) -> Iterator[Change]:
    """Yield twice as many garments, laid together."""
    counts = (options.garments, *(count for _, count in options.sizes))
    if _is_this_cloth(plan, options) or 2 * max(counts) > COUNT_LIMIT:
        return
    pieces = tuple(replace(one, garments=2 * one.garments) for one in plan.job.pieces)
    count = options.garments_in_all
    words = "with two garments laid together", "two garments together"
    if count > 1:
        words = f"with {2 * count} garments laid together instead of {count}", "twice as many"
    other = replace(
        options,
        garments=2 * options.garments,
        sizes=tuple((size, 2 * number) for size, number in options.sizes),
    )
    gives_up = "buying for fewer; the figures are those of one half"
    yield Change(*words, gives_up, plan, plan_with(plan, pieces), other, times=2)


def _either_side(plan: Plan, options: LayOutOptions) -> Iterator[Change]:
    """Yield a consent to be cut with either side up, of all pieces that give none.

    On open cloth alone: on folded cloth one of two layers lies wrong side up already.
    """
    if not plan.job.fabric.is_plain:
        return

    def either(piece: Piece, fabric: Fabric) -> Piece:
        drawn = plan.cuts[piece.id].drawn
        may_flip = piece.fold is None and not drawn.symmetric
        return replace(piece, either_side=piece.either_side or may_flip)

    gives_up = "which side of it is the right one: only for cloth that is alike on both sides"
    words = "with {} cut with either side up", "either side up"
    yield from consent(plan, options, words, gives_up, either)
