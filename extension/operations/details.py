# SPDX-License-Identifier: GPL-2.0-or-later
"""Set Cutting Details: writes details on the selected pieces, and leaves the rest as it is.

A grain or fold that is given becomes a drawn line in a group with the outline, so that it turns
with the piece; directions are meant as seen on the drawing. A piece that is drawn whole has no fold
line; it keeps the word for that. Details stand on the outline as well as
on its group, so that ungrouping does not lose them.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lxml import etree
from shapely.geometry import LineString

from extension.drawn.proposed import drawn_line
from extension.language.errors import DrawingError, OptionError
from extension.language.names import lay
from extension.language.words import folded, listed
from extension.markings.proposals import NewLine
from extension.markings.remembering import READ, is_ours, remember, remembered
from extension.operations.cloned import refuse_shared
from extension.operations.cloth_shapes import DETAIL as CLOTH_DETAIL
from extension.operations.cloth_shapes import mark_cloth
from extension.operations.edge_lines import lines_along_edges, write_edges
from extension.operations.match_points import CLEAR, marks_to_match, write_match
from extension.pieces.attributes import (
    DIRECTIONS,
    SETTABLE,
    Role,
    Typed,
    check_names,
    makes_piece,
    piece_details,
    says_drawn_whole,
    says_leave_out,
)
from extension.pieces.fingerprint import fingerprint
from extension.pieces.folds import fold_at_side
from extension.pieces.marks import owners_of
from extension.pieces.objects import (
    all_called,
    called,
    given_name,
    is_original,
    role_carrier,
    size_of,
)
from extension.pieces.outlines import ClosedShape, no_area
from extension.pieces.remnants import without_cloth, without_flaws
from extension.pieces.scope import Scope
from extension.pieces.selection import choose, no_outline
from extension.pieces.stand_ins import with_stand_ins
from extension.pieces.structure import Structure, structure_of
from extension.svg.building import FreeIds, inkscape, svg
from extension.svg.document import Document, serialise
from extension.svg.identities import Identities, lay_attributes
from extension.svg.leaves import read_leaves
from extension.svg.model import Group, Leaf
from extension.svg.transforms import IDENTITY
from nesting.geometry.inscribed import widest_disc
from nesting.geometry.shapes import unit_vector

SELECTED = "line"
"""What is typed to mean the selected line as grainline or fold."""
EDGE = "edge"
"""What is set of a selected line along an edge: the allowance that is added there."""
ALL = (*SETTABLE, EDGE, CLOTH_DETAIL)
"""Everything that can be set."""
LINES: Mapping[str, Role] = {"grain": "grainline", "fold": "fold"}
SHARE = 0.7
"""Share of the width of a piece, along the grain, that a drawn grainline takes."""
LEAST_FOLD = 0.1
"""Share of a piece's extent that its fold edge is long at least: a curve has no such straight."""


@dataclass(frozen=True, slots=True)
class DetailsOutcome:
    """The drawing with the details written, and what to say."""

    drawing: bytes
    summary: tuple[str, ...]


def changes_from(words: Sequence[str]) -> dict[str, str]:
    """Return details typed as `cut=2`. Raises OptionError for a word that is none."""
    found: dict[str, str] = {}
    for word in words:
        name, equals, value = word.partition("=")
        name = name.strip().lower()
        if not equals or name not in ALL:
            raise OptionError(
                f"“{word}” is no detail to set: write it like cut=2, with one of "
                f"{listed(list(ALL), len(ALL))}."
            )
        found[name] = value.strip() or CLEAR
    return found


