# SPDX-License-Identifier: GPL-2.0-or-later
"""What is on the pages of a pattern: plain data in mm, each page from its own top left corner."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from extension.joining.segments import FloatArray, Look
from extension.svg.model import Leaf, Matrix

Box = tuple[float, float, float, float]
"""x_low, y_low, x_high, y_high in mm."""
Place = tuple[int, int]
"""Row and column of a page on the sheet, from 0."""


@dataclass(frozen=True, eq=False)
class Stroke:
    """A line as a page shows it: points (N, 2), its first point not repeated when it is closed."""

    points: FloatArray
    closed: bool
    look: Look
    of: tuple[Leaf, ...] = ()
    """The objects of several open lines that it is of, such as an arrow with its heads."""
    layer: str = ""
    """The layer or group it is on, where that is named by a size."""

    @cached_property
    def box(self) -> Box:
        """Its box, mm."""
        return box_of(self.points)


@dataclass(frozen=True, eq=False)
class Patch:
    """A filled shape, such as an arrow head or a letter turned into a shape.

    `rings` (N, 2) each; `look` is how it is painted, as a style. `whole` says that no edge or clip
    of its page cuts it.
    """

    rings: tuple[FloatArray, ...]
    look: Mapping[str, str | float]
    whole: bool

    @cached_property
    def box(self) -> Box:
        """Its box, mm."""
        return box_of(np.vstack(self.rings))


@dataclass(frozen=True, eq=False)
class SheetLine(Stroke):
    """A line of the sheet, mm from the sheet's corner."""


@dataclass(frozen=True, eq=False, slots=True)
class Words:
    """A text on a page, with its rough box there; `onto_page` maps the canvas to the page.

    `layer` is the layer or group it is on, where that is named by a size.
    """

    leaf: Leaf
    onto_page: Matrix
    box: Box
    layer: str = ""

    @property
    def text(self) -> str:
        """What it says, in one line."""
        return " ".join(self.leaf.text.split())

    @property
    def middle(self) -> tuple[float, float]:
        """The middle of its box, mm."""
        return (self.box[0] + self.box[2]) / 2.0, (self.box[1] + self.box[3]) / 2.0


@dataclass(frozen=True, eq=False, slots=True)
class Page:
    """A page with what is seen on it. `name` is what messages call it; sizes in mm."""

    name: str
    width: float
    height: float
    strokes: tuple[Stroke, ...]
    patches: tuple[Patch, ...]
    words: tuple[Words, ...]
    pictures: int = 0
    """How many images it shows, which are left out."""
    clipped: Box | None = None
    """The box that the clips of what it shows leave open, together; None where there are none."""
    frame: Box | None = None
    """The frame that was printed on it and taken away."""
    letters: tuple[Words, ...] = ()
    """The letters of matching marks that were taken away."""


def box_of(points: FloatArray) -> Box:
    """Return the box of points (N, 2)."""
    (low_x, low_y), (high_x, high_y) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return low_x, low_y, high_x, high_y


def box_round(boxes: Sequence[Box]) -> Box | None:
    """Return the box round boxes, None round none."""
    if not boxes:
        return None
    low = np.array(boxes)[:, :2].min(axis=0).tolist()
    high = np.array(boxes)[:, 2:].max(axis=0).tolist()
    return low[0], low[1], high[0], high[1]


def meets(one: Box, other: Box) -> bool:
    """Return whether two boxes have a point in common."""
    return all(one[axis] <= other[axis + 2] and other[axis] <= one[axis + 2] for axis in (0, 1))


def within(inner: Box, outer: Box, slack: float = 1e-6) -> bool:
    """Return whether a box lies in another one, by so many mm beside it at most."""
    return all(
        inner[axis] >= outer[axis] - slack and inner[axis + 2] <= outer[axis + 2] + slack
        for axis in (0, 1)
    )
