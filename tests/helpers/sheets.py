# SPDX-License-Identifier: GPL-2.0-or-later
"""Known sheets cut into pages and put together again, and what is drawn on the sheet then."""

from __future__ import annotations

import random
from collections.abc import Sequence

import numpy as np

from extension.operations.put_together import PagesOutcome, pages_options, put_together
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from tests.helpers import truths
from tests.helpers.paged import Paging, as_drawing, cut
from tests.helpers.truths import Truth, pieces

CLOSE = 0.2
"""mm by which a line that goes on over an edge may leave what it was."""
AUTO = pages_options("", "", "")
SHEET = pieces(1, 700.0, 800.0, 6)
"""Six pieces, most of them on four pages."""


def together(
    truth: Truth, paging: Paging, *, shuffled: int | None = None, with_pages: bool = True
) -> PagesOutcome:
    """Cut a sheet into pages and put them together again."""
    sheets = cut(truth, paging)
    if shuffled is not None:
        random.Random(shuffled).shuffle(sheets)
    return put_together([parse(as_drawing(sheets, paging, with_pages=with_pages))], AUTO)


def sheet_leaves(drawing: bytes) -> list[Leaf]:
    """Return what is drawn on the layer of the sheet."""
    leaves = read_leaves(parse(drawing), tolerance_mm=0.01)
    return [leaf for leaf in leaves if any("sheet" in group.attributes for group in leaf.groups)]


def lines_of(leaves: Sequence[Leaf], closed: bool | None = None) -> list[truths.Points]:
    return [
        ring.points
        for leaf in leaves
        for ring in leaf.rings
        if leaf.style.get("fill") == "none" and closed in (None, ring.closed)
    ]


def assert_is_sheet(outcome: PagesOutcome, truth: Truth) -> None:
    """Assert that nothing is missing, doubled, left over or out of place."""
    leaves = sheet_leaves(outcome.drawing)
    shift = truths.corner([line.points for line in truth.lines]) - truths.corner(lines_of(leaves))
    for closed in (True, False):
        true = [line.points for line in truth.lines if line.closed == closed]
        found = truths.shifted(lines_of(leaves, closed), shift)
        assert len(found) == len(true)
        assert truths.farthest(true, found, closed) < CLOSE
    assert sorted(leaf.text for leaf in leaves if leaf.text) == sorted(
        text.words for text in truth.words
    )
    heads = [leaf for leaf in leaves if leaf.rings and leaf.style.get("fill") != "none"]
    middles = [np.mean(leaf.rings[0].points, axis=0) + shift for leaf in heads]
    true_middles = [np.mean(head, axis=0) for head in truth.heads]
    assert len(middles) == len(true_middles)
    for middle in true_middles:
        assert min(np.hypot(*(middle - other)) for other in middles) < 2.0 * CLOSE
