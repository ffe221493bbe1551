# SPDX-License-Identifier: GPL-2.0-or-later
"""Put Pages Together: a known sheet is cut into pages, and comes back as it was."""

from __future__ import annotations

import contextlib
from dataclasses import replace

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st
from lxml import etree

from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.operations.put_together import put_together
from extension.svg.document import parse, serialise
from extension.svg.leaves import read_leaves
from tests.benchmarks.pages import drawn
from tests.helpers import truths
from tests.helpers.paged import A4, LETTER, Paging, as_drawing, as_files, cut
from tests.helpers.sheets import AUTO, SHEET, assert_is_sheet, lines_of, sheet_leaves, together
from tests.helpers.truths import TrueLine, pieces

STYLES = {
    "frames, clipped": Paging(),
    "frames, cut": Paging(clip=False, frame="lines", numbers="page n of total"),
    "overlaps and triangles": Paging(overlap=(10.0, 15.0), marks="triangles", numbers="cell"),
    "Letter, no frame": Paging(
        LETTER, overlap=(12.7, 12.7), clip=False, frame="", numbers="", marks="diamonds"
    ),
    "letters, numbers inside, by columns": Paging(
        overlap=(7.3, 0.0), marks="letters", inside=True, numbers="page n of total", by_columns=True
    ),
    "crosses, empty pages left out": Paging(marks="crosses", numbers="row column", empty=False),
    "no margin": Paging(margin=0.0, overlap=(8.0, 8.0), frame="", numbers=""),
    "landscape": Paging(paper=A4[::-1], overlap=(20.0, 5.0), frame="rect", numbers="n/total"),
}


@pytest.mark.parametrize(
    ("style", "shuffled"),
    [*((style, 7) for style in STYLES), ("frames, cut", None), ("no margin", None)],
)
def test_a_sheet_comes_back_as_it_was(style: str, shuffled: int | None) -> None:
    paging = STYLES[style]
    outcome = together(SHEET, paging, shuffled=shuffled)
    assert_is_sheet(outcome, SHEET)
    assert outcome.warnings == ()
    rows, columns = paging.grid(SHEET)
    assert (outcome.report["rows"], outcome.report["columns"]) == (rows, columns)
    assert outcome.report["overlap_mm"] == pytest.approx(paging.overlap, abs=0.1)


@settings(max_examples=8, deadline=None)
@given(
    seed=st.integers(0, 10_000),
    paper=st.sampled_from([A4, LETTER, A4[::-1]]),
    margin=st.sampled_from([5.0, 10.0, 17.3]),
    overlap=st.tuples(st.sampled_from([0.0, 6.35, 10.0, 23.1]), st.sampled_from([0.0, 11.0, 20.0])),
    frame=st.sampled_from(["", "rect", "lines"]),
    numbers=st.sampled_from(["", "n/total", "page n of total", "cell", "row column"]),
    marks=st.sampled_from(["", "triangles", "diamonds", "letters", "crosses"]),
    clip=st.booleans(),
    by_columns=st.booleans(),
    shuffled=st.sampled_from([None, 3]),
    size=st.tuples(st.integers(500, 900), st.integers(500, 900)),
)
def test_any_grid_overlap_and_order_comes_back_or_is_asked_about(
    seed: int,
    paper: tuple[float, float],
    margin: float,
    overlap: tuple[float, float],
    frame: str,
    numbers: str,
    marks: str,
    clip: bool,
    by_columns: bool,
    shuffled: int | None,
    size: tuple[int, int],
) -> None:
    truth = pieces(seed, float(size[0]), float(size[1]), 5)
    paging = Paging(paper, margin, overlap, frame, numbers, marks, clip=clip, by_columns=by_columns)
    with contextlib.suppress(DrawingError):
        outcome = together(truth, paging, shuffled=shuffled)
        event("warned" if outcome.warnings else "put together")
        if not outcome.warnings:
            assert_is_sheet(outcome, truth)


def test_pages_that_lie_about_on_one_canvas() -> None:
    assert_is_sheet(together(SHEET, Paging(numbers=""), shuffled=2, with_pages=False), SHEET)


def test_a_drawing_for_each_page() -> None:
    paging = Paging(overlap=(10.0, 10.0))
    files = as_files(cut(SHEET, paging), paging)
    outcome = put_together([parse(file) for file in files], AUTO)
    assert_is_sheet(outcome, SHEET)
    assert len(outcome.report["pages"]) == len(files)


def test_pages_of_which_most_hold_nothing_are_placed_by_their_names() -> None:
    one = pieces(4, 180.0, 250.0, 1)
    truth = replace(one, width=560.0, height=800.0)
    outcome = together(truth, Paging(numbers="row column"))
    assert_is_sheet(outcome, truth)
    assert outcome.report["decided_by"] == "the rows and columns that the pages name"


