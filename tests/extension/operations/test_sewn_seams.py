# SPDX-License-Identifier: GPL-2.0-or-later
"""The samples with match points, cut as their layouts say and sewn: the lines run on.

By arithmetic on the cloth, from the drafts of the garments: nothing of the engine, no match points.
To look at it: `python -m tests.helpers.sewn_samples FOLDER`.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from lxml import etree

from nesting.errors import JobError
from tests.helpers.drafting import shirt, striped_top
from tests.helpers.drafting.draft import Draft
from tests.helpers.sewn import Sewn, apart, crossed, off_line, picture, walked
from tests.helpers.sewn_samples import (
    CHECKS,
    STRIPES,
    Garment,
    garment,
    seams_of_shirt,
    seams_of_top,
)

NEAR = 1.0
"""mm by which lines may miss each other at a seam: what a seam does not show."""
CLOTHS: dict[str, dict[str, Any]] = {
    "even checks": CHECKS,
    "even checks, folded": {**CHECKS, "spread": "depth 660mm"},
    "even checks, no nap": {**CHECKS, "nap": False},
    "other checks": {"repeat": "along 3in, across 45mm", "first_line": 20.0},
}
ROUND: dict[str, dict[str, Any]] = {
    "uneven stripes": STRIPES,
    "uneven stripes, folded": {**STRIPES, "spread": "lengthwise"},
    "even stripes, no nap": {"repeat": "along 50mm", "nap": False},
}


@cache
def shirt_on(cloth: str) -> Garment:
    return garment("checked-shirt", **CLOTHS[cloth])


@cache
def top_on(cloth: str) -> Garment:
    return garment("striped-top", **ROUND[cloth])


def missed(made: Garment, front: Sewn, back: Sewn, notch: float) -> float:
    """Return by how much lines along a side seam miss each other, mm, from underarm to hem."""
    low, high = -notch, front.draft.seam_length("side") - notch
    pair = [crossed(made.design, 0, part.seam("side", 0), low, high) for part in (front, back)]
    assert min(len(lines) for lines in pair[0]) >= 2
    return apart(pair[0], pair[1], low, high)


def beyond(made: Garment, part: Sewn, point: complex, axis: int = 0) -> float:
    """Return how far a point is beyond a line, seen from the garment: up, or away from its side."""
    off = off_line(made.design, axis, part.on_cloth(point))
    if axis == 0:
        return -off if part.spot.turn == 180.0 else off
    is_reversed = (part.spot.turn == 180.0) != part.is_turned_over
    return -off if is_reversed and made.design.repeat.even else off


def notch(draft: Draft, number: int) -> complex:
    """Return where a notch of a draft meets its stitching line."""
    return walked(draft.seam, draft.notches[number].edge, draft.notches[number].at)


def alike(one: float, other: float, period: float) -> float:
    """Return by how much two places in a repeat differ, mm."""
    apart_by = one - other
    return abs(apart_by - period * round(apart_by / period))


@pytest.mark.parametrize("cloth", CLOTHS)
@pytest.mark.parametrize("copy", [1, 2])
def test_checks_run_on_over_both_side_seams_of_the_shirt(cloth: str, copy: int) -> None:
    made = shirt_on(cloth)
    front = made.cut(shirt.front(), copy)
    assert missed(made, front, made.beside(front, shirt.back()), shirt.SIDE_NOTCH) <= NEAR


@pytest.mark.parametrize("cloth", CLOTHS)
def test_the_centres_of_the_shirt_lie_on_a_dominant_line(cloth: str) -> None:
    made = shirt_on(cloth)
    fold = shirt.back().fold_line
    assert fold is not None
    buttons = shirt.front().drills[:5]
    left, right = (made.cut(shirt.front(), copy) for copy in (1, 2))
    centres = [(part, button) for part in (left, right) for button in buttons]
    for part, point in (*centres, *((made.cut(shirt.back()), end) for end in fold)):
        assert abs(off_line(made.design, 1, part.on_cloth(point))) <= NEAR
    # Button on button, the lines along run on from one front to the other.
    one, other = (beyond(made, part, buttons[0]) for part in (left, right))
    assert alike(one, other, made.design.repeat.along) <= NEAR


@pytest.mark.parametrize("cloth", CLOTHS)
def test_the_pocket_of_the_shirt_vanishes_on_its_front(cloth: str) -> None:
    """At each of its corners the design is that of the front beneath it, both ways."""
    made = shirt_on(cloth)
    front, pocket = made.cut(shirt.front()), made.cut(shirt.pocket())
    wide, tall = shirt.POCKET
    for corner in (0j, complex(wide, 0), complex(wide, tall), complex(0, tall)):
        under = corner - shirt.pocket().drills[0] + shirt.AT_POCKET
        for axis, period in enumerate((made.design.repeat.along, made.design.repeat.across)):
            here, there = beyond(made, pocket, corner, axis), beyond(made, front, under, axis)
            assert alike(here, there, period) <= NEAR


@pytest.mark.parametrize("other", [False, True])
@pytest.mark.parametrize("cloth", ROUND)
def test_stripes_run_on_over_both_side_seams_of_the_top(cloth: str, other: bool) -> None:
    made = top_on(cloth)
    front = made.cut(striped_top.front(), other_half=other)
    back = made.beside(front, striped_top.back())
    assert missed(made, front, back, striped_top.SIDE_NOTCH) <= NEAR


@pytest.mark.parametrize(("name", "cloth"), [*(("shirt", x) for x in CLOTHS),
                                             *(("top", x) for x in ROUND)])  # fmt: skip
def test_sleeves_meet_the_front_armhole_in_the_design(name: str, cloth: str) -> None:
    made = shirt_on(cloth) if name == "shirt" else top_on(cloth)
    garments = shirt if name == "shirt" else striped_top
    front, sleeve = garments.front(), garments.sleeve()
    body = beyond(made, made.cut(front), notch(front, 1))
    for copy in (1, 2):
        arm = beyond(made, made.cut(sleeve, copy), notch(sleeve, 0))
        assert alike(arm, body, made.design.repeat.along) <= NEAR


def test_checks_that_are_uneven_cannot_match_twice_across_on_mirrored_fronts() -> None:
    with pytest.raises(JobError, match="“centre” and “pocket” of piece “Front”"):
        garment("checked-shirt", **CHECKS, uneven=True)


@pytest.mark.parametrize("by", [7.0, -4.0, 25.0])
def test_a_back_that_was_moved_is_seen_at_the_seam(by: float) -> None:
    made = top_on("uneven stripes")
    front = made.cut(striped_top.front())
    back = made.beside(front, striped_top.back())
    moved = replace(back, spot=replace(back.spot, x=back.spot.x + by))
    assert missed(made, front, moved, striped_top.SIDE_NOTCH) > 3.0


def test_a_back_the_other_way_round_is_seen_on_an_uneven_design() -> None:
    made = top_on("uneven stripes")
    front = made.cut(striped_top.front())
    back = made.beside(front, striped_top.back())
    at = back.on_cloth(notch(striped_top.back(), 0))
    turned = replace(back, spot=replace(back.spot, turn=180.0))
    # Its notch comes to lie where it was, only the other way round.
    moved = at.real - turned.on_cloth(notch(striped_top.back(), 0)).real
    spot = replace(turned.spot, x=turned.spot.x + moved)
    assert missed(made, front, replace(turned, spot=spot), striped_top.SIDE_NOTCH) > 3.0


def test_the_seams_are_drawn_from_what_is_cut() -> None:
    for made, seams in ((shirt_on("even checks"), seams_of_shirt),
                        (top_on("uneven stripes"), seams_of_top)):  # fmt: skip
        joined = seams(made)
        drawn = etree.fromstring(picture(made.design, joined, 800.0).encode())
        assert len(drawn.findall(".//{*}clipPath")) == 2 * len(joined)
        assert len(drawn.findall(".//{*}polygon")) > 20 * len(joined)
