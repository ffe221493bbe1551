# SPDX-License-Identifier: GPL-2.0-or-later
"""Match points that notches suggest, on the review: open circles with the names of their groups.

Dashed while nothing is set, drawn through once they are.
"""

from __future__ import annotations

from lxml import etree

from extension.drawn.ink import INK, Look
from extension.drawn.lettering import line_width, text
from extension.markings.proposals import Proposals
from extension.svg.building import element, group, style
from nesting.model import Point

RADIUS = 5.0
"""mm of a circle."""
LETTERS = 8.0
"""mm of the letters beside it."""
APART = 1.5
"""mm between a circle and its letters."""


def drawn_matches(proposals: Proposals) -> list[etree._Element]:
    """Return the match points that are proposed, each notch once."""
    known: dict[tuple[str, str], Point] = {}
    for one in proposals.matches:
        for leaf, point in zip(one.leaves, one.points, strict=True):
            known.setdefault((leaf.id, one.value), point)
    return [_point(at, value, is_set=proposals.sets_matches) for (_, value), at in known.items()]


def _point(at: Point, value: str, *, is_set: bool) -> etree._Element:
    """Return one circle with the name of its group to the right of it."""
    x, y = at
    ring: Look = {"fill": "none", "stroke": INK, "stroke-width": 0.8}
    if not is_set:
        ring = {**ring, "stroke-dasharray": "2.4,1.6"}
    start = x + RADIUS + APART
    width = line_width(value, LETTERS)
    paper: Look = {"fill": "#ffffff", "fill-opacity": 0.8, "stroke": "none"}
    box: dict[str, str | float] = {
        "x": start - 0.5,
        "y": y - 0.5 * LETTERS,
        "width": width + 1.0,
        "height": LETTERS,
        "style": style(paper),
    }
    return group(
        "",
        f"match point {value}",
        [
            element("circle", {"cx": x, "cy": y, "r": RADIUS, "style": style(ring)}),
            element("rect", box),
            text([value], start, y + 0.34 * LETTERS, LETTERS),
        ],
    )
