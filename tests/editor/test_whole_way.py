# SPDX-License-Identifier: GPL-2.0-or-later
"""Whole pattern sheets, from the PDF of a real writer through the real editor to their pieces."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.benchmarks.sheets import WITHIN, compared
from tests.helpers.paged import A4, LETTER, Paging
from tests.helpers.pattern_sheets import drawn
from tests.helpers.whole_way import walked

pytestmark = [pytest.mark.editor, pytest.mark.timeout(400)]

PAGINGS = {
    11: Paging(LETTER, marks="diamonds", numbers="cell", frame="lines"),
    14: Paging(A4, overlap=(15.0, 15.0), marks="letters", numbers="page n of total"),
    20: Paging(LETTER, 6.35, (12.7, 12.7), marks="triangles", frame="", inside=True),
}
"""A child's, a coat and a blouse at full scale, three, four and six sizes; `benchmarks.sheets` has
many more."""
CASES = (
    (20, "editor", "at once", 25),
    (20, "plotter", "at once", 19),
    pytest.param(14, "browser", "at once", 0, marks=pytest.mark.browser),
    (11, "editor", "one by one", 0),
)
"""Sheet, writer, reader, and how many pieces are read right at least. Sheet 14 tells its sizes by
layers alone, which are not in this PDF; on sheet 11 a word for facing may mean the fold, and the
editor's other reader makes shapes of texts. All of that is asked, and in Inkscape 1.4 the one piece
of sheet 14 without a size as well, of whose label halves are left at an edge."""


@pytest.mark.parametrize(("number", "writer", "way", "least"), CASES)
def test_no_piece_of_a_pdf_is_silently_wrong(
    number: int, writer: str, way: str, least: int, tmp_path: Path
) -> None:
    sheet = drawn(number)
    walk = walked(sheet, PAGINGS[number], tmp_path, writer, way)
    assert walk.asked == ""
    found = list(compared(sheet, walk.read, walk.shift, WITHIN))
    assert not [story for kind, story in found if kind == "silently wrong"]
    kinds = [kind for kind, _ in found]
    assert kinds.count("right") >= least
