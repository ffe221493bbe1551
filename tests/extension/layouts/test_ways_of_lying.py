# SPDX-License-Identifier: GPL-2.0-or-later
"""Verdicts of Check on parts put down by hand: which side is up, the grain, the nap."""

from __future__ import annotations

import pytest

from extension.job.plan import Cut
from extension.layouts.recognise import LaidPart
from extension.layouts.situation import Situation
from extension.layouts.verdicts import findings
from tests.helpers.put_down import (
    FRONT,
    PAIR,
    TAB,
    cut,
    only,
    part,
    situation,
    told,
)

# --- hands --------------------------------------------------------------------------------------


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
