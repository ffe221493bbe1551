# SPDX-License-Identifier: GPL-2.0-or-later
"""The paper that a diagram is printed on, and which way it stands."""

from __future__ import annotations

from dataclasses import dataclass
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
_WORDS: dict[Standing, float] = {"portrait": 42.0, "landscape": 32.0}
"""mm that heading and notes take above and below the picture."""
_SIZES: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Short and long side, mm: ISO 216, and ANSI/ASME Y14.1 size A (8 1/2 in by 11 in)."""


@dataclass(frozen=True, slots=True)
class Leaf:
    """A leaf of paper, standing upright or lying."""

    paper: Paper
    standing: Standing

    @property
    def size(self) -> tuple[float, float]:
        """Width and height, mm."""
        short, long = _SIZES[self.paper]
        return (short, long) if self.standing == "portrait" else (long, short)

    @property
    def room(self) -> tuple[float, float]:
        """Width and height that a picture may take, mm."""
        width, height = self.size
        return width - 2.0 * MARGIN, height - 2.0 * MARGIN - _WORDS[self.standing]


def leaf_for(cloth: Cloth, paper: Paper) -> Leaf:
    """Return the leaf on which a layout is largest."""
    leaves = [Leaf(paper, standing) for standing in LEAVES]
    return max(leaves, key=lambda leaf: fitting_scale(cloth, leaf.room))
