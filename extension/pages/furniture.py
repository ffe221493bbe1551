# SPDX-License-Identifier: GPL-2.0-or-later
"""What a page has of its own: frame, page number, matching marks, notes in the margin.

Told by what comes back: a pattern goes on from page to page, and nothing of it lies at the same
place of two pages; what the pages have for being put together does.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from extension.joining.nearest import tree_of
from extension.joining.segments import FloatArray, length_of
from extension.pages.labels import MOST, Labelling, same_spot
from extension.pages.model import Box, Page, Patch, Stroke, Words, box_round

SAME_PLACE = 0.3
"""mm by which a thing may lie differently on two pages and still be the same of both."""
MARGIN = 35.0
"""mm from the edge of the paper within which marks and notes for putting together lie."""
SMALL = 40.0
"""mm; a mark for putting together is no larger."""
LARGE = 0.6
"""Share of a side of the paper from which on a line along it may be a side of a frame."""
LETTERS = 2
"""So many letters or digits a matching mark has at most."""
WIDTHS = 1.5
"""mm by which the middles of letters of different widths may be off."""
OF_LETTERS = 3
"""Pages on which letters stand in one place before they are taken for marks: not by chance."""
ROW = 60.0
"""mm within which another dash of the same line lies."""
STRAIGHT = 0.05
"""mm by which a side of a frame may leave its axis."""


def without_furniture(
    pages: Sequence[Page], labels: Sequence[Labelling]
) -> tuple[tuple[Page, ...], int]:
    """Return the pages without what they have of their own, and how many things that were."""
    if len(pages) < 2:
        return tuple(pages), 0
    strokes = [(n, stroke) for n, page in enumerate(pages) for stroke in page.strokes]
    patches = [(n, patch) for n, page in enumerate(pages) for patch in page.patches]
    frames = _frames(pages, strokes)
    gone: set[object] = {words for one in labels for words in one.words}
    letters = _letters(pages)
    gone |= frames | letters | _marks(pages, strokes) | _patches(pages, patches) | _words(pages)
    kept = tuple(
        replace(
            page,
            strokes=tuple(one for one in page.strokes if one not in gone),
            patches=tuple(one for one in page.patches if one not in gone),
            words=tuple(one for one in page.words if one not in gone),
            frame=box_round([one.box for one in page.strokes if one in frames]),
            letters=tuple(one for one in page.words if one in letters),
        )
        for page in pages
    )
    return kept, len(gone)


def _frames(pages: Sequence[Page], drawn: Sequence[tuple[int, Stroke]]) -> set[object]:
    """Return the frames of the pages, each drawn as a rectangle or side by side."""
    counts = _on_pages(drawn, lambda stroke: [*stroke.box, length_of(stroke.points)])
    most = max(2.0, MOST * len(pages))
    gone: set[object] = set()
    sides: list[Stroke] = []
    for (number, stroke), count in zip(drawn, counts, strict=True):
        page = pages[number]
        if count >= most and _is_frame(stroke, page):
            gone.add(stroke)
        elif count >= most and _is_side(stroke, page) and _near_edge(stroke.box, page):
            sides.append(stroke)
    # One line along one edge may be an edge of the pattern; a frame has sides both ways.
    if len({_is_upright(side) for side in sides}) == 2:
        gone.update(sides)
    return gone


def _marks(pages: Sequence[Page], drawn: Sequence[tuple[int, Stroke]]) -> set[object]:
    """Return the small lines near the edges of the paper that several pages have alike.

    Dashes of a line that runs along an edge may lie alike by chance; so a straight line that is one
    of a row has to be on most pages.
    """
    small = [
        (number, stroke)
        for number, stroke in drawn
        if _is_small(stroke.box) and _near_edge(stroke.box, pages[number])
    ]
    counts = _on_pages(small, lambda stroke: [*stroke.box, length_of(stroke.points)])
    most = max(2.0, MOST * len(pages))
    gone: set[object] = set()
    for (number, stroke), count in zip(small, counts, strict=True):
        if count >= most or (count >= 2 and not _is_dash(stroke, pages[number])):
            gone.add(stroke)
    return gone


def _is_dash(stroke: Stroke, page: Page) -> bool:
    """Return whether a straight line has another one in line with it, not far away."""
    if not _is_straight(stroke.points):
        return False
    start, end = stroke.points[0], stroke.points[-1]
    along = (end - start) / np.hypot(*(end - start))
    for other in page.strokes:
        if other is stroke or other.look != stroke.look or not _is_small(other.box):
            continue
        over = other.points[[0, -1]] - start
        across = np.abs(over[:, 0] * along[1] - over[:, 1] * along[0]).max()
        gap = np.hypot(over[:, 0], over[:, 1]).min()
        if across <= SAME_PLACE and gap <= ROW:
            return True
    return False


def _patches(pages: Sequence[Page], drawn: Sequence[tuple[int, Patch]]) -> set[object]:
    counts = _on_pages(drawn, lambda patch: [*patch.box, sum(map(length_of, patch.rings))])
    most = max(2.0, MOST * len(pages))
    return {
        patch
        for (number, patch), count in zip(drawn, counts, strict=True)
        if count >= (2.0 if _near_edge(patch.box, pages[number]) else most)
    }


def _words(pages: Sequence[Page]) -> set[object]:
    """Return texts that stand at the same place of several pages."""
    spoken: dict[str, list[tuple[int, Words]]] = {}
    for number, page in enumerate(pages):
        for words in page.words:
            spoken.setdefault(words.text, []).append((number, words))
    most = max(2.0, MOST * len(pages))
    gone: set[object] = set()
    for alike in spoken.values():
        for number, words in alike:
            places = {other for other, one in alike if same_spot(words, one)}
            needed = 2.0 if _near_edge(words.box, pages[number]) else most
            if len(places) >= needed:
                gone.add(words)
    return gone


def _letters(pages: Sequence[Page]) -> set[Words]:
    """Return the letters of matching marks: other ones on every page, but all in one place of it.

    Where a neighbour is missing, being empty, there is no like of it beyond the edge.
    """
    short = [
        (number, words)
        for number, page in enumerate(pages)
        for words in page.words
        if len(words.text) <= LETTERS and _near_edge(words.box, page)
    ]
    if not short:
        return set()
    # Letters are of one height, but not of one width.
    places = np.array([words.middle for _, words in short]) / (WIDTHS, SAME_PLACE)
    numbers = np.array([number for number, _ in short])
    near = tree_of(places).query_ball_point(places, 1.0, p=np.inf)
    return {
        words
        for (_, words), found in zip(short, near, strict=True)
        if len(set(numbers[found].tolist())) >= OF_LETTERS
    }


def _on_pages(
    drawn: Sequence[tuple[int, Stroke | Patch]], told: Callable[..., list[float]]
) -> list[int]:
    """Return on how many pages each thing is found at the same place, its own among them."""
    if not drawn:
        return []
    features = np.array([told(thing) for _, thing in drawn])
    pages = np.array([number for number, _ in drawn])
    tree = tree_of(features)
    near = tree.query_ball_point(features, SAME_PLACE, p=np.inf)
    return [len(set(pages[found].tolist())) for found in near]


def _is_frame(stroke: Stroke, page: Page) -> bool:
    """Return whether a line is a rectangle of nearly the size of the paper."""
    low_x, low_y, high_x, high_y = stroke.box
    if high_x - low_x < LARGE * page.width or high_y - low_y < LARGE * page.height:
        return False
    on_side = (np.abs(stroke.points - (low_x, low_y)) <= STRAIGHT) | (
        np.abs(stroke.points - (high_x, high_y)) <= STRAIGHT
    )
    return bool(on_side.any(axis=1).all())


def _is_side(stroke: Stroke, page: Page) -> bool:
    """Return whether a line is straight along an edge of the paper, and nearly as long."""
    low_x, low_y, high_x, high_y = stroke.box
    across, down = high_x - low_x, high_y - low_y
    return (across <= STRAIGHT and down >= LARGE * page.height) or (
        down <= STRAIGHT and across >= LARGE * page.width
    )


def _is_upright(stroke: Stroke) -> bool:
    low_x, low_y, high_x, high_y = stroke.box
    return high_y - low_y > high_x - low_x


def _is_small(box: Box) -> bool:
    return max(box[2] - box[0], box[3] - box[1]) <= SMALL


def _near_edge(box: Box, page: Page) -> bool:
    """Return whether something lies near an edge of the paper with all of it."""
    return (
        box[2] <= MARGIN
        or box[3] <= MARGIN
        or box[0] >= page.width - MARGIN
        or box[1] >= page.height - MARGIN
    )


def _is_straight(points: FloatArray) -> bool:
    """Return whether a line is straight."""
    start, end = points[0], points[-1]
    along = end - start
    size = float(np.hypot(*along))
    if size == 0.0:
        return False
    off = points - start
    return bool((np.abs(off[:, 0] * along[1] - off[:, 1] * along[0]) / size <= STRAIGHT).all())
