# SPDX-License-Identifier: GPL-2.0-or-later
"""Every verdict of Check on parts put down by hand: both sides of each figure, and what is said."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

import pytest
import shapely

from extension.job.plan import Cut, Plan
from extension.layouts.copies import tally
from extension.layouts.found import FoundPart
from extension.layouts.frame import Frame
from extension.layouts.gone import Gone
from extension.layouts.recognise import LaidPart, Pose
from extension.layouts.registration import Motion
from extension.layouts.situation import Finding, Situation
from extension.layouts.verdicts import ROUNDING, depth_of, findings
from extension.layouts.wrecks import Wreck
from extension.pieces.cutlist import Demand
from extension.pieces.model import DrawnPiece
from nesting.model import Fabric, Hand, Job, Piece
from tests.helpers.drawn import group, shape
from tests.helpers.garments import garment
from tests.helpers.layouts import plan_of

WIDTH, SIDE, GAP = 1000.0, 100.0, 3.0
CLOTH = Frame(((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)), WIDTH, WIDTH, 2000.0, True)
MORE, LESS = 1.05 * ROUNDING, 0.95 * ROUNDING


@lru_cache(maxsize=1)
def drawn() -> DrawnPiece:
    """Return some drawn piece, to be renamed."""
    return plan_of(garment().document()).cuts["tab"].drawn


def cut(name: str, count: int = 1, hand: Hand = "mirrored", **rules: object) -> Cut:
    """Return a square piece, cut so often; keywords are its rules."""
    square = ((0.0, 0.0), (SIDE, 0.0), (SIDE, SIDE), (0.0, SIDE))
    piece = Piece(name.lower(), square, name, count, hand=hand, **rules)  # type: ignore[arg-type]
    source = replace(drawn(), id=name.lower(), name=name, size=None)
    return Cut(piece, source, Demand(count, "main", hand))


def part(
    of: Cut | None,
    x: float,
    y: float,
    *,
    copy: int = 1,
    turn: float = 0.0,
    flip: bool = False,
    either: bool = False,
    drawn_flipped: bool | None = None,
    trouble: str = "",
    amount: float = 0.0,
    id_: str = "",
    label: str = "",
    astray: str = "",
    polygon: shapely.Polygon | None = None,
    groups: bool = True,
) -> LaidPart:
    """Return a part with its low corner at a place; `either`: its outline fits both ways."""
    name = of.piece.id if of else "lost"
    own = id_ or f"{name}-{copy}"
    found = FoundPart(
        shape((0, 0), (9, 0), (9, 9), id=f"{own}-outline", label=label),
        name,
        (copy,) if copy else (),
        False,
        (group(own, label=label),) if groups else (),
        astray,
        drawn_flipped,
    )
    motion = Motion(flip, 1 + 0j, complex(x, y), 0.0)
    pose = Pose(turn, flip, x, y, 0, motion)
    poses = (pose, replace(pose, flip=not flip)) if either else (pose,)
    if trouble or of is None:
        poses = ()
    where = polygon or shapely.box(x, y, x + SIDE, y + SIDE)
    return LaidPart(found, of, poses, where, trouble, amount)  # type: ignore[arg-type]


def situation(
    cuts: Sequence[Cut],
    parts: Sequence[LaidPart],
    *,
    gap: float = GAP,
    nap: bool = True,
    frame: Frame = CLOTH,
    length: float | None = None,
    planned: bool = True,
    wrecks: tuple[Wreck, ...] = (),
    gone: tuple[Gone, ...] = (),
) -> Situation:
    """Return a layout with these pieces asked for and these parts on it."""
    asked: Mapping[str, Cut] = {one.piece.id: one for one in cuts}
    job = Job(Fabric(WIDTH, length, gap=gap, nap=nap), tuple(one.piece for one in cuts))
    plan = Plan(job, dict(asked), "main", (), ()) if planned else None
    counted = tally(asked if planned else {}, parts)
    return Situation(plan, frame, gap, tuple(parts), counted, wrecks, gone)


def told(found: Sequence[Finding]) -> list[tuple[str, tuple[str, ...], float]]:
    """Return what matters of findings to a program."""
    return [(one.kind, one.parts, round(one.amount, 4)) for one in found]


def only(of: Situation) -> Finding:
    """Return the one fault of a layout."""
    (one,) = findings(of)
    return one


FRONT, TAB = cut("Front"), cut("Tab")


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

FOUR = cut("Loop", 4, "same")


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
    assert one.sentence == "Front is there once too often: 1 are asked for"
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


# --- hands --------------------------------------------------------------------------------------

PAIR = cut("Sleeve", 2)


def sleeves(*flips: bool, of: Cut = PAIR, **more: bool) -> Situation:
    parts = [
        part(of, 110.0 * n, 300.0, copy=n, flip=flip, **more)  # type: ignore[arg-type]
        for n, flip in enumerate(flips, 1)
    ]
    return situation([of], parts)


def test_a_pair_is_one_of_each_hand_whatever_their_numbers() -> None:
    assert findings(sleeves(False, True)) == ()
    assert findings(sleeves(True, False)) == ()


@pytest.mark.parametrize(
    ("flips", "key", "sentence"),
    [
        (
            (False, False),
            "sleeve #2",
            "Sleeve (2 of 2) lies printed side up but is to be cut printed side down: flip it",
        ),
        (
            (True, True),
            "sleeve #1",
            "Sleeve (1 of 2) lies printed side down but is to be cut printed side up: flip it",
        ),
    ],
)
def test_two_of_one_hand_are_told(flips: tuple[bool, bool], key: str, sentence: str) -> None:
    one = only(sleeves(*flips))
    assert told([one]) == [("hand", (key,), 1.0)]
    assert one.sentence == sentence
    assert len(one.objects) == len(one.places) == 1


def test_several_of_the_wrong_hand_are_told_in_one_sentence() -> None:
    one = only(sleeves(True, True, of=cut("Loop", 2, "same")))
    assert told([one]) == [("hand", ("loop #1", "loop #2"), 2.0)]
    assert one.sentence == (
        "Loop (1 of 2) and Loop (2 of 2) lie printed side down but are to be cut printed side up: "
        "flip them"
    )
    assert one.objects == ("loop-1", "loop-2")
    assert [place.bounds[0] for place in one.places] == [110.0, 220.0]


def test_an_outline_that_fits_both_ways_has_no_wrong_hand() -> None:
    assert findings(sleeves(True, True, either=True)) == ()


def whole(*pairs: tuple[bool, bool], of: Cut = PAIR, turn: float = 0.0) -> Situation:
    """Return parts as (lies flipped, was drawn flipped)."""
    parts = [
        part(of, 110.0 * n, 300.0, copy=n, flip=lies, drawn_flipped=was, turn=turn)
        for n, (lies, was) in enumerate(pairs, 1)
    ]
    return situation([of], parts)


def test_a_layout_flipped_as_a_whole_is_told_once() -> None:
    one = only(whole((True, False), (False, True)))
    assert told([one]) == [("flipped", ("sleeve #2", "sleeve #1"), 2.0)]
    assert one.objects == ("sleeve-1", "sleeve-2")
    assert [place.bounds[0] for place in one.places] == [110.0, 220.0]


def test_flipped_end_for_end_no_nap_is_blamed_but_a_crooked_part_is() -> None:
    assert [one.kind for one in findings(whole((True, False), (False, True), turn=180.0))] == [
        "flipped"
    ]
    kinds = [one.kind for one in findings(whole((True, False), (False, True), turn=7.0))]
    assert kinds == ["flipped", "turn", "turn"]


BELT = cut("Belt", either_side=True)


@pytest.mark.parametrize(
    "other",
    [
        part(TAB, 500.0, 300.0, either=True, drawn_flipped=False),
        part(TAB, 500.0, 300.0, trouble="edited", drawn_flipped=False),
        part(BELT, 500.0, 300.0, drawn_flipped=False),
        part(TAB, 500.0, 300.0),
    ],
    ids=["fits both ways", "outline unknown", "either side up", "no note"],
)
def test_what_tells_no_side_does_not_speak_against_it(other: LaidPart) -> None:
    assert other.cut is not None
    sleeves = whole((True, False), (False, True))
    found = findings(situation([PAIR, other.cut], [*sleeves.parts, other]))
    assert "flipped" in [one.kind for one in found]


def test_a_single_part_on_the_other_side_is_no_flipped_layout() -> None:
    over = part(FRONT, 200, 200, flip=True, drawn_flipped=False)
    assert [one.kind for one in findings(situation([FRONT], [over]))] == ["hand"]


def test_a_flipped_layout_hides_no_other_fault_of_the_nap() -> None:
    quarter = cut("Sleeve", 2, turns=(0.0, 90.0))
    kinds = [
        one.kind for one in findings(whole((True, False), (False, True), of=quarter, turn=90.0))
    ]
    assert kinds == ["flipped", "nap", "nap"]


def test_one_that_lies_as_drawn_shows_that_not_the_whole_was_flipped() -> None:
    assert [one.kind for one in findings(whole((True, False), (True, True)))] == ["hand"]


# --- turns and nap ------------------------------------------------------------------------------


def turned(turn: float, *, nap: bool = True, **rules: object) -> Situation:
    piece = cut("Front", **rules)  # type: ignore[arg-type]
    return situation([piece], [part(piece, 300.0, 300.0, turn=turn)], nap=nap)


@pytest.mark.parametrize(
    ("off", "is_told"), [(0.9e-6, False), (1.1e-6, True), (-0.9e-6, False), (-1.1e-6, True)]
)
def test_a_part_lies_along_the_grain_or_not(off: float, is_told: bool) -> None:
    assert bool(findings(turned(off))) == is_told
    assert bool(findings(turned(2.0 + off, off_grain=2.0))) == (is_told and off > 0)


def test_off_the_grain_is_told_in_degrees_and_once() -> None:
    one = only(turned(7.25))
    assert told([one]) == [("turn", ("front #1",), 7.25)]
    assert one.sentence == "Front lies 7.25° off the grain"
    assert one.objects == ("front-1",)
    assert one.places[0].bounds == (300.0, 300.0, 400.0, 400.0)


def test_head_to_foot_is_against_the_nap_only_where_there_is_one() -> None:
    one = only(turned(180.0))
    assert told([one]) == [("nap", ("front #1",), 180.0)]
    assert one.sentence == "Front lies head to foot: against the nap"
    assert one.objects == ("front-1",)
    assert findings(turned(180.0, nap=False)) == ()
    assert findings(turned(180.0, turns_on_nap=True)) == ()


def test_an_allowed_quarter_turn_is_against_the_nap() -> None:
    one = only(turned(90.0, turns=(0.0, 90.0)))
    assert told([one]) == [("nap", ("front #1",), 90.0)]
    assert one.sentence == "Front lies turned by 90°: against the nap"


def test_of_several_parts_each_has_its_own_turn() -> None:
    parts = [part(FRONT, 200, 200, turn=180.0), part(TAB, 400, 200, turn=4.0)]
    found = findings(situation([FRONT, TAB], parts))
    assert told(found) == [("turn", ("tab #1",), 4.0), ("nap", ("front #1",), 180.0)]


def test_the_crooked_part_is_shown_and_not_a_namesake_that_is_too_many() -> None:
    parts = [
        part(FRONT, 200, 200, id_="g1", astray="“Notes” (layer2)"),
        part(FRONT, 400, 200, id_="g2", turn=7.0),
    ]
    turn = next(one for one in findings(situation([FRONT], parts)) if one.kind == "turn")
    assert turn.objects == ("g2",)


def test_a_crooked_part_hides_no_later_one_that_lies_head_to_foot() -> None:
    parts = [part(FRONT, 200, 200, turn=7.0), part(TAB, 400, 200, turn=180.0)]
    found = findings(situation([FRONT, TAB], parts))
    assert told(found) == [("turn", ("front #1",), 7.0), ("nap", ("tab #1",), 180.0)]


def test_a_part_of_unknown_outline_has_no_turn_and_no_hand() -> None:
    parts = [part(PAIR, 200, 200, trouble="edited"), part(PAIR, 400, 200, copy=2, flip=True)]
    assert [one.kind for one in findings(situation([PAIR], parts))] == ["edited"]


# --- what a situation says of itself ------------------------------------------------------------


def test_length_and_room_count_what_lies_between_the_selvedges() -> None:
    beside = part(FRONT, 800.0, WIDTH + 1.0)
    partly = part(TAB, 500.0, WIDTH - 1.0)
    assert situation([FRONT, TAB], [beside, partly]).length == 600.0
    assert situation([FRONT], [beside]).length == 0.0
    hardly = part(FRONT, 800.0, -SIDE + 0.5)
    assert situation([FRONT], [hardly]).length == 900.0
    below = part(FRONT, 800.0, -SIDE - 1.0)
    assert situation([FRONT], [below]).length == 0.0


@pytest.mark.parametrize(
    ("kind", "length"), [("several", 700.0), ("changed", 700.0), ("lost", 300.0)]
)
def test_wrecks_need_cloth_unless_they_are_marks_only(kind: str, length: float) -> None:
    wreck = Wreck("w", kind, (TAB,), (1,), (shapely.box(600, 10, 700, 60),))  # type: ignore[arg-type]
    found = situation([FRONT, TAB], [part(FRONT, 200, 200)], wrecks=(wreck,))
    assert found.length == length
    assert found.missing == {}
    assert found.claims == ((("tab", 1),),)


def test_missing_are_the_copies_that_no_wreck_was() -> None:
    wreck = Wreck("w", "lost", (FOUR,), (3,), ())
    found = situation([FOUR], [part(FOUR, 200, 200)], wrecks=(wreck,))
    assert found.missing == {"loop": (2, 4)}


def test_expected_is_what_is_asked_and_what_is_gone() -> None:
    gone = Gone("cuff", "Cuff", 3)
    assert situation([FOUR, TAB], []).expected == 5
    assert situation([FOUR, TAB], [], gone=(gone,)).expected == 8
    assert situation([], [], planned=False, gone=(gone,)).expected == 0
