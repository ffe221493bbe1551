# SPDX-License-Identifier: GPL-2.0-or-later
"""How small the letters on printed pages are, and which words lie on each other: 30 layouts.

`python -m tests.benchmarks.legible --keep FOLDER` prints diagrams of layouts of 5 to 60 parts on A4
and Letter with a browser, with `--editor` with the editor as well, and reads the PDFs back.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

from extension.diagram.editor import editor_here, pdf_of
from extension.diagram.page import page
from extension.diagram.paper import PAPERS, Paper
from extension.diagram.section import Section
from extension.diagram.sheets import sheets
from tests.helpers.browser import print_page
from tests.helpers.legible import crossed, legible
from tests.helpers.random_layouts import COUNT, random_sections


def measured(folder: Path, by: str, paper: Paper, numbers: list[int]) -> list[str]:
    """Print layouts as one file, say what was measured, and return a line for every fault."""
    sections = [section for number in numbers for section in random_sections(number, paper)]
    pdf = folder / f"{by}-{paper}.pdf"
    _print(pdf, by, sections)
    pages = legible(pdf)
    pictures = [picture for section in sections for picture in section.pictures]
    on = [f"{pdf.name}, page {leaf.number}: {two}" for leaf in pages for two in leaf.overlapping]
    through = [
        f"{pdf.name}, picture {number}: a line through “{words}”"
        for number, picture in enumerate(pictures, start=1)
        for words in crossed(picture)
    ]
    print(
        f"{by:>8} {paper:>7}: {len(sections)} layouts, {len(pictures)} pictures, {len(pages)} "
        f"pages; smallest letters {min(leaf.smallest for leaf in pages):.2f} mm, {len(on)} "
        f"overlaps, {len(through)} words crossed",
        flush=True,
    )
    return [*on, *through]


def _print(pdf: Path, by: str, sections: list[Section]) -> None:
    """Print some layouts with a browser or with the editor."""
    if by == "editor":
        pdf.write_bytes(pdf_of(sheets(sections), editor_here(), seconds=1200.0))
        return
    file = pdf.with_suffix(".html")
    file.write_text(page(sections), encoding="utf-8")
    print_page(file, pdf)


def main() -> int:
    """Measure; return 1 when anything lies on anything else."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--keep", type=Path, help="a folder for the pages")
    parser.add_argument("--editor", action="store_true", help="by the editor as well")
    parser.add_argument("--layouts", type=int, default=COUNT, help="how many, spread over all")
    arguments = parser.parse_args()
    numbers = [COUNT * n // arguments.layouts for n in range(arguments.layouts)]
    faults = []
    with tempfile.TemporaryDirectory() as name:
        folder = arguments.keep or Path(name)
        folder.mkdir(parents=True, exist_ok=True)
        for by in ("browser", "editor") if arguments.editor else ("browser",):
            for paper in PAPERS:
                faults += measured(folder, by, paper, numbers)
    print(*faults, sep="\n")
    return bool(faults)


if __name__ == "__main__":
    sys.exit(main())
