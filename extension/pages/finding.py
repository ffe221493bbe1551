# SPDX-License-Identifier: GPL-2.0-or-later
"""Which pages there are: those of the editor, one a file, or layers, groups or frames on a canvas.

The editor's own reader of PDF files makes a page (`inkscape:page`) and a layer "Page 1" ... of each
page when it opens all of them at once (seen in Inkscape 1.2.2), and its other reader opens one page
a document.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

import numpy as np
import shapely

from extension.language.errors import DrawingError
from extension.pages.clips import Regions
from extension.pages.imported import came_with, windows_lost
from extension.pages.model import Box, box_round, within
from extension.pages.reading import Found, seen_box
from extension.svg.document import Document
from extension.svg.identities import INKSCAPE
from extension.svg.model import Leaf
from extension.svg.transforms import apply, apply_vector

LEAST_PAGE = 90.0
"""mm; nothing smaller is a page to print on (A6 is 105 x 148 mm, ISO 216)."""
SAME_SIZE = 1.0
"""mm by which pages that lie about on a canvas may differ in size."""
SHEET = "sheet"
"""The attribute of the layer that a sheet was put together on."""
NO_PAGES = (
    "No pages were found: open all pages of the pattern's PDF at once, or name one drawing for "
    "each page, or group the lines of each page together with a frame round it."
)
UNEVEN = (
    "It cannot be told where each page begins and ends: the {what} are of different sizes, so open "
    "all pages of the PDF at once, or draw a frame of the size of the paper round each page."
)


def find_pages(
    documents: Sequence[Document], leaves: Sequence[Sequence[Leaf]], selected: Sequence[str]
) -> tuple[Found, ...]:
    """Return the pages of one drawing, or of several with a page each, in their given order.

    `leaves` are those of each document; `selected` ids of layers, groups or lines of the one
    drawing that take part, none for all. Raises DrawingError when there are no pages.
    """
    if len(documents) > 1:
        return tuple(
            page
            for number, (document, drawn) in enumerate(zip(documents, leaves, strict=True), 1)
            for page in _of_file(document, drawn, number)
        )
    document, drawn = documents[0], _chosen(leaves[0], selected)
    regions = Regions()
    pages = editor_pages(document)
    if len(pages) > 1:
        return tuple(_on_pages(pages, drawn, regions))
    found = _on_canvas(drawn, regions)
    if found is not None:
        return tuple(found)
    # A sheet by itself may reach beyond its page, so it is all that is drawn.
    boxes = [box for leaf in drawn if (box := seen_box(leaf, regions)) is not None]
    box = box_round(boxes)
    return (Found("page 1", box, tuple(drawn)),) if box is not None else ()


def _of_file(document: Document, drawn: Sequence[Leaf], number: int) -> list[Found]:
    pages = editor_pages(document)
    if len(pages) > 1:
        return list(_on_pages(pages, drawn, Regions()))
    name = f"“{document.path.name}”" if document.path is not None else f"page {number}"
    return [Found(name, pages[0][1] if pages else page_box(document), tuple(drawn))]


def page_box(document: Document) -> Box:
    """Return the box of the page of a drawing that has one alone, mm."""
    width, height = apply_vector(document.page, document.viewport)
    return 0.0, 0.0, abs(width), abs(height)


def editor_pages(document: Document) -> list[tuple[str, Box]]:
    """Return the ids and boxes, mm, of the pages that the editor has in a drawing, in its order."""
    found = []
    for node in document.root.iter(f"{{{INKSCAPE}}}page"):
        try:
            x, y, width, height = (float(node.get(name, "")) for name in _SIDES)
        except ValueError:
            continue
        low, high = apply(document.page, (x, y)), apply(document.page, (x + width, y + height))
        if min(high[0] - low[0], high[1] - low[1]) >= LEAST_PAGE and np.isfinite(high).all():
            found.append((node.get("id", ""), (low[0], low[1], high[0], high[1])))
    return found


_SIDES = ("x", "y", "width", "height")


def _chosen(leaves: Sequence[Leaf], selected: Sequence[str]) -> list[Leaf]:
    """Return the leaves that take part. Raises DrawingError when nothing has a selected id."""
    if not selected:
        return list(leaves)
    wanted = set(selected)
    names = {leaf: {leaf.id, *(group.id for group in leaf.groups)} for leaf in leaves}
    unknown = wanted - {name for own in names.values() for name in own}
    if unknown:
        first = next(name for name in selected if name in unknown)
        raise DrawingError(
            f"Nothing that is drawn is called “{first}”: select the layers or groups of the pages, "
            "or nothing for all of them.",
            first,
        )
    return [leaf for leaf in leaves if names[leaf] & wanted]


# --- pages of the editor -------------------------------------------------------------------------


def _on_pages(
    pages: Sequence[tuple[str, Box]], leaves: Sequence[Leaf], regions: Regions
) -> Iterable[Found]:
    """Yield the pages of the editor with what lies on each.

    What is on a layer belongs to the layer's page, wherever it reaches: a page may hold the whole
    sheet behind its clip. What is on a layer of several pages belongs to the one it came with.
    """
    frames = [frame for _, frame in pages]
    held: list[list[Leaf]] = [[] for _ in frames]
    loose: list[Leaf] = []
    layers = _by_outermost(leaves)
    numbers = _pages_of_layers(frames, list(layers.values()), regions)
    for own, number in zip(layers.values(), numbers, strict=True):
        if number is None:
            loose += own
        else:
            held[number] += own
    came = came_with(pages, loose, regions)
    shared: list[list[Leaf]] = [[] for _ in frames]
    for leaf in loose:
        number = came[leaf] if leaf in came else _most_on(frames, leaf, regions)
        if number is not None:
            held[number].append(leaf)
            shared[number] += [leaf] if leaf in came else []
    lost = windows_lost(frames, shared, regions)
    for number, (frame, own) in enumerate(zip(frames, held, strict=True), start=1):
        windows = {leaf: lost[leaf] for leaf in own if leaf in lost}
        yield Found(f"page {number}", frame, tuple(own), windows)


def _by_outermost(leaves: Sequence[Leaf]) -> dict[str, list[Leaf]]:
    """Return the leaves by the layer they lie on, "" for those on none."""
    layers: dict[str, list[Leaf]] = {}
    for leaf in leaves:
        outer = leaf.groups[0] if leaf.groups else None
        name = outer.id if outer is not None and outer.is_layer else ""
        layers.setdefault(name, []).append(leaf)
    return layers


def _pages_of_layers(
    frames: Sequence[Box], layers: Sequence[Sequence[Leaf]], regions: Regions
) -> list[int | None]:
    """Return which page each layer is of, None where a layer serves several pages."""
    if len(layers) > 1 and len(layers) == len(frames):
        names = (own[0].groups[0].label if own[0].groups else "" for own in layers)
        # “Page 1”, “1”, in any language of the editor.
        numbers = (re.search(r"(\d+)\s*$", name) for name in names)
        if all(found and int(found[1]) == n for n, found in enumerate(numbers, start=1)):
            return list(range(len(frames)))
    found: list[int | None] = []
    for own in layers:
        boxes = [box for leaf in own if (box := seen_box(leaf, regions)) is not None]
        holding = [n for n, frame in enumerate(frames) if all(within(b, frame, 1.0) for b in boxes)]
        found.append(holding[0] if boxes and holding else None)
    taken = [number for number in found if number is not None]
    return [None if taken.count(number or 0) > 1 else number for number in found]


def _most_on(frames: Sequence[Box], leaf: Leaf, regions: Regions) -> int | None:
    """Return the page that most of what is seen of a leaf lies on, else that of its clip."""
    box = seen_box(leaf, regions)
    if box is None and leaf.clips:
        box = regions.of(leaf.clips).box
    if box is None or not np.isfinite(box).all():
        return None
    sides = np.array(frames)
    shared = np.minimum(sides[:, 2:], box[2:]) - np.maximum(sides[:, :2], box[:2])
    meeting = (shared >= 0.0).all(axis=1)
    # Lines along an axis have no area.
    for shares in (shared.prod(axis=1), shared.max(axis=1)):
        most = int(np.argmax(np.where(meeting, shares, 0.0)))
        if meeting[most] and shares[most] > 0.0:
            return most
    return None


# --- pages that lie about on one canvas ----------------------------------------------------------


def _on_canvas(leaves: Sequence[Leaf], regions: Regions) -> list[Found] | None:
    """Return pages that are layers, groups, or framed by a rectangle; None when there are none."""
    for layers in (True, False):
        found = _grouped(leaves, layers, regions)
        if len(found) < 2:
            continue
        sizes = np.array([[p.box[2] - p.box[0], p.box[3] - p.box[1]] for p in found])
        large = (sizes >= LEAST_PAGE).all()
        if large and np.ptp(sizes, axis=0).max() <= SAME_SIZE:
            return found
    framed = _framed(leaves, regions)
    if framed:
        return framed
    groups = _grouped(leaves, False, regions) or _grouped(leaves, True, regions)
    if len(groups) > 1 and all(_is_large(page.box) for page in groups):
        raise DrawingError(UNEVEN.format(what="groups that might be pages"))
    return None


def _is_large(box: Box) -> bool:
    return min(box[2] - box[0], box[3] - box[1]) >= LEAST_PAGE


def _grouped(leaves: Sequence[Leaf], layers: bool, regions: Regions) -> list[Found]:
    """Return what lies in each layer, or else in each outermost group, as a page."""
    held: dict[str, list[Leaf]] = {}
    for leaf in leaves:
        groups = [group for group in leaf.groups if group.is_layer == layers]
        if groups:
            held.setdefault(groups[0].id, []).append(leaf)
    found = []
    for number, own in enumerate(held.values(), start=1):
        boxes = [_painted_box(leaf, regions) for leaf in own]
        box = box_round([box for box in boxes if box is not None])
        if box is not None:
            found.append(Found(f"page {number}", box, tuple(own)))
    return found


def _painted_box(leaf: Leaf, regions: Regions) -> Box | None:
    """Return the box of what is seen of a leaf, a white background among it."""
    if leaf.hidden or leaf.far:
        return None
    if leaf.rings and not (seen_box(leaf, regions) or leaf.style.get("fill", "black") != "none"):
        return None
    region = regions.of(leaf.clips).within(leaf.box)
    low, high = region.box[:2], region.box[2:]
    return region.box if low[0] <= high[0] and low[1] <= high[1] else None


def _framed(leaves: Sequence[Leaf], regions: Regions) -> list[Found]:
    """Return the pages that rectangles of one size mark, two at least, each with what is in it."""
    frames: list[Box] = []
    for leaf in leaves:
        if leaf.hidden or len(leaf.rings) != 1 or not leaf.rings[0].closed:
            continue
        if not _is_rectangle(np.array(leaf.rings[0].points)) or not _is_large(leaf.box):
            continue
        if not any(np.allclose(leaf.box, known, atol=SAME_SIZE) for known in frames):
            frames.append(leaf.box)
    if len(frames) < 2:
        return []
    sizes = np.array([[box[2] - box[0], box[3] - box[1]] for box in frames])
    if np.ptp(sizes, axis=0).max() > SAME_SIZE:
        return []
    pages = [("", frame) for frame in frames]
    return [page for page in _on_pages(pages, list(leaves), regions) if page.leaves]


def _is_rectangle(points: np.ndarray) -> bool:
    """Return whether a ring is a rectangle along the axes."""
    low, high = points.min(axis=0), points.max(axis=0)
    on_side = (np.abs(points - low) <= 0.05) | (np.abs(points - high) <= 0.05)
    area = float(shapely.Polygon(points).area) if len(points) > 2 else 0.0
    return bool(on_side.any(axis=1).all()) and area >= 0.999 * float(np.prod(high - low)) > 0.0
