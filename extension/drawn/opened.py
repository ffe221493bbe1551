# SPDX-License-Identifier: GPL-2.0-or-later
"""The words on a part that is opened out: what puts the piece on the fold is not among them.

The originals keep every word. On the part nothing may tell to fold: it is laid and cut whole.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely
from lxml import etree

from extension.drawn.copies import copied
from extension.drawn.frames import page_point
from extension.labels.unfolded import fold_letters, says_on_fold
from extension.pieces.model import DrawnPiece, Mark
from extension.pieces.outlines import drawn_lines
from extension.svg.identities import kind_of
from extension.svg.model import Leaf, Matrix
from extension.svg.texts import SILENT, is_line
from nesting.model import Point

NEAR = 2.5
"""Letters' heights from the fold edge within which a bare *fold* names that edge."""
_PLACES = ("x", "y", "dx", "dy", "rotate")
"""What may be given letter by letter."""


def opened_out(leaf: Leaf, drawn: DrawnPiece, to_sheet: Matrix) -> etree._Element:
    """Return the copy of a text on a part, without the words that say *on the fold* of a whole."""
    made = copied(leaf, to_sheet)
    start, gone = 0, _gone(leaf, drawn)
    for chunk in list(_chunks(made)) if gone else ():
        end = start + len(chunk.letters)
        chunk.without({index - start for index in gone})
        start = end
    return made


def has_words(leaf: Leaf, drawn: DrawnPiece) -> bool:
    """Return whether a text has any words on a part of its piece."""
    gone = _gone(leaf, drawn)
    return not gone or any(
        letter.isalnum() for index, letter in enumerate(_letters(leaf)) if index not in gone
    )


def _gone(leaf: Leaf, drawn: DrawnPiece) -> frozenset[int]:
    """Return which letters of a text are not on a part: none where nothing is opened out."""
    if drawn.fold is None or not _is_of_edge(leaf, drawn.fold, drawn.marks):
        return frozenset()
    return fold_letters(_letters(leaf))


def _letters(leaf: Leaf) -> str:
    """Return all letters of a text in their order."""
    return "".join(chunk.letters for chunk in _chunks(leaf.element))


def _is_of_edge(leaf: Leaf, fold: tuple[Point, Point], marks: Sequence[Mark]) -> bool:
    """Return whether what a text says of a fold is said of the fold edge.

    A bare *fold* may as well stand along another line, where a band is folded.
    """
    if says_on_fold(leaf.text):
        return True
    box = shapely.box(*leaf.box)
    low_x, low_y, high_x, high_y = leaf.box
    away = box.distance(shapely.LineString([page_point(end) for end in fold]))
    others = [
        box.distance(drawn_lines(mark.leaf))
        for mark in marks
        if mark.role == "mark" and mark.leaf.rings
    ]
    height = min(high_x - low_x, high_y - low_y)
    return bool(away <= min([NEAR * height, *others]))


@dataclass(frozen=True, slots=True)
class _Chunk:
    """Letters of a text between two tags: the text of a node, or its tail."""

    node: etree._Element
    is_tail: bool
    begins_line: bool

    @property
    def letters(self) -> str:
        """The letters, after a line break where they begin a line."""
        return "\n" * self.begins_line + self._own

    def without(self, gone: set[int]) -> None:
        """Take some of the letters out of the drawing; the others stay where they stand."""
        numbers = {index - self.begins_line for index in gone}
        kept = "".join(letter for index, letter in enumerate(self._own) if index not in numbers)
        if kept == self._own:
            return
        if self.is_tail:
            self.node.tail = kept
            return
        self.node.text = kept
        for name in _PLACES:
            words = self.node.get(name, "").replace(",", " ").split()
            if len(words) > 1:
                left = [word for index, word in enumerate(words) if index not in numbers]
                self.node.set(name, " ".join(left or words[:1]))

    @property
    def _own(self) -> str:
        return (self.node.tail if self.is_tail else self.node.text) or ""


def _chunks(element: etree._Element) -> Iterator[_Chunk]:
    """Yield the letters of a text in their order."""
    yield _Chunk(element, is_tail=False, begins_line=is_line(element))
    for child in element:
        if kind_of(child) and kind_of(child) not in SILENT:
            yield from _chunks(child)
        yield _Chunk(child, is_tail=True, begins_line=False)
