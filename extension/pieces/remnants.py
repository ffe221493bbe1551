# SPDX-License-Identifier: GPL-2.0-or-later
"""Pieces of cloth that are drawn in full size: closed shapes, or groups with one, that say so.

`lay:role="cloth"`. The grain runs along a grainline in the same group, else from left to right as
drawn. What else is closed within it is a flaw when it says so (`lay:role="flaw"`, or it is called
“flaw” in the editor), or the border of its print (`lay:role="border"`), a strip along the grain;
inner lines of the same path are holes. Nothing of it is ever a piece.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from extension.language.errors import DrawingError
from extension.language.words import folded, listed
from extension.pieces.grain import direction, shaft
from extension.pieces.objects import called, given_name, piece_called, role_carrier
from extension.pieces.outlines import ClosedShape, closed_shape, inner_outlines, no_area
from extension.svg.model import Group, Leaf
from extension.svg.seen import measures_of
from nesting.geometry.shapes import unit_vector
from nesting.model import Outline

CLOTH, FLAW, BORDER = "cloth", "flaw", "border"
"""What `lay:role` says of a piece of cloth, of a place on it over which nothing lies, and of the
border of its print."""
_OF_PIECES = ("outline", "grainline", "fold", "notch", "mark", "label", "stitching", "bracket")
LEAST = 10.0
"""mm that cloth is wide and long at least."""
_ALL_ALONG = 0.98
"""Share of the cloth between its two lines that a border has at least: what is drawn by hand."""


@dataclass(frozen=True, slots=True)
class DrawnCloth:
    """A piece of cloth as drawn, in the frame of the cloth: mm, length x, width y, both from 0.

    `id` is that of the group or shape that says that it is cloth; `ids` are those of all of it.
    `around` are the ids of the groups that hold it: in the editor a click selects the outermost.
    """

    id: str
    name: str
    outline: Outline
    holes: tuple[Outline, ...]
    flaws: tuple[Outline, ...]
    ids: frozenset[str]
    called: str
    """How messages call it, by its size where several have one name."""
    border: tuple[float, float] | None = None
    """y of the line on which edges lie, that nearer to an edge of the cloth, and of the other."""
    around: frozenset[str] = frozenset()

    def is_meant_by(self, id_: str) -> bool:
        """Return whether an id is that of the cloth, of something of it, or of a group round it."""
        return id_ in self.ids or id_ in self.around


def cloth_carrier(leaf: Leaf) -> Leaf | Group | None:
    """Return what says that a leaf is cloth, or of a piece of cloth; None where nothing does."""
    every: tuple[Leaf | Group, ...] = (*leaf.groups, leaf)
    return next((one for one in every if folded(one.attributes.get("role", "")) == CLOTH), None)


def without_cloth(leaves: Sequence[Leaf]) -> Sequence[Leaf]:
    """Return the leaves that are no cloth, nor a flaw or a grainline of a piece of it."""
    shapes = list(_shapes(leaves))
    if not shapes:
        return leaves
    taken = {id(leaf) for shape in shapes for leaf in _of(shape, leaves)}
    return [leaf for leaf in leaves if cloth_carrier(leaf) is None and id(leaf) not in taken]


def without_flaws(leaves: Sequence[Leaf]) -> tuple[Sequence[Leaf], list[Leaf]]:
    """Return what is no flaw, and the closed flaws that are seen, of what is no cloth."""
    rest = [leaf for leaf in leaves if not says_flaw(leaf)]
    if len(rest) == len(leaves):
        return leaves, []
    drawn = (leaf for leaf in leaves if says_flaw(leaf) and not leaf.hidden and not leaf.far)
    return rest, [leaf for leaf in drawn if any(ring.closed for ring in leaf.rings)]


def cloths_drawn(leaves: Sequence[Leaf]) -> tuple[DrawnCloth, ...]:
    """Return the pieces of cloth of a drawing that are seen, in document order.

    Raises DrawingError for one that cannot be used.
    """
    seen = [leaf for leaf in leaves if not leaf.hidden and not leaf.far]
    return tuple(_cloth(shape, _of(shape, seen)) for shape in _shapes(seen))


def cloth_of(leaves: Sequence[Leaf], id_: str) -> DrawnCloth | None:
    """Return the piece of cloth of an id, None where none is seen.

    Raises DrawingError where it cannot be used.
    """
    seen = [leaf for leaf in leaves if not leaf.hidden and not leaf.far]
    for shape in _shapes(seen):
        carrier = cloth_carrier(shape.leaf)
        if carrier is not None and carrier.id == id_:
            return _cloth(shape, _of(shape, seen))
    return None


def names_of_cloths(leaves: Sequence[Leaf]) -> tuple[str, ...]:
    """Return what the pieces of cloth of a drawing that are seen are called, usable or not."""
    seen = (leaf for leaf in leaves if not leaf.hidden and not leaf.far)
    carriers = (cloth_carrier(shape.leaf) for shape in _shapes(list(seen)))
    return tuple(called(one) for one in carriers if one is not None)


def chosen_cloths(
    leaves: Sequence[Leaf], named: Sequence[str], selected: Sequence[str]
) -> tuple[tuple[DrawnCloth, ...], tuple[str, ...]]:
    """Return the pieces of cloth that are named or selected, and what else is selected.

    `named` are ids or names. A group that is selected means the cloth in it, and the pieces as
    well. Raises DrawingError for a name that none has, or several have.
    """
    if not named and not any(cloth_carrier(leaf) for leaf in leaves):
        return (), tuple(selected)
    drawn = cloths_drawn(leaves)
    found = [_named(one, drawn) for one in named]
    found += [cloth for cloth in drawn for id_ in selected if cloth.is_meant_by(id_)]
    of_cloth = {id_ for cloth in drawn for id_ in cloth.ids | cloth.around}
    of_pieces = {group.id for leaf in without_cloth(leaves) for group in leaf.groups}
    rest = tuple(id_ for id_ in selected if id_ not in of_cloth or id_ in of_pieces)
    return tuple(dict.fromkeys(found)), rest


def says_flaw(leaf: Leaf) -> bool:
    """Return whether a leaf, or a group of it, is a flaw by its role, or is called one."""
    names = (leaf.label, *(group.label for group in leaf.groups))
    return _role(leaf) == FLAW or (not _role(leaf) and FLAW in map(folded, names))


def closed_flaw(leaf: Leaf) -> ClosedShape | None:
    """Return the shape of a flaw, None of a text or a picture. Raises DrawingError for a line."""
    shape = closed_shape(leaf)
    if shape is None and leaf.rings:
        raise DrawingError(
            f"{called(leaf)} is said to be a flaw of the cloth, but is open: close it with the "
            "node tool, by joining its two end nodes, so that it goes round the flaw.",
            leaf.id,
        )
    return None if shape is None or shape.polygon.is_empty else shape


def _named(name: str, drawn: Sequence[DrawnCloth]) -> DrawnCloth:
    """Return the piece of cloth that an id or a name means. Raises DrawingError."""
    found = [cloth for cloth in drawn if cloth.is_meant_by(name)]
    found = found or [cloth for cloth in drawn if folded(cloth.name) == folded(name)]
    if len(found) == 1:
        return found[0]
    if found:
        which = listed([cloth.called for cloth in found], 8)
        raise DrawingError(
            f"Several pieces of cloth are called “{name}”: name one by the id in brackets, {which}."
        )
    others = listed([cloth.called for cloth in drawn], 8)
    there = f"choose from {others}" if drawn else "no shape of the drawing is marked as cloth"
    raise DrawingError(
        f"No piece of cloth is called “{name}”: {there}; any closed shape becomes one "
        "by lay:role=“cloth”."
    )


def _shapes(leaves: Sequence[Leaf]) -> Iterator[ClosedShape]:
    """Yield the outline of each piece of cloth: of a group the largest that has no other role."""
    best: dict[str, ClosedShape] = {}
    for leaf in leaves:
        carrier = cloth_carrier(leaf)
        own = role_carrier(leaf)
        if carrier is None or own is not carrier:
            continue
        shape = closed_shape(leaf)
        if shape is None:
            continue
        if carrier.id not in best or shape.area > best[carrier.id].area:
            best[carrier.id] = shape
    yield from best.values()


def _of(cloth: ClosedShape, leaves: Sequence[Leaf]) -> list[Leaf]:
    """Return what belongs to a piece of cloth: all of its group, and flaws that lie on it."""
    carrier, leaf = cloth_carrier(cloth.leaf), cloth.leaf
    found = []
    for one in leaves:
        same = cloth_carrier(one)
        is_of_it = same is not None and carrier is not None and same.id == carrier.id
        role = _role(one)
        beside = bool(leaf.groups) and not leaf.groups[-1].is_layer
        is_line = role == "grainline" and beside and leaf.groups[-1] in one.groups
        is_on_it = is_line or role == BORDER or says_flaw(one)
        if is_of_it or (is_on_it and _meets(one, cloth)):
            found.append(one)
    return found


def _role(leaf: Leaf) -> str:
    """Return the role that a leaf says of itself, or a group of it."""
    carrier = role_carrier(leaf)
    return "" if carrier is None else folded(carrier.attributes["role"])


def _meets(leaf: Leaf, cloth: ClosedShape) -> bool:
    """Return whether a leaf lies on a piece of cloth, in part at least."""
    points = [point for ring in leaf.rings for point in ring.points]
    if not points:
        return False
    shape = closed_shape(leaf)
    area = shapely.MultiPoint(points) if shape is None else shape.geometry
    return bool(cloth.polygon.intersects(area))


def _cloth(shape: ClosedShape, leaves: Sequence[Leaf]) -> DrawnCloth:
    """Return a piece of cloth from its outline and what belongs to it. Raises DrawingError."""
    carrier = cloth_carrier(shape.leaf) or shape.leaf
    if shape.polygon.is_empty:
        raise no_area(shape.leaf)
    if shape.fault is not None:
        raise shape.fault
    holes = inner_outlines(shape)
    flaws: list[Outline] = []
    borders: list[tuple[Leaf, Outline]] = []
    for leaf in leaves:
        if leaf is shape.leaf or _role(leaf) in _OF_PIECES:
            continue
        other = closed_flaw(leaf) if says_flaw(leaf) else closed_shape(leaf)
        if other is None or other.polygon.is_empty:
            continue
        if BORDER in (_role(leaf), folded(leaf.label)):
            borders.append((leaf, other.outline))
        elif says_flaw(leaf):
            flaws.append(other.outline)
        else:
            raise DrawingError(
                f"{called(leaf)} lies in {called(carrier)}, which is cloth: give it "
                "lay:role=“flaw” if nothing may lie over it, “border” if it is the border of its "
                "print, or “mark” if it is only a line.",
                leaf.id,
            )
    turn = _grain(leaves)
    points = [_upright(one, turn) for one in (shape.outline, *(h.outline for h in holes), *flaws)]
    low = points[0].min(axis=0)
    moved = [tuple((float(x), float(y)) for x, y in ring - low) for ring in points]
    if float(np.ptp(points[0], axis=0).min()) < LEAST:
        raise DrawingError(
            f"{called(carrier)} is cloth less than {LEAST:g} mm long or wide: draw it in its full "
            "size.",
            carrier.id,
        )
    count = 1 + len(holes)
    ids = {leaf.id for leaf in leaves} | {carrier.id, shape.leaf.id}
    name = given_name(carrier) or given_name(shape.leaf)
    which = f"{piece_called(shape.leaf, carrier.id, name)}, {measures_of(shape.leaf.box)}"
    strips = [(leaf, _upright(one, turn) - low) for leaf, one in borders]
    return DrawnCloth(
        carrier.id,
        name,
        moved[0],
        tuple(moved[1:count]),
        tuple(moved[count:]),
        frozenset(ids),
        which,
        _border(called(carrier), shapely.Polygon(moved[0]), strips),
        frozenset(group.id for group in shape.leaf.groups if not group.is_layer),
    )


def _border(
    cloth: str, shape: shapely.Polygon, strips: Sequence[tuple[Leaf, np.ndarray]]
) -> tuple[float, float] | None:
    """Return where the border of a cloth runs across it, None where it has none.

    `strips` are in the frame of the cloth. Raises DrawingError for one that does not run along all
    of it, and for several.
    """
    if not strips:
        return None
    if len(strips) > 1:
        names = listed([called(leaf) for leaf, _ in strips], 8)
        raise DrawingError(
            f"{cloth} is cloth with several borders, {names}: keep the one on which edges are to "
            "lie, and make marks of the others (lay:role=“mark”).",
            strips[1][0].id,
        )
    ((leaf, ring),) = strips
    whole = shapely.make_valid(shape)
    width = float(whole.bounds[3])
    low, high = (float(np.clip(y, 0.0, width)) for y in (ring[:, 1].min(), ring[:, 1].max()))
    along = shapely.intersection(whole, shapely.box(*whole.bounds[:1], low, whole.bounds[2], high))
    strip = shapely.make_valid(shapely.Polygon(ring))
    if high - low < 1.0 or shapely.intersection(along, strip).area < _ALL_ALONG * along.area:
        raise DrawingError(
            f"{called(leaf)} is a border that does not run along all of the cloth, {cloth}: draw "
            "it "
            "as a strip along the grain, from one end to the other.",
            leaf.id,
        )
    return (low, high) if low <= width - high else (high, low)


def _grain(leaves: Sequence[Leaf]) -> float:
    """Return the direction of the grain, degrees; 0, from left to right, where no line tells.

    Raises DrawingError for a grainline that is curved.
    """
    for leaf in leaves:
        if _role(leaf) == "grainline":
            run = shaft(leaf.rings)
            if run is None:
                raise DrawingError(
                    f"{called(leaf)}, the grainline of the cloth, is not straight: draw it as one "
                    "straight line.",
                    leaf.id,
                )
            return direction(run.start, run.end)
    return 0.0


def _upright(outline: Outline, grain: float) -> np.ndarray:
    """Return page points with y up and the grain along x."""
    cos, sin = unit_vector(grain)
    points = np.asarray(outline, dtype=np.float64) * (1.0, -1.0)
    return np.column_stack(
        [cos * points[:, 0] + sin * points[:, 1], cos * points[:, 1] - sin * points[:, 0]]
    )
