# SPDX-License-Identifier: GPL-2.0-or-later
"""What the launcher hears of a run."""

from __future__ import annotations

import io
import json

import pytest

from extension.dialogs.talk import ProgressLines, Talk
from nesting.search.keeper import Progress


def lines_of(stdout: bytes) -> list[dict[str, object]]:
    return [json.loads(line) for line in stdout.splitlines()]


def test_progress_tells_every_better_length_at_once_and_the_rest_now_and_then() -> None:
    told = io.BytesIO()
    hear = ProgressLines(Talk(told), 10.0, "metric")
    for seconds, length in [(1.0, 900.0), (1.05, 900.0), (1.1, 800.0), (1.2, 800.0), (1.4, 800.0)]:
        hear(Progress(seconds, 0, length, 0.5, 700.0))
    shares = [float(str(line["done"])) for line in lines_of(told.getvalue())]
    assert shares == pytest.approx([0.1, 0.11, 0.14])


def test_progress_never_passes_the_end() -> None:
    told = io.BytesIO()
    ProgressLines(Talk(told), 10.0, "metric")(Progress(11.0, 0, 900.0, 0.5, 700.0))
    assert lines_of(told.getvalue())[0]["done"] == 1.0


def test_a_launcher_that_has_gone_is_no_fault() -> None:
    class Gone(io.BytesIO):
        def write(self, _: object) -> int:
            raise BrokenPipeError

    Talk(Gone()).tell("progress", "x")
