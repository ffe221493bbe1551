# SPDX-License-Identifier: GPL-2.0-or-later
"""Tighten Layout from drawing to drawing: shorter, repaired, or told why not."""

from __future__ import annotations

import json

import pytest

from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.operations.running import Run
from extension.operations.tighten import TightenOutcome, tighten_layout
from extension.svg.document import parse
from nesting.stop import AfterRounds
from tests.helpers.edited import Edited
from tests.helpers.layouts import no_time


def never(rounds: int) -> bool:
    return False


def tightened(edited: Edited, layer: str = "") -> TightenOutcome:
    return tighten_layout(edited.document, layer, Run(no_time, never))


def after(outcome: TightenOutcome) -> Edited:
    """Return the drawing with the tightened layout, the last one on it."""
    done = Edited()
    assert outcome.drawing is not None
    done.root = parse(outcome.drawing).root
    return done


def test_a_loose_layout_becomes_shorter_on_a_new_layer() -> None:
    edited = Edited()
    outcome = tightened(edited)
    done = after(outcome)
    assert outcome.report["length_before"] == pytest.approx(455.0, abs=0.1)
    assert outcome.report["length"] < 300.0
    assert done.layer.get("id") == outcome.report["layer"] == "thriftlay-2"
    assert done.found("thriftlay-2") == []
    assert any("Tightened from 0.46 m to" in line for line in outcome.summary)


def test_the_earlier_layout_and_the_originals_stay() -> None:
    edited = Edited()
    done = after(tightened(edited))
    assert done.found("thriftlay-1") == []
    assert done.check("thriftlay-1").report["length"] == pytest.approx(455.0, abs=0.1)


def test_overlaps_made_by_hand_are_undone() -> None:
    edited = Edited()
    edited.transform("tab", 1, "translate(-10,180)")
    outcome = tightened(edited)
    assert after(outcome).found("thriftlay-2") == []
    assert any("Put right: 1 overlap." in line for line in outcome.summary)
    assert outcome.report["violations_before"] == ["overlap"]


def test_a_part_turned_by_a_slip_of_the_hand_is_straightened() -> None:
    edited = Edited()
    edited.transform("front", 1, "translate(20,-20) rotate(7,120,800)")
    outcome = tightened(edited)
    assert after(outcome).found("thriftlay-2") == []
    assert any("Straightened: Front (1 of 2)." in line for line in outcome.summary)


def test_held_parts_stay_where_they_are() -> None:
    edited = Edited()
    edited.part("front", 1).set(lay("held"), "yes")
    before = dict(edited.outline("front", 1).attrib)
    outcome = tightened(edited)
    again = after(outcome).outline("front", 1)
    assert (again.get("d"), again.get("transform")) == (before["d"], before["transform"])
    assert outcome.report["length"] < 300.0


def test_where_a_held_part_sets_the_length_there_is_nothing_to_gain() -> None:
    edited = Edited()
    edited.part("back", 1).set(lay("held"), "yes")
    outcome = tightened(edited)
    assert outcome.drawing is None
    assert outcome.summary[0] == "Nothing to gain by pressing: 0.46 m as before."


def test_a_second_tightening_has_nothing_to_gain_and_draws_nothing() -> None:
    done = after(tightened(Edited()))
    for _ in range(6):
        outcome = tightened(done, done.layer.get("id", ""))
        if outcome.drawing is None:
            break
        done = after(outcome)
    assert outcome.drawing is None
    assert outcome.report["layer"] == ""
    assert outcome.summary[0].startswith("Nothing to gain by pressing")


def test_what_was_stopped_too_early_to_gain_anything_says_so() -> None:
    outcome = tighten_layout(Edited().document, "", Run(no_time, AfterRounds(0)))
    assert outcome.drawing is None
    assert outcome.summary[0] == "Nothing gained yet: 0.46 m as before."
    assert "stopped before all was pressed" in outcome.summary[1]


def test_what_was_stopped_on_its_way_says_that_there_may_be_more_to_gain() -> None:
    answers = iter([False, False])
    stopped = tighten_layout(Edited().document, "", Run(no_time, lambda _: next(answers, True)))
    assert stopped.summary[0].startswith("Tightened from 0.46 m to")
    assert "stopped before all was pressed" in stopped.summary[1]
    assert not any("stopped" in line for line in tightened(Edited()).summary)


@pytest.mark.parametrize(
    ("edit", "said"),
    [
        (lambda e: e.delete(e.part("front", 2)), "is missing"),
        (lambda e: e.duplicate("front", 1, "translate(0,-230)"), "once too often"),
        (lambda e: e.transform("front", 2, "translate(0,1300) scale(1,-1)"), "cut printed side"),
        (lambda e: e.transform("front", 1, "rotate(180,120,800)"), "against the nap"),
        (lambda e: e.transform("front", 1, "scale(1.05)"), "edited after|resized"),
        (lambda e: e.delete(e.find("pieces")), "no longer in the drawing"),
    ],
    ids=["missing", "too many", "hand", "nap", "size", "originals"],
)  # fmt: skip
def test_what_pressing_cannot_put_right_is_told(edit: object, said: str) -> None:
    edited = Edited()
    edit(edited)  # type: ignore[operator]
    with pytest.raises(DrawingError, match=f"cannot be tightened as it is: .*({said})"):
        tightened(edited)


def test_the_report_is_plain_json() -> None:
    report = json.loads(json.dumps(tightened(Edited()).report))
    assert report["format"] == "thriftlay-tighten"
    assert len(report["placements"]) == 5
