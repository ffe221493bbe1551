# SPDX-License-Identifier: GPL-2.0-or-later
"""Verdicts of Check on parts put down by hand: overlaps, gaps, edges, counts, on both sides."""

from __future__ import annotations

import pytest
import shapely

from extension.layouts.recognise import LaidPart
from extension.layouts.situation import Finding, Situation
from extension.layouts.spots import ROUNDING
from extension.layouts.verdicts import depth_of, findings
from tests.helpers.put_down import (
    FOUR,
    FRONT,
    GAP,
    LESS,
    MORE,
    PAIR,
    SIDE,
    TAB,
    WIDTH,
    cut,
    only,
    part,
    situation,
    told,
)


def pair(x: float, y: float = 200.0) -> Situation:
    """Return a front at (200, 200) and a tab."""
    return situation([FRONT, TAB], [part(FRONT, 200.0, 200.0), part(TAB, x, y)])


@pytest.mark.parametrize(
    ("area", "depth"),
    [
        (shapely.box(0, 0, 100, 4), 4.0),
        (shapely.Point(0, 0).buffer(25, quad_segs=64), 50.0),
        (shapely.MultiPolygon([shapely.box(0, 0, 9, 1), shapely.box(20, 0, 29, 3)]), 3.0),
        (shapely.LineString([(0, 0), (9, 0)]), 0.0),
        (shapely.GeometryCollection([shapely.Point(3, 3), shapely.box(0, 0, 8, 2)]), 2.0),
        (
            shapely.GeometryCollection(
                [shapely.GeometryCollection([shapely.box(0, 0, 8, 2)]), shapely.Point(3, 3)]
            ),
            2.0,
        ),
        (shapely.Polygon(), 0.0),
    ],
)
def test_depth_is_the_diameter_of_the_widest_disc(area: shapely.Geometry, depth: float) -> None:
    assert depth_of(area) == pytest.approx(depth, rel=0.02, abs=1e-9)


def test_depth_of_something_small_is_exact_to_a_thousandth() -> None:
    triangle = shapely.Polygon([(0, 0), (0.3, 0), (0, 0.4)])
    assert depth_of(triangle) == pytest.approx(0.2, abs=0.0025)


# --- pairs --------------------------------------------------------------------------------------


def test_parts_that_keep_their_gap_are_no_fault() -> None:
    assert findings(pair(200.0 + SIDE + GAP)) == ()


def test_an_overlap_is_told_with_its_area_and_depth_and_where() -> None:
    one = only(pair(290.0, 250.0))
    assert told([one]) == [("overlap", ("front #1", "tab #1"), 500.0)]
    assert one.sentence == "Front and Tab overlap: 5 cm², 10 mm deep"
    assert one.objects == ("front-1", "tab-1")
    assert one.places[0].equals(shapely.box(290, 250, 300, 300))


def test_a_small_overlap_is_told_in_square_millimetres() -> None:
    assert only(pair(299.5, 299.0)).sentence == "Front and Tab overlap: 0.5 mm², 0.5 mm deep"
    assert " 99 mm², " in only(pair(299.01, 200.0)).sentence
    assert only(pair(299.0, 200.0)).sentence.startswith("Front and Tab overlap: 1 cm², ")


@pytest.mark.parametrize(
    ("deep", "is_told"), [(LESS, False), (ROUNDING - 1e-6, False), (MORE, True)]
)
def test_an_overlap_counts_when_it_is_deeper_than_rounding(deep: float, is_told: bool) -> None:
    kinds = [one.kind for one in findings(pair(300.0 - deep))]
    assert ("overlap" in kinds) == is_told


@pytest.mark.parametrize(
    ("apart", "words"),
    [
        (GAP - MORE, "lie 2.99 mm apart"),
        (1.0, "lie 1 mm apart"),
        (MORE, "lie 0.0105 mm apart"),
        (LESS, "touch"),
        (0.0, "touch"),
    ],
)
def test_a_gap_that_is_too_small_is_told(apart: float, words: str) -> None:
    one = only(pair(300.0 + apart))
    assert told([one]) == [("gap", ("front #1", "tab #1"), round(GAP - apart, 4))]
    assert one.sentence == f"Front and Tab {words}, the gap is 3 mm"
    assert one.objects == ("front-1", "tab-1")
    assert one.places[0].length == pytest.approx(apart)


