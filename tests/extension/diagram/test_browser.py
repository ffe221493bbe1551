# SPDX-License-Identifier: GPL-2.0-or-later
"""The page in a real browser: printed on both papers, and enlarged on the screen."""

from __future__ import annotations

from pathlib import Path

import pytest

from extension.diagram.page import page
from extension.diagram.paper import PAPERS, Paper
from tests.helpers.browser import overflow, print_page
from tests.helpers.diagrams import published
from tests.helpers.pdf import PdfPage, pages_of

pytestmark = [pytest.mark.browser]

SIZES = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""mm: ISO 216; ANSI/ASME Y14.1, size A (8 1/2 in by 11 in)."""
EDGE = 10.0
"""mm that most printers leave white, and more (common practice, no source)."""


def printed(folder: Path, name: str, paper: Paper, scale: str = "fit") -> list[PdfPage]:
    """Return the pages of a drawing of `LAYOUTS` as a browser prints them."""
    file, pdf = folder / "page ä.html", folder / "page.pdf"
    file.write_text(page(published(name, paper, scale)), encoding="utf-8")
    print_page(file, pdf)
    return pages_of(pdf)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(
    "name",
    [
        "jacket",
        "trousers in inches",
        "two materials",
        "skirt, allowance added",
        "apron, allowance in inches",
        "skirt, folded lengthwise",
        "apron in inches, folded to a depth",
    ],
)
def test_all_is_on_the_paper(tmp_path: Path, name: str, paper: Paper) -> None:
    pages = printed(tmp_path, name, paper)
    sections = published(name, paper)
    for leaf in pages:
        assert sorted((leaf.width, leaf.height)) == pytest.approx(SIZES[paper], abs=0.2)
        assert leaf.outside(EDGE) == []
    pictures = [leaf for leaf in pages if "White: printed side up." in leaf.text]
    assert len(pictures) == len(sections)
    for leaf, section in zip(pictures, sections, strict=True):
        assert section.title in leaf.text
        assert leaf.text.count("selvedge") >= 3
        assert (leaf.width < leaf.height) == (section.leaf.standing == "portrait")
        numbers = {word.text.rstrip("*") for word in leaf.words}
        assert {shape.place.number for shape in section.pictures[0].shapes} <= numbers
    told = " ".join(leaf.text for leaf in pages)
    assert told.count("Before you cut") == len(sections)
    # What is to be minded stands where the tables begin, not alone on a leaf behind them.
    assert all("Pieces" in leaf.text for leaf in pages if "Before you cut" in leaf.text)
    # Picture and tables, with one leaf more where the table is long: no leaf is empty.
    assert all(len(leaf.words) > 10 for leaf in pages)
    assert len(pages) <= 4 * len(sections)


def test_at_one_to_ten_a_decimetre_of_cloth_is_a_centimetre_of_paper(tmp_path: Path) -> None:
    picture, *_ = printed(tmp_path, "short", "a4", "1:10")
    (upper, lower, *_) = [word.box for word in picture.words if word.text == "selvedge"][:2]
    # The words stand 2.2 mm above and 4.4 mm below cloth 90 cm wide.
    assert lower[3] - upper[3] == pytest.approx(90.0 + 2.2 + 4.4, abs=0.1)


@pytest.mark.parametrize("name", ["short", "jacket"])
def test_enlarged_to_twice_the_size_only_picture_and_tables_scroll(
    tmp_path: Path, name: str
) -> None:
    file = tmp_path / "page.html"
    file.write_text(page(published(name)), encoding="utf-8")
    assert overflow(file, 640) <= 0
