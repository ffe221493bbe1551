# SPDX-License-Identifier: GPL-2.0-or-later
"""Cloth with an outline of its own: layouts that are known stay within it, and figures are its."""

from __future__ import annotations

import math
import warnings
from dataclasses import replace

import pytest
import shapely

from nesting.cloth.problem import build_problem
from nesting.cloth.remnant import BEYOND, least_length
from nesting.errors import JobError
from nesting.geometry.simplify import bases_of
from nesting.jobs.jobfile import job_from_json, job_to_json
from nesting.jobs.validation import validated
from nesting.judge.check import check
from nesting.model import OPEN, Fabric, Job, Layout, Outline, Piece, Placement, Repeat, Section
from nesting.solve import solve
from nesting.stop import AfterRounds
from nesting.tighten import tighten
from tests.helpers.plain_judge import faults, rules_of


def box(x: float, y: float, wide: float, high: float) -> Outline:
    return ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))


SQUARE = Piece("a", box(0.0, 0.0, 100.0, 100.0), cut=7, hand="same", turns=(0.0,))
ANGLE = ((0.0, 0.0), (300.0, 0.0), (300.0, 100.0), (200.0, 100.0), (200.0, 300.0), (0.0, 300.0))
CLOTH = Fabric(300.0, nap=False, outline=ANGLE)
ROUND = tuple(
    (200.0 + 200.0 * math.cos(k * math.tau / 72), 200.0 + 200.0 * math.sin(k * math.tau / 72))
    for k in range(72)
)


def lay(fabric: Fabric, *pieces: Piece, rounds: int = 6) -> Layout:
    job = validated(Job(fabric, pieces or (SQUARE,)))
    layout = solve(job, stop=AfterRounds(rounds), clock=lambda: 0.0)
    assert check(job, layout) == ()
    assert faults(job, layout) == []
    return layout


def test_seven_squares_fill_an_angle_of_seven_squares() -> None:
    layout = lay(CLOTH)
    assert layout.left_over == ()
    assert layout.utilisation == pytest.approx(1.0)
    assert (layout.length, layout.lower_bound) == (pytest.approx(300.0), pytest.approx(300.0))


def test_what_is_more_than_the_remnant_holds_is_left_over() -> None:
    layout = lay(CLOTH, replace(SQUARE, cut=9))
    assert len(layout.placements) == 7
    assert [len(rest.copies) for rest in layout.left_over] == [2]
    assert layout.lower_bound > 300.0


def test_what_fits_nowhere_is_left_over_and_keeps_nothing_else_off_the_cloth() -> None:
    large = Piece("large", box(0.0, 0.0, 250.0, 150.0), turns=(0.0,))
    wide = Piece("wide", box(0.0, 0.0, 50.0, 400.0), turns=(0.0,))
    layout = lay(CLOTH, large, wide, SQUARE)
    assert len(layout.placements) == 7
    assert {rest.piece for rest in layout.left_over} == {"large", "wide"}
    nothing = lay(CLOTH, large, wide)
    assert (nothing.placements, nothing.length, nothing.utilisation) == ((), 0.0, 0.0)


def test_priority_comes_before_size() -> None:
    small = Piece("small", box(0.0, 0.0, 200.0, 90.0), turns=(0.0,), priority=1.0)
    large = Piece("large", box(0.0, 0.0, 200.0, 295.0), turns=(0.0,))
    layout = lay(CLOTH, small, large)
    assert [spot.piece for spot in layout.placements] == ["small"]
    assert [spot.piece for spot in lay(CLOTH, large).placements] == ["large"]


def test_a_hole_forces_one_more_row() -> None:
    whole = Fabric(300.0, nap=False, outline=box(0.0, 0.0, 400.0, 300.0))
    six = replace(SQUARE, cut=6)
    assert lay(whole, six).length == pytest.approx(200.0)
    holed = replace(whole, holes=(box(90.0, 140.0, 20.0, 20.0),))
    assert lay(holed, six).length == pytest.approx(300.0, abs=1e-3)
    assert lay(holed, six).utilisation == pytest.approx(6e4 / (1.2e5 - 400.0))


def test_the_gap_is_kept_between_parts_and_not_to_the_edges_of_a_remnant() -> None:
    slope = ((0.0, 0.0), (100.0, 0.0), (200.0, 100.0), (100.0, 100.0))
    leaning = Piece("b", tuple((0.9998 * x, 0.9998 * y) for x, y in slope), turns=(0.0,))
    assert lay(Fabric(100.0, gap=5.0, outline=slope), leaning).left_over == ()


