# SPDX-License-Identifier: GPL-2.0-or-later
"""Lists by material, `main=140cm, lining=150cm`: the one place where they are taken apart.

Entries are parted by commas or semicolons; a comma between digits is a decimal one, as in `1,4m`.
What stands before the first material, or behind a semicolon without one, is for all others.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TypeVar

from extension.language.errors import OptionError
from extension.language.vocabulary import material

REST = ""
"""Stands for every material that is not named."""

_COMMA = re.compile(r",(?!\d)|(?<!\d),|,(?=\d{3}(?!\d))")
"""Three digits behind a comma are no decimals: thousands are not told from them anyway."""

T = TypeVar("T")


def by_material(text: str, example: str) -> dict[str, tuple[str, ...]]:
    """Return what is typed for each material, and under `REST` for all that are not named.

    Several values of one material follow each other: `main=110cm,140cm`. Materials meet through
    the words of the vocabulary. `example` ends the sentence of a fault, `write it like …`. Raises
    OptionError.
    """
    found: dict[str, tuple[str, ...]] = {}
    for group in filter(str.strip, text.split(";")):
        name: str | None = None
        for entry in map(str.strip, _COMMA.split(group)):
            word, equals, value = (part.strip() for part in entry.partition("="))
            if equals and not word:
                raise OptionError(f"A material has no name in “{text}”: {example}.")
            begins = material(word) if equals else (REST if name is None else name)
            if (equals or name is None) and begins in found:
                whose = f"“{word}”" if equals else "all materials"
                raise OptionError(
                    f"What is typed for {whose} stands twice in “{text}”: type it once, all "
                    "values of a material together."
                )
            name = begins
            typed = value if equals else entry
            if not typed:
                raise OptionError(f"A value is missing in “{text}”: {example}.")
            found[name] = (*found.get(name, ()), typed)
    return found


def one_by_material(text: str, example: str) -> dict[str, str]:
    """Return the one value that is typed for each material. Raises OptionError for several."""
    found = {}
    for name, values in by_material(text, example).items():
        if len(values) > 1:
            raise OptionError(
                f"“{', '.join(values)}” are several values for {name or 'all materials'}: "
                f"{example}."
            )
        found[name] = values[0]
    return found


def value_for(name: str, values: Mapping[str, T]) -> T | None:
    """Return what holds for a material: its own value, else that for all others, else None."""
    return values.get(name, values.get(REST))
