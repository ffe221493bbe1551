# SPDX-License-Identifier: GPL-2.0-or-later
"""A row more in the judge's table is told by Check, counted and marked, without a list anywhere."""

from __future__ import annotations

import pytest

from extension.layouts.situation import Situation
from extension.layouts.spots import ROUNDING
from extension.layouts.verdicts import TOLD, findings
from extension.layouts.words import counted_kinds, verdict
from nesting.judge import rules
from nesting.judge.rules import RULES, Case, Of, Rule, Unit
from nesting.judge.verdict import Violation, keys_of
from tests.helpers.edited import Edited
from tests.helpers.put_down import FRONT, PAIR, TAB, part, situation, told

SENTENCE = "Copy 2 of piece “Sleeve” (sleeve) lies on a crease 4 mm deep: press the cloth."
LAID = situation([PAIR, TAB], [part(PAIR, 200, 200), part(PAIR, 400, 200, copy=2, flip=True)])


def creased(amount: float, *, of: Of = "parts", unit: Unit = "mm", counted: bool = True) -> Rule:
    """Return a rule that the second part on a layout breaks by so much."""

    def broken(case: Case) -> tuple[Violation, ...]:
        keys = (case.laid[1].key,) if of == "outlines" else keys_of(case.placements[1])
        if of == "layout":
            assert len(case.whole[1].placements) == len(case.whole[0].pieces) == 2
        return (Violation("crease", keys, amount, SENTENCE),)

    return Rule("crease", unit, of, broken, ("creased part", "creased parts") if counted else None)


def with_row(monkeypatch: pytest.MonkeyPatch, row: Rule) -> None:
    monkeypatch.setattr(rules, "RULES", (*RULES, row))


@pytest.mark.parametrize("of", ["outlines", "parts", "layout"])
def test_a_new_rule_is_told_with_its_parts_and_its_words(
    monkeypatch: pytest.MonkeyPatch, of: Of
) -> None:
    with_row(monkeypatch, creased(4.0, of=of))
    found = findings(LAID)
    assert told(found) == [("count", ("tab #1",), 1.0), ("crease", ("sleeve #2",), 4.0)]
    assert found[1].sentence == SENTENCE.removesuffix(".")
    assert (found[1].objects, found[1].places) == (("sleeve-2",), (LAID.parts[1].polygon,))
    assert counted_kinds(["crease", "crease"]) == ["2 creased parts"]
    assert "1 creased part" in verdict(2, 3, found, 600.0, "metric")


@pytest.mark.parametrize(
    ("amount", "unit", "is_told"),
    [(ROUNDING, "mm", False), (1.05 * ROUNDING, "mm", True), (ROUNDING, "°", True)],
)
def test_what_the_editor_may_have_rounded_is_no_fault(
    monkeypatch: pytest.MonkeyPatch, amount: float, unit: Unit, is_told: bool
) -> None:
    with_row(monkeypatch, creased(amount, unit=unit))
    assert ("crease" in [one.kind for one in findings(LAID)]) == is_told


def test_what_a_program_alone_can_break_is_not_told(monkeypatch: pytest.MonkeyPatch) -> None:
    with_row(monkeypatch, creased(4.0, counted=False))
    assert [one.kind for one in findings(LAID)] == ["count"]


def without_originals() -> Situation:
    lost = [part(None, 200.0 * n, 200, trouble="original", id_=f"g{n}") for n in (1, 2)]
    return situation([], lost, planned=False)


def test_without_originals_only_outlines_are_asked_about(monkeypatch: pytest.MonkeyPatch) -> None:
    with_row(monkeypatch, creased(4.0, of="outlines"))
    assert "crease" in [one.kind for one in findings(without_originals())]
    with_row(monkeypatch, creased(4.0, of="parts"))
    assert "crease" not in [one.kind for one in findings(without_originals())]


def test_a_part_whose_outline_is_unknown_is_not_asked_about(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Its place in the table of placements is the next part's."""
    with_row(monkeypatch, creased(4.0))
    parts = [
        part(FRONT, 200, 200, trouble="edited"),
        part(TAB, 400, 200),
        part(PAIR, 600, 200),
        part(PAIR, 800, 200, copy=2, flip=True),
    ]
    found = findings(situation([FRONT, TAB, PAIR], parts))
    assert [one.objects for one in found if one.kind == "crease"] == [("sleeve-1",)]


def test_the_command_tells_marks_and_reports_a_new_rule(monkeypatch: pytest.MonkeyPatch) -> None:
    edited = Edited()
    with_row(monkeypatch, creased(4.0))
    outcome = edited.check()
    assert not outcome.is_clean
    assert "1 creased part" in outcome.summary[0]
    assert any(SENTENCE in line for line in outcome.summary)
    assert [one["kind"] for one in outcome.report["violations"]] == ["crease"]
    assert b"crease" in outcome.drawing


def test_ways_of_telling_are_of_rules_that_there_are() -> None:
    assert set(TOLD) <= {rule.name for rule in RULES}
