# SPDX-License-Identifier: GPL-2.0-or-later
"""Whatever is laid wherever on folded cloth: both judges tell the same rules, and laws hold."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.judge.check import check
from nesting.judge.unfolding import unfold
from nesting.model import Fabric, Job, Piece, Placement, Section
from tests.helpers.folded import CUFF, WIDTH, layout_on, put
from tests.helpers.judged import kinds
from tests.helpers.plain_judge import faults, rules_of

CARD = ((0.0, 0.0), (70.0, 0.0), (70.0, 40.0), (0.0, 40.0))
STEP = ((0.0, 0.0), (80.0, 0.0), (80.0, 10.0), (30.0, 10.0), (30.0, 25.0), (0.0, 25.0))
PIECES = (
    Piece("cuff", CUFF),
    Piece("card", CARD, hand="same"),
    Piece("step", STEP, fold=((0.0, 0.0), (80.0, 0.0)), either_side=True),
)
"""With right angles alone, laid on half millimetres: what two parts share, or how far they are
apart, is then never within the judges' tolerances."""


def on_steps(low: float, high: float) -> st.SearchStrategy[float]:
    """Return half millimetres."""
    return st.integers(round(2 * low), round(2 * high)).map(lambda number: number / 2.0)


@st.composite
def sections(draw: st.DrawFn) -> Section:
    """Any section whose depths are known."""
    kind = draw(st.sampled_from(["open", "half", "depths", "crosswise", "turned"]))
    if kind in ("crosswise", "turned"):
        return Section(crosswise=True, turned=kind == "turned")
    if kind == "half":
        return draw(st.sampled_from([Section(200.0, 0.0), Section(0.0, 200.0)]))
    if kind == "open":
        return Section()
    lower = draw(st.one_of(st.just(0.0), on_steps(20.0, 150.0)))
    upper = draw(st.one_of(st.just(0.0), on_steps(20.0, 200.0 - lower)))
    return Section(lower, upper)


@st.composite
def anyhow(draw: st.DrawFn, section: Section) -> tuple[Piece, Placement]:
    """A part laid anyhow near a section, not yet along it."""
    piece = draw(st.sampled_from(PIECES))
    on_fold = piece.fold is not None and draw(st.booleans())
    layers = 1 if on_fold else draw(st.integers(1, 2))
    turn = draw(st.sampled_from([0.0, 180.0, 90.0]))
    flip = not on_fold and draw(st.booleans())
    lower, upper = section.lower or 0.0, section.upper or 0.0
    lines = [0.0, lower, 2 * lower, WIDTH - 2 * upper, WIDTH - upper, WIDTH]
    y = draw(st.sampled_from(lines)) - draw(on_steps(-10.0, 80.0))
    return piece, put(piece, 0.0, y, turn, layers=layers, on_fold=on_fold, flip=flip)


@st.composite
def as_they_should(draw: st.DrawFn, section: Section) -> tuple[Piece, Placement]:
    """A part near an end of one of a section's strips, as a part should lie there or nearly so."""
    lower, upper = section.lower or 0.0, section.upper or 0.0
    strips = [(1, 2 * lower, WIDTH - 2 * upper, 0.0)]
    strips += [(2, lower, 2 * lower, lower), (2, WIDTH - 2 * upper, WIDTH - upper, WIDTH - upper)]
    if section.crosswise:
        strips = [(2, 0.0, WIDTH, 0.0)]
    wide = [strip for strip in strips if strip[2] - strip[1] >= 25.0]
    layers, low, high, fold = draw(st.sampled_from(wide))
    turn = draw(st.sampled_from([0.0, 0.0, 180.0]))
    if fold and draw(st.booleans()):
        return PIECES[2], put(PIECES[2], 0.0, fold - 25.0, turn, on_fold=True)
    piece = draw(st.sampled_from(PIECES[:2] if high - low >= 40.0 else PIECES[:1]))
    flip = layers == 1 and draw(st.sampled_from([False, False, True]))
    height = 30.0 if piece.id == "cuff" else 40.0
    inside = draw(on_steps(-0.5, 6.0))
    y = draw(st.sampled_from([low + inside, high - height - inside]))
    return piece, put(piece, 0.0, y, turn, layers=layers, flip=flip)


