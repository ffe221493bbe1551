# SPDX-License-Identifier: GPL-2.0-or-later
"""What a table says of its own lengths: rough or not, how much time, jumps beyond doubt only."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.requirements_table.budget import AMPLE, FOR_ALL, Cost
from extension.requirements_table.figures import csv_of
from extension.requirements_table.options import replay_text, table_options
from extension.requirements_table.page import page_of
from extension.requirements_table.publisher import FOR_PUBLISHER, publisher_notes, run_note
from extension.requirements_table.sentences import (
    ROUGH,
    jump_text,
    marks_text,
    notes,
    rough_notes,
)
from extension.requirements_table.table import table_of
from extension.requirements_table.trust import (
    ENOUGH,
    SINGLE_RUN,
    right_time,
    rounds_wanted,
    told_seconds,
    tried_narrower,
)
from extension.requirements_table.work import Worked
from nesting.judge.check import check
from nesting.model import Layout
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.extension.requirements_table.test_table import squares
from tests.helpers.layouts import no_time
from tests.helpers.tables import pulled_apart, question_of, table_from


def laid(length: float, bound: float = 100.0) -> Layout:
    return Layout(500.0, length, 0.5, bound, 0.0, 0, 2, 1, "by hand", (), (), {})


def never(rounds: int) -> bool:
    return False


def test_few_rounds_are_rough_and_the_bound_ends_all_doubt() -> None:
    assert rounds_wanted(laid(500.0), laid(500.0)) == ENOUGH
    assert rounds_wanted(laid(500.0), laid(500.0, 499.0)) == 0
    assert rounds_wanted(None, None) == 0


def test_a_search_that_a_neighbour_beats_asks_for_as_much_as_a_single_run() -> None:
    assert rounds_wanted(laid(515.0), laid(500.0)) == SINGLE_RUN
    assert rounds_wanted(laid(505.0), laid(500.0)) == ENOUGH
    assert rounds_wanted(None, laid(500.0)) == SINGLE_RUN


def test_a_rough_table_says_so_everywhere_and_how_much_time_is_right() -> None:
    table = table_from(rounds=ENOUGH - 1, nap="with", sizes="S")
    (said,) = rough_notes(table)
    assert said.startswith("~ All lengths are rough")
    remedy, _ = publisher_notes(table)
    # Three cells, none of them measured: as much as is ample, on one worker.
    assert told_seconds(3 * AMPLE / FOR_ALL) == 60
    assert "at least 1 minute would be right: set the time to 60 seconds." in remedy
    assert said in notes(table)
    assert all(marks_text(entry) == ROUGH for entry in table.entries)
    # What she who buys by the table has to know stands before what is for its publisher.
    before, _, after = page_of(table).partition(FOR_PUBLISHER)
    assert said in before
    assert remedy in after
    assert not {"rounds", "seed", "worker"} & set(before.partition("<body>")[2].split())
    assert csv_of(table).count("Rough: more time may well make it shorter.") == 3


def test_a_table_that_had_rounds_enough_says_nothing_of_it() -> None:
    table = table_from(rounds=ENOUGH, nap="with", sizes="S")
    own = [one for one in table.entries if one.wanted <= ENOUGH]
    assert own
    assert not any(one.is_rough for one in own)
    assert "Rough" not in csv_of(replace(table, entries=tuple(own)))


def test_with_fixed_rounds_the_remedy_is_in_rounds() -> None:
    question, options = question_of(squares(), widths="60cm, 90cm", sizes="1", rounds="2")
    layouts = [solve(one.job, stop=AfterRounds(0), clock=no_time) for one in question.possible]
    far = [replace(one, lower_bound=10.0) for one in layouts]
    worked = Worked([*far], [True] * 4, [""] * 4, [2] * 4)
    said, _ = publisher_notes(table_of("", question, worked, options))
    assert said.endswith("As many as 50 rounds for each would be right.")


def test_the_right_time_follows_what_was_measured() -> None:
    costs = [Cost(2.0, 0.5), Cost(1.0, 0.25)]
    right = right_time(costs, [10, 60], [ENOUGH, ENOUGH], 2)
    assert right.seconds == pytest.approx((2.0 + 0.5 * ENOUGH + 1.0 + 0.25 * 60) / 2 / FOR_ALL)
    assert not right.at_least
    # Two rounds hold what is prepared: they do not tell.
    assert right_time(costs, [2, 60], [ENOUGH, ENOUGH], 2).at_least


@given(st.lists(st.integers(0, 999), min_size=2, max_size=40))
def test_rounds_that_are_told_are_read_again(rounds: list[int]) -> None:
    text = replay_text([*rounds, max(rounds) + 1])
    options = table_options({"widths": "90cm", "rounds": text})
    assert options.replay == (*rounds, max(rounds) + 1)


def test_different_rounds_are_told_so_that_the_table_can_be_made_again() -> None:
    question, options = question_of(squares(), widths="60cm, 90cm", nap="with", sizes="1")
    layouts = [solve(one.job, stop=AfterRounds(0), clock=no_time) for one in question.possible]
    table = table_of("", question, Worked([*layouts], [True] * 2, [""] * 2, [12, 40]), options)
    assert "12 to 40 rounds" in run_note(table)
    assert "--rounds 12,40 --seed 0" in run_note(table)


def test_a_jump_that_the_bound_proves_is_told_at_once() -> None:
    table = table_from(squares(), sizes="1", nap="with", widths="60cm, 90cm")
    (jump,) = table.jumps
    assert jump.proven
    assert any("where so little can never be enough" in line for line in notes(table))


def test_a_jump_that_may_be_bad_luck_is_not_told_before_the_narrower_cloth_has_tried() -> None:
    """Squares that lie too far apart for the narrower cloth fit on it when they are pressed."""
    question, options = question_of(squares(), widths="85cm, 90cm", nap="with", sizes="1")
    narrow, wide = (solve(one.job, stop=AfterRounds(0), clock=no_time) for one in question.possible)
    failed = pulled_apart(narrow, 2.0 * narrow.length)
    spots = [replace(spot, y=spot.y + 50.0 * (spot.y > 500.0)) for spot in wide.placements]
    wide = replace(wide, placements=tuple(spots))
    assert check(question.possible[1].job, wide) == ()
    for rounds in (SINGLE_RUN - 1, SINGLE_RUN):
        worked = Worked([failed, wide], [True] * 2, [""] * 2, [rounds] * 2)
        layouts, tried = tried_narrower(
            question.possible, worked.layouts, worked.rounds, never, no_time
        )
        assert tried == (set() if rounds < SINGLE_RUN else {0})
        worked.layouts, worked.tried = layouts, tried
        assert table_of("", question, worked, options).jumps == ()
    assert layouts[0] is not None
    assert layouts[0].length == pytest.approx(wide.length)
    assert check(question.possible[0].job, layouts[0]) == ()


def test_a_jump_that_was_tried_but_is_not_proven_is_told_as_found() -> None:
    question, options = question_of(squares(), widths="60cm, 90cm", nap="with", sizes="1")
    layouts = [solve(one.job, stop=AfterRounds(0), clock=no_time) for one in question.possible]
    doubtful = [replace(one, lower_bound=10.0) for one in layouts]
    worked = Worked([*doubtful], [True] * 2, [""] * 2, [SINGLE_RUN] * 2)
    worked.layouts, worked.tried = tried_narrower(
        question.possible, worked.layouts, worked.rounds, never, no_time
    )
    table = table_of("", question, worked, options)
    (jump,) = table.jumps
    assert not jump.proven
    assert ", as far as was found, on cloth 60 cm wide" in jump_text(jump)
    assert any("this arrangement was tried" in line for line in notes(table))
