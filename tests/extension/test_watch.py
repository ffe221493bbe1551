# SPDX-License-Identifier: GPL-2.0-or-later
"""A command is watched: its limits follow from its drawing, and passing one ends it."""

from __future__ import annotations

import threading
from pathlib import Path

from extension.watch import LEAST_SECONDS, SECONDS_PER_MB, Limits, limits_for, memory_used, watched


def test_the_limits_grow_with_the_drawing_and_with_what_was_asked_for(tmp_path: Path) -> None:
    drawing = tmp_path / "a.svg"
    drawing.write_bytes(b" " * 2_000_000)
    limits = limits_for("check", drawing, 20.0)
    assert limits.seconds == 20.0 + LEAST_SECONDS + 2.0 * SECONDS_PER_MB
    assert limits_for("check", None).seconds == LEAST_SECONDS
    assert limits_for("lay-out", drawing, None).seconds is None


def test_a_limit_is_told_in_one_sentence_with_the_command_and_the_size() -> None:
    limits = Limits("check", 1_500_000, 600.0, 2e9)
    assert limits.broken(599.0, 1.9e9) == ""
    assert limits.broken(601.0, 0.0).startswith(
        "“check” was ended after 10 minutes, the most that it may take for a drawing of 1.5 MB. "
    )
    assert "ended at 2.0 GB of memory" in limits.broken(0.0, 2.1e9)
    assert Limits("check", 0, None, 2e9).broken(1e9, 0.0) == ""


def test_this_process_takes_some_memory() -> None:
    assert 1e7 < memory_used() < 1e11


def test_what_passes_a_limit_or_does_not_answer_is_ended_and_told() -> None:
    for limits, asked, told in (
        (Limits("check", 0, 0.0, 1e12), False, "“check” was ended after 0 minutes"),
        (Limits("check", 0, None, 1.0), False, "“check” was ended at 0.0 GB"),
        (Limits("check", 0, None, 1e12), True, ""),
    ):
        ended: list[str] = []
        heard = threading.Event()

        def end(text: str, ended: list[str] = ended, heard: threading.Event = heard) -> None:
            ended.append(text)
            heard.set()

        with watched(limits, lambda asked=asked: asked, end):  # type: ignore[misc]
            assert heard.wait(60.0)
        assert len(ended) == 1
        assert ended[0].startswith(told)


def test_what_ends_by_itself_is_left_alone() -> None:
    ended: list[str] = []
    with watched(Limits("check", 0, None, 1e12), lambda: True, ended.append):
        pass
    threading.Event().wait(1.0)
    assert ended == []
