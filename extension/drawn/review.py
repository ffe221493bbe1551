# SPDX-License-Identifier: GPL-2.0-or-later
"""The review layer: every piece tinted by its state, and beside the drawing what was read.

A piece that is complete has a light tint and a tick; one to look at is hatched as well and bears a
question mark, so that the two differ in black and white too.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from lxml import etree
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from extension.drawn.earlier import marks_drawn_earlier
from extension.drawn.frames import transform_text
from extension.drawn.hatching import hatching
from extension.drawn.ink import INK, Look, line_look
from extension.drawn.lettering import LINE_HEIGHT, text, wrapped
from extension.drawn.place import boxes_of_all
from extension.drawn.suggested import drawn_matches
from extension.language.names import lay
from extension.markings.listing import Entry, entries
from extension.markings.proposals import Proposal, Proposals
from extension.pieces.outlines import drawn_lines
from extension.pieces.stand_ins import with_stand_ins
from extension.svg.building import FreeIds, element, group, layer, path_data, sodipodi, style
from extension.svg.decoration import Kind, declare, remove_all, take_layer_away
from extension.svg.document import Document
from extension.svg.model import Leaf
from nesting.geometry.inscribed import widest_disc
from nesting.model import Point

COMPLETE, LOOK = "#3c8dbc", "#e0a030"
"""Tints: blue and amber, told apart by those who see no red and green."""
OPACITY = 0.2
HATCH = 11.3
"""mm between two lines of the hatching."""
RADIUS = (3.0, 10.0)
"""mm of a sign, least and most."""
MOST_EXTENT = 1e6
"""mm; in what is larger, which is no piece, no place is looked for."""
GAP = 40.0
"""mm between the drawing and the list beside it."""
COLUMN = 56.0
"""Font sizes that the list is wide."""
LETTERS = (5.0, 12.0)
"""mm of the list's letters, by the size of the drawing."""
NAME = "thriftlay-review"
OF_MARKINGS: Kind = "markings"
"""What `lay:review` says of this layer; the review of a layout names the layout instead."""


def draw_review(document: Document, leaves: Sequence[Leaf], proposals: Proposals) -> None:
    """Replace the review layer of a drawing by one for these proposals.

    `leaves` are what is drawn; the list stands to the left of it, where no layout is put.
    """
    _remove_review(document)
    ids = FreeIds(document.root)
    drawn = _Drawn(with_stand_ins(leaves))
    tints = [_tinted(piece, proposals.pieces, drawn) for piece in proposals.pieces]
    made = layer(
        NAME,
        "Review of what was read",
        [
            group(f"{NAME}-pieces", "pieces", tints),
            group(f"{NAME}-unclosed", "not closed", [*map(_unclosed, proposals.unclosed)]),
            group(f"{NAME}-crossings", "crossings", [*map(_crossing, proposals.crossings)]),
            group(f"{NAME}-matches", "match points", drawn_matches(proposals)),
            _list(document, leaves, proposals),
        ],
        {
            "transform": transform_text(document.from_page),
            lay("review"): OF_MARKINGS,
            # Clicks reach the pieces underneath.
            sodipodi("insensitive"): "true",
        },
    )
    declare([made], OF_MARKINGS)
    for count, node in enumerate(made.iter(etree.Element), start=1):
        node.set("id", ids.take(node.get("id") or f"{NAME}-item-{count}"))
    document.root.append(made)


def _remove_review(document: Document) -> None:
    """Take the reviews of earlier runs away; what she put on their layers stays there."""
    for old in [one for one in document.root.iter(etree.Element) if _is_review(one)]:
        take_layer_away(old, OF_MARKINGS)
        remove_all(marks_drawn_earlier(old, NAME))


def _is_review(node: etree._Element) -> bool:
    """Return whether an element is the layer of a review of markings."""
    return node.get(lay("review")) == OF_MARKINGS


