# SPDX-License-Identifier: GPL-2.0-or-later
"""Ways to lay the same cloth beside each other: how long, how much to cut, which is the best."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from extension.job.options import LayOutOptions
from extension.language.rounding import buy_text, length_text, less_text
from extension.language.spreads import depth_text, spread_name
from nesting.judge.verdict import capital
from nesting.model import Layout

AS_SHORT = 0.01
"""mm above the proven least length within which a layout is as short as can be."""


@dataclass(frozen=True, eq=False, slots=True)
class Compared:
    """A layout of the pieces on cloth that lies as its options say."""

    options: LayOutOptions
    layout: Layout

    @property
    def outlines(self) -> int:
        """How many outlines are cut: what lies on two layers is cut once."""
        return len(self.layout.placements)

    @property
    def left_over(self) -> int:
        """How many parts did not fit on the cloth that is there."""
        return sum(len(one.copies) for one in self.layout.left_over)

    @property
    def is_draft(self) -> bool:
        """Whether it is as it came first, so that a longer run may well shorten it."""
        layout = self.layout
        is_short = not layout.left_over and layout.length - layout.lower_bound < AS_SHORT
        is_begun = layout.rounds > 0 or layout.exhausted
        return not is_begun and len(layout.placements) > 1 and not is_short

    @property
    def name(self) -> str:
        """How the cloth lies as it was asked for, and how deep it came to be folded."""
        asked, options = self.options.sections[0], self.options
        words = spread_name(asked, self.layout.width, options.system)
        if asked.is_open:
            return words
        used = [one for one in self.layout.sections if one.length > 0.0 and not one.is_open]
        if not used:
            return f"{words} (all parts came to lie on the open cloth behind it)"
        if None not in asked.depths:
            return words
        if spread_name(used[0], self.layout.width, options.system) == "folded lengthwise":
            return f"{words}, half of the width"
        return f"{words}, {depth_text(sum(map(_deep, used[0].depths)), options.system)}"


def best_of(ways: Sequence[Compared]) -> int:
    """Return the place of the way to take: with the fewest parts left over, then least to buy.

    Of those that buy the same, the one with the fewest outlines to cut, then the shortest.
    """
    return min(range(len(ways)), key=lambda place: (*_rank(ways[place]), place))


def compared_text(ways: Sequence[Compared], taken: int) -> tuple[str, ...]:
    """Return what is told of compared ways: a line each, and which of them is drawn."""
    lines = [f"{capital(one.name)}: {_figures(one, ways[0])}." for one in ways]
    least = "least to buy; of those that buy the same, the fewest outlines to cut"
    if ways[taken].options.fabric_length is not None:
        least = "most parts on this cloth; of those that lay the same, the fewest outlines to cut"
    return (
        "Compared, the same pieces in one run:",
        *lines,
        f"Drawn: {ways[taken].name} ({least}). Any other one is drawn when it is chosen alone.",
    )


def folded_text(plain: Compared, folded: Compared) -> str:
    """Return what folding the cloth would need, by a short run beside one on open cloth."""
    return f"{capital(folded.name)}, by a short run: {_figures(folded, plain)}."


def compared_values(ways: Sequence[Compared], taken: int) -> list[dict[str, Any]]:
    """Return compared ways as plain values, for the report."""
    return [
        {
            "spread": one.options.spread,
            "lies": one.name,
            "length_mm": one.layout.length,
            "buy_mm": one.options.bought(one.layout.length).length,
            "outlines": one.outlines,
            "left_over": one.left_over,
            "drawn": place == taken,
        }
        for place, one in enumerate(ways)
    ]


def _deep(depth: float | None) -> float:
    return depth or 0.0


def _rank(one: Compared) -> tuple[float, ...]:
    bought = one.options.bought(one.layout.length).length
    return one.left_over, round(bought, 3), one.outlines, one.layout.length


def _figures(one: Compared, plain: Compared) -> str:
    """Return length, what to buy and outlines to cut, beside those of plain cloth."""
    system = one.options.system
    length = length_text(one.layout.length, system)
    if one is plain or one.left_over or plain.left_over:
        told = f"needs {length}"
    else:
        more = less_text(one.layout.length, plain.layout.length, system)
        less = less_text(plain.layout.length, one.layout.length, system)
        change = f"{more} more" if more else f"{less} less" if less else "as much"
        told = f"needs {length}, {change}"
    if one.options.fabric_length is None:
        told += f", buy {buy_text(one.options.bought(one.layout.length))}"
    cuts = f"{one.outlines} outline{'s' * (one.outlines != 1)} to cut"
    if one is not plain and one.outlines < plain.outlines:
        cuts += f" instead of {plain.outlines}"
    left = f"; {one.left_over} left over" if one.left_over else ""
    draft = "; a first draft, which more time will most likely shorten" if one.is_draft else ""
    return f"{told}; {cuts}{left}{draft}"
