# SPDX-License-Identifier: GPL-2.0-or-later
"""Which of the closed outlines are pieces, and which groups are their own.

A group (never a layer without cutting details) that holds one outline is that piece: what is in
it travels with the piece, and the group's cutting details are the piece's. A group that holds
several outlines side by side is only a container.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import shapely

from extension.language.errors import DrawingError
from extension.language.words import folded
from extension.pieces.attributes import Role, makes_piece
from extension.pieces.containment import Standing, containers, standings
from extension.pieces.objects import all_called, group_called, role_carrier, size_of
from extension.pieces.outlines import ClosedShape, closed_shape, is_tiny_beside
from extension.svg.model import Group, Leaf

GroupKey = tuple[str, ...]
"""The ids of a group and of all groups round it, outermost first: a clone's groups keep theirs."""


@dataclass(frozen=True, eq=False, slots=True)
class Structure:
    """The closed outlines of a drawing, what each is, and whose each group is.

    `claimed` says which outlines carry cutting details, on themselves or on a group of theirs.
    `homes` gives for the groups that are pieces the index of their outline. `faults` are groups
    that cannot be pieces though they carry cutting details, by their keys.
    """

    shapes: tuple[ClosedShape, ...]
    standings: tuple[Standing, ...]
    claimed: tuple[bool, ...]
    homes: Mapping[GroupKey, int]
    faults: Mapping[GroupKey, DrawingError]

    def own_groups(self, index: int) -> tuple[Group, ...]:
        """Return the groups that are the piece of an outline, outermost first."""
        return tuple(
            group
            for key, group in keyed_groups(self.shapes[index].leaf)
            if self.homes.get(key) == index
        )


def keyed_groups(leaf: Leaf) -> Iterator[tuple[GroupKey, Group]]:
    """Yield the groups round a leaf with their keys, outermost first."""
    ids = tuple(group.id for group in leaf.groups)
    for depth, group in enumerate(leaf.groups, start=1):
        yield ids[:depth], group


def has_mark_role(leaf: Leaf) -> bool:
    """Return whether a leaf is said to be a mark: by its role, or because it is to match."""
    if "match" in leaf.attributes and not makes_piece(leaf.attributes):
        return True
    return role_carrier(leaf) is not None and not says_role(leaf, "outline")


def says_role(leaf: Leaf, role: Role) -> bool:
    """Return whether a leaf is said to have a role."""
    carrier = role_carrier(leaf)
    return carrier is not None and folded(carrier.attributes["role"]) == role


def structure_of(leaves: Sequence[Leaf]) -> Structure:
    """Return the structure of what is visible in a drawing, in document order."""
    found = [closed_shape(leaf) for leaf in leaves if not has_mark_role(leaf)]
    shapes = [shape for shape in found if shape is not None]
    inside = containers(shapes)
    groups = _groups(leaves)
    members = _members(shapes)
    homes, faults = _claiming_groups(groups, members, shapes, inside)
    claimed = [makes_piece(shape.leaf.attributes) for shape in shapes]
    for index in homes.values():
        claimed[index] = True
    sizes = [size_of(shape.leaf) for shape in shapes]
    placed = standings(shapes, inside, claimed, sizes)
    homes.update(_other_homes(groups, members, shapes, placed, claimed, homes))
    placed = _tiny_are_marks(shapes, placed, claimed, homes)
    return Structure(tuple(shapes), tuple(placed), tuple(claimed), homes, faults)


def _groups(leaves: Sequence[Leaf]) -> dict[GroupKey, Group]:
    return {key: group for leaf in leaves for key, group in keyed_groups(leaf)}


def _members(shapes: Sequence[ClosedShape]) -> dict[GroupKey, list[int]]:
    members: dict[GroupKey, list[int]] = {}
    for index, shape in enumerate(shapes):
        for key, _ in keyed_groups(shape.leaf):
            members.setdefault(key, []).append(index)
    return members


