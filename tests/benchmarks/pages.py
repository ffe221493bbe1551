# SPDX-License-Identifier: GPL-2.0-or-later
"""How many known sheets come back from their pages: right, told of, asked about, or silently wrong.

`python -m tests.benchmarks.pages --sheets 60 --seed 0` cuts sheets of invented pieces into pages of
all kinds, puts them together and compares. What is silently wrong is named by its number.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections import Counter

from extension.language.errors import DrawingError
from tests.helpers.paged import A4, LETTER, Paging, cut
from tests.helpers.sheets import assert_is_sheet, together
from tests.helpers.truths import Truth, pieces


def drawn(number: int) -> tuple[Truth, Paging, int | None]:
    """Return a sheet, how it is cut, and what its pages are shuffled by."""
    chance = random.Random(number)
    width, height = chance.uniform(350.0, 1200.0), chance.uniform(400.0, 1100.0)
    paging = Paging(
        chance.choice([A4, LETTER, A4[::-1]]),
        chance.choice([5.0, 10.0, 15.0]),
        (chance.choice([0.0, 6.35, 10.0, 20.0]), chance.choice([0.0, 10.0, 12.7])),
        chance.choice(["", "rect", "lines"]),
        chance.choice(["", "n/total", "page n of total", "cell", "row column"]),
        chance.choice(["", "triangles", "diamonds", "letters", "crosses"]),
        clip=chance.random() < 0.5,
        inside=chance.random() < 0.3,
        by_columns=chance.random() < 0.3,
        empty=chance.random() < 0.7,
    )
    truth = pieces(number, width, height, chance.randint(3, 9))
    return truth, paging, chance.choice([None, number])


def main(arguments: list[str]) -> None:
    """Run the benchmark and print what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sheets", type=int, default=60)
    parser.add_argument("--seed", type=int, default=0)
    given = parser.parse_args(arguments)
    counts: Counter[str] = Counter()
    pages: list[tuple[int, float]] = []
    for number in range(given.seed, given.seed + given.sheets):
        truth, paging, shuffled = drawn(number)
        start = time.process_time()
        kind = came_back(truth, paging, shuffled)
        pages.append((len(cut(truth, paging)), time.process_time() - start))
        counts[kind] += 1
        if kind == "silently wrong":
            sys.stdout.write(f"{number}: {kind}: {paging}, shuffled {shuffled}\n")
    told = ", ".join(f"{count} {kind}" for kind, count in counts.most_common())
    most = max(pages)
    sys.stdout.write(f"{given.sheets} sheets, {sum(n for n, _ in pages)} pages: {told}\n")
    sys.stdout.write(f"processor time at most {max(t for _, t in pages):.1f} s with the cutting")
    sys.stdout.write(f"; the largest, of {most[0]} pages, {most[1]:.1f} s\n")


def came_back(truth: Truth, paging: Paging, shuffled: int | None) -> str:
    """Return whether a sheet came back right, was warned of, refused, or silently wrong."""
    try:
        outcome = together(truth, paging, shuffled=shuffled)
    except DrawingError:
        return "asked about"
    try:
        assert_is_sheet(outcome, truth)
    except AssertionError:
        return "wrong and warned of" if outcome.warnings else "silently wrong"
    return "right and warned of" if outcome.warnings else "right"


if __name__ == "__main__":
    main(sys.argv[1:])
