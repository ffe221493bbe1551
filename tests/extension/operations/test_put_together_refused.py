# SPDX-License-Identifier: GPL-2.0-or-later
"""Put Pages Together: the test square; what is told by hand; what is asked or refused."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from lxml import etree

from extension.language.errors import DrawingError, OptionError
from extension.operations.put_together import pages_options, put_together
from extension.svg.document import parse
from tests.helpers import truths
from tests.helpers.paged import LETTER, Paging, as_drawing, cut
from tests.helpers.pattern_sheets import drawn
from tests.helpers.printed import whole
from tests.helpers.sheets import AUTO, SHEET, assert_is_sheet, lines_of, sheet_leaves, together
from tests.helpers.svg_builder import SvgBuilder
from tests.helpers.truths import Truth, pieces

# --- the test square -----------------------------------------------------------------------------


def with_square(side: float, said: str = "test square 5 x 5 cm") -> Truth:
    """Return the sheet with a test square over the edge of two pages."""
    low, high = 188.0, 188.0 + side
    outline = ((low, 2.0), (high, 2.0), (high, 2.0 + side), (low, 2.0 + side))
    words = truths.TrueWords(said, 192.0, 20.0, 3.0)
    return replace(SHEET, lines=(*SHEET.lines, truths.TrueLine(outline)), words=(words,))


def test_a_square_that_is_right_is_told_and_one_that_is_off_is_warned_of() -> None:
    right = together(with_square(50.0), Paging())
    assert "The test square measures 50.0 x 50.0 mm, as it should (50 mm)." in right.summary
    assert right.warnings == ()
    off = together(with_square(49.7), Paging())
    assert off.warnings[0].startswith(
        "The test square measures 49.7 x 49.7 mm instead of 50: the drawing is 0.6 % too small."
    )
    assert off.report["test_squares"][0]["stated_mm"] == 50.0


def test_the_sheet_is_scaled_by_its_square() -> None:
    truth = with_square(40.0)
    drawing = parse(as_drawing(cut(truth, Paging()), Paging()))
    outcome = put_together([drawing], pages_options("", "", "", (), scale_by_square=True))
    sides = [np.ptp(np.array(points), axis=0) for points in lines_of(sheet_leaves(outcome.drawing))]
    assert any(side == pytest.approx((50.0, 50.0), abs=0.02) for side in sides)
    assert "The sheet was enlarged by 25.0 %, so that it is right." in outcome.summary
    assert outcome.report["scale"] == pytest.approx(1.25, abs=1e-4)


def test_a_sheet_by_itself_can_be_scaled() -> None:
    drawing = SvgBuilder("300mm", "400mm", (0, 0, 300, 400))
    drawing.add_rect(10, 10, 200, 380, style="fill:none;stroke:#000")
    drawing.add_rect(20, 20, 25, 25, style="fill:none;stroke:#000")
    drawing.add("text", x=22, y=30, style="font-size:3px").text = "Testquadrat 5 cm"
    with pytest.raises(DrawingError, match="No pages were found"):
        put_together([drawing.document()], AUTO)
    outcome = put_together([drawing.document()], pages_options("", "", "", (), True))
    sides = [np.ptp(np.array(points), axis=0) for points in lines_of(sheet_leaves(outcome.drawing))]
    assert any(side == pytest.approx((400.0, 760.0), abs=0.02) for side in sides)


def test_nothing_is_scaled_by_a_square_that_is_not_there_or_is_stretched() -> None:
    wanted = pages_options("", "", "", (), scale_by_square=True)
    with pytest.raises(DrawingError, match="No test square was found"):
        put_together([parse(as_drawing(cut(SHEET, Paging()), Paging()))], wanted)
    drawing = SvgBuilder("300mm", "400mm", (0, 0, 300, 400))
    drawing.add_rect(20, 20, 50, 51, style="fill:none;stroke:#000")
    drawing.add("text", x=22, y=30, style="font-size:3px").text = "test square 5 cm"
    with pytest.raises(DrawingError, match="stretched more one way"):
        put_together([drawing.document()], wanted)


# --- by hand, and what cannot be decided ---------------------------------------------------------


WHOLE = pieces(0, 360.0, 500.0, 4)
"""Four pieces, each on a page of its own: nothing goes on from page to page."""


def test_what_cannot_be_decided_is_said_in_one_sentence() -> None:
    paging = Paging(LETTER, overlap=(12.7, 12.7), clip=False, frame="", numbers="")
    with pytest.raises(DrawingError, match="no line goes on") as refusal:
        together(WHOLE, paging)
    assert "Type how many rows and columns" in str(refusal.value)
    assert "\n" not in str(refusal.value)


def test_edges_that_fit_any_overlap_are_asked_about() -> None:
    """Straps whose long sides alone go over the edges would come out too long by each overlap."""
    straps = tuple(
        truths.TrueLine(((x, 20.0), (x + 60.0, 20.0), (x + 60.0, 700.0), (x, 700.0)))
        for x in (10.0, 100.0)
    )
    paging = Paging(overlap=(0.0, 10.0), numbers="")
    drawing = as_drawing(cut(Truth(180.0, 720.0, straps), paging), paging)
    with pytest.raises(DrawingError, match="so squarely that they fit any overlap"):
        put_together([parse(drawing)], AUTO)
    outcome = put_together([parse(drawing)], pages_options("3", "1", "10mm"))
    assert_is_sheet(outcome, Truth(180.0, 720.0, straps))
    assert outcome.warnings == ()
    unsure = put_together([parse(drawing)], pages_options("3", "1", ""))
    assert unsure.warnings[0].startswith("No line tells by how much the pages overlap down")


def test_a_piece_that_barely_goes_over_an_edge_tells_no_overlap() -> None:
    """With more overlap it would not reach so far: that was taken for a sign that less is right."""
    sheet, paging = drawn(16), Paging(LETTER, overlap=(10.0, 10.0), numbers="row column")
    drawing = as_drawing(cut(whole(sheet), paging), paging)
    with pytest.raises(DrawingError, match="so squarely that they fit any overlap"):
        put_together([parse(drawing)], AUTO)
    outcome = put_together([parse(drawing)], pages_options("2", "2", "10mm x 1cm"))
    # The samples of the legend begin in a row, which was taken for the left side of the pages.
    width, height = LETTER
    sides = 2.0 * (width - 20.0) - 10.0, 2.0 * (height - 20.0) - 10.0
    assert outcome.report["size_mm"] == pytest.approx(sides, abs=0.05)


def test_a_clip_as_large_as_the_paper_is_no_window() -> None:
    """A writer clipped all of a page's own to the paper, which hid where the pages are cut."""
    paging = Paging(LETTER, overlap=(12.7, 12.7), frame="", numbers="n/total")
    root = parse(as_drawing(cut(WHOLE, paging), paging)).root
    namespace = str(root.tag).removesuffix("svg")
    for number, page in enumerate(root.iterfind(f"{namespace}g")):
        clip = etree.SubElement(root, f"{namespace}clipPath", id=f"paper-{number}")
        etree.SubElement(clip, f"{namespace}path", d="M 0 0 H 215.9 V 279.4 H 0 Z")
        for text in page.iterfind(f"{namespace}text"):
            text.set("clip-path", f"url(#paper-{number})")
    outcome = put_together([parse(etree.tostring(root))], pages_options("2", "2", "12.7mm"))
    assert outcome.report["size_mm"] == pytest.approx([379.1, 506.1], abs=0.05)


