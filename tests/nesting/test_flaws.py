# SPDX-License-Identifier: GPL-2.0-or-later
"""Flaws of the cloth: nothing lies over one, and layouts of known length go round them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from nesting.cloth.problem import build_problem
from nesting.errors import JobError
from nesting.jobs.jobfile import job_from_json, job_to_json
from nesting.jobs.validation import validated
from nesting.judge.check import check
from nesting.model import Fabric, Job, Layout, Match, Outline, Piece, Placement, Repeat
from nesting.solve import solve
from nesting.stop import AfterRounds
from nesting.tighten import tighten
from tests.helpers.both_judges import passed_by_both
from tests.helpers.plain_judge import faults, rules_of


def box(x: float, y: float, wide: float, high: float) -> Outline:
    return ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))


SQUARE = Piece("a", box(0.0, 0.0, 100.0, 100.0), cut=6, hand="same", turns=(0.0,))
CLOTH = Fabric(300.0, nap=False)


def lay(fabric: Fabric, piece: Piece = SQUARE, rounds: int = 6) -> Layout:
    return passed_by_both(Job(fabric, (piece,)), rounds)


@pytest.mark.parametrize(
    ("flaw", "length"),
    [
        # Six squares fill two rows of three; a hole in the middle costs a third row: with less
        # than 300 two lie on either side of it, and one behind it.
        (box(90.0, 140.0, 20.0, 20.0), 300.0),
        # A streak across the cloth shifts all that lies behind it.
        (box(100.0, 0.0, 20.0, 300.0), 220.0),
        (box(0.0, 0.0, 20.0, 300.0), 220.0),
        # Behind the last row, and beside the cloth, it costs nothing.
        (box(200.0, 0.0, 50.0, 300.0), 200.0),
        (box(0.0, 300.0, 500.0, 20.0), 200.0),
        (box(0.0, -40.0, 500.0, 40.0), 200.0),
        (box(-90.0, 0.0, 90.0, 300.0), 200.0),
        # Along a selvedge it narrows the cloth to two squares.
        (box(0.0, 260.0, 1000.0, 80.0), 300.0),
    ],
)
def test_squares_go_round_a_flaw(flaw: Outline, length: float) -> None:
    assert lay(CLOTH).length == pytest.approx(200.0)
    assert lay(replace(CLOTH, flaws=(flaw,))).length == pytest.approx(length, abs=1e-3)


def test_utilisation_is_that_of_the_whole_cloth() -> None:
    layout = lay(replace(CLOTH, flaws=(box(90.0, 140.0, 20.0, 20.0),)))
    assert layout.utilisation == pytest.approx(6.0 / 9.0, abs=1e-5)


def test_on_a_fixed_length_what_the_flaw_costs_is_left_over() -> None:
    flaw = box(90.0, 140.0, 20.0, 20.0)
    layout = lay(replace(CLOTH, length=200.0, flaws=(flaw,)))
    assert [len(rest.copies) for rest in layout.left_over] == [2]
    assert len(layout.placements) == 4


def test_the_gap_is_kept_round_a_flaw_as_well() -> None:
    one = replace(SQUARE, cut=1)
    flaw = box(0.0, 0.0, 50.0, 300.0)
    layout = lay(replace(CLOTH, gap=4.0, flaws=(flaw,)), one)
    assert layout.placements[0].x >= 54.0 - 5e-3


def test_a_piece_that_is_called_like_a_flaw_is_no_flaw() -> None:
    flaws = (box(0.0, 0.0, 20.0, 300.0),)
    named = replace(SQUARE, id="flaw 1")
    assert lay(replace(CLOTH, flaws=flaws), named).length == pytest.approx(220.0, abs=1e-3)


def test_many_different_parts_go_round_flaws_wherever_these_reach() -> None:
    """What is laid in bulk at first is laid round flaws as well."""
    pieces = tuple(
        Piece(f"p{k}", ((0.0, 0.0), (60.0 + k, 0.0), (50.0, 40.0 + k)), cut=2) for k in range(45)
    )
    flaws = (box(-30.0, -30.0, 60.0, 60.0), box(400.0, 250.0, 9.0, 90.0), box(90.0, 90.0, 2.0, 2.0))
    job = Job(replace(CLOTH, gap=2.0, flaws=flaws), pieces)
    assert build_problem(job).is_long
    for rounds in (0, 1):
        layout = solve(job, stop=AfterRounds(rounds), clock=lambda: 0.0)
        assert check(job, layout) == ()
        assert faults(job, layout) == []


def placed(fabric: Fabric, *spots: tuple[float, float]) -> tuple[Job, Layout]:
    """Return a job of squares and a layout of them, its figures true."""
    job = validated(Job(fabric, (replace(SQUARE, cut=len(spots)),)))
    layout = solve(job, stop=AfterRounds(0), clock=lambda: 0.0)
    lying = [Placement("a", (k,), 1, 0.0, False, x, y) for k, (x, y) in enumerate(spots, 1)]
    end = max(x for x, _ in spots) + 100.0
    share = len(spots) * 1e4 / (end * fabric.width)
    return job, replace(
        layout, placements=tuple(lying), length=end, utilisation=share, lower_bound=0.0
    )


@pytest.mark.parametrize("reach", [0.01, 1.0, 60.0])
def test_a_part_over_a_flaw_breaks_that_rule_alone_by_both_judges(reach: float) -> None:
    flaw = box(100.0 - reach, 40.0, 60.0, 60.0)
    job, layout = placed(replace(CLOTH, gap=3.0, flaws=(flaw,)), (0.0, 0.0), (200.0, 200.0))
    (broken,) = check(job, layout)
    assert (broken.kind, broken.parts) == ("flaw", ("a #1",))
    assert broken.amount == pytest.approx(60.0 * reach)
    assert "lies over a flaw of the cloth" in broken.sentence
    assert broken.sentence.endswith("move it off the flaw.")
    assert rules_of(faults(job, layout)) == {"flaw"}


def test_a_speck_within_a_part_is_found_and_one_that_touches_is_none() -> None:
    speck = box(50.0, 50.0, 0.2, 0.2)
    job, layout = placed(replace(CLOTH, flaws=(speck,)), (0.0, 0.0))
    assert [one.kind for one in check(job, layout)] == ["flaw"]
    assert rules_of(faults(job, layout)) == {"flaw"}
    beside = box(100.0, 0.0, 50.0, 50.0)
    job, layout = placed(replace(CLOTH, gap=3.0, flaws=(beside,)), (0.0, 0.0))
    assert check(job, layout) == ()
    assert faults(job, layout) == []


def test_the_job_file_keeps_flaws_and_plain_ones_say_nothing_of_them() -> None:
    job = validated(Job(replace(CLOTH, flaws=(box(1.0, 2.0, 3.0, 4.0),)), (SQUARE,)))
    assert job_from_json(job_to_json(job)) == job
    assert "flaws" not in job_to_json(validated(Job(CLOTH, (SQUARE,))))


@pytest.mark.parametrize(
    ("fabric", "words"),
    [
        (replace(CLOTH, flaws=(((0.0, 0.0), (9.0, 9.0)),)), "The outline of flaw 1 has 2 points"),
        (
            replace(CLOTH, flaws=(((0, 0), (9, 0), (4, 0)),)),
            "flaw 1 has no area: redraw it, or leave the f",
        ),
        (replace(CLOTH, flaws=((*box(0, 0, 9, 9)[:2], (0.0, 9.0), (9.0, 9.0)),)), "crosses or"),
        (replace(CLOTH, flaws=(box(0, 0, 1, 1),) * 201), "at most 200"),
        (replace(CLOTH, flaws="none"), "at most 200"),
        (replace(CLOTH, flaws=(box(0, 0, 1, float("nan")),)), "A coordinate of the outline of"),
    ],
)
def test_flaws_that_cannot_be_are_one_sentence(fabric: Fabric, words: str) -> None:
    with pytest.raises(JobError, match=words):
        validated(Job(fabric, (SQUARE,)))


def test_a_part_that_is_held_over_a_flaw_is_refused() -> None:
    held = (Placement("a", (1,), 1, 0.0, False, 0.0, 0.0),)
    fabric = replace(CLOTH, flaws=(box(50.0, 50.0, 5.0, 5.0),))
    with pytest.raises(JobError, match="Among the held parts: Copy 1 of piece “a” lies over a"):
        validated(Job(fabric, (SQUARE,), held))


# --- cloth with a design ------------------------------------------------------------------------


def test_on_stripes_parts_behind_a_flaw_begin_at_the_next_one() -> None:
    """Squares of 100 mm, alike in stripes of 80 mm: two rows of three.

    On sound cloth the second row begins at 160 mm. A streak from 100 to 170 mm leaves the first row
    only the place at the cut end, so the second one begins at 240 mm, or, hidden, at 160 mm.
    """
    piece = replace(SQUARE, match=(Match((10.0, 10.0), "side"),))
    stripes = replace(CLOTH, repeat=Repeat(along=80.0))
    assert lay(stripes, piece).length == pytest.approx(260.0, abs=1e-3)
    streak = replace(stripes, flaws=(box(100.0, 0.0, 70.0, 300.0),))
    assert lay(streak, piece, 12).length == pytest.approx(340.0, abs=1e-3)
    assert lay(streak, replace(piece, hidden=True)).length == pytest.approx(260.0, abs=1e-3)


def test_pressing_on_stripes_moves_a_part_off_a_flaw_by_whole_repeats() -> None:
    piece = replace(SQUARE, cut=2, match=(Match((10.0, 10.0), "side"),))
    fabric = replace(CLOTH, repeat=Repeat(along=80.0), flaws=(box(110.0, 0.0, 90.0, 300.0),))
    job = validated(Job(fabric, (piece,)))
    spots = [Placement("a", (k,), 1, 0.0, False, 160.0 * (k - 1), 0.0) for k in (1, 2)]
    layout = tighten(job, spots, stop=AfterRounds(20), clock=lambda: 0.0)
    assert check(job, layout) == ()
    assert faults(job, layout) == []
    assert {spot.x % 80.0 for spot in layout.placements} == {0.0}


# --- hidden pieces ------------------------------------------------------------------------------

HIDDEN = replace(SQUARE, hidden=True)


@pytest.mark.parametrize("rounds", [2, 12])
def test_hidden_squares_lie_over_a_flaw_that_others_go_round(rounds: int) -> None:
    """The streak costs 20 mm, or nothing: what is hidden is laid as on sound cloth."""
    for flaw in (box(100.0, 0.0, 20.0, 300.0), box(90.0, 140.0, 20.0, 20.0)):
        fabric = replace(CLOTH, flaws=(flaw,))
        assert lay(fabric, HIDDEN, rounds).length == pytest.approx(200.0, abs=1e-3)


def test_only_what_is_hidden_lies_over_a_flaw() -> None:
    """Three hidden squares take the flawed end of the cloth, three others the sound one."""
    pieces = (replace(SQUARE, cut=3), replace(HIDDEN, id="facing", cut=3))
    job = Job(replace(CLOTH, flaws=(box(40.0, 0.0, 20.0, 300.0),)), pieces)
    layout = solve(job, stop=AfterRounds(40), clock=lambda: 0.0)
    assert check(job, layout) == ()
    assert faults(job, layout) == []
    assert layout.length == pytest.approx(200.0, abs=1e-3)
    over = {spot.piece for spot in layout.placements if spot.x < 50.0}
    assert over == {"facing"}


def test_two_alike_of_which_one_is_hidden_are_told_apart() -> None:
    job, layout = placed(replace(CLOTH, flaws=(box(50.0, 50.0, 9.0, 9.0),)), (0.0, 0.0))
    hidden = replace(job, pieces=(replace(job.pieces[0], hidden=True),))
    assert [one.kind for one in check(job, layout)] == ["flaw"]
    assert check(hidden, layout) == ()
    assert faults(hidden, layout) == []


def test_pressing_leaves_a_hidden_part_over_a_flaw_and_moves_another_off_it() -> None:
    fabric = replace(CLOTH, gap=2.0, flaws=(box(40.0, 0.0, 30.0, 300.0),))
    for piece, x in ((HIDDEN, 0.0), (SQUARE, 72.0)):
        job = validated(Job(fabric, (replace(piece, cut=1),)))
        layout = tighten(
            job,
            [Placement("a", (1,), 1, 0.0, False, 5.0, 10.0)],
            stop=AfterRounds(20),
            clock=lambda: 0.0,
        )
        assert layout.placements[0].x == pytest.approx(x, abs=0.02)
        assert faults(job, layout) == []
