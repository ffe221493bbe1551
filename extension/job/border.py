# SPDX-License-Identifier: GPL-2.0-or-later
"""The border of the cloth as it is typed: along which selvedge it runs, from where to where.

Both count from where the usable width begins, behind the selvedge. The first is the line on which
the edges lie that ask for the border.
"""

from __future__ import annotations

import re

from extension.language.by_material import by_material
from extension.language.errors import OptionError
from extension.language.units import parse_length
from nesting.model import Band, Repeat

WRITE_IT = "write it like “0cm, 12cm”, “upper 0cm, 12cm” or “main=both 0cm, 12cm; lining=none”"
"""How a fault ends."""
NONE = "none"
LOWER, UPPER, BOTH = "lower", "upper", "both"
_PARTED = re.compile(r"\s+to\s+|\s*,(?!\d)\s*|(?<!\d),\s*", re.IGNORECASE)
"""A comma between digits is a decimal one."""
_SIDE = re.compile(rf"({LOWER}|{UPPER}|{BOTH})(?![^\W\d])[\s:]*", re.IGNORECASE)
"""A word by itself, or with the first figure right behind it, as short usage lines print it."""


def border_by_material(text: str) -> dict[str, str]:
    """Return what is typed for each material: `main=0cm,12cm; lining=none`.

    What is for all others stands under `by_material.REST`. Raises OptionError.
    """
    return {name: ", ".join(values) for name, values in by_material(text, WRITE_IT).items()}


def border_text(text: str) -> str:
    """Return a typed border as it is kept, `lower 0cm, 12cm`; "" for none. Raises OptionError."""
    if not text.strip() or text.strip().casefold() == NONE:
        return ""
    side, ends = _taken_apart(text)
    for end in ends:
        _length(text, end)
    return f"{side} {', '.join(ends)}"


def bands_of(text: str, width: float) -> tuple[Band, ...]:
    """Return the borders of a kept text on cloth `width` mm between its selvedges.

    Raises OptionError where they cannot be.
    """
    if not text:
        return ()
    side, ends = _taken_apart(text)
    begins, stops = (_length(text, end) for end in ends)
    if not begins < stops:
        raise OptionError(
            f"The border “{text}” ends no farther from the selvedge than it begins: {WRITE_IT}."
        )
    if stops > width:
        raise OptionError(
            f"The border “{text}” reaches farther than the cloth, {width:g} mm between the "
            "selvedges: measure it again."
        )
    lower, upper = Band(LOWER, begins, stops), Band(UPPER, width - begins, width - stops)
    return {LOWER: (lower,), UPPER: (upper,), BOTH: (lower, upper)}[side]


def check_border(bands: tuple[Band, ...], design: Repeat | None) -> None:
    """Raise OptionError for a border of cloth whose design is matched across as well."""
    if bands and design is not None and design.across:
        raise OptionError(
            "A border says where a piece lies across the cloth, and so would a repeat across: "
            "leave out the repeat across, or the border."
        )


def _taken_apart(text: str) -> tuple[str, list[str]]:
    """Return along which selvedge a border runs, and its two ends as typed. Raises OptionError."""
    plain = text.strip()
    found = _SIDE.match(plain)
    side = found.group(1).casefold() if found else LOWER
    ends = [end.strip() for end in _PARTED.split(plain[found.end() if found else 0 :])]
    if len(ends) != 2 or not all(ends):
        raise OptionError(
            f"The border “{plain}” does not tell two lengths, from where to where from the "
            f"selvedge: {WRITE_IT}."
        )
    return side, ends


def _length(text: str, end: str) -> float:
    """Return one end of a border, mm. Raises OptionError."""
    if end == "0":
        return 0.0
    try:
        length = parse_length(end)
    except OptionError as error:
        raise OptionError(f"The border “{text.strip()}”: {error}") from None
    if length < 0.0:
        raise OptionError(
            f"The border “{text.strip()}” begins beyond the selvedge: count from where the usable "
            "width begins."
        )
    return length
