# SPDX-License-Identifier: GPL-2.0-or-later
"""Printed pages read back: how small their letters are, and which words lie on each other."""

from __future__ import annotations

import itertools
import math
import subprocess
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import shapely
from lxml import etree

from extension.diagram.figure import figure
from extension.diagram.shapes import Picture
from extension.drawn.lettering import ASCENT, line_width
from tests.helpers.pdf import MM_PER_POINT, Word, pages_of
from tests.helpers.screen import need

_ZOOM = 3.0
"""The largest at which poppler's pdftohtml tells sizes; they are whole numbers, rounded down."""
_LESS = 0.18
"""Share of the height of a word's box, at either side of it, in which no letter has any ink."""
_TOUCH = 0.05
"""mm2 up to which two boxes only touch."""


@dataclass(frozen=True)
class Legible:
    """A printed page: its smallest letters in mm, and every two words that lie on each other."""

    number: int
    smallest: float
    overlapping: tuple[str, ...]


def legible(pdf: Path) -> list[Legible]:
    """Return what is measured on each page of a PDF, by an independent reader (poppler)."""
    sizes = _sizes(pdf)
    return [
        Legible(number, min(sizes.get(number, [math.inf])), tuple(_on_each_other(page.words)))
        for number, page in enumerate(pages_of(pdf), start=1)
    ]


def _sizes(pdf: Path) -> dict[int, list[float]]:
    """Return the font sizes of every page, mm, by its number; each up to 0.12 mm too small."""
    need("pdftohtml")
    words = ["pdftohtml", "-xml", "-i", "-zoom", f"{_ZOOM:g}", "-stdout", str(pdf)]
    done = subprocess.run(words, capture_output=True, check=True, timeout=120)
    root = etree.fromstring(done.stdout, etree.XMLParser(recover=True, huge_tree=True))
    fonts: dict[str, float] = {}
    found: dict[int, list[float]] = {}
    for page in root.iter("page"):
        for font in page.iter("fontspec"):
            fonts[font.get("id", "")] = float(font.get("size", "nan")) / _ZOOM * MM_PER_POINT
        used = {text.get("font", "") for text in page.iter("text") if text.xpath("string()")}
        found[int(page.get("number", "0"))] = [fonts[name] for name in used]
    return found


def _on_each_other(words: Sequence[Word]) -> Iterator[str]:
    """Yield every two words whose letters lie on each other."""
    boxes = [_ink(word) for word in words]
    tree = shapely.STRtree(boxes)
    for one, other in zip(*tree.query(boxes, predicate="intersects"), strict=True):
        if one < other and boxes[one].intersection(boxes[other]).area > _TOUCH:
            yield f"“{words[one].text}” and “{words[other].text}”"


def _ink(word: Word) -> shapely.Polygon:
    """Return the box of a word without the air above and below its letters."""
    low_x, low_y, high_x, high_y = word.box
    less = _LESS * min(high_x - low_x, high_y - low_y)
    return shapely.box(low_x + less, low_y + less, high_x - less, high_y - less)


def crossed(picture: Picture) -> list[str]:
    """Return the words of a picture that a dimension line or a leader runs through."""
    root = etree.fromstring(figure(picture, "measured", "measured"))
    words = [(one.text or "", _box(one)) for one in root.iter("{*}text")]
    lines = [
        line
        for one in root.iter("{*}path")
        if (one.get("class") or "").split()[0] in ("distance", "leader")
        for line in _lines(one.get("d", ""))
    ]
    return [text for text, box in words if any(box.intersects(line) for line in lines)]


def _box(text: etree._Element) -> shapely.Polygon:
    """Return the box of a centred text of a picture, mm."""
    x, y, size = (float(text.get(name, "nan")) for name in ("x", "y", "font-size"))
    half = line_width(text.text or "", size) / 2.0
    level = shapely.box(x - half, y - ASCENT * size, x + half, y)
    if text.get("transform") is None:
        return level
    return shapely.affinity.rotate(level, -90.0, origin=(x, y))


def _lines(data: str) -> Iterator[shapely.LineString]:
    """Yield the straight lines of path data `Mx yLx y`."""
    for run in data.split("M")[1:]:
        if "l" in run:  # the sign of a line that began on a stretch before
            continue
        points = [tuple(map(float, point.split())) for point in run.strip("Z").split("L")]
        yield from (shapely.LineString(ends) for ends in itertools.pairwise(points))
