# SPDX-License-Identifier: GPL-2.0-or-later
"""Sizes in the layers of a PDF: read where the editor hands them over, asked about where not."""

from __future__ import annotations

from pathlib import Path

import pytest
from lxml import etree

from extension.markings.proposing import propose
from extension.operations.join_lines import JoinOptions, join_lines
from extension.operations.put_together import pages_options, put_together
from extension.svg.document import parse
from tests.benchmarks.sheets import WITHIN, compared
from tests.helpers.editor import editor_version
from tests.helpers.layered import by_layers
from tests.helpers.paged import Paging
from tests.helpers.pattern_sheets import drawn
from tests.helpers.printed import HEAD, opened_at_once
from tests.helpers.whole_way import shift_of

pytestmark = [pytest.mark.editor, pytest.mark.timeout(400)]


@pytest.mark.parametrize("number", [8, 14])
def test_layers_of_a_pdf_tell_the_sizes_where_the_editor_knows_them(
    number: int, tmp_path: Path
) -> None:
    """1.2 drops the layers and every nest is asked about; 1.4 makes them layers of its own.

    “Größe 36” on sheet 8 is written in the PDF's own letters, “Size 36” on sheet 14 is plain.
    """
    sheet, pdf = drawn(number), tmp_path / "layers.pdf"
    assert sheet.styles["sizes"] == "layers"
    sheet.drawing.defs.append(etree.fromstring(HEAD))
    by_layers(sheet.drawing.data(), pdf)
    (file,) = opened_at_once(pdf)
    read = propose(parse(file))
    shift = shift_of(sheet, [piece.shape.polygon for piece in read.pieces])
    kinds = [kind for kind, _ in compared(sheet, read, shift, WITHIN)]
    graded = sum(piece.size is not None for piece in sheet.pieces)
    if editor_version() < (1, 3):
        assert kinds.count("asked") >= graded
        assert "silently wrong" not in kinds
    else:
        assert set(kinds) == {"right"}


@pytest.mark.parametrize("off", ["", "Größe 36"])
def test_layers_over_many_pages_are_read_or_asked_about(off: str, tmp_path: Path) -> None:
    """36 pages of A4, each with all layers behind the clip of its window; one may be switched off.

    1.2 shows that layer like the others, without its name. 1.4 hides it, puts what all pages hold
    on the same layers, and hands over the clip of the first page alone.
    """
    sheet, pdf = drawn(8), tmp_path / "pages.pdf"
    sheet.drawing.defs.append(etree.fromstring(HEAD))
    assert by_layers(sheet.drawing.data(), pdf, Paging(margin=5.0), off=[off]) == 36
    pages = [parse(file) for file in opened_at_once(pdf)]
    put = put_together(pages, pages_options("", "", ""))
    joined = join_lines(parse(put.drawing), JoinOptions()).drawing or put.drawing
    read = propose(parse(joined))
    shift = shift_of(sheet, [piece.shape.polygon for piece in read.pieces])
    rows = list(compared(sheet, read, shift, WITHIN))
    if editor_version() < (1, 3):
        assert {kind for kind, _ in rows} <= {"right", "asked"}
        assert [piece.name for piece in read.pieces if piece.is_complete] == ["Tasche"]
        return
    hidden = [piece for piece in sheet.pieces if off and piece.size == "36"]
    assert len(read.pieces) == len(sheet.pieces) - len(hidden)
    assert [kind for kind, _ in rows].count("right") == len(read.pieces)
    assert any("clip of the first page alone" in said for said in put.warnings)
    assert any(f"The layer “{off}” is hidden" in said for said in put.warnings) == bool(off)
