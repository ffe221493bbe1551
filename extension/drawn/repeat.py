# SPDX-License-Identifier: GPL-2.0-or-later
"""The design on the drawn cloth: thin lines of its repeat, and match points as open circles."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import shapely
from lxml import etree

from extension.drawn.frames import page_point
from extension.drawn.ink import INK, THIN_LINE, line_look
from extension.drawn.lettering import Anchor, line_width, text
from extension.drawn.marks import DrawnMark
from extension.job.matched import counts
from extension.pieces.model import DrawnPiece
from extension.svg.building import element, inkscape, path_data, style
from extension.svg.model import Matrix
from extension.svg.transforms import apply
from nesting.model import Point, Repeat

REPEAT_LINE = "#c4a873"
"""Lighter than a selvedge, darker than the cloth."""
FINEST = 5.0
"""mm: lines that are nearer to each other than this would fill the cloth, and are not drawn."""
RADIUS = 4.0
"""mm of the circle round a match point."""
LETTERS = 11.0
"""mm: font size of the name of its group."""

Box = tuple[float, float, float, float]
"""Low x, low y, high x, high y of cloth on the sheet, mm."""


def repeat_lines(
    repeat: Repeat, cloth: Box, lower: float, colour: str = REPEAT_LINE
) -> list[etree._Element]:
    """Return the dominant lines on a section of cloth, one element for each way.

    `lower` is where on the sheet y is 0 for the engine, at the lower selvedge, mm.
    """
    low_x, low_y, high_x, high_y = cloth
    found = []
    if repeat.across >= FINEST:
        rows = _heights(repeat, lower - high_y, lower - low_y, 0.0)
        runs = [((low_x, lower - y), (high_x, lower - y)) for y in rows]
        found.append(_lines("repeat across", runs, colour))
    if repeat.along >= FINEST:
        runs = []
        for low, high, shift in _strips(repeat, lower - high_y, lower - low_y):
            steps = range(math.floor((high_x - low_x - shift) / repeat.along) + 1)
            ends = (lower - high, lower - low)
            runs += [
                ((x, ends[0]), (x, ends[1]))
                for x in (low_x + shift + step * repeat.along for step in steps)
                if x <= high_x
            ]
        found.append(_lines("repeat along", runs, colour))
    return [one for one in found if one is not None]


def _heights(repeat: Repeat, low: float, high: float, share: float) -> list[float]:
    """Return the heights, mm, of the lines between two; `share` of a repeat above each."""
    first = repeat.first + share * repeat.across
    begin = math.ceil((low - first) / repeat.across)
    end = math.floor((high - first) / repeat.across)
    return [first + step * repeat.across for step in range(begin, end + 1)]


def _strips(repeat: Repeat, low: float, high: float) -> list[tuple[float, float, float]]:
    """Return strips of cloth from one height to the next, and how far their lines are shifted."""
    if not repeat.half_drop:
        return [(low, high, 0.0)]
    borders = [low, *_heights(repeat, low, high, 0.5), high]
    strips = []
    for one, other in pairwise(borders):
        row = round(((one + other) / 2.0 - repeat.first) / repeat.across)
        strips.append((one, other, (row % 2) * repeat.along / 2.0))
    return strips


def _lines(label: str, runs: list[tuple[Point, Point]], colour: str) -> etree._Element | None:
    """Return one path with all the lines of one way; None where there is none."""
    if not runs:
        return None
    data = " ".join(path_data(run, closed=False) for run in runs)
    look = style(line_look(colour, THIN_LINE))
    return element("path", {"d": data, inkscape("label"): label, "style": look})


def match_signs(
    drawn: DrawnPiece,
    part: shapely.Polygon,
    to_sheet: Matrix,
    repeat: Repeat | None,
    marks: Sequence[DrawnMark],
) -> tuple[DrawnMark, ...]:
    """Return the match points of a part: a small open circle each, and beside it its group.

    `part` is the outline on the sheet and `to_sheet` the map from the page. The names keep off
    other `marks` and the centre line, if they can.
    """
    points = [one.match for one in drawn.matched if repeat is not None and counts(one, repeat)]
    spots = [apply(to_sheet, page_point(match.point)) for match in points]
    circles = [_circle(*at) for at in spots]
    taken = [mark.area for mark in (*marks, *circles)]
    if drawn.fold is not None:
        ends = [apply(to_sheet, page_point(end)) for end in drawn.fold]
        taken.append(shapely.LineString(ends).buffer(1.0))
    found = []
    for match, at, circle in zip(points, spots, circles, strict=True):
        others = shapely.union_all([area for area in taken if area is not circle.area])
        words = _words(match.group, at, part, others)
        taken.append(words.area)
        found += [circle, words]
    return tuple(found)


def _circle(x: float, y: float) -> DrawnMark:
    """Return the circle of a match point."""
    look = style(line_look(INK, THIN_LINE))
    made = element("circle", {"cx": x, "cy": y, "r": RADIUS, "style": look})
    return DrawnMark(made, shapely.Point(x, y).buffer(RADIUS), is_text=False)


def _words(group: str, at: Point, part: shapely.Polygon, taken: shapely.Geometry) -> DrawnMark:
    """Return the name of a group beside its circle, where it lies on the part and on nothing else.

    Failing that, where most of it does.
    """
    x, y = at
    wide, space, rise = line_width(group, LETTERS), 1.5 * RADIUS, LETTERS / 2.0 + 1.5 * RADIUS
    middles = {
        "start": ((x + space, y), (x + space, y - rise), (x + space, y + rise)),
        "end": ((x - space, y), (x - space, y - rise), (x - space, y + rise)),
        "middle": ((x, y - rise), (x, y + rise)),
    }
    left: dict[Anchor, float] = {"start": 0.0, "end": wide, "middle": wide / 2.0}
    places: list[tuple[Anchor, Point, shapely.Polygon]] = [
        (anchor, (a, b), shapely.box(low, b - LETTERS / 2.0, low + wide, b + LETTERS / 2.0))
        for anchor, back in left.items()
        for a, b in middles[anchor]
        for low in [a - back]
    ]
    level = [one for one in places if one[1][1] == y]
    anchor, (a, b), box = min(
        [*level, *(one for one in places if one not in level)],
        key=lambda one: (
            round(one[2].difference(part).area, 1),
            round(one[2].intersection(taken).area, 1),
        ),
    )
    made = text([group], a, b + 0.35 * LETTERS, LETTERS, anchor=anchor)
    return DrawnMark(made, box, is_text=True)
