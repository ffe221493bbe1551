# SPDX-License-Identifier: GPL-2.0-or-later
"""Layouts on folded cloth, or by a design, that one cell lends another.

Parts keep their distance from the fold, or from the lower selvedge. Only cells with the same pieces
lend each other, on cloth that lies in the same way: wider cloth takes what narrower cloth needs,
cloth without nap what cloth with nap does, and plain cloth what cloth with a design does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from nesting.cloth.bounds import utilisation
from nesting.cloth.repeats import has_match
from nesting.geometry.shapes import oriented, whole_outline
from nesting.judge.check import check
from nesting.model import Job, LaidSection, Layout, Piece, Placement, Section


def lent_as_it_lies(donor: Job, layout: Layout, job: Job) -> Layout | None:
    """Return a layout of `donor` as one of `job`, None where it is none; its bound is 0."""
    if not _may_lend(donor, job):
        return None
    wanted, have = job.fabric.sections, layout.sections or (LaidSection(length=layout.length),)
    if len(wanted) != len(have) or job.fabric.width < donor.fabric.width:
        return None
    sections = [_as(one, laid) for one, laid in zip(wanted, have, strict=True)]
    if any(section is None for section in sections):
        return None
    known = tuple(section for section in sections if section is not None)
    wider = job.fabric.width - donor.fabric.width
    spots = tuple(
        _moved(spot, have[spot.section - 1], known[spot.section - 1], middle, wider)
        for spot, middle in zip(layout.placements, _middles(job, layout.placements), strict=True)
    )
    area = layout.utilisation * layout.width * layout.length
    found = replace(
        layout,
        width=job.fabric.width,
        utilisation=utilisation(area, job.fabric.width, layout.length),
        lower_bound=0.0,
        placements=spots,
        sections=() if job.fabric.is_plain else known,
    )
    return None if check(job, found) else found


def _may_lend(donor: Job, job: Job) -> bool:
    """Return whether a job has the pieces of another, and no design that the other does not mind.

    Match points count on cloth with a repeat alone.
    """
    if donor.fabric.sides != job.fabric.sides:
        return False
    if not is_matched(job):
        return _bare(donor) == _bare(job)
    return donor.pieces == job.pieces and donor.fabric.repeat == job.fabric.repeat


def is_matched(job: Job) -> bool:
    """Return whether something of a job lies by a design."""
    return has_match(job.fabric, job.pieces)


def _bare(job: Job) -> tuple[Piece, ...]:
    """Return the pieces of a job without their match points."""
    return tuple(replace(piece, match=()) for piece in job.pieces)


def _as(wanted: Section, laid: LaidSection) -> LaidSection | None:
    """Return a laid section folded as a job wants it, None where it lies in another way."""
    if (wanted.crosswise, wanted.turned) != (laid.crosswise, laid.turned):
        return None
    lower, upper = (
        own if depth is None else depth
        for depth, own in zip(wanted.depths, (laid.lower, laid.upper), strict=True)
    )
    return replace(laid, lower=lower, upper=upper)


def _moved(
    spot: Placement, old: LaidSection, new: LaidSection, middle: float, wider: float
) -> Placement:
    """Return a placement for the section as it is now, as far from its fold as before.

    `middle` is that of the part across the cloth, which has become `wider`. A part at no fold keeps
    its distance from the edge of the layer beside it, or from the selvedge.
    """
    lower, upper = old.lower or 0.0, old.upper or 0.0
    deeper = (new.lower or 0.0) - lower
    if spot.layers == 1 and not spot.on_fold:
        return replace(spot, y=spot.y + 2.0 * deeper)
    if upper and (not lower or middle > 2.0 * lower):
        return replace(spot, y=spot.y + wider - (new.upper or 0.0) + upper)
    return replace(spot, y=spot.y + deeper)


def _middles(job: Job, spots: Sequence[Placement]) -> Iterator[float]:
    """Yield the middle of each whole part across the cloth, mm from the lower selvedge."""
    pieces = {piece.id: piece for piece in job.pieces}
    for spot in spots:
        piece = pieces[spot.piece]
        across = oriented(whole_outline(piece), piece.grain, spot.turn, spot.flip)[:, 1]
        yield spot.y + float(across.min() + across.max()) / 2.0