def _tinted(piece: Proposal, every: Sequence[Proposal], drawn: _Drawn) -> etree._Element:
    """Return the tint, hatching and sign of one piece."""
    smaller = _smaller(piece, every)
    ring = piece.shape.polygon
    for other in smaller:
        ring = ring.difference(other.shape.polygon)
    colour = COMPLETE if piece.is_complete else LOOK
    look: Look = {
        "fill-rule": "evenodd",
        "fill": colour,
        "fill-opacity": OPACITY,
        "stroke": colour,
        "stroke-width": 1.2,
    }
    # Sizes within each other: each is tinted where no smaller one is, and one sign may do for all.
    data = _data(ring)
    parts = [element("path", {"d": data, "style": style(look)})] if data else []
    if not piece.is_complete:
        parts += _hatched(ring)
    if not smaller or any(other.is_complete != piece.is_complete for other in smaller):
        centre, radius = _room(piece, smaller, drawn)
        parts += _sign(centre, radius, piece.is_complete)
    words = piece.listed + (f" {piece.size}" if piece.size else "")
    state = "complete" if piece.is_complete else "needs a look"
    return group("", f"{words}: {state}", parts)


def _unclosed(words: BaseGeometry) -> etree._Element:
    """Return the sign round a label that stands within an outline which is not closed."""
    low_x, low_y, high_x, high_y = words.buffer(RADIUS[0]).bounds
    box: dict[str, str | float] = {
        "x": low_x, "y": low_y, "width": high_x - low_x, "height": high_y - low_y,
        "style": style(line_look(LOOK, 1.2) | {"stroke-dasharray": "5,3"}),
    }  # fmt: skip
    radius = float(np.clip(0.5 * (high_y - low_y), *RADIUS))
    sign = _sign((high_x, low_y), radius, complete=False)
    return group("", "the outline round this is not closed", [element("rect", box), *sign])


def _crossing(place: Point) -> etree._Element:
    """Return the sign round a place where an outline crosses itself."""
    x, y = place
    look = style(line_look(LOOK, 1.2) | {"stroke-dasharray": "5,3"})
    ring = element("circle", {"cx": x, "cy": y, "r": RADIUS[1], "style": look})
    sign = _sign((x + RADIUS[1], y - RADIUS[1]), RADIUS[0], complete=False)
    return group("", "the outline crosses itself here", [ring, *sign])


def _smaller(piece: Proposal, every: Sequence[Proposal]) -> list[Proposal]:
    """Return the smaller pieces that lie on a piece."""
    return [
        other
        for other in every
        if other is not piece
        and other.shape.area < piece.shape.area
        and other.shape.polygon.intersection(piece.shape.polygon).area > 0.5 * other.shape.area
    ]


def _data(area: BaseGeometry) -> str:
    """Return path data of an area with its holes, "" for one without extent."""
    rings = [
        ring
        for part in shapely.get_parts(area)
        if isinstance(part, Polygon) and not part.is_empty
        for ring in (part.exterior, *part.interiors)
    ]
    return " ".join(
        path_data([(p[0], p[1]) for p in ring.coords[:-1]], closed=True) for ring in rings
    )


def _hatched(area: BaseGeometry) -> list[etree._Element]:
    """Return the hatching of an area as one path, nothing where there is none."""
    data = " ".join(path_data(stroke, closed=False) for stroke in hatching(area, HATCH))
    return [element("path", {"d": data, "style": style(line_look(LOOK, 0.5))})] if data else []


class _Drawn:
    """Where texts and open lines are drawn: a sign should not cover them."""

    def __init__(self, leaves: Sequence[Leaf]) -> None:
        self._texts = [shapely.box(*leaf.box) for leaf in leaves if leaf.text]
        self._lines = [
            drawn_lines(leaf)
            for leaf in leaves
            if leaf.rings and not any(ring.closed for ring in leaf.rings)
        ]
        self._text_tree, self._line_tree = map(shapely.STRtree, (self._texts, self._lines))

    def texts(self, polygon: Polygon) -> list[BaseGeometry]:
        """Return the areas of the texts on a piece."""
        hits = self._text_tree.query(polygon, "intersects")
        return [self._texts[int(hit)].buffer(2.0) for hit in sorted(hits)]

    def lines(self, polygon: Polygon) -> list[BaseGeometry]:
        """Return the areas of the lines on a piece."""
        hits = self._line_tree.query(polygon, "intersects")
        return [self._lines[int(hit)].buffer(2.0) for hit in sorted(hits)]


