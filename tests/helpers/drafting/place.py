# SPDX-License-Identifier: GPL-2.0-or-later
"""Finds room: for the label inside a piece, and for the pieces on the page."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache

import numpy as np
import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from tests.helpers.drafting.curves import Chain, ring, sampled
from tests.helpers.drafting.draft import Draft, Label

MARGIN = 3.0
"""mm kept free between the letters and any line."""

STEP = 2.0
"""mm of the grid of places that are tried."""

SMALLEST = 5.0
"""Height in mm under which a name is no longer readable on a cutting table."""

ENOUGH = 18.0
"""mm of free space round a label beyond which more does not look better."""


def line_heights(label: Label) -> tuple[float, ...]:
    """Return the height in mm that each line of a label takes."""
    return tuple(1.25 * size for size in line_sizes(label))


def line_sizes(label: Label) -> tuple[float, ...]:
    """Return the height of the letters in mm, line by line: the name larger than the rest."""
    return tuple(label.size * (1.0 if i == 0 else 0.7) for i in range(len(label.lines)))


def label_box(label: Label) -> tuple[float, float, float, float]:
    """Return (x_low, y_low, x_high, y_high) that a label takes, rather too wide than too narrow.

    A common sans-serif needs about 0.55 of its height per letter, in bold about 0.63.
    """
    shares = (0.68, *(0.6 for _ in label.lines[1:]))
    sizes = line_sizes(label)
    rows = zip(shares, sizes, label.lines, strict=True)
    width = max(share * size * len(words) for share, size, words in rows)
    height = sum(line_heights(label))
    x, y = label.at.real, label.at.imag
    return x - width / 2.0, y - height / 2.0, x + width / 2.0, y + height / 2.0


@cache
def settled(draft: Draft) -> Label:
    """Return the label of a piece where it is large, clear of every line and near the middle.

    Raises ValueError when even the smallest readable letters do not fit.
    """
    area, lines = _area(draft), _lines(draft)
    room = area.buffer(-MARGIN).difference(lines.buffer(MARGIN))
    shapely.prepare(room)
    barrier = unary_union([area.boundary, lines])
    size = draft.text_size
    while size >= SMALLEST:
        best = _best_place(draft, size, room, barrier, complex(*area.centroid.coords[0]))
        if best is not None:
            return best
        size -= 1.0
    raise ValueError(f"the label of {draft.name} does not fit inside it")


def rows(
    table: Iterable[Sequence[Draft]], corner: complex, gap: float
) -> tuple[tuple[Draft, complex], ...]:
    """Return each draft with the place of its origin: rows from the left, tops in line."""
    places: list[tuple[Draft, complex]] = []
    top = corner.imag
    for row in table:
        x, deepest = corner.real, top
        for draft in row:
            low, high = bounds(draft.cutting)
            places.append((draft, origin(draft, complex(x, top))))
            x += high.real - low.real + gap
            deepest = max(deepest, top + high.imag - low.imag)
        top = deepest + gap
    return tuple(places)


def origin(draft: Draft, corner: complex) -> complex:
    """Return where the origin of a draft comes when its outline's upper left corner is there."""
    return corner - bounds(draft.cutting)[0]


def bounds(chain: Chain) -> tuple[complex, complex]:
    """Return the low and high corner of a chain."""
    points = [point for edge in chain for point in sampled(edge)]
    xs, ys = [p.real for p in points], [p.imag for p in points]
    return complex(min(xs), min(ys)), complex(max(xs), max(ys))


def _best_place(
    draft: Draft, size: float, room: BaseGeometry, barrier: BaseGeometry, middle: complex
) -> Label | None:
    low, high = bounds(draft.seam)
    columns = np.arange(int((high.real - low.real) / STEP)) * STEP
    rows_down = np.arange(int((high.imag - low.imag) / STEP)) * STEP
    x, y = (grid.ravel() for grid in np.meshgrid(low.real + columns, low.imag + rows_down))
    left, top, right, bottom = label_box(Label(0j, draft.words, size))
    boxes = shapely.box(x + left, y + top, x + right, y + bottom)
    free = np.flatnonzero(shapely.contains(room, boxes))
    if not len(free):
        return None
    clear = np.minimum(shapely.distance(barrier, boxes[free]), ENOUGH)
    # Rounded, so that the last digit of a distance never decides.
    score = np.round(clear - 0.08 * np.hypot(x[free] - middle.real, y[free] - middle.imag), 1)
    best = free[int(np.argmax(score))]
    return Label(complex(x[best], y[best]), draft.words, size)


def _area(draft: Draft) -> Polygon:
    return Polygon([(p.real, p.imag) for p in ring(draft.seam)])


def _lines(draft: Draft) -> BaseGeometry:
    """Return everything that is drawn inside a piece."""
    strokes = [[point for edge in chain for point in sampled(edge)] for chain in draft.lines]
    strokes += [list(dart) for dart in draft.darts]
    strokes += [list(notch) for notch in draft.notch_lines()]
    strokes += [[dot - 3, dot + 3] for dot in draft.drills]
    strokes += [list(draft.bracket)] if draft.bracket else []
    strokes += [_with_heads(*draft.grain)] if draft.grain else []
    return unary_union([LineString([(p.real, p.imag) for p in stroke]) for stroke in strokes])


def _with_heads(foot: complex, top: complex) -> list[complex]:
    """Return a grainline with a cross at both ends as wide as its heads, and a little longer."""
    along = (top - foot) / abs(top - foot)
    across = along * 4j
    foot, top = foot - 3.0 * along, top + 3.0 * along
    return [foot - across, foot + across, foot, top, top - across, top + across]
