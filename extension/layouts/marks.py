# SPDX-License-Identifier: GPL-2.0-or-later
"""The marks of a check: on a layer of its own, each fault with a number, and the list of them.

They have to be seen in black and white on a busy drawing: common areas are hatched, whole parts
get a bold dashed outline, both in black on a white edge; a number in a disc leads to the list.
"""

from __future__ import annotations

import math
from collections.abc import Container, Sequence
from dataclasses import dataclass

import shapely
from lxml import etree

from extension.drawn.earlier import marks_drawn_earlier
from extension.drawn.frames import about, transform_text
from extension.drawn.hatching import hatching
from extension.drawn.ink import INK, line_look
from extension.drawn.lettering import ASCENT, LINE_HEIGHT, line_width, text, wrapped
from extension.language.names import lay
from extension.layouts.frame import Frame, is_identity
from extension.layouts.situation import Finding
from extension.svg.building import FreeIds, element, group, layer, path_data, sodipodi, style
from extension.svg.decoration import declare, remove_all, take_layer_away
from extension.svg.document import Document
from extension.svg.transforms import apply_vector, inverse, multiply, rotation, translation
from nesting.judge.rules import named
from nesting.model import Point

LABEL = "Check"
"""What the editor calls the layer."""
MOST_MARKED = 60
"""Faults that are marked and listed; what is beyond is counted."""

BOLD, HATCH, LEADER = 2.0, 0.7, 1.0
"""mm: lines round faults, of hatching, and from a number to its fault."""
EDGE = 1.0
"""mm of white on each side of a bold line."""
SPACING = 5.0
"""mm between the lines of hatching; closer in small areas."""
SMALL = 24.0
"""mm: what is smaller is ringed, since its hatching would not be seen."""
DASH = (9.0, 5.0)
COLUMN = 900.0
"""mm: width of the list at letters of 25 mm."""


@dataclass(frozen=True, slots=True)
class List:
    """What is written beside the cloth: where (page mm), how large, the verdict, more lines.

    It is upright on the page however the layout was turned. `rows` is a table below the list, its
    cells as text.
    """

    at: Point
    letters: float
    title: str
    verdict: str
    lines: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...] = ()


def sweep(document: Document, kept: Container[str]) -> None:
    """Take the marks of earlier checks away, but those of layouts whose ids are to be kept.

    Marks of other commands are theirs; what she put on a layer of marks stays there.
    """
    reviews = [one for one in document.root.iter(etree.Element) if one.get(lay("review"))]
    for old in reviews:
        of = str(old.get(lay("review")))
        if of not in kept:
            take_layer_away(old, "check")
            remove_all(marks_drawn_earlier(old, f"{of}-check"))


def draw_marks(
    document: Document, layer_id: str, frame: Frame, findings: Sequence[Finding], listed: List
) -> etree._Element:
    """Add the layer with the marks of one layout to the document and return it.

    Earlier checks of the same layout have to be gone.
    """
    ids = FreeIds(document.root)
    prefix = f"{layer_id}-check"
    drawer = _Drawer(frame, listed.letters)
    for number, finding in enumerate(findings[:MOST_MARKED], start=1):
        drawer.draw(number, finding)
    marks = [group(f"{prefix}-{n}", f"{n} {kind}", parts) for n, kind, parts in drawer.groups]
    marks.append(group(f"{prefix}-numbers", "numbers", drawer.numbers))
    upright = multiply(inverse(frame.from_sheet), translation(*listed.at))
    words = group(f"{prefix}-list", "list", _list(listed, findings))
    words.set("transform", transform_text(upright))
    matrix = multiply(document.from_page, frame.from_sheet)
    # Locked, so that who clicks on a fault has the part below it, to move it away.
    attributes = {
        "transform": transform_text(matrix),
        lay("review"): layer_id,
        sodipodi("insensitive"): "true",
    }
    made = layer(prefix, LABEL, [*marks, words], attributes)
    declare([made], "check")
    for count, node in enumerate(made.iter(etree.Element), start=1):
        node.set("id", ids.take(node.get("id") or f"{prefix}-item-{count}"))
    document.root.append(made)
    return made


