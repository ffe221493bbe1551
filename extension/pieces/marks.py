# SPDX-License-Identifier: GPL-2.0-or-later
"""What travels with a piece: everything grouped with it, or drawn for the most part inside it."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from extension.language.words import folded
from extension.pieces.attributes import Role, mark_details
from extension.pieces.model import Mark
from extension.pieces.objects import Calling, draws, role_carrier, size_of
from extension.pieces.outlines import MOSTLY, ClosedShape, drawn_lines, share_inside
from extension.pieces.sizes import same_size
from extension.pieces.structure import Structure, keyed_groups
from extension.svg.model import Leaf

ON_OUTLINE = 0.5
"""mm outside an outline within which a line still lies on it."""


def owners_of(leaves: Sequence[Leaf], structure: Structure) -> dict[int, tuple[int, ...]]:
    """Return for each leaf, by its place in the document, the outlines it is a mark of.

    A mark belongs to the piece it is grouped with, else to the one that most of it lies in, the
    smallest of several; what has no size lies in one piece of every size. Outlines that are
    pieces are in nobody's keeping and not in the result, nor is what belongs to no piece.
    """
    standing = {
        shape.leaf: (index, structure.standings[index])
        for index, shape in enumerate(structure.shapes)
    }
    finder = _Finder(structure)
    found: dict[int, tuple[int, ...]] = {}
    for place, leaf in enumerate(leaves):
        if leaf in standing:
            owner = standing[leaf][1].owner
            is_mark = owner is not None and standing[leaf][1].kind == "mark"
            owners: tuple[int, ...] = (owner,) if is_mark and owner is not None else ()
        else:
            owners = finder.owners(leaf) if draws(leaf) else ()
        if owners:
            found[place] = owners
    return found


def mark_of(leaf: Leaf) -> Mark:
    """Return a leaf as a mark with its role. Raises DrawingError when an attribute is wrong."""
    details = mark_details(leaf.attributes, Calling(leaf), leaf.id)
    carrier = role_carrier(leaf)
    role: Role | None = None
    added: float | None = None
    if carrier is not None:
        of_role = mark_details(carrier.attributes, Calling(carrier), carrier.id)
        role, added = of_role.role, of_role.allowance
    one_side = details.one_side or any(
        mark_details(group.attributes, Calling(group), group.id).one_side for group in leaf.groups
    )
    return Mark(leaf, role or ("label" if leaf.text else "mark"), one_side, added)


def lies_on(leaf: Leaf, shape: ClosedShape) -> bool:
    """Return whether most of a leaf lies on an outline, as a mark of it does."""
    geometry = drawn_lines(leaf)
    if not shape.polygon.intersects(geometry):
        return False
    return share_inside(geometry, shape.polygon.buffer(ON_OUTLINE)) > MOSTLY


class _Finder:
    """Looks for the outlines that leaves lie in."""

    def __init__(self, structure: Structure) -> None:
        self._structure = structure
        self._candidates = [
            index
            for index, standing in enumerate(structure.standings)
            if standing.kind in ("piece", "unexplained")
        ]
        self._areas = [
            structure.shapes[index].polygon.buffer(ON_OUTLINE) for index in self._candidates
        ]
        self._tree = shapely.STRtree(self._areas)

    def owners(self, leaf: Leaf) -> tuple[int, ...]:
        """Return the outlines a leaf is a mark of: one, or one of each size."""
        size = size_of(leaf)
        for key, _ in reversed(list(keyed_groups(leaf))):
            home = self._structure.homes.get(key)
            if home is not None and same_size(size, self._size(home)):
                return (home,)
        around = [each for each in self._around(leaf) if same_size(size, self._size(each[2]))]
        best: dict[str | None, int] = {}
        for _, _, index in sorted(around):
            own = self._size(index)
            best.setdefault(own and folded(own), index)
        # The piece it lies in most, and those of other sizes that lie there as well: lines that
        # all sizes share are drawn once.
        first = min(around, default=None)
        if first is None:
            return ()
        if self._size(first[2]) is None:
            return (first[2],)
        return tuple(sorted(index for own, index in best.items() if own is not None))

    def _size(self, index: int) -> str | None:
        return size_of(self._structure.shapes[index].leaf)

    def _around(self, leaf: Leaf) -> list[tuple[float, float, int]]:
        """Return (1 - share rounded, area, index) of the outlines that hold most of a leaf."""
        geometry = drawn_lines(leaf)
        found = []
        for hit in self._tree.query(geometry, "intersects"):
            share = share_inside(geometry, self._areas[int(hit)])
            if share > MOSTLY:
                index = self._candidates[int(hit)]
                found.append((round(1.0 - share, 3), self._structure.shapes[index].area, index))
        return found
