# SPDX-License-Identifier: GPL-2.0-or-later
"""A layout on cloth that is too short for all parts is published, and says what is not on it."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.diagram.lacking import lacking_text
from extension.language.names import lay
from extension.layouts.checked import Checked, examined
from extension.layouts.layers import layout_layers
from extension.svg.document import serialise
from extension.svg.leaves import read_leaves
from tests.helpers.cloth import typed_between_selvedges
from tests.helpers.edited import Edited
from tests.helpers.garments import garment
from tests.helpers.layouts import drawn_into, no_time, part_groups

SHORT = typed_between_selvedges({"fabric_width": "30cm", "fabric_length": "30cm"})


def short() -> Edited:
    """Return a garment on cloth that has no room for all of it."""
    document = garment().document()
    drawn_into(document, SHORT)
    edited = Edited()
    edited.root = document.root
    return edited


def checked(edited: Edited) -> Checked:
    """Return the layout of a drawing, judged."""
    document = edited.document
    leaves = read_leaves(document, include_layouts=True)
    return examined(document, leaves, layout_layers(document)[0])


def published(edited: Edited, folder: Path) -> tuple[int, str]:
    """Return the exit code and what is said when all pages of a drawing are wanted."""
    drawing = folder / "drawing.svg"
    drawing.write_bytes(serialise(edited.document))
    out = io.StringIO()
    words = ["diagram", str(drawing), "--output", str(folder / "page.html")]
    words += ["--full-size", str(folder / "full.svg")]
    return run(words, Terminal(out, out), no_time), out.getvalue()


def test_parts_left_over_are_named_on_every_page_and_in_the_terminal(tmp_path: Path) -> None:
    edited = short()
    laid = part_groups(edited.layer)
    assert 0 < len(laid) < 5, "the cloth must hold some of the parts, not all"
    code, told = published(edited, tmp_path)
    assert code == 0
    sentence = lacking_text(checked(edited))
    assert sentence.startswith("NOT on this layout: ")
    assert sentence.endswith("from other cloth.")
    assert sentence in told
    page = (tmp_path / "page.html").read_text()
    assert f"<strong>{sentence}</strong>" in page
    full = " ".join((tmp_path / "full.svg").read_text().split())
    assert "NOT on this" in full


def test_what_is_told_to_be_missing_is_what_is_missing(tmp_path: Path) -> None:
    edited = short()
    edited.delete(part_groups(edited.layer)[0])
    one = checked(edited)
    there = len(part_groups(edited.layer))
    assert (one.expected - there, len(one.findings)) == (1, 1)
    assert one.left_over + 1 == sum(map(len, one.situation.absent.values()))
    for id_, copies in one.situation.absent.items():
        cut = one.situation.cuts[id_]
        count = f" × {len(copies)} (of {cut.copies})" if cut.copies > 1 else ""
        assert f"{cut.title}{count}" in lacking_text(one)
    code, told = published(edited, tmp_path)
    assert (code, "cannot be published" in told) == (2, True), "what lay there and is lost"
    assert "put right what Check Layout tells" in told, "moving parts brings none back"


def test_an_earlier_layout_that_does_not_say_what_was_left_over_is_published(
    tmp_path: Path,
) -> None:
    edited = short()
    stored = json.loads(edited.layer.get(lay("settings"), ""))
    assert stored["result"].pop("left_over")
    edited.layer.set(lay("settings"), json.dumps(stored))
    code, told = published(edited, tmp_path)
    assert (code, "NOT on this layout: " in told) == (0, True)


def test_any_other_fault_is_refused_as_ever(tmp_path: Path) -> None:
    edited = short()
    part_groups(edited.layer)[0].set("transform", "translate(0, -200)")
    code, told = published(edited, tmp_path)
    assert (code, "cannot be published" in told) == (2, True)


def test_where_cloth_is_bought_a_part_that_is_missing_is_a_fault(tmp_path: Path) -> None:
    edited = Edited()
    assert lacking_text(checked(edited)) == ""
    edited.delete(edited.part("tab", 2))
    code, told = published(edited, tmp_path)
    assert (code, "cannot be published" in told) == (2, True)


@pytest.mark.parametrize("of", ["tab", "back"])
def test_one_piece_is_told_of_in_the_singular(of: str) -> None:
    edited = Edited()
    edited.delete(edited.part(of))
    one = checked(edited)
    name = {"tab": "Tab × 1 (of 2)", "back": "Back"}[of]
    assert lacking_text(one) == f"NOT on this layout: {name}. Cut it from other cloth."


def test_a_piece_that_was_not_laid_for_want_of_a_grainline_is_named() -> None:
    """Whoever cuts by the page has nothing else that tells of it."""
    drawing = garment()
    drawing.add_rect(900, 10, 50, 50, id="loop", lay={"name": "Belt loop", "cut": "5"})
    document = drawing.document()
    drawn_into(document, typed_between_selvedges({"fabric_width": "140cm"}))
    edited = Edited()
    edited.root = document.root
    told = "NOT on this layout, for want of a grainline: Belt loop. It is still to be cut."
    assert lacking_text(checked(edited)) == told
