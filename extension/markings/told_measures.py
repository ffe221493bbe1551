# SPDX-License-Identifier: GPL-2.0-or-later
"""Asks about a piece whose label names two measures that it is not drawn in: `cut 1, 150 x 8 cm`.

Strips and squares are often drawn as a sketch of themselves, since words tell how large they are.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

from shapely.geometry import Polygon

from extension.language.errors import OptionError
from extension.language.rounding import figures
from extension.language.units import parse_length
from extension.markings.blocks import Block

_NUMBER = r"(?:\d+\s+)?\d+[/⁄]\d+|\d+(?:[.,]\d+)?"
_UNIT = r"mm|cm|m\b|inch(?:es)?|in\b|[\"″”]"
_TWO = re.compile(rf"({_NUMBER})\s*({_UNIT})?\s*[x×*]\s*({_NUMBER})\s*({_UNIT})", re.IGNORECASE)
OFF, OFF_SHARE = 10.0, 0.05
"""mm, or share of a side, by which one side may differ."""
ALLOWANCE, EVEN = 35.0, 3.0
"""mm by which both sides may be longer, and differ in that: what is told may be the finished size.

Two seam allowances of 1.5 cm are (common practice, no source).
"""


def about_measures(area: Polygon, blocks: Sequence[Block], *, on_fold: bool) -> list[str]:
    """Return what is asked about a piece with an area on the page, mm2, and these labels."""
    if area.is_empty:
        return []
    drawn = _sides(area)
    seen = " × ".join(figures(side / 10.0, 3) for side in drawn)
    differing = (
        words
        for block in blocks
        if block.reading.demands
        for words, told in _told(block.text)
        if not _agree(told, drawn, on_fold=on_fold)
    )
    return [
        f"Its label says “{words}”, but it is drawn {seen} cm: which is right?"
        for words in dict.fromkeys(differing)
    ]


def _sides(area: Polygon) -> tuple[float, float]:
    """Return the shorter and the longer side of the least rectangle round an area, mm."""
    corners = list(area.minimum_rotated_rectangle.exterior.coords)
    first, second, *_ = (math.dist(one, other) for one, other in pairwise(corners))
    return min(first, second), max(first, second)


def _told(text: str) -> Iterator[tuple[str, tuple[float, float]]]:
    """Yield the two measures that a text names, as it does and in mm, the shorter one first."""
    for found in _TWO.finditer(text):
        first, unit, second, last = found.groups()
        try:
            one, other = (_mm(first, unit or last), _mm(second, last))
        except OptionError:
            continue
        yield found[0], (min(one, other), max(one, other))


def _mm(number: str, unit: str) -> float:
    unit = "in" if unit.lower() in {'"', "″", "”", "inch", "inches"} else unit.lower()
    return parse_length(f"{number.replace('⁄', '/')} {unit}")


def _agree(told: tuple[float, float], drawn: tuple[float, float], *, on_fold: bool) -> bool:
    """Return whether sides are those told; of a half on the fold one may be told whole."""
    ways = [drawn]
    if on_fold:
        ways += [(drawn[0], 2 * drawn[1]), (2 * drawn[0], drawn[1])]
    return any(_are_alike(told, sorted(way)) for way in ways)


def _are_alike(told: Sequence[float], drawn: Sequence[float]) -> bool:
    more = [side - one for one, side in zip(told, drawn, strict=True)]
    if all(0.0 <= one <= ALLOWANCE for one in more) and abs(more[0] - more[1]) <= EVEN:
        return True
    limits = [max(OFF, OFF_SHARE * side) for side in drawn]
    return all(abs(one) <= limit for one, limit in zip(more, limits, strict=True))
