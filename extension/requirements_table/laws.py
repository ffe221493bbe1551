# SPDX-License-Identifier: GPL-2.0-or-later
"""Tables that never contradict themselves, by construction.

Every cell may use the layout of any other in which its own parts lie as they may: wider cloth
takes the layout of narrower cloth, cloth without nap that of cloth with nap, plain cloth that of
cloth with a design, a set of sizes that of a larger set with the other garments taken away; and
narrower cloth that of wider cloth where the layout happens to leave enough of the width free.
Whether it is valid there says the judge. Since each cell takes the shortest of them all, wider
cloth never needs more, nor does cloth without nap, nor plain cloth.

A larger size cannot borrow from a smaller one. Where it came out shorter, because the search was
luckier, the figure that is shown is raised to that of the smaller size.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from extension.requirements_table.lending import is_matched, lent_as_it_lies
from nesting.cloth.bounds import utilisation
from nesting.cloth.problem import allowed_turns
from nesting.cloth.rooms import FIT_TOLERANCE
from nesting.geometry.shapes import Points, oriented, signed_area, whole_outline
from nesting.judge.check import check
from nesting.model import Job, Layout, Piece, Placement

SHORTER = 1e-6
"""mm by which a borrowed layout must be shorter to be taken."""

Box = tuple[Points, Points]
"""The corner of a box nearest to the origin, and the one opposite; mm on the cloth."""


@dataclass(frozen=True, eq=False, slots=True)
class Donor:
    """A layout that may be lent, with its job and the box round its parts."""

    job: Job
    layout: Layout
    box: Box


def shortest(jobs: Sequence[Job], layouts: Sequence[Layout | None]) -> list[Layout | None]:
    """Return for every job the shortest layout that is valid for it, its own or a borrowed one.

    `jobs` are valid; `layouts` are complete and belong to the jobs in order, None where there is
    none. Of equally short ones the cell's own is kept, then the first.
    """
    pairs = zip(jobs, layouts, strict=True)
    donors = [
        Donor(job, layout, reach(job.pieces, layout.placements))
        for job, layout in pairs
        if layout is not None
    ]
    donors.sort(key=lambda donor: donor.layout.length)  # stable: of equals the first stays first
    return [_best(job, own, donors) for job, own in zip(jobs, layouts, strict=True)]


def _best(job: Job, own: Layout | None, donors: Sequence[Donor]) -> Layout | None:
    best = own
    for donor in donors:
        limit = float("inf") if best is None else best.length
        best = borrowed(donor, job, shorter_than=limit) or best
    if best is None or own is None:
        return best
    return replace(best, lower_bound=min(own.lower_bound, best.length))


def borrowed(donor: Donor, job: Job, *, shorter_than: float) -> Layout | None:
    """Return another job's layout as one of this job, or None where it is none or no shorter.

    The parts that this job does not have are taken away and the rest is moved to the corner of
    the cloth; see `lending` for folded cloth and designs. The lower bound is not known: it is 0.
    """
    lie_open = donor.job.fabric.is_plain and job.fabric.is_plain
    if not lie_open or is_matched(donor.job) or is_matched(job):
        if donor.layout.length >= shorter_than - SHORTER:
            return None
        return lent_as_it_lies(donor.job, donor.layout, job)
    whole = _parts(donor.job) == _parts(job)
    if whole and donor.layout.length >= shorter_than - SHORTER:
        return None
    if not _has_all(donor.job, job):
        return None
    spots = _of_job(donor.layout, job)
    low, high = donor.box if whole else reach(job.pieces, spots)
    margin = job.fabric.edge_margin
    length, width = (float(each) for each in high - low + 2.0 * margin)
    if length >= shorter_than - SHORTER or width > job.fabric.width + FIT_TOLERANCE:
        return None
    if not _turns_allowed(job, spots):
        return None
    found = _moved(donor.layout, job, spots, margin - low, length)
    return None if check(job, found) else found


def needed_width(job: Job, layout: Layout) -> float:
    """Return the width between the selvedges, mm, that a layout truly takes up."""
    low, high = reach(job.pieces, layout.placements)
    return float(high[1] - low[1]) + 2.0 * job.fabric.edge_margin


def raised(lengths: Sequence[float | None], smaller: Sequence[Sequence[int]]) -> list[float | None]:
    """Return the lengths with every one raised to the longest of those of smaller sizes.

    `smaller` are, for each cell, those of smaller sizes on the same cloth: all of them, not just
    the next. None stays None, and lifts nothing.
    """
    return [
        None if length is None else max([length, *_known(lengths[other] for other in others)])
        for length, others in zip(lengths, smaller, strict=True)
    ]


def reach(pieces: Sequence[Piece], spots: Sequence[Placement]) -> Box:
    """Return the box round placed parts."""
    known = {piece.id: piece for piece in pieces}
    wholes = {piece.id: whole_outline(piece) for piece in pieces}
    corners = []
    for spot in spots:
        points = oriented(wholes[spot.piece], known[spot.piece].grain, spot.turn, spot.flip)
        at = np.array([spot.x, spot.y])
        corners.append([points.min(axis=0) + at, points.max(axis=0) + at])
    table = np.array(corners)
    return table[:, 0].min(axis=0), table[:, 1].max(axis=0)


def _known(lengths: Iterable[float | None]) -> list[float]:
    return [length for length in lengths if length is not None]


def _parts(job: Job) -> int:
    return sum(piece.cut * piece.garments for piece in job.pieces)


def _has_all(donor: Job, job: Job) -> bool:
    """Return whether a job has every piece of another, alike and for as many garments."""
    theirs = {piece.id: piece for piece in donor.pieces}
    return all(
        piece.id in theirs
        and theirs[piece.id].garments >= piece.garments
        and replace(theirs[piece.id], garments=piece.garments) == piece
        for piece in job.pieces
    )


def _of_job(layout: Layout, job: Job) -> tuple[Placement, ...]:
    """Return the placements that a job needs of a layout that has them all."""
    garments = {piece.id: piece.garments for piece in job.pieces}
    return tuple(spot for spot in layout.placements if spot.garment <= garments.get(spot.piece, 0))


def _turns_allowed(job: Job, spots: Sequence[Placement]) -> bool:
    """Return whether parts lie as they may: a look that spares the judge most of his work."""
    allowed = {piece.id: allowed_turns(piece, job.fabric) for piece in job.pieces}
    tilting = {piece.id for piece in job.pieces if piece.off_grain > 0.0}
    return all(spot.piece in tilting or spot.turn % 360.0 in allowed[spot.piece] for spot in spots)


def _moved(
    layout: Layout, job: Job, spots: Sequence[Placement], by: Points, length: float
) -> Layout:
    """Return placements of a layout, moved, as a layout of a job."""
    dx, dy = map(float, by)
    moved = tuple(replace(spot, x=spot.x + dx, y=spot.y + dy) for spot in spots)
    outlines = {piece.id: layout.outlines[piece.id] for piece in job.pieces}
    areas = {id_: abs(signed_area(np.asarray(outline))) for id_, outline in outlines.items()}
    return replace(
        layout,
        width=job.fabric.width,
        length=length,
        utilisation=utilisation(sum(areas[spot.piece] for spot in moved), job.fabric.width, length),
        lower_bound=0.0,
        placements=moved,
        outlines=outlines,
    )