class _Drawer:
    """Draws the marks one by one, keeping their numbers apart; these go on top of all marks."""

    def __init__(self, frame: Frame, letters: float) -> None:
        self._frame = frame
        self._radius = 0.62 * letters
        along = apply_vector(frame.from_sheet, (1.0, 0.0))
        self._upright = rotation(-math.degrees(math.atan2(along[1], along[0])))
        self._taken: list[Point] = []
        self.groups: list[tuple[int, str, list[etree._Element]]] = []
        self.numbers: list[etree._Element] = []

    def draw(self, number: int, finding: Finding) -> None:
        """Draw the marks of a fault; one that lies nowhere (a missing part) has none."""
        places = [self._on_sheet(place) for place in finding.places if not place.is_empty]
        if not places:
            return
        whole = finding.kind not in named("outlines")
        drawn = [one for place in places for one in (_outlined(place) if whole else _area(place))]
        for place in places:
            self.numbers += self._number(number, place, whole)
        self.groups.append((number, finding.kind, drawn))

    def _on_sheet(self, geometry: shapely.Geometry) -> shapely.Geometry:
        """Return geometry of the engine's frame on the sheet."""
        width = self._frame.width
        return shapely.transform(geometry, lambda xy: xy * [1.0, -1.0] + [0.0, width])

    def _number(self, number: int, place: shapely.Geometry, whole: bool) -> list[etree._Element]:
        """Return the disc with a fault's number, beside it, and a line that leads there."""
        if whole:
            ring = place.exterior if place.geom_type == "Polygon" else place
            target = min(ring.coords, key=lambda xy: (xy[0] + xy[1], xy[0]))
            target = (float(target[0]), float(target[1]))
            reach = 0.9 * self._radius
        else:
            point = place.representative_point()
            target = (float(point.x), float(point.y))
            reach = 1.6 * self._radius + min(_extent(place), SMALL) / 2.0
        at = self._free_spot(target, reach)
        self._taken.append(at)
        radius = self._radius
        size = 1.15 * radius if number < 100 else 0.85 * radius
        look = style(line_look(INK, BOLD, fill="#ffffff"))
        turn = None if is_identity(self._upright) else about(at, self._upright)
        said, low = [str(number)], at[1] + 0.36 * size
        return [
            *_line([target, at], LEADER),
            element("circle", {"cx": at[0], "cy": at[1], "r": radius, "style": look}),
            text(said, at[0], low, size, anchor="middle", bold=True, matrix=turn),
        ]

    def _free_spot(self, target: Point, reach: float) -> Point:
        """Return a place near a point that no other number takes."""
        for ring in range(1, 8):
            for step in range(8):
                angle = math.radians(-45.0 + 45.0 * step)
                away = reach * ring
                spot = target[0] + away * math.cos(angle), target[1] + away * math.sin(angle)
                if all(math.dist(spot, other) >= 2.2 * self._radius for other in self._taken):
                    return spot
        return target


def _area(place: shapely.Geometry) -> list[etree._Element]:
    """Return an area hatched and outlined, or a line; what is small is ringed as well."""
    found: list[etree._Element] = []
    for part in shapely.get_parts(place):
        if part.is_empty:
            continue
        if part.geom_type == "Polygon":
            found += _line(_ring(part), BOLD, closed=True)
            found += _hatching(part)
        elif part.geom_type == "LineString":
            found += _line([(float(x), float(y)) for x, y in part.coords], BOLD)
    if _extent(place) < SMALL:
        low_x, low_y, high_x, high_y = place.bounds
        circle = {"cx": (low_x + high_x) / 2, "cy": (low_y + high_y) / 2, "r": 0.8 * SMALL}
        for colour, width in (("#ffffff", BOLD + 2 * EDGE), (INK, BOLD)):
            found.append(element("circle", {**circle, "style": style(line_look(colour, width))}))
    return found


