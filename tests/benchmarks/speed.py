# SPDX-License-Identifier: GPL-2.0-or-later
"""How soon a layout is there: `python -m tests.benchmarks.speed`.

Lays out the lined jacket as the command line does, in a process of its own with the kernels cached,
and prints the seconds from the start of the process to the first valid layout and to the end, and
the memory of all its processes together. Wanted: under 2 s, the time limit plus 3 s, under 800 MB.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import threading
import time

from tests.benchmarks.watch import POLL, PROJECT, memory_of

CHILD = """
import sys, time
from pathlib import Path
from extension.svg.document import parse
from extension.operations.lay_out import lay_out
from extension.operations.running import Run
from extension.job.options import options_from_text
from nesting.stop import Request

started = time.perf_counter()
typed = {"fabric_width": "140cm", "width_is": "usable", "seconds": sys.argv[2]}
options = options_from_text(typed)
run = Run(lambda: time.perf_counter() - started, Request(), lambda _: print(flush=True))
lay_out(parse(Path(sys.argv[1])), options, run)
"""


def main() -> None:
    """Print the figures of a few runs."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=20.0)
    parser.add_argument("--runs", type=int, default=2)
    options = parser.parse_args()
    sample = PROJECT / "sample_svgs/lined-jacket.svg"
    print("first layout, s   whole run, s   limit, s   MB")
    for _ in range(options.runs):
        started, most = time.perf_counter(), 0.0
        words = [sys.executable, "-c", CHILD, str(sample), str(options.seconds)]
        run = subprocess.Popen(words, cwd=PROJECT, stdout=subprocess.PIPE)
        assert run.stdout is not None
        run.stdout.readline()
        first = time.perf_counter() - started
        rest = threading.Thread(target=run.communicate)
        rest.start()
        while rest.is_alive():
            most = max(most, memory_of(run.pid))
            rest.join(POLL)
        whole = time.perf_counter() - started
        print(f"{first:15.2f} {whole:14.1f} {options.seconds:10.0f} {most:4.0f}", flush=True)


if __name__ == "__main__":
    main()
