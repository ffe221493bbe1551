# SPDX-License-Identifier: GPL-2.0-or-later
"""The sample on twelve pages, as the editor opened it from a PDF: all the way to a layout."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from extension.job.reading import ReadRequest, read_pieces
from extension.operations.check import check_layouts
from extension.operations.lay_out import lay_out
from extension.operations.put_together import PagesOutcome, pages_options, put_together
from extension.operations.read_markings import read_markings
from extension.operations.running import Run
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from nesting.stop import AfterRounds
from tests.helpers.cloth import between_selvedges
from tests.helpers.drafting.curves import ring
from tests.helpers.drafting.on_pages import FILE, drafts, placed
from tests.helpers.layouts import no_time


@pytest.fixture(scope="module")
def sheet() -> PagesOutcome:
    return put_together([parse(FILE)], pages_options("", "", ""))


def test_the_file_is_small_and_says_that_it_is_invented() -> None:
    data = FILE.read_bytes()
    assert len(data) < 400_000
    assert b"Invented sample" in data
    assert b"urn:thriftlay" not in data


def test_the_pages_make_one_sheet(sheet: PagesOutcome) -> None:
    assert (sheet.report["rows"], sheet.report["columns"]) == (4, 3)
    assert sheet.report["overlap_mm"] == pytest.approx([10.0, 10.0], abs=0.05)
    assert sheet.report["test_squares"] == [{"sides_mm": [50.0, 50.0], "stated_mm": 50.0}]
    assert sheet.warnings == ()


def test_the_pieces_are_read_and_laid_out(sheet: PagesOutcome) -> None:
    read = read_markings(parse(sheet.drawing))
    assert read.report["questions"] == []
    pieces = read_pieces(read_leaves(parse(read.drawing)), ReadRequest()).pieces
    assert [(p.name, p.demands[0].cut, p.fold is not None) for p in pieces] == [
        ("Front", 1, True), ("Back", 1, True), ("Sleeve", 2, False),
        ("Pocket", 1, False), ("Neckband", 1, False),
    ]  # fmt: skip
    assert [piece.grain for piece in pieces] == pytest.approx([90.0] * 5, abs=0.1)
    outcome = lay_out(
        parse(read.drawing), between_selvedges(1400.0, rounds=1), Run(no_time, AfterRounds(1))
    )
    assert check_layouts(parse(outcome.drawing)).is_clean
    assert len(outcome.report["placements"]) == 6


def test_the_list_of_what_was_read_stands_beside_the_sheet(sheet: PagesOutcome) -> None:
    """Left of it and at its height, not where the row of pages begins."""
    read = parse(read_markings(parse(sheet.drawing)).drawing)
    drawn = read_leaves(parse(sheet.drawing))
    left, top = (min(leaf.box[side] for leaf in drawn) for side in (0, 1))
    texts = [
        leaf
        for leaf in read_leaves(read, include_layouts=True)
        if any(group.id == "thriftlay-review-list" for group in leaf.groups)
    ]
    assert any(leaf.text == "Read from the drawing" for leaf in texts)
    assert all(leaf.box[0] < left and leaf.box[1] > top - 1.0 for leaf in texts)


def test_every_line_is_within_a_fifth_of_a_millimetre(sheet: PagesOutcome) -> None:
    rings = [
        shapely.LineString([*line.points, line.points[0]])
        for leaf in read_leaves(parse(sheet.drawing), tolerance_mm=0.01)
        for line in leaf.rings
        if line.closed and any("sheet" in group.attributes for group in leaf.groups)
    ]
    true = []
    for draft in drafts():
        points = np.array(
            [(p.real, p.imag) for p in (z + placed(draft) for z in ring(draft.cutting))]
        )
        true.append(shapely.LinearRing(points))
    shifts = []
    for line in true:
        sizes = [np.abs(np.subtract(_size(each), _size(line))).max() for each in rings]
        shifts.append(np.subtract(rings[int(np.argmin(sizes))].bounds, line.bounds)[:2])
    shift = np.median(shifts, axis=0)
    for line in true:
        moved = shapely.transform(line, lambda points: points + shift)
        assert min(shapely.hausdorff_distance(moved, each) for each in rings) <= 0.2


def _size(line: shapely.Geometry) -> tuple[float, float]:
    low_x, low_y, high_x, high_y = line.bounds
    return high_x - low_x, high_y - low_y