def set_details(
    document: Document, selected: Sequence[str], changes: Mapping[str, str]
) -> DetailsOutcome:
    """Return the drawing with details set on the selected pieces; the tree is changed.

    A value of `-` takes a detail away; what is not named stays. Raises OptionError when nothing is
    selected or to be set, DrawingError when a value cannot be used or no piece is selected; the
    tree is untouched then.
    """
    if not changes:
        raise OptionError("There is nothing to set: fill in at least one field.")
    if not selected:
        raise OptionError("Select the pieces to set details on: nothing is selected.")
    if CLOTH_DETAIL in changes:
        told = mark_cloth(document, selected, changes)
        return DetailsOutcome(serialise(document), told)
    marks = marks_to_match(document, selected, changes["match"]) if "match" in changes else None
    edges = lines_along_edges(document, selected, changes[EDGE]) if EDGE in changes else None
    of_pieces = {name: value for name, value in changes.items() if name not in ("match", EDGE)}
    beside = (*(marks.ids if marks else ()), *(edges.ids if edges else ()))
    told = _set_on_pieces(document, selected, of_pieces, beside) if of_pieces else ()
    if marks is not None:
        told = (*told, write_match(document, marks, changes["match"]))
    if edges is not None:
        told = (*told, write_edges(document, edges, changes[EDGE]))
    return DetailsOutcome(serialise(document), told)


def _set_on_pieces(
    document: Document, selected: Sequence[str], changes: Mapping[str, str], beside: Sequence[str]
) -> tuple[str, ...]:
    """Set details on the selected pieces, without the marks `beside` that are selected as well."""
    setter = _Setter(document, [id_ for id_ in selected if id_ not in beside])
    for shape, groups in setter.pieces:
        _check(shape, groups, changes)
    refuse_shared([shape.leaf for shape, _ in setter.pieces], setter.outlines)
    lines = [setter.lines(shape, changes) for shape, _ in setter.pieces]
    for (shape, groups), new in zip(setter.pieces, lines, strict=True):
        setter.write(shape, groups, changes, new)
    names = all_called([_named(shape, groups) for shape, groups in setter.pieces], 8)
    return (f"Set {listed(list(changes), 12)} on {names}.",)


def _named(shape: ClosedShape, groups: Sequence[Group]) -> Leaf | Group:
    """Return what a piece is called by: its outline, or a group of it, if that has the name."""
    every: tuple[Leaf | Group, ...] = (shape.leaf, *reversed(groups))
    return next((one for one in every if given_name(one)), shape.leaf)


def _check(shape: ClosedShape, groups: Sequence[Group], changes: Mapping[str, str]) -> None:
    """Raise DrawingError when a value cannot be used on a piece."""
    owner = called(shape.leaf)
    given = {name: value for name, value in changes.items() if value != CLEAR}
    check_names(given, owner, shape.leaf.id)
    piece_details({k: v for k, v in given.items() if k not in LINES}, owner, shape.leaf.id)
    says_leave_out(given, owner, shape.leaf.id)
    lines = [name for name in LINES if name in given and not says_drawn_whole({name: given[name]})]
    if lines and not is_original(shape.leaf):
        raise DrawingError(
            f"{owner} is a clone, which cannot have a line of its own: unlink it first "
            "(Edit > Clone > Unlink Clone).",
            shape.leaf.id,
        )


@dataclass(frozen=True, eq=False, slots=True)
class _NewLines:
    """Lines to draw on a piece, drawn ones to mark, and roles that end."""

    draw: tuple[NewLine, ...]
    mark: tuple[tuple[Leaf, Role], ...]
    end: tuple[Leaf, ...]


