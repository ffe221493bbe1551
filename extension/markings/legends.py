# SPDX-License-Identifier: GPL-2.0-or-later
"""A legend of sizes: sample lines, each beside the size that is drawn in its style."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely.geometry import LineString

from extension.joining.patterns import pattern_of
from extension.language.words import folded
from extension.markings.blocks import Line
from extension.markings.sizewords import is_every_size, size_in
from extension.pieces.outlines import drawn_lines
from extension.svg.model import Leaf
from extension.svg.transforms import apply_vector

SAMPLE = (4.0, 200.0)
"""mm that a sample line is long."""
ROW = 0.9
"""Font sizes by which a sample may stand above or below the middle of its words."""
APART = 7.0
"""Font sizes between a sample and its words, at most."""
NEXT = 12.0
"""mm between two dashes of one sample, at most."""
IN_LINE = 0.5
"""mm by which the next dash of a sample may leave its line."""
SAME, SAME_MM = 0.15, 0.4
"""By which share, or by how many mm, the dashes of one style may differ."""

Look = tuple[str, tuple[float, ...]]
"""Colour and dash pattern (mm) of a line."""


@dataclass(frozen=True, eq=False, slots=True)
class Legend:
    """Sizes by the look of their lines, "" for every size; empty without a legend.

    What it is drawn by.
    """

    sizes: Mapping[Look, str]
    lines: tuple[Line, ...] = ()
    samples: tuple[Leaf, ...] = ()

    def size_of(self, leaf: Leaf) -> str | None:
        """Return the size whose style a leaf is drawn in, "" for that of every size.

        Colour and dashes count; one alone where it tells all sizes of the legend apart.
        """
        colour, dashes = look_of(leaf)
        colours = {known[0] for known in self.sizes}
        same_dashes = [known for known in self.sizes if _alike(known[1], dashes)]
        both = [known for known in same_dashes if known[0] == colour]
        if both:
            return self.sizes[both[0]] if len(both) == 1 else None
        if len(colours) == len(self.sizes) > 1:
            return next((size for known, size in self.sizes.items() if known[0] == colour), None)
        return self.sizes[same_dashes[0]] if len(same_dashes) == 1 else None


def _alike(one: Sequence[float], other: Sequence[float]) -> bool:
    return len(one) == len(other) and all(
        abs(a - b) <= max(SAME_MM, SAME * max(a, b)) for a, b in zip(one, other, strict=True)
    )


def look_of(leaf: Leaf) -> Look:
    """Return the look of a drawn line: by its style, or the dashes that it was joined from."""
    colour = re.sub(r"\s+", "", leaf.style.get("stroke", "none").lower())
    joined = leaf.attributes.get("dashes")
    if joined is not None:
        return colour, tuple(float(number) for number in re.findall(r"\d*\.?\d+", joined))
    scale = math.hypot(*apply_vector(leaf.matrix, (1.0, 0.0)))
    numbers = re.findall(r"\d*\.?\d+", leaf.style.get("stroke-dasharray", "none"))
    dashes = tuple(round(float(number) * scale, 2) for number in numbers)
    if len(dashes) % 2:
        dashes = (*dashes, *dashes)
    return colour, dashes if any(dashes) else ()


def find_legend(leaves: Sequence[Leaf], lines: Sequence[Line]) -> Legend:
    """Return the legend of a sheet: at least two sizes, each beside a line of its own style."""
    rows: list[tuple[Line, tuple[Leaf, ...], str]] = []
    sized = [(line, size) for line in lines if (size := _size_in(line)) is not None]
    if len(sized) < 2:
        return Legend({})
    small = [leaf for leaf in leaves if _may_be_sample(leaf)]
    tree = shapely.STRtree([drawn_lines(leaf) for leaf in small])
    for line, size in sized:
        sample = _beside(line, small, tree)
        if sample:
            rows.append((line, sample, size))
    looks: dict[Look, str] = {}
    for _, sample, size in rows:
        looks.setdefault(_look_of_sample(sample), size)
    sizes = {folded(size) for _, _, size in rows}
    if len(sizes - {""}) < 2 or len(looks) < len(sizes) or len(rows) > len(looks):
        return Legend({})
    samples = tuple(leaf for _, sample, _ in rows for leaf in sample)
    return Legend(looks, tuple(row[0] for row in rows), samples)


def _size_in(line: Line) -> str | None:
    """Return the size that a line of text names, "" for every size, None for neither."""
    return "" if is_every_size(line.text) else size_in(line.text)


def _may_be_sample(leaf: Leaf) -> bool:
    """Return whether a leaf is a short straight line or a dash of one, or a small swatch."""
    if not leaf.rings or leaf.style.get("stroke", "none") == "none":
        return False
    low_x, low_y, high_x, high_y = leaf.box
    if max(high_x - low_x, high_y - low_y) > SAMPLE[1]:
        return False
    if all(ring.closed for ring in leaf.rings):
        return len(leaf.rings) == 1 and len(leaf.rings[0].points) <= 5
    return not any(ring.closed for ring in leaf.rings)


def _look_of_sample(sample: Sequence[Leaf]) -> Look:
    """Return the look of a sample line, its dashes measured where it is drawn dash by dash."""
    colour, dashes = look_of(sample[0])
    rings = [ring.points for leaf in sample for ring in leaf.rings]
    if len(rings) < 2:
        return colour, dashes
    spans = sorted(
        (min(x for x, _ in points), max(x for x, _ in points))
        if _is_flat(sample)
        else (min(y for _, y in points), max(y for _, y in points))
        for points in rings
    )
    lengths = [high - low for low, high in spans]
    gaps = [after[0] - before[1] for before, after in pairwise(spans)]
    # The last dash may be cut short by the end of the sample.
    pattern = pattern_of(lengths, gaps)
    return colour, pattern.as_drawn() if pattern else ()


def _is_flat(sample: Sequence[Leaf]) -> bool:
    boxes = [leaf.box for leaf in sample]
    wide = max(box[2] for box in boxes) - min(box[0] for box in boxes)
    high = max(box[3] for box in boxes) - min(box[1] for box in boxes)
    return wide >= high


def _beside(line: Line, small: Sequence[Leaf], tree: shapely.STRtree) -> tuple[Leaf, ...]:
    """Return the sample that stands before or behind words, at the height of their middle.

    It may be drawn as several dashes; they stand one behind the other.
    """
    size, along = line.size, line.along
    rise = (0.35 * size * line.up[0], 0.35 * size * line.up[1])
    start = (line.start[0] + rise[0], line.start[1] + rise[1])
    end = (line.end[0] + rise[0], line.end[1] + rise[1])
    found: list[tuple[float, tuple[Leaf, ...]]] = []
    for spot, way in ((start, -1.0), (end, 1.0)):
        reach = way * (APART * size + SAMPLE[1])
        far = (spot[0] + reach * along[0], spot[1] + reach * along[1])
        row = LineString([spot, far]).buffer(ROW * size, cap_style="flat")
        hits = [small[int(hit)] for hit in sorted(tree.query(row, "contains"))]
        gaps = sorted(
            (round(float(drawn_lines(leaf).distance(shapely.Point(spot))), 3), order)
            for order, leaf in enumerate(hits)
        )
        dashes = [(gap, hits[order]) for gap, order in gaps]
        sample = _first_run(dashes, APART * size)
        if sample:
            found.append((dashes[0][0], sample))
    return min(found, key=lambda each: each[0])[1] if found else ()


def _thickness(drawn: shapely.Geometry) -> float:
    """Return the short side of the narrowest box round lines, mm."""
    box = drawn.minimum_rotated_rectangle
    if box.geom_type != "Polygon":
        return 0.0
    first, second, third = list(box.exterior.coords)[:3]
    return min(math.dist(first, second), math.dist(second, third))


def _first_run(dashes: Sequence[tuple[float, Leaf]], reach: float) -> tuple[Leaf, ...]:
    """Return the leaves from the nearest on, as long as one follows close behind the other.

    They lie in line; one whose style has dashes is a sample by itself.
    """
    if not dashes or dashes[0][0] > reach:
        return ()
    run = [dashes[0][1]]
    area = drawn_lines(run[0])
    for _, leaf in dashes[1:] if not look_of(run[0])[1] else ():
        drawn = drawn_lines(leaf)
        if drawn.distance(area) > NEXT or any(ring.closed for ring in leaf.rings):
            break
        if _thickness(area.union(drawn)) > _thickness(area) + IN_LINE:
            break
        run.append(leaf)
        area = area.union(drawn)
    low_x, low_y, high_x, high_y = area.bounds
    return tuple(run) if max(high_x - low_x, high_y - low_y) >= SAMPLE[0] else ()
