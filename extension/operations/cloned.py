# SPDX-License-Identifier: GPL-2.0-or-later
"""Refuses to set on the part of a clone what would hold for pieces that are not selected."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from extension.language.errors import DrawingError
from extension.markings.taken_over import can_carry
from extension.pieces.objects import called
from extension.svg.model import Leaf


def refuse_shared(picked: Collection[Leaf], outlines: Iterable[Leaf]) -> None:
    """Raise DrawingError where a picked outline can only be told from others by unlinking it.

    The parts of a clone of a group or symbol have no attributes of their own: what is set on them
    stands on what they show.
    """
    others = {leaf.element for leaf in outlines if leaf not in picked}
    for leaf in picked:
        if leaf.element in others and not can_carry(leaf):
            raise DrawingError(
                f"{called(leaf)} is part of a clone, and what is set on it holds for all that show "
                "the same: unlink it first (Edit > Clone > Unlink Clone), or select all of them.",
                leaf.id,
            )
