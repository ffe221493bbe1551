# SPDX-License-Identifier: GPL-2.0-or-later
"""Processor time that each menu command takes from its start to its first look at a drawing.

    python -m tests.benchmarks.startup [--other FOLDER] [--times 5]

Each is run as the launcher runs it, on a sample, with a word that it refuses or in a moment has
done; turn by turn with the program in another folder, to compare with.
"""

from __future__ import annotations

import argparse
import os
import resource
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.helpers.edited import Edited
from tests.helpers.places import PROJECT, SAMPLES

WORDS = {
    "check": [],
    "details": ["--id=apron-pocket", "--cut=2"],
    "diagram": [],
    "hold": ["--id=thriftlay-1-part-1"],
    "join-lines": ["--tolerance=x"],
    "lay-out": ["--fabric_width=nan"],
    "put-together": ["--rows=x"],
    "read-markings": [],
    "requirements": ["--widths=wide"],
    "tighten": ["--id=front"],
}
ON_A_LAYOUT = ("check", "diagram", "hold")


def seconds_of(program: Path, name: str, folder: Path) -> float:
    """Return the processor time of one run of a command."""
    drawing = folder / "laid.svg" if name in ON_A_LAYOUT else SAMPLES / "first-apron.svg"
    main = program / "extension/dialogs/main.py"
    words = [f"--command={name}", f"--output={folder / 'out.svg'}", *WORDS[name], str(drawing)]
    read, write = os.pipe()  # a stdin that says nothing and does not end
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(
        [sys.executable, "-I", "-X", "utf8", str(main), *words],
        stdin=read,
        stdout=subprocess.DEVNULL,
        check=False,
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    os.close(read)
    os.close(write)
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime


def main() -> None:
    """Print the median of each command, in seconds."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--other", type=Path, help="another folder with the project, to compare")
    parser.add_argument("--times", type=int, default=5)
    wanted = parser.parse_args()
    programs = [one for one in (wanted.other, PROJECT) if one is not None]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "laid.svg").write_bytes(Edited().data)
        for command in WORDS:
            runs = [
                [seconds_of(program, command, folder) for program in programs]
                for _ in range(wanted.times + 1)
            ][1:]  # the first one reads from the disk
            medians = [statistics.median(column) for column in zip(*runs, strict=True)]
            print(f"{command:14}", *(f"{one:6.2f}" for one in medians), flush=True)


if __name__ == "__main__":
    main()
