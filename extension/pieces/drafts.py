# SPDX-License-Identifier: GPL-2.0-or-later
"""One piece: its details, marks, fold edge, grainline and cutting line put together."""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass

from extension.language.words import begun, folded
from extension.pieces.allowance import with_allowance
from extension.pieces.attributes import (
    IN_GROUPS,
    MARK_ATTRIBUTES,
    PIECE_ATTRIBUTES,
    SHARED_ATTRIBUTES,
    PieceDetails,
    check_place,
    makes_piece,
    piece_details,
)
from extension.pieces.containment import outline_fault
from extension.pieces.edges import edges_of
from extension.pieces.grain import Axis
from extension.pieces.lines import LineFinder, PieceLines, read_lines
from extension.pieces.marks import mark_of
from extension.pieces.matching import Seams, match_points
from extension.pieces.model import DrawnPiece, Edge, Mark
from extension.pieces.objects import carriers, piece_called, size_of
from extension.pieces.outlines import SMALL, ClosedShape, closed_shape
from extension.pieces.structure import Structure, has_mark_role
from extension.pieces.symmetry import is_symmetric, marks_give_hand
from extension.pieces.top import find_top
from extension.svg.model import Group, Leaf
from nesting.model import Point

_DETAILS = frozenset(PIECE_ATTRIBUTES) - MARK_ATTRIBUTES - SHARED_ATTRIBUTES


@dataclass(frozen=True, eq=False, slots=True)
class Draft:
    """A piece as far as it can be read by itself."""

    id: str
    name: str
    details: PieceDetails
    shape: ClosedShape
    marks: tuple[Mark, ...]
    lines: PieceLines
    notes: tuple[str, ...]
    label: str
    """How messages call the piece."""
    edges: tuple[Edge, ...] = ()
    is_named: bool = True
    """Whether its name was given to it; else that is its id."""

    @property
    def called(self) -> str:
        """What lists call it: its name, or what is seen of a piece without one."""
        return self.name if self.is_named else self.label


def piece_id(structure: Structure, index: int, taken: Container[str]) -> str:
    """Return the id a piece goes by: that of the group that is the piece, or of its outline.

    An id that another piece has (`taken`), as with clones of a group, gives way to the next.
    """
    leaf = structure.shapes[index].leaf
    groups = structure.own_groups(index)
    carrying = [group.id for group in _claiming(groups)]
    choices = [
        *carrying,
        *([leaf.id] if _details_of(leaf) else ()),
        *(group.id for group in groups),
        leaf.id,
    ]
    path = "/".join((*(group.id for group in leaf.groups), leaf.id))
    return next((choice for choice in choices if choice not in taken), path)


def read_draft(
    structure: Structure,
    index: int,
    piece: str,
    marks: Sequence[Leaf],
    finder: LineFinder,
) -> Draft:
    """Return what can be read of one piece by itself.

    `piece` is its id and `marks` the leaves that are marks of it. Raises DrawingError for the
    first thing about it that cannot be used.
    """
    shape = structure.shapes[index]
    things: list[Leaf | Group] = [*_claiming(structure.own_groups(index)), shape.leaf]
    attributes = {name: value for each in things for name, value in _details_of(each).items()}
    name = _name(attributes, shape.leaf, structure.own_groups(index))
    label = piece_called(shape.leaf, piece, name)
    details = piece_details(attributes, label, piece)
    check_place(shape.leaf.attributes, label, piece)
    for group in _claiming(structure.own_groups(index)):
        check_place({k: v for k, v in group.attributes.items() if k not in IN_GROUPS}, label, piece)
    fault = outline_fault(shape)
    if fault is not None:
        raise fault
    own_marks = _marks(shape, marks)
    lines = read_lines(label, piece, shape, details, own_marks, finder)
    notes = (*_contradictions(things, label), *_other_sizes(shape.leaf, label))
    mended = (f"{label} {shape.mended}",) if shape.mended else ()
    notes = (*notes, *map(begun, mended), *lines.notes)
    outline = lines.fold.outline if lines.fold else shape.outline
    edges = edges_of(outline, lines.fold, own_marks, label)
    return Draft(
        piece, name or piece, details, shape, own_marks, lines, notes, label, edges, bool(name)
    )


