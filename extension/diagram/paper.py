# SPDX-License-Identifier: GPL-2.0-or-later
"""The paper that a diagram is printed on, and which way it stands."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal, get_args

from extension.diagram.cloth import Cloth
from extension.diagram.shapes import fitting_scale

Paper = Literal["a4", "letter"]
PAPERS: tuple[Paper, ...] = get_args(Paper)
Standing = Literal["portrait", "landscape"]
LEAVES: tuple[Standing, ...] = ("landscape", "portrait")
"""Which way a leaf may stand; of two ways as good as each other, the first."""
SCALES: dict[str, float | None] = {"fit": None, "1:10": 10.0, "1:20": 20.0}
"""The scales to choose from: mm of cloth per mm of paper, None for the largest that fits."""

MARGIN = 12.0
"""mm of paper that stay free all round."""
MOST_WORDS = 0.4
"""Share of the paper's height that words round a picture may take from it."""
_SIZES: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Short and long side, mm: ISO 216, and ANSI/ASME Y14.1 size A (8 1/2 in by 11 in)."""


@dataclass(frozen=True, slots=True)
class Leaf:
    """A leaf of paper, standing upright or lying; `words` mm stand above and below its pictures."""

    paper: Paper
    standing: Standing
    words: float = 0.0

    @property
    def size(self) -> tuple[float, float]:
        """Width and height, mm."""
        short, long = _SIZES[self.paper]
        return (short, long) if self.standing == "portrait" else (long, short)

    @property
    def width(self) -> float:
        """Width between the margins, mm."""
        return self.size[0] - 2.0 * MARGIN

    @property
    def room(self) -> tuple[float, float]:
        """Width and height that a picture may take, mm."""
        height = self.size[1] - 2.0 * MARGIN
        return self.width, height - min(self.words, MOST_WORDS * height)


Leaves = tuple[Leaf, ...]
"""A leaf that lies and one that stands upright, to choose from."""


def leaves_of(paper: Paper, words: Callable[[float], float]) -> Leaves:
    """Return the ways a paper may stand; `words` tells how high they come to in a width, mm."""
    made = (Leaf(paper, standing) for standing in LEAVES)
    return tuple(replace(leaf, words=words(leaf.width)) for leaf in made)


def leaf_for(cloth: Cloth, leaves: Leaves) -> Leaf:
    """Return the leaf on which a layout is largest."""
    return max(leaves, key=lambda leaf: fitting_scale(cloth, leaf.room))