def test_round_an_inner_corner_the_gap_costs_less_than_a_third_of_it() -> None:
    def angle(play: float) -> Outline:
        a, b = 203.0 + play, 100.0 + play
        return ((0.0, 0.0), (306.0, 0.0), (306.0, b), (a, b), (a, 306.0), (0.0, 306.0))

    layout = lay(Fabric(306.0, nap=False, gap=3.0, outline=angle(1.0)))
    assert layout.left_over == ()


@pytest.mark.parametrize("gap", [0.5, 3.0, 20.0])
@pytest.mark.parametrize("margin", [0.0, 5.0])
@pytest.mark.parametrize("outline", [ANGLE, ROUND], ids=["angle", "round"])
def test_what_is_kept_off_is_all_that_is_no_cloth_and_little_more(
    outline: Outline, margin: float, gap: float
) -> None:
    """Grown as searches grow it, by the gap in all, it covers what is off the cloth within it."""
    width = max(y for _, y in outline)
    hole = box(40.0, 40.0, 60.0, 50.0)
    if outline is ROUND:
        hole = box(180.0, 180.0, 45.0, 50.0)
    fabric = Fabric(width, None, margin, gap, outline=outline, holes=(hole,))
    job = validated(Job(fabric, (SQUARE,)))
    problem = build_problem(job)
    kept_off = shapely.union_all(
        [
            shapely.Polygon(base).buffer(gap / 2.0)
            for name, base in bases_of(problem.shapes, gap, 0.0).items()
            if name != "a"
        ]
    )
    end = max(x for x, _ in outline)
    cloth = shapely.Polygon(outline) - shapely.Polygon(hole)
    around = shapely.box(margin, margin, end - margin, width - margin)
    off = around - cloth.buffer(-margin, quad_segs=64)
    assert (off - kept_off).buffer(-3e-4).is_empty
    mitred = around - cloth.buffer(-margin, join_style="mitre")
    more = shapely.intersection(kept_off - mitred, around)
    assert more.buffer(-max(0.15 * gap, 0.02)).is_empty
    assert more.area < 5.0 * gap**2 + 0.03 * cloth.length
    assert kept_off.bounds[2] < end + BEYOND + 4.0 * gap


def test_a_hole_that_is_smaller_than_the_gap_is_kept_off_as_well() -> None:
    holed = Fabric(100.0, gap=4.0, outline=box(0, 0, 210, 100), holes=(box(50, 50, 3, 1),))
    layout = lay(holed, replace(SQUARE, cut=1))
    assert layout.length == pytest.approx(153.0, abs=4.0)
    assert layout.length >= 153.0 - 5e-3


def test_an_edge_that_is_upright_but_for_rounding_is_no_cause_of_a_warning() -> None:
    """Whatever a library says of its own rounding would open a window of the editor."""
    outline = (
        (73.70004407087984, 168.2687341671379),
        (4.404248190505304, 336.5374683342758),
        (1.3995131586952854e-15, 272.2645311263499),
        (0.0, 64.27293720792598),
        (4.404248190505303, 0.0),
    )
    job = validated(Job(Fabric(336.5374683342758, gap=3.0, outline=outline), (SQUARE,)))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert len(build_problem(job).fixed) >= 2


def test_the_bound_is_where_there_is_area_enough() -> None:
    assert least_length(CLOTH, 6.0e4) == pytest.approx(200.0, abs=1e-2)
    assert least_length(CLOTH, 6.5e4) == pytest.approx(250.0, abs=1e-2)
    assert least_length(CLOTH, 10.0e4) == pytest.approx(400.0)


def test_a_first_layout_is_there_without_any_search() -> None:
    layout = lay(replace(CLOTH, width=400.0, outline=ROUND), replace(SQUARE, cut=4), rounds=0)
    assert len(layout.placements) >= 2


def placed(fabric: Fabric, *spots: tuple[float, float]) -> tuple[Job, Layout]:
    """Return a job of squares and a layout of them, its figures true."""
    job = validated(Job(fabric, (replace(SQUARE, cut=len(spots)),)))
    layout = solve(job, stop=AfterRounds(0), clock=lambda: 0.0)
    lying = [Placement("a", (k,), 1, 0.0, False, x, y) for k, (x, y) in enumerate(spots, 1)]
    end = max(x for x, _ in spots) + 100.0 + fabric.edge_margin
    share = len(spots) * 1e4 / 7e4
    return job, replace(
        layout, placements=tuple(lying), left_over=(), length=end, utilisation=share, lower_bound=0
    )


