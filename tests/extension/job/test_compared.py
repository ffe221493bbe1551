# SPDX-License-Identifier: GPL-2.0-or-later
"""Ways to lay the same cloth beside each other, and which of them is drawn."""

from __future__ import annotations

from extension.job.compared import (
    Compared,
    best_of,
    compared_text,
    compared_values,
    folded_text,
)
from nesting.model import LaidSection, Layout, LeftOver, Placement
from tests.helpers.cloth import between_selvedges


def way(
    spread: str,
    length: float,
    outlines: int,
    *sections: LaidSection,
    rounds: int = 5,
    left: int = 0,
    **values: float,
) -> Compared:
    """Return a way to lay cloth 1.4 m wide, made up."""
    spots = [Placement("front", (n + 1,), 1, 0.0, False, 0.0, 0.0) for n in range(outlines)]
    left_over = (LeftOver("back", tuple(range(1, left + 1))),) if left else ()
    layout = Layout(
        1400.0,
        length,
        0.5,
        1.0,
        0.0,
        0,
        rounds,
        1,
        "by hand",
        tuple(spots),
        left_over,
        {},
        sections,
    )
    return Compared(between_selvedges(1400.0, spread=spread, **values), layout)


OPEN = way("open", 1835.0, 14)
LENGTHWISE = way("lengthwise", 1850.0, 8, LaidSection(700.0, length=1850.0))
DEPTH = way("depth", 1500.0, 10, LaidSection(351.0, length=1500.0))
TWICE = way("twice", 2300.0, 8, LaidSection(350.0, 350.0), LaidSection(length=2300.0), rounds=0)


def test_each_way_has_a_line_beside_that_on_open_cloth() -> None:
    assert compared_text((OPEN, LENGTHWISE, DEPTH, TWICE), 2) == (
        "Compared, the same pieces in one run:",
        "Open: needs 1.84 m, buy 1.90 m / 2 1/8 yd; 14 outlines to cut.",
        "Folded lengthwise: needs 1.85 m, 10 mm more, buy 1.90 m / 2 1/8 yd; 8 outlines to cut "
        "instead of 14.",
        "Folded to the best depth, 35.1 cm: needs 1.50 m, 34 cm less, buy 1.60 m / 1 3/4 yd; 10 "
        "outlines to cut instead of 14.",
        "Folded twice (all parts came to lie on the open cloth behind it): needs 2.30 m, 46 cm "
        "more, buy 2.40 m / 2 5/8 yd; 8 outlines to cut instead of 14; a first draft, which more "
        "time will most likely shorten.",
        "Drawn: folded to the best depth, 35.1 cm (least to buy; of those that buy the same, the "
        "fewest outlines to cut). Any other one is drawn when it is chosen alone.",
    )


def test_the_least_to_buy_is_taken_and_of_the_same_what_saves_cutting() -> None:
    assert best_of((OPEN, LENGTHWISE, DEPTH, TWICE)) == 2
    assert best_of((OPEN, LENGTHWISE)) == 1  # both are bought as 1.90 m
    assert best_of((OPEN, way("lengthwise", 1851.0, 8))) == 0
    assert best_of((OPEN, way("lengthwise", 1834.0, 14))) == 1
    assert best_of((OPEN, way("lengthwise", 1835.0, 14))) == 0


def test_on_cloth_that_is_there_what_lays_most_is_taken() -> None:
    ways = [
        way("open", 1200.0, 14, fabric_length=1250.0),
        way("lengthwise", 1240.0, 7, left=1, fabric_length=1250.0),
    ]
    assert best_of(ways) == 0
    assert compared_text(ways, 0)[2] == (
        "Folded lengthwise (all parts came to lie on the open cloth behind it): needs 1.24 m; 7 "
        "outlines to cut instead of 14; 1 left over."
    )
    assert "most parts on this cloth" in compared_text(ways, 0)[-1]


def test_a_trial_tells_what_folding_would_need() -> None:
    shorter = way("lengthwise", 1800.0, 1, LaidSection(700.0, length=1800.0))
    assert folded_text(OPEN, shorter) == (
        "Folded lengthwise, by a short run: needs 1.80 m, 4 cm less, buy 1.90 m / 2 1/8 yd; 1 "
        "outline to cut instead of 14."
    )
    assert "needs 1.84 m, as much, buy" in folded_text(OPEN, way("lengthwise", 1833.0, 14))


def test_where_the_best_depth_is_half_of_the_width_that_is_said() -> None:
    half = way("depth", 1500.0, 10, LaidSection(700.0, length=1500.0))
    assert half.name == "folded to the best depth, half of the width"


def test_the_report_has_the_figures() -> None:
    first, second = compared_values((OPEN, DEPTH), 1)
    assert (first["spread"], first["drawn"], first["outlines"]) == ("open", False, 14)
    assert second == {
        "spread": "depth",
        "lies": "folded to the best depth, 35.1 cm",
        "length_mm": 1500.0,
        "buy_mm": 1600.0,
        "outlines": 10,
        "left_over": 0,
        "drawn": True,
    }
