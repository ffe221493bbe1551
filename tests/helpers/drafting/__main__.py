# SPDX-License-Identifier: GPL-2.0-or-later
"""Draws the sample drawings anew: `python -m tests.helpers.drafting [FOLDER]`."""

from __future__ import annotations

import sys
from pathlib import Path

from tests.helpers.drafting.catalogue import SAMPLES
from tests.helpers.places import PROJECT

HOME = PROJECT / "sample_svgs"


def main(arguments: list[str]) -> None:
    """Write every sample into the folder named, or into sample_svgs."""
    folder = Path(arguments[0]) if arguments else HOME
    for name, sheet in SAMPLES.items():
        (folder / name).write_text(sheet().text_file(), encoding="utf-8", newline="\n")
        sys.stdout.write(f"{folder / name}\n")


if __name__ == "__main__":
    main(sys.argv[1:])
