# SPDX-License-Identifier: GPL-2.0-or-later
"""Pages of some layouts, printed by a browser and read back; the benchmark `legible` has more."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from lxml import etree
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import TextPath

from extension.diagram.figure import figure
from extension.diagram.lettered import lettered
from extension.diagram.page import page
from extension.diagram.paper import Paper
from extension.diagram.stretches import WORTH
from tests.helpers.browser import print_page
from tests.helpers.legible import Legible, crossed, legible
from tests.helpers.pdf import pages_of
from tests.helpers.random_layouts import parts_of, random_garment, random_sections

ARMS_LENGTH = 2.5
"""mm: letters that are read on a table while standing (common practice, no source)."""
ROUNDED = 25.4 / 72.0 / 3.0
"""mm by which the reader tells sizes too small."""
FEW, SOME, FOLDED, MANY = 4, 14, 10, 22


@pytest.mark.browser
@pytest.mark.parametrize(("paper", "numbers"), [("a4", (FEW, FOLDED)), ("letter", (SOME,))])
def test_letters_are_large_and_lie_on_no_others(
    tmp_path: Path, paper: Paper, numbers: tuple[int, ...]
) -> None:
    sections = [one for number in numbers for one in random_sections(number, paper)]
    file, pdf = tmp_path / "page.html", tmp_path / "page.pdf"
    file.write_text(page(sections), encoding="utf-8")
    print_page(file, pdf)
    for leaf in legible(pdf):
        assert leaf.smallest >= ARMS_LENGTH - ROUNDED
        assert leaf.overlapping == ()
    assert [
        crossed(picture) for one in sections for picture in one.pictures if crossed(picture)
    ] == []
    told = pages_of(pdf)
    legends = [leaf for leaf in told if "White: printed side up." in leaf.text]
    assert len(legends) == sum(len(one.leaves) for one in sections)
    # Wherever rows of the placing table stand, its head stands above them.
    rows = [leaf for leaf in told if "to the far end" in leaf.text.replace("\n", " ")]
    assert rows
    assert all("grainline" in leaf.text and "done" in leaf.text for leaf in rows)


@pytest.mark.browser
def test_the_measuring_sees_small_letters_and_what_lies_on_each_other(tmp_path: Path) -> None:
    file, pdf = tmp_path / "bad.html", tmp_path / "bad.pdf"
    look = "position: absolute; left: 20mm; top: 20mm; font: 2mm sans-serif"
    file.write_text(
        f'<!DOCTYPE html><body><p style="{look}">Sleeve</p><p style="{look}">Cuff</p></body>',
        encoding="utf-8",
    )
    print_page(file, pdf)
    (found,) = legible(pdf)
    assert found == Legible(1, found.smallest, ("“Cuff” and “Sleeve”",))
    assert found.smallest == pytest.approx(2.0, abs=ROUNDED)


@pytest.mark.parametrize("number", [0, 13, 29])
def test_a_random_garment_has_the_parts_it_should(number: int) -> None:
    root = random_garment(number).root
    cuts = [int(one.get("{urn:thriftlay:1}cut", "0")) for one in root.iter("{*}g")]
    assert sum(cuts) == parts_of(number)


@pytest.mark.parametrize("number", [FEW, FOLDED])
def test_digits_are_as_high_as_what_is_read_at_arms_length(number: int) -> None:
    pictures = [one for section in random_sections(number, "a4") for one in section.pictures]
    texts = [
        one
        for picture in pictures
        for one in etree.fromstring(figure(picture, "a", "a")).iter("{*}text")
        if one.get("class") != "name" and re.search(r"\d", one.text or "")
    ]
    kinds = {one.get("class") for one in texts}
    assert {"number", "figure"} <= kinds
    for size in {float(one.get("font-size", "nan")) for one in texts}:
        # The outlines of a real face, in mm where the font size is in mm.
        drawn = TextPath((0.0, 0.0), "0", size=size, prop=FontProperties(family="DejaVu Sans"))
        assert drawn.get_extents().height >= ARMS_LENGTH


def test_stretches_come_before_crowded_words() -> None:
    (section,) = random_sections(MANY, "a4")
    assert len(section.pictures) > 1
    assert all(picture.scale > 1.0 / 20.0 for picture in section.pictures)
    assert sum(lettered(picture).squeezed for picture in section.pictures) <= WORTH
