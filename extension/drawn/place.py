# SPDX-License-Identifier: GPL-2.0-or-later
"""Where a new layout goes: right of everything drawn, later ones below with the same left edge."""

from __future__ import annotations

from collections.abc import Sequence

from extension.svg.decoration import USABLE_CLOTH
from extension.svg.document import Document
from extension.svg.model import REACH, Leaf
from extension.svg.transforms import apply_vector
from nesting.model import Point

BELOW = "below the layouts that were there before"
BESIDE_SHEET = "to the right of the pattern sheet"
RIGHT = "to the right of your drawing"

Box = tuple[float, float, float, float]
"""x_low, y_low, x_high, y_high in mm."""

NEAR = REACH / 2.0
"""mm from the page within which what is drawn decides where a layout goes: nobody looks for it
beside a stray object, and far enough away it could not be read again."""
CLEARANCE = 100.0
"""mm between what is drawn and a layout, and between layouts."""


def free_place(document: Document, leaves: Sequence[Leaf], needed: Box) -> Point:
    """Return where on the page (mm) the sheet's origin goes.

    `leaves` are everything drawn, earlier layouts included; strays do not count. `needed` is the
    box of the new layout about its origin.
    """
    everything = boxes_of_all(document, leaves)
    boxes = [leaf.box for leaf in leaves if _is_of_layout(leaf) and _is_near(leaf)]
    if boxes:
        left = max(_cloths(leaves) or boxes, key=_area)[0]
        in_the_way = [box for box in everything if _meets(box, left + needed[0], left + needed[2])]
        bottom = max(box[3] for box in (*boxes, *in_the_way))
        return left, bottom + CLEARANCE - needed[1]
    sheets = [leaf.box for leaf in leaves if _is_of_sheet(leaf) and _is_near(leaf)]
    if sheets:
        # Beside the last sheet, where the pages that it was made of leave room.
        x = max(box[2] for box in sheets) + CLEARANCE - needed[0]
        y = min(box[1] for box in sheets) - needed[1]
        low, high = y + needed[1], y + needed[3]
        if not any(box[2] > x and box[1] < high and box[3] > low for box in everything):
            return x, y
    right, top = max(box[2] for box in everything), min(box[1] for box in everything)
    return right + CLEARANCE - needed[0], top - needed[1]


def where_free(leaves: Sequence[Leaf]) -> str:
    """Return in words where `free_place` lets a layout or a table go, beside what `leaves` are."""
    near = [leaf for leaf in leaves if _is_near(leaf)]
    if any(map(_is_of_layout, near)):
        return BELOW
    return BESIDE_SHEET if any(map(_is_of_sheet, near)) else RIGHT


def place_below(document: Document, leaves: Sequence[Leaf]) -> Point:
    """Return where on the page (mm) a sheet goes: below everything drawn, from its left edge on.

    The pages that it is made of may lie in a row of many metres.
    """
    boxes = boxes_of_all(document, leaves)
    return min(box[0] for box in boxes), max(box[3] for box in boxes) + CLEARANCE


def boxes_of_all(document: Document, leaves: Sequence[Leaf]) -> list[Box]:
    """Return the boxes of the page and of everything drawn but strays, mm."""
    return [page_box(document), *(leaf.box for leaf in leaves if _is_near(leaf))]


def page_box(document: Document) -> Box:
    """Return the box of the page, mm."""
    width, height = apply_vector(document.page, document.viewport)
    return 0.0, 0.0, abs(width), abs(height)


def _is_of_layout(leaf: Leaf) -> bool:
    """Return whether a leaf belongs to a layout."""
    return any("layout" in group.attributes for group in leaf.groups)


def _cloths(leaves: Sequence[Leaf]) -> list[Box]:
    """Return the boxes of what says that it is where the cloth of a layout begins.

    It is the largest thing in a layout that does not say so, also after she moved the layer.
    """
    said = [leaf for leaf in leaves if leaf.attributes.get("decoration") == USABLE_CLOTH]
    return [leaf.box for leaf in said if _is_of_layout(leaf) and _is_near(leaf)]


def _is_of_sheet(leaf: Leaf) -> bool:
    """Return whether a leaf is on a sheet that was put together."""
    return any("sheet" in group.attributes for group in leaf.groups)


def _is_near(leaf: Leaf) -> bool:
    """Return whether all of a leaf is near enough to the page."""
    return not leaf.far and all(abs(side) <= NEAR for side in leaf.box)


def _meets(box: Box, low: float, high: float) -> bool:
    """Return whether a box reaches into the columns from `low` to `high`."""
    return box[0] < high and box[2] > low


def _area(box: Box) -> float:
    """Return the area of a box, mm2."""
    return (box[2] - box[0]) * (box[3] - box[1])
