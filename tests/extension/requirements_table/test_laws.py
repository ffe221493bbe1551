# SPDX-License-Identifier: GPL-2.0-or-later
"""Tables never contradict themselves, whatever a search comes up with."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.language.rounding import RoundUp, purchase
from extension.requirements_table.laws import needed_width, raised, reach, shortest
from nesting.jobs.validation import validated
from nesting.judge.check import check
from nesting.model import Fabric, Job, Layout, Piece
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers.layouts import no_time

WIDTHS = (300.0, 430.0, 600.0, 900.0)


def rectangle(name: str, length: float, width: float, cut: int = 2, garments: int = 1) -> Piece:
    outline = ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))
    return Piece(name, outline, cut=cut, garments=garments)


def wedge(name: str, length: float, width: float) -> Piece:
    return Piece(name, ((0.0, 0.0), (length, 0.0), (0.2 * length, width)), cut=2)


def pieces_of(grade: float, which: str) -> tuple[Piece, ...]:
    return (
        rectangle(f"front {which}", 260.0 + 20.0 * grade, 150.0 + 15.0 * grade),
        wedge(f"gore {which}", 200.0 + 20.0 * grade, 120.0 + 10.0 * grade),
        rectangle(f"tab {which}", 40.0, 30.0, cut=3),
    )


SMALL, LARGE = pieces_of(0.0, "small"), pieces_of(1.0, "large")
ROWS = {"small": SMALL, "large": LARGE, "both": (*SMALL, *LARGE)}
CELLS = list(product(ROWS, WIDTHS, (True, False)))


@cache
def jobs() -> list[Job]:
    return [validated(Job(Fabric(width, gap=3.0, nap=nap), ROWS[row])) for row, width, nap in CELLS]


class Unlucky:
    """A search that is sometimes lucky and sometimes not: it stretches what the engine found."""

    def __init__(self, seed: int) -> None:
        self._chance = random.Random(seed)

    def lay(self, number: int) -> Layout:
        job, layout = jobs()[number], first_layout(number)
        stretch = self._chance.choice([1.0, 1.0, 1.05, 1.6])
        moved = tuple(replace(spot, x=spot.x * stretch) for spot in layout.placements)
        end = float(reach(job.pieces, moved)[1][0])
        share = layout.utilisation * layout.length / end
        return replace(layout, placements=moved, length=end, utilisation=share)


@cache
def first_layout(number: int) -> Layout:
    return solve(jobs()[number], stop=AfterRounds(0), clock=no_time)


def answers(layouts: Sequence[Layout | None]) -> dict[tuple[str, float, bool], Layout | None]:
    return dict(zip(CELLS, shortest(jobs(), layouts), strict=True))


seeds = st.integers(0, 10_000)


@given(seeds)
def test_every_answer_passes_the_judge_in_its_own_job(seed: int) -> None:
    search = Unlucky(seed)
    own = [search.lay(number) for number in range(len(CELLS))]
    for job, layout, before in zip(jobs(), shortest(jobs(), own), own, strict=True):
        assert layout is not None
        assert check(job, layout) == ()
        assert layout.length <= before.length
        assert layout.width == job.fabric.width


@given(seeds)
def test_wider_cloth_never_needs_more(seed: int) -> None:
    search = Unlucky(seed)
    found = answers([search.lay(number) for number in range(len(CELLS))])
    for row, nap in product(ROWS, (True, False)):
        lengths = [found[row, width, nap].length for width in WIDTHS]  # type: ignore[union-attr]
        assert lengths == sorted(lengths, reverse=True)


@given(seeds)
def test_cloth_without_nap_never_needs_more_than_with_nap(seed: int) -> None:
    search = Unlucky(seed)
    found = answers([search.lay(number) for number in range(len(CELLS))])
    for row, width in product(ROWS, WIDTHS):
        with_nap, without = found[row, width, True], found[row, width, False]
        assert with_nap is not None
        assert without is not None
        assert without.length <= with_nap.length


@given(seeds)
def test_a_size_never_needs_more_than_a_set_it_is_part_of(seed: int) -> None:
    search = Unlucky(seed)
    found = answers([search.lay(number) for number in range(len(CELLS))])
    for row, width, nap in product(("small", "large"), WIDTHS, (True, False)):
        alone, together = found[row, width, nap], found["both", width, nap]
        assert alone is not None
        assert together is not None
        assert alone.length <= together.length


@given(seeds, st.sets(st.integers(0, len(CELLS) - 1), max_size=20))
def test_the_laws_hold_where_some_cells_were_not_worked_out(seed: int, missing: set[int]) -> None:
    search = Unlucky(seed)
    own = [None if n in missing else search.lay(n) for n in range(len(CELLS))]
    found = answers(own)
    for row, nap in product(ROWS, (True, False)):
        known = [layout for width in WIDTHS if (layout := found[row, width, nap]) is not None]
        lengths = [layout.length for layout in known]
        assert lengths == sorted(lengths, reverse=True)
        # What narrow cloth can do is never missing on wider cloth.
        first = next((i for i, w in enumerate(WIDTHS) if found[row, w, nap]), len(WIDTHS))
        assert all(found[row, width, nap] for width in WIDTHS[first:])


def test_with_the_real_search_the_laws_hold() -> None:
    own = [solve(job, stop=AfterRounds(2), clock=no_time, seed=3) for job in jobs()]
    found = answers(own)
    for row, width, nap in CELLS:
        layout = found[row, width, nap]
        assert layout is not None
        for other in WIDTHS:
            wider = found[row, other, nap]
            assert wider is not None
            if other > width:
                assert wider.length <= layout.length


def test_a_borrowed_layout_states_the_bound_of_its_own_cell() -> None:
    job = jobs()[0]
    own = solve(job, stop=AfterRounds(0), clock=no_time)
    longer = replace(own, length=own.length)
    best = shortest([job, job], [longer, None])
    assert best[0] == own
    assert best[1] is not None
    assert best[1].lower_bound == 0.0  # nothing is known of that cell


def test_a_layout_is_lent_to_narrower_cloth_when_it_leaves_the_width_free() -> None:
    wide = validated(Job(Fabric(900.0), (rectangle("a", 300.0, 200.0, cut=1),)))
    narrow = replace(wide, fabric=Fabric(250.0))
    own = solve(wide, stop=AfterRounds(0), clock=no_time)
    assert needed_width(wide, own) == pytest.approx(200.0)
    lent = shortest([wide, narrow], [own, None])[1]
    assert lent is not None
    assert (lent.width, lent.length) == (250.0, 300.0)
    assert lent.utilisation == pytest.approx(200.0 / 250.0)


def test_nothing_is_lent_across_materials_or_to_pieces_that_differ() -> None:
    one = validated(Job(Fabric(900.0), (rectangle("a", 300.0, 200.0),)))
    other = validated(Job(Fabric(900.0), (rectangle("a", 310.0, 200.0),)))
    more = validated(Job(Fabric(900.0), (rectangle("a", 300.0, 200.0, garments=2),)))
    own = solve(one, stop=AfterRounds(0), clock=no_time)
    assert shortest([one, other, more], [own, None, None])[1:] == [None, None]


def test_a_lucky_layout_without_nap_is_lent_to_cloth_with_nap_when_all_tops_agree() -> None:
    free = validated(Job(Fabric(900.0, nap=False), (rectangle("a", 300.0, 200.0, cut=1),)))
    napped = replace(free, fabric=Fabric(900.0, nap=True))
    own = solve(free, stop=AfterRounds(0), clock=no_time)
    turned = replace(own, placements=(replace(own.placements[0], turn=180.0, x=300.0, y=200.0),))
    assert check(free, turned) == ()
    assert shortest([free, napped], [own, None])[1] is not None
    assert shortest([free, napped], [turned, None])[1] is None


lengths = st.lists(st.none() | st.floats(1.0, 5000.0), min_size=1, max_size=8)


@given(lengths)
def test_larger_sizes_are_never_shown_with_less(needed: list[float | None]) -> None:
    smaller = [tuple(range(index)) for index in range(len(needed))]
    shown = raised(needed, smaller)
    known = [length for length in shown if length is not None]
    assert known == sorted(known)
    for length, before in zip(shown, needed, strict=True):
        assert (length is None) == (before is None)
        assert length is None or before is None or length >= before


def test_a_length_is_raised_to_the_longest_of_the_smaller_sizes_only() -> None:
    assert raised([900.0, 800.0, 1000.0, 950.0], [(), (0,), (0, 1), (0, 1)]) == [
        900.0,
        900.0,
        1000.0,
        950.0,
    ]


@given(st.floats(1.0, 20_000.0), st.floats(0.0, 200.0))
def test_a_smaller_step_never_gives_more_than_a_larger(needed: float, ends: float) -> None:
    # Each of these steps is a whole number of the ones before it, in either system.
    steps: tuple[RoundUp, ...] = ("none", "5cm", "10cm")
    bought = [
        purchase(needed, system="metric", rounding=step, end_allowance=ends) for step in steps
    ]
    assert [one.metric for one in bought] == sorted(one.metric for one in bought)
    assert [one.yards for one in bought] == sorted(one.yards for one in bought)
