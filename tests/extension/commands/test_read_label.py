# SPDX-License-Identifier: GPL-2.0-or-later
"""The read-label command: one text in, its reading as JSON out."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest

from extension.commands.command_line import BAD_INPUT, run
from extension.commands.terminal import Terminal


def read(*words: str) -> tuple[int, Any, str]:
    """Run read-label; return its exit code, the JSON it wrote, and what it complained of."""
    out, err = io.StringIO(), io.StringIO()
    code = run(["read-label", *words], Terminal(out, err), lambda: 0.0)
    return code, json.loads(out.getvalue()) if out.getvalue() else None, err.getvalue()


def test_a_label_as_json() -> None:
    code, reading, complaint = read("CUT 2 ON FOLD")
    assert (code, complaint) == (0, "")
    assert reading["demands"] == [{"cut": 2, "material": "main", "hand": "mirrored"}]
    assert reading["fold"] is True
    assert {"grain", "name", "size", "nap", "allowance", "unread"} < set(reading)
    assert reading["unread"] == []


def test_words_that_are_not_ascii_stay_readable() -> None:
    _, reading, _ = read("Ärmel, 2x zuschneiden, Größe 38, gnörx")
    assert (reading["name"], reading["size"], reading["unread"]) == ("Ärmel", "38", ["gnörx"])


def test_lengths_are_millimetres() -> None:
    assert read("add 5/8 in SA")[1]["allowance"] == pytest.approx(15.875)


def test_a_missing_text_is_one_plain_line() -> None:
    code, reading, complaint = read()
    assert code == BAD_INPUT
    assert reading is None
    assert complaint.count("\n") == 1
