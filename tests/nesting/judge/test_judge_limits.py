# SPDX-License-Identifier: GPL-2.0-or-later
"""Both sides of every figure of the judge, written out here once more: none may drift unseen.

The figures are those of the docstring of `nesting.judge.check`; none of them is imported.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely

from nesting.judge.check import check, check_held, check_laid
from nesting.judge.outlines import Laid, overlaps, too_near
from nesting.judge.verdict import Violation, figure, numbers
from nesting.model import Fabric, Job, LeftOver, Outline, Piece, Placement
from tests.helpers.judged import SQUARE, beside, either_way, kinds, laid_out, spot, two_squares

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
