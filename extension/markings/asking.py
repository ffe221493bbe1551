# SPDX-License-Identifier: GPL-2.0-or-later
"""What is asked about pieces as sentences of a list: the same thing about several of them once."""

from __future__ import annotations

from collections.abc import Sequence

from extension.language.words import begun, listed_pieces
from extension.markings.proposals import Proposal


def about_pieces(pieces: Sequence[Proposal]) -> list[str]:
    """Return what is asked about the pieces, the same thing about several of them once."""
    asked: dict[str, list[Proposal]] = {}
    for piece in pieces:
        for want in piece.wants:
            asked.setdefault(want, []).append(piece)
    return [
        f"{begun(_listed(alike))}{', each of them' if len(alike) > 1 else ''}: {_goes_on(want)}"
        for want, alike in asked.items()
    ]


def _listed(pieces: Sequence[Proposal]) -> str:
    """Return pieces as a list, each with its size."""
    labels = [p.called + (f", size {p.size}" if p.size else "") for p in pieces]
    named = [label for label, piece in zip(labels, pieces, strict=True) if piece.is_named]
    nameless = [label for label, piece in zip(labels, pieces, strict=True) if not piece.is_named]
    return listed_pieces(named, nameless, 8)


def _goes_on(sentence: str) -> str:
    """Return a sentence as it goes on behind a colon."""
    return sentence[0].lower() + sentence[1:] if sentence.startswith("It ") else sentence