def _claiming_groups(
    groups: Mapping[GroupKey, Group],
    members: Mapping[GroupKey, list[int]],
    shapes: Sequence[ClosedShape],
    inside: Sequence[Sequence[int]],
) -> tuple[dict[GroupKey, int], dict[GroupKey, DrawingError]]:
    """Return the outlines of the groups that carry cutting details, and what is wrong with some."""
    homes: dict[GroupKey, int] = {}
    faults: dict[GroupKey, DrawingError] = {}
    for key, group in groups.items():
        if not makes_piece(group.attributes):
            continue
        side_by_side = _side_by_side(members.get(key, []), shapes, inside)
        if len(side_by_side) == 1:
            homes[key] = side_by_side[0]
        elif side_by_side:
            faults[key] = _several(group, [shapes[index] for index in side_by_side])
        else:
            faults[key] = _none_closed(group)
    return homes, faults


def _side_by_side(
    members: Sequence[int], shapes: Sequence[ClosedShape], inside: Sequence[Sequence[int]]
) -> list[int]:
    """Return the outlines of a group that lie in none of its others, small marks left aside."""
    named = [index for index in members if folded(shapes[index].leaf.attributes.get("role", ""))]
    if len(named) == 1:
        return named
    outer = [index for index in members if not set(inside[index]) & set(members)]
    return [
        index
        for index in outer
        if makes_piece(shapes[index].leaf.attributes)
        or not any(is_tiny_beside(shapes[index], shapes[other]) for other in outer)
    ]


def _several(group: Group, shapes: Sequence[ClosedShape]) -> DrawingError:
    names = all_called([shape.leaf for shape in shapes])
    return DrawingError(
        f"{group_called(group)} carries cutting details but holds {len(shapes)} outlines side "
        f"by side, {names}: give each outline its own details instead.",
        group.id,
    )


def _none_closed(group: Group) -> DrawingError:
    return DrawingError(
        f"{group_called(group)} carries cutting details but holds no closed outline: close "
        "its outline with the node tool, by joining its two end nodes.",
        group.id,
    )


def _other_homes(
    groups: Mapping[GroupKey, Group],
    members: Mapping[GroupKey, list[int]],
    shapes: Sequence[ClosedShape],
    placed: Sequence[Standing],
    claimed: Sequence[bool],
    homes: Mapping[GroupKey, int],
) -> dict[GroupKey, int]:
    """Return the outlines of groups without cutting details that hold one piece alone."""
    found: dict[GroupKey, int] = {}
    for key, group in groups.items():
        if key in homes or group.is_layer or makes_piece(group.attributes):
            continue
        pieces = [
            index
            for index in members.get(key, [])
            if placed[index].kind in ("piece", "unexplained")
        ]
        large = [
            index
            for index in pieces
            if claimed[index]
            or not any(is_tiny_beside(shapes[index], shapes[other]) for other in pieces)
        ]
        if len(large) == 1 and placed[large[0]].kind == "piece":
            found[key] = large[0]
    return found


def _tiny_are_marks(
    shapes: Sequence[ClosedShape],
    placed: Sequence[Standing],
    claimed: Sequence[bool],
    homes: Mapping[GroupKey, int],
) -> list[Standing]:
    """Return the standings, with tiny shapes beside or astride an outline taken for its marks.

    An arrow head that sticks out of its piece, or a notch drawn astride the edge, is no piece.
    """
    result = list(placed)
    pieces = [index for index, each in enumerate(placed) if each.kind == "piece"]
    tree = shapely.STRtree([shapes[index].polygon for index in pieces])
    for index in pieces:
        if claimed[index]:
            continue
        shape = shapes[index]
        grouped = [homes[key] for key, _ in keyed_groups(shape.leaf) if key in homes]
        touched = sorted(pieces[int(hit)] for hit in tree.query(shape.geometry, "intersects"))
        for owner in (*reversed(grouped), *touched):
            if owner != index and is_tiny_beside(shape, shapes[owner]):
                result[index] = Standing("mark", owner)
                break
    return result
