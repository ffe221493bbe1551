# SPDX-License-Identifier: GPL-2.0-or-later
"""What a layout as it was found says of itself: its length, what is missing, what is expected."""

from __future__ import annotations

import pytest
import shapely

from extension.layouts.gone import Gone
from extension.layouts.wrecks import Wreck
from tests.helpers.put_down import (
    FOUR,
    FRONT,
    SIDE,
    TAB,
    WIDTH,
    part,
    situation,
)


def test_length_and_room_count_what_lies_between_the_selvedges() -> None:
    beside = part(FRONT, 800.0, WIDTH + 1.0)
    partly = part(TAB, 500.0, WIDTH - 1.0)
    assert situation([FRONT, TAB], [beside, partly]).length == 600.0
    assert situation([FRONT], [beside]).length == 0.0
    hardly = part(FRONT, 800.0, -SIDE + 0.5)
    assert situation([FRONT], [hardly]).length == 900.0
    below = part(FRONT, 800.0, -SIDE - 1.0)
    assert situation([FRONT], [below]).length == 0.0


@pytest.mark.parametrize(
    ("kind", "length"), [("several", 700.0), ("changed", 700.0), ("lost", 300.0)]
)
def test_wrecks_need_cloth_unless_they_are_marks_only(kind: str, length: float) -> None:
    wreck = Wreck("w", kind, (TAB,), (1,), (shapely.box(600, 10, 700, 60),))  # type: ignore[arg-type]
    found = situation([FRONT, TAB], [part(FRONT, 200, 200)], wrecks=(wreck,))
    assert found.length == length
    assert found.missing == {}
    assert found.claims == ((("tab", 1),),)


def test_missing_are_the_copies_that_no_wreck_was() -> None:
    wreck = Wreck("w", "lost", (FOUR,), (3,), ())
    found = situation([FOUR], [part(FOUR, 200, 200)], wrecks=(wreck,))
    assert found.missing == {"loop": (2, 4)}


def test_expected_is_what_is_asked_and_what_is_gone() -> None:
    gone = Gone("cuff", "Cuff", 3)
    assert situation([FOUR, TAB], []).expected == 5
    assert situation([FOUR, TAB], [], gone=(gone,)).expected == 8
    assert situation([], [], planned=False, gone=(gone,)).expected == 0
