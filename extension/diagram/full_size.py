# SPDX-License-Identifier: GPL-2.0-or-later
"""A layout in full size, for a projector or a plotter: dark lines on white, a grid, a test square.

Lengths are true millimetres; x runs from the cut end, y downwards from the upper selvedge of the
cloth spread out. Sections of folded cloth lie side by side, as on the drawn layer.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from lxml import etree

from extension.diagram.cloth import (
    LOWER_OF_REMNANT,
    UPPER_OF_REMNANT,
    Cloth,
    Rim,
    cloths_of,
    end_text,
)
from extension.diagram.lacking import lacking_text
from extension.diagram.on_cloth import on_cloth, signs_text
from extension.diagram.places import Place, places
from extension.diagram.rows import rows_in
from extension.diagram.section import bought_text, cautions_of, cloth_text, order_of
from extension.diagram.strong import BLACK, strengthened
from extension.drawn.arrows import arrow
from extension.drawn.ink import line_look
from extension.drawn.lettering import ASCENT, LINE_HEIGHT, text
from extension.drawn.lying import on_table
from extension.drawn.parts import parts
from extension.drawn.sheet import Sheet
from extension.job.plan import Plan
from extension.job.summary import allowance_line
from extension.job.tops import is_one_way
from extension.language.cautions import FULL_SIZE_CAUTIONS
from extension.language.units import MM_PER_INCH, System
from extension.layouts.checked import Checked, examined, layout_now, options_now
from extension.layouts.layers import LayoutLayer
from extension.svg.building import NSMAP, element, group, layer, path_data, style, svg
from extension.svg.document import Document
from extension.svg.leaves import read_leaves
from extension.svg.transforms import multiply, rotation, translation
from nesting.model import Layout, Point

GRID = "#8a8a8a"
_EDGE = 0.8
_THIN = 0.35
_GRID_DASH = (2.0, 4.0)
"""mm: lines of the cloth, of the grid, and the dots of the grid."""
_BLOCK = 180.0
"""mm left of the cut end for the test square and what is to be known."""
_AROUND = 45.0
"""mm beyond the cloth on the other sides."""
_TITLE, _WORDS, _SMALL = 9.0, 6.0, 5.0
_GAP = 8.0
_FOLD_DASH = (30.0, 6.0, 5.0, 6.0)
"""mm: dashes of a fold of the cloth."""
_HEAD = 14.0
"""mm: the arrow at the top of a grainline."""

_STEPS: dict[System, tuple[float, str, int, str]] = {
    "metric": (100.0, "10 cm", 10, "cm"),
    "imperial": (4.0 * MM_PER_INCH, "4 in", 4, "in"),
}
"""Side of the test square and step of the grid: mm, in words, as a number of units."""

_BEFORE = (
    "Print or project at 100 %, never “fit to page”.",
    "With a projector, measure the square again after every knock, in the middle and at the edges; "
    "mind its cable and its stand.",
)
"""Cautions for one large page, which is printed by a plotter or shown by a projector."""
_LICENCE = (
    "This shows the pattern in full size: pass it on only if the designer’s licence lets you."
)


@dataclass(frozen=True, slots=True)
class _Frame:
    """The page round the cloth, which reaches so far along and down from the origin, mm."""

    along: float
    down: float

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, width and height."""
        return -_BLOCK, -_AROUND, _BLOCK + self.along + _AROUND, self.down + 2.0 * _AROUND


@dataclass(frozen=True, slots=True)
class Known:
    """What is to be known of a layout in full size, in sentences; `bought` tells the length.

    `one_page` are cautions for one large page alone, `cautions` those for many small ones as well.
    """

    title: str
    bought: str
    lines: tuple[str, ...]
    one_page: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, eq=False, slots=True)
class Drawn:
    """A layout in full size: cloth and parts, and what is to be known.

    `along` and `down` are what the cloth takes from its corner at the origin, mm. `boxes` are those
    of the `parts`, low x, low y, high x, high y. `begin`, `end` and `upper` are what its ends and
    its upper edge are called.
    """

    known: Known
    system: System
    along: float
    down: float
    grounds: tuple[etree._Element, ...]
    parts: tuple[etree._Element, ...]
    boxes: tuple[tuple[float, float, float, float], ...]
    begin: str
    end: str
    upper: str


