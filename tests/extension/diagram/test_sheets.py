# SPDX-License-Identifier: GPL-2.0-or-later
"""The pages that the editor makes a PDF of: nothing lost, nothing beyond the paper."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.diagram.columns import column_widths
from extension.diagram.editor import editor_here, pdf_of
from extension.diagram.paper import PAPERS, Paper
from extension.diagram.rows import rows_in
from extension.diagram.section import Table
from extension.diagram.sheets import CELLS, sheets
from extension.drawn.lettering import line_width
from extension.svg.document import serialise
from tests.helpers.diagrams import laid, published, sections_of
from tests.helpers.edited import Edited
from tests.helpers.editor import editor_version
from tests.helpers.layouts import no_time
from tests.helpers.pdf import MM_PER_POINT, pages_of
from tests.helpers.screen import need

LETTERS = st.text("abcdeWil .-ÄßÇ袖", max_size=30)
INKSCAPE = "{http://www.inkscape.org/namespaces/inkscape}"


@given(LETTERS, st.floats(5.0, 60.0))
def test_rows_are_no_wider_than_the_room_and_lose_no_letter(words: str, room: float) -> None:
    rows = rows_in(words, room, CELLS)
    assert all(line_width(row, CELLS) <= room or len(row) == 1 for row in rows)
    assert "".join("".join(rows).split()) == "".join(words.split())


@given(st.lists(st.tuples(LETTERS, LETTERS, LETTERS), max_size=5), st.floats(80.0, 280.0))
def test_columns_fit_on_the_page(rows: list[tuple[str, ...]], room: float) -> None:
    table = Table("Pieces", ("number", "piece and more", "cut"), tuple(rows))
    assert sum(column_widths(table, room, CELLS)) <= room


@pytest.mark.parametrize("name", ["jacket", "many small parts", "trousers in inches"])
def test_every_cell_of_the_tables_is_on_a_page(name: str) -> None:
    (section,) = published(name)
    root = etree.fromstring(sheets([section]))
    said = "".join("".join(map(str, text.itertext())) for text in root.iter("{*}text"))
    told = "".join(said.split())
    for table in section.tables:
        for cell in (cell for row in (table.head, *table.rows) for cell in row):
            assert "".join(cell.split()) in told
    assert "Beforeyoucut" in told


def test_a_long_table_goes_on_under_its_heads() -> None:
    (section,) = published("many small parts")
    root = etree.fromstring(sheets([section]))
    texts = ["".join(map(str, text.itertext())) for text in root.iter("{*}text")]
    assert "Placing table, in cutting order, continued" in texts
    assert texts.count("lay") == 1 + texts.count("Placing table, in cutting order, continued")
    pages = root.findall(f".//{INKSCAPE}page")
    assert f"{section.title} – page {len(pages)} of {len(pages)}" in texts


@pytest.mark.editor
@pytest.mark.parametrize("paper", PAPERS)
def test_the_editors_pdf_has_every_page_whole(tmp_path: Path, paper: Paper) -> None:
    need("inkscape")
    said = published("two materials", paper)
    file = tmp_path / "made.pdf"
    drawing = sheets(said)
    file.write_bytes(pdf_of(drawing, editor_here()))
    pages = pages_of(file)
    frames = etree.fromstring(drawing).findall(f".//{INKSCAPE}page")
    assert len(pages) == len(frames) >= 4
    for page, frame in zip(pages, frames, strict=True):
        size = (float(frame.get("width", "")), float(frame.get("height", "")))
        # From 1.4 on, pages of a drawing with several are rounded up to whole points, and what is
        # on them is stretched with them: by 0.12 % at most on these papers.
        more = MM_PER_POINT if editor_version() >= (1, 4) else 0.0
        for there, wanted in zip((page.width, page.height), size, strict=True):
            assert wanted - 0.1 <= there <= wanted + more + 0.1
        assert page.outside(5.0) == []
    starts = [page for page in pages if "White: printed side up." in page.text]
    assert len(starts) == len(said)
    for page, section in zip(starts, said, strict=True):
        numbers = {word.text.rstrip("*") for word in page.words}
        assert {shape.place.number for shape in section.pictures[0].shapes} <= numbers


@pytest.mark.editor
def test_a_long_name_without_spaces_stays_on_the_paper(tmp_path: Path) -> None:
    need("inkscape")
    edited = Edited()
    edited.layer.set(f"{INKSCAPE}label", "Sommermantel" * 20)
    file = tmp_path / "made.pdf"
    file.write_bytes(pdf_of(sheets(sections_of(edited.document)), editor_here()))
    for page in pages_of(file):
        assert page.outside(5.0) == []


def test_of_the_kinds_of_page_none_is_written_when_one_cannot_be(tmp_path: Path) -> None:
    drawing = tmp_path / "two.svg"
    drawing.write_bytes(serialise(laid("two materials")))
    page, full = tmp_path / "page.html", tmp_path / "full.svg"
    out, err = io.StringIO(), io.StringIO()
    words = ["diagram", str(drawing), "--output", str(page), "--full-size", str(full)]
    assert run(words, Terminal(out, err), no_time) == 2
    assert "say which one is meant" in err.getvalue()
    assert not page.exists()
    assert run([*words, "--layout", "2"], Terminal(out, err), no_time) == 0
    assert page.read_text(encoding="utf-8").count("<section") == 1
    assert full.is_file()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ([], "There is nothing to write"),
        (["--output", "IN"], "would overwrite"),
        (["--output", "a.html", "--pdf", "a.html"], "would overwrite"),
        (["--output", "not there/a.html"], "there is no such file or folder"),
        (["--output", "a.html", "--layout", "7"], "There is no layout number 7"),
        (["--output", "a.html", "--layout", "front"], "is no layout and lies on none"),
        (["--output", "a.html", "--scale", "1:10"], ""),
    ],
    ids=["nothing", "the drawing", "twice", "no folder", "no number", "no layout", "fine"],
)
def test_bad_input_is_one_sentence_and_writes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], told: str
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("laid.svg").write_bytes(Edited().data)
    out, err = io.StringIO(), io.StringIO()
    given_ = [word.replace("IN", "laid.svg") for word in words]
    assert run(["diagram", "laid.svg", *given_], Terminal(out, err), no_time) == (2 if told else 0)
    assert told in err.getvalue()
    assert len(err.getvalue().strip().splitlines()) == (1 if told else 0)
    assert Path("laid.svg").read_bytes() == Edited().data
    assert Path("a.html").exists() == (not told)


def test_a_drawing_without_a_layout_says_what_to_do_first(tmp_path: Path, samples: Path) -> None:
    out, err = io.StringIO(), io.StringIO()
    drawing = str(samples / "first-apron.svg")
    words = ["diagram", drawing, "--output", str(tmp_path / "a.html")]
    assert run(words, Terminal(out, err), no_time) == 2
    assert "lay the pieces out on fabric first" in err.getvalue()