@st.composite
def cases(draw: st.DrawFn) -> tuple[Job, tuple[Placement, ...]]:
    """A job on folded cloth with up to six parts laid right, nearly right or anyhow."""
    lying = tuple(draw(st.lists(sections(), min_size=1, max_size=3)))
    margin = draw(st.sampled_from([0.0, 5.0]))
    fabric = Fabric(
        WIDTH,
        edge_margin=margin,
        gap=draw(st.sampled_from([0.0, 3.0])),
        nap=draw(st.booleans()),
        sections=lying,
        sides=draw(st.sampled_from(["together", "apart"])),
    )
    careful = draw(st.sampled_from([True, True, False]))
    ends = [margin] * len(lying)
    counts, spots = dict.fromkeys(("cuff", "card", "step"), 0), []
    for _ in range(draw(st.integers(1, 6))):
        k = draw(st.integers(0, len(lying) - 1))
        how = as_they_should if careful else anyhow
        piece, spot = draw(how(lying[k]))
        x = ends[k] + draw(st.sampled_from([0.0, 3.0, 3.0, 5.0, -2.0]))
        ends[k] = x + draw(st.sampled_from([80.0, 80.0, 40.0]))
        first = counts[piece.id] + 1
        counts[piece.id] += spot.layers
        copies = tuple(range(first, first + spot.layers))
        spots.append(replace(spot, section=k + 1, x=spot.x + x, copies=copies))
    pieces = tuple(replace(piece, cut=counts[piece.id]) for piece in PIECES if counts[piece.id])
    return Job(fabric, pieces), tuple(spots)


@given(cases())
def test_both_judges_tell_the_same_rules(case: tuple[Job, tuple[Placement, ...]]) -> None:
    job, spots = case
    layout = layout_on(job, spots)
    found, told = check(job, layout), faults(job, layout)
    first, second = set(kinds(found)), rules_of(told)
    if "zone" in first | second:
        # What a part that leaves its zone cuts of cloth nobody can say.
        first, second = first - {"length"}, second - {"length"}
    assert first == second, (found, told)


@given(cases())
def test_unfolded_cloth_is_as_large_as_what_lies_on_it(
    case: tuple[Job, tuple[Placement, ...]],
) -> None:
    """Mirrored outlines have the same area; each cut lies on one sheet of its section."""
    job, spots = case
    pieces = {piece.id: piece for piece in job.pieces}
    flat = unfold(job.fabric, pieces, spots)
    table = unfold(Fabric(WIDTH), pieces, [replace(one, section=1, layers=1) for one in spots]).laid
    for laid in flat.laid:
        assert laid.polygon.area == pytest.approx(table[laid.part].polygon.area)
        assert laid.sheet.number // 2 == spots[laid.part].section - 1
    copies = [copy for cut in flat.cuts for copy in cut.spot.copies]
    assert len(copies) == sum(len(spot.copies) for spot in spots)
    hands = [cut.spot.flip for cut in flat.cuts]
    doubled = [spot for spot in spots if spot.layers == 2]
    assert sum(hands) >= len(doubled)
    assert len(hands) - sum(hands) >= len(doubled)


@given(cases())
def test_the_side_that_lies_up_changes_no_geometry(
    case: tuple[Job, tuple[Placement, ...]],
) -> None:
    """Seen from the other side of the cloth, what touches still touches, what is off is off."""
    job, spots = case
    pieces = {piece.id: piece for piece in job.pieces}
    kept = {"overlap", "gap", "off the cloth", "zone"}
    found = []
    for side in ("together", "apart"):
        fabric = replace(job.fabric, sides=side)
        there = replace(job, fabric=fabric)
        found.append(
            sorted(one for one in kinds(check(there, layout_on(there, spots))) if one in kept)
        )
        assert unfold(fabric, pieces, spots).lengths == unfold(job.fabric, pieces, spots).lengths
    assert found[0] == found[1]
