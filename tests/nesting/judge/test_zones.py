# SPDX-License-Identifier: GPL-2.0-or-later
"""Where a part may lie on folded cloth: both sides of every limit, and the words for each fault."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from nesting.judge.check import check
from nesting.judge.rules import Case
from nesting.judge.verdict import Violation
from nesting.model import Fabric, Job, LaidSection, Piece, Placement, Section
from tests.helpers.folded import CUFF, TAB, YOKE, folded, layout_on, put
from tests.helpers.judged import kinds
from tests.helpers.plain_judge import faults, rules_of

CUFFS = Piece("cuff", CUFF, name="Cuff", cut=2)
TABS = Piece("tab", TAB, hand="same")
YOKES = Piece("yoke", YOKE, fold=((0.0, 0.0), (80.0, 0.0)))
DEEP = (Section(120.0, 0.0),)
TWICE = (Section(130.0, 60.0),)


def asked(
    piece: Piece, sections: tuple[Section, ...], y: float, **how: Any
) -> tuple[Violation, ...]:
    """Return what is wrong with one part whose box begins at y on the table."""
    spot = put(piece, 0.0, y, **how)
    if spot.layers == 2:
        spot = replace(spot, copies=(1, 2))
    job = Job(Fabric(400.0, sections=sections), (piece,))
    layout = layout_on(job, [spot])
    found = check(job, layout)
    assert {"zone"} & set(kinds(found)) == {"zone"} & rules_of(faults(job, layout))
    return tuple(one for one in found if one.kind != "length")


# --- both sides of each limit -------------------------------------------------------------------

SINGLE: dict[str, Any] = {}
DOUBLE: dict[str, Any] = {"layers": 2}
HALF: dict[str, Any] = {"on_fold": True}
LIMITS = [
    # A part, how it is laid, the sections, where its box begins at the limit, and the way out.
    (CUFFS, DOUBLE, DEEP, 120.0, -1.0),
    (CUFFS, DOUBLE, DEEP, 240.0 - 30.0, 1.0),
    (CUFFS, DOUBLE, TWICE, 130.0, -1.0),
    (CUFFS, DOUBLE, TWICE, 280.0, -1.0),
    (CUFFS, DOUBLE, TWICE, 340.0 - 30.0, 1.0),
    (CUFFS, DOUBLE, (Section(100.0, 100.0),), 200.0 - 30.0, 1.0),
    (CUFFS, DOUBLE, (Section(100.0, 100.0),), 200.0, -1.0),
    (CUFFS, DOUBLE, (Section(200.0, 0.0),), 200.0, -1.0),
    (CUFFS, DOUBLE, (Section(0.0, 200.0),), 200.0 - 30.0, 1.0),
    (TABS, SINGLE, DEEP, 240.0, -1.0),
    (TABS, SINGLE, TWICE, 260.0, -1.0),
    (TABS, SINGLE, TWICE, 280.0 - 14.0, 1.0),
    (TABS, SINGLE, (Section(0.0, 120.0),), 160.0 - 14.0, 1.0),
    (YOKES, HALF, DEEP, 120.0 - 24.0, 1.0),
    (YOKES, HALF, DEEP, 120.0 - 24.0, -1.0),
    (YOKES, HALF, TWICE, 340.0 - 24.0, 1.0),
    (YOKES, HALF, TWICE, 340.0 - 24.0, -1.0),
]


@pytest.mark.parametrize(("piece", "how", "sections", "y", "way"), LIMITS)
def test_a_zone_may_be_left_by_a_hundred_thousandth(
    piece: Piece, how: dict[str, Any], sections: tuple[Section, ...], y: float, way: float
) -> None:
    # The second judge is looser: it is asked further out.
    spot = replace(put(piece, 0.0, y, **how), copies=(1, 2)[: how.get("layers", 1)])
    job = Job(Fabric(400.0, sections=sections), (piece,))

    def found(beyond: float) -> tuple[Violation, ...]:
        moved = replace(spot, y=spot.y + way * beyond)
        return check(job, layout_on(job, [moved]))

    assert found(0.0) == ()
    assert found(0.97e-5) == ()
    (one,) = found(1.03e-5)
    assert one.kind == "zone"
    assert one.amount == pytest.approx(1.03e-5, rel=1e-3)
    assert one.parts == (f"{piece.id} #1", f"{piece.id} #2")[: how.get("layers", 1)]
    assert kinds(asked(piece, sections, y + way * 1e-4, **how)) == ["zone"]
    assert kinds(asked(piece, sections, y + way * 7.0, **how)) == ["zone"]


@pytest.mark.parametrize(
    ("depths", "upper"), [((20.0, 0.0), False), ((0.0, 20.0), True), ((20.0, 20.0), False)]
)
def test_a_half_deeper_than_its_fold_leaves_the_zone(
    depths: tuple[float, float], upper: bool
) -> None:
    """A yoke is 24 deep; at a fold of 20 it reaches 4 mm over the edge of the upper layer."""
    fold = 380.0 if upper else 20.0
    (found,) = asked(YOKES, (Section(*depths),), fold - 24.0, on_fold=True)
    assert found.amount == pytest.approx(4.0)
    assert found.sentence == (
        "Copy 1 of piece “yoke” reaches 4 mm over the edge of the upper layer: fold the cloth "
        "deeper, or lay it whole."
    )
    for deep, expected in ((24.0, []), (24.0 - 0.97e-5, []), (24.0 - 1.03e-5, ["zone"])):
        section = Section(*(deep if depth else 0.0 for depth in depths))
        job = Job(Fabric(400.0, sections=(section,)), (YOKES,))
        at = put(YOKES, 0.0, (400.0 - deep if upper else deep) - 24.0, on_fold=True)
        assert kinds(check(job, layout_on(job, [at]))) == expected


def test_at_a_selvedge_a_zone_has_no_end() -> None:
    """Folded lengthwise both selvedges lie at the far edge: beyond is off the cloth, no more."""
    for section, y in ((Section(200.0, 0.0), 370.0), (Section(0.0, 200.0), 0.0)):
        way = 1.0 if y else -1.0
        assert kinds(asked(CUFFS, (section,), y + way, layers=2)) == ["off the cloth"] * 2
    assert kinds(asked(TABS, DEEP, 400.0 - 14.0 + 1.0)) == ["off the cloth"]
    assert kinds(asked(TABS, (Section(0.0, 120.0),), -1.0)) == ["off the cloth"]
    wide = replace(YOKES, outline=((0, 0), (80, 0), (80, 201), (0, 201)))
    for section in (Section(200.0, 0.0), Section(0.0, 200.0)):
        assert kinds(asked(wide, (section,), -1.0, on_fold=True)) == ["off the cloth"]


@pytest.mark.parametrize("off", [0.97e-5, 1.03e-5])
def test_cloth_folded_in_half_but_for_rounding_is_folded_in_half(off: float) -> None:
    """What is left beside the layers is then no zone of its own, nor an edge."""
    section = Section(200.0 - off / 2.0, 0.0)
    job = Job(Fabric(400.0, sections=(section,)), (TABS,))
    (found,) = check(job, layout_on(job, [put(TABS, 0.0, 300.0)]))
    assert (found.kind, found.amount == math.inf) == ("zone", off < 1e-5)
    job = replace(job, pieces=(CUFFS,))
    spot = replace(put(CUFFS, 0.0, 371.0, layers=2), copies=(1, 2))
    beyond = set(kinds(check(job, layout_on(job, [spot]))))
    assert beyond == ({"off the cloth"} if off < 1e-5 else {"zone"})


def test_what_leaves_its_zone_is_still_asked_for_the_cut_ends_and_for_other_parts() -> None:
    case = folded("to a depth")
    over = case.changed(0, y=case.spots[0].y + 50.0, x=case.spots[0].x - 1.0)
    assert set(kinds(check(over.job, over.layout))) == {"zone", "off the cloth"}
    # Both cuffs across the fold, one on the other: each with the other, none with itself.
    first, second = case.spots[0], case.spots[1]
    low = case.changed(0, y=110.0).changed(1, y=110.0, x=first.x + 1.0)
    found = [one for one in check(low.job, low.layout) if one.kind == "overlap"]
    assert len(found) == 4
    assert all(len(set(one.parts) & {"cuff #1", "cuff #2"}) == 1 for one in found)
    assert second.piece == "cuff"


# --- words --------------------------------------------------------------------------------------


def test_each_way_of_leaving_a_zone_has_its_words() -> None:
    words = {
        "Copy 1 of piece “Cuff” (cuff) reaches 2 mm across the fold of the cloth: move it off "
        "the fold.": asked(CUFFS, DEEP, 118.0, layers=2),
        "Copy 1 of piece “Cuff” (cuff) reaches 2 mm over the edge of the upper layer, but is cut "
        "through both: move it to where the cloth lies double.": asked(
            CUFFS, DEEP, 212.0, layers=2
        ),
        "Copy 1 of piece “tab” reaches 14 mm into where the cloth lies double, but is cut on one "
        "layer: move it to where the cloth lies single.": asked(TABS, DEEP, 226.0),
        "The fold edge of copy 1 of piece “yoke” lies 5 mm off the fold of the cloth: move it "
        "exactly onto the fold.": asked(YOKES, DEEP, 101.0, on_fold=True),
    }
    for sentence, found in words.items():
        assert [one.sentence for one in found] == [sentence]


NOWHERE = [
    (CUFFS, (Section(),), {"layers": 2}, "is laid through two layers, but section 1 of the cloth "
     "lies open: lay it on one layer"),
    (TABS, (Section(200.0, 0.0),), {}, "is laid on one layer, but section 1 of the cloth lies "
     "double all over: lay it where the cloth lies single"),
    (TABS, (Section(crosswise=True),), {}, "is laid on one layer, but section 1 of the cloth lies "
     "double all over: lay it where the cloth lies single"),
    (YOKES, (Section(),), {"on_fold": True}, "is laid on a fold, but section 1 of the cloth has "
     "none that runs lengthwise: lay it whole"),
    (YOKES, (Section(crosswise=True),), {"on_fold": True}, "is laid on a fold, but section 1 of "
     "the cloth has none that runs lengthwise: lay it whole"),
    (TABS, DEEP, {"on_fold": True}, "is laid on a fold, but has no fold edge: lay it whole"),
]  # fmt: skip


@pytest.mark.parametrize(("piece", "sections", "how", "words"), NOWHERE)
def test_what_a_section_does_not_have_is_said(
    piece: Piece, sections: tuple[Section, ...], how: dict[str, Any], words: str
) -> None:
    (found,) = asked(piece, sections, 210.0, **how)
    assert found.kind == "zone"
    assert found.amount == math.inf
    assert found.sentence.endswith(f"{words}.")
    assert found.sentence.startswith("Copy 1 of piece")


def test_a_half_on_the_fold_cuts_one_copy() -> None:
    job = Job(Fabric(400.0, sections=DEEP), (replace(YOKES, cut=2),))
    spot = replace(put(YOKES, 0.0, 96.0, on_fold=True, layers=2), copies=(1, 2))
    found = [one for one in check(job, layout_on(job, [spot])) if one.kind == "zone"]
    assert [one.sentence for one in found] == [
        "Copy 1 of piece “yoke” is laid on a fold, where one copy is cut, but is to cut 2: lay "
        "each by itself."
    ]
    assert "zone" in rules_of(faults(job, layout_on(job, [spot])))


@pytest.mark.parametrize("layers", [0, 3])
def test_so_many_layers_no_cloth_has(layers: int) -> None:
    job = Job(Fabric(400.0, sections=DEEP), (CUFFS,))
    spot = replace(put(CUFFS, 0.0, 150.0, layers=2), copies=(1, 2), layers=layers)
    told = {one.kind: one.sentence for one in check(job, layout_on(job, [spot]))}
    assert told["zone"].endswith(
        f"is laid through {layers} layers, which section 1 of the cloth does not have: lay it "
        "again."
    )
    assert told["count"] == (
        f"Copy 1, 2 of piece “cuff” cannot be cut by one part of {layers} layers."
    )


@pytest.mark.parametrize("section", [-1, 0, 2, 9])
def test_a_part_lies_in_a_section_that_there_is(section: int) -> None:
    for sections, there in (
        ((Section(),), "there is only section 1"),
        ((Section(200.0, 0.0), Section()), "there are only 2"),
    ):
        job = Job(Fabric(400.0, sections=sections), (TABS,))
        spot = put(TABS, 0.0, 0.0, section=section)
        found = [one for one in check(job, layout_on(job, [spot])) if one.kind == "zone"]
        assert bool(found) is ("zone" in rules_of(faults(job, layout_on(job, [spot]))))
        if section == len(sections):
            assert found == []
            continue
        (one,) = found
        assert (one.amount, one.parts) == (math.inf, ("tab #1",))
        assert one.sentence == (
            f"Copy 1 of piece “tab” lies in section {section} of the cloth, but {there}: lay it in "
            "one that is there."
        )


# --- what a layout says of its sections ---------------------------------------------------------


def said(job: Job, *sections: LaidSection, spots: tuple[Placement, ...]) -> list[str]:
    """Return what is wrong with the figures of a layout that says its sections are these."""
    layout = replace(layout_on(job, spots), sections=sections)
    found = check(job, layout)
    assert set(kinds(found)) <= {"length"}
    assert ("length" in kinds(found)) == ("length" in rules_of(faults(job, layout)))
    return [one.sentence for one in found]


def test_a_layout_says_how_its_cloth_lies() -> None:
    case = folded("lengthwise, then open")
    one, two = case.layout.sections
    spots = case.spots
    assert said(case.job, one, two, spots=spots) == []
    assert said(case.job, spots=spots) == [
        "The layout states 0 sections of the cloth, but 2 were asked for."
    ]
    assert said(case.job, one, spots=spots) == [
        "The layout states 1 sections of the cloth, but 2 were asked for."
    ]
    open_case = folded("open")
    (lies,) = [LaidSection(length=open_case.layout.length)]
    assert said(open_case.job, lies, spots=open_case.spots) == []


@pytest.mark.parametrize(
    ("asked_for", "stated", "words"),
    [
        (Section(120.0, 0.0), Section(121.0, 0.0), "is folded in by 121 and 0 mm, but it was to "
         "lie as one that is folded in by 120 and 0 mm."),
        (Section(120.0, 0.0), Section(), "lies open, but it was to lie as one that is folded in"),
        (Section(120.0, 0.0), Section(crosswise=True), "is folded crosswise, but"),
        (Section(None, 0.0), Section(None, 0.0), "is folded in by as deep as is best and 0 mm"),
        (Section(None, 0.0), Section(math.nan, 0.0), "is folded in by nan and 0 mm"),
        (Section(None, 0.0), Section(-1.0, 0.0), "is folded in by -1 and 0 mm"),
        (Section(None, None), Section(150.0, 51.0), "is folded in by 150 and 51 mm"),
        (Section(0, 0, True), Section(0, 0, True, True), "its upper layer turned round, but it "
         "was to lie as one that is folded crosswise."),
    ],
)  # fmt: skip
def test_how_a_section_lies_is_as_it_was_asked_for(
    asked_for: Section, stated: Section, words: str
) -> None:
    job = Job(Fabric(400.0, sections=(asked_for,)), (TABS,))
    laid = LaidSection(stated.lower, stated.upper, stated.crosswise, stated.turned, 0.0)
    layout = replace(layout_on(job, []), sections=(laid,))
    told = [one.sentence for one in check(job, layout) if one.kind == "length"]
    assert len(told) == 1
    assert told[0].startswith("The layout states that section 1 of the cloth ")
    assert words in told[0]


@pytest.mark.parametrize(("off", "clean"), [(0.97e-5, True), (1.03e-5, False)])
def test_a_depth_may_be_off_by_rounding_alone(off: float, clean: bool) -> None:
    for sign in (-1.0, 1.0):
        job = Job(Fabric(400.0, sections=(Section(120.0, 60.0),)), (TABS,))
        for depths in ((120.0 + sign * off, 60.0), (120.0, 60.0 + sign * off)):
            layout = replace(layout_on(job, []), sections=(LaidSection(*depths),))
            assert ("length" not in kinds(check(job, layout))) is clean
    deepest = Job(Fabric(400.0, sections=(Section(None, None),)), (TABS,))
    layout = replace(layout_on(deepest, []), sections=(LaidSection(100.0, 100.0 + off / 2.0),))
    assert ("length" not in kinds(check(deepest, layout))) is clean


def test_a_fold_edge_that_runs_askew_is_off_the_fold_by_its_farther_end() -> None:
    askew = replace(YOKES, turns=(10.0,), turns_on_nap=True)
    job = Job(Fabric(400.0, sections=DEEP), (askew,))
    spot = Placement("yoke", (1,), 1, 10.0, False, 10.0, 120.0, on_fold=True)
    (found,) = [one for one in check(job, layout_on(job, [spot])) if one.kind == "zone"]
    assert found.amount == pytest.approx(80.0 * math.sin(math.radians(10.0)))
    assert "lies 13.89 mm off the fold" in found.sentence


@pytest.mark.parametrize("from_above", [False, True])
def test_cloth_folded_in_by_half_a_millimetre_is_folded(from_above: bool) -> None:
    section = Section(0.0, 0.5) if from_above else Section(0.5, 0.0)
    y = 400.0 - 1.0 - 14.0 + 0.75 if from_above else 1.0 - 0.75
    (found,) = asked(TABS, (section,), y)
    assert (found.kind, found.amount) == ("zone", pytest.approx(0.75))
    inner = 400.0 - 1.0 - 14.0 if from_above else 1.0
    assert asked(TABS, (section,), inner) == ()
    (found,) = asked(CUFFS, (section,), 399.5 - 30.0 if from_above else 0.5, layers=2)
    assert (found.kind, found.amount) == ("zone", pytest.approx(29.5))


def test_how_deep_the_cloth_is_folded_says_the_layout_where_that_was_searched() -> None:
    case = folded("to a depth", gap=3.0)
    for asked_for in (Section(None, 0.0), Section(None, None)):
        searched = case.on_cloth(sections=(asked_for,))
        layout = case.layout
        assert check(searched.job, layout) == ()
        assert faults(searched.job, layout) == []
        # What was searched is judged as deep as it is: of the upper layer as well.
        low = replace(case.spots[0], y=case.spots[0].y - 50.0)
        over = replace(layout, placements=(low, *case.spots[1:]))
        assert kinds(check(searched.job, over)) == ["zone"]
        pieces = {piece.id: piece for piece in case.job.pieces}
        flat = Case(searched.job.fabric, [], pieces, case.spots, searched.job, layout).flat
        assert len(flat.laid) == sum(spot.layers for spot in case.spots)
        # Before there is a layout nobody knows how deep it is.
        early = Case(searched.job.fabric, [], pieces, case.spots).flat
        assert len(early.laid) == len(case.spots)


def test_open_cloth_is_not_said_to_be_folded() -> None:
    case = folded("open")
    for sections, words in (
        ((LaidSection(120.0, 0.0, length=case.layout.length),), "is folded in by 120 and 0 mm"),
        ((LaidSection(length=case.layout.length), LaidSection()), "states 2 sections"),
    ):
        found = check(case.job, replace(case.layout, sections=sections))
        told = [one for one in found if one.kind == "length"]
        assert len(told) == 1
        assert words in told[0].sentence
        assert told[0].amount == (1.0 if len(sections) == 2 else math.inf)
    folded_case = folded("lengthwise, then open")
    (none,) = check(folded_case.job, replace(folded_case.layout, sections=()))
    assert none.amount == 2.0


@pytest.mark.parametrize("depth", [0.0, 0.5])
def test_a_searched_fold_may_be_as_shallow_as_it_likes(depth: float) -> None:
    job = Job(Fabric(400.0, sections=(Section(None, 0.0),)), (TABS,))
    found = Job(replace(job.fabric, sections=(Section(depth, 0.0),)), job.pieces)
    layout = layout_on(found, [put(TABS, 0.0, 100.0)])
    lies = LaidSection(depth, 0.0, length=layout.length)
    assert check(job, replace(layout, sections=(lies,))) == ()


@pytest.mark.parametrize("grain", [90.0, -90.0])
def test_a_half_that_was_drawn_upright_has_its_fold_edge_on_the_fold(grain: float) -> None:
    upright = ((50.0, 0.0), (74.0, 0.0), (74.0, 80.0), (50.0, 80.0))
    half = Piece("yoke", upright, fold=((50.0, 0.0), (50.0, 80.0)), grain=grain)
    assert asked(half, DEEP, 120.0 - 24.0, on_fold=True) == ()
    assert kinds(asked(half, DEEP, 120.0 - 23.0, on_fold=True)) == ["zone"]
