# SPDX-License-Identifier: GPL-2.0-or-later
"""What the judge says: a broken rule by its name, and the words for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from nesting.model import Placement


@dataclass(frozen=True, slots=True)
class Violation:
    """One broken rule.

    `kind` is the rule's name and `amount` is in the rule's unit, as the table has them (`rules`);
    `parts` are the parts at fault as `part_key` names them.
    """

    kind: str
    parts: tuple[str, ...]
    amount: float
    sentence: str

    def __str__(self) -> str:
        """Return the sentence without its full stop, to be quoted within another one."""
        return self.sentence.removesuffix(".")


def part_key(piece: str, copy: int) -> str:
    """Return how violations name one copy of a piece."""
    return f"{piece} #{copy}"


def keys_of(spot: Placement) -> tuple[str, ...]:
    """Return the keys of the copies a placement cuts."""
    return tuple(part_key(spot.piece, copy) for copy in spot.copies)


def numbers(copies: Sequence[int]) -> str:
    """Return copy numbers as a person lists them, long lists cut short."""
    shown = ", ".join(str(copy) for copy in copies[:5])
    return shown if len(copies) <= 5 else f"{shown} and {len(copies) - 5} more"


def figure(value: float) -> str:
    """Return a number in four digits, without an exponent for everyday sizes."""
    # What rounds to 10000 would have an exponent in four digits already.
    return f"{value:.4g}" if abs(value) < 9999.5 else f"{value:.0f}"


def capital(words: str) -> str:
    """Return a sentence's first words with a capital letter."""
    return words[0].upper() + words[1:]
