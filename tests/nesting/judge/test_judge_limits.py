# SPDX-License-Identifier: GPL-2.0-or-later
"""Both sides of every figure of the judge, written out here once more: none may drift unseen.

The figures are those of the docstring of `nesting.judge.check`; none of them is imported.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import pytest
import shapely

from nesting.judge.check import check, check_held, check_laid
from nesting.judge.outlines import Laid, lay, overlaps, too_near
from nesting.judge.verdict import Violation, figure, numbers
from nesting.model import Fabric, Job, LeftOver, Outline, Piece, Placement
from tests.helpers.judged import SQUARE, kinds, laid_out, spot, two_squares

CLOTH = Fabric(width=1e6)


def beside(
    left: tuple[float, float], right: tuple[float, float], apart: float, y: float = 0.0
) -> list[Laid]:
    """Return two rectangles by their sizes, the second behind the first and `apart` mm from it."""
    x = left[0] + apart
    return [
        Laid("left", "left", shapely.box(0.0, 0.0, *left)),
        Laid("right", "right", shapely.box(x, y, x + right[0], y + right[1])),
    ]


def either_way(laid: Sequence[Laid], gap: float = 0.0) -> list[str]:
    """Return what is wrong with parts, the same in either order."""
    fabric = replace(CLOTH, gap=gap)
    there, back = check_laid(laid, fabric), check_laid(laid[::-1], fabric)
    assert kinds(there) == kinds(back)
    assert [one.amount for one in there] == pytest.approx([one.amount for one in back])
    return kinds(there)


# --- the slack between two parts ----------------------------------------------------------------

SLACKS = [
    # One part, the other, and the slack between them.
    ((4.0, 4.0), (4.0, 4.0), 2e-4),
    ((79.0, 79.0), (79.0, 79.0), 2e-4),
    ((100.0, 100.0), (100.0, 100.0), 2.5e-4),
    ((400.0, 400.0), (400.0, 400.0), 1e-3),
    ((1960.0, 900.0), (1960.0, 900.0), 4.9e-3),
    ((2100.0, 900.0), (2100.0, 900.0), 5e-3),
    ((50_000.0, 9000.0), (50_000.0, 9000.0), 5e-3),
    # Unequal: it is the smaller part's.
    ((4000.0, 1000.0), (40.0, 40.0), 2e-4),
    ((4000.0, 1000.0), (400.0, 400.0), 1e-3),
    ((400.0, 400.0), (100.0, 100.0), 2.5e-4),
    # A part's extent is the larger side of its box, along or across.
    ((400.0, 30.0), (30.0, 400.0), 1e-3),
    ((400.0, 30.0), (400.0, 30.0), 1e-3),
    ((30.0, 400.0), (30.0, 400.0), 1e-3),
    ((30.0, 400.0), (30.0, 30.0), 2e-4),
]


@pytest.mark.parametrize(("left", "right", "slack"), SLACKS)
def test_a_shared_strip_counts_from_the_slack_of_the_smaller_part_on(
    left: tuple[float, float], right: tuple[float, float], slack: float
) -> None:
    assert either_way(beside(left, right, -0.97 * slack)) == []
    assert either_way(beside(left, right, -1.03 * slack)) == ["overlap"]


@pytest.mark.parametrize(("left", "right", "slack"), SLACKS)
def test_a_gap_may_be_less_by_the_slack_of_the_smaller_part(
    left: tuple[float, float], right: tuple[float, float], slack: float
) -> None:
    for gap in (0.5, 3.0, 25.0):
        assert either_way(beside(left, right, gap - 0.97 * slack), gap) == []
        assert either_way(beside(left, right, gap - 1.03 * slack), gap) == ["gap"]


def test_parts_that_share_what_counts_as_contact_are_too_near_for_a_gap() -> None:
    assert either_way(beside((400.0, 400.0), (400.0, 400.0), -0.5e-3), gap=3.0) == ["gap"]
    assert either_way(beside((400.0, 400.0), (400.0, 400.0), 0.0), gap=3.0) == ["gap"]
    assert either_way(beside((400.0, 400.0), (400.0, 400.0), -2e-3), gap=3.0) == ["overlap"]


def test_a_gap_smaller_than_the_least_slack_asks_for_nothing() -> None:
    """And one above it does, by so much as it is above the slack."""
    touching = beside((40.0, 40.0), (40.0, 40.0), 0.0)
    assert either_way(touching, gap=0.0) == []
    assert either_way(touching, gap=1.95e-4) == []
    assert either_way(touching, gap=2.05e-4) == ["gap"]
    assert either_way(beside((40.0, 40.0), (40.0, 40.0), 1e-5), gap=2.05e-4) == []


def test_the_slack_is_measured_across_a_slanting_edge_too() -> None:
    """Two halves of a square of 400 mm, cut along the diagonal: the slack is measured across it."""
    lower = shapely.Polygon([(9, 9), (409, 9), (409, 409)])

    def found(depth: float) -> list[str]:
        push = depth * math.sqrt(0.5)
        corners = [(9 + push, 9 - push), (409 + push, 409 - push), (9 + push, 409 - push)]
        upper = shapely.Polygon(corners)
        return either_way([Laid("a", "a", lower), Laid("b", "b", upper)])

    assert found(0.97e-3) == []
    assert found(1.03e-3) == ["overlap"]


# --- a needle in another part -------------------------------------------------------------------


@pytest.mark.parametrize(("share", "expected"), [(0.049, []), (0.051, ["overlap"])])
def test_a_twentieth_of_the_smaller_part_may_not_be_common_however_thin(
    share: float, expected: list[str]
) -> None:
    thin = 1e-4
    block = Laid("block", "block", shapely.box(0, 0, 400, 400))
    inside = 300.0 * share
    needle = Laid("needle", "needle", shapely.box(400 - inside, 50, 700 - inside, 50 + thin))
    assert either_way([block, needle]) == expected


def test_the_twentieth_is_the_smaller_parts_not_the_larger_ones() -> None:
    """A strip of a tenth of a needle is nothing of the block it lies in."""
    needle = Laid("needle", "needle", shapely.box(370, 50, 670, 50 + 1e-4))
    assert either_way([Laid("block", "block", shapely.box(0, 0, 400, 400)), needle]) == ["overlap"]
    # As a strip along both, thinner than the slack, it is a twentieth of neither.
    assert either_way(beside((400.0, 400.0), (400.0, 400.0), -0.9e-3)) == []


# --- edges of the cloth -------------------------------------------------------------------------


@pytest.mark.parametrize("margin", [0.0, 5.0])
@pytest.mark.parametrize(
    "edge", ["first cut end", "other cut end", "lower selvedge", "upper selvedge"]
)
def test_an_edge_of_the_cloth_may_be_passed_by_a_hundred_thousandth(
    edge: str, margin: float
) -> None:
    fabric = Fabric(width=250.0, length=300.0, edge_margin=margin)

    def found(beyond: float) -> tuple[Violation, ...]:
        x, y = {
            "first cut end": (margin - beyond, 60.0),
            "other cut end": (300.0 - margin - 100.0 + beyond, 60.0),
            "lower selvedge": (60.0, margin - beyond),
            "upper selvedge": (60.0, 250.0 - margin - 100.0 + beyond),
        }[edge]
        return check_laid([Laid("a", "a", shapely.box(x, y, x + 100.0, y + 100.0))], fabric)

    assert found(0.97e-5) == ()
    (one,) = found(1.03e-5)
    assert one.kind == "off the cloth"
    assert one.parts == ("a",)
    assert one.amount == pytest.approx(1.03e-5, rel=1e-3)
    assert edge in one.sentence


def test_what_is_just_allowed_is_allowed() -> None:
    """At the figures themselves, where they can be met to the last bit."""
    at_the_edge = Laid("a", "a", shapely.box(-1e-5, 0.0, 100.0, 100.0))
    assert check_laid([at_the_edge], Fabric(width=250.0)) == ()
    thin = 2.0**-14
    needle = Laid("needle", "needle", shapely.box(384.0, 50.0, 704.0, 50.0 + thin))
    assert either_way([Laid("block", "block", shapely.box(0, 0, 400, 400)), needle]) == []


def test_cloth_without_an_end_has_no_other_cut_end() -> None:
    far = Laid("a", "a", shapely.box(1e7, 0, 1e7 + 100, 100))
    assert check_laid([far], Fabric(width=250.0)) == ()
    assert kinds(check_laid([far], Fabric(width=250.0, length=1e7))) == ["off the cloth"]


def test_of_two_edges_that_are_passed_the_worse_is_named() -> None:
    low = Laid("a", "a", shapely.box(-3, -7, 97, 93))
    (one,) = check_laid([low], Fabric(width=250.0))
    assert one.amount == 7.0
    assert "lower selvedge" in one.sentence


# --- the stated figures -------------------------------------------------------------------------


@pytest.mark.parametrize("field", ["length", "width"])
@pytest.mark.parametrize("sign", [-1.0, 1.0])
@pytest.mark.parametrize(("far", "slack"), [(0.0, 1e-5), (1e6, 1e-5 + 1e-3)])
def test_stated_lengths_may_be_off_by_rounding_alone(
    field: str, sign: float, far: float, slack: float
) -> None:
    job = two_squares(edge_margin=5.0)
    layout = laid_out(job, spot("a", 1, 5 + far, 5), spot("b", 1, 105 + far, 5))
    slack += 1e-9 * 210.0
    for share, expected in ((0.97, []), (1.03, ["length"])):
        said = getattr(layout, field) + sign * share * slack
        untrue = replace(layout, **{field: said})
        # A utilisation is of the true length; the lower bound here is none.
        found = check(job, untrue)
        assert kinds(found) == expected
        assert all(f"states a {field} of" in one.sentence for one in found)


def test_the_figures_of_the_shortest_layouts_are_looked_at_too() -> None:
    """A button of half a millimetre on a ribbon of ten."""
    button: Outline = ((0.0, 0.0), (0.5, 0.0), (0.5, 0.5), (0.0, 0.5))
    job = Job(Fabric(width=10.0), (Piece("a", button),))
    layout = laid_out(job, spot("a", 1, 0, 0))
    assert layout.utilisation == pytest.approx(0.05)
    assert check(job, layout) == ()
    assert kinds(check(job, replace(layout, utilisation=0.0))) == ["length"]


@pytest.mark.parametrize("sign", [-1.0, 1.0])
def test_a_stated_utilisation_may_be_off_by_a_millionth(sign: float) -> None:
    job = two_squares()
    layout = laid_out(job, spot("a", 1, 0, 0), spot("b", 1, 100, 0))
    assert layout.utilisation == 2 * 100 * 100 / (250 * 200)
    for off, expected in ((0.97e-6, []), (1.03e-6, ["length"])):
        found = check(job, replace(layout, utilisation=layout.utilisation + sign * off))
        assert kinds(found) == expected
        assert all("states a utilisation of" in one.sentence for one in found)


def test_a_lower_bound_may_pass_the_length_by_rounding_alone() -> None:
    job = two_squares()
    layout = laid_out(job, spot("a", 1, 0, 0), spot("b", 1, 100, 0))
    slack = 1e-5 + 1e-9 * 200.0
    assert check(job, replace(layout, lower_bound=200.0)) == ()
    assert check(job, replace(layout, lower_bound=200.0 + 0.97 * slack)) == ()
    (one,) = check(job, replace(layout, lower_bound=200.0 + 1.03 * slack))
    assert one.kind == "length"
    assert one.amount == pytest.approx(1.03 * slack, rel=1e-3)
    # A bound of all parts says nothing about some of them.
    short = replace(job, fabric=replace(job.fabric, length=150.0))
    rest = laid_out(short, spot("a", 1, 0, 0), left_over=(LeftOver("b", (1,)),))
    assert check(short, replace(rest, lower_bound=200.0)) == ()


@pytest.mark.parametrize("field", ["length", "width", "utilisation", "lower_bound"])
def test_a_figure_that_is_no_number_is_not_true(field: str) -> None:
    job = two_squares()
    layout = laid_out(job, spot("a", 1, 0, 0), spot("b", 1, 100, 0))
    for bad in (math.nan, math.inf):
        assert set(kinds(check(job, replace(layout, **{field: bad})))) == {"length"}


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


# --- every rule is asked ------------------------------------------------------------------------


def test_one_layout_can_break_every_rule() -> None:
    job = Job(
        Fabric(width=250.0, gap=3.0, nap=True),
        (Piece("a", SQUARE, cut=2), Piece("b", SQUARE), Piece("c", SQUARE), Piece("d", SQUARE)),
        held=(spot("b", 1, 0, 0),),
    )
    layout = laid_out(
        job,
        spot("a", 1, 0, 0),
        spot("a", 2, 101, 0),
        spot("b", 1, 50, 20),
        spot("c", 1, 1000, 145, 200.0),
        spot("d", 1, 500, 200),
        spot("d", 1, 800, 100),
    )
    found = check(job, replace(layout, length=1.0))
    assert set(kinds(found)) == {
        "overlap", "gap", "off the cloth", "count", "hand", "turn", "nap", "held moved", "length"
    }  # fmt: skip


@pytest.mark.parametrize(
    ("held", "expected"),
    [
        ((spot("a", 1, 0, 0), spot("b", 1, 103, 0)), []),
        ((spot("a", 1, 0, 0), spot("b", 1, 99, 0)), ["overlap"]),
        ((spot("a", 1, 0, 0), spot("b", 1, 101, 0)), ["gap"]),
        ((spot("a", 1, 0, 151),), ["off the cloth"]),
        ((spot("a", 1, 100, 0, 90.0),), ["turn", "nap"]),
        ((spot("a", 1, 100, 100, 180.0),), ["nap"]),
    ],
)
def test_held_parts_are_judged_before_anything_is_laid(
    held: tuple[Placement, ...], expected: list[str]
) -> None:
    job = replace(two_squares(gap=3.0), held=held)
    assert kinds(check_held(job)) == expected


# --- amounts and words --------------------------------------------------------------------------


def test_amounts_are_measured() -> None:
    (one,) = overlaps(beside((100.0, 100.0), (50.0, 60.0), -2.0, y=10.0))
    assert one.amount == pytest.approx(120.0)
    assert (
        one.sentence
        == "Left and right overlap by 120 mm² near x = 99 mm, y = 40 mm: move them apart."
    )
    (one,) = too_near(beside((100.0, 100.0), (50.0, 60.0), 1.5), 3.0)
    assert one.amount == pytest.approx(1.5)
    assert one.sentence == (
        "Left and right lie 1.5 mm apart, less than the gap of 3 mm: move them apart."
    )


def test_words_of_the_judge() -> None:
    assert numbers((1, 2, 3, 4, 5)) == "1, 2, 3, 4, 5"
    assert numbers((1, 2, 3, 4, 5, 6)) == "1, 2, 3, 4, 5 and 1 more"
    assert numbers(range(1, 12)) == "1, 2, 3, 4, 5 and 6 more"
    values = (0.12345, 9999.0, 9999.5, 9999.9, 10_000.0, 12_345.6, -12_345.6)
    assert [figure(value) for value in values] == [
        "0.1235", "9999", "10000", "10000", "10000", "12346", "-12346"
    ]  # fmt: skip
    assert str(Violation("gap", (), 1.0, "Too near.")) == "Too near"
