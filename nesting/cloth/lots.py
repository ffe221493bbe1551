# SPDX-License-Identifier: GPL-2.0-or-later
"""Lots: copies of a piece that folded cloth may cut at once, and the ways to cut them there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from nesting.cloth.hands import may_go_double
from nesting.model import Job, Piece

How = Literal["fold", "double", "single"]
"""On the fold of the cloth, each copy as the half that is drawn; once through two layers; each by
itself on one layer."""


@dataclass(frozen=True, slots=True)
class Lot:
    """Two copies of a piece that may be cut through two layers at once, or a copy by itself."""

    piece: str
    copies: tuple[int, ...]


def lots_of(job: Job) -> tuple[Lot, ...]:
    """Return the copies of all pieces that are not held, in lots, in the order of the pieces."""
    held = {(spot.piece, copy) for spot in job.held for copy in spot.copies}
    return tuple(
        Lot(piece.id, copies)
        for piece in job.pieces
        for copies in _lots(piece, {copy for name, copy in held if name == piece.id})
    )


def _lots(piece: Piece, held: set[int]) -> Iterator[tuple[int, ...]]:
    """Yield the copies of a piece that are not held, two together where they may be."""
    waiting: int | None = None
    for copy in piece.numbers:
        if copy in held:
            continue
        if waiting is None:
            waiting = copy
        elif may_go_double(piece, (waiting, copy)):
            yield waiting, copy
            waiting = None
        else:
            yield (waiting,)
            waiting = copy
    if waiting is not None:
        yield (waiting,)
