# SPDX-License-Identifier: GPL-2.0-or-later
"""What a page shows: its lines, filled shapes and words, cut to what its clips and edges leave."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely

from extension.joining.open_lines import look_of
from extension.joining.segments import FloatArray
from extension.language.units import user_units
from extension.pages.clips import Region, Regions, seen
from extension.pages.groups import groups_of
from extension.pages.model import Box, Page, Patch, Stroke, Words, box_of, box_round, meets, within
from extension.pages.texts import parted
from extension.svg.identities import kind_of
from extension.svg.model import Leaf
from extension.svg.transforms import translation

SMALL = 40.0
"""mm up to which a shape that is filled and outlined is a mark, and no outline of a piece."""
PAPER = 1.0
"""mm within which a clip as large as its page is no window: some writers clip everything to it."""
ROUNDED = 0.002
"""mm beside a clip that a line along its side may lie, since both were rounded: half is seen."""
NOTHING = ("none", "transparent", "")
_WHITE = ("white", "#fff", "#ffffff", "rgb(255,255,255)", "rgb(100%,100%,100%)")
_PAINT = ("fill", "fill-opacity", "fill-rule", "stroke", "stroke-opacity", "opacity")


@dataclass(frozen=True, eq=False, slots=True)
class Found:
    """A page that was found: its box on the canvas, mm, and the leaves that are drawn on it.

    `windows` are what clips that the editor lost would leave of leaves, mm on the canvas.
    """

    name: str
    box: Box
    leaves: tuple[Leaf, ...]
    windows: Mapping[Leaf, Box] = field(default_factory=dict)


def read_page(found: Found, regions: Regions, layers: Mapping[Leaf, str]) -> Page:
    """Return what is seen on a page, in mm from its own corner.

    `layers` are the names of layers that are sizes, of the leaves on them.
    """
    reader = _Reader(found, regions, layers)
    for leaf in found.leaves:
        reader.read(leaf)
    return reader.page()


def seen_box(leaf: Leaf, regions: Regions) -> Box | None:
    """Return the box of what is seen of a leaf, page mm; None when nothing is."""
    if leaf.hidden or leaf.far or not shows(leaf):
        return None
    region = regions.of(leaf.clips).within(leaf.box)
    flat = leaf.box[0] == leaf.box[2] or leaf.box[1] == leaf.box[3]
    return None if region.is_empty and not (flat and _touches(region.box)) else region.box


def _touches(box: Box) -> bool:
    return box[0] <= box[2] and box[1] <= box[3]


def shows(leaf: Leaf) -> bool:
    """Return whether a leaf is painted: a text, a picture, or a shape with a colour."""
    if float_of(leaf.style.get("opacity", "1")) <= 0.0:
        return False
    if not leaf.rings:
        return bool(leaf.text.strip()) or kind_of(leaf.element) == "image"
    return is_stroked(leaf.style) or is_filled(leaf.style)


def is_stroked(style: Mapping[str, str]) -> bool:
    """Return whether a shape has a line round it that is seen."""
    if float_of(style.get("stroke-opacity", "1")) <= 0.0:
        return False
    return plain(style.get("stroke", "none")) not in NOTHING and _width(style) > 0.0


def _width(style: Mapping[str, str]) -> float:
    """Return the width of a line in user units, 1 when it cannot be read."""
    try:
        return user_units(style.get("stroke-width", "1"))
    except ValueError:
        return 1.0


def is_filled(style: Mapping[str, str]) -> bool:
    """Return whether a shape is filled with anything but white, which hides and shows nothing."""
    if float_of(style.get("fill-opacity", "1")) <= 0.0:
        return False
    return plain(style.get("fill", "black")) not in (*NOTHING, *_WHITE)


def plain(paint: str) -> str:
    """Return a colour without spaces and capitals."""
    return "".join(paint.split()).lower()


def float_of(text: str) -> float:
    """Return an opacity as a number, 1 when it is none."""
    try:
        return float(text.strip().rstrip("%")) / (100.0 if text.strip().endswith("%") else 1.0)
    except ValueError:
        return 1.0


class _Reader:
    def __init__(self, found: Found, regions: Regions, layers: Mapping[Leaf, str]) -> None:
        self._layers = layers
        self._found = found
        self._regions = regions
        self._corner = np.array(found.box[:2])
        self._frame: Box = (0.0, 0.0, found.box[2] - found.box[0], found.box[3] - found.box[1])
        self._strokes: list[Stroke] = []
        self._patches: list[Patch] = []
        self._words: list[Words] = []
        self._pictures = 0
        self._clipped: list[Box] = []

    def page(self) -> Page:
        """Return what was read so far."""
        return Page(
            self._found.name,
            self._frame[2],
            self._frame[3],
            tuple(self._strokes),
            tuple(self._patches),
            tuple(self._words),
            self._pictures,
            box_round([box for box in self._clipped if not within(self._frame, box, PAPER)])
            or box_round(self._clipped),
        )

    def read(self, leaf: Leaf) -> None:
        """Read one leaf."""
        if leaf.hidden or leaf.far or not shows(leaf):
            return
        x, y = -self._corner
        region = self._regions.of(leaf.clips)
        if leaf in self._found.windows:
            region = region.within(self._found.windows[leaf])
        region = region.moved(x, y).within(self._frame)
        if region.is_empty:
            return
        if leaf.clips or leaf in self._found.windows:
            self._clipped.append(region.box)
        if not leaf.rings:
            self._read_words(leaf, region)
            return
        rings = [(np.array(ring.points) - self._corner, ring.closed) for ring in leaf.rings]
        whole = box_of(np.vstack([points for points, _ in rings]))
        if not meets(whole, region.box):
            return
        small = max(whole[2] - whole[0], whole[3] - whole[1]) <= SMALL
        if is_filled(leaf.style) and (small or not is_stroked(leaf.style)):
            self._read_patch(leaf, [points for points, _ in rings], region)
        elif is_stroked(leaf.style):
            look = look_of(leaf.style, leaf.matrix)
            several = len(rings) > 1 and not any(closed for _, closed in rings)
            for points, closed in rings:
                for part, still in seen(points, closed, region.grown(ROUNDED)):
                    of = (leaf,) if several else ()
                    layer = self._layers.get(leaf, "")
                    self._strokes.append(Stroke(part, still, look, of, layer))

    def _read_words(self, whole: Leaf, region: Region) -> None:
        for leaf in parted(whole):
            self._read_text(leaf, region, self._layers.get(whole, ""))

    def _read_text(self, leaf: Leaf, region: Region, layer: str) -> None:
        low_x, low_y, high_x, high_y = leaf.box
        x, y = self._corner.tolist()
        box = (low_x - x, low_y - y, high_x - x, high_y - y)
        if not meets(box, region.box):
            return
        if leaf.text.strip():
            self._words.append(Words(leaf, translation(-x, -y), box, layer))
        else:
            self._pictures += 1

    def _read_patch(self, leaf: Leaf, rings: Sequence[FloatArray], region: Region) -> None:
        """Read a filled shape, or what is seen of it; what lies apart in it as shapes of their own.

        A writer of PDF files may fill the dashes of a line, and make one shape of all of them.
        """
        look = _look(leaf)
        window = shapely.box(*region.box)
        if region.shape is not None:
            window = window.intersection(region.shape)
        for group in _apart([ring for ring in rings if len(ring) > 2]):
            box = box_of(np.vstack(group))
            if within(box, region.box) and region.shape is None:
                self._patches.append(Patch(tuple(group), look, whole=True))
            elif meets(box, region.box):
                kept = [part for ring in group for part in cut_ring(ring, window)]
                whole = all(window.covers(shapely.LinearRing(ring)) for ring in group)
                if kept:
                    self._patches.append(Patch(tuple(kept), look, whole=whole))


def _apart(rings: Sequence[FloatArray]) -> list[list[FloatArray]]:
    """Return rings by groups whose boxes do not meet: a letter with its holes is one."""
    if len(rings) < 2:
        return [list(rings)] if rings else []
    boxes = shapely.box(*np.array([box_of(ring) for ring in rings]).T)
    one, two = shapely.STRtree(boxes).query(boxes, "intersects")
    count, group = groups_of(one, two, len(rings))
    found: list[list[FloatArray]] = [[] for _ in range(count)]
    for ring, number in zip(rings, group, strict=True):
        found[int(number)].append(ring)
    return found


def cut_ring(ring: FloatArray, window: shapely.Geometry) -> list[FloatArray]:
    """Return the rings of the part of a ring's area that lies within a window."""
    shape = shapely.make_valid(shapely.Polygon(ring))
    if window.covers(shape):
        return [ring]
    return [each for part in polygons(shape.intersection(window)) for each in rings_of(part)]


def polygons(shape: shapely.Geometry) -> list[shapely.Polygon]:
    """Return the polygons of an area."""
    parts = shapely.get_parts(shape)
    return [part for part in parts if isinstance(part, shapely.Polygon) and not part.is_empty]


def rings_of(polygon: shapely.Polygon) -> list[FloatArray]:
    """Return the rings of a polygon, the outer first, without repeated last points."""
    lines = [polygon.exterior, *polygon.interiors]
    return [np.asarray(line.coords)[:-1, :2] for line in lines]


def _look(leaf: Leaf) -> dict[str, str | float]:
    """Return how a filled shape is painted, the width of its line in mm."""
    style: dict[str, str | float] = {
        name: leaf.style[name] for name in _PAINT if name in leaf.style
    }
    style.setdefault("fill", "black")
    if is_stroked(leaf.style):
        style["stroke-width"] = look_of(leaf.style, leaf.matrix).width
    return style
