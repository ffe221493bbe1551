# SPDX-License-Identifier: GPL-2.0-or-later
"""The design on the drawn cloth: thin lines of its repeat, and match points as open circles."""

from __future__ import annotations

import math
from itertools import pairwise

import shapely
from lxml import etree

from extension.drawn.frames import page_point
from extension.drawn.ink import INK, THIN_LINE, line_look
from extension.drawn.lettering import text
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
LETTERS = 9.0
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
    drawn: DrawnPiece, part: shapely.Polygon, to_sheet: Matrix, repeat: Repeat | None
) -> tuple[DrawnMark, ...]:
    """Return the match points of a part: a small open circle each, and beside it its group.

    `part` is the outline on the sheet and `to_sheet` the map from the page.
    """
    if repeat is None:
        return ()
    found = []
    for point in drawn.matched:
        if counts(point, repeat):
            at = apply(to_sheet, page_point(point.match.point))
            found += [_circle(*at), _words(point.match.group, at, part)]
    return tuple(found)


def _circle(x: float, y: float) -> DrawnMark:
    """Return the circle of a match point."""
    look = style(line_look(INK, THIN_LINE))
    made = element("circle", {"cx": x, "cy": y, "r": RADIUS, "style": look})
    return DrawnMark(made, shapely.Point(x, y).buffer(RADIUS), is_text=False)


def _words(group: str, at: Point, part: shapely.Polygon) -> DrawnMark:
    """Return the name of a group, on that side of its circle where more of it lies on the part."""
    x, y = at
    wide, space = 0.6 * LETTERS * len(group), 1.5 * RADIUS
    boxes = {
        "start": shapely.box(x + space, y - LETTERS / 2.0, x + space + wide, y + LETTERS / 2.0),
        "end": shapely.box(x - space - wide, y - LETTERS / 2.0, x - space, y + LETTERS / 2.0),
    }
    if part.intersection(boxes["start"]).area >= part.intersection(boxes["end"]).area:
        made = text([group], x + space, y + 0.35 * LETTERS, LETTERS)
        return DrawnMark(made, boxes["start"], is_text=True)
    made = text([group], x - space, y + 0.35 * LETTERS, LETTERS, anchor="end")
    return DrawnMark(made, boxes["end"], is_text=True)