def test_twenty_four_pages_in_any_order() -> None:
    truth = pieces(5, 1100.0, 1040.0, 7)
    paging = Paging(overlap=(8.0, 12.0), marks="letters", inside=True)
    assert paging.grid(truth) == (4, 6)
    assert_is_sheet(together(truth, paging, shuffled=1), truth)


def test_a_straight_edge_down_a_column_of_pages_is_no_frame() -> None:
    edge = truths.TrueLine(((30.0, 5.0), (30.0, 810.0)), closed=False)
    truth = replace(SHEET, height=820.0, lines=(*SHEET.lines, edge))
    for frame in ("", "lines"):
        assert_is_sheet(together(truth, Paging(frame=frame)), truth)


@pytest.mark.parametrize("off", [-0.0006, 0.0, 0.0009])
def test_frames_with_their_sides_on_the_edges_of_pages_tell_no_overlap(off: float) -> None:
    """Four by four frames to a page: what only comes to an edge goes on nowhere, and need not."""
    paging = Paging()
    across, down = (side / 4.0 for side in paging.window)
    frames = [
        TrueLine(tuple((off + across * (x + u), off + down * (y + v)) for u, v in CORNERS))
        for x in range(14)
        for y in range(11)
    ]
    truth = replace(SHEET, lines=(*SHEET.lines, *frames), heads=(), words=())
    outcome = together(truth, paging)
    assert outcome.report["overlap_mm"] == [0.0, 0.0]
    assert outcome.report["ends_open"] == []
    assert_is_sheet(outcome, truth)


CORNERS = ((0, 0), (1, 0), (1, 1), (0, 1))


def test_dashes_of_a_line_that_lie_alike_on_several_pages_are_no_marks() -> None:
    # 27.7 mm from dash to dash: ten of them to a page, so all pages show them at the same places.
    dashes = tuple(
        truths.TrueLine(((25.0, 5.0 + 27.7 * n), (25.0, 17.0 + 27.7 * n)), closed=False)
        for n in range(28)
    )
    truth = replace(SHEET, lines=(*SHEET.lines, *dashes))
    assert_is_sheet(together(truth, Paging()), truth)


@pytest.mark.parametrize("number", [28, 30, 47])
def test_letters_at_the_edge_of_a_page_that_is_missing_go_as_well(number: int) -> None:
    truth, paging, shuffled = drawn(number)
    assert (paging.marks, paging.empty) == ("letters", False)
    assert_is_sheet(together(truth, paging, shuffled=shuffled), truth)


def test_an_arrow_head_on_an_edge_is_no_matching_mark() -> None:
    edge = 190.0  # where the first page ends and the second begins
    line = truths.TrueLine(((edge, 300.0), (edge, 500.0)), closed=False)
    head = ((edge, 296.0), (edge + 2.0, 302.0), (edge - 2.0, 302.0))
    truth = replace(SHEET, lines=(*SHEET.lines, line), heads=(*SHEET.heads, head))
    for clip in (True, False):
        assert_is_sheet(together(truth, Paging(clip=clip, marks="triangles")), truth)


@pytest.mark.parametrize(
    ("words", "first", "second"), [("1 tissu, 1 doublure", 12, 10), ("Cinturilla", 8, 4)]
)
@pytest.mark.parametrize("placed", ["each letter", "the first letter", "the first, no spaces"])
def test_a_label_over_an_edge_is_read_whole(
    words: str, first: int, second: int, placed: str
) -> None:
    """Each page shows the letters for which it has room, some of them on both pages.

    Narrow letters beside each other were taken for one, so that a name lost one and was cut. Where
    Inkscape 1.4 opens a PDF, the first letter of a run alone says where it stands, and the run
    alone how large it is; a space may be a shift on one page, and a letter on the other.
    """
    size, start_at = 10.0, 193.0 - _along(words, first - 1)
    root = parse(as_drawing(cut(SHEET, Paging(overlap=(10.0, 10.0))), Paging())).root
    for page, shown, start in (("page-1", words[:first], 0), ("page-2", words[second:], second)):
        group = root.find(f".//*[@id='{page}']")
        assert group is not None
        text = etree.SubElement(group, str(group[0].tag).replace("rect", "text"))
        if placed == "each letter":
            text.set("style", f"font-size:{size}px")
        text.set("xml:space".replace("xml:", "{http://www.w3.org/XML/1998/namespace}"), "preserve")
        step = 180.0 if page == "page-2" else 0.0  # from page to page
        places = [start_at + _along(words, n) - step for n in range(start, start + len(shown))]
        run = etree.SubElement(text, str(text.tag).replace("text", "tspan"))
        if placed != "each letter":
            places = places[:1]
            run.set("style", f"font-size:{size}px")
            shifts = ["0"] + ["-0.1"] * (len(shown) - 1)
            if placed == "the first, no spaces" and page == "page-1":
                kept = [n for n, letter in enumerate(shown) if letter != " "]
                shifts = ["2.78" if shown[n - 1 : n] == " " else shifts[n] for n in kept]
                shown = shown.replace(" ", "")
            run.set("dx", " ".join(shifts))
        run.set("x", " ".join(f"{x:.2f}" for x in places))
        run.set("y", "60")
        run.text = shown
    outcome = put_together([parse(etree.tostring(root))], AUTO)
    said = [leaf.text for leaf in sheet_leaves(outcome.drawing) if words[:6] in leaf.text]
    assert said == [words]
    texts = [leaf.text for leaf in sheet_leaves(outcome.drawing) if leaf.text]
    assert not [text for text in texts if text != words and text in words]


