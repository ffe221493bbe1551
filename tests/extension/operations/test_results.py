# SPDX-License-Identifier: GPL-2.0-or-later
"""Files are called what they are: a name that says something else is refused before the work."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.language.errors import OptionError
from extension.operations.results import CSV, PDF, PNG, SVG, TEXT, WEB, check_results, with_ending
from tests.helpers.places import SAMPLES

KINDS = {"WEB": WEB, "SVG or PDF": (*SVG, *PDF), "PNG": PNG, "CSV": CSV, "TEXT": TEXT}


@pytest.mark.parametrize("kind", KINDS)
def test_a_name_without_an_ending_gets_the_first_and_one_of_its_own_is_kept(kind: str) -> None:
    endings = KINDS[kind]
    assert with_ending(Path("Coat 1.2"), endings) == Path(f"Coat 1.2{endings[0]}")
    for ending in endings:
        assert with_ending(Path(f"coat{ending.upper()}"), endings) == Path(f"coat{ending.upper()}")


@pytest.mark.parametrize("kind", KINDS)
def test_the_name_of_another_kind_is_refused_with_what_would_be_right(kind: str) -> None:
    endings = KINDS[kind]
    every = {*WEB, *PDF, *SVG, *PNG, *CSV, *TEXT, ".json", ".svgz"}
    for other in every - set(endings):
        with pytest.raises(OptionError) as caught:
            check_results("The table", [(Path(f"coat{other}"), endings)])
        sentence = str(caught.value)
        assert f"“coat{other}”" in sentence
        assert f"let it end in {endings[0]}" in sentence


def test_the_sentence() -> None:
    with pytest.raises(OptionError) as caught:
        check_results("The table", [(Path("coat.html"), (*SVG, *PDF))])
    assert str(caught.value) == (
        "“coat.html” is the name of a web page, but a drawing or a PDF is to be written there: "
        "let it end in .svg or .pdf."
    )


def test_what_is_no_file_keeps_its_name(tmp_path: Path) -> None:
    folder = tmp_path / "coats.pdf"
    folder.mkdir()
    assert with_ending(folder, WEB) == folder
    assert with_ending(None, WEB) is None


@pytest.mark.parametrize(
    "words",
    [
        ["diagram", "IN", "--output", "OUT.pdf"],
        ["diagram", "IN", "--pdf", "OUT.html"],
        ["diagram", "IN", "--full-size", "OUT.png"],
        ["requirements", "IN", "--widths", "140cm", "--output", "OUT.html"],
        ["requirements", "IN", "--widths", "140cm", "--html", "OUT.pdf"],
        ["requirements", "IN", "--widths", "140cm", "--report", "OUT.csv"],
        ["lay-out", "IN", "--fabric-width", "140cm", "--output", "OUT.pdf"],
        ["lay-out", "IN", "--fabric-width", "140cm", "--output", "OUT.svgz"],
        ["lay-out", "IN", "--fabric-width", "140cm", "--output", "A.svg", "--report", "OUT.svg"],
        ["check", "IN", "--output", "OUT.html"],
    ],
    ids=" ".join,
)
def test_commands_refuse_before_the_work(words: list[str], tmp_path: Path) -> None:
    named = {"IN": str(SAMPLES / "first-apron.svg")}
    typed = [named.get(word, str(tmp_path / word) if "." in word else word) for word in words]
    told = io.StringIO()
    assert run(typed, Terminal(io.StringIO(), told), lambda: 0.0) == 2
    said = told.getvalue()
    assert "is to be written there: let it end in ." in said
    assert not list(tmp_path.iterdir())
