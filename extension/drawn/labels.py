# SPDX-License-Identifier: GPL-2.0-or-later
"""The label of a part: upright, as large as fits, with a small arrow to the part's top."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

import shapely
from lxml import etree

from extension.drawn.arrows import arrow
from extension.drawn.lettering import ASCENT, block_size, text
from extension.drawn.marks import DrawnMark
from extension.drawn.room import Room, Rooms
from extension.job.plan import Cut
from extension.language.words import letter_of
from nesting.cloth.hands import hands_of, has_no_hand
from nesting.model import Outline, Placement, Point

Obstacles = Literal["marks", "letters", "nothing"]

SIZES = (25.0, 22.0, 20.0, 18.0, 16.0, 14.0, 12.0, 11.0, 10.0, 9.0, 8.0)
"""Font sizes of labels, mm on the cloth; what does not fit at the last is a letter."""
NUMBER_SIZES = (16.0, 14.0, 12.0, 10.0, 9.0, 8.0)
SMALL_SIZES = (7.0, 6.0, 5.0, 4.0)
ARROW_SIDES = (14.0, 12.0, 10.0, 8.0, 6.0)
EDGE_ROOM, NUMBER_ROOM = 3.5, 1.0
"""mm that a label, and a number, keeps from the edge of its part."""

ON_THE_FOLD = "on the fold"
"""How a half lies; in full, of the cloth, that is told wherever there is room."""
AIR = 0.3
"""How far words stay from what is beside them, in font sizes; half of it above and below."""
ARROW = 1.4
"""Side of the square that holds the arrow, in font sizes; a fifth of it stands free beside it."""


@dataclass(frozen=True, slots=True)
class Caption:
    """What a label says. `count` is like "1 of 2".

    `cuts` is what is different on folded cloth: that two are cut at once, or where a half lies.
    `number` is what a cutting diagram calls the part, if it is one's: it stands before the title,
    and alone on a part that is too small for words.
    """

    title: str
    count: str
    flipped: bool
    top_certain: bool
    number: str = ""
    cuts: str = ""

    @property
    def told(self) -> list[str]:
        """What is said behind the title of how many it is, a line each."""
        return [words for words in (self.cuts, self.count) if words]

    @property
    def line(self) -> str:
        """The part as one line: what the editor calls it in its list of objects."""
        words = ", ".join([self.title, *self.told])
        return f"{words}, printed side down" if self.flipped else words

    @property
    def kind(self) -> str:
        """What parts with the same number have in common."""
        words = [self.title, *([self.cuts] if self.cuts else [])]
        if self.flipped:
            words.append("printed side down")
        if not self.top_certain:
            words.append("top not certain")
        return ", ".join(words)


def caption_of(cut: Cut, placement: Placement, nap: bool, number: str = "") -> Caption:
    """Return what the label of a part says."""
    cuts = cuts_words(cut, placement)
    count = f"{' + '.join(map(str, placement.copies))} of {cut.of}"
    if number:  # which tells them apart already, counted from the cut end
        count = f"one of {cut.of}" if cut.of > 1 else "cut 1"
    if cut.of == placement.layers and (placement.layers > 1 or placement.on_fold):
        count = ""
    return Caption(
        f"{number} {cut.title}".strip(),
        count,
        placement.flip,
        cut.drawn.top_certain or not nap,
        number,
        cuts,
    )


def cuts_words(cut: Cut, placement: Placement) -> str:
    """Return what is said of a part because of how the cloth is folded under it."""
    if placement.on_fold:
        return ON_THE_FOLD
    if placement.layers < 2:
        return ""
    hands = {hands_of(cut.piece, copy)[0] for copy in placement.copies}
    return "cuts 2, a pair" if len(hands) > 1 and not has_no_hand(cut.piece) else "cuts 2"


@dataclass(frozen=True, eq=False, slots=True)
class Face:
    """A part as its label sees it: where it lies on the sheet, its marks, which way its top is.

    Faces of the same `kind` differ by nothing but their place. `turn` is the direction of the
    top in the engine's frame, degrees.
    """

    kind: object
    outline: Outline
    marks: tuple[DrawnMark, ...]
    turn: float

    def clear_of(self, what: Obstacles, margin: float, rooms: Rooms) -> Room:
        """Return the room off all marks, off letters only, or anywhere in the part."""
        areas = [mark.area for mark in self.marks if what == "marks" or mark.is_text]
        kind = (self.kind, what, margin)
        return rooms.room(kind, self.outline, areas if what != "nothing" else [], margin)


class Labels:
    """Writes the labels of one layout: letters and rooms are shared by its parts."""

    def __init__(self) -> None:
        self._letters: dict[str, str] = {}
        self._rooms = Rooms()

    @property
    def legend(self) -> tuple[str, ...]:
        """What the letters on small parts mean, one line for each."""
        return tuple(f"{letter} = {kind}" for kind, letter in self._letters.items())

    def label(self, caption: Caption, face: Face) -> list[etree._Element]:
        """Return the elements of a part's label: words in full, or else a letter."""
        clear = face.clear_of("marks", EDGE_ROOM, self._rooms)
        block = _roomiest(clear, arrangements(caption))
        if block is not None:
            return [*block.arrow(face.turn), block.words()]
        number = caption.number or self._letter_of(caption.kind)
        line = number if caption.top_certain else f"{number} ?"
        return self._number(line, face)

    def shown(self, caption: Caption, face: Face) -> Face:
        """Return a face as it is drawn: without the designer's label where ours is said in full.

        A part that is too small for the words of ours keeps that label beside its letter.
        """
        others = tuple(mark for mark in face.marks if not mark.is_label)
        if len(others) == len(face.marks):
            return face
        bare = replace(face, kind=(face.kind, "without its label"), marks=others)
        clear = bare.clear_of("marks", EDGE_ROOM, self._rooms)
        return face if _roomiest(clear, arrangements(caption)) is None else bare

    def _letter_of(self, kind: str) -> str:
        """Return the letter of a kind of small part, a new one for a new kind.

        It is no number, because those are the diagram's, which counts all parts from the cut end.
        """
        return self._letters.setdefault(kind, letter_of(len(self._letters)))

    def _number(self, line: str, face: Face) -> list[etree._Element]:
        """Return the number that stands for a label on a small part, and the arrow.

        They keep off every mark, apart from each other if need be; else they may cross lines,
        and where there is no room at all they stand in the middle.
        """
        clear = face.clear_of("marks", NUMBER_ROOM, self._rooms)
        block = _Block((line,), SMALL_SIZES[-1], clear.centre)
        found = _largest(clear, block, NUMBER_SIZES)
        if found is None:
            apart = self._number_and_arrow(clear, block, face)
            if apart:
                return apart
        for what in ("letters", "nothing"):
            room = face.clear_of(what, NUMBER_ROOM, self._rooms)
            found = found or _largest(room, block, (*NUMBER_SIZES, *SMALL_SIZES))
        found = found or block
        return [*found.arrow(face.turn), found.words()]

    def _number_and_arrow(self, clear: Room, block: _Block, face: Face) -> list[etree._Element]:
        """Return number and arrow each at a place of its own, or nothing."""
        alone = _largest(clear, replace(block, pointed=False), (*NUMBER_SIZES, *SMALL_SIZES))
        if alone is None:
            return []
        kind = (face.kind, "beside its number", alone.size)
        areas = [*(mark.area for mark in face.marks), alone.area]
        room = self._rooms.room(kind, face.outline, areas, NUMBER_ROOM)
        for side in ARROW_SIDES:
            spot = room.spot(side, side)
            if spot is not None:
                return [*arrow(spot, face.turn, side, side * 0.06), alone.words()]
        return []


