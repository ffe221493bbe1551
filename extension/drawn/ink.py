# SPDX-License-Identifier: GPL-2.0-or-later
"""Colours and line widths of the drawn result, clear in black and white too."""

from __future__ import annotations

import re

from extension.svg.building import number

Look = dict[str, str | float]

INK = "#2b2b2b"
"""Lines and letters."""
CLOTH = "#fbf4e6"
DOUBLE_CLOTH = "#e9dcbc"
"""Cloth of one layer, and of two."""
SELVEDGE = "#efe1c6"
SELVEDGE_LINE = "#94713f"
BORDER = "#dfe6ee"
BORDER_LINE = "#4a6785"
AS_DRAWN = "#ffffff"
FLIPPED = "#dadada"

PART_LINE = 0.7
THIN_LINE = 0.4
MEASURE_LINE = 0.8
"""mm on the cloth."""

_HEX = re.compile(r"#([0-9a-f]{3}|[0-9a-f]{6})", re.ASCII)
_RGB = re.compile(r"rgb\(\s*(\d{1,3})\s*,\s*(\d{1,3})\s*,\s*(\d{1,3})\s*\)", re.ASCII)
_LIGHTEST = 0.6
_DARK_NAMES = (
    "black",
    "blue",
    "brown",
    "green",
    "maroon",
    "navy",
    "olive",
    "purple",
    "red",
    "teal",
)


def line_look(
    colour: str,
    width: float,
    *,
    dash: tuple[float, ...] = (),
    fill: str = "none",
    scale: float = 1.0,
) -> Look:
    """Return the look of a line `width` mm wide in an element that is enlarged by `scale`."""
    look: Look = {
        "fill": fill,
        "stroke": colour,
        "stroke-width": width / scale,
        "stroke-linejoin": "round",
    }
    if dash:
        look["stroke-dasharray"] = ",".join(number(one / scale) for one in dash)
    return look


def dark_enough(colour: str) -> str:
    """Return a drawn line's colour where it stands out on a part, else our ink.

    Plain colours are kept; a gradient, or no colour at all, is no line to cut along.
    """
    plain = colour.strip().lower()
    if plain in _DARK_NAMES:
        return plain
    channels = _channels(plain)
    if channels is None:
        return INK
    red, green, blue = channels
    # Luma of ITU-R BT.601: how light the eye finds a colour.
    light = (0.299 * red + 0.587 * green + 0.114 * blue) / 255
    return plain if light <= _LIGHTEST else INK


def _channels(colour: str) -> tuple[int, int, int] | None:
    """Return red, green and blue from 0 to 255."""
    if match := _HEX.fullmatch(colour):
        digits = match[1] if len(match[1]) == 6 else "".join(2 * digit for digit in match[1])
        return int(digits[0:2], 16), int(digits[2:4], 16), int(digits[4:6], 16)
    if match := _RGB.fullmatch(colour):
        return min(int(match[1]), 255), min(int(match[2]), 255), min(int(match[3]), 255)
    return None
