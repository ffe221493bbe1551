# SPDX-License-Identifier: GPL-2.0-or-later
"""Pages of a PDF whose things share the layers: each goes to the page that it came with."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from lxml import etree

from extension.operations.put_together import PagesOutcome, put_together
from extension.svg.document import parse, serialise
from extension.svg.leaves import read_leaves
from tests.helpers.paged import SVG, Paging
from tests.helpers.shared_layers import on_shared_layers
from tests.helpers.sheets import AUTO, CLOSE, SHEET, assert_is_sheet, lines_of, sheet_leaves
from tests.helpers.truths import Truth, corner, farthest, shifted

LINES = Truth(SHEET.width, SHEET.height, SHEET.lines)
SIZES = ("Size 36", "Size 38", "Size 40")
HIDDEN = 'id="layer-Layer1"'


def _put(drawing: bytes) -> PagesOutcome:
    return put_together([parse(drawing)], AUTO)


def _is_cut_like_the_first(outcome: PagesOutcome) -> bool:
    return any("clip of the first page alone" in said for said in outcome.warnings)


@pytest.mark.parametrize("clips", ["first", "all", "none"])
@pytest.mark.parametrize("frame", ["rect", ""])
def test_what_all_pages_hold_on_the_same_layers_comes_back_once(clips: str, frame: str) -> None:
    """Every page has all lines, and without clips they lie on its neighbours as well."""
    paging = Paging(margin=5.0, frame=frame)
    outcome = _put(on_shared_layers(LINES, SIZES, paging, clips))
    assert_is_sheet(outcome, LINES)
    leaves = sheet_leaves(outcome.drawing)
    shift = corner([line.points for line in LINES.lines]) - corner(lines_of(leaves))
    for n, size in enumerate(SIZES):
        own = [leaf for leaf in leaves if leaf.rings and leaf.groups[-1].label == size]
        true = [line.points for line in LINES.lines[n :: len(SIZES)] if line.closed]
        assert farthest(true, shifted(lines_of(own, closed=True), shift), closed=True) < CLOSE
    assert _is_cut_like_the_first(outcome) == (clips == "first")
    # Nothing of the pages is read any longer: neither what is seen nor what no page shows.
    read = read_leaves(parse(outcome.drawing))
    assert all(any("sheet" in group.attributes for group in leaf.groups) for leaf in read)


@pytest.mark.parametrize("clips", ["first", "all", "none"])
def test_as_many_layers_as_pages_are_no_pages(clips: str) -> None:
    """Four layers and four pages; a layer is a page's only when it is called so."""
    lines = Truth(380.0, 560.0, _small())
    drawing = on_shared_layers(lines, (*SIZES, "Size 42"), Paging(margin=5.0, frame=""), clips)
    outcome = _put(drawing)
    assert outcome.report["rows"] * outcome.report["columns"] == 4
    assert_is_sheet(outcome, lines)


def _small() -> tuple[object, ...]:
    """Return the first lines of the sheet at half their size."""
    return tuple(
        replace(line, points=tuple((x * 0.5, y * 0.65) for x, y in line.points))
        for line in SHEET.lines
    )


def test_what_was_drawn_since_stays_where_it_lies() -> None:
    """Its number follows on the last page's, but it lies on the second and has no like."""
    paging = Paging(margin=5.0)
    document = parse(on_shared_layers(LINES, SIZES, paging))
    layer = document.root.find(".//*[@id='layer-Layer1']")
    assert layer is not None
    hers = etree.SubElement(layer, f"{{{SVG}}}path", id="path9999", d="M 300,100 h 7 v 9 h -7 z")
    hers.set("style", "fill:none;stroke:#000000;stroke-width:0.4")
    outcome = _put(serialise(document))
    boxes = [leaf.box for leaf in sheet_leaves(outcome.drawing) if leaf.rings]
    small = [b for b in boxes if (b[2] - b[0], b[3] - b[1]) == pytest.approx((7.0, 9.0), abs=0.01)]
    assert len(small) == 1


def test_a_size_on_a_hidden_layer_is_told() -> None:
    drawing = on_shared_layers(LINES, SIZES, Paging(margin=5.0))
    shown = _put(drawing)
    assert not any("hidden" in said for said in shown.warnings)
    one = drawing.replace(HIDDEN.encode(), f'{HIDDEN} style="display:none"'.encode())
    assert len(re.findall(b"display:none", one)) == 1
    hidden = _put(one)
    (said,) = [each for each in hidden.warnings if "hidden" in each]
    assert said.startswith("The layer “Size 38” is hidden, so that size is not on the sheet:")
    kept = [leaf for leaf in sheet_leaves(hidden.drawing) if leaf.groups[-1].label == "Size 38"]
    assert kept == []
