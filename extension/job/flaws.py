# SPDX-License-Identifier: GPL-2.0-or-later
"""Flaws of the cloth as they are typed: where each begins, and how large it is.

From the cut end and from the lower selvedge: x, y, width, height.
"""

from __future__ import annotations

import re
from typing import Any

from extension.language.by_material import REST
from extension.language.errors import OptionError
from extension.language.units import parse_length
from extension.language.vocabulary import material
from nesting.model import Outline

WRITE_IT = "write it like “30cm, 20cm, 5cm, 4cm” or “main=30cm, 20cm, 5cm, 4cm”"
"""How a fault ends."""
NONE = "none"
CROSSWISE = (
    "Which parts of a crosswise fold a flaw spoils depends on where the fold will be: choose "
    "“open” or “lengthwise” for how the cloth lies, or leave the flaws out."
)
OF_WHICH = (
    "Several materials are laid out, and a flaw lies on the cloth of one: name it, as in "
    "“main=30cm, 20cm, 5cm, 4cm”."
)

_PARTED = re.compile(r",(?!\d)|(?<!\d),|(?<=[a-zA-Z])\s+(?=-?\d)")
"""A comma between digits is a decimal one."""


def check_flaws(flaws: tuple[Outline, ...], spread: str) -> None:
    """Raise OptionError for flaws of cloth that is folded crosswise."""
    if flaws and spread == "crosswise":
        raise OptionError(CROSSWISE)


def flaws_by_material(text: str) -> dict[str, str]:
    """Return the flaws that are typed for each material, semicolons between them.

    What stands without a material is under `by_material.REST`. Raises OptionError.
    """
    found: dict[str, list[str]] = {}
    for entry in filter(None, map(str.strip, text.split(";"))):
        word, equals, rest = entry.partition("=")
        if equals and not word.strip():
            raise OptionError(f"A material has no name in “{entry}”: {WRITE_IT}.")
        name = material(word.strip()) if equals else REST
        found.setdefault(name, []).append(rest.strip() if equals else entry)
    return {name: "; ".join(entries) for name, entries in found.items()}


def flaws_of(text: str) -> tuple[Outline, ...]:
    """Return typed flaws as outlines on the cloth, mm; none for “none”. Raises OptionError."""
    if text.strip().casefold() == NONE:
        return ()
    return tuple(_flaw(entry) for entry in filter(None, map(str.strip, text.split(";"))))


def stored_flaws(values: Any) -> tuple[Outline, ...]:
    """Return flaws that are stored as lists of points. Raises ValueError or TypeError."""
    return tuple(tuple((float(x), float(y)) for x, y in flaw) for flaw in values)


def _flaw(text: str) -> Outline:
    """Return one typed flaw."""
    sides = list(filter(None, (side.strip() for side in _PARTED.split(text))))
    if len(sides) != 4:
        raise OptionError(
            f"The flaw “{text}” tells {len(sides)} lengths instead of four, from the cut end, from "
            f"the lower selvedge, along and across: {WRITE_IT}."
        )
    try:
        x, y, along, across = (parse_length(side) for side in sides)
    except OptionError as error:
        raise OptionError(f"The flaw “{text}”: {error}") from None
    if min(along, across) <= 0.0:
        raise OptionError(f"The flaw “{text}” is without extent: {WRITE_IT}.")
    return ((x, y), (x + along, y), (x + along, y + across), (x, y + across))
