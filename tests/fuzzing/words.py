# SPDX-License-Identifier: GPL-2.0-or-later
"""Words that the commands beside lay-out are asked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from random import Random

from tests.fuzzing.cloths import REPEATS
from tests.fuzzing.commands import THE_DRAWING

CHANGES = (
    "cut=2", "grain=up", "name=Tab", "turns=free", "fold=left", "cut=", "border=hem", "border=edge",
    "hidden=yes", "role=cloth", "role=flaw", "role=edge", "allowance=4cm", "match=side along",
    "match=", "priority=1", "priority=x", "top=end", "off-grain=2deg",
)  # fmt: skip
"""Details that are set on what is selected, whatever it is."""

_TABLE: Mapping[str, tuple[float, Sequence[str]]] = {
    "--spread": (0.2, ("longer", "each", "open", "lengthwise", "depth", "twice", "crosswise")),
    "--repeat": (0.1, REPEATS),
    "--uneven": (0.05, ("yes",)),
    "--half-drop": (0.05, ("yes",)),
    "--first-line": (0.05, ("2cm",)),
    "--border": (0.1, ("0cm,4cm", "both 1cm,3cm")),
    "--sides": (0.1, ("together", "apart")),
    "--nap": (0.3, ("both", "with", "without", "main=both")),
    "--locale": (0.3, ("en", "de", "fr")),
    "--paper": (0.2, ("a4", "letter")),
    "--merge-widths": (0.2, ("0cm", "2cm", "50cm")),
    "--shrinkage": (0.2, ("0", "5", "100")),
    "--shrinkage-across": (0.2, ("0", "4", "60")),
    "--round-up": (0.2, ("1/8yd", "5cm", "10cm", "none")),
    "--gap": (0.3, ("3mm", "0mm", "15mm")),
}
"""Options of the table by how often they are typed, and what."""


def table_words(random: Random) -> list[str]:
    """Return words for Fabric Requirements."""
    words: list[str] = []
    for option, (share, values) in _TABLE.items():
        if random.random() < share:
            words += [option, random.choice(values)]
    if random.random() < 0.2:
        words.append("--write-layouts")
    return words


def diagram_words(random: Random) -> list[str]:
    """Return words for Cutting Diagram: paper, scale, leaves of the full size, one layout."""
    words: list[str] = []
    for option, share, values in (
        ("--paper", 0.3, ("a4", "letter")),
        ("--scale", 0.3, ("fit", "1:10", "1:20")),
        ("--tiles", 0.3, ("a4", "letter")),
        ("--layout", 0.3, ("1", "1", "1", "1", "9", "nowhere")),
    ):
        if random.random() < share:
            words += [option, random.choice(values)]
    return words


def put_together_words(random: Random) -> list[str]:
    """Return words for Put Pages Together; the drawing may be its own second page."""
    words: list[str] = [THE_DRAWING] if random.random() < 0.1 else []
    for option, values in (
        ("--rows", ("1", "2", "3", "0", "999")),
        ("--columns", ("1", "2", "3", "-1")),
        ("--overlap", ("0mm", "10mm", "1/2in", "9m")),
    ):
        if random.random() < 0.15:
            words += [option, random.choice(values)]
    if random.random() < 0.1:
        words.append("--scale-by-square")
    return words
