# SPDX-License-Identifier: GPL-2.0-or-later
"""Borders of the cloth: pieces that ask for one lie with that edge on its line."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from nesting.errors import JobError
from nesting.jobs.jobfile import job_from_json, job_to_json
from nesting.jobs.validation import validated
from nesting.judge.check import check
from nesting.model import (
    Band,
    Edge,
    Fabric,
    Job,
    Layout,
    Outline,
    Piece,
    Placement,
    Repeat,
    Section,
)
from nesting.solve import solve
from nesting.stop import AfterRounds
from nesting.tighten import tighten
from tests.helpers.both_judges import passed_by_both
from tests.helpers.plain_judge import faults, rules_of

LOWER, UPPER = Band("lower", 0.0, 120.0), Band("upper", 1000.0, 900.0)
CLOTH = Fabric(1000.0, nap=False, bands=(LOWER,))
ACROSS = (0.0, 90.0, 180.0, 270.0)


def gore(top: float = 100.0, hem: float = 300.0, long: float = 600.0) -> Outline:
    """Return a gore, its hem at x = 0 and its top at x = long: its grainline lies along x."""
    return ((0.0, -hem / 2.0), (long, -top / 2.0), (long, top / 2.0), (0.0, hem / 2.0))


GORE = Piece("gore", gore(), cut=4, hand="same", turns=ACROSS, band="hem")


def lay(fabric: Fabric, *pieces: Piece, rounds: int = 6) -> Layout:
    return passed_by_both(Job(fabric, pieces), rounds)


def test_gores_stand_side_by_side_on_the_border() -> None:
    """Four hems of 300 mm on one line need 1,200 mm; anywhere else head to foot takes 800 mm."""
    assert lay(replace(CLOTH, bands=()), GORE).length < 1200.0
    for rounds in (0, 6):
        layout = lay(CLOTH, GORE, rounds=rounds)
        assert layout.length == pytest.approx(1200.0, abs=1e-3)
        assert {(spot.turn, spot.y) for spot in layout.placements} == {(90.0, 0.0)}


def test_with_a_border_at_both_selvedges_gores_stand_on_both() -> None:
    """600 mm and 600 mm do not pass each other on 1,000 mm, but narrow tops lie beside each other.

    Two rows against each other, 400 mm of which overlap in height.
    """
    short = replace(GORE, outline=gore(long=500.0))
    layout = lay(replace(CLOTH, bands=(LOWER, UPPER)), short)
    assert layout.length == pytest.approx(600.0, abs=1e-3)
    assert sorted(spot.turn for spot in layout.placements) == [90.0, 90.0, 270.0, 270.0]


@pytest.mark.parametrize(
    ("edge", "flips", "band", "turn"),
    [
        ("hem", False, LOWER, 90.0),
        ("hem", True, LOWER, 90.0),
        ("hem", False, UPPER, 270.0),
        ("top", False, LOWER, 270.0),
        ("top", True, UPPER, 90.0),
        ("right", False, LOWER, 0.0),
        ("right", True, LOWER, 180.0),
        ("left", False, LOWER, 180.0),
        ("left", False, UPPER, 0.0),
        ("left", True, UPPER, 180.0),
    ],
)
def test_the_edge_decides_the_turn(edge: Edge, flips: bool, band: Band, turn: float) -> None:
    """Seen with the top up; a mirrored copy has its left side at the right."""
    pair = replace(GORE, cut=2, hand="mirrored", band=edge)
    layout = lay(replace(CLOTH, bands=(band,)), pair, rounds=0)
    assert {spot.turn for spot in layout.placements if spot.flip == flips} == {turn}


def test_a_border_within_the_cloth_fixes_y_and_others_lie_below_it() -> None:
    """The line lies 200 mm above the selvedge; squares of 200 mm fill the strip below."""
    within = replace(CLOTH, bands=(Band("", 200.0, 260.0),))
    square = Piece(
        "s", ((0.0, 0.0), (200.0, 0.0), (200.0, 200.0), (0.0, 200.0)), cut=6, hand="same"
    )
    layout = lay(within, GORE, square, rounds=20)
    assert {spot.y for spot in layout.placements if spot.piece == "gore"} == {200.0}
    assert layout.length == pytest.approx(1200.0, abs=1e-3)


def test_the_edge_margin_and_the_gap_are_kept_on_the_border() -> None:
    at_edge = replace(CLOTH, edge_margin=5.0, gap=4.0, bands=(Band("", 5.0, 90.0),))
    layout = lay(at_edge, GORE)
    assert layout.length == pytest.approx(4 * 300.0 + 3 * 4.0 + 2 * 5.0, abs=0.02)


def test_on_a_fixed_length_what_finds_no_room_on_the_border_is_left_over() -> None:
    layout = lay(replace(CLOTH, length=950.0), GORE)
    assert [rest.copies for rest in layout.left_over] == [(4,)]


def placed(turn: float, x: float, y: float, **values: object) -> tuple[Job, Layout]:
    """Return a job of one gore and a layout of it, its figures true."""
    job = validated(Job(CLOTH, (replace(GORE, cut=1, **values),)))
    layout = solve(job, stop=AfterRounds(0), clock=lambda: 0.0)
    end = x + (150.0 if turn % 180.0 else 600.0 if turn == 0.0 else 0.0)
    share = 120_000.0 / (end * 1000.0)
    spot = Placement("gore", (1,), 1, turn, False, x, y)
    return job, replace(layout, placements=(spot,), length=end, utilisation=share, lower_bound=0.0)


@pytest.mark.parametrize(
    ("turn", "x", "y", "off"),
    [
        (90.0, 150.0, 12.5, 12.5),
        (90.0, 150.0, 0.001, 0.001),
        # Head to foot with the top on the line, and with the hem on it but the piece below.
        (270.0, 150.0, 600.0, 600.0),
        # Along the grain its hem stands across the border.
        (0.0, 0.0, 150.0, 300.0),
    ],
)
def test_off_the_border_breaks_that_rule_alone_by_both_judges(
    turn: float, x: float, y: float, off: float
) -> None:
    job, layout = placed(turn, x, y)
    (broken,) = check(job, layout)
    assert (broken.kind, broken.parts) == ("border", ("gore #1",))
    assert broken.amount == pytest.approx(off)
    assert "lies with its hem" in broken.sentence
    assert broken.sentence.endswith("mm off the border: move it onto the line at y = 0 mm.")
    assert rules_of(faults(job, layout)) == {"border"}
    plain = replace(job, fabric=replace(CLOTH, bands=()))
    assert check(plain, layout) == ()
    assert faults(plain, layout) == []


def test_a_piece_that_lies_below_its_border_is_off_it() -> None:
    within = replace(CLOTH, bands=(Band("", 650.0, 700.0),))
    job, layout = placed(270.0, 150.0, 650.0)
    job = replace(job, fabric=within)
    assert [(one.kind, one.amount) for one in check(job, layout)] == [("border", 600.0)]
    assert rules_of(faults(job, layout)) == {"border"}


def test_a_curved_hem_touches_the_line_with_what_is_farthest_out() -> None:
    curved = ((0.0, 0.0), (40.0, -150.0), (600.0, -50.0), (600.0, 50.0), (40.0, 150.0))
    layout = lay(CLOTH, replace(GORE, outline=curved, cut=1))
    assert layout.placements[0].y == pytest.approx(0.0, abs=1e-9)


def test_pressing_keeps_parts_on_the_border_and_brings_back_what_was_moved() -> None:
    job = validated(Job(replace(CLOTH, gap=2.0), (GORE,)))
    spots = [
        Placement("gore", (k,), 1, 90.0, False, 310.0 * k, 30.0 if k == 2 else 0.0)
        for k in range(1, 5)
    ]
    layout = tighten(job, spots, stop=AfterRounds(20), clock=lambda: 0.0)
    assert check(job, layout) == ()
    assert faults(job, layout) == []
    assert layout.length == pytest.approx(4 * 300.0 + 3 * 2.0, abs=0.02)


def test_the_job_file_keeps_borders_and_plain_ones_say_nothing_of_them() -> None:
    job = validated(Job(replace(CLOTH, bands=(LOWER, UPPER)), (GORE,)))
    assert job_from_json(job_to_json(job)) == job
    fabric = json.loads(job_to_json(job))["fabric"]
    assert fabric["bands"][0] == {"name": "lower", "from": 0.0, "to": 120.0}
    assert "bands" not in job_to_json(validated(Job(replace(CLOTH, bands=()), (GORE,))))
    nameless = job_to_json(job).replace('"name": "lower", ', "").replace('"name": "upper", ', "")
    assert [band.name for band in job_from_json(nameless).fabric.bands] == ["", ""]
    with pytest.raises(JobError, match="Border number 1 lacks the key “to”"):
        job_from_json(
            job_to_json(job)
            .replace('"to": 120.0', '"name": ""', 1)
            .replace('"name": "lower", ', "", 1)
        )


@pytest.mark.parametrize(
    ("fabric", "piece", "words"),
    [
        (CLOTH, replace(GORE, turns=(0.0, 180.0)), "let it lie across the grain, choose another"),
        (replace(CLOTH, nap=True), GORE, "across the grain on nap as well"),
        # 1,200 mm long, it reaches beyond the other selvedge.
        (CLOTH, replace(GORE, outline=gore(long=1200.0)), "between the selvedges"),
        (replace(CLOTH, edge_margin=3.0), GORE, "between the selvedges"),
        (replace(CLOTH, bands=(Band("", 0.0, 0.0),)), GORE, "is without extent"),
        (replace(CLOTH, bands=(Band("", 0.0, 1200.0),)), GORE, "must be from 0 to 1,000 mm"),
        (replace(CLOTH, bands=(Band("", float("nan"), 9.0),)), GORE, "must be from"),
        (replace(CLOTH, bands=(LOWER, LOWER)), GORE, "one border at each selvedge at most"),
        (replace(CLOTH, bands="hem"), GORE, "must be a list of borders"),
        (replace(CLOTH, sections=(Section(500.0),)), GORE, "that lies in one layer alone: leave"),
        (replace(CLOTH, repeat=Repeat(across=50.0)), GORE, "leave out the repeat across, or the b"),
    ],
)
def test_borders_that_cannot_be_are_one_sentence(fabric: Fabric, piece: Piece, words: str) -> None:
    with pytest.raises(JobError, match=words):
        solve(Job(fabric, (piece,)), stop=AfterRounds(0), clock=lambda: 0.0)


def test_a_part_that_is_held_off_the_border_is_refused() -> None:
    held = Placement("gore", (1,), 1, 90.0, False, 150.0, 40.0)
    with pytest.raises(JobError, match="40 mm off the border"):
        validated(Job(CLOTH, (GORE,), (held,)))
