# SPDX-License-Identifier: GPL-2.0-or-later
"""Closed lines that run along inside a piece, where words speak of several sizes.

One such line is a stitching line as a rule, and the outer outline is cut. Two sizes of a piece that
was graded by even steps look just the same, and laid that way the smaller one would be missing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely.geometry import Polygon

from extension.markings.associating import Sheet
from extension.markings.blocks import Block
from extension.markings.legends import Look, look_of
from extension.markings.sizewords import bare_sizes, told_size
from extension.markings.sizing import NEST_RATIO, Sizes
from extension.pieces.containment import usual_gap
from extension.pieces.objects import size_of
from extension.pieces.outlines import SMALL, ClosedShape, is_same
from extension.pieces.sizes import names_several
from extension.svg.model import Leaf
from extension.svg.seen import quoted


def second_lines(sheet: Sheet, sizes: Sizes) -> dict[int, list[str]]:
    """Return what to ask about lines that may be another size, by the index of their piece."""
    asked: dict[int, list[str]] = {}
    nests = _looks_of_nests(sheet)
    for index in sheet.candidates:
        leaf = sheet.shape(index).leaf
        size = size_of(leaf)
        if size is not None and not names_several(size):
            continue
        blocks = (*sheet.texts.get(sheet.family[index], ()), *sheet.loose)
        for inner in _lines_along(sheet, index):
            alike = look_of(inner.leaf) == look_of(leaf)
            words = next(_several(blocks, also_either=alike), None)
            why = f"{quoted(words)} names several sizes" if words else ""
            if inner.leaf in sizes.unclear:
                why = why or "several numbers stand at the two lines"
            if alike and look_of(leaf) in nests:
                why = why or "outlines in other pieces may be other sizes"
            if why:
                asked.setdefault(index, []).append(
                    f"A closed line runs along inside it, and {why}: is that its stitching line, "
                    "or another size? Give the line lay:role=“stitching”, or both outlines their "
                    "lay:size."
                )
    return asked


def _looks_of_nests(sheet: Sheet) -> set[Look]:
    """Return how outlines are drawn that lie in others drawn alike, and may be sizes of them."""
    shapes = sheet.structure.shapes
    looks = set()
    for index in sheet.candidates:
        standing = sheet.structure.standings[index]
        if standing.kind == "unexplained" and standing.owner is not None:
            one, other = shapes[index], shapes[standing.owner]
            look = look_of(one.leaf)
            # What lies exactly on another outline is there twice, and tells nothing of sizes.
            if one.area >= NEST_RATIO * other.area and look == look_of(other.leaf):
                looks |= set() if is_same(one, other) else {look}
    return looks


def seam_inside(sheet: Sheet, index: int, own: Sequence[Leaf]) -> float | None:
    """Return how far inside a piece the line runs that is taken for its stitching line, mm.

    `own` are the leaves on the piece. None where there is no such line.
    """
    lines = [inner.polygon for inner in _lines_along(sheet, index)]
    said = [leaf for leaf in own if leaf.attributes.get("role") == "stitching"]
    rings = [ring.points for leaf in said for ring in leaf.rings if ring.closed]
    lines += [Polygon(points) for points in rings if len(points) > 3]
    gaps = [usual_gap(sheet.shape(index).polygon, line) for line in lines]
    return min(gaps, default=None)


def _lines_along(sheet: Sheet, index: int) -> Iterator[ClosedShape]:
    """Yield the lines of a piece that were taken for its stitching lines by their course."""
    area = sheet.shape(index).area
    for place, standing in enumerate(sheet.structure.standings):
        inner = sheet.structure.shapes[place]
        if standing.kind == "mark" and standing.owner == index and inner.area >= SMALL * area:
            yield inner


def _several(blocks: Sequence[Block], *, also_either: bool) -> Iterator[str]:
    """Yield the words that name several sizes; `36/38` alone is one size as often as two."""
    for block in blocks:
        for words, shown in [
            *((line.text, line.text) for line in block.lines),
            (block.text, block.plain),
        ]:
            size = told_size(words)
            if size is not None and names_several(size):
                yield shown
        for line in block.lines:
            found = bare_sizes(line.text)
            if len(found) > 1 and (also_either or "/" not in line.text):
                yield line.text