def _outlined(place: shapely.Geometry) -> list[etree._Element]:
    """Return the bold dashed outline of a whole part."""
    return [
        one
        for part in shapely.get_parts(place)
        if part.geom_type == "Polygon" and not part.is_empty
        for one in _line(_ring(part), BOLD, closed=True, dash=DASH)
    ]


def _hatching(area: shapely.Polygon) -> list[etree._Element]:
    """Return oblique lines across an area, as one path."""
    spacing = min(SPACING, max(_extent(area) / 6.0, 0.5))
    strokes = hatching(area, spacing)
    if not strokes:
        return []
    data = " ".join(path_data(stroke, closed=False) for stroke in strokes)
    width = min(HATCH, 0.35 * spacing)
    return [element("path", {"d": data, "style": style(line_look(INK, width))})]


def _line(
    points: Sequence[Point], width: float, *, closed: bool = False, dash: tuple[float, ...] = ()
) -> list[etree._Element]:
    """Return a black line on a wider white one."""
    data = path_data(points, closed=closed)
    under = style(line_look("#ffffff", width + 2.0 * EDGE))
    over = style(line_look(INK, width, dash=dash))
    return [
        element("path", {"d": data, "style": under}),
        element("path", {"d": data, "style": over}),
    ]


def _ring(polygon: shapely.Polygon) -> list[Point]:
    """Return the outline of a polygon without its repeated last point."""
    return [(float(x), float(y)) for x, y in polygon.exterior.coords[:-1]]


def _extent(place: shapely.Geometry) -> float:
    """Return the longer side of a bounding box, mm."""
    low_x, low_y, high_x, high_y = place.bounds
    return float(max(high_x - low_x, high_y - low_y))


# --- the list -----------------------------------------------------------------------------------


def _list(listed: List, findings: Sequence[Finding]) -> list[etree._Element]:
    """Return the title, the verdict and the numbered faults, one below the other."""
    size = 0.72 * listed.letters
    column = COLUMN * listed.letters / 25.0
    baseline = ASCENT * 1.4 * listed.letters
    made = [text([listed.title], 0.0, baseline, 1.4 * listed.letters, bold=True)]
    baseline += 1.6 * listed.letters
    rows = wrapped(listed.verdict, column, listed.letters)
    made.append(text(rows, 0.0, baseline, listed.letters, bold=True))
    baseline += (len(rows) * LINE_HEIGHT + 0.2) * listed.letters
    indent = 2.6 * size
    for number, finding in enumerate(findings[:MOST_MARKED], start=1):
        rows = wrapped(f"{finding.sentence}.", column - indent, size)
        made.append(
            text(
                [str(number)],
                indent - 0.6 * size,
                baseline,
                size,
                anchor="end",
                bold=True,
            )
        )
        made.append(text(rows, indent, baseline, size))
        baseline += (len(rows) * LINE_HEIGHT + 0.2) * size
    more = len(findings) - MOST_MARKED
    lines = [f"And {more} more faults.", *listed.lines] if more > 0 else [*listed.lines]
    for line in lines:
        rows = wrapped(line, column, size)
        made.append(text(rows, 0.0, baseline, size))
        baseline += (len(rows) * LINE_HEIGHT + 0.2) * size
    return [*made, *_table(listed, baseline + size, size)]


def _table(listed: List, baseline: float, size: float) -> list[etree._Element]:
    """Return the rows of a table, its columns as wide as their widest cell."""
    if not listed.rows:
        return []
    made, x = [], 0.0
    for column in zip(*listed.rows, strict=True):
        made.append(text(list(column), x, baseline, size))
        x += max(line_width(cell, size) for cell in column) + 1.5 * size
    return made
