# SPDX-License-Identifier: GPL-2.0-or-later
"""The number and name of each part on the picture: inside it, or beside it with a leader."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import shapely

from extension.diagram.shapes import MARGINS, Picture, Shape
from extension.drawn.lettering import ASCENT, DESCENT, line_width
from extension.drawn.room import Room, room_in, visual_centre
from nesting.model import Point

SMALLEST = 3.6
"""mm: font size below which no number and no distance is written, so that its digits are 2.5 mm
high, to be read at arm's length: in common sans-serif faces they are 0.70 to 0.73 of it (Segoe UI,
Arial, DejaVu Sans; from memory)."""
SMALLEST_NAME = 2.6
"""mm: nothing on the picture is smaller (7 pt is 2.5 mm)."""
NUMBER_SIZES = (4.5, 4.0, SMALLEST)
NAME_SHARE = 0.6
EDGE, CLEAR = 0.5, 0.5
"""mm that words keep from the outline, and from lines."""
HEAD = 1.2
"""mm that words keep from a grainline, whose head is 2 mm wide."""
REACH = 30.0
"""mm round a small part within which its number is wanted."""
SELVEDGE_WORDS = 5.5
"""mm outside the cloth that the words along the selvedges take."""
TWICE = "×2"
"""Behind the number of a part that lies on two layers."""
_TRIES = 6
"""Places for words beside their part that are tried: a leader may run through other words."""
_LINE = 1.15
"""From one baseline to the next, in font sizes of the lower line."""


@dataclass(frozen=True, slots=True)
class Row:
    """A line of words of a caption."""

    text: str
    size: float

    @property
    def width(self) -> float:
        """How wide it is, mm; the number is bold."""
        return line_width(self.text, self.size, bold=True)


@dataclass(frozen=True, eq=False, slots=True)
class Caption:
    """The words of a part, centred at `at`; with a leader to the part when they stand outside.

    `across` says that they stand on the grainline, which gives way behind them; `over` that they
    stand on other parts, for want of room, whose lines give way.
    """

    shape: Shape
    rows: tuple[Row, ...]
    at: Point
    leader: shapely.LineString | None = None
    across: bool = False
    over: bool = False

    @property
    def box(self) -> shapely.Polygon:
        """The room that the words take."""
        (x, y), (width, height) = self.at, _extent(self.rows)
        return shapely.box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)

    def baselines(self) -> Iterator[tuple[Row, float]]:
        """Yield the rows with their baselines."""
        y = self.at[1] - _extent(self.rows)[1] / 2.0
        for place, row in enumerate(self.rows):
            y += (ASCENT if place == 0 else _LINE) * row.size
            yield row, y


def captions(picture: Picture, lines: Sequence[shapely.LineString]) -> list[Caption]:
    """Return the captions in the order of the parts; they keep clear of `lines`, if they can."""
    around = shapely.union_all([line.buffer(CLEAR) for line in lines])
    inside = [_inside(one, around) for one in picture.shapes]
    placed = [caption for caption in inside if caption is not None]
    found = []
    for shape, caption in zip(picture.shapes, inside, strict=True):
        if caption is None:
            caption = _outside(shape, picture, lines, placed)
            placed.append(caption)
        found.append(caption)
    return found


def _extent(rows: Sequence[Row]) -> tuple[float, float]:
    """Return width and height of rows, mm."""
    height = (ASCENT * rows[0].size) + sum(_LINE * row.size for row in rows[1:])
    return max(row.width for row in rows), height + DESCENT * rows[-1].size * (len(rows) > 1)


def _number(shape: Shape) -> str:
    """Return the number of a part, with the signs of what is opened out or cut twice at once."""
    opened = "*" if shape.place.is_opened else ""
    twice = f" {TWICE}" if shape.place.spot.layers > 1 else ""
    return f"{shape.place.number}{opened}{twice}"


def _ways(shape: Shape) -> Iterator[tuple[Row, ...]]:
    """Yield the ways to write a caption, the best first."""
    number, title = _number(shape), shape.place.cut.title
    for size in NUMBER_SIZES:
        small = max(NAME_SHARE * size, SMALLEST_NAME)
        for lines in dict.fromkeys(((title,), tuple(title.split()))):
            yield Row(number, size), *(Row(line, small) for line in lines)
    for size in NUMBER_SIZES:
        yield (Row(number, size),)


def _inside(shape: Shape, around: shapely.Geometry) -> Caption | None:
    """Return the caption of a part inside it, None when there is no room."""
    outline = tuple((float(x), float(y)) for x, y in shape.laid.exterior.coords[:-1])
    own = [shape.grainline.buffer(HEAD)]
    near = around.intersection(shape.laid.envelope)
    for obstacles in ([*own, near], own, []):
        room = room_in(outline, obstacles, EDGE)
        for rows in _ways(shape):
            spot = room.spot(*_extent(rows))
            # Words across the grainline are a makeshift: the number alone.
            if spot is not None and (obstacles or len(rows) == 1):
                return Caption(shape, rows, spot, across=not obstacles)
    return None


def _outside(
    shape: Shape,
    picture: Picture,
    lines: Sequence[shapely.LineString],
    others: Sequence[Caption],
) -> Caption:
    """Return the caption of a small part beside it: on free cloth, or else beside the cloth."""
    rows = (Row(_number(shape), SMALLEST),)
    left, right, above, below = MARGINS
    (length, width), centre = picture.size, visual_centre(shape.laid)
    x, y = centre
    words = [one.box for one in others]
    leaders = [one.leader for one in others if one.leader is not None]
    parts = [*(one.outline for one in picture.shapes), *picture.others]
    taken = [*words, *(line.buffer(CLEAR) for line in leaders)]
    free = [*parts, *(line.buffer(CLEAR) for line in lines), *taken]
    near = shapely.box(x - REACH, y - REACH, x + REACH, y + REACH)
    on_cloth = shapely.box(0.0, 0.0, length, width)
    whole = shapely.box(-left, -above, length + right, width + below)
    # The words along the edges of the cloth stand there.
    edges = [on_cloth.buffer(SELVEDGE_WORDS).difference(on_cloth), shapely.box(-left, 0, 0, width)]
    fields = (
        (near & on_cloth, free),
        (near & whole, [*free, *edges]),
        (whole, [*free, *edges]),
        # For want of room on other parts, but not on their words.
        (near & on_cloth, [shape.laid, *taken]),
        (near & on_cloth, taken),
        (on_cloth, words),
    )
    for tried, (field, kept) in enumerate(fields):
        found = _clear(Caption(shape, rows, centre, over=tried > 2), field, kept, words)
        if found is not None:
            return found
    made = Caption(shape, rows, centre, over=True)
    return replace(made, leader=_leader(made, centre))


def _clear(
    caption: Caption,
    field: shapely.Polygon,
    taken: Sequence[shapely.Geometry],
    words: Sequence[shapely.Polygon],
) -> Caption | None:
    """Return words in a field outside what is taken whose leader runs through no other words.

    None when there is no such place near the centre of their part, where `caption` stands.
    """
    kept, centre = list(taken), caption.at
    for _ in range(_TRIES):
        spot = _room(field, kept, centre).spot(*_extent(caption.rows))
        if spot is None:
            return None
        made = replace(caption, at=spot)
        leader = _leader(made, centre)
        if not any(leader.intersects(box) for box in words):
            return replace(made, leader=leader)
        kept.append(made.box)
    return None


def _room(field: shapely.Polygon, taken: Sequence[shapely.Geometry], centre: Point) -> Room:
    """Return the room of a field outside what is taken, seen from a part's centre."""
    corners = tuple((float(a), float(b)) for a, b in field.exterior.coords[:-1])
    near = [one for one in taken if one.intersects(field)]
    return replace(room_in(corners, near, CLEAR), centre=centre)


def _leader(caption: Caption, to: Point) -> shapely.LineString:
    """Return the line from the words to the part."""
    edge = caption.box.buffer(0.3).exterior
    start = edge.interpolate(edge.project(shapely.Point(to)))
    return shapely.LineString(((float(start.x), float(start.y)), to))
