# SPDX-License-Identifier: GPL-2.0-or-later
"""The sheet: every page in its place, cut along the middle of its overlaps, lines made whole."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import reduce

import numpy as np
import shapely

from extension.joining.lines import put_together
from extension.joining.segments import FloatArray, Look
from extension.pages.arranging import Arrangement
from extension.pages.clips import Region, seen
from extension.pages.letters import made_whole
from extension.pages.linking import linked
from extension.pages.marks import (
    ON_SEAM,
    SeamLines,
    ends_of_long,
    marks_of_lines,
    marks_of_patches,
    marks_of_words,
)
from extension.pages.model import Box, Page, Patch, Place, SheetLine, Words, meets, within
from extension.pages.reading import ROUNDED, cut_ring, polygons, rings_of
from extension.pages.texts import parted
from extension.svg.model import Matrix
from extension.svg.transforms import multiply, translation

SAME = 0.5
"""mm by which what two pages show of an overlap may differ in place."""
MEASURED = 1.0
"""mm by which the box of a text may be off, whose width is guessed by its letters."""


@dataclass(frozen=True, eq=False, slots=True)
class Together:
    """The sheet; `joined` counts the ends that were made one, `open_ends` those left at an edge.

    `dropped` counts matching marks; the map beside a text leads
    from the canvas, where its leaf lies, to the sheet.
    """

    lines: tuple[SheetLine, ...]
    patches: tuple[Patch, ...]
    words: tuple[tuple[Words, Matrix], ...]
    size: tuple[float, float]
    joined: int
    open_ends: tuple[tuple[float, float], ...]
    dropped: int


def put_pages(pages: Sequence[Page], window: Box, arrangement: Arrangement) -> Together:
    """Return the sheet that pages make, each in its place."""
    layout = _Layout(window, arrangement)
    strokes = [
        SheetLine(points + layout.shift(place), closed, stroke.look, stroke.of, stroke.layer)
        for number, place in arrangement.places.items()
        for stroke in pages[number].strokes
        for points, closed in seen(stroke.points, stroke.closed, Region(layout.cell(place)))
    ]
    lines, joined = _made_whole(strokes, layout)
    patches = _patches(pages, layout, arrangement.places)
    words = _words(pages, layout, arrangement.places)
    tips = ends_of_long(lines)
    marks: set[object] = {
        *marks_of_lines(lines, layout.seams, tips),
        *marks_of_patches(patches, layout.seams, tips),
        *marks_of_words(
            [(one, box) for one, _, box in words],
            layout.seams,
            [
                (one, layout.moved(one.box, place))
                for number, place in arrangement.places.items()
                for one in pages[number].letters
            ],
        ),
    }
    marks |= set(_doubles(lines, layout))
    kept = [line for line in lines if line not in marks]
    return Together(
        tuple(kept),
        tuple(patch for patch in patches if patch not in marks),
        tuple((one, matrix) for one, matrix, _ in words if one not in marks),
        layout.size,
        joined,
        tuple(layout.open_ends(kept)),
        len(marks),
    )


class _Layout:
    """Where pages lie on the sheet, and where they meet."""

    def __init__(self, window: Box, arrangement: Arrangement) -> None:
        self._window = window
        self._overlap = arrangement.overlap
        self._taken = set(arrangement.places.values())
        across, down = window[2] - window[0], window[3] - window[1]
        self._step = across - arrangement.overlap[0], down - arrangement.overlap[1]
        self.size = (
            across + (arrangement.columns - 1) * self._step[0],
            down + (arrangement.rows - 1) * self._step[1],
        )
        self.seams = SeamLines(
            self._seams_of(0, arrangement.columns), self._seams_of(1, arrangement.rows)
        )

    def _seams_of(self, axis: int, count: int) -> FloatArray:
        seams: FloatArray = np.arange(1.0, float(count)) * self._step[axis]
        return seams + self._overlap[axis] / 2.0

    def shift(self, place: Place) -> FloatArray:
        """Return by how much a page moves from its own corner to its place."""
        row, column = place
        return np.array(
            [column * self._step[0] - self._window[0], row * self._step[1] - self._window[1]]
        )

    def moved(self, box: Box, place: Place) -> Box:
        """Return a box of a page as it lies on the sheet."""
        x, y = self.shift(place).tolist()
        return box[0] + x, box[1] + y, box[2] + x, box[3] + y

    def cell(self, place: Place) -> Box:
        """Return what of a page is used, mm on the page: its window to the middle of overlaps.

        A hair more of it, so that what lies on an edge is whole on one page at least.
        """
        row, column = place
        half = self._overlap[0] / 2.0, self._overlap[1] / 2.0
        left, top, right, bottom = self._window
        return (
            left + (half[0] if (row, column - 1) in self._taken else 0.0) - ROUNDED,
            top + (half[1] if (row - 1, column) in self._taken else 0.0) - ROUNDED,
            right - (half[0] if (row, column + 1) in self._taken else 0.0) + ROUNDED,
            bottom - (half[1] if (row + 1, column) in self._taken else 0.0) + ROUNDED,
        )

    def perhaps_cut(self, patch: Patch, place: Place) -> Patch:
        """Return a filled shape as cut when it ends where its page does and another goes on."""
        row, column = place
        beside = ((row, column - 1), (row - 1, column), (row, column + 1), (row + 1, column))
        ends = (
            abs(side - edge) <= ON_SEAM and other in self._taken
            for side, edge, other in zip(patch.box, self._window, beside, strict=True)
        )
        return replace(patch, whole=False) if any(ends) else patch

    def rows_at_edges(self, words: Sequence[Words], place: Place) -> Iterator[Words]:
        """Yield texts of a page, those that another page may show as well row by row."""
        left, top, right, bottom = self.cell(place)
        across, down = self._overlap
        inner = (left + across, top + down, right - across, bottom - down)
        for one in words:
            if within(one.box, inner):
                yield one
                continue
            x, y = one.box[0] - one.leaf.box[0], one.box[1] - one.leaf.box[1]
            for row in parted(one.leaf, by_rows=True):
                low_x, low_y, high_x, high_y = row.box
                yield replace(one, leaf=row, box=(low_x + x, low_y + y, high_x + x, high_y + y))

    def open_ends(self, lines: Sequence[SheetLine]) -> Iterator[tuple[float, float]]:
        """Yield where lines end at an edge over which they do not go on."""
        for line in lines:
            if line.closed:
                continue
            ends = line.points[[0, -1]]
            if not self.seams.on(line.points).all():
                for end in ends[self.seams.on(ends)].tolist():
                    yield end[0], end[1]


# --- lines ---------------------------------------------------------------------------------------


def _made_whole(lines: Sequence[SheetLine], layout: _Layout) -> tuple[list[SheetLine], int]:
    """Return the lines with those that go on over an edge made one, and how many ends that were."""
    done = [line for line in lines if line.closed]
    parts = [line for line in lines if not line.closed]
    if not parts:
        return done, 0
    tips = np.concatenate([part.points[[0, -1]] for part in parts])
    links = linked(parts, layout.seams.on(tips))
    # What goes to and fro over an edge may come to nothing but its middle.
    whole = [line for line in _chains(parts, links) if len(line.points) > 1]
    return done + whole, len(links)


def _doubles(lines: Sequence[SheetLine], layout: _Layout) -> Iterator[SheetLine]:
    """Yield the lines along an edge that lie on another one: both pages show what is just there."""
    along = [line for line in lines if layout.seams.on(line.points).all()]
    shapes = {
        line: shapely.LineString(np.vstack([line.points, line.points[: line.closed]]))
        for line in lines
        if along
    }
    gone: set[SheetLine] = set()
    for line in along:
        reach = shapely.buffer(shapes[line], 0.1)
        for other in lines:
            if other is not line and other not in gone and reach.intersects(shapes[other]):
                points = shapely.points(line.points)
                if (shapely.distance(points, shapes[other]) <= 0.1).all():
                    gone.add(line)
                    yield line
                    break


def _chains(parts: Sequence[SheetLine], links: Mapping[int, int]) -> Iterator[SheetLine]:
    """Yield the lines that parts make whose ends are linked: 2 k is the first end of part k."""
    used: set[int] = set()
    loose = [end for end in range(2 * len(parts)) if end not in links]
    # First what has an end of its own; what is left then goes round.
    for start in [*loose, *range(2 * len(parts))]:
        if start // 2 in used:
            continue
        pieces, end, of, layer = [], start, [], ""
        while True:
            number = end // 2
            used.add(number)
            pieces.append(parts[number].points if end % 2 == 0 else parts[number].points[::-1])
            of += parts[number].of
            layer = layer or parts[number].layer
            far = links.get(end ^ 1)
            closed = far == start
            if far is None or far // 2 in used:
                break
            end = far
        line = _one(pieces, closed, parts[start // 2].look)
        yield replace(line, of=tuple(of), layer=layer)


def _one(pieces: Sequence[FloatArray], closed: bool, look: Look) -> SheetLine:
    """Return lines that follow each other as one, meeting in the middle between their ends."""
    pieces = [piece.copy() for piece in pieces]
    last = len(pieces) if closed else len(pieces) - 1
    for index in range(last):
        one, two = pieces[index], pieces[(index + 1) % len(pieces)]
        middle = (one[-1] + two[0]) / 2.0
        one[-1] = two[0] = middle
    points = put_together(pieces)
    if closed and len(points) > 1 and np.abs(points[0] - points[-1]).max() <= 1e-9:
        points = points[:-1]
    return SheetLine(points, closed and len(points) > 2, look)


# --- what is filled, and what is written ---------------------------------------------------------


def _patches(pages: Sequence[Page], layout: _Layout, places: Mapping[int, Place]) -> list[Patch]:
    """Return the filled shapes, those that pages show twice once.

    One that any page shows whole is taken from there, the rest is cut along the edges and put
    together again.
    """
    placed = [
        (_moved(layout.perhaps_cut(patch, place), layout.shift(place)), place)
        for number, place in places.items()
        for patch in pages[number].patches
        if meets(patch.box, layout.cell(place))
    ]
    boxes = np.array([patch.box for patch, _ in placed]).reshape(-1, 4)
    tree = shapely.STRtree(shapely.box(*boxes.T))
    whole: list[Patch] = []
    gone: set[int] = set()
    for index, (patch, _) in enumerate(placed):
        if patch.whole and index not in gone:
            whole.append(patch)
            near = tree.query(shapely.box(*patch.box)).tolist()
            gone.update(n for n in near if within(placed[n][0].box, patch.box, SAME))
    cut: dict[tuple[tuple[str, str | float], ...], list[shapely.Geometry]] = {}
    for index, (patch, place) in enumerate(placed):
        if not patch.whole and index not in gone:
            x, y = layout.shift(place).tolist()
            left, top, right, bottom = layout.cell(place)
            window = shapely.box(left + x, top + y, right + x, bottom + y)
            rings = [part for ring in patch.rings for part in cut_ring(ring, window)]
            shapes = [shapely.make_valid(shapely.Polygon(ring)) for ring in rings]
            # A ring within another is a hole, as in a letter.
            area = reduce(shapely.symmetric_difference, shapes, shapely.Polygon())
            cut.setdefault(tuple(sorted(patch.look.items())), []).append(area)
    return whole + [patch for look, shapes in cut.items() for patch in _mended(dict(look), shapes)]


def _mended(look: dict[str, str | float], shapes: Sequence[shapely.Geometry]) -> Iterator[Patch]:
    """Yield shapes that were cut along edges, put together again."""
    grown = shapely.union_all([shapely.buffer(shape, 0.02, join_style="mitre") for shape in shapes])
    for part in polygons(shapely.buffer(grown, -0.02, join_style="mitre")):
        yield Patch(tuple(rings_of(part)), look, whole=False)


def _moved(patch: Patch, by: FloatArray) -> Patch:
    return Patch(tuple(ring + by for ring in patch.rings), patch.look, patch.whole)


def _without_parts(kept: Sequence[tuple[Words, Matrix, Box]]) -> list[tuple[Words, Matrix, Box]]:
    """Return texts without what is a part of another one, as a page shows it at its edge.

    By their letters, since a part may come in another order; of equals the one in fewest runs.
    """
    letters = {words: Counter("".join(words.text.split())) for words, _, _ in kept}
    order = sorted(
        kept, key=lambda one: (-letters[one[0]].total(), len(one[0].leaf.element), one[2])
    )
    whole: list[tuple[Words, Matrix, Box]] = []
    for one in order:
        words, _, box = one
        if not any(
            letters[words] <= letters[other]
            and within(box, at, MEASURED)
            and abs((box[3] - box[1]) - (at[3] - at[1])) <= MEASURED
            for other, _, at in whole
        ):
            whole.append(one)
    return [one for one in kept if one in whole]


def _same(one: Box, other: Box) -> bool:
    return max(abs(a - b) for a, b in zip(one, other, strict=True)) <= SAME


def _words(
    pages: Sequence[Page], layout: _Layout, places: Mapping[int, Place]
) -> list[tuple[Words, Matrix, Box]]:
    """Return the texts, each once, and the maps from the canvas to the sheet."""
    kept: list[tuple[Words, Matrix, Box]] = []
    for number, place in places.items():
        x, y = layout.shift(place).tolist()
        for words in layout.rows_at_edges(pages[number].words, place):
            if not meets(words.box, layout.cell(place)):
                continue
            box = layout.moved(words.box, place)
            alike = (
                n
                for n, (one, _, at) in enumerate(kept)
                if one.text == words.text and _same(at, box)
            )
            known = next(alike, None)
            if known is None:
                kept.append((words, multiply(translation(x, y), words.onto_page), box))
            elif kept[known][0].layer != words.layer:
                # What several sizes say alike, at one place, is said of all of them.
                kept[known] = replace(kept[known][0], layer=""), *kept[known][1:]
    return _without_parts(made_whole(kept))