def drawn_full(document: Document, chosen: LayoutLayer) -> Drawn:
    """Return a layout in full size. Raises DrawingError when it is empty or breaks a rule."""
    checked = examined(document, read_leaves(document, include_layouts=True), chosen)
    cloths = cloths_of(options_now(checked), layout_now(checked))
    design = chosen.options.design
    laid = places(checked, cloths)
    sheet = _sheet(checked, laid)
    layout = sheet.layout
    spots = [(cloth, _corner(sheet, cloth)) for cloth in cloths]
    groups, boxes = _parts(sheet, laid)
    return Drawn(
        _known(checked, cloths, laid),
        cloths[0].system,
        max(corner[0] + cloth.length for cloth, corner in spots),
        max(corner[1] + cloth.width for cloth, corner in spots),
        (
            layer("grid", "grid", [_at(corner, _grid(one)) for one, corner in spots]),
            layer("design", "design", [_at(at, on_cloth(one, design)) for one, at in spots]),
            layer(
                "cloth", "cloth", [_at(at, _cloth(one, layout, sheet.plan)) for one, at in spots]
            ),
        ),
        tuple(groups),
        tuple(boxes),
        cloths[0].begin,
        end_text(cloths[-1]),
        cloths[0].upper.told,
    )


def full_size(document: Document, chosen: LayoutLayer) -> bytes:
    """Return a layout of a drawing as an SVG page in full size.

    Raises DrawingError when it is empty or breaks a rule.
    """
    drawn = drawn_full(document, chosen)
    block, bottom = _block(drawn.known, drawn.system)
    left, top, width, height = _Frame(drawn.along, max(bottom, drawn.down)).box
    view = f"{left:g} {top:g} {width:.6g} {height:.6g}"
    paper: dict[str, str | float] = {"x": left, "y": top, "width": width, "height": height}
    root = etree.Element(svg("svg"), nsmap=NSMAP)
    root.set("width", f"{width:.6g}mm")
    root.set("height", f"{height:.6g}mm")
    root.set("viewBox", view)
    root.extend(
        [
            page_title(drawn.known.title),
            layer("paper", "paper", [element("rect", {**paper, "style": "fill:#ffffff"})]),
            *drawn.grounds,
            layer("parts", "parts", drawn.parts),
            layer("words", "words", block),
        ]
    )
    return etree.tostring(root, encoding="UTF-8", xml_declaration=True)


def page_title(words: str) -> etree._Element:
    """Return the title of the page."""
    made = element("title", {})
    made.text = words
    return made


def _sheet(checked: Checked, laid: Sequence[Place]) -> Sheet:
    """Return the layout as it is drawn on a layer."""
    plan, options = checked.situation.plan, checked.layer.options
    assert plan is not None  # parts that are copies of something were found
    layout = layout_now(checked)
    return Sheet(
        0,
        plan,
        layout,
        options,
        options.bought(layout.length),
        summary=(),
        settings="",
        numbers={(one.cut.piece.id, one.copies): one.number for one in laid},
    )


def _corner(sheet: Sheet, cloth: Cloth) -> Point:
    """Return where the upper corner of a cloth lies at its cut end."""
    return sheet.start_of(cloth.section), sheet.width - cloth.high


def _at(corner: Point, elements: list[etree._Element]) -> etree._Element:
    """Return elements of one cloth, drawn from its upper corner, where it lies."""
    made = element("g", {"transform": f"translate({corner[0]:.6g} {corner[1]:.6g})"})
    made.extend(elements)
    return made


def _parts(
    sheet: Sheet, laid: Sequence[Place]
) -> tuple[list[etree._Element], list[tuple[float, float, float, float]]]:
    """Return the parts as they lie, with marks, numbers and names, and the box of each."""
    groups, _ = parts(sheet, "full")
    places_of = {(one.spot.piece, one.copies): one for one in laid}
    boxes = []
    for one, spot in zip(groups, sheet.layout.placements, strict=True):
        place = places_of[spot.piece, spot.copies]
        strengthened(one)
        one.extend(_grain_head(place, sheet))
        low_x, low_y, high_x, high_y = place.polygon.bounds
        x, y = sheet.start_of(place.cloth.section), sheet.width
        boxes.append((x + low_x, y - high_y, x + high_x, y - low_y))
    return groups, boxes