def finished(
    draft: Draft, axis: Axis, default_allowance: float, included: float = 0.0
) -> DrawnPiece:
    """Return a piece with its grain, top and cutting line.

    `axis` is the draft's own, or what stands in for it; `default_allowance` (mm) is added where
    neither an allowance nor a stitching line says that the drawn outline is the cutting line.
    `included` is what a label says of that which is drawn already, 0 where none does.
    """
    texts = [mark.leaf for mark in draft.marks if mark.leaf.text]
    top = find_top(axis, draft.lines.top, texts, draft.label)
    edge = draft.lines.fold
    outline = edge.outline if edge else draft.shape.outline
    ends = (_up(edge.start), _up(edge.end)) if edge else None
    upward = tuple(_up(point) for point in outline)
    allowance, why = _allowance(draft, default_allowance)
    seams = Seams(allowance, included, draft.edges)
    matched = match_points(draft.shape, draft.marks, edge, seams, draft.label)
    cutting, fold, grown = with_allowance(upward, ends, allowance, draft.label, draft.edges)
    symmetric = fold is None and is_symmetric((cutting, upward), draft.marks, top.degrees)
    odd = () if symmetric else _odd(draft)
    return DrawnPiece(
        id=draft.id,
        name=draft.name,
        label=draft.label,
        size=size_of(draft.shape.leaf),
        outline=upward,
        cutting=cutting,
        fold=fold,
        grain=top.degrees,
        grain_from=axis.source,
        top_certain=top.certain,
        details=draft.details,
        allowance=allowance,
        marks=draft.marks,
        notes=tuple(filter(None, (*draft.notes, top.note, why, *grown, *odd))),
        symmetric=symmetric,
        matched=matched,
        edges=draft.edges,
        is_named=draft.is_named,
        handed=not symmetric
        and marks_give_hand(cutting, draft.marks, top.degrees, half=fold is not None),
    )


def _claiming(groups: Sequence[Group]) -> list[Group]:
    """Return the groups of a piece that carry details of it, outermost first."""
    return [group for group in groups if makes_piece(group.attributes)]


def _details_of(thing: Leaf | Group) -> dict[str, str]:
    return {name: value for name, value in thing.attributes.items() if name in _DETAILS}


def _contradictions(things: Sequence[Leaf | Group], label: str) -> list[str]:
    """Return notes on details that stand twice on a piece and differ; outermost first."""
    merged: dict[str, str] = {}
    notes: list[str] = []
    for thing in things:
        for name, value in _details_of(thing).items():
            if folded(merged.get(name, value)) != folded(value):
                notes.append(
                    f"{label} has lay:{name}=“{merged[name]}” on a group round it and “{value}” on "
                    f"{'its outline' if isinstance(thing, Leaf) else 'a group within that'} "
                    f"({thing.id}): the latter is used."
                )
            merged[name] = value
    return notes


def _other_sizes(leaf: Leaf, label: str) -> list[str]:
    """Return a note on a piece of one size in a group or layer of another."""
    sizes = [each.attributes["size"] for each in carriers(leaf) if "size" in each.attributes]
    others = [size for size in sizes[1:] if folded(size) != folded(sizes[0])]
    if not others:
        return []
    return [
        f"{label} has size “{sizes[0]}” but lies in a group of size “{others[0]}”: the former is "
        "used."
    ]


def _name(attributes: Mapping[str, str], leaf: Leaf, groups: Sequence[Group]) -> str:
    """Return the name of a piece: given to it, or that of its group or outline in the editor.

    "" when it has none.
    """
    labels = [group.label for group in reversed(_claiming(groups))]
    labels += [leaf.label, *(group.label for group in reversed(groups))]
    names = (" ".join(name.split()) for name in (attributes.get("name", ""), *labels))
    return next((name for name in names if name), "")


def _marks(shape: ClosedShape, leaves: Sequence[Leaf]) -> tuple[Mark, ...]:
    """Return the marks of a piece, its outline first."""
    marks = [Mark(shape.leaf, "outline")]
    for leaf in leaves:
        mark = mark_of(leaf)
        inner = None if has_mark_role(leaf) else closed_shape(leaf)
        if inner is not None and inner.area >= SMALL * shape.area:
            # Not small, so it is a mark because it runs along the outline: a stitching line.
            mark = Mark(leaf, "stitching", mark.one_side)
        marks.append(mark)
    return tuple(marks)


def added_allowance(draft: Draft, default: float) -> float:
    """Return the seam allowance, mm, that is added to a piece where the usual one is `default`."""
    return _allowance(draft, default)[0]


def _allowance(draft: Draft, default: float) -> tuple[float, str]:
    """Return the seam allowance to add, and a note where the usual one is not."""
    stated = draft.details.allowance
    if stated is not None:
        return stated, ""
    if default and any(mark.role == "stitching" for mark in draft.marks):
        return 0.0, f"{draft.label} shows its stitching line, so no seam allowance was added to it."
    return default, ""


def _odd(draft: Draft) -> list[str]:
    """Return notes on counts that leave one copy without its mirror image."""
    return [
        f"{draft.label} is cut {demand.cut} times from {demand.material}: in mirrored pairs, and "
        "one as drawn."
        for demand in draft.details.demands
        if draft.lines.fold is None
        and demand.hand == "mirrored"
        and demand.cut > 1
        and demand.cut % 2
    ]


def _up(point: Point) -> Point:
    """Return a page point in piece coordinates: y up."""
    return point[0], -point[1]
