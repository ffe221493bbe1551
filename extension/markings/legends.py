# SPDX-License-Identifier: GPL-2.0-or-later
"""A legend of sizes: sample lines, each beside the size that is drawn in its style."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry import LineString

from extension.markings.blocks import Line
from extension.markings.sizewords import size_in
from extension.model import Leaf
from extension.outlines import drawn_lines
from extension.straight import longest_run
from extension.transforms import apply_vector
from extension.words import folded

SAMPLE = (4.0, 150.0)
"""mm that a sample line is long."""
ROW = 0.9
"""Font sizes by which a sample may stand above or below the middle of its words."""
APART = 7.0
"""Font sizes between a sample and its words, at most."""

Look = tuple[str, tuple[float, ...]]
"""Colour and dash pattern (mm, to a tenth) of a line."""


@dataclass(frozen=True, eq=False, slots=True)
class Legend:
    """Sizes by the look of their lines; empty without a legend. What it is drawn by."""

    sizes: Mapping[Look, str]
    lines: tuple[Line, ...] = ()
    samples: tuple[Leaf, ...] = ()

    def size_of(self, leaf: Leaf) -> str | None:
        """Return the size whose style a leaf is drawn in.

        Colour and dashes count; one alone where it tells all sizes of the legend apart.
        """
        look = look_of(leaf)
        if look in self.sizes:
            return self.sizes[look]
        for part in (0, 1):
            parts = {known[part]: size for known, size in self.sizes.items()}
            if len(parts) == len(self.sizes) > 1 and look[part] in parts:
                return parts[look[part]]
        return None


def look_of(leaf: Leaf) -> Look:
    """Return the look of a drawn line."""
    colour = re.sub(r"\s+", "", leaf.style.get("stroke", "none").lower())
    scale = math.hypot(*apply_vector(leaf.matrix, (1.0, 0.0)))
    numbers = re.findall(r"\d*\.?\d+", leaf.style.get("stroke-dasharray", "none"))
    dashes = tuple(round(float(number) * scale, 1) for number in numbers)
    return colour, dashes if any(dashes) else ()


def find_legend(leaves: Sequence[Leaf], lines: Sequence[Line]) -> Legend:
    """Return the legend of a sheet: at least two sizes, each beside a line of its own style."""
    samples = [leaf for leaf in leaves if _is_sample(leaf)]
    rows: list[tuple[Line, Leaf, str]] = []
    for line in lines:
        size = size_in(line.text)
        sample = None if size is None else _beside(line, samples)
        if size is not None and sample is not None:
            rows.append((line, sample, size))
    looks: dict[Look, str] = {}
    for _, sample, size in rows:
        looks.setdefault(look_of(sample), size)
    sizes = {folded(size) for _, _, size in rows}
    if len(sizes) < 2 or len(looks) < len(sizes) or len(rows) > len(looks):
        return Legend({})
    return Legend(looks, tuple(row[0] for row in rows), tuple(row[1] for row in rows))


def _is_sample(leaf: Leaf) -> bool:
    """Return whether a leaf is a short straight line, or a small swatch."""
    if not leaf.rings or leaf.style.get("stroke", "none") == "none":
        return False
    low_x, low_y, high_x, high_y = leaf.box
    extent = max(high_x - low_x, high_y - low_y)
    if not SAMPLE[0] <= extent <= SAMPLE[1]:
        return False
    if all(ring.closed for ring in leaf.rings):
        return len(leaf.rings) == 1 and len(leaf.rings[0].points) <= 5
    run = longest_run(leaf.rings)
    return run is not None and run.length >= 0.98 * float(drawn_lines(leaf).length)


def _beside(line: Line, samples: Sequence[Leaf]) -> Leaf | None:
    """Return the sample that stands before or behind words, at the height of their middle."""
    size = line.size
    rise = (0.35 * size * line.up[0], 0.35 * size * line.up[1])
    start = (line.start[0] + rise[0], line.start[1] + rise[1])
    end = (line.end[0] + rise[0], line.end[1] + rise[1])
    reach = APART * size
    along = line.along
    row = LineString(
        [
            (start[0] - reach * along[0], start[1] - reach * along[1]),
            (end[0] + reach * along[0], end[1] + reach * along[1]),
        ]
    ).buffer(ROW * size, cap_style="flat")
    words = LineString([start, end])
    found = []
    for order, sample in enumerate(samples):
        drawn = drawn_lines(sample)
        if shapely.intersects(row, drawn) and row.contains(drawn.centroid):
            found.append((round(drawn.distance(words), 3), order))
    return samples[min(found)[1]] if found else None
