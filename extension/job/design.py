# SPDX-License-Identifier: GPL-2.0-or-later
"""The design of the cloth as it is typed: its repeat, even or not, and where its first line lies.

The first line counts from where the usable width begins: behind the selvedge.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from extension.language.by_material import by_material
from extension.language.errors import OptionError
from extension.language.rounding import small_text
from extension.language.units import System, parse_length
from nesting.jobs.matches import LEAST_REPEAT, LONGEST_REPEAT
from nesting.model import Repeat

WRITE_IT = "write it like “along=8cm,across=6cm”, or “main=along=8cm, contrast=across=1cm”"
"""How a fault ends."""
NONE = "none"
"""The word for cloth without a design."""
_WAYS = ("along", "across")
_BEGINS = re.compile(rf"\b({'|'.join(_WAYS)})\s*[=:]\s*", re.IGNORECASE)
_PARTED = re.compile(r",(?!\d)|(?<!\d),|;|(?<=[a-zA-Z])\s+(?=a)", re.IGNORECASE)
"""A comma between digits is a decimal one."""


def repeat_by_material(text: str) -> dict[str, str]:
    """Return what is typed for each material: `main=along=8cm,across=6cm; lining=none`.

    What is for all others stands under `by_material.REST`. Raises OptionError.
    """
    plain = _BEGINS.sub(r"\1 ", text)
    return {name: ", ".join(values) for name, values in by_material(plain, WRITE_IT).items()}


def repeat_text(text: str) -> str:
    """Return a typed repeat as it is kept, `along 8cm, across 6cm`; "" for none.

    Raises OptionError when it is none of these.
    """
    return ", ".join(f"{way} {length}" for way, length in _taken_apart(text).items())


def repeat_of(text: str, first_line: float, *, uneven: bool, half_drop: bool) -> Repeat | None:
    """Return the repeat of a kept text, None without one; `first_line` in mm.

    Raises OptionError where it cannot be.
    """
    sizes = {way: _length_of(way, typed) for way, typed in _taken_apart(text).items()}
    if not sizes:
        for said, words in ((uneven, "Uneven"), (half_drop, "A half-drop"), (first_line, "A line")):
            if said:
                raise OptionError(
                    f"{words} says nothing of cloth without a repeat: type the repeat as well, "
                    "such as “along=8cm,across=6cm”, or leave it out."
                )
        return None
    if half_drop and len(sizes) < 2:
        raise OptionError(
            "A half-drop needs the repeat both along the cloth and across it: type the other one."
        )
    if first_line and "across" not in sizes:
        raise OptionError(
            "The first line lies across the cloth, but no repeat across is given: type it as well, "
            "or leave the first line out."
        )
    return Repeat(**sizes, first=first_line, even=not uneven, half_drop=half_drop)


def check_design(design: Repeat | None, *, width: float, nap: bool) -> None:
    """Raise OptionError when a design cannot be on cloth `width` mm between its selvedges.

    One that has one way up needs a nap.
    """
    if design is None:
        return
    if design.across > width:
        raise OptionError(
            f"The repeat across the cloth of {design.across:g} mm is wider than the cloth, "
            f"{width:g} mm between the selvedges: measure it again."
        )
    if runs_one_way(design) and not nap:
        raise OptionError(
            "A design that is uneven has one way up, as a nap has: turned round, its lines follow "
            "each other the other way. Lay the pieces out with nap."
        )


def runs_one_way(design: Repeat | None) -> bool:
    """Return whether a design has one way up: an uneven one, whichever way it repeats.

    Source: *Successful Sewing*, Goodheart-Willcox 2013, p. 108: uneven stripes and plaids are laid
    with nap.
    """
    return design is not None and not design.even


def one_way_up(values: Mapping[str, Any]) -> dict[str, Any]:
    """Return values of options, with a nap where an uneven design means one."""
    is_uneven = values.get("uneven") and values.get("repeat")
    return {**values, "nap": True} if is_uneven else dict(values)


def design_text(repeat: Repeat, kept_off: float, system: System) -> str:
    """Return what the design is, in words; `kept_off` mm of selvedge come off the width typed."""
    sizes = zip((repeat.along, repeat.across), _WAYS, strict=True)
    size = " and ".join(f"{small_text(mm, system)} {way}" for mm, way in sizes if mm)
    kind = "even" if repeat.even else "uneven"
    drop = ", half-drop" if repeat.half_drop else ""
    if not repeat.across:
        return f"Design: repeat {size}, {kind}."
    first = f"its first line {small_text(repeat.first, system)} above the lower selvedge"
    if kept_off:
        first += f", {small_text(repeat.first + kept_off, system)} from the edge of the cloth"
    return f"Design: repeat {size}, {kind}{drop}, {first}."


def trimmed_text(repeat: Repeat, *, is_there: bool) -> list[str]:
    """Return what becomes of a cut end that falls between two lines, where the repeat is along.

    `is_there`: the cloth is in hand, and nothing is added to it.
    """
    if not repeat.along:
        return []
    where = "The cut end may fall anywhere in the repeat, and the cloth is trimmed to a dominant"
    if is_there:
        return [f"{where} line: measure the length of the cloth from such a line."]
    return [f"{where} line: one repeat is added to the length to buy for that."]


def _taken_apart(text: str) -> dict[str, str]:
    """Return the lengths of a repeat as typed, by way. Raises OptionError."""
    if not isinstance(text, str):
        raise TypeError(text)
    plain = _BEGINS.sub(r"\1 ", text.strip())
    if plain.casefold() in ("", NONE):
        return {}
    found: dict[str, str] = {}
    for entry in filter(None, (part.strip() for part in _PARTED.split(plain))):
        word, _, length = entry.partition(" ")
        way = word.casefold()
        if way not in _WAYS or not length.strip():
            raise OptionError(f"The repeat of the design is “{text.strip()}”: {WRITE_IT}.")
        if way in found:
            raise OptionError(f"The repeat {way} stands twice in “{text.strip()}”: type it once.")
        _length_of(way, length)
        found[way] = length.strip()
    return {way: found[way] for way in _WAYS if way in found}


def _length_of(way: str, text: str) -> float:
    """Return a typed repeat in mm. Raises OptionError, with its way, for one that cannot be."""
    try:
        length = parse_length(text)
    except OptionError as error:
        raise OptionError(f"The repeat {way} the cloth: {error}") from None
    if not LEAST_REPEAT <= length <= LONGEST_REPEAT:
        raise OptionError(
            f"The repeat {way} the cloth must be between {LEAST_REPEAT:g} mm and "
            f"{LONGEST_REPEAT / 1000.0:g} m, but it is “{text.strip()}”: measure from one dominant "
            "line to the next that is like it."
        )
    return length
