# SPDX-License-Identifier: GPL-2.0-or-later
"""The words of `lay:match`: a group, which way it counts, and whether it lies on a line."""

from __future__ import annotations

import re
from dataclasses import dataclass

from nesting.model import Axes, On

_ON: dict[str, On] = {"on line": "line", "between lines": "between"}
_WAYS: tuple[Axes, ...] = ("along", "across")


@dataclass(frozen=True, slots=True)
class Matching:
    """What `lay:match` says: the points of one group lie alike in the design.

    That counts in the directions of `axes`; `on` a line, or between two, all of them lie there.
    """

    group: str
    axes: Axes = "both"
    on: On = ""


def match_words(text: str) -> Matching:
    """Return what a text says: `side`, `centre on line`, `hem along`.

    Raises ValueError, with what is wrong with it, for one that names no group or two places.
    """
    words = " ".join(text.casefold().split())
    found: set[str] = set()
    for said in (*_ON, *_WAYS):
        without = re.sub(rf"\b{said}\b", " ", words)
        if without != words:
            found.add(said)
        words = without
    group = " ".join(words.split())
    places = [on for said, on in _ON.items() if said in found]
    axes = [way for way in _WAYS if way in found]
    if not group:
        raise ValueError("names no group")
    if len(places) > 1:
        raise ValueError("says two places")
    return Matching(group, axes[0] if len(axes) == 1 else "both", places[0] if places else "")
