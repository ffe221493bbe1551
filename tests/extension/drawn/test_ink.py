# SPDX-License-Identifier: GPL-2.0-or-later
"""Lines stand out on parts, as wide as they should be on the cloth."""

from __future__ import annotations

import pytest

from extension.drawn.ink import AS_DRAWN, FLIPPED, INK, dark_enough, line_look


@pytest.mark.parametrize("colour", ["#000000", "#204080", "#a00", "rgb(160, 0, 0)", "navy", "RED"])
def test_a_dark_line_keeps_its_colour(colour: str) -> None:
    assert dark_enough(colour) == colour.lower()


@pytest.mark.parametrize(
    "colour", ["#ffffff", "#ff0", "none", "", "url(#gradient)", "yellow", "rgb(250,250,200)"]
)
def test_a_light_line_or_none_is_drawn_in_ink(colour: str) -> None:
    assert dark_enough(colour) == INK


def test_a_line_is_as_wide_on_the_cloth_however_its_element_is_scaled() -> None:
    look = line_look(INK, 0.7, dash=(6.0, 3.0), scale=0.25)
    assert look["stroke-width"] == pytest.approx(2.8)
    assert look["stroke-dasharray"] == "24,12"
    assert look["fill"] == "none"


def test_flipped_parts_are_grey_and_others_white_so_that_print_without_colour_works() -> None:
    assert AS_DRAWN == "#ffffff"
    red, green, blue = (int(FLIPPED[at : at + 2], 16) for at in (1, 3, 5))
    assert red == green == blue
    assert red < 230
