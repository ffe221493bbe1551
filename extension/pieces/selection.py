# SPDX-License-Identifier: GPL-2.0-or-later
"""Which outlines are the pieces of a run, what is left out and why, and what stands in the way."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shapely.geometry import Polygon

from extension.language.errors import DrawingError
from extension.pieces.attributes import makes_piece
from extension.pieces.marks import lies_on
from extension.pieces.objects import (
    called,
    carriers,
    draws,
    not_laid,
    outline_called,
)
from extension.pieces.outlines import ClosedShape, drawn_lines, is_same
from extension.pieces.scope import Scope
from extension.pieces.structure import Structure, has_mark_role, keyed_groups, says_role
from extension.svg.model import Group, Leaf, LeftOut

ROUND = 0.2
"""Compactness (4 pi area / length2) from which an open line may well be an unclosed outline."""
LEAST_OUTLINE = 1000.0
"""mm2 that such a line encloses at least."""
BROKEN = 50
"""Open lines that belong to no piece from which on a drawing may be a sheet of broken lines."""
NEAR_EDGE = 50.0
"""mm from a piece within which a line along an edge can be meant for no other one."""
SPECK = 0.01
"""Share of the room those lines take that every closed outline of such a sheet is below."""


class UnexplainedOutline(DrawingError):
    """An outline lies in another one, and nothing says what it is."""


@dataclass(frozen=True, eq=False, slots=True)
class Choice:
    """The outlines that are pieces, by index in document order; the rest, named; the faults."""

    pieces: tuple[int, ...]
    left_out: tuple[LeftOut, ...]
    faults: tuple[DrawingError, ...]


def choose(
    leaves: Sequence[Leaf],
    structure: Structure,
    owners: Mapping[int, tuple[int, ...]],
    scope: Scope,
    other_size: Sequence[ClosedShape] = (),
) -> Choice:
    """Return which outlines a run lays; what lies on one of another size is a mark of that.

    What is selected is a piece, and a selected mark stands for its piece. Nothing selected, or a
    layer: the outlines with cutting details if there are any, else every one that is no frame.
    """
    chooser = _Chooser(leaves, structure, owners, scope, other_size)
    pieces = chooser.pieces()
    return Choice(
        tuple(sorted(pieces)),
        tuple(chooser.left_out(pieces)),
        tuple(chooser.faults(pieces)),
    )


def looks_unclosed(leaf: Leaf) -> bool:
    """Return whether an open line goes round an area, as an outline does that was not closed."""
    for ring in leaf.rings:
        if ring.closed or len(ring.points) < 3:
            continue
        hull = Polygon(ring.points).convex_hull
        area = min(hull.area, Polygon(ring.points).area)
        if area >= LEAST_OUTLINE and 4.0 * math.pi * area >= ROUND * hull.length**2:
            return True
    return False


def no_outline(leaf: Leaf) -> DrawingError:
    """Return the fault of what should be an outline but is not closed."""
    if not leaf.rings:
        what = "is a text or a picture" if draws(leaf) else "draws nothing"
        return DrawingError(
            f"{called(leaf)} {what}, so it cannot be a piece: give the cutting details to a closed "
            "outline.",
            leaf.id,
        )
    return DrawingError(
        f"{outline_called(leaf)} is open: close it with the node tool, by joining its two "
        "end nodes.",
        leaf.id,
    )


def _edge_of_nothing(leaf: Leaf) -> DrawingError:
    """Return the fault of a line along an edge that lies on no outline."""
    return DrawingError(
        f"{called(leaf)} is to be an edge of a piece (lay:role=“edge”), but lies on no outline: "
        "move it onto the edge that it means, or take the role away.",
        leaf.id,
    )


class _Chooser:
    def __init__(
        self,
        leaves: Sequence[Leaf],
        structure: Structure,
        owners: Mapping[int, tuple[int, ...]],
        scope: Scope,
        other_size: Sequence[ClosedShape],
    ) -> None:
        self._other_size = other_size
        self._leaves = leaves
        self._structure = structure
        self._owners = owners
        self._scope = scope
        self._index = {shape.leaf: index for index, shape in enumerate(structure.shapes)}
        self._by_rule = [
            index
            for index, shape in enumerate(structure.shapes)
            if structure.standings[index].kind == "piece"
            and scope.holds(shape.leaf)
            and not scope.is_direct(shape.leaf)
        ]
        self._marked = any(self._is_marked(index) for index in self._by_rule)

    def pieces(self) -> set[int]:
        """Return the outlines that are laid."""
        chosen = {index for index in self._by_rule if not self._why_not(index)}
        for place, leaf in enumerate(self._leaves):
            if self._scope.is_direct(leaf):
                chosen.update(self._selected(place, leaf))
        # An unexplained outline is a piece only where the one round it is not.
        return {
            index
            for index in chosen
            if self._structure.standings[index].kind == "piece" or not self._round(index, chosen)
        }

    def left_out(self, pieces: set[int]) -> list[LeftOut]:
        """Return what the run is about but does not lay, in document order."""
        found: list[LeftOut] = []
        for place, leaf in enumerate(self._leaves):
            index = self._index.get(leaf)
            if not self._scope.holds(leaf) or index in pieces:
                continue
            if index is not None:
                found.extend(self._left_out_shape(index))
            elif place not in self._owners and self._is_stray(leaf):
                found.append(not_laid(leaf, "mark of no piece"))
        return found

    def faults(self, pieces: set[int]) -> list[DrawingError]:
        """Return what stands in the way, in document order."""
        found: list[DrawingError] = self._broken(pieces)
        seen: set[tuple[str, ...]] = set()
        for place, leaf in enumerate(self._leaves):
            if not self._scope.holds(leaf):
                continue
            for key, _ in keyed_groups(leaf):
                if key in self._structure.faults and key not in seen:
                    found.append(self._structure.faults[key])
                    seen.add(key)
            if self._is_open(place, leaf):
                found.append(no_outline(leaf))
            elif place not in self._owners and self._is_lost_edge(leaf, pieces):
                found.append(_edge_of_nothing(leaf))
        for index, standing in enumerate(self._structure.standings):
            owner = standing.owner
            if standing.kind != "unexplained" or owner is None or index in pieces:
                continue
            if self._round(index, pieces):
                shapes = self._structure.shapes
                found.append(_unexplained(shapes[index], shapes[owner]))
        return found

    def _is_lost_edge(self, leaf: Leaf, pieces: set[int]) -> bool:
        """Return whether a line along an edge belongs to no piece, though one is near."""
        if not says_role(leaf, "edge"):
            return False
        line, shapes = drawn_lines(leaf), self._structure.shapes
        return any(shapes[index].geometry.distance(line) <= NEAR_EDGE for index in pieces)

    def _broken(self, pieces: set[int]) -> list[DrawingError]:
        """Return the fault of a sheet whose outlines are dashes, its pieces arrow heads."""
        if not pieces or any(self._is_marked(index) for index in pieces):
            return []
        strays = [
            leaf
            for place, leaf in enumerate(self._leaves)
            if self._scope.holds(leaf) and leaf not in self._index and place not in self._owners
        ]
        count = sum(not ring.closed for leaf in strays for ring in leaf.rings)
        if count < BROKEN:
            return []
        boxes = [leaf.box for leaf in strays if leaf.rings]
        low_x, low_y = min(box[0] for box in boxes), min(box[1] for box in boxes)
        room = (max(box[2] for box in boxes) - low_x) * (max(box[3] for box in boxes) - low_y)
        largest = max((self._structure.shapes[index] for index in pieces), key=lambda x: x.area)
        if largest.area >= SPECK * room:
            return []
        return [
            DrawingError(
                f"The drawing has {count} open lines that belong to no piece, and beside them "
                f"closed outlines no larger than {called(largest.leaf)}: its outlines seem to be "
                "broken into short lines, so run Join Broken Lines first, or give the pieces "
                "their cutting details.",
                largest.leaf.id,
            )
        ]

    def _is_marked(self, index: int) -> bool:
        """Return whether an outline has piece attributes: details, or a size of its own."""
        own = self._structure.own_groups(index)
        things: list[Leaf | Group] = [group for group in own if not group.is_layer]
        things.append(self._structure.shapes[index].leaf)
        return self._structure.claimed[index] or any("size" in each.attributes for each in things)

    def _why_not(self, index: int) -> LeftOut | None:
        """Return why an outline that nobody picked is not laid; None when it is."""
        leaf = self._structure.shapes[index].leaf
        if self._is_marked(index):
            return None
        if leaf.locked:
            return not_laid(leaf, "locked")
        # A part that was moved off its layout shows a piece that is drawn elsewhere.
        is_part = any("of" in carrier.attributes for carrier in carriers(leaf))
        if self._marked or is_part:
            return not_laid(leaf, "unmarked")
        return None

    def _selected(self, place: int, leaf: Leaf) -> tuple[int, ...]:
        """Return the outlines that a selected leaf stands for."""
        index = self._index.get(leaf)
        if index is None or self._structure.standings[index].kind == "mark":
            return self._owners.get(place, ())
        return () if self._structure.standings[index].kind == "frame" else (index,)

    def _round(self, index: int, chosen: set[int]) -> bool:
        """Return whether an outline round this one is among those chosen."""
        owner = self._structure.standings[index].owner
        while owner is not None:
            if owner in chosen:
                return True
            owner = self._structure.standings[owner].owner
        return False

    def _left_out_shape(self, index: int) -> list[LeftOut]:
        standing = self._structure.standings[index]
        leaf = self._structure.shapes[index].leaf
        if standing.kind == "frame":
            return [not_laid(leaf, "frame")]
        reason = self._why_not(index) if standing.kind == "piece" else None
        return [reason] if reason else []

    def _is_stray(self, leaf: Leaf) -> bool:
        """Return whether a leaf that belongs to no piece is worth naming: a line, or a mark."""
        if not (has_mark_role(leaf) or leaf.rings):
            return False
        return not any(lies_on(leaf, shape) for shape in self._other_size)

    def _is_open(self, place: int, leaf: Leaf) -> bool:
        """Return whether a leaf is meant for an outline but is not closed."""
        if leaf in self._index or has_mark_role(leaf):
            return False
        if makes_piece(leaf.attributes):
            return True
        picked = self._scope.is_direct(leaf) or not (self._marked or leaf.locked)
        return picked and place not in self._owners and looks_unclosed(leaf)


def _unexplained(inner: ClosedShape, outer: ClosedShape) -> UnexplainedOutline:
    same = is_same(inner, outer)
    where = "exactly on" if same else "inside"
    twice = " Delete one of them if the outline is there twice." if same else ""
    return UnexplainedOutline(
        f"{called(inner.leaf)} lies {where} {called(outer.leaf)}: give it lay:role=“stitching” or "
        "“mark” if it is a line of that piece, a lay:name if it is a piece of its own, or "
        f"lay:leave-out if it is neither (another size, say).{twice}",
        inner.leaf.id,
    )
