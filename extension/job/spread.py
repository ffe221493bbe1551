# SPDX-License-Identifier: GPL-2.0-or-later
"""How the cloth lies, as it is typed, and the sections of cloth that this means.

A folded section is followed by an open one, for what cannot be cut on it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Literal

from extension.language.by_material import by_material
from extension.language.errors import OptionError
from extension.language.rounding import small_text
from extension.language.units import System, parse_length
from nesting.model import OPEN, Section, Sides

SpreadWord = Literal["open", "lengthwise", "depth", "twice", "crosswise", "compare"]
COMPARE: SpreadWord = "compare"
"""The word for trying several ways, and drawing the best of them."""
USUAL_SPREAD: SpreadWord = "open"
USUAL_SIDES: Sides = "together"
COMPARED: tuple[SpreadWord, ...] = ("open", "lengthwise", "depth", "twice")
"""What is compared; crosswise is for pieces wider than half of the cloth, and is asked for."""

WRITE_IT = "write it like “lengthwise”, “depth=35cm” or “main=lengthwise, lining=open”"
"""How a fault ends."""

_WORDS = ("open", "lengthwise", "depth", "twice", "crosswise", COMPARE)
_DEPTHS = {"depth": 1, "twice": 2}
"""Words behind which depths may be typed, and how many."""
_BEGINS = re.compile(rf"\b({'|'.join(_DEPTHS)})\s*[=:]\s*", re.IGNORECASE)
_PARTED = re.compile(r",(?!\d)|(?<!\d),|;|(?<=[a-zA-Z])\s+(?=\d)")
"""A comma between digits is a decimal one."""
NOISE = 1e-6
"""mm within which a depth is half of the width."""


def spread_by_material(text: str) -> dict[str, str]:
    """Return what is typed for each material: `main=depth=35cm, lining=open`.

    What is for all others stands under `by_material.REST`. Raises OptionError.
    """
    plain = _BEGINS.sub(r"\1 ", text)
    return {name: ", ".join(values) for name, values in by_material(plain, WRITE_IT).items()}


def spread_text(text: str) -> str:
    """Return a typed spread as it is kept, its depths with their units: `twice 20cm, 30cm`.

    Raises OptionError when it is none.
    """
    word, depths = _taken_apart(text)
    return f"{word} {', '.join(depths)}" if depths else word


def sections_of(text: str, *, width: float, nap: bool, system: System) -> tuple[Section, ...]:
    """Return the sections of cloth that lies as `text` says, `width` mm between its selvedges.

    With nap the upper layer of a crosswise fold is cut off and turned round. Raises OptionError
    for depths that the cloth does not have.
    """
    word, typed = _taken_apart(text)
    depths = [parse_length(depth) for depth in typed]
    _check_depths(word, depths, width, system)
    folded: Mapping[str, Section] = {
        "lengthwise": Section(width / 2.0),
        "depth": Section(depths[0] if depths else None),
        "twice": Section(*(depths or (width / 4.0, width / 4.0))),
        "crosswise": Section(crosswise=True, turned=nap),
    }
    return (folded[word], OPEN) if word in folded else (OPEN,)


def _taken_apart(text: str) -> tuple[str, tuple[str, ...]]:
    """Return the word of a spread and the depths behind it, as typed."""
    plain = _BEGINS.sub(r"\1 ", text.strip())
    word, _, rest = plain.partition(" ")
    word = word.casefold()
    if word not in _WORDS:
        raise OptionError(
            f"How the cloth lies is “{text.strip()}”: choose {', '.join(_WORDS[:-1])} or {COMPARE}."
        )
    depths = tuple(filter(None, (depth.strip() for depth in _PARTED.split(rest))))
    if depths and word not in _DEPTHS:
        raise OptionError(
            f"“{rest.strip()}” behind “{word}” says nothing: leave it out, or choose “depth” or "
            "“twice”, which are told how deep the cloth is folded in."
        )
    if depths and len(depths) != _DEPTHS[word]:
        example = "depth=35cm" if word == "depth" else "twice=20cm,30cm"
        raise OptionError(
            f"“{text.strip()}” tells {len(depths)} "
            f"{'depth' if len(depths) == 1 else 'depths'}, but “{word}” has {_DEPTHS[word]} or "
            f"none: write it like “{example}”, or “{word}” alone."
        )
    for depth in depths:
        if _length_of(depth) <= 0.0:
            raise OptionError(
                f"The cloth cannot be folded in by “{depth}”: type how deep, such as 35cm, or "
                "“open” for cloth that is not folded."
            )
    return word, depths


def _length_of(depth: str) -> float:
    """Return a typed depth in mm; the fault says that it is one."""
    try:
        return parse_length(depth)
    except OptionError as error:
        raise OptionError(f"How deep the cloth is folded in: {error}") from None


def _check_depths(word: str, depths: list[float], width: float, system: System) -> None:
    """Raise for depths that meet: both layers of both folds need cloth of their own."""
    if 2.0 * sum(depths) <= width + NOISE:
        return
    asked = " and ".join(small_text(depth, system) for depth in depths)
    half = small_text(width / 2.0, system)
    other = "“lengthwise” folds it in half" if word == "depth" else "“twice” alone folds it equally"
    raise OptionError(
        f"The cloth cannot be folded in by {asked}: {small_text(width, system)} between the "
        f"selvedges leave {half} in all. Fold it less deep; {other}."
    )
