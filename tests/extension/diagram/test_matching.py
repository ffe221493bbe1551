# SPDX-License-Identifier: GPL-2.0-or-later
"""Match points in the placing table: how far from the nearest dominant line of the design."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.diagram.matching import from_lines
from extension.diagram.section import sections
from extension.layouts.layers import layout_layers
from extension.svg.document import parse
from nesting.model import Repeat
from tests.extension.operations.test_matched import CHECKS, laid, shirt

STEPS = st.integers(-3, 3)


@pytest.mark.parametrize(
    ("design", "at", "off"),
    [
        (Repeat(80.0, 60.0), (170.0, 50.0), (10.0, -10.0)),
        (Repeat(80.0, 60.0, first=20.0), (150.0, 20.0), (-10.0, 0.0)),
        (Repeat(along=80.0), (5.0, 33.0), (5.0, None)),
        (Repeat(across=60.0, first=20.0), (5.0, 0.0), (None, -20.0)),
        (Repeat(80.0, 60.0, half_drop=True), (45.0, 61.0), (5.0, 1.0)),
        (Repeat(80.0, 60.0, half_drop=True), (45.0, 121.0), (-35.0, 1.0)),
    ],
)
def test_the_nearest_line_by_hand(
    design: Repeat, at: tuple[float, float], off: tuple[float | None, float | None]
) -> None:
    assert from_lines(design, at) == pytest.approx(off)


@given(STEPS, STEPS, st.floats(-39.0, 39.0), st.floats(-29.0, 29.0), st.booleans())
def test_whole_repeats_change_nothing(
    rows: int, steps: int, x: float, y: float, half_drop: bool
) -> None:
    design = Repeat(80.0, 60.0, first=15.0, half_drop=half_drop)
    moved = (x + 80.0 * steps, 15.0 + y + 120.0 * rows)
    assert from_lines(design, moved) == pytest.approx((x, y), abs=1e-6)


def placing(repeat: str) -> list[dict[str, str]]:
    """Return the rows of the placing table of a layout, by the heads of their columns."""
    document = parse(laid(shirt("side along", "side along"), repeat=repeat).drawing)
    found = []
    for section in sections(document, layout_layers(document), "a4", "fit"):
        table = section.tables[1]
        found += [dict(zip(table.head, row, strict=True)) for row in table.rows]
        said = "by the nearest dominant line" in table.note
        assert said == bool(repeat)
    return found


def test_parts_that_match_are_as_far_from_their_lines() -> None:
    rows = placing(CHECKS)
    (head,) = [name for name in rows[0] if name.startswith("match point")]
    told = {row[head] for row in rows}
    assert len(rows) == 3
    assert len(told) == 1
    assert told.pop().startswith("side: ")
    assert not any(name.startswith("match point") for name in placing("")[0])


def test_the_order_on_paper_says_that_the_rest_begins_on_a_line() -> None:
    made = laid(shirt(), repeat="along 80mm", spread="lengthwise")
    document = parse(made.drawing)
    orders = [one.cloth for one in sections(document, layout_layers(document), "a4", "fit")]
    assert len(orders) == 2
    assert "dominant line" not in orders[0]
    assert "right side up, beginning on a dominant line; lay and cut" in orders[1]
