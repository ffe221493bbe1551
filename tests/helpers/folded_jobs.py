# SPDX-License-Identifier: GPL-2.0-or-later
"""Hypothesis strategy for jobs on folded cloth: spreads, naps, gaps, margins, turns, held parts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from hypothesis import assume
from hypothesis import strategies as st

from nesting.model import OPEN, Fabric, Job, Piece, Section
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers import strategies as some

TURNS = ((0.0,), (0.0, 180.0), (0.0, 90.0, 180.0, 270.0))


@st.composite
def sections(draw: st.DrawFn, width: float) -> tuple[Section, ...]:
    """How cloth of a width lies: one or two lengths of it folded, the last one open."""
    share = st.sampled_from((0.125, 0.25, 0.375, 0.5))
    folded = st.one_of(
        st.just(Section(width / 2.0)),
        share.map(lambda one: Section(one * width)),
        share.map(lambda one: Section(0.0, one * width)),
        st.just(Section(width / 4.0, width / 4.0)),
        st.just(Section(width / 8.0, width / 4.0)),
        st.just(Section(None)),
        st.just(Section(None, None)),
        st.builds(Section, crosswise=st.just(True), turned=st.booleans()),
    )
    return (*draw(st.lists(folded, min_size=1, max_size=2)), OPEN)


@st.composite
def _half(draw: st.DrawFn, name: str) -> Piece:
    """A half on the fold, mostly with its fold edge along the grain."""
    outline, ((ax, ay), (bx, by)) = draw(some.half_outlines())
    along = math.degrees(math.atan2(by - ay, bx - ax))
    grain = draw(st.sampled_from((along, along, along + 180.0, along + 45.0)))
    return Piece(
        name,
        outline,
        cut=draw(st.integers(1, 2)),
        turns=draw(st.sampled_from(TURNS)),
        grain=(grain + 180.0) % 360.0 - 180.0,
        fold=((ax, ay), (bx, by)),
    )


@st.composite
def _whole(draw: st.DrawFn, name: str) -> Piece:
    """A piece cut once to four times, with a hand or without."""
    kinds = st.one_of(some.rectangles(20, 400), some.curved(24), some.l_shapes(), some.convex())
    return Piece(
        name,
        draw(kinds),
        cut=draw(st.integers(1, 4)),
        garments=draw(st.integers(1, 2)),
        hand=draw(st.sampled_from(("mirrored", "mirrored", "same"))),
        either_side=draw(st.booleans()),
        handed=draw(st.booleans()),
        turns=draw(st.sampled_from(TURNS)),
        turns_on_nap=draw(st.booleans()),
        off_grain=draw(st.sampled_from((0.0, 0.0, 2.0))),
    )


@st.composite
def folded(draw: st.DrawFn) -> Job:
    """Halves, pairs and singles on cloth that is folded for a length and open behind that."""
    halves = [draw(_half(f"half {k}")) for k in range(draw(st.integers(0, 2)))]
    wholes = [draw(_whole(f"whole {k}")) for k in range(draw(st.integers(not halves, 3)))]
    pieces = (*halves, *wholes)
    margin = draw(st.sampled_from((0.0, 0.0, 5.0, 12.5)))
    widest = max(some.reach(piece.outline) * (1 if piece.fold is None else 2) for piece in pieces)
    width = math.ceil(max(80.0, widest * draw(st.sampled_from((1.0, 1.5, 2.5))) + 2.0 * margin))
    fabric = Fabric(
        float(width),
        edge_margin=margin,
        gap=draw(st.sampled_from((0.0, 0.0, 0.5, 3.0, 10.0))),
        nap=draw(st.booleans()),
        sections=draw(sections(float(width))),
        sides=draw(st.sampled_from(("together", "apart"))),
    )
    return _with_held(draw, _ended(draw, Job(fabric, pieces)))


def _ended(draw: st.DrawFn, job: Job) -> Job:
    """Return a job on cloth without an end, or now and then on too little."""
    share = draw(st.sampled_from((None, None, None, 0.4, 0.8, 1.1)))
    if share is None:
        return job
    whole = solve(job, stop=AfterRounds(0), clock=lambda: 0.0).length
    assume(share * whole > 2.0 * job.fabric.edge_margin + 1.0)
    return replace(job, fabric=replace(job.fabric, length=share * whole))


def _with_held(draw: st.DrawFn, job: Job) -> Job:
    """Return a job with none of its parts held, or some as an earlier layout had them."""
    if job.fabric.length is not None or draw(st.booleans()):
        return job
    layout = solve(job, stop=AfterRounds(0), clock=lambda: 0.0)
    numbers = st.integers(0, len(layout.placements) - 1)
    kept: Sequence[int] = draw(st.lists(numbers, max_size=3, unique=True))
    known = tuple(Section(*one.depths, one.crosswise, one.turned) for one in layout.sections)
    held = tuple(layout.placements[k] for k in kept)
    return replace(job, fabric=replace(job.fabric, sections=known), held=held)
