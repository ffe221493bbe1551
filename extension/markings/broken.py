# SPDX-License-Identifier: GPL-2.0-or-later
"""Labels that stand where an outline is broken, and writing that is seen from behind.

A label within lines that nearly close is the label of a piece that cannot be read yet; without
this it would go to the next piece, or to nobody.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

import shapely
from shapely.geometry import Point as Spot
from shapely.geometry import Polygon

from extension.language.words import listed
from extension.markings.blocks import Block
from extension.pieces.outlines import drawn_lines
from extension.pieces.structure import has_mark_role
from extension.svg.model import Leaf

BRIDGED = 12.0
"""mm between two ends that nearly meet; dashes are as far apart at most."""
CHORD = 0.35
"""Share of its length by which a single line may fail to close."""
LEAST = 400.0
"""mm2 of an outline; less is a notch or a letter."""
FILLED = 0.25
"""Share of an area from which on pieces within it make it a frame round them."""
MANY = 6
"""Labels that a sentence names."""


class Unclosed:
    """The areas that open lines nearly enclose, worked out when they are first asked for."""

    def __init__(self, leaves: Sequence[Leaf], pieces: Sequence[Polygon]) -> None:
        self._leaves = leaves
        self._pieces = pieces

    def holds(self, block: Block) -> bool:
        """Return whether a label stands in such an area."""
        spot = Spot(block.middle)
        return any(area.contains(spot) for area in self._areas)

    @cached_property
    def _areas(self) -> list[Polygon]:
        lines = [
            drawn_lines(leaf)
            for leaf in self._leaves
            if leaf.rings
            and not any(ring.closed for ring in leaf.rings)
            and not has_mark_role(leaf)
            and not leaf.far
        ]
        tree = shapely.STRtree(self._pieces)
        return [
            area
            for area in (*_by_gaps(lines), *_by_chords(lines))
            if area.area >= LEAST and not self._is_frame(area, tree)
        ]

    def _is_frame(self, area: Polygon, tree: shapely.STRtree) -> bool:
        inside = [self._pieces[int(hit)] for hit in tree.query(area, "contains")]
        return sum(float(piece.area) for piece in inside) >= FILLED * float(area.area)


def _by_gaps(lines: Sequence[shapely.geometry.base.BaseGeometry]) -> Iterator[Polygon]:
    """Yield the areas that lines enclose when ends that nearly meet do meet."""
    thick = shapely.union_all(shapely.buffer(lines, BRIDGED / 2.0, quad_segs=2)) if lines else None
    for part in shapely.get_parts(thick) if thick is not None else ():
        for ring in part.interiors:
            yield Polygon(ring).buffer(BRIDGED / 2.0)


def _by_chords(lines: Sequence[shapely.geometry.base.BaseGeometry]) -> Iterator[Polygon]:
    """Yield the areas of single lines that fail to close by a wider gap."""
    for line in (part for each in lines for part in shapely.get_parts(each)):
        ends = line.coords[0], line.coords[-1]
        if len(line.coords) > 2 and Spot(ends[0]).distance(Spot(ends[1])) <= CHORD * line.length:
            area = Polygon(line.coords).buffer(0.0)
            yield from (part for part in shapely.get_parts(area) if isinstance(part, Polygon))


def about_unclosed(blocks: Sequence[Block]) -> list[str]:
    """Return what to say of labels that stand where an outline is not closed."""
    return _about(
        blocks,
        "stands where an outline is not closed, so no piece was read there: close it "
        "(2. Join Broken Lines), then read again.",
        "stand where outlines are not closed, so no pieces were read there: close them "
        "(2. Join Broken Lines), then read again.",
    )


def about_homeless(blocks: Sequence[Block]) -> list[str]:
    """Return what to say of labels that say what to cut and belong to no outline at all."""
    return _about(
        blocks,
        "says what to cut, but stands on no piece: close the outline that it is for "
        "(2. Join Broken Lines), or move it onto its piece, and read again.",
        "say what to cut, but stand on no piece: close the outlines that they are for "
        "(2. Join Broken Lines), or move them onto their pieces, and read again.",
    )


def _about(blocks: Sequence[Block], one: str, several: str) -> list[str]:
    """Return what is said of one label, or of several, behind their words; nothing of none."""
    said = listed([f"“{block.plain}”" for block in blocks], MANY)
    return [f"{said} {one if len(blocks) == 1 else several}"] if blocks else []


def is_mirrored(block: Block) -> bool:
    """Return whether the letters of a label are seen from behind, as in a mirror.

    The page's y points down, so of upright letters the top lies to the left of the way they read.
    """
    line = block.lines[0]
    (along_x, along_y), (up_x, up_y) = line.along, line.up
    return along_x * up_y - along_y * up_x > 0.0


def about_mirrored(blocks: Sequence[Block]) -> list[str]:
    """Return what to look at on a piece that has a hand, where its writing is mirrored.

    Mirrored pairs have none, nor has what is drawn on the fold.
    """
    if not any(map(is_mirrored, blocks)):
        return []
    return [
        "Its writing is mirrored, as seen from behind: if the outline is, too, it is cut for the "
        "wrong side. Unless it is meant so, turn it round (Object, Flip Horizontal)."
    ]
