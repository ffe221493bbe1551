# SPDX-License-Identifier: GPL-2.0-or-later
"""What a clone takes over from what it shows, and what of its own could not be written on it.

The parts of a cloned group or symbol have no attributes of their own in a drawing: what is written
for them stands on what they show, for all clones of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from lxml import etree

from extension.language.words import listed
from extension.markings.asking import about_pieces
from extension.markings.building import NO_COUNT
from extension.markings.proposals import Proposal, Proposals
from extension.markings.remembering import READ
from extension.pieces.attributes import piece_details
from extension.pieces.objects import is_original
from extension.svg.model import Leaf, Matrix
from extension.svg.transforms import apply, inverse

UNLINK = "unlink it (Edit > Clone > Unlink Clone) and read again."
_LINES: Mapping[str, str] = {"fold": "its fold edge", "grainline": "its grainline"}

_OwnLines = frozenset[tuple[str | float, ...]]
"""The lines to be drawn on a piece: role, and both ends in the coordinates of its outline."""


def can_carry(leaf: Leaf) -> bool:
    """Return whether attributes can be set for a leaf alone: it is no part of a cloned group."""
    return is_original(leaf) or leaf.element.get("id") != leaf.id


def carriers_of(pieces: Sequence[Proposal]) -> Iterator[Proposal]:
    """Yield the pieces whose attributes can be written.

    An outline that nothing but clones of groups show carries what is read of it, if that is the
    same at all of them.
    """
    original = {piece.leaf.element for piece in pieces if is_original(piece.leaf)}
    shown: dict[etree._Element, list[Proposal]] = {}
    for piece in pieces:
        if can_carry(piece.leaf):
            yield piece
        elif piece.leaf.element not in original:
            shown.setdefault(piece.leaf.element, []).append(piece)
    for alike in shown.values():
        told = [(piece.attributes, _own_lines(piece)) for piece in alike]
        if all(one == told[0] for one in told):
            yield alike[0]


def with_taken_over(proposals: Proposals, leaves: Sequence[Leaf]) -> Proposals:
    """Return what was read, with what does not hold of clones as it was read.

    `leaves` are the drawing with the proposals written on it.
    """
    if all(is_original(piece.leaf) for piece in proposals.pieces):
        return proposals
    written = {(leaf.element, leaf.matrix): leaf for leaf in leaves}
    drawn = {
        piece.leaf.element: _own_lines(piece)
        for piece in carriers_of(proposals.pieces)
        if piece.leaf.element.get("id") in (None, piece.id)
    }
    pieces = tuple(
        piece if is_original(piece.leaf) else _as_written(piece, written, drawn)
        for piece in proposals.pieces
    )
    of_pieces = about_pieces(pieces)
    others = (one for one in proposals.questions if one not in proposals.of_pieces)
    return replace(
        proposals,
        pieces=pieces,
        questions=tuple(dict.fromkeys((*others, *of_pieces))),
        of_pieces=tuple(of_pieces),
    )


def _as_written(
    piece: Proposal,
    written: Mapping[tuple[etree._Element, Matrix], Leaf],
    drawn: Mapping[etree._Element, _OwnLines],
) -> Proposal:
    """Return the proposal for a clone with what it takes over, and what it lacks, asked about."""
    now = written.get((piece.leaf.element, piece.leaf.matrix))
    if now is None:
        return piece
    read = {**piece.leaf.attributes, **piece.attributes}
    holds = {name: text for name, text in now.attributes.items() if name not in (READ, "role")}
    lost = [
        f"“{name} {text}”"
        for name, text in piece.attributes.items()
        if name != "role" and holds.get(name) != text
    ]
    lines = _own_lines(piece)
    has = frozenset() if can_carry(piece.leaf) else drawn.get(piece.leaf.element, frozenset())
    lost += [_LINES[str(role)] for role, *_ in sorted(lines - has)]
    taken = {name: text for name, text in holds.items() if read.get(name) != text}
    also = [_LINES[str(role)] for role, *_ in sorted(has - lines)]
    wants = [*piece.wants]
    if lost:
        wants.append(f"It is shown by a clone, and {listed(lost)} could not be set on it: {UNLINK}")
    elif taken or also:
        words = [*(f"“{name} {text}”" for name, text in taken.items()), *also]
        wants.append(
            f"It is shown by a clone, and takes {listed(words)} over from what that shows: where "
            f"it is not so, {UNLINK}"
        )
    if "cut" in taken:
        wants = [want for want in wants if not want.startswith(NO_COUNT)]
        given = piece_details(holds, piece.called, piece.id)
        piece = replace(piece, details=replace(piece.details, cut=given.cut))
    return replace(piece, wants=tuple(wants))


def _own_lines(piece: Proposal) -> _OwnLines:
    back = inverse(piece.leaf.matrix)
    return frozenset(
        (line.role, *(round(x, 2) for end in (line.start, line.end) for x in apply(back, end)))
        for line in piece.lines
    )
