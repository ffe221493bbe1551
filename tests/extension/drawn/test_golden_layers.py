# SPDX-License-Identifier: GPL-2.0-or-later
"""Whole layers for layouts placed by hand, compared with files that were looked at.

After a change that is meant: run with --store-golden, look at the files, run again.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from extension.job.options import LayOutOptions
from nesting.model import Placement
from tests.helpers.cloth import between_selvedges, typed_between_selvedges
from tests.helpers.garments import PAGES, garment
from tests.helpers.golden import assert_golden
from tests.helpers.layouts import drawn_into, layout_of, plan_of

GOLDEN = Path(__file__).parent / "golden"

BY_HAND = (
    Placement("front", (1,), 1, 0.0, False, 220.0, 300.0),
    Placement("front", (2,), 1, 0.0, True, 220.0, 20.0),
    Placement("back", (1,), 1, 0.0, False, 440.0, 550.0),
    Placement("tab", (1,), 1, 0.0, False, 500.0, 700.0),
    Placement("tab", (2,), 1, 0.0, True, 540.0, 20.0),
)
HEAD_TO_FOOT = (
    Placement("front", (1,), 1, 180.0, False, 20.0, 300.0),
    Placement("front", (2,), 1, 0.0, True, 220.0, 20.0),
    Placement("back", (1,), 1, 180.0, False, 240.0, 150.0),
    Placement("tab", (1,), 1, 90.0, False, 150.0, 500.0),
    Placement("tab", (2,), 1, 270.0, True, 150.0, 330.0),
)

CASES: dict[str, tuple[str, LayOutOptions, tuple[Placement, ...]]] = {
    "with-nap-on-90-cm": ("millimetres", between_selvedges(900.0, workers=2), BY_HAND),
    "head-to-foot-on-45-in-booked": (
        "inches, moved",
        typed_between_selvedges(
            {
                "fabric_width": "45in",
                "width_is": "booked",
                "nap": "no",
                "allowance": "1/4in",
                "end_allowance": "2in",
                "workers": "2",
            }
        ),
        HEAD_TO_FOOT,
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_a_layer_is_drawn_as_it_was_when_it_was_looked_at(
    name: str, pytestconfig: pytest.Config
) -> None:
    page, options, placements = CASES[name]
    document = garment(PAGES[page]).document()
    plan = plan_of(document, options)
    _, layer = drawn_into(document, options, layout_of(plan, placements, 700.0))
    assert_golden(layer, GOLDEN / f"{name}.svg", store=pytestconfig.getoption("--store-golden"))
