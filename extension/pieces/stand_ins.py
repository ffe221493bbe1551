# SPDX-License-Identifier: GPL-2.0-or-later
"""Joined outlines stand in for the broken lines that they were joined from.

The broken lines stay in the drawing but are no longer read; the outline takes their place in the
groups that all of them are in, with the cutting details, sizes and names that those carry.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace

from extension.pieces.objects import is_original
from extension.svg.model import Group, Leaf

ROUNDED = 0.1
"""mm by which a joined outline, as it is drawn, may miss a line that it was joined from."""


def with_stand_ins(leaves: Sequence[Leaf]) -> tuple[Leaf, ...]:
    """Return the leaves with joined outlines in the place of the lines they were joined from."""
    by_id: dict[str, list[Leaf]] = {}
    for leaf in leaves:
        if not any("joined" in group.attributes for group in leaf.groups):
            by_id.setdefault(leaf.id, []).append(leaf)
    gone: set[Leaf] = set()
    placed: dict[Leaf, Leaf] = {}
    for leaf in leaves:
        named = [one for name in _joined_from(leaf) for one in by_id.get(name, ())]
        # A clone of a group shows lines of the same ids elsewhere. And a line that has been given
        # a role since, as a fold edge has, is still read.
        sources = [one for one in named if _meet(one, leaf) and "role" not in one.attributes]
        if sources:
            gone.update(sources)
            placed[leaf] = replace(leaf, groups=(*_common_groups(sources), *leaf.groups))
    return tuple(placed.get(leaf, leaf) for leaf in leaves if leaf not in gone)


def joined_outlines(leaves: Sequence[Leaf]) -> tuple[Leaf, ...]:
    """Return the outlines that were joined from broken lines, wherever they lie by now."""
    return tuple(leaf for leaf in leaves if "joined-from" in leaf.attributes)


def joined_already(leaves: Sequence[Leaf]) -> dict[Leaf, Leaf]:
    """Return the lines that are used up by a joined outline, each with the outline.

    The outline has to be in the drawing still; she may have moved it since. A clone of such a line
    is one of its own elsewhere.
    """
    outline_of: dict[str, Leaf] = {}
    for outline in joined_outlines(leaves):
        for name in _joined_from(outline):
            outline_of.setdefault(name, outline)
    return {
        leaf: outline_of[leaf.id] for leaf in leaves if leaf.id in outline_of and is_original(leaf)
    }


def _joined_from(leaf: Leaf) -> tuple[str, ...]:
    """Return the ids of the lines that a leaf was joined from."""
    try:
        names = json.loads(leaf.attributes.get("joined-from", "[]"))
    except ValueError:
        return ()
    return tuple(map(str, names)) if isinstance(names, list) else ()


def _meet(one: Leaf, other: Leaf) -> bool:
    """Return whether the boxes of two leaves meet, numbers that were rounded or not."""
    return all(
        one.box[axis] <= other.box[axis + 2] + ROUNDED
        and other.box[axis] <= one.box[axis + 2] + ROUNDED
        for axis in (0, 1)
    )


def _common_groups(leaves: Sequence[Leaf]) -> tuple[Group, ...]:
    """Return the groups that all of some leaves are in, outermost first."""
    common = leaves[0].groups
    for leaf in leaves[1:]:
        same = 0
        for one, other in zip(common, leaf.groups, strict=False):
            if one.id != other.id:
                break
            same += 1
        common = common[:same]
    return common
