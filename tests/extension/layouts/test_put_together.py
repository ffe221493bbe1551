# SPDX-License-Identifier: GPL-2.0-or-later
"""A layout of a sheet that was put together from pages: what lies on the pages is no piece."""

from __future__ import annotations

import json

from extension.job.wishes import wishes_from_text
from extension.operations.check import check_layouts, compare_layouts
from extension.operations.lay_out import lay_out_materials
from extension.operations.running import Run
from extension.svg.document import parse
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder


def laid(*, clone: bool = False) -> bytes:
    """Return a sheet of two pieces, its two pages beside it, and the layout of the pieces.

    On each page one of the pieces is drawn too, and the frame of the page. No piece has details.
    """
    made = SvgBuilder("900mm", "700mm", (0, 0, 900, 700))
    pages = []
    for number in (0, 1):
        page = made.add_group(id=f"page{number}")
        made.add_rect(200 * number, 400, 180, 250, page)
        made.add_path(
            f"M {200 * number + 20} 420 h 100 v 180 h -100 Z", page, id=f"on-page{number}"
        )
        pages.append(f"page{number}")
    if clone:
        made.add_use("on-page0", x=500, y=0)
    sheet = made.add_layer("Pattern sheet", id="sheet-1")
    sheet.set("{urn:thriftlay:1}sheet-of", json.dumps(pages))
    sheet.set("{urn:thriftlay:1}sheet", "1")
    for number in (0, 1):
        made.add_path(f"M {200 * number + 20} 20 h 100 v 180 h -100 Z", sheet)
    wishes = wishes_from_text({"fabric_width": "90cm", "rounds": "1", "workers": "1"})
    return lay_out_materials(made.document(), wishes, Run(no_time, lambda _: False)).drawing


def test_check_misses_nothing_that_lies_on_the_pages() -> None:
    data = laid()
    outcome = check_layouts(parse(data))
    assert outcome.is_clean, outcome.summary
    assert outcome.report["expected"] == 2
    assert compare_layouts(parse(data))[1]["expected"] == 2


def test_a_clone_of_what_lies_on_a_page_is_drawn_by_itself() -> None:
    """What the layout reads and what Check expects are the same drawing."""
    outcome = check_layouts(parse(laid(clone=True)))
    assert outcome.is_clean, outcome.summary
    assert outcome.report["expected"] == 3
