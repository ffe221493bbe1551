# SPDX-License-Identifier: GPL-2.0-or-later
"""Passes a drafted sheet through a PDF: written by the real editor, opened by it again.

`python -m tests.helpers.drafting.through_pdf` makes the sample anew; it needs the editor. What
comes back depends on the editor's version, so the file is kept and its content is tested.
"""

from __future__ import annotations

import subprocess
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

from lxml import etree

from tests.helpers.drafting import sizes
from tests.helpers.drafting.sheet import INVENTED, SVG, Sheet
from tests.helpers.places import PROJECT

IMPORTED: Mapping[str, Callable[[], Sheet]] = {"rain-jacket-sizes.svg": sizes.sheet}
"""Which sample file is which sheet, as it comes out of a PDF."""
HOME = PROJECT / "sample_svgs"
SECONDS = 120


def through_pdf(drawing: str) -> bytes:
    """Return a drawing as the editor opens it from a PDF that it wrote of it."""
    with tempfile.TemporaryDirectory() as folder:
        drawn, pdf, opened = (Path(folder) / f"sheet.{kind}" for kind in ("svg", "pdf", "out.svg"))
        drawn.write_text(drawing, encoding="utf-8")
        _editor(drawn, pdf)
        _editor(pdf, opened)
        return opened.read_bytes()


def imported(sheet: Sheet) -> bytes:
    """Return a sheet as it comes out of a PDF, with a note that it is invented."""
    root = etree.fromstring(through_pdf(sheet.text_file()))
    for tag, words in (("desc", INVENTED), ("title", f"{sheet.title} (invented sample)")):
        note = etree.Element(f"{{{SVG}}}{tag}")
        note.text = words
        root.insert(0, note)
    data: bytes = etree.tostring(root, encoding="UTF-8", xml_declaration=True, standalone=False)
    return data


def _editor(source: Path, target: Path) -> None:
    """Let the editor open one file and save it as another."""
    words = [f"--export-type={target.suffix[1:]}", f"--export-filename={target}"]
    subprocess.run(
        ["inkscape", *words, str(source)],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        timeout=SECONDS,
        check=True,
    )


if __name__ == "__main__":
    for file, draft in IMPORTED.items():
        (HOME / file).write_bytes(imported(draft()))
