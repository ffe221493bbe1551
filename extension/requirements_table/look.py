# SPDX-License-Identifier: GPL-2.0-or-later
"""How the drawing's own lettering looks, so that a table on it looks as if it belonged there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from extension.drawn.ink import INK, dark_enough
from extension.svg.model import Leaf
from extension.svg.scales import scale_of
from extension.svg.styles import font_size

SMALLEST, LARGEST = 5.0, 25.0
"""Bounds of the font size, mm: what is read on a sheet, and what still is a table."""
USUAL = 8.0
_FAMILY = "sans-serif"


@dataclass(frozen=True, slots=True)
class Look:
    """Font family as the drawing names it, colour, and font size in mm on the page."""

    family: str = _FAMILY
    colour: str = INK
    size: float = USUAL


def look_of(leaves: Sequence[Leaf]) -> Look:
    """Return the look that most texts of a drawing share; our own where there is no text."""
    texts = [leaf for leaf in leaves if leaf.text and not leaf.hidden]
    sizes = (round(2.0 * font_size(leaf.style) * scale_of(leaf.matrix)) / 2.0 for leaf in texts)
    return Look(
        _commonest((leaf.style.get("font-family", _FAMILY) for leaf in texts), _FAMILY),
        dark_enough(_commonest((leaf.style.get("fill", INK) for leaf in texts), INK)),
        min(max(_commonest(sizes, USUAL), SMALLEST), LARGEST),
    )


Value = TypeVar("Value", str, float)


def _commonest(values: Iterable[Value], otherwise: Value) -> Value:
    """Return the value that occurs most often, of equals the first."""
    counts = Counter(values)
    return max(counts, key=lambda value: counts[value], default=otherwise)
