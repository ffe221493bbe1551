# SPDX-License-Identifier: GPL-2.0-or-later
"""PDF files read by an independent reader (poppler): their pages, and where every word stands."""

from __future__ import annotations

import subprocess
from dataclasses import dataclass
from pathlib import Path

from lxml import etree

from tests.helpers.screen import need

MM_PER_POINT = 25.4 / 72.0
"""1 pt = 1/72 in (ISO 32000-1, section 8.3.2.3: default user space)."""


@dataclass(frozen=True)
class Word:
    """A word with its box on the page, mm: low x, low y, high x, high y."""

    text: str
    box: tuple[float, float, float, float]


@dataclass(frozen=True)
class PdfPage:
    """A page, lengths in mm."""

    width: float
    height: float
    words: tuple[Word, ...]

    @property
    def text(self) -> str:
        """All words in a row."""
        return " ".join(word.text for word in self.words)

    def outside(self, margin: float) -> list[str]:
        """Return the words that come nearer than `margin` mm to the edge of the page."""
        return [
            word.text
            for word in self.words
            if min(word.box[0], word.box[1]) < margin
            or word.box[2] > self.width - margin
            or word.box[3] > self.height - margin
        ]


def pages_of(file: Path) -> list[PdfPage]:
    """Return the pages of a PDF; the test is skipped, visibly, where no reader is."""
    need("pdftotext")
    done = subprocess.run(
        ["pdftotext", "-bbox", str(file), "-"], capture_output=True, check=True, timeout=60
    )
    root = etree.fromstring(done.stdout)
    return [
        PdfPage(_mm(page, "width"), _mm(page, "height"), tuple(map(_word, page.iter("{*}word"))))
        for page in root.iter("{*}page")
    ]


def _word(word: etree._Element) -> Word:
    box = (_mm(word, "xMin"), _mm(word, "yMin"), _mm(word, "xMax"), _mm(word, "yMax"))
    return Word(word.text or "", box)


def _mm(element: etree._Element, name: str) -> float:
    return float(element.get(name, "nan")) * MM_PER_POINT
