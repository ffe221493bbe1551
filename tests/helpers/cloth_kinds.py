# SPDX-License-Identifier: GPL-2.0-or-later
"""Hypothesis strategies for what lies on cloth: flaws and borders, on open and on folded cloth."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import reject
from hypothesis import strategies as st

from nesting.errors import JobError
from nesting.model import OPEN, Band, Edge, Job, Match, Repeat, Section
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers import strategies as some
from tests.helpers.folded_jobs import folded
from tests.helpers.matched_jobs import matched

QUARTERS = (0.0, 90.0, 180.0, 270.0)


@st.composite
def with_flaws(draw: st.DrawFn, job: Job) -> Job:
    """A job on cloth with one to four flaws: specks, streaks, and some that reach beyond it.

    Every fourth piece is hidden in the garment and may lie over them.
    """
    width = job.fabric.width
    flaws = []
    for _ in range(draw(st.integers(1, 4))):
        shape = draw(
            st.one_of(
                some.rectangles(1, 20), some.star_shaped(2, 60), some.l_shapes(), some.needles()
            )
        )
        x, y = draw(some.lengths(0, 600)), draw(some.lengths(0, width))
        flaws.append(some.moved(shape, x, y))
    if draw(st.booleans()):
        streak = draw(some.lengths(0, 300))
        flaws.append(((streak, -5.0), (streak + 9.0, -5.0), (streak, width + 5.0)))
    pieces = tuple(replace(piece, hidden=draw(st.integers(0, 3)) == 0) for piece in job.pieces)
    return replace(job, fabric=replace(job.fabric, flaws=tuple(flaws)), pieces=pieces)


@st.composite
def with_borders(draw: st.DrawFn, job: Job, *, alike: bool = False) -> Job:
    """A job on cloth with a border at one selvedge or at both, and pieces that ask for it or not.

    `alike`: at both, and each the mirror image of the other.
    """
    margin = job.fabric.edge_margin
    widest = max(
        some.reach(piece.outline) * (1 if piece.fold is None else 2) for piece in job.pieces
    )
    below, above = (draw(st.one_of(st.just(0.0), some.lengths(1, 90))) for _ in range(2))
    above = below if alike else above
    width = 2.0 * margin + below + above + widest + draw(some.lengths(1, 150))
    width = max(width, job.fabric.width) if alike else width
    strip = draw(some.lengths(1, 5))
    lower, upper = margin + below, width - margin - above
    both = (Band("a", lower, lower + strip), Band("b", upper, upper - strip))
    bands = draw(st.sampled_from([both[:1], both[1:], both, both] if not alike else [both]))
    every: tuple[Edge, ...] = ("", "hem", "hem", "top", "left", "right")
    edges = st.sampled_from(every)
    asking = [replace(piece, band=draw(edges)) for piece in job.pieces]
    pieces = tuple(
        replace(piece, turns=QUARTERS, turns_on_nap=True) if piece.band else piece
        for piece in asking
    )
    width = max(width, job.fabric.width)
    return Job(replace(job.fabric, width=width, bands=bands), pieces)


@st.composite
def folded_flawed(draw: st.DrawFn) -> Job:
    """Folded cloth with flaws in either layer. Some has a design."""
    job = draw(st.one_of(folded(), folded(), matched()))
    sections = tuple(one for one in job.fabric.sections if not one.crosswise)
    cloth = replace(job.fabric, sections=sections)
    return draw(with_flaws(replace(job, fabric=cloth, held=())))


@st.composite
def folded_bordered(draw: st.DrawFn) -> Job:
    """Folded cloth with borders, mostly such as lie over each other; some has stripes."""
    job = draw(with_borders(replace(draw(folded()), held=()), alike=draw(st.integers(0, 3)) > 0))
    width, old = job.fabric.width, job.fabric.sections
    halved = (Section(width / 2.0), OPEN)
    crosswise = (Section(crosswise=True, turned=draw(st.booleans())), OPEN)
    sections = draw(st.sampled_from((old, halved, crosswise)))
    if any((one.lower or 0.0) + (one.upper or 0.0) > width / 2.0 for one in sections):
        reject()
    repeat = draw(st.sampled_from((None, None, Repeat(along=40.0))))
    pieces = [
        replace(piece, match=(Match(piece.outline[0], "side"),))
        if repeat and piece.band in ("", "left", "right") and piece.cut > 1
        else piece
        for piece in job.pieces
    ]
    fabric = replace(job.fabric, sections=sections, repeat=repeat)
    try:
        solve(Job(fabric, tuple(pieces)), stop=AfterRounds(0), clock=lambda: 0.0)
    except JobError:  # no turn that is left puts the edge on it
        reject()
    return Job(fabric, tuple(pieces))