@pytest.mark.parametrize("short", [LESS, ROUNDING - 1e-9])
def test_a_gap_may_be_short_by_rounding(short: float) -> None:
    assert findings(pair(300.0 + GAP - short)) == ()


def test_exactly_by_rounding_is_still_rounding() -> None:
    """Two parts one above the other, with figures that floating point has exactly."""
    upper = part(TAB, 200, 0, polygon=shapely.box(200, 0, 300, 100))
    lower = part(FRONT, 200, 0, polygon=shapely.box(200, -100, 300, 0))
    deeper = part(FRONT, 200, 0, polygon=shapely.box(200, -100, 300, ROUNDING))
    higher = part(TAB, 200, 0, polygon=shapely.box(200, ROUNDING, 300, 100))

    def of_pairs(one: LaidPart, other: LaidPart, gap: float) -> list[Finding]:
        found = findings(situation([FRONT, TAB], [one, other], gap=gap))
        return [each for each in found if each.kind in ("overlap", "gap")]

    assert of_pairs(deeper, upper, 0.0) == []
    assert of_pairs(lower, upper, ROUNDING) == []
    (near,) = of_pairs(lower, higher, 2.0 * ROUNDING + 2.0**-10)
    assert " touch, " in near.sentence
    assert findings(situation([FRONT], [part(FRONT, 300.0, -ROUNDING)])) == ()


def test_several_faults_of_pairs_are_all_told() -> None:
    third = cut("Belt")
    parts = [part(FRONT, 200, 200), part(TAB, 301, 200), part(third, 290, 300.5)]
    found = findings(situation([FRONT, TAB, third], parts))
    assert [one.kind for one in found] == ["gap", "gap", "gap"]
    parts = [part(FRONT, 200, 200), part(TAB, 250, 200), part(third, 290, 250)]
    assert [one.kind for one in findings(situation([FRONT, TAB, third], parts))] == ["overlap"] * 3


def test_a_fault_too_small_to_count_hides_no_later_one() -> None:
    third = cut("Belt")
    parts = [part(FRONT, 200, 200), part(TAB, 300 + GAP - LESS, 200), part(third, 200, 301)]
    assert told(findings(situation([FRONT, TAB, third], parts))) == [
        ("gap", ("front #1", "belt #1"), 2.0)
    ]


# --- the cloth ----------------------------------------------------------------------------------

BEYOND = {
    "the cut end": (-2.5, 300.0),
    "the lower selvedge": (300.0, -2.5),
    "the upper selvedge": (300.0, WIDTH - SIDE + 2.5),
    "the end of the cloth": (1500.0 - SIDE + 2.5, 300.0),
}


@pytest.mark.parametrize(("edge", "corner"), BEYOND.items(), ids=BEYOND.keys())
def test_a_part_beyond_an_edge_is_told_with_the_edge(
    edge: str, corner: tuple[float, float]
) -> None:
    one = only(situation([FRONT], [part(FRONT, *corner)], length=1500.0))
    assert told([one]) == [("off the cloth", ("front #1",), 2.5)]
    assert one.sentence == f"Front reaches 2.5 mm beyond {edge}"
    assert one.objects == ("front-1",)
    assert one.places[0].area == pytest.approx(2.5 * SIDE)


@pytest.mark.parametrize("corner", BEYOND.values(), ids=BEYOND.keys())
@pytest.mark.parametrize(("by", "is_told"), [(LESS, False), (ROUNDING - 1e-6, False), (MORE, True)])
def test_an_edge_may_be_passed_by_rounding(
    corner: tuple[float, float], by: float, is_told: bool
) -> None:
    x, y = (place - 2.5 + by if place > 350 else place + 2.5 - by for place in corner)
    x, y = (300.0 if abs(place - 300) < 5 else place for place in (x, y))
    found = findings(situation([FRONT], [part(FRONT, x, y)], length=1500.0))
    assert bool(found) == is_told


def test_open_ended_cloth_has_no_end() -> None:
    assert findings(situation([FRONT], [part(FRONT, 9e5, 300.0)])) == ()


