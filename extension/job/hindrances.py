# SPDX-License-Identifier: GPL-2.0-or-later
"""What a layout would refuse of a drawing that was just read: said there, and no tick before it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import shapely

from extension.job.reading import refused
from extension.language.errors import DrawingError
from extension.markings.proposals import Proposal, Proposals
from extension.pieces.selection import UnexplainedOutline
from extension.svg.model import Leaf


def with_hindrances(proposals: Proposals, leaves: Sequence[Leaf]) -> Proposals:
    """Return what was read with what stands in the way of laying it out, as far as it is untold.

    `leaves` are the drawing with the proposals written on it. A fault of a piece about which
    something is asked already is not told: most often it is the same, in other words.
    """
    if not proposals.pieces:
        return proposals
    wants: dict[str, list[str]] = {}
    general: list[str] = []
    for fault in refused(leaves):
        owners = [*_owners(proposals.pieces, fault)]
        for owner in owners:
            wants.setdefault(owner.id, []).append(str(fault))
        if (
            not owners
            and not _is_asked(fault, proposals, leaves)
            and not any(f"({fault.object_id})" in each for each in proposals.questions)
        ):
            general.append(str(fault))
    pieces = tuple(
        replace(piece, wants=tuple(dict.fromkeys(wants.get(piece.id, ()))))
        if piece.is_complete
        else piece
        for piece in proposals.pieces
    )
    told = [want for piece in pieces for want in piece.wants if want in wants.get(piece.id, ())]
    return replace(
        proposals,
        pieces=pieces,
        questions=tuple(dict.fromkeys((*proposals.questions, *general, *told))),
        of_pieces=tuple(dict.fromkeys((*proposals.of_pieces, *told))),
    )


def _is_asked(fault: DrawingError, proposals: Proposals, leaves: Sequence[Leaf]) -> bool:
    """Return whether a fault is an unexplained outline in a piece to look at.

    Reading asks about all that lie in a piece at once.
    """
    if not isinstance(fault, UnexplainedOutline):
        return False
    inner = next((leaf for leaf in leaves if leaf.id == fault.object_id), None)
    if inner is None:
        return False
    area = shapely.box(*inner.box)
    return any(
        not piece.is_complete and piece.shape.polygon.intersects(area) for piece in proposals.pieces
    )


def _owners(pieces: Sequence[Proposal], fault: DrawingError) -> Iterator[Proposal]:
    """Yield the pieces that a fault is about, by the id of their outline or a group round it."""
    for piece in pieces:
        groups = (group.id for group in piece.leaf.groups if not group.is_layer)
        if fault.object_id in (piece.id, *groups):
            yield piece
