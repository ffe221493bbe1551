# SPDX-License-Identifier: GPL-2.0-or-later
"""How good a table's lengths are: `python -m tests.benchmarks.requirements [--compare N]`.

Works out the fabric requirements of the rain jacket in three sizes (its sheet joined and read by
our own commands), on four widths, with and without nap, within a stated time, and prints every
cell. Then N cells, evenly spread, are laid out once more by themselves, as a person would who waits
a minute for each. Wanted: the table in 180 s, no compared cell more than 2 % longer than its own
run.

`--large` asks for 180 cells: a third material, five rows (two of them two sizes together), six
widths. Wanted: the whole of 180 s used, and with `--each 20` no cell more than 4 % longer than its
own run nor the mean more than 1.5 %, or else that the table itself says that lengths are rough.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from extension.language.names import lay
from extension.operations.requirements import fabric_requirements
from extension.requirements_table.cells import nap_text
from extension.requirements_table.crews import crew_of
from extension.requirements_table.kept import Shelf
from extension.requirements_table.options import table_options
from extension.requirements_table.publisher import publisher_notes
from extension.requirements_table.sentences import rough_notes, width_text
from extension.requirements_table.table import Entry
from extension.requirements_table.work import Run
from extension.svg.document import Document, parse
from tests.benchmarks.watch import PROJECT, watched

SHEET = PROJECT / "sample_svgs" / "rain-jacket-sizes.svg"
WIDTHS = "main=90cm,110cm,140cm,150cm"
LARGE = {
    "widths": "90cm,110cm,120cm,140cm,150cm,160cm",
    "sizes": "110,116,122,110+116,116+122",
}
MOST = 2.0
"""% that a compared cell may be longer than its own run."""


def read_drawing(folder: Path) -> Document:
    """Return the sheet with its lines joined and its markings read, as a person prepares it."""
    joined, read = folder / "joined.svg", folder / "read.svg"
    for words in (("join-lines", SHEET, joined), ("read-markings", joined, read)):
        command, source, target = map(str, words)
        run = [sys.executable, "-m", "extension", command, source, "--output", target]
        subprocess.run(run, cwd=PROJECT, check=True, stdout=subprocess.DEVNULL)
    return parse(read)


def add_interfacing(document: Document) -> None:
    """Have what is lined interfaced as well (invented): a third material for the large table."""
    for element in document.root.iter("{*}*"):
        cut = element.get(lay("cut"), "")
        if "lining" in cut:
            element.set(lay("cut"), f"{cut}; 1 interfacing")


def entries_within(seconds: float, large: bool) -> tuple[list[Entry], float]:
    """Return the cells that can be laid, with their layouts, and the seconds the table took."""
    with tempfile.TemporaryDirectory() as folder:
        document = read_drawing(Path(folder))
    if large:
        add_interfacing(document)
    started = time.perf_counter()

    def clock() -> float:
        return time.perf_counter() - started

    wanted = LARGE if large else {"widths": WIDTHS, "sizes": "all"}
    options = table_options({**wanted, "seconds": f"{seconds:g}"})
    with crew_of(options.base.workers, "") as crew:
        outcome = fabric_requirements(
            document, options, Run(clock, lambda rounds: False), crew, Shelf(None)
        )
    for line in (*rough_notes(outcome.table), *publisher_notes(outcome.table)):
        print(line)
    return [entry for entry in outcome.table.entries if entry.layout is not None], clock()


def main() -> None:
    """Print the table and the comparison."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=180.0, help="for the whole table")
    parser.add_argument("--compare", type=int, default=24, help="cells laid once more")
    parser.add_argument("--each", type=float, default=60.0, help="seconds for each of these")
    parser.add_argument("--large", action="store_true", help="180 cells instead of 24")
    arguments = parser.parse_args()
    entries, taken = entries_within(arguments.seconds, arguments.large)
    count = min(arguments.compare, len(entries))
    compared = {round(k * (len(entries) - 1) / max(1, count - 1)) for k in range(count)}
    print(f"{len(entries)} cells in {taken:.0f} s")
    print(f"{'size':8}{'booked':>10}  {'nap':14}{'needed, mm':>12}{'alone, mm':>12}{'%':>8}")
    more = []
    for number, entry in enumerate(entries):
        assert entry.layout is not None
        cell, needed = entry.cell, entry.layout.length
        line = f"{cell.sizes.title:8}{width_text(cell.width):>10}  {nap_text(cell.nap):14}"
        line += f"{needed:12.2f}"
        if number in compared:
            alone = watched(entry.planned.job, arguments.each).layout.length
            longer = 100.0 * (needed / alone - 1.0)
            more.append(longer)
            line += f"{alone:12.2f}{round(longer, 2) + 0.0:8.2f}"  # no -0.00
        print(line, flush=True)
    if more:
        missed = sum(longer > MOST for longer in more)
        mean, worst = sum(more) / len(more), max(more)
        print(f"{len(more)} compared: {mean:.2f} % longer in the mean, {worst:.2f} % at most,")
        print(f"{missed} more than {MOST:g} % longer")


if __name__ == "__main__":
    main()