def _room(piece: Proposal, smaller: Sequence[Proposal], room: _Drawn) -> tuple[Point, float]:
    """Return where the sign of a piece goes, and its radius: clear of texts and smaller sizes."""
    polygon = piece.shape.polygon
    if not piece.shape.extent <= MOST_EXTENT:
        return piece.shape.outline[0], RADIUS[0]
    others: list[BaseGeometry] = [other.shape.polygon for other in smaller]
    drawn, lines = room.texts(polygon), room.lines(polygon)
    for avoided in ([*others, *drawn, *lines], [*others, *drawn], others, drawn, []):
        free = polygon.difference(shapely.unary_union(avoided)) if avoided else polygon
        parts = [p for p in shapely.get_parts(free) if isinstance(p, Polygon) and not p.is_empty]
        if not parts:
            continue
        spots = [(widest_disc(part, 1.0)[0], part) for part in parts]
        reach = [float(spot.distance(part.boundary)) for spot, part in spots]
        best = int(np.argmax(reach))
        if reach[best] >= RADIUS[0] + 1.0 or not avoided:
            spot = spots[best][0]
            return (spot.x, spot.y), float(np.clip(0.8 * reach[best], *RADIUS))
    return piece.shape.outline[0], RADIUS[0]


def _sign(centre: Point, radius: float, complete: bool) -> list[etree._Element]:
    """Return a disc with a tick, or with a question mark."""
    x, y = centre
    disc: Look = {"fill": "#ffffff", "stroke": INK, "stroke-width": 0.1 * radius}
    made = [element("circle", {"cx": x, "cy": y, "r": radius, "style": style(disc)})]
    if complete:
        tick = [(x - 0.5 * radius, y), (x - 0.12 * radius, y + 0.42 * radius)]
        tick.append((x + 0.52 * radius, y - 0.42 * radius))
        look = line_look(INK, 0.22 * radius)
        made.append(element("path", {"d": path_data(tick, closed=False), "style": style(look)}))
    else:
        size = 1.5 * radius
        made.append(text(["?"], x, y + 0.36 * size, size, anchor="middle", bold=True))
    return made


def _list(document: Document, leaves: Sequence[Leaf], proposals: Proposals) -> etree._Element:
    """Return the list of what was read, left of everything drawn.

    It begins beside the sheet where pages were put together, far below which they may lie.
    """
    boxes = boxes_of_all(document, leaves)
    left = min(box[0] for box in boxes)
    boxes = [leaf.box for leaf in leaves if _is_on_sheet(leaf)] or boxes
    top = min(box[1] for box in boxes)
    height = max(box[3] for box in boxes) - top
    size = float(np.clip(height / 90.0, *LETTERS))
    x, y = left - GAP - COLUMN * size, top
    parts: list[etree._Element] = []
    for entry in entries(proposals):
        rows = _rows(entry, size)
        letters = entry.scale * size
        y += entry.space * size + LINE_HEIGHT * letters
        parts.append(text(rows, x + entry.indent * size, y, letters, bold=entry.bold))
        y += (len(rows) - 1) * LINE_HEIGHT * letters
    return group(f"{NAME}-list", "list", parts)


def _is_on_sheet(leaf: Leaf) -> bool:
    return any("sheet" in one.attributes for one in leaf.groups) and not leaf.far


def _rows(entry: Entry, size: float) -> list[str]:
    room = (COLUMN - entry.indent) * size
    return wrapped(entry.words, room, entry.scale * size, bold=entry.bold)
