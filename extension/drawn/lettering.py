# SPDX-License-Identifier: GPL-2.0-or-later
"""Lines of text on the cloth: how much room they take, and their elements.

The font is the reader's own sans-serif, so widths are those of a wide one: text may come out
narrower than reckoned, not wider.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence
from typing import Literal

from lxml import etree

from extension.drawn.frames import transform_text
from extension.drawn.ink import INK
from extension.svg.building import XML_SPACE, element, sodipodi, style
from extension.svg.letters import letter_width
from extension.svg.model import Matrix

Anchor = Literal["start", "middle", "end"]

LINE_HEIGHT = 1.25
ASCENT = 0.76
DESCENT = 0.24
"""Shares of the font size: from one baseline to the next, and the reach of letters about it."""

_NO_BREAK = "\u00a0"
_TOGETHER = re.compile(r"(?<=\d) (?=(?:mm|cm|m|in|yd|=)(?:\W|$))|(?<==) (?=\w)|(?<=\d) (?=\d+/\d)")
_BOLD = 1.12


def letters_of(width: float) -> float:
    """Return the font size of the measures round cloth: 25 on 140 cm, in proportion, 10 to 25."""
    return min(max(width / 56.0, 10.0), 25.0)


def line_width(line: str, size: float, *, bold: bool = False) -> float:
    """Return the room a line takes at a font size, mm."""
    return sum(map(letter_width, line)) * size * (_BOLD if bold else 1.0)


def block_size(lines: Sequence[str], size: float, *, bold: int = 0) -> tuple[float, float]:
    """Return width and height of lines of text, mm; the first `bold` of them are bold."""
    widths = [line_width(line, size, bold=row < bold) for row, line in enumerate(lines)]
    height = ((len(lines) - 1) * LINE_HEIGHT + ASCENT + DESCENT) * size
    return max(widths, default=0.0), height


def text(
    lines: Sequence[str],
    x: float,
    baseline: float,
    size: float,
    *,
    anchor: Anchor = "start",
    bold: bool = False,
    colour: str = INK,
    family: str = "sans-serif",
    matrix: Matrix | None = None,
) -> etree._Element:
    """Return a text element; `baseline` is that of the first line, `matrix` turns the whole."""
    look = style(
        {
            "font-family": family,
            "font-size": f"{size:.6g}px",
            "font-style": "normal",
            "font-weight": "bold" if bold else "normal",
            "line-height": f"{LINE_HEIGHT:g}",
            "text-anchor": anchor,
            "fill": colour,
            "stroke": "none",
        }
    )
    made = element("text", {"x": x, "y": baseline, "style": look, XML_SPACE: "preserve"})
    for row, line in enumerate(lines):
        place: dict[str, str | float] = {
            "x": x,
            "y": baseline + row * LINE_HEIGHT * size,
            sodipodi("role"): "line",
        }
        span = element("tspan", place)
        span.text = line
        made.append(span)
    if matrix is not None:
        made.set("transform", transform_text(matrix))
    return made


def wrapped(line: str, room: float, size: float, *, bold: bool = False) -> list[str]:
    """Return a line broken at spaces so that no row is much wider than `room` mm.

    Words stay whole, and a number stays with its fraction and its unit.
    """
    average = line_width(line, size, bold=bold) / max(len(line), 1)
    rows = textwrap.wrap(
        _TOGETHER.sub(_NO_BREAK, line),
        max(int(room / max(average, 1e-9)), 20),
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [row.replace(_NO_BREAK, " ") for row in rows] or [""]
