# SPDX-License-Identifier: GPL-2.0-or-later
"""The fold edge and the grainline of one piece, from its marks and its attributes.

A line with the role, grouped with the piece or lying on it, comes first; a line elsewhere that an
attribute names by its id second; a direction typed in an attribute last.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from extension.language.errors import DrawingError
from extension.pieces.attributes import (
    DRAWN_WHOLE,
    End,
    PieceDetails,
    Pointer,
    Typed,
    piece_details,
)
from extension.pieces.folds import FoldEdge, fold_along, fold_at_side
from extension.pieces.grain import (
    Axis,
    check_as_drawn,
    direction,
    drawn_line,
    off_axis,
    typed_direction,
)
from extension.pieces.marks import ON_OUTLINE
from extension.pieces.model import Mark
from extension.pieces.objects import all_called, called, is_original, role_carrier
from extension.pieces.outlines import ClosedShape, drawn_lines
from extension.svg.model import Leaf, Ring
from extension.svg.transforms import apply, inverse, multiply
from nesting.geometry.shapes import unit_vector

_SAME_DIRECTION = 1.0
"""Degrees within which a typed direction and a drawn line say the same."""
_DRAWN_ASKEW = 0.1
"""Degrees by which a grainline is off a fold edge by the way that it was drawn: 1 mm in 60 cm."""


@dataclass(frozen=True, slots=True)
class PieceLines:
    """What the lines of a piece say: `axis` None when nothing tells its grain.

    `top` is which end of the grainline is said to be the top, on the piece or on the line.
    """

    fold: FoldEdge | None
    axis: Axis | None
    top: End | None
    notes: tuple[str, ...]


class LineFinder:
    """Finds drawn lines by the id of a leaf or group, as `lay:grain` and `lay:fold` name them."""

    def __init__(self, leaves: Sequence[Leaf]) -> None:
        self._leaves = leaves
        self._originals = {leaf.element: leaf for leaf in leaves if is_original(leaf)}

    def find(self, object_id: str, near: Leaf) -> list[Leaf]:
        """Return the leaves an id names; of several clones of them those nearest to a leaf.

        A clone has the attributes of what it shows: the line those name lies beside that, and is
        returned as it would lie beside the clone.
        """
        named = [
            leaf
            for leaf in self._leaves
            if leaf.rings and object_id in (leaf.id, *(group.id for group in leaf.groups))
        ]
        most = max((_common(leaf, near) for leaf in named), default=0)
        nearest = [leaf for leaf in named if _common(leaf, near) == most]
        return [self._beside(leaf, near) for leaf in nearest]

    def _beside(self, line: Leaf, near: Leaf) -> Leaf:
        """Return a line as it lies to a clone, when it is the line of what the clone shows."""
        original = self._originals.get(near.element, near)
        if original is near or _common(line, near) > _common(line, original):
            return line
        moved = multiply(near.matrix, inverse(original.matrix))
        rings = (
            Ring(tuple(apply(moved, point) for point in ring.points), ring.closed)
            for ring in line.rings
        )
        return replace(line, rings=tuple(rings))


def read_lines(
    label: str,
    piece: str,
    shape: ClosedShape,
    details: PieceDetails,
    marks: Sequence[Mark],
    finder: LineFinder,
) -> PieceLines:
    """Return the fold edge and the grain of a piece.

    `label` is how messages call it, `piece` its id. Raises DrawingError when there are two of a
    kind, or one that cannot be used.
    """
    reader = _Reader(label, piece, shape, details, marks, finder)
    fold = reader.fold()
    axis = reader.grain()
    if fold is not None:
        axis = _along_fold(axis, direction(fold.start, fold.end))
    of_lines = reader.top_of_lines()
    return PieceLines(fold, axis, details.top or of_lines, tuple(reader.notes))


def _along_fold(axis: Axis | None, fold: float) -> Axis:
    """Return the grain of a piece whose fold edge has a direction: that, where it nearly is.

    What lies on the fold of the cloth cannot lie otherwise, and no drawing is more exact than that.
    """
    if axis is None:
        return Axis(fold, "fold")
    if off_axis(axis.degrees, fold) > _DRAWN_ASKEW:
        return axis
    is_same_way = abs((axis.degrees - fold + 180.0) % 360.0 - 180.0) < 90.0
    return replace(axis, degrees=fold if is_same_way else (fold + 180.0) % 360.0)


class _Reader:
    """Reads the lines of one piece, noting what is worth saying."""

    def __init__(
        self,
        label: str,
        piece: str,
        shape: ClosedShape,
        details: PieceDetails,
        marks: Sequence[Mark],
        finder: LineFinder,
    ) -> None:
        self.notes: list[str] = []
        self._label = label
        self._piece = piece
        self._shape = shape
        self._details = details
        self._marks = marks
        self._finder = finder

    def fold(self) -> FoldEdge | None:
        """Return the fold edge: of a marked line, of a named one, or at a typed side."""
        given, outline = self._details.fold, self._shape.outline
        if self._details.drawn_whole:
            self._check_drawn_whole()
            return None
        leaves = self._drawn("fold", "fold", given)
        if leaves:
            run = drawn_line(leaves, "fold", self._label, self._piece)
            edge = fold_along(outline, run, self._label, self._piece)
            if isinstance(given, Typed):
                self._note_other_side(given, edge)
            return edge
        if not isinstance(given, Typed):
            return None
        self._check_as_drawn("fold")
        return self._at_side(given)

    def _at_side(self, given: Typed) -> FoldEdge:
        cos, sin = unit_vector(given.degrees)
        shape = self._shape
        own = (cos, -sin)
        return fold_at_side(shape.outline, own, shape.leaf.matrix, self._label, self._piece)

    def _note_other_side(self, given: Typed, edge: FoldEdge) -> None:
        """Note that a typed side is not used, where the drawn line is at another."""
        try:
            typed = self._at_side(given)
        except DrawingError:
            typed = None
        if typed is None or {typed.start, typed.end} != {edge.start, edge.end}:
            self.notes.append(
                f"{self._label} has a drawn fold line, so the side typed in lay:fold is not used; "
                "the two differ."
            )

    def grain(self) -> Axis | None:
        """Return the grainline: a marked line, a named one, or a typed direction."""
        given = self._details.grain
        leaves = self._drawn("grainline", "grain", given)
        typed = None
        if isinstance(given, Typed):
            typed = direction((0.0, 0.0), typed_direction(self._shape.leaf, given))
        if leaves:
            run = drawn_line(leaves, "grainline", self._label, self._piece)
            axis = Axis(direction(run.start, run.end), "grainline")
            if typed is not None and off_axis(typed, axis.degrees) > _SAME_DIRECTION:
                self.notes.append(
                    f"{self._label} has a drawn grainline, so the direction typed in lay:grain is "
                    "not used; the two differ."
                )
            return axis
        if typed is None:
            return None
        self._check_as_drawn("grain")
        return Axis(typed, "typed")

    def top_of_lines(self) -> End | None:
        """Return which end is the top as far as the grainline or fold itself says so."""
        for mark in self._marks:
            things = (mark.leaf, role_carrier(mark.leaf))
            stating = [each for each in things if each and "top" in each.attributes]
            if mark.role in ("grainline", "fold") and stating:
                line = stating[0]
                stated = {"top": line.attributes["top"]}
                top = piece_details(stated, called(line), line.id).top
                if self._details.top not in (None, top):
                    self.notes.append(
                        f"{self._label} and its line, {called(line)}, give different ends as the "
                        "top: "
                        "that of the piece is used."
                    )
                return top
        return None

    def _check_drawn_whole(self) -> None:
        """Raise when a line says what `lay:fold` denies."""
        lines = self._marked("fold")
        if lines:
            raise DrawingError(
                f"{self._label} has lay:fold=“{DRAWN_WHOLE}”, but its line, {called(lines[0])}, is "
                "marked as the fold: keep one, and give the line lay:role=“mark” if the piece is "
                "drawn "
                "whole.",
                self._piece,
            )

    def _check_as_drawn(self, what: str) -> None:
        drawn = self._details.drawn
        check_as_drawn(self._shape.leaf, drawn, what, self._label, self._piece)

    def _drawn(self, role: str, attribute: str, given: Pointer | None) -> list[Leaf]:
        """Return the leaves of the one line with a role, or of the line an attribute names."""
        lines = self._marked(role)
        named = self._finder.find(given, self._shape.leaf) if isinstance(given, str) else []
        if isinstance(given, str) and not named:
            raise DrawingError(
                f"{self._label} has lay:{attribute}=“{given}”, but no visible line is called that: "
                "mark its line with lay:role instead.",
                self._piece,
            )
        if lines and named and not {leaf.id for leaf in named} & {leaf.id for leaf in lines}:
            self.notes.append(
                f"{self._label} has a line marked as {role}, {called(lines[0])}, so "
                f"lay:{attribute}="
                f"“{given}” is not used."
            )
        if not lines and role == "grainline":
            self._note_apart(named)
        return lines or named

    def _marked(self, role: str) -> list[Leaf]:
        """Return the leaves of the line with a role; a group of them is one line."""
        lines: dict[str, list[Leaf]] = {}
        for mark in self._marks:
            if mark.role == role:
                carrier = role_carrier(mark.leaf) or mark.leaf
                lines.setdefault(carrier.id, []).append(mark.leaf)
        if len(lines) > 1:
            raise DrawingError(
                f"{self._label} has {len(lines)} lines marked as {role}, "
                f"{all_called([own[0] for own in lines.values()])}: "
                "keep one, and give the others lay:role=“mark”.",
                self._piece,
            )
        return next(iter(lines.values()), [])

    def _note_apart(self, leaves: Sequence[Leaf]) -> None:
        area = self._shape.polygon.buffer(ON_OUTLINE)
        if leaves and not any(drawn_lines(leaf).intersects(area) for leaf in leaves):
            self.notes.append(
                f"The grainline of {self._label}, {called(leaves[0])}, does not touch it: group "
                "them, so that it turns with the piece."
            )


def _common(leaf: Leaf, other: Leaf) -> int:
    """Return how many groups round two leaves are the same, from outside in."""
    count = 0
    for one, two in zip(leaf.groups, other.groups, strict=False):
        if one.id != two.id:
            break
        count += 1
    return count
