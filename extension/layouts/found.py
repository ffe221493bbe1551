# SPDX-License-Identifier: GPL-2.0-or-later
"""What lies on a layout's layer: parts by their notes, and what has no note of ours.

Parts are known by `lay:of` on their outline, or on the group round it when the outline has lost
its own. They may have left their layer: cut and pasted parts land on the current one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lxml import etree

from extension.drawn.earlier import EARLIER, is_drawn_earlier
from extension.layouts.layers import LayoutLayer
from extension.pieces.objects import called, given_name, is_original, piece_called
from extension.pieces.outlines import ClosedShape, closed_shape
from extension.svg.decoration import decoration_of
from extension.svg.model import Group, Leaf

OUR_IDS = "thriftlay-"


@dataclass(frozen=True, eq=False, slots=True)
class FoundPart:
    """An outline that is noted as a part, or may be one: `of` is "" without a note.

    `shape` is where it lies on the page; `groups` are those round it that are the part's, the
    outermost first; `astray` is the name of where it lies when that is not its layout. `flipped`
    is which side it was drawn on, None when no note says so; it is `silent` when its own outline
    has no note and only a group round it has.
    """

    shape: ClosedShape
    of: str
    copies: tuple[int, ...]
    held: bool
    groups: tuple[Group, ...]
    astray: str = ""
    flipped: bool | None = None
    silent: bool = False

    @property
    def id(self) -> str:
        """The id that the person finds it by: of its group, or of the outline alone."""
        return self.groups[-1].id if self.groups else self.shape.leaf.id

    @property
    def called(self) -> str:
        """What messages call it: by what is written on it, else by what is seen of it."""
        name = self.groups[-1].label if self.groups else given_name(self.shape.leaf)
        return piece_called(self.shape.leaf, self.id, name)

    @property
    def is_clone(self) -> bool:
        """Return whether it is shown by a clone."""
        return not is_original(self.shape.leaf)


@dataclass(frozen=True, eq=False, slots=True)
class Remains:
    """A group that is noted as a part and holds no closed outline any more; boxes in page mm."""

    id: str
    of: str
    copies: tuple[int, ...]
    boxes: tuple[tuple[float, float, float, float], ...]


@dataclass(frozen=True, eq=False, slots=True)
class Found:
    """What lies on one layer: noted parts, outlines without a note, hidden parts, other objects.

    `beside` are outlines that lie in the group of a part but not on it; `remains` are of parts.
    """

    parts: tuple[FoundPart, ...]
    loose: tuple[FoundPart, ...]
    hidden: tuple[FoundPart, ...]
    others: tuple[str, ...]
    beside: tuple[FoundPart, ...] = ()
    remains: tuple[Remains, ...] = ()


def leaves_on(leaves: Sequence[Leaf], layer: LayoutLayer) -> list[Leaf]:
    """Return what is drawn on the layer of a layout."""
    return [leaf for leaf in leaves if _layout_id(leaf) == layer.id]


def found_on(leaves: Sequence[Leaf]) -> Found:
    """Return what lies among the leaves of one layer.

    A layer that is switched off as a whole is looked at as if it were on.
    """
    switched_off = all(leaf.hidden for leaf in leaves)
    noted = noted_parts(leaves)
    parts = [part for part in noted if switched_off or not part.shape.leaf.hidden]
    hidden = [part for part in noted if part not in parts]
    seen = [leaf for leaf in leaves if switched_off or not leaf.hidden]
    remains = _remains(seen, noted)
    named = {group.id for part in noted for group in part.groups} | {one.id for one in remains}
    free = [leaf for leaf in seen if not any(part.shape.leaf is leaf for part in noted)]
    rest = [
        leaf
        for leaf in free
        if not any(group.id in named for group in leaf.groups) and not _is_ours(leaf)
    ]
    loose, others = _without_note(rest, parts)
    beside = _beside([leaf for leaf in free if _noted_group(leaf)], parts)
    return Found(
        tuple(parts),
        tuple(loose),
        tuple(hidden),
        tuple(others),
        tuple(beside),
        tuple(remains),
    )


def astray(leaves: Sequence[Leaf]) -> list[FoundPart]:
    """Return the parts, visible ones, that lie on no layout."""
    outside = [
        leaf
        for leaf in leaves
        if not leaf.hidden and not any("layout" in group.attributes for group in leaf.groups)
    ]
    return noted_parts(outside, stray=True)


def noted_parts(leaves: Sequence[Leaf], *, stray: bool = False) -> list[FoundPart]:
    """Return the outlines that carry a note of what they are a copy of, in document order."""
    found = [_part(leaf, leaf.attributes, stray) for leaf in leaves if "of" in leaf.attributes]
    own = {group.id for part in found if part is not None for group in part.groups}
    silent: dict[str, list[Leaf]] = {}
    for leaf in leaves:
        inner = _noted_group(leaf)
        if inner is not None and inner.id not in own and "of" not in leaf.attributes:
            silent.setdefault(inner.id, []).append(leaf)
    for inside in silent.values():
        shapes = [shape for leaf in inside if (shape := _visible_shape(leaf)) is not None]
        if shapes:
            largest = max(shapes, key=lambda shape: shape.area).leaf
            round_it = _noted_group(largest)
            part = _part(largest, round_it.attributes if round_it else {}, stray)
            found.append(replace(part, silent=True) if part else None)
    order = {id(leaf): place for place, leaf in enumerate(leaves)}
    parts = [part for part in found if part is not None]
    return sorted(parts, key=lambda part: order[id(part.shape.leaf)])


def place_of(leaf: Leaf) -> str:
    """Return the name of the layer that a leaf lies on."""
    layers = [group for group in leaf.groups if group.is_layer]
    return called(layers[-1]) if layers else "no layer"


def part_group(part: FoundPart) -> etree._Element | None:
    """Return the group of a part, None when it was ungrouped."""
    names = {group.id for group in part.groups}
    ancestors = part.shape.leaf.element.iterancestors()
    return next((one for one in ancestors if one.get("id") in names), None)


def _part(leaf: Leaf, notes: Mapping[str, str], stray: bool) -> FoundPart | None:
    """Return a leaf as a part; None when it encloses nothing."""
    shape = closed_shape(leaf)
    if shape is None or shape.polygon.is_empty:
        return None
    groups = tuple(group for group in leaf.groups if "of" in group.attributes)
    holds = [leaf.attributes.get("held"), *(group.attributes.get("held") for group in groups)]
    held = any(_says_yes(text) for text in holds if text)
    return FoundPart(
        shape,
        notes.get("of", ""),
        _copies(notes.get("copy", "")),
        held,
        groups,
        place_of(leaf) if stray else "",
        _says_flipped([notes, *(group.attributes for group in reversed(groups))]),
    )


def _without_note(
    leaves: Sequence[Leaf], parts: Sequence[FoundPart]
) -> tuple[list[FoundPart], list[str]]:
    """Return the outlines that may be parts, and what else lies there that is none of ours.

    What lies within a part is taken for a mark of it: ungrouped parts leave theirs lying loose.
    """
    loose, others = [], []
    areas = [part.shape for part in parts]
    for leaf in leaves:
        shape = _visible_shape(leaf)
        if shape is not None and not any(_is_mark(shape, area) for area in areas):
            loose.append(FoundPart(shape, "", (), False, ()))
        elif shape is None and not any(_within(leaf, area) for area in areas):
            others.append(called(leaf))
    return loose, others


def _beside(leaves: Sequence[Leaf], parts: Sequence[FoundPart]) -> list[FoundPart]:
    """Return the outlines in the groups of parts that lie on none of these: a path broken apart.

    They may lie in the group of a label, where the editor puts a path that it made of whole parts.
    """
    areas = [part.shape.polygon.buffer(1.0) for part in parts]
    return [
        FoundPart(shape, "", (), False, ())
        for leaf in leaves
        if not _is_ours(leaf)
        and (shape := _visible_shape(leaf)) is not None
        and not any(area.contains(shape.polygon) for area in areas)
    ]


def _remains(leaves: Sequence[Leaf], parts: Sequence[FoundPart]) -> list[Remains]:
    """Return the groups that are noted as parts and hold none."""
    own = {group.id for part in parts for group in part.groups}
    boxes: dict[str, list[tuple[float, float, float, float]]] = {}
    groups: dict[str, Group] = {}
    for leaf in leaves:
        group = _noted_group(leaf)
        if group is not None and group.id not in own and "of" not in leaf.attributes:
            groups[group.id] = group
            boxes.setdefault(group.id, []).append(leaf.box)
    return [
        Remains(
            id_,
            group.attributes["of"],
            _copies(group.attributes.get("copy", "")),
            tuple(boxes[id_]),
        )
        for id_, group in groups.items()
    ]


def _is_mark(shape: ClosedShape, part: ClosedShape) -> bool:
    """Return whether a closed outline is a mark of a part: within it and not of its size."""
    return shape.area < 0.5 * part.area and part.polygon.buffer(1.0).contains(shape.polygon)


def _within(leaf: Leaf, part: ClosedShape) -> bool:
    """Return whether the box of a leaf meets the box of a part: good enough for text and lines."""
    low_x, low_y, high_x, high_y = part.polygon.bounds
    return not (
        leaf.box[0] > high_x or leaf.box[2] < low_x or leaf.box[1] > high_y or leaf.box[3] < low_y
    )


def _visible_shape(leaf: Leaf) -> ClosedShape | None:
    """Return the closed outline of a leaf that encloses something."""
    shape = closed_shape(leaf)
    return None if shape is None or shape.polygon.is_empty else shape


def _noted_group(leaf: Leaf) -> Group | None:
    """Return the innermost group round a leaf that is noted as a part."""
    return next((group for group in reversed(leaf.groups) if "of" in group.attributes), None)


def _layout_id(leaf: Leaf) -> str:
    """Return the id of the layout's layer that a leaf lies on, "" when on none."""
    return next((one.id for one in reversed(leaf.groups) if "layout" in one.attributes), "")


def _is_ours(leaf: Leaf) -> bool:
    """Return whether a leaf is one of ours that is no part: cloth, measures, a part's mark."""
    if not is_original(leaf):
        return False
    if decoration_of(leaf.element) or "sign" in leaf.attributes:
        return True
    # Layouts of an earlier version tell it by ids alone.
    told = [words for group in leaf.groups if (words := group.attributes.get("holds"))]
    return all(EARLIER in words for words in told) and is_drawn_earlier(leaf.id)


def _copies(text: str) -> tuple[int, ...]:
    """Return the copies in a `lay:copy`, none when it was edited to something else."""
    words = text.split()
    if not all(word.isascii() and word.isdigit() and len(word) < 5 for word in words):
        return ()
    return tuple(int(word) for word in words)


def _says_flipped(notes: Sequence[Mapping[str, str]]) -> bool | None:
    """Return which side notes say, the innermost first; None when none says `yes` or `no`."""
    texts = (note.get("flipped", "").strip().casefold() for note in notes)
    return next((text == "yes" for text in texts if text in ("yes", "no")), None)


def _says_yes(text: str) -> bool:
    """Return whether a `lay:held` holds a part."""
    return text.strip().casefold() in ("yes", "true", "1")
