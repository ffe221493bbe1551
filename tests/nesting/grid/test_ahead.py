# SPDX-License-Identifier: GPL-2.0-or-later
"""Memory may be asked for anywhere, and nothing comes of it."""

from __future__ import annotations

import numpy as np
import pytest

from nesting.grid.ahead import fetch_rows


@pytest.mark.parametrize("start", [0, 95, -1, -(10**12), 10**15])
def test_asking_changes_nothing_wherever_it_is(start: int) -> None:
    values = np.arange(100, dtype=np.uint16)
    fetch_rows(values, start, 7, 4)
    assert values.tolist() == list(range(100))
