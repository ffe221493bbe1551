# SPDX-License-Identifier: GPL-2.0-or-later
"""The labels of the trade with their facts, and how a reading compares with these.

`python -m tests.extension.labels.trade` prints the rates; with `--held-back`, those of the quarter
that nobody looked at while the reader was mended.
"""

from __future__ import annotations

import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Literal
from unicodedata import normalize

from extension.labels.reading import LabelReading, read_label
from extension.language.words import folded

DATA = Path(__file__).with_name("trade_labels.txt")
LATER = Path(__file__).with_name("later_labels.txt")
"""Labels that were written when the reader had been mended with the others."""
LAST = Path(__file__).with_name("last_labels.txt")
"""Labels that were written after all others, pieces that are named after a fold among them."""
EVERY = 4
"""Every fourth label was held back."""

Verdict = Literal["right", "asked", "shown", "name", "wrong"]


@dataclass(frozen=True, slots=True)
class Row:
    """A label, with the facts that it tells a cutter."""

    language: str
    text: str
    facts: str
    trap: bool
    held_back: bool


def rows(file: Path = DATA) -> list[Row]:
    """Return every label of a file, in its order."""
    found: list[Row] = []
    language = ""
    for line in file.read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            language = line.strip("[]")
        elif " =>" in line and not line.startswith("#"):
            text, _, facts = line.partition(" =>")
            trap, text = text.startswith("! "), text.removeprefix("! ").replace("|", "\n")
            held_back = len(found) % EVERY == EVERY - 1
            found.append(Row(language, text, facts.strip(), trap, held_back))
    return found


def facts_of(reading: LabelReading) -> set[str]:
    """Return what a reading says, one fact a string; a hand says nothing of a single copy."""
    said = {
        f"{one.cut} {words_of(one.material)}"
        + (" same" if one.hand == "same" and one.cut > 1 else "")
        for one in reading.demands
    }
    said |= {"fold"} if reading.fold else set()
    said |= {reading.grain} if reading.grain else set()
    said |= {"stretch"} if reading.stretch else set()
    said |= {"nap" if reading.nap else "no nap"} if reading.nap is not None else set()
    if reading.allowance is not None:
        amount = reading.allowance
        said.add(
            words_of(f"allowance {amount if isinstance(amount, str) else format(amount, 'g')}")
        )
    named = {"name": reading.name, "size": reading.size, "number": reading.number}
    return said | {f"{key} {words_of(value)}" for key, value in named.items() if value}


def told_facts(facts: str) -> set[str]:
    """Return the facts that a row tells, as `facts_of` gives those of a reading."""
    told: set[str] = set()
    for one in facts.split("; "):
        key, _, value = one.partition(" ")
        if key in ("name", "size", "number"):
            told.add(f"{key} {words_of(value)}")
        elif one and one not in ("asks", "no count"):
            told |= {words_of(demand) for demand in one.split(", ")}
    return told


def words_of(text: str) -> str:
    """Return the words of a name or size without case, accents and signs."""
    parts = "".join(sign if sign.isalnum() else " " for sign in normalize("NFC", text)).split()
    return " ".join(map(folded, parts))


def verdict(row: Row, reading: LabelReading) -> Verdict:
    """Say how a reading stands to the facts: right, asked, shown, another name, or wrong.

    `shown` is a reading that says less than the label and shows words as unread; with `name` only
    the name or number of the piece differs.
    """
    if row.facts == "no count":
        return "asked" if reading.questions else "wrong" if reading.demands else "right"
    if row.facts == "asks":
        return "asked" if reading.questions else "wrong"
    said, told = facts_of(reading), told_facts(row.facts)
    if said == told and ("asks" not in row.facts or reading.questions):
        return "right"
    if reading.questions:
        return "asked"
    if said < told and reading.unread:
        return "shown"
    differ = said ^ told
    return "name" if all(one.startswith(("name ", "number ")) for one in differ) else "wrong"


def main(arguments: list[str]) -> None:
    """Print each label that is not right, and the rates."""
    held_back = "--held-back" in arguments
    counted: Counter[str] = Counter()
    for row in rows():
        if row.held_back is not held_back:
            continue
        reading = read_label(row.text)
        found = verdict(row, reading)
        counted[found] += 1
        counted[f"{found}, traps"] += row.trap
        quiet = "--rates" in arguments or (found == "asked" and row.facts == "asks")
        if found != "right" and not quiet:
            line = row.text.replace("\n", "|")
            print(f"{found}: {line}\n    told {row.facts}")
            print(f"    read {sorted(facts_of(reading))}, unread {reading.unread}")
            print(f"    asks {reading.questions}")
        counted["of which the trade asks"] += found == "asked" and row.facts == "asks"
    print(dict(counted))


if __name__ == "__main__":
    main(sys.argv[1:])