class _Setter:
    """Sets details on the pieces that are selected."""

    def __init__(self, document: Document, selected: Sequence[str]) -> None:
        self._identities = Identities(document.root)
        self._ids = FreeIds(document.root)
        every, _ = without_flaws(without_cloth(with_stand_ins(read_leaves(document))))
        leaves = [leaf for leaf in every if not leaf.hidden]
        structure = structure_of(leaves)
        self.outlines = [shape.leaf for shape in structure.shapes]
        owners = owners_of(leaves, structure)
        scope = Scope(leaves, selected)
        self._marks = {
            index: [leaves[place] for place, each in owners.items() if index in each]
            for index in range(len(structure.shapes))
        }
        self._picked = [leaf for leaf in leaves if leaf.id in selected]
        indices = choose(leaves, structure, owners, scope).pieces
        self._index = {structure.shapes[index]: index for index in indices}
        self.pieces = [(structure.shapes[i], _groups(structure, i)) for i in indices]
        if not self.pieces:
            raise self._no_piece(scope, selected)

    def _no_piece(self, scope: Scope, selected: Sequence[str]) -> DrawingError:
        if scope.unknown:
            return DrawingError(
                f"Nothing that is drawn is called “{scope.unknown[0]}”: select closed outlines."
            )
        if self._picked:
            return no_outline(self._picked[0])
        return DrawingError(f"No piece is selected by {listed(list(selected))}: select outlines.")

    def lines(self, shape: ClosedShape, changes: Mapping[str, str]) -> _NewLines:
        """Return the lines that a piece gets, loses and keeps. Raises DrawingError."""
        draw: list[NewLine] = []
        mark: list[tuple[Leaf, Role]] = []
        end: list[Leaf] = []
        for name, role in LINES.items():
            if name not in changes:
                continue
            end += [leaf for leaf in self._marks[self._index[shape]] if _role(leaf) == role]
            value = changes[name]
            if value == CLEAR or says_drawn_whole({name: value}):
                continue
            owner = called(shape.leaf)
            pointer = piece_details({name: value}, owner, shape.leaf.id)
            given = pointer.grain if name == "grain" else pointer.fold
            if isinstance(given, Typed):
                draw.append(_typed_line(shape, role, given))
            else:
                mark += [(leaf, role) for leaf in self._named(str(given), shape)]
        kept = {leaf for leaf, _ in mark}
        return _NewLines(tuple(draw), tuple(mark), tuple(x for x in end if x not in kept))

    def _named(self, name: str, shape: ClosedShape) -> list[Leaf]:
        """Return the line on a piece that an id names, or the one that is selected."""
        own = self._marks[self._index[shape]]
        wanted = {leaf.id for leaf in self._picked} if folded(name) == SELECTED else {name}
        found = [leaf for leaf in own if leaf.id in wanted and leaf.rings]
        if not found:
            raise DrawingError(
                f"No line called “{name}” lies on {called(shape.leaf)}: select the line together "
                "with its piece, or give a direction: up, down, left, right or an angle.",
                shape.leaf.id,
            )
        return found[:1]

    def write(
        self,
        shape: ClosedShape,
        groups: Sequence[Group],
        changes: Mapping[str, str],
        lines: _NewLines,
    ) -> None:
        """Write details on a piece: its outline, and the groups that carry details of it."""
        outline = self._identities.find(shape.leaf.id)
        if outline is None:
            return
        outline.set("id", shape.leaf.id)
        carrying = [self._identities.find(group.id) for group in groups]
        for group in groups:
            for name, value in group.attributes.items():
                if name in SETTABLE and outline.get(lay(name)) is None:
                    outline.set(lay(name), value)
        for node in (outline, *(each for each in carrying if each is not None)):
            _write(node, changes)
        self._remember_drawn(outline, shape)
        if not makes_piece(lay_attributes(outline)):
            outline.set(lay("role"), "outline")
        self._draw(outline, shape, lines)

    def _remember_drawn(self, outline: etree._Element, shape: ClosedShape) -> None:
        """Store how the outline is drawn beside a direction typed for it, unless that is known.

        The editor can turn a bare path without leaving a trace: the next reading then refuses the
        direction instead of laying the piece against the grain.
        """
        own = lay_attributes(outline)
        typed = {name: own[name] for name in LINES if name in own}
        details = piece_details(typed, called(shape.leaf), shape.leaf.id)
        if "drawn" not in own and any(
            isinstance(given, Typed) for given in (details.grain, details.fold)
        ):
            outline.set(lay("drawn"), fingerprint(shape.leaf))

    def _draw(self, outline: etree._Element, shape: ClosedShape, lines: _NewLines) -> None:
        for leaf in lines.end:
            self._end(leaf)
        for leaf, role in lines.mark:
            node = self._identities.find(leaf.id)
            if node is not None:
                node.set("id", leaf.id)
                _set(node, "role", role)
        if not lines.draw:
            return
        self._grouped(outline, shape)
        for line in lines.draw:
            more = {"top": "end"} if line.role == "grainline" else {}
            outline.addnext(drawn_line(shape.leaf, line, self._ids, size_of(shape.leaf), more))

    def _grouped(self, outline: etree._Element, shape: ClosedShape) -> None:
        """Put a bare outline into a group of its own, so that a line on it moves along."""
        parent = outline.getparent()
        groups = shape.leaf.groups
        if parent is None or (groups and not groups[-1].is_layer):
            return
        group = etree.Element(svg("g"))
        group.set("id", self._ids.take(f"{shape.leaf.id}-piece"))
        name = outline.get(lay("name")) or shape.leaf.label
        if name:
            group.set(inkscape("label"), name)
        group.tail, outline.tail = outline.tail, None
        outline.addprevious(group)
        group.append(outline)

    def _end(self, leaf: Leaf) -> None:
        """Take away a line that we drew; one of hers becomes a plain mark."""
        node = self._identities.find(leaf.id)
        parent = None if node is None else node.getparent()
        if node is None or parent is None:
            return
        if is_ours(leaf.element):
            parent.remove(node)
        else:
            _set(node, "role", "mark")


