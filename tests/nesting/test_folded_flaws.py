# SPDX-License-Identifier: GPL-2.0-or-later
"""Flaws of folded cloth: each lies in one layer of the flat cloth, wherever that lies on the table.

Squares of 100 mm on cloth 400 mm wide, folded in half: twelve of them, six cut double, fill three
rows of two.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from nesting.errors import JobError
from nesting.jobs.jobfile import job_from_json, job_to_json
from nesting.jobs.validation import validated
from nesting.judge.check import check
from nesting.model import OPEN, Fabric, Job, Layout, Outline, Piece, Placement, Section
from nesting.solve import solve
from nesting.stop import AfterRounds
from nesting.tighten import tighten
from tests.helpers.both_judges import passed_by_both
from tests.helpers.plain_judge import faults, rules_of


def box(x: float, y: float, wide: float, high: float) -> Outline:
    return ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))


SQUARE = Piece("a", box(0.0, 0.0, 100.0, 100.0), cut=12, turns=(0.0,))
TURNS = (0.0, 180.0)
ACROSS = Piece("b", box(0.0, 0.0, 100.0, 400.0), hand="same", turns=(0.0,))
CLOTH = Fabric(400.0, nap=False, sections=(Section(200.0), OPEN))


def lay(fabric: Fabric, *pieces: Piece, rounds: int = 3) -> Layout:
    return passed_by_both(Job(fabric, pieces or (SQUARE,)), rounds)


@pytest.mark.parametrize(
    ("flaw", "length"),
    [
        # In the upper layer under one of two lanes: three squares lie in that one, which go round
        # it: one before, two behind.
        (box(140.0, 30.0, 20.0, 40.0), 360.0),
        # The same in the lower layer, as the fold mirrors it.
        (box(140.0, 330.0, 20.0, 40.0), 360.0),
        # A streak through both layers shifts all that lies behind it.
        (box(100.0, 0.0, 20.0, 400.0), 320.0),
        # Along the fold it leaves one lane, in whichever layer it lies.
        (box(0.0, 190.0, 1000.0, 5.0), 600.0),
        (box(0.0, 205.0, 1000.0, 5.0), 600.0),
        # Beside the cloth and behind the last row it costs nothing.
        (box(0.0, -40.0, 1000.0, 40.0), 300.0),
        (box(300.0, 0.0, 20.0, 400.0), 300.0),
    ],
)
def test_what_is_cut_double_goes_round_a_flaw_of_either_layer(flaw: Outline, length: float) -> None:
    assert lay(replace(CLOTH, flaws=(flaw,))).length == pytest.approx(length, abs=1e-3)


def test_what_is_hidden_lies_over_it() -> None:
    flawed = replace(CLOTH, flaws=(box(140.0, 30.0, 20.0, 40.0),))
    assert lay(flawed, replace(SQUARE, hidden=True)).length == pytest.approx(300.0, abs=1e-3)


def test_what_lies_single_is_kept_from_flaws_of_its_own_layer_alone() -> None:
    """Folded in by 100 mm, cloth of 400 mm leaves 200 mm single, from y = 200.

    A streak of the lower layer spoils one lane there. In the upper layer, which ends at y = 200, it
    spoils nothing of that.
    """
    cloth = replace(CLOTH, sections=(Section(100.0),))
    two = replace(SQUARE, cut=2, hand="same", outline=((0.0, 0.0), (100.0, 0.0), (0.0, 100.0)))
    lower, upper = box(0.0, 300.0, 1000.0, 5.0), box(0.0, 0.0, 1000.0, 20.0)
    assert lay(cloth, two).length == pytest.approx(100.0, abs=1e-3)
    assert lay(replace(cloth, flaws=(upper,)), two).length == pytest.approx(100.0, abs=1e-3)
    assert lay(replace(cloth, flaws=(lower,)), two).length == pytest.approx(200.0, abs=1e-3)


def test_a_half_on_the_fold_goes_past_a_flaw_of_either_layer() -> None:
    half = Piece("h", box(0.0, 0.0, 100.0, 150.0), turns=(0.0,), fold=((0.0, 0.0), (100.0, 0.0)))
    for y in (150.0, 240.0):
        layout = lay(replace(CLOTH, flaws=(box(20.0, y, 10.0, 10.0),)), half)
        assert layout.length == pytest.approx(130.0, abs=1e-3)


def test_with_wrong_sides_together_a_flaw_is_told_on_the_right_side() -> None:
    """Folded in by 100 mm at the upper selvedge there are two lanes single and one double.

    Right sides together, a flaw along the upper selvedge spoils the double one, so that three
    squares need two rows. Wrong sides together, the cloth has been turned over for that: it spoils
    one lane of the single ones.
    """
    streak = box(0.0, 395.0, 1000.0, 5.0)
    for sides, length in (("together", 200.0), ("apart", 100.0)):
        cloth = replace(CLOTH, sections=(Section(0.0, 100.0),), sides=sides, flaws=(streak,))
        assert lay(cloth, replace(SQUARE, cut=3), rounds=8).length == pytest.approx(
            length, abs=1e-3
        )


def test_an_open_section_begins_where_the_folded_one_ends_and_so_do_its_flaws() -> None:
    """Behind three rows of squares lies one piece as wide as the cloth, from 300 mm on."""
    for flaw, length in (
        (box(350.0, 100.0, 10.0, 10.0), 460.0),
        (box(400.0, 100.0, 10.0, 10.0), 400.0),
        (box(50.0, 199.0, 10.0, 2.0), 460.0),
    ):
        layout = lay(replace(CLOTH, flaws=(flaw,)), SQUARE, ACROSS, rounds=8)
        assert layout.length == pytest.approx(length, abs=1e-3)


# --- the judge ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("section", "flaw", "copies"),
    [
        (Section(200.0), box(40.0, 330.0, 9.0, 9.0), 1),
        (Section(200.0), box(40.0, 30.0, 9.0, 9.0), 1),
        (Section(100.0, 100.0), box(40.0, 30.0, 9.0, 9.0), 1),
        (Section(100.0, 100.0), box(40.0, 370.0, 9.0, 9.0), 1),
        (Section(crosswise=True), box(190.0, 30.0, 9.0, 9.0), 1),
        (Section(crosswise=True, turned=True), box(190.0, 370.0, 9.0, 9.0), 1),
        (Section(crosswise=True, turned=True), box(10.0, 30.0, 9.0, 9.0), 1),
        # Touching what is cut, and off it.
        (Section(200.0), box(100.0, 330.0, 9.0, 9.0), 0),
        (Section(200.0), box(40.0, 430.0, 9.0, 9.0), 0),
        (Section(crosswise=True), box(201.0, 30.0, 9.0, 9.0), 0),
    ],
)
def test_a_part_over_a_flaw_breaks_that_rule_alone_by_both_judges(
    section: Section, flaw: Outline, copies: int
) -> None:
    sound = validated(
        Job(replace(CLOTH, sections=(section,)), (replace(SQUARE, cut=4, turns=TURNS),))
    )
    layout = solve(sound, stop=AfterRounds(3), clock=lambda: 0.0)
    assert layout.length == pytest.approx(200.0 if section.crosswise else 100.0)
    flawed = replace(sound, fabric=replace(sound.fabric, flaws=(flaw,)))
    found = check(flawed, layout)
    assert [one.kind for one in found] == ["flaw"] * copies
    assert rules_of(faults(flawed, layout)) == ({"flaw"} if copies else set())
    for one in found:
        assert one.amount == pytest.approx(81.0)
        assert one.sentence.endswith("move it off the flaw.")


def test_in_a_later_section_flaws_count_from_the_cut_end() -> None:
    sound = validated(Job(CLOTH, (SQUARE, ACROSS)))
    layout = solve(sound, stop=AfterRounds(3), clock=lambda: 0.0)
    for x, kinds in ((310.0, ["flaw"]), (400.0, [])):
        cloth = replace(sound.fabric, flaws=(box(x, 10.0, 20.0, 20.0),))
        flawed = replace(sound, fabric=cloth)
        assert [one.kind for one in check(flawed, layout)] == kinds
        assert rules_of(faults(flawed, layout)) == set(kinds)


# --- the rest -----------------------------------------------------------------------------------


def test_pressing_a_section_moves_the_flaws_of_those_behind_it() -> None:
    """Squares slide beside each other, so that what was behind the flaw comes to lie before it."""
    job = validated(
        Job(
            replace(CLOTH, flaws=(box(150.0, 100.0, 30.0, 30.0),)),
            (replace(SQUARE, cut=4), ACROSS),
        )
    )
    spots = [
        Placement("a", (1, 2), 1, 0.0, False, 0.0, 200.0, 1, 2),
        Placement("a", (3, 4), 1, 0.0, False, 150.0, 300.0, 1, 2),
        Placement("b", (1,), 1, 0.0, False, 10.0, 0.0, 2),
    ]
    layout = tighten(job, spots, stop=AfterRounds(20), clock=lambda: 0.0)
    assert check(job, layout) == ()
    assert faults(job, layout) == []
    assert layout.length == pytest.approx(280.0, abs=0.05)


def test_a_part_that_is_held_where_a_flaw_comes_to_lie_is_told() -> None:
    fabric = replace(CLOTH, flaws=(box(320.0, 100.0, 30.0, 30.0),))
    held = (Placement("b", (1,), 1, 0.0, False, 0.0, 0.0, 2),)
    with pytest.raises(JobError, match="Copy 1 of piece “b” is held where a flaw of the cloth"):
        solve(Job(fabric, (SQUARE, ACROSS), held), stop=AfterRounds(2), clock=lambda: 0.0)


def test_crosswise_folds_are_refused_in_one_sentence() -> None:
    cloth = replace(CLOTH, sections=(Section(crosswise=True), OPEN), flaws=(box(0, 0, 9, 9),))
    with pytest.raises(JobError, match="depends on where the fold will be: fold the cloth length"):
        validated(Job(cloth, (SQUARE,)))
    sound = validated(Job(replace(CLOTH, flaws=cloth.flaws), (SQUARE,)))
    assert job_from_json(job_to_json(sound)) == sound