def test_without_originals_the_cloth_counts_all_the_same() -> None:
    lost = part(None, -5.0, 300.0, trouble="original")
    kinds = [one.kind for one in findings(situation([], [lost], planned=False))]
    assert kinds == ["off the cloth", "original"]


def test_a_part_beside_the_cloth_does_not_reach_beyond_an_edge() -> None:
    one = only(situation([FRONT], [part(FRONT, 300.0, WIDTH + 50.0)]))
    assert one.sentence == "Front does not lie on the cloth"
    after = only(situation([FRONT], [part(FRONT, 1600.0, 300.0)], length=1500.0))
    assert after.sentence == "Front does not lie on the cloth"


def test_a_long_way_is_told_in_centimetres() -> None:
    one = only(situation([FRONT], [part(FRONT, 300.0, WIDTH - 0.5)]))
    assert one.sentence == "Front reaches 99.5 mm beyond the upper selvedge"
    wide = part(FRONT, 0, 0, polygon=shapely.box(300, 500, 400, 1100))
    assert only(situation([FRONT], [wide])).sentence.startswith("Front reaches 10 cm beyond")


def test_only_what_passes_an_edge_is_told() -> None:
    parts = [part(FRONT, -LESS, 300.0), part(TAB, 300.0, -5.0)]
    assert told(findings(situation([FRONT, TAB], parts))) == [("off the cloth", ("tab #1",), 5.0)]


# --- counts -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("there", "keys", "sentence"),
    [
        ((1, 2, 3), ("loop #4",), "Loop: 4 of 4 is missing"),
        ((1, 3), ("loop #2", "loop #4"), "Loop: 2 and 4 of 4 are missing"),
        ((), ("loop #1", "loop #2", "loop #3", "loop #4"), "Loop is not on this layout (cut 4)"),
    ],
)
def test_missing_copies_are_told(
    there: tuple[int, ...], keys: tuple[str, ...], sentence: str
) -> None:
    parts = [part(FOUR, 110.0 * copy, 300.0, copy=copy) for copy in there]
    one = only(situation([FOUR], parts))
    assert told([one]) == [("count", keys, float(len(keys)))]
    assert one.sentence == sentence
    assert (one.objects, one.places) == ((), ())


def test_a_single_piece_that_is_missing_is_not_counted() -> None:
    assert only(situation([FRONT], [])).sentence == "Front is not on this layout"
    assert only(situation([PAIR], [])).sentence == "Sleeve is not on this layout (cut 2)"


def test_one_too_many_is_told_with_its_place() -> None:
    parts = [part(FRONT, 200, 200), part(FRONT, 400, 200, id_="g9")]
    one = only(situation([FRONT], parts))
    assert told([one]) == [("count", ("front #1",), 1.0)]
    assert one.sentence == "Front is there once too often: one is asked for"
    assert one.objects == ("g9",)
    assert one.places[0].equals(shapely.box(400, 200, 500, 300))


def test_one_too_many_is_called_so_where_it_overlaps() -> None:
    parts = [part(FRONT, 200, 200), part(FRONT, 250, 200, id_="g9")]
    found = findings(situation([FRONT], parts))
    assert [one.kind for one in found] == ["overlap", "count"]
    assert found[0].sentence.startswith("Front and Front (one too many) overlap")
    assert found[0].parts == ("front #1", "front #1")
    assert found[0].objects == ("front-1", "g9")


def test_what_is_not_asked_for_any_more_is_too_much() -> None:
    stranger = part(None, 400, 200, trouble="not asked for", id_="g7", label="Cuff, 1 of 1")
    one = only(situation([FRONT], [part(FRONT, 200, 200), stranger]))
    assert told([one]) == [("count", ("g7",), 1.0)]
    assert one.sentence == (
        "“Cuff, 1 of 1” (g7) is on the layout, but its original is not to be cut here any more"
    )
    assert one.objects == ("g7",)


def test_an_ungrouped_stranger_is_called_by_its_outlines_name() -> None:
    stranger = part(None, 400, 200, trouble="not asked for", id_="g7", label="Cuff", groups=False)
    one = only(situation([FRONT], [part(FRONT, 200, 200), stranger]))
    assert one.sentence.startswith("“Cuff” (g7-outline) is on the layout")