def _grain_head(place: Place, sheet: Sheet) -> list[etree._Element]:
    """Return an arrow at the end of a part's grainline that is the top of the piece.

    Its own heads are drawn with markers, which stay behind in the drawing.
    """
    (x0, y0), (x1, y1) = place.grain
    length = math.dist((x0, y0), (x1, y1))
    if not place.has_grainline or length < 1.0:
        return []
    size = min(_HEAD, length)
    share = size / 2.0 / length
    start = sheet.start_of(place.cloth.section)
    middle = (start + x1 - (x1 - x0) * share, sheet.width - (y1 - (y1 - y0) * share))
    return arrow(middle, math.degrees(math.atan2(y1 - y0, x1 - x0)), size, _EDGE)


def _grid(cloth: Cloth) -> list[etree._Element]:
    """Return lines across and along the cloth, counted from the cut end and the lower selvedge."""
    step, _, units, _ = _STEPS[cloth.system]
    look = style(line_look(GRID, _THIN, dash=_GRID_DASH))
    made = []
    for count in range(1, int(cloth.length / step) + 1):
        x = count * step
        made.append(_line((x, 0.0), (x, cloth.width), look))
        for y in (-_GAP / 2.0, cloth.width + _GAP / 2.0 + ASCENT * _SMALL):
            made.append(text([str(count * units)], x, y, _SMALL, anchor="middle", colour=BLACK))
    for count in range(1, int(cloth.width / step) + 1):
        y = cloth.width - count * step
        made.append(_line((0.0, y), (cloth.length, y), look))
        for x, anchor in ((-_GAP / 2.0, "end"), (cloth.length + _GAP / 2.0, "start")):
            base = y + 0.35 * _SMALL
            words = [str(count * units)]
            made.append(text(words, x, base, _SMALL, anchor=anchor, colour=BLACK))  # type: ignore[arg-type]
    return made


def _cloth(cloth: Cloth, layout: Layout, plan: Plan) -> list[etree._Element]:
    """Return the edges along it, both ends, where the layout ends, and which way the tops lie."""
    length, width = cloth.length, cloth.width
    look, thin = style(line_look(BLACK, _EDGE)), style(line_look(BLACK, _THIN, dash=(8.0, 4.0)))
    made = [*_along(cloth.upper, 0.0, -1.0, length), *_along(cloth.lower, width, 1.0, length)]
    ends = look if cloth.remnant is None else thin
    made += [_line((x, 0.0), (x, width), ends) for x in (0.0, length)]
    inner = {cloth.high - y for strip in cloth.double for y in strip}
    made += [_line((0.0, y), (length, y), thin) for y in sorted(inner) if 1.0 < y < width - 1.0]
    needed = layout.length if cloth.laid is None else on_table(cloth.laid)
    if cloth.remnant is not None:
        for ring in (cloth.remnant.outline, *cloth.remnant.holes):
            edge = path_data([(x, cloth.high - y) for x, y in ring], closed=True)
            made.append(element("path", {"d": edge, "style": look}))
    if length - needed > 1.0:
        made.append(_line((needed, 0.0), (needed, width), thin))
    under = width + _GAP + (1.0 + ASCENT) * _SMALL + ASCENT * _WORDS
    made.append(text([cloth.upper.name], 0.0, -_GAP - _SMALL, _WORDS, colour=BLACK))
    made.append(text([cloth.lower.name], 0.0, under, _WORDS, colour=BLACK))
    own = [one for one in layout.placements if (cloth.section or 1) == one.section]
    every = "all" if is_one_way(plan, own) else "not all"
    tops = f"nap: {every} tops to the {cloth.end}" if cloth.nap else "no nap"
    unit = _STEPS[cloth.system][3]
    made.append(_upwards(f"{cloth.begin} – {tops} – grid in {unit}", (-3.2 * _GAP, width / 2.0)))
    made.append(_upwards(end_text(cloth), (length + 3.2 * _GAP, width / 2.0)))
    return made


