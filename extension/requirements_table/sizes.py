# SPDX-License-Identifier: GPL-2.0-or-later
"""The rows of the table: sizes, and sets of sizes that are cut together; which is the larger."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from extension.job.options import COUNT_LIMIT
from extension.language.errors import OptionError
from extension.language.words import folded, listed
from extension.pieces.model import DrawnPiece
from extension.pieces.sizes import covers
from nesting.geometry.shapes import signed_area

ALL = "all"
ONE_SIZE = "one size"
"""What the row of a drawing without sizes is called."""

SAME_AREA = 1e-6
"""Share by which areas may differ and still be those of one size: rounding, not grading."""


@dataclass(frozen=True, slots=True)
class SizeSet:
    """Sizes that are cut together, each with its number of garments; none: the drawing has none."""

    garments: tuple[tuple[str, int], ...] = ()

    @property
    def title(self) -> str:
        """What the table calls it: `38`, `38 + 40`, `2 × 38 + 40`."""
        words = (size if count == 1 else f"{count} × {size}" for size, count in self.garments)
        return " + ".join(words) or ONE_SIZE


def size_sets(text: str, drawn: Sequence[str]) -> tuple[SizeSet, ...]:
    """Return the rows that were asked for: `all`, or like `38,40` and `38+40=2`.

    `drawn` are the sizes of the drawing, the smallest first. Raises OptionError.
    """
    if folded(text) in ("", ALL):
        return tuple(SizeSet(((size, 1),)) for size in drawn) or (SizeSet(),)
    sets = [_size_set(entry, drawn) for entry in text.split(",")]
    twice = next((one for index, one in enumerate(sets) if one in sets[:index]), None)
    if twice is not None:
        raise OptionError(f"The size {twice.title} is named twice in “{text}”: name it once.")
    return tuple(sets)


def _size_set(entry: str, drawn: Sequence[str]) -> SizeSet:
    """Return one row as typed."""
    written = {folded(size): size for size in drawn}
    counts: dict[str, int] = {}
    for part in entry.split("+"):
        word, equals, count = (each.strip() for each in part.partition("="))
        if not word:
            raise OptionError(
                f"“{entry.strip()}” is no size: write sizes like “38,40”, and sizes that are cut "
                "together like “38+40” or “38=2+40”."
            )
        if folded(word) not in written:
            raise _unknown(word, drawn)
        size = written[folded(word)]
        counts[size] = counts.get(size, 0) + (_count(size, count) if equals else 1)
    return SizeSet(tuple(counts.items()))


def _unknown(word: str, drawn: Sequence[str]) -> OptionError:
    if not drawn:
        return OptionError(
            f"No piece in the drawing has a size, so size “{word}” cannot be in the table: leave "
            "the sizes at “all”, or give the pieces their size with lay:size."
        )
    return OptionError(
        f"There is no size “{word}” in the drawing: choose from {listed(list(drawn), 30)}."
    )


def _count(size: str, text: str) -> int:
    if text.isascii() and text.isdigit() and len(text) < 6 and 1 <= int(text) <= COUNT_LIMIT:
        return int(text)
    raise OptionError(
        f"The number of garments in size {size} must be a whole number from 1 to {COUNT_LIMIT}, "
        f"but it is “{text}”."
    )


def size_areas(pieces: Iterable[DrawnPiece], drawn: Sequence[str]) -> dict[str, float]:
    """Return the area in mm2 that is cut of each drawn size for one garment, by its folded name.

    Pieces without a size belong to all of them and are not counted.
    """
    areas: dict[str, float] = {}
    for piece in {piece.id: piece for piece in pieces}.values():
        if piece.size is not None:
            half_or_whole = abs(signed_area(np.asarray(piece.cutting)))
            whole = half_or_whole * (1 if piece.fold is None else 2)
            copies = sum(demand.cut for demand in piece.demands)
            for size in drawn:
                if covers(piece.size, size):
                    areas[folded(size)] = areas.get(folded(size), 0.0) + copies * whole
    return areas


def smallest_first(sizes: Iterable[str], areas: Mapping[str, float]) -> tuple[str, ...]:
    """Return sizes by the area that is cut of them; equal ones stay in their order."""
    return tuple(sorted(sizes, key=lambda size: areas.get(folded(size), 0.0)))


def is_larger(one: SizeSet, other: SizeSet, areas: Mapping[str, float]) -> bool:
    """Return whether a set is as many garments as another, each as large or larger, one larger."""
    mine, others = _garment_areas(one, areas), _garment_areas(other, areas)
    pairs = list(zip(mine, others, strict=False))
    return (
        len(mine) == len(others)
        and all(large >= small * (1.0 - SAME_AREA) for large, small in pairs)
        and any(large > small * (1.0 + SAME_AREA) for large, small in pairs)
    )


def _garment_areas(sizes: SizeSet, areas: Mapping[str, float]) -> list[float]:
    each = (areas.get(folded(size), 0.0) for size, n in sizes.garments for _ in range(n))
    return sorted(each)