def test_rows_columns_and_overlap_by_hand() -> None:
    paging = Paging(LETTER, overlap=(12.7, 12.7), clip=True, frame="", numbers="")
    drawing = parse(as_drawing(cut(WHOLE, paging), paging))
    outcome = put_together([drawing], pages_options("2", "2", "0.5in"))
    assert_is_sheet(outcome, WHOLE)


def test_overlap_that_no_line_tells_of_is_told() -> None:
    paging = Paging(numbers="row column", frame="")
    outcome = put_together([parse(as_drawing(cut(WHOLE, paging), paging))], AUTO)
    if not outcome.report["lines_joined"]:
        assert any("No line tells by how much" in said for said in outcome.warnings)


def test_a_grid_that_has_no_room_for_the_pages_is_refused() -> None:
    paging = Paging()
    drawing = parse(as_drawing(cut(SHEET, paging), paging))
    with pytest.raises(DrawingError, match="do not fit into 5 rows and 7 columns"):
        put_together([drawing], pages_options("5", "7", ""))


def test_a_page_that_is_missing_is_noticed() -> None:
    paging = Paging()
    sheets = cut(SHEET, paging)
    del sheets[5]
    with pytest.raises(
        DrawingError, match=r"\d+ of \d+ ends of lines at their edges go on nowhere"
    ):
        put_together([parse(as_drawing(sheets, paging))], AUTO)


@pytest.mark.parametrize(
    ("rows", "columns", "overlap", "said"),
    [
        ("0", "", "", "“0” is no number of rows"),
        ("", "two", "", "“two” is no number of columns"),
        ("", "9999999", "", "is no number of columns"),
        ("", "", "-5mm", "Pages cannot overlap by “-5mm”"),
        ("", "", "3m", "Pages cannot overlap by “3m”"),
        ("", "", "1cm x 3m", "Pages cannot overlap by “1cm x 3m”"),
        ("", "", "1cm x 1cm x 1cm", "across and down"),
        ("", "", "wide", "“wide” is not a length"),
    ],
)
def test_bad_options_are_refused_by_name(rows: str, columns: str, overlap: str, said: str) -> None:
    with pytest.raises(OptionError, match=re.escape(said)):
        pages_options(rows, columns, overlap)


def test_a_drawing_without_pages_says_what_to_do() -> None:
    drawing = SvgBuilder()
    drawing.add_path("M 0 0 H 50 V 80 H 0 Z")
    with pytest.raises(DrawingError, match="No pages were found"):
        put_together([drawing.document()], AUTO)
    with pytest.raises(DrawingError, match="Nothing that is drawn is called “nowhere”"):
        put_together([drawing.document()], pages_options("", "", "", ["nowhere"]))


def test_groups_of_different_sizes_are_no_pages() -> None:
    drawing = SvgBuilder("900mm", "400mm", (0, 0, 900, 400))
    for number, high in enumerate((200, 260)):
        group = drawing.add("g", id=f"group{number}", transform=f"translate({300 * number},0)")
        drawing.add_path(f"M 0 0 H 150 V {high} H 0 Z", parent=group, style="stroke:#000")
    with pytest.raises(DrawingError, match="different sizes"):
        put_together([drawing.document()], AUTO)


def test_pictures_are_left_out_and_counted() -> None:
    paging = Paging()
    document = parse(as_drawing(cut(SHEET, paging), paging))
    page = document.root.find(".//*[@id='page-1']")
    assert page is not None
    tag = str(page[0].tag).replace("rect", "image")
    etree.SubElement(page, tag, id="scan", x="20", y="20", width="50", height="50")
    outcome = put_together([document], AUTO)
    assert any(said.startswith("1 picture left out") for said in outcome.warnings)
