# SPDX-License-Identifier: GPL-2.0-or-later
"""The label of a part: upright, as large as fits, with a small arrow to the part's top."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import shapely
from lxml import etree

from extension.drawn.arrows import arrow
from extension.drawn.lettering import ASCENT, block_size, text
from extension.drawn.marks import DrawnMark
from extension.drawn.room import Room, room_in
from extension.plan import Cut
from nesting.model import Outline, Placement, Point

SIZES = (25.0, 22.0, 20.0, 18.0, 16.0, 14.0, 12.0, 11.0, 10.0, 9.0, 8.0)
"""Font sizes of labels, mm on the cloth; what does not fit at the last is a number."""
NUMBER_SIZES = (16.0, 14.0, 12.0, 10.0, 9.0, 8.0)
SMALL_SIZES = (7.0, 6.0, 5.0, 4.0)
ARROW_SIDES = (14.0, 12.0, 10.0, 8.0, 6.0)
EDGE_ROOM = 3.5
"""mm that a label keeps from the edge of its part; a number keeps a quarter of it."""

ARROW = 1.4
"""Side of the square that holds the arrow, in font sizes; a fifth of it stands free beside it."""


@dataclass(frozen=True, slots=True)
class Caption:
    """What a label says. `count` is like "1 of 2"."""

    title: str
    count: str
    flipped: bool
    top_certain: bool

    @property
    def line(self) -> str:
        """The part as one line: what the editor calls it in its list of objects."""
        words = f"{self.title}, {self.count}"
        return f"{words}, mirrored" if self.flipped else words

    @property
    def kind(self) -> str:
        """What parts with the same number have in common."""
        words = [self.title]
        if self.flipped:
            words.append("mirrored, printed side down")
        if not self.top_certain:
            words.append("top not certain")
        return ", ".join(words)


def caption_of(cut: Cut, placement: Placement, nap: bool) -> Caption:
    """Return what the label of a part says."""
    copies = " + ".join(map(str, placement.copies))
    return Caption(
        cut.title,
        f"{copies} of {cut.copies}",
        placement.flip,
        cut.drawn.top_certain or not nap,
    )


class Numbers:
    """Numbers for parts that are too small for their label, and the legend that explains them."""

    def __init__(self) -> None:
        self._kinds: dict[str, int] = {}

    def number_of(self, caption: Caption) -> str:
        """Return the number of a kind of part, a new one at its first use."""
        return str(self._kinds.setdefault(caption.kind, len(self._kinds) + 1))

    @property
    def legend(self) -> tuple[str, ...]:
        """One line for each number."""
        return tuple(f"{number} = {kind}" for kind, number in self._kinds.items())


def label(
    caption: Caption,
    outline: Outline,
    marks: Sequence[DrawnMark],
    turn: float,
    numbers: Numbers,
) -> list[etree._Element]:
    """Return the elements of a part's label. `outline` is the part on the sheet, mm."""
    clear = room_in(outline, [mark.area for mark in marks], EDGE_ROOM)
    block = _roomiest(clear, arrangements(caption))
    if block is not None:
        return [*block.arrow(turn), block.words()]
    number = numbers.number_of(caption)
    line = number if caption.top_certain else f"{number} ?"
    return _number(line, outline, marks, turn)


def arrangements(caption: Caption) -> dict[tuple[str, ...], float]:
    """Return the ways to break a label into lines, and how much each is liked.

    A way that is liked half as much is taken where its letters can be more than twice as large.
    """
    hand = ["mirrored", "printed side down"] if caption.flipped else []
    top = [] if caption.top_certain else ["top not certain"]
    counted = ", ".join([caption.count, *hand[:1]])
    words = " ".join([*hand, *top]).split()
    ways = (
        ([caption.title, counted, *hand[1:], *top], 1.0),
        ([caption.title, caption.count, *hand, *top], 0.95),
        ([", ".join([caption.title, counted, *hand[1:], *top])], 0.9),
        ([*caption.title.split(), caption.count, *hand, *top], 0.8),
        ([*caption.title.split(), caption.count, *words], 0.6),
    )
    liked: dict[tuple[str, ...], float] = {}
    for way, much in ways:
        liked.setdefault(tuple(way), much)
    return liked


