# SPDX-License-Identifier: GPL-2.0-or-later
"""The judge: whether a layout keeps every rule of its job, on the true outlines.

It stands between every result and the person, so it shares no code with the search. Each rule is
a row of one table (`rules`); `check` asks them all, `check_laid` those about nothing but outlines
as they lie, and `check_held` those that a part can break before the others are laid.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from nesting.judge.flaws import FLAW
from nesting.judge.outlines import Laid
from nesting.judge.rules import RULES, Case, Of
from nesting.judge.unfolding import Unfolded, unfold
from nesting.judge.verdict import Violation, keys_of
from nesting.judge.zones import sections_of
from nesting.model import Fabric, Job, Layout, Piece, Placement, Section


def check(job: Job, layout: Layout) -> tuple[Violation, ...]:
    """Return every broken rule of a layout, in the order of the rules; nothing means clean.

    The job must be valid (`jobfile.validated`); the layout may hold anything.
    """
    pieces = {piece.id: piece for piece in job.pieces}
    known = [spot for spot in layout.placements if spot.piece in pieces]
    if job.fabrics:
        return _on_several(job, layout, pieces, known)
    flat = unfold(job.fabric, pieces, known, sections_of(job.fabric, layout))
    case = Case(job.fabric, flat.laid, pieces, known, job, layout, flat)
    return _asked(case, "outlines", "parts", "layout")


def _on_several(
    job: Job, layout: Layout, pieces: dict[str, Piece], known: Sequence[Placement]
) -> tuple[Violation, ...]:
    """Return every broken rule on several pieces of cloth: on each, then of all together."""
    found: list[Violation] = []
    cloths: dict[int, Unfolded] = {}
    for number, fabric in enumerate(job.fabrics, 1):
        own = [spot for spot in known if spot.fabric == number]
        cloths[number] = flat = unfold(fabric, pieces, own)
        broken = _asked(Case(fabric, flat.laid, pieces, own, unfolded=flat), "outlines", "parts")
        found += [replace(one, sentence=f"Cloth {number}: {one.sentence}") for one in broken]
    whole = Unfolded(
        [cut for flat in cloths.values() for cut in flat.cuts],
        [laid for flat in cloths.values() for laid in flat.laid],
        tuple(length for flat in cloths.values() for length in flat.lengths),
        [],
    )
    case = Case(job.fabric, whole.laid, pieces, known, job, layout, whole, cloths)
    return (*found, *_asked(case, "layout"))


def check_held(job: Job) -> tuple[Violation, ...]:
    """Return the rules that the held parts of a job break by themselves, before any is laid.

    Where a later section begins, and so which flaws lie on it, is not known before.
    """
    pieces = {piece.id: piece for piece in job.pieces}
    later = {key for spot in job.held if spot.section > 1 for key in keys_of(spot)}
    return tuple(
        one
        for one in check_placed(job.fabric, pieces, job.held)
        if one.kind != FLAW or later.isdisjoint(one.parts)
    )


def check_placed(
    fabric: Fabric,
    pieces: dict[str, Piece],
    placements: Sequence[Placement],
    sections: Sequence[Section] = (),
) -> tuple[Violation, ...]:
    """Return the rules that some placements of pieces break, whatever else is still to be laid.

    `sections` are how the cloth lies, its depths known; else as the fabric says.
    """
    flat = unfold(fabric, pieces, placements, sections)
    case = Case(fabric, flat.laid, pieces, placements, unfolded=flat)
    return _asked(case, "outlines", "parts")


def check_laid(laid: Sequence[Laid], fabric: Fabric) -> tuple[Violation, ...]:
    """Return what is wrong with outlines as they lie on flat cloth: overlap, gap, off the cloth.

    Of folded cloth they are those that `unfold` gives.
    """
    return _asked(Case(fabric, laid, {}), "outlines")


def _asked(case: Case, *of: Of) -> tuple[Violation, ...]:
    """Return what breaks the rules about these things."""
    return tuple(found for rule in RULES if rule.of in of for found in rule.broken(case))
