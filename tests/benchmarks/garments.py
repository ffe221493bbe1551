# SPDX-License-Identifier: GPL-2.0-or-later
"""How soon a layout is nearly as good as it gets: `python -m tests.benchmarks.garments`.

Lays out each sample garment once, on 140 cm, and prints the best length after 5 s, after 20 s and
at the end, and by how much the earlier ones were longer. Wanted: at most 2 % after 5 s and 1 %
after 20 s, measured against 10 minutes.
"""

from __future__ import annotations

import argparse

from tests.benchmarks.watch import watched
from tests.helpers.sample_jobs import SAMPLES, sample

WANTED = ((5.0, 2.0), (20.0, 1.0))
"""After so many seconds from the start of the process, at most so many % longer than at the end."""


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=600.0)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--only", nargs="*", choices=SAMPLES, default=SAMPLES)
    options = parser.parse_args()
    head = "".join(f"{f'{at:g} s, mm':>12} {'%':>7}" for at, _ in WANTED)
    print(f"{'sample':15}{head}{'end, mm':>12}{'seconds':>10}   wanted")
    for name in options.only:
        run = watched(sample(name), options.seconds, options.seed, options.workers)
        end = run.layout.length
        lengths = [run.length_after(at) for at, _ in WANTED]
        # A line on the terminal is rounded to 0.1 mm, so it can look shorter than the last length.
        longer = [max(0.0, 100.0 * (length / end - 1.0)) for length in lengths]
        figures = "".join(
            f"{length:12.1f} {more:7.2f}" for length, more in zip(lengths, longer, strict=True)
        )
        missed = [
            f"missed at {at:g} s"
            for (at, most), more in zip(WANTED, longer, strict=True)
            if more > most
        ]
        verdict = ", ".join(missed) or "kept"
        print(f"{name:15}{figures}{end:12.2f}{run.seconds:10.1f}   {verdict}", flush=True)


if __name__ == "__main__":
    main()
