# SPDX-License-Identifier: GPL-2.0-or-later
"""The judge: whether a layout keeps every rule of its job, on the true outlines.

It stands between every result and the person, so it shares no code with the search. Each rule is
a row of one table (`rules`); `check` asks them all, `check_laid` those about nothing but outlines
as they lie, and `check_held` those that a part can break before the others are laid.
"""

from __future__ import annotations

from collections.abc import Sequence

from nesting.judge.outlines import Laid, is_finite, lay
from nesting.judge.rules import RULES, Case, Of
from nesting.judge.verdict import Violation
from nesting.model import Fabric, Job, Layout


def check(job: Job, layout: Layout) -> tuple[Violation, ...]:
    """Return every broken rule of a layout, in the order of the rules; nothing means clean.

    The job must be valid (`jobfile.validated`); the layout may hold anything.
    """
    pieces = {piece.id: piece for piece in job.pieces}
    known = [spot for spot in layout.placements if spot.piece in pieces]
    laid = lay(pieces, [spot for spot in known if is_finite(spot)])
    return _asked(Case(job.fabric, laid, pieces, known, job, layout), "outlines", "parts", "layout")


def check_held(job: Job) -> tuple[Violation, ...]:
    """Return the rules that the held parts of a job break by themselves, before any is laid."""
    pieces = {piece.id: piece for piece in job.pieces}
    return _asked(Case(job.fabric, lay(pieces, job.held), pieces, job.held), "outlines", "parts")


def check_laid(laid: Sequence[Laid], fabric: Fabric) -> tuple[Violation, ...]:
    """Return what is wrong with parts as they lie on a fabric: overlap, gap, off the cloth."""
    return _asked(Case(fabric, laid, {}), "outlines")


def _asked(case: Case, *of: Of) -> tuple[Violation, ...]:
    """Return what breaks the rules about these things."""
    return tuple(found for rule in RULES if rule.of in of for found in rule.broken(case))