def _along(rim: Rim, y: float, outward: float, length: float) -> list[etree._Element]:
    """Return the line of an edge: a selvedge is a double one, a fold a heavy dash-dot one."""
    look = style(line_look(BLACK, _EDGE))
    if rim in (LOWER_OF_REMNANT, UPPER_OF_REMNANT):
        thin = style(line_look(BLACK, _THIN, dash=(8.0, 4.0)))
        return [_line((0.0, y), (length, y), thin)]
    if rim.is_fold:
        fold = style(line_look(BLACK, 3.0 * _EDGE, dash=_FOLD_DASH))
        at = y + 1.5 * _EDGE * outward
        return [_line((0.0, at), (length, at), fold)]
    offs = (0.0, 2.0 * outward)
    return [_line((0.0, y + off), (length, y + off), look) for off in offs]


def _known(checked: Checked, cloths: Sequence[Cloth], laid: Sequence[Place]) -> Known:
    """Return what is to be known of a layout."""
    plan, options = checked.situation.plan, checked.layer.options
    allowance = [allowance_line(plan, options)] if plan is not None else []
    orders = [
        order_of(checked, cloth, [one for one in laid if one.cloth is cloth]) for cloth in cloths
    ]
    signs = signs_text(cloths, options.design)
    said = (lacking_text(checked), cloth_text(checked, cloths), *orders, signs, *allowance)
    return Known(
        f"{checked.layer.name}, full size",
        bought_text(checked),
        tuple(filter(None, said)),
        _BEFORE,
        (_LICENCE, *cautions_of(cloths), *FULL_SIZE_CAUTIONS),
    )


def _block(known: Known, system: System) -> tuple[list[etree._Element], float]:
    """Return the test square and what is to be known, left of the cut end; where they end, mm."""
    side, words, _, _ = _STEPS[system]
    x, room = 12.0 - _BLOCK, _BLOCK - 12.0 - 5.0 * _GAP
    made: list[etree._Element] = []
    y = _said(made, [known.title], (x, 0.0), room, _TITLE, bold=True)
    y = _said(made, [known.bought], (x, y), room, _WORDS, bold=True)
    y = _said(made, known.lines, (x, y), room, _WORDS) + _GAP
    square: dict[str, str | float] = {"x": x, "y": y, "width": side, "height": side}
    made.append(
        element("rect", {**square, "id": "test-square", "style": style(line_look(BLACK, _EDGE))})
    )
    inside = ["Test square", f"{words} × {words}"]
    middle = y + side / 2.0
    made.append(text(inside, x + side / 2.0, middle, _TITLE, anchor="middle", colour=BLACK))
    check = f"Measure both sides before you cut: each must be exactly {words} long."
    y = _said(made, [check], (x, y + side + _GAP / 2.0), room, _WORDS, bold=True) + _GAP
    y = _said(made, ["Before you cut"], (x, y), room, _WORDS, bold=True)
    y = _said(made, (*known.one_page, *known.cautions), (x, y), room, _SMALL)
    return [group("known", "what is to be known", made)], y


def _said(
    into: list[etree._Element],
    lines: Sequence[str],
    at: Point,
    room: float,
    size: float,
    *,
    bold: bool = False,
) -> float:
    """Write lines, each broken to the room, from a corner downwards; return where they end."""
    x, y = at
    for line in lines:
        rows = rows_in(line, room, size, bold=bold)
        into.append(text(rows, x, y + ASCENT * size, size, bold=bold, colour=BLACK))
        y += (len(rows) + 0.3) * LINE_HEIGHT * size
    return y


def _line(start: Point, end: Point, look: str) -> etree._Element:
    """Return a straight line."""
    return element("path", {"d": path_data((start, end), closed=False), "style": look})


def _upwards(words: str, at: Point) -> etree._Element:
    """Return words that read upwards, the middle of their baseline at a point."""
    matrix = multiply(translation(*at), rotation(-90.0))
    return text([words], 0.0, 0.0, _WORDS, anchor="middle", matrix=matrix, colour=BLACK)
