# SPDX-License-Identifier: GPL-2.0-or-later
"""Which size each outline of a sheet belongs to: by its layer or group, its style, or a number.

Numbers at the lines are read only in a nest, outlines of about one shape within each other: any
other small number on a pattern may mean anything.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry import Point as Spot

from extension.language.words import folded, listed
from extension.markings.blocks import Line
from extension.markings.legends import find_legend
from extension.markings.proposals import Source
from extension.markings.sizewords import (
    bare_sizes,
    is_bare_size,
    listed_sizes,
    size_in,
    told_size,
)
from extension.pieces.objects import called, size_of
from extension.pieces.outlines import ClosedShape, closed_shape
from extension.pieces.structure import has_mark_role
from extension.pieces.tiles import page_frames
from extension.svg.model import Group, Leaf

NEST_SHARE = 0.6
"""Share of the smaller of two outlines that lies in the larger one, in a nest."""
NEST_RATIO = 0.35
"""The least share that the area of the smaller is of the larger: a pocket on a front is less."""
AT_LINE = 2.2
"""Font sizes from the middle of a number to the line that it stands at, at most."""
SIGN = 25.0
"""mm up to which something filled is a sign, such as the head of an arrow."""
LEGEND = "the legend of lines"
"""What a size was read from that the style of a line tells."""
CLEARER = 0.6
"""How much nearer to one line than to the next such a number must stand."""


@dataclass(frozen=True, eq=False, slots=True)
class Sizes:
    """The sizes of outlines that do not carry one yet, and what they were read from.

    `lines` are words that have been read as sizes; `samples` the lines of a legend; `unclear` are
    outlines within each other that the numbers at them do not tell apart.
    """

    of: Mapping[Leaf, str]
    sources: Mapping[Leaf, Source]
    lines: tuple[Line, ...]
    samples: tuple[Leaf, ...]
    questions: tuple[str, ...]
    unclear: frozenset[Leaf]


def find_sizes(leaves: Sequence[Leaf], lines: Sequence[Line]) -> Sizes:
    """Return the sizes of the outlines among leaves, as far as the sheet tells them."""
    layers = _sizes_of_groups(leaves)
    legend = find_legend(leaves, lines)
    of: dict[Leaf, str] = {}
    sources: dict[Leaf, Source] = {}
    for leaf in leaves:
        if size_of(leaf) is not None or leaf in legend.samples or not leaf.rings:
            continue
        by_group = _by_group(leaf, layers)
        by_style = legend.size_of(leaf) if _is_drawn_outline(leaf) else None
        if by_group is not None:
            of[leaf], name = by_group
            sources[leaf] = Source(f"the layer or group “{name}”", name)
        elif by_style:
            of[leaf] = by_style
            sources[leaf] = Source(LEGEND, f"the legend: {by_style}")
    shapes = _outlines(leaves, of)
    nests, used, questions, unclear = _numbers_at_lines(shapes, lines)
    for leaf, line in nests.items():
        of[leaf] = size_in(line.text) or line.text
        sources[leaf] = Source(f"“{line.text}” at its line", line.text)
    read = (*legend.lines, *used)
    return Sizes(of, sources, read, legend.samples, tuple(questions), frozenset(unclear))


def on_size_layers(leaves: Sequence[Leaf]) -> dict[Leaf, str]:
    """Return the names of layers and groups that are named by sizes, of the leaves on them."""
    sizes = _sizes_of_groups(leaves)
    found = ((leaf, _by_group(leaf, sizes)) for leaf in leaves)
    return {leaf: told[1] for leaf, told in found if told is not None}


def _sizes_of_groups(leaves: Sequence[Leaf]) -> dict[str, str]:
    """Return the sizes that groups and layers are named by, by their ids.

    A bare number or letter counts only where the sheet has two or more such groups.
    """
    told: dict[str, str] = {}
    bare: dict[str, str] = {}
    seen: set[str] = set()
    for leaf in leaves:
        for group in leaf.groups:
            if group.id in seen:
                continue
            seen.add(group.id)
            for name in _names(group):
                if is_bare_size(name) or len(bare_sizes(name)) > 1:
                    bare[group.id] = listed_sizes(name) or " ".join(name.split())
                elif (size := told_size(name)) is not None:
                    told[group.id] = size
    several = len({folded(size) for size in (*bare.values(), *told.values())}) > 1
    return {**told, **(bare if several else {})}


def _names(group: Group) -> Iterator[str]:
    if group.label:
        yield group.label
    else:
        yield group.id.replace("-", " ").replace("_", " ")


def _by_group(leaf: Leaf, sizes: Mapping[str, str]) -> tuple[str, str] | None:
    """Return the size of the innermost group that is named by one, and the group's name."""
    for group in reversed(leaf.groups):
        if group.id in sizes:
            return sizes[group.id], group.label or group.id
    return None