@dataclass(frozen=True, slots=True)
class _Block:
    """Lines of text, with an arrow beside them if `pointed`, centred on a point."""

    lines: tuple[str, ...]
    size: float
    centre: Point
    pointed: bool = True

    @property
    def extent(self) -> tuple[float, float]:
        """Width and height, mm."""
        width, height = block_size(self.lines, self.size, bold_first=True)
        if not self.pointed:
            return width, height
        return width + 1.2 * ARROW * self.size, max(height, ARROW * self.size)

    @property
    def area(self) -> shapely.Geometry:
        """The box that is taken."""
        (x, y), (width, height) = self.centre, self.extent
        return shapely.box(x - width / 2.0, y - height / 2.0, x + width / 2.0, y + height / 2.0)

    def words(self) -> etree._Element:
        """Return the text, its first line bold."""
        width, height = block_size(self.lines, self.size, bold_first=True)
        middle = self.centre[0] + (self.extent[0] - width) / 2.0
        top = self.centre[1] - height / 2.0
        made = text(self.lines, middle, top + ASCENT * self.size, self.size, anchor="middle")
        made[0].set("style", "font-weight:bold")
        return made

    def arrow(self, turn: float) -> list[etree._Element]:
        """Return the arrow, drawn in the square left of the text."""
        side = ARROW * self.size
        x = self.centre[0] - self.extent[0] / 2.0 + side / 2.0
        return arrow((x, self.centre[1]), turn, side, self.size * 0.08)


def _roomiest(room: Room, ways: Mapping[tuple[str, ...], float]) -> _Block | None:
    """Return the label in the way in which it can be largest, likings counted."""
    found = [
        (block.size * liked, block)
        for way, liked in ways.items()
        if (block := _largest(room, _Block(way, 0.0, room.centre), SIZES))
    ]
    return max(found, key=lambda pair: pair[0])[1] if found else None


def _largest(room: Room, block: _Block, sizes: Sequence[float]) -> _Block | None:
    """Return a block at the largest size at which it fits."""
    for size in sizes:
        sized = replace(block, size=size)
        spot = room.spot(*sized.extent)
        if spot is not None:
            return replace(sized, centre=spot)
    return None


def _number(
    line: str, outline: Outline, marks: Sequence[DrawnMark], turn: float
) -> list[etree._Element]:
    """Return the number that stands for a label on a small part, and the arrow.

    They keep off every mark, apart from each other if need be; else they may cross lines, and
    where there is no room at all they stand in the middle.
    """
    margin = EDGE_ROOM / 4.0
    taken = [mark.area for mark in marks]
    clear = room_in(outline, taken, margin)
    block = _Block((line,), 0.0, clear.centre)
    together = _largest(clear, block, NUMBER_SIZES)
    if together is None:
        alone = _largest(clear, replace(block, pointed=False), (*NUMBER_SIZES, *SMALL_SIZES))
        if alone is not None:
            pointer = _arrow_alone(room_in(outline, [*taken, alone.area], margin), turn)
            if pointer:
                return [*pointer, alone.words()]
        letters = [mark.area for mark in marks if mark.is_text]
        for obstacles in (letters, []):
            room = room_in(outline, obstacles, margin)
            together = together or _largest(room, block, (*NUMBER_SIZES, *SMALL_SIZES))
    together = together or replace(block, size=SMALL_SIZES[-1])
    return [*together.arrow(turn), together.words()]


def _arrow_alone(room: Room, turn: float) -> list[etree._Element]:
    """Return the arrow where it fits by itself, or nothing."""
    for side in ARROW_SIDES:
        spot = room.spot(side, side)
        if spot is not None:
            return arrow(spot, turn, side, side * 0.06)
    return []
