# SPDX-License-Identifier: GPL-2.0-or-later
"""Hypothesis strategies for jobs on pieces of cloth, and of pieces whose edges grew one by one."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import assume, reject
from hypothesis import strategies as st

from extension.language.errors import DrawingError
from extension.pieces.allowance import with_allowance
from extension.pieces.model import Edge
from nesting.errors import JobError
from nesting.jobs.validation import validated
from nesting.model import Fabric, Job, Lot, Outline, Piece
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers import strategies as some

Jobs = st.SearchStrategy[Job]


@st.composite
def remnants(draw: st.DrawFn, base: Jobs) -> Job:
    """Remnants with cut-out corners, slanting and round ones, with holes or without."""
    job = draw(base)
    whole = solve(job, stop=AfterRounds(0), clock=lambda: 0.0).length
    length = max(20.0, draw(st.floats(0.3, 1.5)) * whole)
    return _valid(replace(job, fabric=draw(_remnant(job.fabric, length))))


@st.composite
def several(draw: st.DrawFn, base: Jobs) -> Job:
    """Two to four pieces of cloth, some with an outline of their own, some the same.

    Often too little for all; every third time something must be of one lot.
    """
    job = draw(base)
    whole = solve(job, stop=AfterRounds(0), clock=lambda: 0.0).length
    fabrics: list[Fabric] = []
    for _ in range(draw(st.integers(2, 4))):
        length = max(20.0, draw(st.floats(0.15, 0.9)) * whole)
        assume(2.0 * job.fabric.edge_margin < length)
        narrow = draw(st.sampled_from((1.0, 1.0, 0.7))) if fabrics else 1.0
        width = job.fabric.width * narrow
        assume(2.0 * job.fabric.edge_margin < width)
        plain = replace(job.fabric, width=max(width, 10.0), length=length)
        fabrics.append(draw(st.one_of(st.just(plain), _remnant(plain, length))))
    fabrics += [fabrics[0]] if draw(st.booleans()) else []
    lots: tuple[Lot, ...] = ("", "", "", "", "piece", "garment")
    garments = draw(st.integers(1, 2))
    pieces = tuple(replace(piece, garments=garments) for piece in job.pieces)
    lot = draw(st.sampled_from(lots))
    return _valid(Job(fabrics[0], pieces, fabrics=tuple(fabrics), one_lot=lot))


@st.composite
def _remnant(draw: st.DrawFn, fabric: Fabric, length: float) -> Fabric:
    """Return cloth with an outline of its own, so long and as wide as some."""
    width = fabric.width
    x, y = length * draw(st.floats(0.1, 0.9)), width * draw(st.floats(0.1, 0.9))
    corner = ((0.0, 0.0), (length, 0.0), (length, y), (x, y), (x, width), (0.0, width))
    slanting = ((0.0, 0.0), (length, 0.0), (x, width), (0.0, y))
    outline = draw(st.one_of(st.just(corner), st.just(slanting), some.star_shaped(), some.curved()))
    low, high = (tuple(map(pick, zip(*outline, strict=True))) for pick in (min, max))
    along, across = length / (high[0] - low[0]), width / (high[1] - low[1])
    outline = tuple(((x - low[0]) * along, (y - low[1]) * across) for x, y in outline)
    holes = [
        some.moved(
            draw(some.star_shaped(2, 60)), draw(some.lengths(0, 300)), draw(some.lengths(0, 300))
        )
        for _ in range(draw(st.integers(0, 2)))
    ]
    return replace(fabric, length=None, outline=outline, holes=tuple(holes))


@st.composite
def edged(draw: st.DrawFn) -> Job:
    """Pieces, halves on the fold among them, whose edges grew by allowances of their own.

    On endless cloth or on a remnant.
    """
    pieces = []
    for number in range(1, draw(st.integers(2, 4))):
        kinds = st.one_of(
            some.rectangles(30, 200), some.l_shapes(), some.curved(30), some.star_shaped(40, 200)
        )
        half = draw(st.one_of(st.none(), some.half_outlines()))
        outline: Outline = draw(kinds) if half is None else half[0]
        fold = None if half is None else (half[1][0], half[1][1])
        at = draw(st.integers(0, len(outline) - 1))
        side = outline[at], outline[(at + 1) % len(outline)]
        amount = draw(st.sampled_from((0.0, 4.0, 20.0, 45.0)))
        usual = draw(st.sampled_from((0.0, 6.0, 15.0)))
        on_fold = fold is not None and {*side} <= {*fold}
        edges = [] if on_fold else [Edge("hem", amount, side)]
        try:
            grown, ends, _ = with_allowance(outline, fold, usual, "“Piece”", edges)
        except DrawingError:
            reject()
        pieces.append(
            Piece(f"p{number}", grown, cut=draw(st.integers(1, 3)), fold=ends, turns=(0.0, 180.0))
        )
    widest = max(some.reach(piece.outline) * (1 if piece.fold is None else 2) for piece in pieces)
    width = max(10.0, widest + draw(some.lengths(0, 150)))
    gap = draw(st.sampled_from((0.0, 3.0)))
    job = _valid(Job(Fabric(width, gap=gap, nap=draw(st.booleans())), tuple(pieces)))
    return draw(remnants(st.just(job))) if draw(st.integers(0, 2)) == 0 else job


def _valid(job: Job) -> Job:
    """Return a valid job, made clean; another one is drawn where it cannot be laid."""
    try:
        return validated(job)
    except JobError:
        reject()
