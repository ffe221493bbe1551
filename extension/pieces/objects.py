# SPDX-License-Identifier: GPL-2.0-or-later
"""What a leaf is called in messages, and what it has from the groups round it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from extension.language.words import folded
from extension.svg.identities import described
from extension.svg.model import Group, Leaf


class Named(Protocol):
    """A leaf or a group."""

    @property
    def id(self) -> str: ...  # noqa: D102
    @property
    def label(self) -> str: ...  # noqa: D102
    @property
    def attributes(self) -> Mapping[str, str]: ...  # noqa: D102


def given_name(thing: Named) -> str:
    """Return the name given to an object, in its attributes or in the editor, or ""."""
    return " ".join((thing.attributes.get("name") or thing.label).split())


def called(thing: Named, name: str = "") -> str:
    """Return how messages call an object: `“Front” (path12)`, or `“path12”` without a name."""
    return described(thing.id, name or given_name(thing))


def carriers(leaf: Leaf) -> tuple[Leaf | Group, ...]:
    """Return the leaf and the groups round it, innermost first."""
    return (leaf, *reversed(leaf.groups))


def size_of(leaf: Leaf) -> str | None:
    """Return the size of a leaf: its own, or the nearest group's; None belongs to every size."""
    for carrier in carriers(leaf):
        size = " ".join(carrier.attributes.get("size", "").split())
        if size:
            return size
    return None


def same_size(one: str | None, other: str | None) -> bool:
    """Return whether two sizes meet; what has no size belongs to every size."""
    return one is None or other is None or folded(one) == folded(other)


def role_carrier(leaf: Leaf) -> Leaf | Group | None:
    """Return the leaf or the nearest group that says which role the leaf has."""
    return next((each for each in carriers(leaf) if "role" in each.attributes), None)


def draws(leaf: Leaf) -> bool:
    """Return whether a leaf shows anything: a shape without size or a clone of nothing does not."""
    low_x, low_y, high_x, high_y = leaf.box
    return bool(leaf.rings or leaf.text or (high_x > low_x and high_y > low_y))


def shown_by(leaf: Leaf) -> str:
    """Return the id of what shows a leaf: its own, or that of the outermost clone it is part of."""
    return next((group.id for group in leaf.groups if group.is_clone), leaf.id)


def is_original(leaf: Leaf) -> bool:
    """Return whether a leaf is shown where it is drawn, not by a clone of it or of a group."""
    groups = {group.id for group in leaf.groups}
    above = [element.get("id") for element in leaf.element.iterancestors("{*}g", "{*}symbol")]
    return leaf.element.get("id") in (None, leaf.id) and all(
        object_id in groups for object_id in above if object_id
    )
