# SPDX-License-Identifier: GPL-2.0-or-later
"""Lines over the edges of pages: what they come to when their ends meet."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from extension.pages import together
from extension.pages.model import SheetLine


def test_a_line_whose_ends_meet_each_other_in_its_middle_is_left_out(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """To and fro over an edge: nothing is left but a point, of which no library makes a line."""
    monkeypatch.setattr(together, "linked", lambda *_: {0: 1, 1: 0})
    layout: Any = SimpleNamespace(seams=SimpleNamespace(on=lambda tips: np.full(len(tips), True)))
    look: Any = {}
    short = SheetLine(np.array([[10.0, 5.0], [10.0, 5.1]]), False, look, (), "")
    lines, joined = together._made_whole([short], layout)
    assert (lines, joined) == ([], 2)
    assert list(together._doubles(lines, layout)) == []
