# SPDX-License-Identifier: GPL-2.0-or-later
"""Joined outlines as a new layer of the document, and rings round places that need a look."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass

from lxml import etree

from extension.drawn.frames import transform_text
from extension.joining.segments import Look
from extension.language.names import lay
from extension.svg.building import FreeIds, element, layer, number, path_data, style
from extension.svg.decoration import declare
from extension.svg.document import Document
from nesting.model import Outline, Point

LABEL = "Joined outlines"
REVIEW_LABEL = "Places to look at"
LEAST_WIDTH = 0.1
"""mm; a line thinner than this is drawn so wide."""
PLAIN = "#000000"
"""The colour of a line whose own is no plain colour."""
RING = 5.0
"""mm radius of the ring round a place to look at."""
RING_LOOK: dict[str, str | float] = {"fill": "none", "stroke": "#d9480f", "stroke-width": 0.8}


@dataclass(frozen=True, slots=True)
class JoinedShape:
    """An outline to draw: points in page mm; `dashes` the pattern it was drawn in, mm, () solid.

    `sources` are the ids of the drawn lines that are all part of outlines.
    """

    points: Outline
    look: Look
    dashes: tuple[float, ...]
    sources: tuple[str, ...]


def draw_joined(
    document: Document, shapes: Sequence[JoinedShape], places: Sequence[Point]
) -> tuple[str, ...]:
    """Add a layer of outlines to the document's tree; return their ids.

    `places` (page mm) get a ring on a layer of its own within, which is never read.
    """
    ids = FreeIds(document.root)
    count = _next_number(document)
    made = layer(
        ids.take(f"joined-{count}"),
        LABEL,
        attributes={"transform": transform_text(document.from_page), lay("joined"): str(count)},
    )
    names = [ids.take(f"joined-{count}-outline-{n}") for n in range(1, len(shapes) + 1)]
    made.extend(_outline(name, shape) for name, shape in zip(names, shapes, strict=True))
    if places:
        rings = [_ring(ids.take(f"joined-{count}-look-{n}"), p) for n, p in enumerate(places, 1)]
        attributes = {lay("review"): f"joined-{count}"}
        look = layer(ids.take(f"joined-{count}-look"), REVIEW_LABEL, rings, attributes)
        declare([look], "joined")
        made.append(look)
    document.root.append(made)
    return tuple(names)


def _next_number(document: Document) -> int:
    """Return one more than there are layers of joined outlines."""
    return 1 + sum(1 for _ in document.root.iterfind(f".//*[@{lay('joined')}]"))


def _outline(name: str, shape: JoinedShape) -> etree._Element:
    colour = shape.look.colour
    attributes: dict[str, str | float] = {
        "id": name,
        "d": path_data(shape.points, closed=True),
        "style": style(
            {
                "fill": "none",
                "stroke": colour if colour.startswith("#") else PLAIN,
                "stroke-width": max(shape.look.width, LEAST_WIDTH),
                "stroke-linejoin": "miter",
            }
        ),
        lay("joined-from"): json.dumps(shape.sources, ensure_ascii=False),
    }
    if shape.dashes:
        attributes[lay("dashes")] = " ".join(map(number, shape.dashes))
    return element("path", attributes)


def _ring(name: str, place: Point) -> etree._Element:
    look = style(RING_LOOK)
    return element("circle", {"id": name, "cx": place[0], "cy": place[1], "r": RING, "style": look})
