# SPDX-License-Identifier: GPL-2.0-or-later
"""Parts that stay where they are: drawn again from their own elements, number for number.

What was drawn is copied as it stands, under the same transforms, so that no coordinate of it
changes; only the label is written anew, because counts and numbers may have.
"""

from __future__ import annotations

import copy
from collections.abc import Sequence
from dataclasses import dataclass, replace

from lxml import etree

from extension.drawn.frames import transform_text
from extension.svg.building import element
from extension.svg.transforms import translation


@dataclass(frozen=True, eq=False, slots=True)
class Kept:
    """The elements of a part: its outline, and its marks (none when it was ungrouped).

    `transforms` are those of everything round them, as written, from the sheet inwards. `start` is
    where the section of the cloth that it lies on begins on its sheet, mm.
    """

    outline: etree._Element
    marks: tuple[etree._Element, ...]
    transforms: tuple[str, ...]
    start: float = 0.0

    def moved_along(self, start: float) -> Kept:
        """Return the part for a sheet on which its section begins somewhere else."""
        if start == self.start:
            return self
        along = transform_text(translation(start - self.start, 0.0))
        return replace(self, transforms=(along, *self.transforms), start=start)

    def outline_again(self, facts: dict[str, str]) -> etree._Element:
        """Return the outline as it was, with the notes of a part of the new layout."""
        again = _bare(self.outline)
        for name, value in facts.items():
            again.set(name, value)
        return again

    def marks_again(self) -> list[etree._Element]:
        """Return the marks as they were."""
        return [_bare(mark) for mark in self.marks]

    def wrapped(self, inside: Sequence[etree._Element]) -> list[etree._Element]:
        """Return elements under the transforms that were round the part."""
        found = list(inside)
        for text in reversed(self.transforms):
            found = [element("g", {"transform": text}, found)]
        return found


def _bare(node: etree._Element) -> etree._Element:
    """Return a deep copy without ids: they are given anew."""
    twin = copy.deepcopy(node)
    twin.tail = None
    for one in twin.iter(etree.Element):
        one.attrib.pop("id", "")
    return twin