def _groups(structure: Structure, index: int) -> list[Group]:
    return [group for group in structure.own_groups(index) if makes_piece(group.attributes)]


def _role(leaf: Leaf) -> str:
    carrier = role_carrier(leaf)
    return folded(carrier.attributes["role"]) if carrier is not None else ""


def _write(node: etree._Element, changes: Mapping[str, str]) -> None:
    for name, value in changes.items():
        drawn = name in LINES and not says_drawn_whole({name: value})
        _set(node, name, None if value == CLEAR or drawn else value)
    if set(LINES) & set(changes):
        _set(node, "drawn", None)


def _set(node: etree._Element, name: str, value: str | None) -> None:
    """Set an attribute of ours by hand, or take it away; a reading no longer answers for it."""
    if value is not None:
        node.set(lay(name), value)
    elif node.get(lay(name)) is not None:
        del node.attrib[lay(name)]
    ours = remembered(lay_attributes(node))
    if ours and ours.pop(name, None) is not None:
        if ours:
            node.set(lay(READ), remember(ours))
        else:
            del node.attrib[lay(READ)]


def _typed_line(shape: ClosedShape, role: Role, given: Typed) -> NewLine:
    """Return the line for a direction as seen on the drawing. Raises DrawingError."""
    if shape.polygon.is_empty:
        raise no_area(shape.leaf)
    cos, sin = unit_vector(given.degrees)
    if role == "fold":
        if given.degrees not in DIRECTIONS.values():
            raise DrawingError(
                f"The fold of {called(shape.leaf)} needs the side that it is on: left, right, up "
                "or down.",
                shape.leaf.id,
            )
        label = called(shape.leaf)
        edge = fold_at_side(shape.outline, (cos, -sin), IDENTITY, label, shape.leaf.id)
        if math.dist(edge.start, edge.end) < LEAST_FOLD * shape.extent:
            raise DrawingError(
                f"{label} has no straight edge at that side: the fold needs one to lie on.",
                shape.leaf.id,
            )
        return NewLine(role, edge.start, edge.end)
    spot, _ = widest_disc(shape.polygon, 1.0)
    reach = 2.0 * (shape.extent + 1.0)
    across = LineString(
        [
            (spot.x - reach * cos, spot.y + reach * sin),
            (spot.x + reach * cos, spot.y - reach * sin),
        ]
    ).intersection(shape.polygon)
    pieces = [part for part in getattr(across, "geoms", [across]) if part.distance(spot) < 1e-6]
    chord = pieces[0]
    ends = [
        chord.interpolate(share, normalized=True) for share in ((1 - SHARE) / 2, (1 + SHARE) / 2)
    ]
    return NewLine(role, (ends[0].x, ends[0].y), (ends[1].x, ends[1].y))