def _has_outline(leaf: Leaf) -> bool:
    return any(ring.closed for ring in leaf.rings) and not has_mark_role(leaf)


def _is_drawn_outline(leaf: Leaf) -> bool:
    """Return whether a leaf is an outline drawn by its line, of which a legend may speak.

    Heads of arrows and other small signs are filled.
    """
    if not _has_outline(leaf) or leaf.style.get("stroke", "none") == "none":
        return False
    low_x, low_y, high_x, high_y = leaf.box
    is_small = max(high_x - low_x, high_y - low_y) <= SIGN
    return not (is_small and leaf.style.get("fill", "black") != "none")


def _outlines(leaves: Sequence[Leaf], of: Mapping[Leaf, str]) -> list[ClosedShape]:
    """Return the outlines that have no size yet."""
    bare = [leaf for leaf in leaves if _has_outline(leaf) and leaf not in of]
    closed = (closed_shape(leaf) for leaf in bare if size_of(leaf) is None)
    shapes = [shape for shape in closed if shape is not None and shape.area > 0.0]
    pages = page_frames(shapes, [False] * len(shapes))
    return [shape for index, shape in enumerate(shapes) if index not in pages]


def is_nest(one: ClosedShape, other: ClosedShape) -> bool:
    """Return whether two outlines may be two sizes of one piece, drawn within each other."""
    small, large = sorted((one, other), key=lambda shape: shape.area)
    if small.area < NEST_RATIO * large.area:
        return False
    common = small.polygon.intersection(large.polygon).area
    return bool(common >= NEST_SHARE * small.area)


def nests_of(shapes: Sequence[ClosedShape]) -> list[list[int]]:
    """Return the outlines that lie within each other as sizes do, by index; each nest once."""
    tree = shapely.STRtree([shape.polygon for shape in shapes])
    nest = list(range(len(shapes)))
    for index, shape in enumerate(shapes):
        for hit in sorted(int(each) for each in tree.query(shape.polygon)):
            if hit < index and nest[hit] != nest[index] and is_nest(shape, shapes[hit]):
                old, new = max(nest[hit], nest[index]), min(nest[hit], nest[index])
                nest = [new if each == old else each for each in nest]
    members: dict[int, list[int]] = {}
    for index, each in enumerate(nest):
        members.setdefault(each, []).append(index)
    return [each for each in members.values() if len(each) > 1]


def _numbers_at_lines(
    shapes: Sequence[ClosedShape], lines: Sequence[Line]
) -> tuple[dict[Leaf, Line], list[Line], list[str], list[Leaf]]:
    """Return the number at each outline of a nest, the lines used, questions, outlines unclear."""
    found: dict[Leaf, Line] = {}
    used: list[Line] = []
    questions: list[str] = []
    unclear: list[Leaf] = []
    numbers = [line for line in lines if size_in(line.text) is not None]
    for nest in nests_of(shapes):
        members = [shapes[index] for index in nest]
        at: dict[int, dict[str, Line]] = {}
        for line in numbers:
            nearest = _nearest(line, members)
            if nearest is not None:
                at.setdefault(nearest, {}).setdefault(folded(line.text), line)
                used.append(line)
        names = listed([called(shape.leaf) for shape in members])
        sizes = [key for each in at.values() for key in each]
        if any(len(each) > 1 for each in at.values()) or len(set(sizes)) < len(sizes):
            questions.append(f"The numbers at {names} do not tell their sizes apart.")
            unclear += [member.leaf for member in members]
            continue
        for index, each in at.items():
            found[members[index].leaf] = next(iter(each.values()))
        without = [called(m.leaf) for i, m in enumerate(members) if i not in at]
        if at and without:
            questions.append(f"Which size is {listed(without)}? No number stands at its line.")
            unclear += [m.leaf for i, m in enumerate(members) if i not in at]
    return found, used, questions, unclear


def _nearest(line: Line, shapes: Sequence[ClosedShape]) -> int | None:
    """Return the outline that a number stands at, None when it stands at none or between two."""
    spot = Spot(line.middle)
    gaps = sorted((shape.polygon.exterior.distance(spot), i) for i, shape in enumerate(shapes))
    if gaps[0][0] > AT_LINE * line.size:
        return None
    if len(gaps) > 1 and gaps[0][0] > CLEARER * gaps[1][0]:
        return None
    return gaps[0][1]
