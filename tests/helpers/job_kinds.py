# SPDX-License-Identifier: GPL-2.0-or-later
"""Hypothesis strategies for jobs, a kind for each thing that has been trouble, or could be.

Every job is valid. Unless the cloth is of a fixed length all of its parts can be laid.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from hypothesis import assume
from hypothesis import strategies as st

from nesting.model import OPEN, Fabric, Hand, Job, Outline, Piece
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers import strategies as some
from tests.helpers.cloth_kinds import folded_bordered, folded_flawed, with_borders, with_flaws
from tests.helpers.folded_jobs import folded
from tests.helpers.matched_jobs import chained, matched
from tests.helpers.remnant_jobs import edged, remnants, several

Jobs = st.SearchStrategy[Job]

QUARTERS = (0.0, 90.0, 180.0, 270.0)


def _pieces(
    draw: st.DrawFn, outlines: Sequence[Outline], most: int = 4, hand: Hand | None = None
) -> tuple[Piece, ...]:
    """Return a piece of each outline, cut up to `most` times, with turns and grain as drawn."""
    every: tuple[Hand, ...] = ("mirrored", "same") if hand is None else (hand,)
    hands = st.sampled_from(every)
    made = []
    for number, outline in enumerate(outlines, start=1):
        made.append(
            Piece(
                id=f"p{number}",
                outline=outline,
                cut=draw(st.integers(1, most)),
                hand=draw(hands),
                either_side=draw(st.booleans()),
                turns=draw(st.sampled_from(((0.0,), (0.0, 180.0), QUARTERS))),
                turns_on_nap=draw(st.booleans()),
                grain=draw(st.sampled_from((0.0, 0.0, 90.0, -45.0))),
            )
        )
    return tuple(made)


def _on_cloth(
    draw: st.DrawFn, pieces: tuple[Piece, ...], gap: float = 0.0, margin: float = 0.0
) -> Job:
    """Return a job on open-ended cloth, wide enough for each piece in every turn."""
    widest = max(some.reach(piece.outline) * (1 if piece.fold is None else 2) for piece in pieces)
    free = widest + draw(some.lengths(0, 150))
    width = max(10.0, free + 2.0 * margin)
    return Job(Fabric(width, edge_margin=margin, gap=gap, nap=draw(st.booleans())), pieces)


@st.composite
def concave(draw: st.DrawFn) -> Job:
    """Angles, slots, stars, spirals and curved outlines."""
    kinds = st.one_of(
        some.star_shaped(), some.l_shapes(), some.u_shapes(), some.spirals(), some.curved()
    )
    return _on_cloth(draw, _pieces(draw, draw(st.lists(kinds, min_size=2, max_size=4))))


@st.composite
def keyholes(draw: st.DrawFn) -> tuple[Outline, tuple[float, float]]:
    """Rectangles with a hole that a slit of 1/8 mm or more leads to, and the size of the hole."""
    wide, tall = draw(some.lengths(5, 150)), draw(some.lengths(5, 150))
    left, right, low, high = (draw(some.lengths(1, 60)) for _ in range(4))
    slit = draw(st.one_of(some.lengths(some.STEP, 1), some.lengths(1, tall - 1)))
    at = low + draw(some.lengths(some.STEP, tall - slit - some.STEP)) if slit < tall - 1 else low
    end, x = left + wide + right, left + wide
    outline: list[tuple[float, float]] = [
        (0.0, 0.0), (end, 0.0), (end, at), (x, at), (x, low), (left, low),
        (left, low + tall), (x, low + tall), (x, at + slit), (end, at + slit),
        (end, low + tall + high), (0.0, low + tall + high),
    ]  # fmt: skip
    kept = [p for k, p in enumerate(outline) if p != outline[k - 1]]
    return tuple(kept), (wide, tall)


@st.composite
def slits(draw: st.DrawFn) -> Job:
    """Pieces with a hole and a slit to it, and a piece that fills the hole or nearly does."""
    outline, (wide, tall) = draw(keyholes())
    less = draw(st.sampled_from((0.0, some.STEP, 1.0)))
    wide, tall = max(1.0, wide - less), max(1.0, tall - less)
    plug: Outline = ((0.0, 0.0), (wide, 0.0), (wide, tall), (0.0, tall))
    rest = draw(st.lists(some.u_shapes(), max_size=1))
    return _on_cloth(draw, _pieces(draw, [outline, plug, *rest]))


@st.composite
def needles(draw: st.DrawFn) -> Job:
    """Needles, alone and beside other outlines, with a gap or without."""
    thin = draw(st.lists(some.needles(), min_size=1, max_size=3))
    others = draw(st.lists(st.one_of(some.u_shapes(), some.convex()), max_size=2))
    gap = draw(st.sampled_from((0.0, 0.0, 0.5, 3.0)))
    return _on_cloth(draw, _pieces(draw, [*thin, *others], most=3), gap)


@st.composite
def touching(draw: st.DrawFn) -> Job:
    """Outlines cut from one along a zigzag, on cloth that is as wide as they are, or as two."""
    first, second = draw(some.shared_edges())
    tall = max(y for _, y in first)
    turn = draw(st.sampled_from((0.0, 90.0)))
    cuts = draw(st.sampled_from(((1, 1), (2, 2), (3, 2), (1, 4), (5, 5))))
    pieces = tuple(
        Piece(
            f"p{number}", some.turned(outline, turn), cut=cuts[number - 1], hand="same", grain=turn
        )
        for number, outline in enumerate((first, second), start=1)
    )
    return Job(Fabric(tall * draw(st.integers(1, 2)), nap=draw(st.booleans())), pieces)


@st.composite
def identical(draw: st.DrawFn) -> Job:
    """One outline under several names, drawn at several places and in quarter turns."""
    outline = draw(
        st.one_of(some.rectangles(20, 200), some.convex(20, 200), some.l_shapes(), some.curved(24))
    )
    quarters = draw(st.lists(st.sampled_from(QUARTERS), min_size=1, max_size=3))
    hand: Hand = draw(st.sampled_from(("mirrored", "same")))
    pieces = tuple(
        Piece(
            f"p{number}",
            some.moved(some.turned(outline, quarter), 250.0 * number, -125.0),
            cut=draw(st.integers(1, 4)),
            hand=hand,
            turns=(0.0, 180.0),
            grain=quarter,
        )
        for number, quarter in enumerate(quarters, start=1)
    )
    return _on_cloth(draw, pieces)


@st.composite
def tiny_beside_huge(draw: st.DrawFn) -> Job:
    """Pieces of a few millimetres beside some of metres."""
    huge = draw(
        st.lists(
            st.one_of(
                some.rectangles(900, 2500), some.convex(900, 1500), some.star_shaped(200, 900)
            ),
            min_size=1,
            max_size=2,
        )
    )
    tiny = draw(
        st.lists(
            st.one_of(some.rectangles(1, 6), some.convex(2, 6), some.star_shaped(2, 6)),
            min_size=1,
            max_size=3,
        )
    )
    return _on_cloth(draw, _pieces(draw, [*huge, *tiny], most=3))


@st.composite
def jigsaws(draw: st.DrawFn) -> Job:
    """A rectangle cut up into quadrangles that share their corners: all cloth can be used.

    Some have one tile more than once, so that it fits no more and the search has to go on.
    """
    columns, rows = draw(st.integers(1, 4)), draw(st.integers(1, 3))
    step = 8 * draw(st.integers(3, 12))
    shift = st.integers(-step, step).map(lambda n: n * some.STEP * 2.0)
    corners = {}
    for i in range(columns + 1):
        for j in range(rows + 1):
            x = i * step + (draw(shift) if 0 < i < columns else 0.0)
            y = j * step + (draw(shift) if 0 < j < rows else 0.0)
            corners[i, j] = (float(x), float(y))
    pieces = []
    for i in range(columns):
        for j in range(rows):
            around = ((i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1))
            outline = tuple(corners[at] for at in around)
            pieces.append(Piece(f"p{i}-{j}", outline, hand="same", turns=(0.0,)))
    more = draw(st.sampled_from((1, 1, 2, 3)))
    pieces[0] = replace(pieces[0], cut=more)
    return Job(Fabric(float(rows * step), nap=False), tuple(pieces))


@st.composite
def pairs(draw: st.DrawFn) -> Job:
    """Left and right copies of curved outlines, of one or more garments, odd counts too."""
    outlines = draw(
        st.lists(
            st.one_of(some.curved(40), some.star_shaped(20, 200), some.l_shapes()),
            min_size=1,
            max_size=3,
        )
    )
    garments = draw(st.integers(1, 2))
    pieces = _pieces(draw, outlines, most=3, hand="mirrored")
    return _on_cloth(draw, tuple(replace(piece, garments=garments) for piece in pieces), gap=3.0)


@st.composite
def folds(draw: st.DrawFn) -> Job:
    """Halves drawn on the fold, beside whole pieces."""
    halves = draw(st.lists(some.half_outlines(), min_size=1, max_size=3))
    outlines = [*(half[0] for half in halves), *draw(st.lists(some.curved(30), max_size=1))]
    pieces = list(_pieces(draw, outlines))
    for number, (_, ends) in enumerate(halves):
        pieces[number] = replace(pieces[number], fold=(ends[0], ends[1]))
    return _on_cloth(draw, tuple(pieces))


@st.composite
def fixed_length(draw: st.DrawFn) -> Job:
    """Cloth of a fixed length, often too short."""
    job = draw(some.jobs())
    share = draw(st.floats(0.2, 1.3))
    whole = solve(job, stop=AfterRounds(0), clock=lambda: 0.0).length
    length = max(share * whole, 10.0)
    assume(2.0 * job.fabric.edge_margin < length)
    return replace(job, fabric=replace(job.fabric, length=length))


@st.composite
def gaps_and_margins(draw: st.DrawFn) -> Job:
    """Gaps from a hair to more than a piece is wide, and wide edge margins."""
    outlines = draw(st.lists(some.outlines(), min_size=1, max_size=4))
    gap = draw(st.sampled_from((0.125, 1.5, 3.0, 10.0, 25.0)))
    margin = draw(st.sampled_from((0.0, 5.0, 12.5, 40.0)))
    return _on_cloth(draw, _pieces(draw, outlines, most=3), gap, margin)


@st.composite
def held(draw: st.DrawFn) -> Job:
    """Some of the parts are held where an earlier layout had them, or a little farther along.

    Mostly the leftmost ones, so that there is something to be gained with the rest.
    """
    job = draw(st.one_of(concave(), pairs(), folds(), gaps_and_margins()))
    lying = solve(job, stop=AfterRounds(0), clock=lambda: 0.0).placements
    assume(len(lying) > 2)
    along = draw(st.one_of(st.just(0.0), some.lengths(0, 50)))
    kept = draw(
        st.one_of(
            st.integers(1, (len(lying) + 1) // 2).map(range),
            st.lists(st.integers(0, len(lying) - 1), min_size=1, max_size=2, unique=True),
        )
    )
    from_left = sorted(lying, key=lambda spot: spot.x)
    return replace(job, held=tuple(replace(from_left[k], x=from_left[k].x + along) for k in kept))


def _opened(job: Job) -> Job:
    """Return a job on the same cloth, open in one layer."""
    return replace(job, fabric=replace(job.fabric, sections=(OPEN,)))


@st.composite
def flawed(draw: st.DrawFn) -> Job:
    """Open cloth with flaws. Some has a design."""
    kinds = (concave(), pairs(), gaps_and_margins(), fixed_length(), matched().map(_opened))
    return draw(with_flaws(draw(st.one_of(*kinds))))


@st.composite
def bordered(draw: st.DrawFn) -> Job:
    """Open cloth with borders."""
    flawed_ones = flawed().filter(lambda job: job.fabric.repeat is None)
    kinds = (concave(), pairs(), gaps_and_margins(), fixed_length(), flawed_ones, folds())
    return draw(with_borders(draw(st.one_of(*kinds))))


def _plain() -> Jobs:
    """Angles, pairs, gaps and margins: what is laid on remnants."""
    return st.one_of(concave(), pairs(), gaps_and_margins())


KINDS: Mapping[str, Callable[[], Jobs]] = {
    "anything": some.jobs,
    "concave": concave,
    "slits": slits,
    "needles": needles,
    "touching": touching,
    "identical": identical,
    "tiny beside huge": tiny_beside_huge,
    "jigsaws": jigsaws,
    "pairs": pairs,
    "folds": folds,
    "fixed length": fixed_length,
    "held": held,
    "gaps and margins": gaps_and_margins,
    "folded": folded,
    "matched": matched,
    "matched in a chain": chained,
    "flawed": flawed,
    "folded and flawed": folded_flawed,
    "bordered": bordered,
    "folded and bordered": folded_bordered,
    "edges": edged,
    "remnants": lambda: remnants(_plain()),
    "several remnants": lambda: several(_plain()),
}
"""The kinds of jobs by name."""
