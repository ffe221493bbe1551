# SPDX-License-Identifier: GPL-2.0-or-later
"""Faults that only a drawing can have, on parts put down by hand: each by its name and sentence."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from extension.layouts.gone import Gone
from extension.layouts.verdicts import findings
from extension.layouts.wrecks import Wreck
from tests.helpers.put_down import (
    CLOTH,
    FRONT,
    PAIR,
    TAB,
    only,
    part,
    situation,
    told,
)

HERE = (shapely.box(600, 10, 700, 60),)


def wrecked(*wrecks: Wreck) -> list[str]:
    """Return what is said where a front lies there and these wrecks, but no sleeve and no tab."""
    found = findings(situation([FRONT, PAIR, TAB], [part(FRONT, 200, 200)], wrecks=wrecks))
    return [one.sentence for one in found if one.kind == "outline"]


def test_an_outline_that_is_lost_is_told_by_the_copy_it_was() -> None:
    wreck = Wreck("g1", "lost", (PAIR,), (2,), HERE)
    parts = [part(PAIR, 200, 200)]
    one = only(situation([PAIR], parts, wrecks=(wreck,)))
    assert told([one]) == [("outline", ("sleeve #2",), 1.0)]
    assert one.sentence.startswith("Sleeve (2 of 2) has lost its outline, so it is missing: ")
    assert "(g1)" in one.sentence
    assert (one.objects, one.places) == (("g1",), HERE)


def test_several_in_one_are_all_named() -> None:
    wreck = Wreck("path9", "several", (TAB, PAIR), (), HERE)
    one = only(situation([PAIR, TAB], [part(PAIR, 200, 200)], wrecks=(wreck,)))
    assert told([one]) == [("outline", ("sleeve #2", "tab #1"), 2.0)]
    assert one.sentence.startswith("Sleeve (2 of 2) and Tab are in one outline (path9), so they ")
    assert one.sentence.endswith("break it apart (Path > Break Apart)")


def test_an_outline_in_anothers_place_is_told() -> None:
    (sentence,) = wrecked(Wreck("g1", "changed", (TAB,), (1,), HERE))
    assert sentence.startswith("Tab is not recognised: another outline stands in its place (g1)")


def test_what_needs_cloth_is_told_though_nothing_is_missing() -> None:
    parts = [part(TAB, 200, 200)]
    changed = Wreck("g1", "changed", (TAB,), (1,), HERE)
    one = only(situation([TAB], parts, wrecks=(changed,)))
    assert told([one]) == [("outline", (), 1.0)]
    assert one.sentence.startswith("Tab is not recognised")
    lost = replace(changed, kind="lost")
    assert findings(situation([TAB], parts, wrecks=(lost,))) == ()
    assert told(findings(situation([TAB], parts, wrecks=(lost, changed)))) == told([one])


def test_a_wreck_of_nobody_knows_what_is_called_a_part() -> None:
    (sentence,) = wrecked(Wreck("g1", "changed", (), (), HERE))
    assert sentence.startswith("A part is not recognised")


def test_an_original_that_was_edited_is_told_once_for_all_its_parts() -> None:
    parts = [
        part(PAIR, 200, 200, trouble="edited", amount=1.5),
        part(PAIR, 400, 200, copy=2, trouble="edited", amount=4.5),
    ]
    one = only(situation([PAIR], parts))
    assert told([one]) == [("edited", ("sleeve #1", "sleeve #2"), 4.5)]
    assert one.sentence == (
        "Sleeve: its original (sleeve) was edited after this layout: lay out again"
    )
    assert one.objects == ("sleeve-1", "sleeve-2")
    assert len(one.places) == 2


def test_each_edited_original_has_its_own_sentence_and_strangers_none() -> None:
    parts = [
        part(PAIR, 200, 200, trouble="edited", amount=1.5),
        part(PAIR, 400, 200, copy=2, flip=True),
        part(TAB, 600, 200, trouble="edited", amount=2.5),
        part(None, 800, 200, trouble="original", id_="g9"),
    ]
    assert told(findings(situation([PAIR, TAB], parts))) == [
        ("edited", ("sleeve #1",), 1.5),
        ("edited", ("tab #1",), 2.5),
        ("original", ("g9",), 1.0),
    ]


@pytest.mark.parametrize(
    ("amount", "words"),
    [
        (0.049, "has been reshaped"),
        (-0.049, "has been reshaped"),
        (0.05, "has been resized to 100 %"),
        (0.06, "has been resized to 100.1 %"),
        (-0.051, "has been resized to 99.95 %"),
        (3.0, "has been resized to 103 %"),
        (-47.6, "has been resized to 52.4 %"),
    ],
)
def test_a_resized_part_is_told_by_how_much(amount: float, words: str) -> None:
    one = only(situation([TAB], [part(TAB, 200, 200, trouble="resized", amount=amount)]))
    assert told([one]) == [("resized", ("tab #1",), round(amount, 4))]
    assert one.sentence == f"Tab {words}"
    assert one.objects == ("tab-1",)


def test_only_the_part_that_was_resized_is_told() -> None:
    parts = [part(PAIR, 200, 200, trouble="resized", amount=5.0), part(PAIR, 400, 200, copy=2)]
    assert told(findings(situation([PAIR], parts))) == [("resized", ("sleeve #1",), 5.0)]


GONE = Gone("lost", "Cuff", 2)


def test_an_original_that_is_gone_is_told_with_its_parts() -> None:
    lost = [part(None, 100.0 + 150 * n, 200, trouble="original", id_=f"g{n}") for n in (1, 2)]
    one = only(situation([], lost, planned=False, gone=(GONE,)))
    assert told([one]) == [("original", ("g1", "g2"), 2.0)]
    assert one.sentence.startswith("Cuff: its original “lost” is no longer in the drawing, so ")
    assert "count of 2 parts cannot be checked" in one.sentence
    assert (one.objects, len(one.places)) == (("g1", "g2"), 2)


def test_without_what_was_stored_it_is_called_as_on_the_layout() -> None:
    lost = part(None, 200, 200, trouble="original", id_="g1", label="Cuff, 1 of 1")
    one = only(situation([], [lost], planned=False))
    assert one.sentence.startswith("“Cuff, 1 of 1” (g1): its original “lost” is no longer ")
    assert one.amount == 1.0


def test_of_a_gone_original_the_parts_that_are_left_are_counted() -> None:
    lost = [
        part(None, 100.0 + 150 * n, 200, trouble="original", id_=f"g{n}", label=f"Cuff, {n} of 3")
        for n in (1, 2)
    ]
    one = only(situation([], lost, planned=False))
    assert one.sentence.startswith("“Cuff, 1 of 3” (g1): its original “lost” is no longer ")
    assert one.amount == 2.0
    assert only(situation([], lost, planned=False, gone=(replace(GONE, copies=3),))).amount == 2.0


def test_what_is_gone_with_its_parts_is_told_with_their_number() -> None:
    one = only(situation([TAB], [part(TAB, 200, 200)], gone=(GONE,)))
    assert told([one]) == [("original", (), 2.0)]
    assert one.sentence.startswith("Cuff was laid here, but neither its parts nor its original ")


@pytest.mark.parametrize(
    ("off", "is_told"), [(0.49, False), (0.5, False), (0.51, True), (-0.49, False), (-0.51, True)]
)
def test_cloth_may_be_drawn_a_hair_wider_or_narrower(off: float, is_told: bool) -> None:
    frame = replace(CLOTH, drawn_width=CLOTH.width + off)
    found = findings(situation([TAB], [part(TAB, 200, 200)], frame=frame))
    assert bool(found) == is_told


def test_cloth_of_another_width_is_told_with_both() -> None:
    frame = replace(CLOTH, drawn_width=1400.04)
    one = only(situation([TAB], [part(TAB, 200, 200)], frame=frame))
    assert told([one]) == [("cloth", (), 400.04)]
    assert one.sentence == (
        "The cloth is drawn 140 cm wide, but this layout is for 100 cm: lay out again for another "
        "width"
    )
    assert (one.objects, one.places) == ((), ())
