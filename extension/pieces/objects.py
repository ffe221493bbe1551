# SPDX-License-Identifier: GPL-2.0-or-later
"""What a leaf is called in messages, and what it has from the groups round it."""

from __future__ import annotations

from collections.abc import Sequence

from extension.language.words import listed
from extension.svg.identities import described
from extension.svg.model import Group, Leaf, LeftOut, Reason
from extension.svg.seen import Sight


def given_name(thing: Leaf | Group) -> str:
    """Return the name given to an object, in its attributes or in the editor, or ""."""
    return " ".join((thing.attributes.get("name") or thing.label).split())


def called(thing: Leaf | Group, noun: str = "") -> str:
    """Return how messages call an object: `“Front” (path12)`, or by what is seen of it.

    `noun` is what an object without a name is known to be.
    """
    return piece_called(thing, thing.id, given_name(thing), noun)


def all_called(things: Sequence[Leaf | Group], most: int = 5) -> str:
    """Return several objects as messages call them, those beyond `most` counted."""
    words = [called(thing) for thing in things[:most]]
    return listed([*words, *("" for _ in things[most:])], most)


class Calling:
    """How messages call an object, found out only when it is told."""

    def __init__(self, thing: Leaf | Group) -> None:
        self._thing = thing

    def __str__(self) -> str:
        return called(self._thing)


def outline_called(leaf: Leaf) -> str:
    """Return how messages call the outline of what has a name, or what is seen of it."""
    return f"the outline of {called(leaf)}" if given_name(leaf) else called(leaf, "outline")


def group_called(group: Group) -> str:
    """Return how messages call a group or layer, with the word for what it is."""
    kind = "layer" if group.is_layer else "group"
    return f"the {kind} {called(group)}" if given_name(group) else called(group)


def piece_called(outline: Leaf | Group, piece: str, name: str, noun: str = "") -> str:
    """Return how messages call a piece by its id and its name, "" where none was given to it."""
    return described(piece, name, "" if name else (outline.sight or Sight(())).of(outline, noun))


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


def not_laid(leaf: Leaf, reason: Reason, name: str = "") -> LeftOut:
    """Return what is drawn, or the clone that shows it, as left out for a reason."""
    shown, name = shown_by(leaf), name or given_name(leaf)
    return LeftOut(shown, reason, name, piece_called(leaf, shown, name))


def is_original(leaf: Leaf) -> bool:
    """Return whether a leaf is shown where it is drawn, not by a clone of it or of a group."""
    groups = {group.id for group in leaf.groups}
    above = [element.get("id") for element in leaf.element.iterancestors("{*}g", "{*}symbol")]
    return leaf.element.get("id") in (None, leaf.id) and all(
        object_id in groups for object_id in above if object_id
    )
