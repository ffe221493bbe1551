# SPDX-License-Identifier: GPL-2.0-or-later
"""The small picture of a layout, from what the program tells of it to polygons in a box of pixels.

What comes through a pipe is looked at before it is believed: anything that is no picture gives an
empty figure, and what is too much of it is left out. Standard library alone, Python 3.7 and later.

A picture is {"cloths": [...]}, one for each layout: {"name": what it is called, "length": mm,
"first": mm that the first layout needed, "width": mm, "sections": [[x, y, length, height, layers],
...], "parts": [{"points": [x, y, x, y, ...], "flipped": 0 or 1}, ...]}; mm from the cut end and
from the upper edge.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple
from xml.sax.saxutils import escape

if TYPE_CHECKING:
    Point = tuple[float, float]

MOST_CLOTHS = 12
MOST_NUMBERS = 60000
"""How many coordinates of parts are drawn at most; what comes after them is left out."""
FARTHEST = 1e7
"""mm: a number beyond it is none of a layout."""
MOST_LETTERS = 40
ABOVE = 15.0
"""Pixels above each cloth for its name, where there are several."""
BETWEEN = 5.0

SAVED = ("#ffffff", "#b9ad94")
"""Fill and edge of the cloth that the first layout needed more."""
ONE_LAYER, TWO_LAYERS = ("#fbf3e2", "#8a7a5c"), ("#f0e2c2", "#8a7a5c")
AS_DRAWN, FLIPPED = ("#ffffff", "#1a1a1a"), ("#d9d9d9", "#1a1a1a")
"""As on the drawn layer: grey where the printed side is down."""


class Figure(NamedTuple):
    """What is drawn, in pixels from the upper left: polygons with fill and edge, and words."""

    size: tuple[int, int]
    polygons: list[tuple[tuple[str, str], list[Point]]]
    words: list[tuple[Point, str]]


class Cloth(NamedTuple):
    """A cloth with its parts, mm."""

    name: str
    length: float
    first: float
    width: float
    sections: list[list[float]]
    parts: list[tuple[bool, list[Point]]]


def fitted(picture: object, width: int, height: int) -> Figure | None:
    """Return a picture fitted into a box of so many pixels; None where there is none to draw.

    All cloths are drawn to one scale, by the longest that the first layouts were, so that the
    cloth is seen to get shorter.
    """
    cloths = _cloths(picture)
    if not cloths:
        return None
    above = ABOVE if len(cloths) > 1 else 0.0
    lengths = [max(one.length, one.first) for one in cloths]
    widths = [one.width for one in cloths]
    gaps = (len(cloths) - 1) * BETWEEN
    # One below the other, as on the drawing, or side by side where they are seen larger then.
    below = min(
        (width - 2.0) / max(lengths),
        max(height - 2.0 - len(cloths) * above - gaps, 1.0) / sum(widths),
    )
    beside = min((width - 2.0 - 5.0 * gaps) / sum(lengths), (height - 2.0 - above) / max(widths))
    scale = max(below, beside)
    polygons: list[tuple[tuple[str, str], list[Point]]] = []
    words: list[tuple[Point, str]] = []
    left = top = foot = 1.0
    for one, length in zip(cloths, lengths):  # noqa: B905  # not in Python 3.7
        if above:
            words.append(((left, top + above - 4.0), one.name))
        polygons += [
            (colours, [(left + x * scale, top + above + y * scale) for x, y in points])
            for colours, points in _drawn(one)
        ]
        foot = max(foot, top + above + one.width * scale)
        if beside > below:
            left += length * scale + 5.0 * BETWEEN
        else:
            top = foot + BETWEEN
    return Figure((width, math.ceil(foot + 1.0)), polygons, words)


def svg_of(figure: Figure) -> str:
    """Return a figure as SVG, which Gtk's own loader draws."""
    width, height = figure.size
    drawn = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" '
        f'viewBox="0 0 {width} {height}">'
    ]
    for (fill, edge), points in figure.polygons:
        told = " ".join("{:.1f},{:.1f}".format(*point) for point in points)
        drawn.append(f'<polygon points="{told}" fill="{fill}" stroke="{edge}" stroke-width="0.8"/>')
    for (x, y), word in figure.words:
        look = 'font-family="sans-serif" font-size="11" fill="#6b6b6b"'
        drawn.append(f'<text x="{x:.1f}" y="{y:.1f}" {look}>{escape(word)}</text>')
    return "".join(drawn) + "</svg>"


def _drawn(cloth: Cloth) -> list[tuple[tuple[str, str], list[Point]]]:
    """Return the polygons of a cloth, mm: what was saved, its sections, its parts."""
    found = []
    if cloth.first > cloth.length:
        found.append((SAVED, _box(0.0, 0.0, cloth.first, cloth.width)))
    for x, y, length, height, layers in cloth.sections:
        colours = TWO_LAYERS if layers > 1 else ONE_LAYER
        found.append((colours, _box(x, y, length, height)))
    found += [(FLIPPED if flipped else AS_DRAWN, points) for flipped, points in cloth.parts]
    return found


def _box(x: float, y: float, length: float, height: float) -> list[Point]:
    return [(x, y), (x + length, y), (x + length, y + height), (x, y + height)]


# --- what is believed ---------------------------------------------------------------------------


def _cloths(picture: object) -> list[Cloth]:
    """Return the cloths of a picture that are such, without what is none."""
    told = picture.get("cloths") if isinstance(picture, dict) else None
    if not isinstance(told, list):
        return []
    found, left = [], MOST_NUMBERS
    for one in told[:MOST_CLOTHS]:
        cloth = _cloth(one, left)
        if cloth is not None:
            found.append(cloth)
            left -= sum(2 * len(points) for _, points in cloth.parts)
    return found


def _cloth(told: object, left: int) -> Cloth | None:
    """Return a cloth, None for what is none; its parts have at most `left` coordinates."""
    if not isinstance(told, dict):
        return None
    sizes = _numbers([told.get(name) for name in ("length", "first", "width")])
    if len(sizes) != 3 or min(sizes) <= 0.0:
        return None
    parts = []
    for part in _list(told.get("parts")):
        if not isinstance(part, dict) or len(_list(part.get("points"))) > left:
            continue  # too many are not even read
        points = _numbers(part.get("points"))
        if len(points) < 6:
            continue
        left -= len(points)
        corners = [(points[i], points[i + 1]) for i in range(0, len(points) - 1, 2)]
        parts.append((part.get("flipped") == 1, corners))
    sections = [_numbers(one) for one in _list(told.get("sections"))[:MOST_CLOTHS]]
    return Cloth(
        _plain(told.get("name")),
        sizes[0],
        sizes[1],
        sizes[2],
        [one for one in sections if len(one) == 5 and min(one[2:4]) > 0.0],
        parts,
    )


def _plain(told: object) -> str:
    """Return a name without what a toolkit does not take."""
    whole = (
        told[:MOST_LETTERS].encode("utf-8", "replace").decode("utf-8")
        if isinstance(told, str)
        else ""
    )
    return "".join(one for one in whole if one.isprintable())


def _list(told: object) -> list[object]:
    return told if isinstance(told, list) else []


def _numbers(told: object) -> list[float]:
    """Return a list of numbers; an empty one when one of them is none, or absurd."""
    found = []
    for one in _list(told):
        if isinstance(one, bool) or not isinstance(one, (int, float)) or not abs(one) <= FARTHEST:
            return []
        found.append(float(one))
    return found
