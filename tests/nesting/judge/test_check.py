# SPDX-License-Identifier: GPL-2.0-or-later
"""The judge sees every broken rule, stays silent on a clean layout, and knows published ones."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import example, given
from hypothesis import strategies as st

from nesting import ENGINE
from nesting.geometry.shapes import oriented, whole_outline
from nesting.judge.check import check, check_laid
from nesting.judge.outlines import Laid, lay, overlaps, too_near, whole
from nesting.model import Fabric, Job, Layout, LeftOver, Outline, Piece
from tests.helpers import strategies
from tests.helpers.judged import FLAG, SQUARE, kinds, laid_out, spot, two_squares
from tests.helpers.published import instance_job, published_layout

# --- overlap ------------------------------------------------------------------------------------


def test_squares_that_touch_along_an_edge_are_clean() -> None:
    job = two_squares()
    assert check(job, laid_out(job, spot("a", 1, 0, 0), spot("b", 1, 100, 0))) == ()
    assert check(job, laid_out(job, spot("a", 1, 0, 0), spot("b", 1, 100, 100))) == ()


def test_the_judge_sees_an_overlap_of_a_hundredth_of_a_millimetre() -> None:
    job = two_squares()
    found = check(job, laid_out(job, spot("a", 1, 0, 0), spot("b", 1, 99.99, 0)))
    assert kinds(found) == ["overlap"]
    assert found[0].parts == ("a #1", "b #1")
    assert found[0].amount == pytest.approx(1.0)
    assert "Copy 1 of piece “Front” (a) and copy 1 of piece “b” overlap by 1 mm²" in str(found[0])


@pytest.mark.parametrize("depth", [0.01, 0.001])
def test_the_judge_sees_a_corner_that_pokes_in_however_small_its_area(depth: float) -> None:
    diamond: Outline = ((0.0, 50.0), (50.0, 0.0), (100.0, 50.0), (50.0, 100.0))
    job = Job(Fabric(width=250.0), (Piece("a", SQUARE), Piece("b", diamond)))
    found = check(job, laid_out(job, spot("a", 1, 0, 0), spot("b", 1, 100 - depth, 0)))
    assert kinds(found) == ["overlap"]
    assert found[0].amount == pytest.approx(depth * depth, rel=1e-6)


@pytest.mark.parametrize("size", [1.0, 100.0, 4000.0, 90_000.0])
def test_a_hundredth_of_a_millimetre_counts_at_every_size(size: float) -> None:
    block = shapely.box(0, 0, size, size)
    beside = shapely.box(size - 0.01, 0, 2 * size, size)
    assert kinds(overlaps([Laid("a", "a", block), Laid("b", "b", beside)])) == ["overlap"]


def test_a_shared_strip_thinner_than_the_slack_is_contact() -> None:
    job = two_squares()
    assert check(job, laid_out(job, spot("a", 1, 0, 0), spot("b", 1, 100 - 1e-4, 0))) == ()


def test_small_parts_have_a_slack_of_their_own() -> None:
    """A button of 4 mm may share 0.0001 mm with its neighbour, not 0.001 mm."""
    for depth, expected in ((1e-4, []), (1e-3, ["overlap"])):
        button, beside = shapely.box(0, 0, 4, 4), shapely.box(4 - depth, 0, 8, 4)
        assert kinds(overlaps([Laid("a", "a", button), Laid("b", "b", beside)])) == expected


def test_two_copies_on_the_same_spot_overlap_whole() -> None:
    job = Job(Fabric(width=250.0), (Piece("a", FLAG, cut=2, hand="same"),))
    found = check(job, laid_out(job, spot("a", 1, 10, 10), spot("a", 2, 10, 10)))
    assert kinds(found) == ["overlap"]
    assert found[0].amount == pytest.approx(strategies.area(FLAG))


def test_a_part_wholly_inside_another_is_seen() -> None:
    small: Outline = ((0.0, 0.0), (3.0, 0.0), (3.0, 3.0), (0.0, 3.0))
    job = Job(Fabric(width=250.0), (Piece("a", SQUARE), Piece("b", small)))
    assert kinds(check(job, laid_out(job, spot("a", 1, 0, 0), spot("b", 1, 50, 50)))) == ["overlap"]


def test_a_part_in_the_notch_of_another_is_clean() -> None:
    notch: Outline = ((0.0, 0.0), (80.0, 0.0), (80.0, 50.0), (0.0, 50.0))
    job = Job(Fabric(width=250.0), (Piece("a", FLAG), Piece("b", notch)))
    assert check(job, laid_out(job, spot("a", 1, 0, 0), spot("b", 1, 20, 30))) == ()


def test_a_needle_through_a_part_is_seen_even_when_it_is_thinner_than_the_slack() -> None:
    for thick in (1.0, 0.01, 1e-4):
        needle = shapely.Polygon([(-50, 50), (150, 50), (150, 50 + thick)])
        found = overlaps([Laid("a", "a", shapely.Polygon(SQUARE)), Laid("n", "n", needle)])
        assert kinds(found) == ["overlap"]
        # The part of a triangle between one and three quarters of its length, from the tip.
        assert found[0].amount == pytest.approx(thick * 200 / 2 * (9 - 1) / 16, rel=1e-6)


@given(strategies.shared_edges(), st.sampled_from([0.0, 90.0, 33.3]), strategies.points())
def test_outlines_cut_from_one_rectangle_touch_and_overlap_when_pushed(
    pair: tuple[Outline, Outline], turn: float, corner: tuple[float, float]
) -> None:
    def both(push: float) -> list[Laid]:
        left, right = pair
        right = strategies.moved(right, -push, 0.0)
        return [
            Laid(str(n), str(n), shapely.Polygon(strategies.moved(outline, *corner)))
            for n, outline in enumerate(
                (strategies.turned(left, turn), strategies.turned(right, turn))
            )
        ]

    assert overlaps(both(0.0)) == []
    assert kinds(overlaps(both(0.5))) == ["overlap"]


# --- gap ----------------------------------------------------------------------------------------


def test_a_gap_is_kept_to_the_slack() -> None:
    job = two_squares(gap=3.0)
    for x, expected in ((103.0, []), (103.0 - 1e-4, []), (102.99, ["gap"]), (100.0, ["gap"])):
        found = check(job, laid_out(job, spot("a", 1, 0, 0), spot("b", 1, x, 0)))
        assert kinds(found) == expected
        if found:
            assert found[0].amount == pytest.approx(103.0 - x)


def test_the_gap_is_measured_across_corners() -> None:
    job = two_squares(gap=5.0)
    assert check(job, laid_out(job, spot("a", 1, 0, 0), spot("b", 1, 103, 104))) == ()
    assert kinds(check(job, laid_out(job, spot("a", 1, 0, 0), spot("b", 1, 103, 103.9)))) == ["gap"]


def test_an_overlap_is_not_reported_as_a_gap_too() -> None:
    job = two_squares(gap=3.0)
    found = check(job, laid_out(job, spot("a", 1, 0, 0), spot("b", 1, 50, 0)))
    assert kinds(found) == ["overlap"]


def test_no_gap_is_kept_at_selvedges_and_cut_ends() -> None:
    job = Job(Fabric(width=100.0, gap=3.0), (Piece("a", SQUARE),))
    assert check(job, laid_out(job, spot("a", 1, 0, 0))) == ()


# --- off the cloth ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("x", "y", "edge"),
    [
        (4.99, 5, "first cut end"),
        (5, 4.99, "lower selvedge"),
        (5, 145.01, "upper selvedge"),
        (195.01, 5, "other cut end"),
    ],
)
def test_a_part_over_an_edge_of_the_cloth_is_seen(x: float, y: float, edge: str) -> None:
    job = Job(Fabric(width=250.0, length=300.0, edge_margin=5.0), (Piece("a", SQUARE),))
    found = check(job, laid_out(job, spot("a", 1, x, y)))
    assert kinds(found) == ["off the cloth"]
    assert found[0].amount == pytest.approx(0.01)
    assert edge in found[0].sentence


def test_a_part_that_uses_the_cloth_to_its_edges_is_clean() -> None:
    job = Job(Fabric(width=110.0, length=110.0, edge_margin=5.0), (Piece("a", SQUARE),))
    assert check(job, laid_out(job, spot("a", 1, 5, 5))) == ()


@pytest.mark.parametrize("bad", [math.nan, math.inf])
def test_a_position_that_is_no_number_is_off_the_cloth(bad: float) -> None:
    job = two_squares()
    layout = replace(
        laid_out(job, spot("a", 1, 0, 0), spot("b", 1, 100, 0)),
        placements=(spot("a", 1, 0, 0), spot("b", 1, bad, 0)),
    )
    assert "off the cloth" in kinds(check(job, layout))


# --- figures ------------------------------------------------------------------------------------


def test_stated_figures_are_the_true_ones() -> None:
    job = two_squares(edge_margin=5.0)
    layout = laid_out(job, spot("a", 1, 5, 5), spot("b", 1, 105, 5))
    assert layout.length == 210.0
    assert check(job, layout) == ()
    for untrue in (
        replace(layout, length=209.9),
        replace(layout, length=210.1),
        replace(layout, utilisation=layout.utilisation + 0.001),
        replace(layout, width=249.0),
        replace(layout, lower_bound=210.1),
        replace(layout, length=math.nan),
    ):
        assert set(kinds(check(job, untrue))) == {"length"}


def test_a_layout_of_nothing_is_judged() -> None:
    job = Job(Fabric(width=250.0, length=90.0), (Piece("a", SQUARE),))
    nothing = Layout(250.0, 0.0, 0.0, 0.0, 0.0, 0, 0, 1, ENGINE, (), (LeftOver("a", (1,)),))
    assert check(job, nothing) == ()
    assert check_laid([], job.fabric) == ()


# --- the judge's own geometry -------------------------------------------------------------------


@given(
    strategies.pieces(),
    st.sampled_from([0.0, 90.0, 180.0, 270.0, 45.0, 12.5]),
    st.booleans(),
    strategies.points(),
)
def test_judge_and_engine_agree_where_a_part_lies(
    piece: Piece, turn: float, flip: bool, place: tuple[float, float]
) -> None:
    shape = oriented(whole_outline(piece), piece.grain, turn, flip) + np.array(place)
    (part,) = lay({piece.id: piece}, [spot(piece.id, 1, *place, turn, flip)])
    assert shapely.Polygon(shape).symmetric_difference(part.polygon).area <= 1e-6
    assert shapely.hausdorff_distance(shapely.Polygon(shape), part.polygon) <= 1e-8


@given(strategies.half_outlines())
def test_unfolding_doubles_the_area_and_is_its_own_mirror_image(
    half: tuple[Outline, tuple[tuple[float, float], ...]],
) -> None:
    outline, ends = half
    ring = whole(Piece("a", outline, fold=(ends[0], ends[1])))
    polygon = shapely.Polygon(np.column_stack([ring.real, ring.imag]))
    assert polygon.is_valid
    assert polygon.area == pytest.approx(2 * strategies.area(outline), rel=1e-9)
    first, last = (complex(*end) for end in ends)
    along = (last - first) / abs(last - first)
    image = ((ring - first) / along).conj() * along + first
    mirror = shapely.Polygon(np.column_stack([image.real, image.imag]))
    assert shapely.hausdorff_distance(polygon, mirror) <= 1e-8


@given(strategies.placed_anywhere(), st.sampled_from([0.0, 180.0, 45.0, 127.3]))
@example(strategies.moved(SQUARE, -99_999.0, 99_899.0), 127.3)
def test_the_judge_is_as_exact_for_parts_drawn_far_away(outline: Outline, turn: float) -> None:
    """Side by side two copies touch in their bounding boxes; a hundredth nearer they overlap."""
    piece = Piece("a", outline, cut=2, hand="same", turns=(0.0, turn))
    box = shapely.box(*lay({"a": piece}, [spot("a", 1, 0, 0, turn)])[0].polygon.bounds)
    x, y, high, _ = box.bounds
    job = Job(Fabric(width=10_000.0, nap=False), (piece,))
    first = spot("a", 1, -x, -y, turn)
    beside = replace(first, copies=(2,), x=first.x + high - x)
    assert check(job, laid_out(job, first, beside)) == ()
    square = Piece("a", tuple(shapely.Polygon(box).exterior.coords)[:-1], turns=(0.0, turn))
    near = lay({"a": square}, [spot("a", 1, -x, -y), spot("a", 2, -x + high - x - 0.01, -y)])
    assert kinds(overlaps(near)) == ["overlap"]


def test_three_hundred_curved_parts_are_judged_by_neighbours_alone() -> None:
    """A grid of 300 parts of 300 points: only true neighbours are measured, none is missed."""
    angles = np.linspace(0.0, 2.0 * math.pi, 300, endpoint=False)
    wave = 50.0 * (1.0 + 0.1 * np.cos(5 * angles))
    outline = tuple(zip(wave * np.cos(angles), wave * np.sin(angles), strict=True))
    grid = [
        Laid(
            str(n),
            str(n),
            shapely.Polygon(strategies.moved(outline, 106.0 * (n // 12), 108.0 * (n % 12))),
        )
        for n in range(300)
    ]
    brute = {
        (grid[i].key, grid[j].key)
        for i in range(36)
        for j in range(i + 1, 36)
        if grid[i].polygon.distance(grid[j].polygon) < 2.9
    }
    found = {violation.parts for violation in too_near(grid, 3.0)}
    assert {pair for pair in found if int(pair[0]) < 36 and int(pair[1]) < 36} == brute
    assert brute


def test_a_heap_of_parts_is_refused_without_measuring_every_pair() -> None:
    heap = [Laid(str(n), str(n), shapely.box(0, 0, 50, 50)) for n in range(100)]
    found = overlaps(heap)
    assert 200 <= len(found) < 4950
    assert len({one.parts for one in found}) == len(found)
    assert too_near(heap, 3.0) == []


# --- published layouts --------------------------------------------------------------------------

CLEAN = [
    "albano_GLSHA",
    "albano_SAHA",
    "shapes0_GLSHA",
    "shapes0_SAHA",
    "shapes1_GLSHA",
    "shapes1_SAHA",
    "shirts_GLSHA",
    "shirts_SAHA",
]
"""Layouts of A. M. Gomes and J. F. Oliveira, "Solving irregular strip packing problems by
hybridising simulated annealing and linear programming", European Journal of Operational Research
171(3), 2006, 811-829, as stored in the ESICUP data sets."""


@pytest.mark.parametrize("name", CLEAN)
def test_published_clean_layouts_are_accepted(benchmark_folder: Path, name: str) -> None:
    job = instance_job(benchmark_folder, name.split("_")[0])
    layout = published_layout(job, benchmark_folder / "layouts" / f"{name}.json")
    assert check(job, layout) == ()


@pytest.mark.parametrize("name", CLEAN)
def test_published_clean_layouts_are_refused_when_one_part_is_pushed(
    benchmark_folder: Path, name: str
) -> None:
    job = instance_job(benchmark_folder, name.split("_")[0])
    layout = published_layout(job, benchmark_folder / "layouts" / f"{name}.json")
    # A part in the second half of the strip goes towards its start by 2 % of the width.
    inner = max(layout.placements, key=lambda one: one.x)
    pushed = replace(inner, x=inner.x - 0.02 * job.fabric.width)
    placements = tuple(pushed if one is inner else one for one in layout.placements)
    found = check(job, replace(layout, placements=placements))
    assert "overlap" in kinds(found)


@pytest.mark.parametrize("name", ["albano_BeamSearch", "shirts_BeamSearch"])
def test_published_layouts_with_overlaps_are_refused(benchmark_folder: Path, name: str) -> None:
    """J. Bennell and X. Song, "A beam search implementation for the irregular shape packing
    problem" (2007), as stored in the ESICUP data sets: they overlap a little."""
    job = instance_job(benchmark_folder, name.split("_")[0])
    layout = published_layout(job, benchmark_folder / "layouts" / f"{name}.json")
    assert "overlap" in kinds(check(job, layout))