class Way(NamedTuple):
    """A label in lines, of which the first `bold` are the name of the piece, and stand out."""

    lines: tuple[str, ...]
    bold: int


def arrangements(caption: Caption) -> dict[Way, float]:
    """Return the ways to break a label into lines, and how much each is liked.

    A way that is liked half as much is taken where its letters can be more than twice as large.
    """
    hand = ["printed side down"] if caption.flipped else []
    top = [] if caption.top_certain else ["top not certain"]
    words, names = " ".join([*hand, *top]).split(), caption.title.split()
    ways = (
        ([caption.title, *caption.told, *hand, *top], 1, 1.0),
        ([", ".join([caption.title, *caption.told, *hand, *top])], 1, 0.9),
        ([*names, *caption.told, *hand, *top], len(names), 0.8),
        ([*names, *caption.told, *words], len(names), 0.6),
        # Bold letters are wider: a name that is none of them is better than a letter for it.
        *([([*names, *caption.told, *hand, *top], 0, 0.5)] if len(names) > 1 else []),
    )
    liked: dict[Way, float] = {}
    for lines, bold, much in ways:
        liked.setdefault(Way(tuple(lines), bold), much)
    return liked


@dataclass(frozen=True, slots=True)
class _Block:
    """Lines of text, the first of them `bold`, centred on a point.

    An arrow stands beside them if it is `pointed`.
    """

    lines: tuple[str, ...]
    size: float
    centre: Point
    pointed: bool = True
    bold: int = 1

    @property
    def extent(self) -> tuple[float, float]:
        """Width and height, mm."""
        width, height = block_size(self.lines, self.size, bold=self.bold)
        if not self.pointed:
            return width, height
        return width + 1.2 * ARROW * self.size, max(height, ARROW * self.size)

    @property
    def area(self) -> shapely.Geometry:
        """The box that is taken."""
        (x, y), (width, height) = self.centre, self.extent
        return shapely.box(x - width / 2.0, y - height / 2.0, x + width / 2.0, y + height / 2.0)

    def words(self) -> etree._Element:
        """Return the text, the name in it bold."""
        width, height = block_size(self.lines, self.size, bold=self.bold)
        middle = self.centre[0] + (self.extent[0] - width) / 2.0
        top = self.centre[1] - height / 2.0
        made = text(self.lines, middle, top + ASCENT * self.size, self.size, anchor="middle")
        for row in range(self.bold):
            made[row].set("style", "font-weight:bold")
        return made

    def arrow(self, turn: float) -> list[etree._Element]:
        """Return the arrow, drawn in the square left of the text."""
        side = ARROW * self.size
        x = self.centre[0] - self.extent[0] / 2.0 + side / 2.0
        return arrow((x, self.centre[1]), turn, side, self.size * 0.08)


def _roomiest(room: Room, ways: Mapping[Way, float]) -> _Block | None:
    """Return the label in the way in which it can be largest, likings counted."""
    found = [
        (block.size * liked, block)
        for way, liked in ways.items()
        if (block := _largest(room, _Block(way.lines, 0.0, room.centre, bold=way.bold), SIZES, AIR))
    ]
    return max(found, key=lambda pair: pair[0])[1] if found else None


def _largest(room: Room, block: _Block, sizes: Sequence[float], air: float = 0.0) -> _Block | None:
    """Return a block at the largest size at which it fits with `air` font sizes beside it."""
    for size in sizes:
        sized = replace(block, size=size)
        width, height = sized.extent
        spot = room.spot(width + 2.0 * air * size, height + air * size)
        if spot is not None:
            return replace(sized, centre=spot)
    return None