@pytest.mark.parametrize(
    ("x", "y", "off"),
    [(150.0, 150.0, 5e3), (100.01, 150.0, 1.0), (200.0, 0.5, 50.0), (0.0, -20.0, 2e3),
     (-100.0, 0.0, 1e4), (500.0, 500.0, 1e4)],
)  # fmt: skip
def test_a_part_off_the_remnant_breaks_that_rule_alone_by_both_judges(
    x: float, y: float, off: float
) -> None:
    job, layout = placed(CLOTH, (x, y))
    (broken,) = check(job, layout)
    assert (broken.kind, broken.parts) == ("off the remnant", ("a #1",))
    assert broken.amount == pytest.approx(off, rel=1e-6)
    assert broken.sentence.endswith("move it onto the cloth.")
    assert rules_of(faults(job, layout)) == {"off the remnant"}


def test_a_part_over_a_hole_or_in_the_edge_margin_is_off_the_remnant() -> None:
    holed = replace(CLOTH, holes=(box(20.0, 20.0, 10.0, 10.0),))
    margin = replace(CLOTH, edge_margin=5.0)
    for fabric in (holed, margin):
        job, layout = placed(fabric, (5.0, 5.0), (94.0 if fabric is holed else 97.0, 120.0))
        share = 2e4 / (7e4 - (100.0 if fabric is holed else 0.0))
        layout = replace(layout, utilisation=share)
        broken = check(job, replace(layout, utilisation=share))
        expected = "a #1" if fabric is holed else "a #2"
        marked = [(one.kind, one.parts) for one in broken if one.kind != "gap"]
        assert marked[:1] == [("off the remnant", (expected,))]
        assert "off the remnant" in rules_of(faults(job, layout))


def test_utilisation_of_anything_but_the_remnant_is_refused() -> None:
    job, layout = placed(CLOTH, (0.0, 0.0))
    assert check(job, layout) == ()
    told = replace(layout, utilisation=1e4 / (100.0 * 300.0))
    assert [one.kind for one in check(job, told)] == ["length"]
    assert rules_of(faults(job, told)) == {"length"}


def test_tightening_brings_parts_onto_the_remnant_and_keeps_them_there() -> None:
    job, layout = placed(CLOTH, (10.0, 10.0), (190.0, 5.0), (60.0, 230.0))
    tightened = tighten(job, layout.placements, stop=AfterRounds(20), clock=lambda: 0.0)
    assert check(job, tightened) == ()
    assert faults(job, tightened) == []
    assert tightened.length <= 200.0 + 1e-3


def test_the_job_file_keeps_the_outline_and_plain_ones_say_nothing_of_it() -> None:
    job = validated(Job(replace(CLOTH, holes=(box(9.0, 9.0, 5.0, 5.0),)), (SQUARE,)))
    assert job.fabric.length == 300.0
    assert job_from_json(job_to_json(job)) == job
    plain = job_to_json(validated(Job(Fabric(300.0), (SQUARE,))))
    assert '"outline": ()' not in plain
    assert "holes" not in plain


@pytest.mark.parametrize(
    ("fabric", "words"),
    [
        (replace(CLOTH, outline=ANGLE[:2]), "The outline of the cloth has 2 points"),
        (replace(CLOTH, outline=(*ANGLE[:3], (100.0, -50.0))), "crosses or touches itself"),
        (replace(CLOTH, outline="L"), "must be a list of points"),
        (replace(CLOTH, outline=(), holes=(box(0, 0, 9, 9),)), "or call them flaws"),
        (replace(CLOTH, holes=(((0, 0), (9, 0), (4, 0)),)), "outline of hole 1 has no area"),
        (replace(CLOTH, holes=(box(0, 0, 1, 1),) * 201), "at most 200"),
        (replace(CLOTH, width=299.0), "reaches 1 mm beyond its length or width"),
        (replace(CLOTH, length=250.0), "reaches 50 mm beyond its length or width"),
        (replace(CLOTH, outline=box(-5, 0, 100, 100)), "both begin at 0, or make the fabric"),
        (replace(CLOTH, holes=(box(0, 0, 300, 300),)), "leave nothing of the cloth"),
        (replace(CLOTH, outline=box(0, 0, 300, 90), edge_margin=45.0), "leave nothing of the"),
        (replace(CLOTH, sections=(Section(150.0), OPEN)), "lies open in one layer and has no"),
        (replace(CLOTH, repeat=Repeat(50.0)), "or leave the outline out"),
    ],
)
def test_outlines_that_cannot_be_are_one_sentence(fabric: Fabric, words: str) -> None:
    with pytest.raises(JobError, match=words):
        validated(Job(fabric, (SQUARE,)))


def test_a_part_that_is_held_off_the_remnant_is_refused() -> None:
    held = (Placement("a", (1,), 1, 0.0, False, 150.0, 150.0),)
    with pytest.raises(JobError, match="Among the held parts: Copy 1 of piece “a” lies off the"):
        validated(Job(CLOTH, (SQUARE,), held))
