# SPDX-License-Identifier: GPL-2.0-or-later
"""Fields of many parts, outlines that are not what they seem, and where the judge lays a part."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import pytest
import shapely

from nesting.judge.check import check
from nesting.judge.outlines import Laid, lay, overlaps, too_near
from nesting.model import Fabric, Job, Outline, Piece, Placement
from tests.helpers.judged import SQUARE, beside, either_way, kinds, laid_out, spot, two_squares

# --- fields of many parts -----------------------------------------------------------------------


def field_of(columns: int, rows: int, step: float = 100.0) -> list[Laid]:
    """Return squares of 100 mm in columns, from the lowest of the first on."""
    return [
        Laid(str(n), str(n), shapely.box(x, y, x + 100.0, y + 100.0))
        for n in range(columns * rows)
        for x, y in [(step * (n // rows), step * (n % rows))]
    ]


def test_of_four_hundred_squares_that_touch_only_the_last_pair_overlaps() -> None:
    field = field_of(20, 20)
    assert overlaps(field) == []
    pushed = shapely.box(1900.0, 1899.9, 2000.0, 1999.9)
    found = overlaps([*field[:-1], Laid("399", "399", pushed)])
    assert [one.parts for one in found] == [("398", "399")]
    # In any order of the parts.
    turned = [Laid("399", "399", pushed), *field[:-1][::-1]]
    assert [set(one.parts) for one in overlaps(turned)] == [{"398", "399"}]


def test_of_four_hundred_squares_only_the_last_pair_is_too_near() -> None:
    field = field_of(20, 20, step=102.9)
    near = [Laid("399", "399", shapely.affinity.translate(field[-1].polygon, 0.0, -0.1))]
    assert len(too_near(field, 2.9)) == 0
    found = too_near([*field[:-1], *near], 2.9)
    assert [one.parts for one in found] == [("398", "399")]
    assert found[0].amount == pytest.approx(0.1)


def couples(deep: Sequence[int], count: int, apart: float = 0.0, deeper: float = 1.0) -> list[Laid]:
    """Return so many couples of squares far from each other; those numbered `deep` are nearer."""
    laid = []
    for n in range(count):
        x = 100.0 + apart - (deeper if n in deep else 0.0)
        for name, at in (("a", 0.0), ("b", x)):
            box = shapely.box(at, 200.0 * n, at + 100.0, 200.0 * n + 100.0)
            laid.append(Laid(f"{n}{name}", f"{n}{name}", box))
    return laid


@pytest.mark.parametrize(
    ("deep", "told"),
    [
        # 200 are enough, but the lot of 500 pairs they lie in is told to its end.
        ([*range(199), 599], 200),
        ([*range(200), 599], 200),
        ([*range(400), 599], 400),
        ([*range(199), 499, 500], 200),
        ([*range(199), 500, 501, 599], 202),
        ([*range(198), 599], 199),
    ],
)
def test_two_hundred_faults_are_enough_and_no_fewer(deep: list[int], told: int) -> None:
    assert len(overlaps(couples(deep, 600))) == told
    # Each couple is looked at, for 3 mm less the least slack; nearer by its own slack is no fault.
    assert len(too_near(couples(deep, 600, apart=3.0 - 2.2e-4), 3.0)) == told


def test_overlaps_come_in_the_order_of_the_parts() -> None:
    found = overlaps(couples([7, 3, 590, 250], 600))
    assert [one.parts for one in found] == [(f"{n}a", f"{n}b") for n in (3, 7, 250, 590)]


# --- outlines that are not what they seem -------------------------------------------------------

KEYHOLE: Outline = (
    (0, 0), (100, 0), (100, 50), (80, 50), (80, 20), (20, 20), (20, 80), (80, 80), (80, 50),
    (100, 50), (100, 100), (0, 100),
)  # fmt: skip
"""A frame 20 wide round a hole of 60 by 60, cut open along a slit of no width."""
BOW_TIE: Outline = ((0, 0), (100, 100), (100, 0), (0, 100))
"""An outline that crosses itself: two triangles that meet in the middle."""
SPIKE: Outline = ((0, 0), (100, 0), (100, 50), (900, 50), (100, 50), (100, 100), (0, 100))
"""A square with a spike of no width."""


@pytest.mark.parametrize("turn", [0.0, 90.0, 33.3, 180.0, 217.1])
@pytest.mark.parametrize(
    ("outline", "x", "y", "expected"),
    [
        (KEYHOLE, 30, 30, []),
        (KEYHOLE, 20, 20, []),
        (KEYHOLE, 60, 30, ["overlap"]),
        (KEYHOLE, 5, 5, ["overlap"]),
        (BOW_TIE, 30, 71, []),
        (BOW_TIE, 30, -11, []),
        (BOW_TIE, 0, 30, ["overlap"]),
        (BOW_TIE, 60, 30, ["overlap"]),
        (SPIKE, 300, 30, []),
        (SPIKE, 61, 30, ["overlap"]),
    ],
)
def test_invalid_outlines_are_judged_by_the_cloth_they_enclose(
    outline: Outline, x: float, y: float, expected: list[str], turn: float
) -> None:
    """A square of 40 mm beside, in and on them, the whole turned by one angle."""
    small: Outline = tuple((x + px, y + py) for px, py in ((0, 0), (40, 0), (40, 40), (0, 40)))
    pieces = {"odd": Piece("odd", outline), "small": Piece("small", small)}
    laid = lay(pieces, [spot("odd", 1, 5000, 5000, turn), spot("small", 1, 5000, 5000, turn)])
    assert all(part.polygon.is_valid for part in laid)
    assert either_way(laid) == expected


def test_an_invalid_outline_keeps_its_gap_and_its_cloth() -> None:
    job = Job(Fabric(width=100.0, gap=3.0), (Piece("odd", KEYHOLE), Piece("b", SQUARE)))
    apart = laid_out(job, spot("odd", 1, 0, 0), spot("b", 1, 103, 0))
    assert check(job, apart) == ()
    assert kinds(check(job, laid_out(job, spot("odd", 1, 0, 0), spot("b", 1, 102, 0)))) == ["gap"]
    high = laid_out(job, spot("odd", 1, 0, 1), spot("b", 1, 103, 0))
    assert kinds(check(job, high)) == ["off the cloth"]


@pytest.mark.parametrize(
    ("depth", "expected"), [(-1.0, []), (0.97e-3, []), (1.03e-3, ["overlap"]), (9.0, ["overlap"])]
)
def test_where_the_library_gives_up_outlines_are_rounded_and_judged_all_the_same(
    monkeypatch: pytest.MonkeyPatch, depth: float, expected: list[str]
) -> None:
    plain = shapely.intersection

    def intersection(*shapes: object, grid_size: float | None = None) -> object:
        if grid_size is None:
            raise shapely.errors.GEOSException("TopologyException: found non-noded intersection")
        assert 0.0 < grid_size <= 2e-6, "a coarser grid would be as coarse as the slack"
        return plain(*shapes, grid_size=grid_size)

    monkeypatch.setattr(shapely, "intersection", intersection)
    assert either_way(beside((400.0, 400.0), (400.0, 400.0), -depth)) == expected


# --- where a part lies --------------------------------------------------------------------------


@pytest.mark.parametrize("turn", [0.0, 90.0, 180.0, 270.0, 360.0, -90.0, 450.0])
def test_quarter_turns_are_exact_far_from_the_middle(turn: float) -> None:
    """A piece drawn 100 m away, turned: its box is made of whole millimetres still."""
    far = tuple((x + 1e5, y - 1e5) for x, y in SQUARE)
    (part,) = lay({"a": Piece("a", far)}, [spot("a", 1, 0.0, 0.0, turn)])
    bounds = part.polygon.bounds
    assert bounds == tuple(round(value) for value in bounds)


@pytest.mark.parametrize("fold", [((0, 0), (0, 100)), ((0, 100), (0, 0)), ((100, 100), (100, 0))])
@pytest.mark.parametrize("start", range(5))
def test_a_half_is_unfolded_wherever_its_outline_begins(
    fold: tuple[tuple[float, float], tuple[float, float]], start: int
) -> None:
    """A half 100 wide with one slanting side: the whole is exact and its own mirror image."""
    half = ((0, 0), (100, 0), (100, 100), (40, 140), (0, 100))
    turned = half[start:] + half[:start]
    (part,) = lay({"a": Piece("a", turned, fold=fold)}, [spot("a", 1, 0.0, 0.0)])
    axis = fold[0][0]
    whole = shapely.union(
        shapely.Polygon(half), shapely.Polygon([(2 * axis - x, y) for x, y in half])
    )
    assert part.polygon.equals(whole)
    assert part.polygon.area == 2 * shapely.Polygon(half).area


def test_each_way_of_placing_a_part_does_what_it_says() -> None:
    """R(turn) . F(flip) . R(-grain) . p + (x, y), by hand."""
    flag: Outline = ((0, 0), (30, 0), (30, 10), (10, 10), (10, 20), (0, 20))
    pieces = {"up": Piece("up", flag, grain=90.0), "along": Piece("along", flag)}
    cases = {
        spot("along", 1, 5, 7): [(5, 7), (35, 7), (35, 17), (15, 17), (15, 27), (5, 27)],
        spot("along", 1, 0, 0, 0, True): [
            (0, 0), (30, 0), (30, -10), (10, -10), (10, -20), (0, -20)
        ],
        spot("along", 1, 0, 0, 90): [(0, 0), (0, 30), (-10, 30), (-10, 10), (-20, 10), (-20, 0)],
        spot("along", 1, 0, 0, 90, True): [(0, 0), (0, 30), (10, 30), (10, 10), (20, 10), (20, 0)],
        spot("up", 1, 0, 0): [(0, 0), (0, -30), (10, -30), (10, -10), (20, -10), (20, 0)],
        spot("up", 1, 0, 0, 0, True): [(0, 0), (0, 30), (10, 30), (10, 10), (20, 10), (20, 0)],
    }  # fmt: skip
    for placed, points in cases.items():
        (part,) = lay(pieces, [placed])
        assert part.polygon.equals(shapely.Polygon(points)), placed


def test_a_part_is_named_by_its_first_copy_and_by_none_when_it_cuts_none() -> None:
    pieces = {"a": Piece("a", SQUARE, name="Front")}
    both = Placement("a", (3, 4), 1, 0.0, False, 0.0, 0.0)
    (part,) = lay(pieces, [both])
    assert (part.key, part.label) == ("a #3", "copy 3 of piece “Front” (a)")
    (part,) = lay(pieces, [replace(both, copies=())])
    assert part.key == "a #0"


@pytest.mark.parametrize("field", ["turn", "x", "y"])
@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_a_placement_with_a_figure_that_is_no_number_is_nowhere(field: str, bad: float) -> None:
    job = two_squares()
    lost = replace(spot("b", 1, 100, 0), **{field: bad})
    layout = replace(laid_out(job, spot("a", 1, 0, 0)), placements=(spot("a", 1, 0, 0), lost))
    found = check(job, layout)
    (one,) = [one for one in found if one.kind == "off the cloth"]
    assert one.parts == ("b #1",)
    assert one.amount == math.inf
    assert set(kinds(found)) <= {"off the cloth", "turn", "nap"}
