# SPDX-License-Identifier: GPL-2.0-or-later
"""What is seen of lines and shapes through clip paths and windows."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from lxml import etree

from extension.joining.segments import FloatArray
from extension.pages.model import Box
from extension.svg.basic_shapes import SHAPES, shape_subpaths
from extension.svg.flatten import flatten
from extension.svg.identities import kind_of, plain_attributes
from extension.svg.model import WHOLE_PAGE, Clip, Matrix, Ring
from extension.svg.transforms import multiply, parse_transform

FINE = 0.01
"""mm by which a clip may leave what is drawn."""
SQUARE = 1e-3
"""mm by which a clip may leave its box and still count as a rectangle."""
LEAST = 1e-4
"""mm; a shorter rest of a line is none."""
EVERYWHERE: Box = (-np.inf, -np.inf, np.inf, np.inf)


@dataclass(frozen=True, eq=False, slots=True)
class Region:
    """Where something is seen: in a box, and within `shape` as well where that is no rectangle."""

    box: Box = EVERYWHERE
    shape: shapely.Geometry | None = None

    def within(self, box: Box) -> Region:
        """Return the part of it in a box."""
        low = np.maximum(self.box[:2], box[:2]).tolist()
        high = np.minimum(self.box[2:], box[2:]).tolist()
        return Region((low[0], low[1], high[0], high[1]), self.shape)

    def grown(self, by: float) -> Region:
        """Return it with a box that is larger by so many mm on every side."""
        low_x, low_y, high_x, high_y = self.box
        return Region((low_x - by, low_y - by, high_x + by, high_y + by), self.shape)

    def moved(self, x: float, y: float) -> Region:
        """Return it moved by so many mm."""
        box = (self.box[0] + x, self.box[1] + y, self.box[2] + x, self.box[3] + y)
        shape = self.shape
        return Region(
            box, None if shape is None else shapely.transform(shape, lambda p: p + np.array([x, y]))
        )

    @property
    def is_empty(self) -> bool:
        """Whether nothing is seen."""
        return self.box[0] >= self.box[2] or self.box[1] >= self.box[3]


class Regions:
    """What clip paths leave to be seen; each is looked at once."""

    def __init__(self) -> None:
        self._known: dict[tuple[etree._Element | None, Matrix], Region] = {}

    def of(self, clips: Sequence[Clip]) -> Region:
        """Return where something is seen that lies within clip paths, page mm."""
        region = Region()
        for clip in clips:
            key = clip.element, clip.matrix
            if key not in self._known:
                self._known[key] = _region(clip)
            region = _both(region, self._known[key])
        return region


def _both(one: Region, other: Region) -> Region:
    shapes = [region.shape for region in (one, other) if region.shape is not None]
    shape = None if not shapes else shapely.intersection_all(shapes)
    return Region(one.box, shape).within(other.box)


def _region(clip: Clip) -> Region:
    """Return what a clip path leaves; what cannot be told hides nothing."""
    element = clip.element
    if element is None or kind_of(element) != "clipPath":
        return Region()
    if element.get("clipPathUnits", "userSpaceOnUse") != "userSpaceOnUse":
        return Region()
    matrix = multiply(clip.matrix, parse_transform(element.get("transform")))
    polygons = [
        shapely.Polygon(ring.points)
        for child in element.iterchildren(etree.Element)
        if kind_of(child) in SHAPES
        for ring in _rings(child, matrix)
        if len(ring.points) > 2
    ]
    if not polygons:
        return Region((0.0, 0.0, 0.0, 0.0))
    shape = shapely.union_all([shapely.make_valid(polygon) for polygon in polygons])
    box = tuple(float(side) for side in shape.bounds)
    is_box = shapely.box(*box).difference(shape).area <= SQUARE * shape.length
    return Region(box, None if is_box else shape)  # type: ignore[arg-type]


def _rings(child: etree._Element, matrix: Matrix) -> tuple[Ring, ...]:
    try:
        subpaths = shape_subpaths(kind_of(child), plain_attributes(child), WHOLE_PAGE)
        return flatten(subpaths, multiply(matrix, parse_transform(child.get("transform"))), FINE)
    except ValueError:
        return ()


def seen(points: FloatArray, closed: bool, region: Region) -> list[tuple[FloatArray, bool]]:
    """Return what is seen of a line: its stretches within a region, and whether each is closed.

    Of a line that is a single point nothing is seen: it goes nowhere, and is on no edge of a page.
    """
    if len(points) < 2:
        return []
    parts = cut_to_box(points, closed, region.box)
    if region.shape is None:
        return parts
    return [piece for part in parts for piece in _cut_to_shape(*part, region.shape)]


def cut_to_box(points: FloatArray, closed: bool, box: Box) -> list[tuple[FloatArray, bool]]:
    """Return the stretches of a line within a box, in order, and whether each is closed.

    Each segment is cut in its parameter. Source: Liang and Barsky, "A new concept and method for
    line clipping", ACM Transactions on Graphics 3, 1984.
    """
    low, high = points.min(axis=0), points.max(axis=0)
    if (low >= box[:2]).all() and (high <= box[2:]).all():
        return [(points, closed)]
    if (low > box[2:]).any() or (high < box[:2]).any() or len(points) < 2:
        return []
    line = np.vstack([points, points[:1]]) if closed else points
    start, step = line[:-1], np.diff(line, axis=0)
    enters, leaves = np.zeros(len(start)), np.ones(len(start))
    for axis in (0, 1):
        for sign, side in ((-1.0, box[axis]), (1.0, box[axis + 2])):
            along = sign * step[:, axis]
            room = sign * (side - start[:, axis])
            with np.errstate(divide="ignore", invalid="ignore"):
                t = room / along
            enters = np.where(along < 0.0, np.maximum(enters, t), enters)
            leaves = np.where(along > 0.0, np.minimum(leaves, t), leaves)
            leaves = np.where((along == 0.0) & (room < 0.0), -1.0, leaves)
    runs = list(_runs(start, step, enters, leaves))
    if closed and len(runs) > 1 and enters[0] <= 0.0 <= leaves[0] and leaves[-1] >= 1.0:
        last = runs.pop()
        runs[0] = last[:-1] + runs[0]
    kept = [_without_repeats(np.array(run)) for run in runs]
    return [(run, False) for run in kept if len(run) > 1 and np.ptp(run, axis=0).max() > LEAST]


def _without_repeats(points: FloatArray) -> FloatArray:
    """Return points without those that repeat the one before, as where a corner is on the box."""
    steps = np.abs(np.diff(points, axis=0)).max(axis=1)
    kept: FloatArray = points[np.concatenate([[True], steps > LEAST])]
    return kept


def _runs(
    start: FloatArray, step: FloatArray, enters: FloatArray, leaves: FloatArray
) -> Iterable[list[FloatArray]]:
    """Yield the points of each stretch that is within."""
    run: list[FloatArray] = []
    for index in range(len(start)):
        enter, leave = enters[index], leaves[index]
        if enter > leave:
            if run:
                yield run
            run = []
            continue
        if run and enter > 0.0:
            yield run
            run = []
        if not run:
            run = [start[index] + enter * step[index]]
        run.append(start[index] + leave * step[index])
        if leave < 1.0:
            yield run
            run = []
    if run:
        yield run


def _cut_to_shape(
    points: FloatArray, closed: bool, shape: shapely.Geometry
) -> list[tuple[FloatArray, bool]]:
    line = shapely.LineString(np.vstack([points, points[:1]]) if closed else points)
    if shape.covers(line):
        return [(points, closed)]
    inside = shapely.line_merge(shapely.intersection(line, shape))
    parts = [part for part in shapely.get_parts(inside) if part.geom_type == "LineString"]
    return [(np.asarray(part.coords), False) for part in parts if part.length > LEAST]
