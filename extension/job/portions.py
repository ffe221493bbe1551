# SPDX-License-Identifier: GPL-2.0-or-later
"""Which copies of a piece one layout lays, where the others are cut from other cloth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from extension.language.errors import OptionError
from nesting.model import Lot, Piece

LOTS: Mapping[str, Lot] = {"parted": "", "piece": "piece", "garment": "garment"}
"""What may be asked to be cut from one of several remnants, in the words of the options."""
USUAL_LOT = "parted"
"""Copies go where there is room for them; they are kept together where that takes no more cloth."""


@dataclass(frozen=True, slots=True)
class Portion:
    """The copies of a piece of the job that are laid, by number, of how many that are cut."""

    piece: str
    of: int
    copies: tuple[int, ...]


def stored_portions(values: Sequence[Mapping[str, Any]]) -> tuple[Portion, ...]:
    """Return portions that are stored as plain values. Raises ValueError, TypeError, KeyError."""
    return tuple(
        Portion(str(one["piece"]), int(one["of"]), tuple(int(copy) for copy in one["copies"]))
        for one in values
    )


def portioned(piece: Piece, portions: Sequence[Portion]) -> Piece:
    """Return a piece of which only a portion is laid, if there is one of it.

    Raises OptionError when it is cut more or fewer times than when it was shared out.
    """
    own = next((one for one in portions if one.piece == piece.id), None)
    if own is None:
        return piece
    now = piece.cut * piece.garments
    if now != own.of:
        raise OptionError(
            f"{piece.name or piece.id} is cut {now} times now, but its copies were shared out "
            f"among several remnants when it was cut {own.of} times: lay the pieces out on these "
            "remnants anew."
        )
    return replace(piece, copies=own.copies)
