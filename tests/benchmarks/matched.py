# SPDX-License-Identifier: GPL-2.0-or-later
"""How soon a matched layout is nearly as good as it gets: `python -m tests.benchmarks.matched`.

Fifteen pieces, 26 parts, of the sample jacket, main cloth and lining as one, on checks of 6 cm by
6 cm, 137.5 cm wide. Each has a match point, in five groups of three. Prints the best length after
some seconds of processor time, and by how much it was longer than at the end; on a machine that is
shared, seconds by the clock would say nothing. Wanted: at most 3 % after 20 s.
"""

from __future__ import annotations

import argparse
import time
from dataclasses import replace

from extension.job.plan import make_plan
from extension.job.reading import ReadRequest, read_pieces
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from nesting.model import Axes, Job, Match, Piece, Repeat
from nesting.search.keeper import Progress
from nesting.solve import solve
from tests.helpers.cloth import between_selvedges
from tests.helpers.places import SAMPLES

TOLD = (5.0, 10.0, 20.0, 40.0, 80.0, 160.0, 320.0)
WANTED = 3.0
"""%."""


def jacket() -> Job:
    """Return the jacket on checks."""
    reading = read_pieces(read_leaves(parse(SAMPLES / "lined-jacket.svg")), ReadRequest())
    pieces: dict[str, Piece] = {}
    fabric = None
    for material in ("main", "lining"):
        plan = make_plan(reading, between_selvedges(1375.0, material=material))
        fabric = plan.job.fabric
        for cut in plan.cuts.values():
            pieces.setdefault(cut.drawn.id, cut.piece)
    assert fabric is not None
    matched = []
    for number, piece in enumerate(pieces.values()):
        point = piece.outline[len(piece.outline) // 3]
        axes: Axes = "along" if number % 2 else "both"
        matched.append(replace(piece, match=(Match(point, f"seam {number // 3}", axes),)))
    return Job(replace(fabric, repeat=Repeat(60.0, 60.0)), tuple(matched))


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=600.0, help="of processor time")
    parser.add_argument("--workers", type=int, default=1)
    options = parser.parse_args()
    job = jacket()
    parts = sum(piece.cut * piece.garments for piece in job.pieces)
    print(f"{len(job.pieces)} pieces, {parts} parts")
    seen: list[Progress] = []
    begun = time.process_time()

    def clock() -> float:
        return time.process_time() - begun

    layout = solve(
        job,
        stop=lambda rounds: clock() >= options.seconds,
        workers=options.workers,
        clock=clock,
        on_progress=seen.append,
    )
    for at in (*(one for one in TOLD if one < options.seconds), options.seconds):
        lengths = [one.length for one in seen if one.seconds <= at]
        if lengths:
            more = 100.0 * (min(lengths) / layout.length - 1.0)
            print(f"{at:6.0f} s {min(lengths):9.1f} mm {more:6.2f} % more", flush=True)
    print(f"{layout.rounds} rounds, {layout.length:.1f} mm; wanted {WANTED:g} % after 20 s")


if __name__ == "__main__":
    main()
