# SPDX-License-Identifier: GPL-2.0-or-later
"""The judge's rules stand in one table, and whoever lists them takes them from there."""

from __future__ import annotations

import ast
import json
from dataclasses import replace
from pathlib import Path

import pytest

from extension.layouts.situation import Own
from extension.layouts.words import counted_kinds
from extension.operations.tighten import REPAIRED, TURNED
from nesting.judge import rules
from nesting.judge.check import check, check_held, check_laid
from nesting.judge.rules import RULES, Case, Rule, named
from nesting.judge.verdict import Violation
from nesting.model import Fabric, Job, Layout, Piece
from tests.test_house import modules, taken_by

NAMES = [rule.name for rule in RULES]
HOMES = {
    "nesting.judge.outlines",
    "nesting.judge.flaws",
    "nesting.judge.borders",
    "nesting.judge.remnants",
    "nesting.judge.bookkeeping",
    "nesting.judge.several",
    "nesting.judge.zones",
}
"""Where the name of a rule is written, beside its function."""
LISTS = ("nesting.judge", "extension.layouts", "extension.operations.tighten")
"""Modules that have to do with rules."""

MAKERS = ("Violation", "Finding", "of_parts", "_of_pair", "_astray")
"""What makes a fault of a kind."""

SQUARE = Piece("a", ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)))
NOTHING = Layout(250.0, 0.0, 0.0, 0.0, 0.0, 0, 0, 1, "", (), ())


def test_names_are_all_different_and_in_the_order_of_the_table() -> None:
    assert [
        *(
            "overlap",
            "gap",
            "off the cloth",
            "off the remnant",
            "flaw",
            "zone",
            "count",
            "hand",
            "turn",
            "nap",
            "border",
            "match",
        ),
        *("held moved", "one lot", "length"),
    ] == NAMES


def broken_by_all(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let every rule be broken once."""

    def always(rule: Rule) -> Rule:
        return replace(rule, broken=lambda case: (Violation(rule.name, (), 1.0, "So."),))

    monkeypatch.setattr("nesting.judge.check.RULES", tuple(always(rule) for rule in RULES))


def test_the_judge_asks_the_rules_of_the_table_in_their_order(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    broken_by_all(monkeypatch)
    job = Job(Fabric(250.0), (SQUARE,))
    assert [one.kind for one in check(job, NOTHING)] == NAMES
    assert [one.kind for one in check_laid([], job.fabric)] == NAMES[:5]
    assert [one.kind for one in check_held(job)] == [
        *NAMES[:6],
        *("turn", "nap", "border", "match"),
    ]


def test_a_row_more_is_asked_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    def blue(case: Case) -> tuple[Violation, ...]:
        return tuple(Violation("blue", (name,), 1.0, "Not blue.") for name in case.pieces)

    row = Rule("blue", "copies", "parts", blue, ("piece not blue", "pieces not blue"))
    monkeypatch.setattr("nesting.judge.check.RULES", (*RULES, row))
    monkeypatch.setattr(rules, "RULES", (*RULES, row))
    assert check(Job(Fabric(250.0), (SQUARE,)), NOTHING)[-1].kind == "blue"
    assert check_held(Job(Fabric(250.0), (SQUARE,)))[-1].kind == "blue"
    assert "blue" in named("parts")


def test_check_counts_by_the_words_of_the_table() -> None:
    counted = [rule for rule in RULES if rule.words]
    assert counted_kinds(NAMES) == [f"1 {rule.words[0]}" for rule in counted if rule.words]
    assert counted_kinds(NAMES * 2) == [f"2 {rule.words[1]}" for rule in counted if rule.words]


def test_tighten_puts_right_what_moving_and_turning_can() -> None:
    assert (
        *("overlap", "gap", "off the cloth", "off the remnant", "flaw", "zone"),
        *("turn", "nap", "border", "match"),
    ) == REPAIRED
    assert TURNED == ("turn", "nap")


def test_no_fault_of_a_drawing_is_called_like_a_rule() -> None:
    assert not set(Own.__args__) & set(NAMES)  # type: ignore[attr-defined]


def spelt(file: Path, name: str) -> list[str]:
    """Return where a module writes the name of a rule that it ought to take from the table.

    Some names are everyday words (a gap, a length): they count where a rule is compared or made.
    """
    found = []
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        inner: list[ast.expr] = []
        if isinstance(node, ast.Compare):
            text = ast.unparse(node)
            inner = [node.left, *node.comparators] if "kind" in text else []
        elif isinstance(node, ast.Call) and ast.unparse(node.func) in MAKERS:
            inner = node.args[:1]
        for each in inner:
            words = {one.value for one in ast.walk(each) if isinstance(one, ast.Constant)}
            if words & set(NAMES) and not isinstance(each, ast.Call):
                found.append(f"{name}: {ast.unparse(node)}")
        if isinstance(node, ast.Constant) and node.value in ("overlap", "off the cloth", "count"):
            found.append(f"{name}: {node.value}")
    return found


def test_no_module_writes_the_name_of_a_rule_but_the_one_with_its_function() -> None:
    known = modules()
    near = {
        name
        for name, file in known.items()
        if name.startswith(LISTS) or any(t.startswith("nesting.judge") for t in taken_by(file))
    }
    allowed = {"nesting.judge.rules"} | HOMES
    assert [told for name in sorted(near - allowed) for told in spelt(known[name], name)] == []


def test_names_written_elsewhere_are_seen(tmp_path: Path) -> None:
    file = tmp_path / "module.py"
    for line in (
        "x = ('overlap', 1)",
        "ok = one.kind == 'gap'",
        "ok = one.kind not in ('turn', 'nap')",
        "Violation('length', (), 1.0, '')",
    ):
        file.write_text(line, encoding="utf-8")
        assert spelt(file, "module"), line


def test_names_are_plain_text_in_reports() -> None:
    assert json.loads(json.dumps(NAMES)) == NAMES