def test_an_arrow_of_several_lines_stays_one_object() -> None:
    """Dashes and heads of a path became lines by themselves, and no arrow was read any more."""
    paging = Paging(clip=False)
    root = parse(as_drawing(cut(SHEET, paging), paging)).root
    group = root.find(".//*[@id='page-1']")
    assert group is not None
    arrow = etree.SubElement(group, str(group[0].tag).replace("rect", "path"))
    dashes = " ".join(f"M 60 {y} V {y + 5}" for y in range(60, 105, 10))
    arrow.set("d", f"{dashes} M 58 64 L 60 60 L 62 64 M 58 101 L 60 105 L 62 101")
    arrow.set("style", "fill:none;stroke:#123456;stroke-width:0.5")
    leaves = sheet_leaves(put_together([parse(etree.tostring(root))], AUTO).drawing)
    (found,) = (leaf for leaf in leaves if leaf.style.get("stroke") == "#123456")
    assert len(found.rings) == 7


def _along(words: str, count: int) -> float:
    """Return where a letter of words stands, mm: widths of Helvetica (its AFM, from memory)."""
    widths = {"i": 2.22, "l": 2.22, " ": 2.78, ",": 2.78, "t": 2.78, "r": 3.33, "s": 5.0, "C": 7.22}
    return sum(widths.get(letter, 5.56) for letter in words[:count])


def test_parts_that_no_line_joins_are_put_apart_and_told() -> None:
    truth = pieces(5, 1100.0, 1040.0, 7)
    outcome = together(truth, Paging(overlap=(8.0, 12.0), frame="", numbers=""), shuffled=1)
    assert outcome.report["parts"] == 3
    assert outcome.warnings[0].startswith("No line joins 3 parts of the sheet")
    assert len(lines_of(sheet_leaves(outcome.drawing), closed=True)) == 14
    assert outcome.report["ends_open"] == []


# --- what is hers, and what is read afterwards ---------------------------------------------------


def test_the_pages_stay_as_they_were_and_the_sheet_is_declared_ours() -> None:
    paging = Paging()
    before = as_drawing(cut(SHEET, paging), paging)
    outcome = put_together([parse(before)], AUTO)
    root = parse(outcome.drawing).root
    layer = root[-1]
    assert layer.get(lay("sheet")) == "1"
    assert all(node.get(lay("decoration")) for node in layer.iterfind("{*}path"))
    root.remove(layer)
    assert etree.tostring(root, method="c14n") == etree.tostring(parse(before).root, method="c14n")


def test_pages_are_read_no_longer_once_there_is_a_sheet() -> None:
    outcome = together(SHEET, Paging(clip=False))
    read = read_leaves(parse(outcome.drawing))
    assert all(any("sheet" in group.attributes for group in leaf.groups) for leaf in read)
    again = read_leaves(parse(outcome.drawing), include_layouts=True)
    assert len(again) > len(read)
    with pytest.raises(DrawingError, match="put together already"):
        put_together([parse(outcome.drawing)], AUTO)


def test_what_she_puts_on_the_layer_of_a_page_later_is_read() -> None:
    document = parse(together(SHEET, Paging()).drawing)
    page = document.root.find(".//*[@id='page-1']")
    assert page is not None
    made = etree.SubElement(page, page[0].tag, id="hers", width="9", height="9", style="stroke:red")
    read = read_leaves(parse(serialise(document)))
    assert str(made.get("id")) in {leaf.id for leaf in read}


def test_the_same_pages_give_the_same_sheet() -> None:
    truth, paging = pieces(1, 400.0, 500.0, 2), Paging()
    assert together(truth, paging).drawing == together(truth, paging).drawing
