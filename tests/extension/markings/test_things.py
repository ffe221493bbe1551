# SPDX-License-Identifier: GPL-2.0-or-later
"""What lies beside an outline is found without looking at everything for each outline."""

from __future__ import annotations

import pytest

from extension.markings import things
from extension.markings.proposing import propose
from tests.helpers.svg_builder import SvgBuilder


def test_a_sheet_with_its_dashes_as_shapes_is_read_all_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A browser fills dashes, thousands a sheet: each was compared with each, for minutes."""
    drawing = SvgBuilder("900mm", "900mm", (0, 0, 900, 900))
    for row in range(10):
        for place in range(15):
            drawing.add_rect(20 + 28 * place, 20 + 40 * row, 4, 0.5, style="fill:#000000")
    compared = 0
    drawn_lines = things.drawn_lines

    def counted(leaf: things.Leaf) -> object:
        nonlocal compared
        compared += 1
        return drawn_lines(leaf)

    monkeypatch.setattr(things, "drawn_lines", counted)
    assert propose(drawing.document()).pieces == ()
    assert compared <= 10 * 150
