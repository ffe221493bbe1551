# SPDX-License-Identifier: GPL-2.0-or-later
"""The window of the pages: the part of the paper in which the pattern is printed.

Lines that go on to another page are cut at its sides, so that is where most of their ends lie.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from extension.joining.segments import FloatArray
from extension.pages.model import Box, Page, box_round

SAME_SIDE = 0.15
"""mm by which ends at one side of a window may lie apart."""
LEAST_SLOPE = np.sin(np.radians(5.0))
"""A line that runs along a side more closely than so is not cut by it."""
REACH = 45.0
"""mm from the edge of the paper in which the side of a window is looked for."""
SURE = 3
"""So many ends at one place are a side, one less where nothing lies beyond them."""
BEYOND = 1.0
"""mm beyond all that is shown where a side is put over which nothing goes on."""
MOST = 0.6
"""Share of the pages whose clips or frames agree on a side."""


def window_of(pages: Sequence[Page]) -> Box:
    """Return the window that all pages have in common, mm from the corner of the page.

    By where lines are cut, at the clips or frames of the pages rather than where many begin, as the
    samples of a legend do; where hardly any are, by clips, then by frames, and else it is what the
    pages show.
    """
    every = [_ends(page) for page in pages]
    places = np.concatenate([place for place, _ in every])
    ways = np.concatenate([way for _, way in every])
    clips, frames = ([getattr(page, name) for page in pages] for name in ("clipped", "frame"))
    shown = _shown(pages)
    width, height = max(page.width for page in pages), max(page.height for page in pages)
    sides: list[float] = []
    for side, (axis, size) in enumerate(((0, width), (1, height), (0, width), (1, height))):
        crosses = np.abs(ways[:, axis]) >= LEAST_SLOPE
        values = places[crosses, axis]
        near = values <= REACH if side < 2 else values >= size - REACH
        agreed = [_agreed(boxes, side, len(pages)) for boxes in (clips, frames)]
        sure = (value for value in agreed if value is not None and _are_cut(values, value))
        cut = _most(values[near], outermost=shown[side], inward=side < 2)
        beyond = shown[side] + (-BEYOND if side < 2 else BEYOND)
        known = [value for value in (*sure, cut, *agreed, beyond) if value is not None]
        sides.append(known[0])
    return sides[0], sides[1], sides[2], sides[3]


def whole_page(page: Page) -> Box:
    """Return the window of a page by itself: all that it shows."""
    low_x, low_y, high_x, high_y = _shown([page])
    return low_x - BEYOND, low_y - BEYOND, high_x + BEYOND, high_y + BEYOND


def _ends(page: Page) -> tuple[FloatArray, FloatArray]:
    """Return where open lines of a page end, and the unit vectors of their last segments."""
    places, ways = [], []
    for stroke in page.strokes:
        if stroke.closed:
            continue
        for end, before in ((0, 1), (-1, -2)):
            way = stroke.points[end] - stroke.points[before]
            size = float(np.hypot(*way))
            if size > 0.0:
                places.append(stroke.points[end])
                ways.append(way / size)
    return np.array(places).reshape(-1, 2), np.array(ways).reshape(-1, 2)


def _most(values: FloatArray, *, outermost: float, inward: bool) -> float | None:
    """Return the place where most ends lie, of equals the outermost; None where few do."""
    values = np.sort(values)
    counts = np.searchsorted(values, values + SAME_SIDE, "right") - np.arange(len(values))
    if not len(values):
        return None
    best = np.flatnonzero(counts == counts.max())
    start = int(best[0] if inward else best[-1])
    place = float(np.median(values[start : start + counts[start]]))
    needed = SURE - (abs(place - outermost) <= SAME_SIDE)
    return place if counts[start] >= needed else None


def _are_cut(values: FloatArray, place: float) -> bool:
    """Return whether lines end at a place: two at least."""
    return int((np.abs(values - place) <= SAME_SIDE).sum()) >= SURE - 1


def _agreed(boxes: Sequence[Box | None], side: int, count: int) -> float | None:
    """Return the side that most pages' boxes have in common."""
    values = np.sort([box[side] for box in boxes if box is not None])
    if not len(values):
        return None
    middle = float(np.median(values))
    same = int((np.abs(values - middle) <= SAME_SIDE).sum())
    return middle if same >= MOST * count else None


def _shown(pages: Sequence[Page]) -> Box:
    """Return the box of all that the pages show."""
    boxes = [stroke.box for page in pages for stroke in page.strokes]
    boxes += [patch.box for page in pages for patch in page.patches]
    boxes += [words.box for page in pages for words in page.words]
    return box_round(boxes) or (0.0, 0.0, pages[0].width, pages[0].height)
