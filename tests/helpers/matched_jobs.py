# SPDX-License-Identifier: GPL-2.0-or-later
"""Hypothesis strategy for jobs on cloth with a design: repeats, match points, folded or open."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st

from nesting.model import OPEN, Fabric, Hand, Job, Match, On, Piece, Repeat, Section
from tests.helpers import strategies as some

ON: tuple[On, ...] = ("", "", "", "line", "between")
"""Where the points of a group lie: mostly anywhere alike."""


@st.composite
def _repeats(draw: st.DrawFn) -> Repeat:
    """Stripes along or across, checks, prints in a half-drop; even ones and uneven ones."""
    along, across = draw(some.lengths(8, 120)), draw(some.lengths(8, 120))
    kind = draw(st.sampled_from(("along", "across", "both", "both", "drop")))
    return Repeat(
        along=0.0 if kind == "across" else along,
        across=0.0 if kind == "along" else across,
        first=draw(some.lengths(0, 60)),
        even=draw(st.booleans()),
        half_drop=kind == "drop",
    )


@st.composite
def _piece(draw: st.DrawFn, name: str) -> Piece:
    """A piece, mostly with a match point at one of its corners."""
    kinds = st.one_of(some.rectangles(20, 300), some.l_shapes(), some.convex(20, 200))
    outline = draw(kinds)
    match = Match(
        draw(st.sampled_from(outline)),
        draw(st.sampled_from("abc")),
        draw(st.sampled_from(("both", "both", "along", "across"))),
    )
    return Piece(
        name,
        outline,
        cut=draw(st.integers(1, 4)),
        hand=draw(st.sampled_from(("mirrored", "same"))),
        turns=draw(st.sampled_from(((0.0,), (0.0, 180.0), (0.0, 90.0, 180.0, 270.0)))),
        grain=draw(st.sampled_from((0.0, 0.0, 90.0, 180.0))),
        match=draw(st.sampled_from(((match,), (match,), ()))),
    )


@st.composite
def matched(draw: st.DrawFn) -> Job:
    """Pieces with match points of up to three groups, on open cloth or behind a folded length."""
    pieces = tuple(draw(_piece(f"p{k}")) for k in range(draw(st.integers(1, 4))))
    repeat = draw(_repeats())
    widest = max(some.reach(piece.outline) for piece in pieces)
    # A part that keeps to its steps wants a repeat more than it is wide.
    width = 2.0 * (widest + 2.0 * repeat.across + 40.0)
    on_line = repeat.first + 2.0 * repeat.across
    depth = draw(st.sampled_from((width / 2.0, on_line, width / 4.0, None)))
    is_folded = draw(st.booleans()) and (depth is None or 0.0 < depth <= width / 2.0)
    fabric = Fabric(
        width,
        edge_margin=draw(st.sampled_from((0.0, 0.0, 10.0))),
        gap=draw(st.sampled_from((0.0, 0.0, 3.0))),
        nap=draw(st.booleans()),
        sections=(Section(depth), OPEN) if is_folded else (OPEN,),
        repeat=repeat,
    )
    return Job(fabric, _lined(draw, tuple(_with_partner(pieces, piece) for piece in pieces)))


@st.composite
def chained(draw: st.DrawFn) -> Job:
    """Pieces that hang together one by one, each by points of two groups, as a garment's do.

    On an uneven design all copies are alike: two points of a mirrored one could not both match.
    """
    job = draw(matched())
    repeat = job.fabric.repeat
    hands: tuple[Hand, ...] = ("same", "mirrored") if repeat and repeat.even else ("same",)
    pieces = [
        replace(
            piece,
            hand=draw(st.sampled_from(hands)),
            match=tuple(
                Match(draw(st.sampled_from(piece.outline)), f"seam {number + end}")
                for end in (0, 1)
            ),
        )
        for number, piece in enumerate(job.pieces)
    ]
    return replace(job, pieces=tuple(_with_partner(tuple(pieces), piece) for piece in pieces))


def _lined(draw: st.DrawFn, pieces: tuple[Piece, ...]) -> tuple[Piece, ...]:
    """Return pieces with some of their groups on a dominant line, or midway between two."""
    where: dict[str, On] = {name: draw(st.sampled_from(ON)) for name in "abc"}
    return tuple(
        replace(piece, match=tuple(replace(one, on=where[one.group]) for one in piece.match))
        for piece in pieces
    )


def _with_partner(pieces: tuple[Piece, ...], piece: Piece) -> Piece:
    """Return a piece without a match point that would be alone in its group."""
    copies: dict[str, int] = {}
    for one in pieces:
        for match in one.match:
            copies[match.group] = copies.get(match.group, 0) + one.cut
    kept = tuple(match for match in piece.match if copies[match.group] > 1)
    return replace(piece, match=kept)
