# SPDX-License-Identifier: GPL-2.0-or-later
"""Cloth with a border: typed, kept with the layout, drawn, told, checked, tightened, published."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.diagram.page import page
from extension.job.border import bands_of, border_by_material, border_text
from extension.job.options import LayOutOptions, changed_options, options_from_text
from extension.job.settings import options_of, settings_text
from extension.job.wishes import wishes_from_text
from extension.language.errors import DrawingError, OptionError
from extension.language.names import lay
from extension.layouts.layers import layout_layers
from extension.operations.check import check_layouts
from extension.operations.lay_out import Outcome, lay_out
from extension.operations.running import Run
from extension.operations.tighten import tighten_layout
from extension.svg.document import Document, parse, serialise
from nesting.errors import JobError
from nesting.model import Band
from nesting.stop import AfterRounds
from tests.helpers.cloth import between_selvedges
from tests.helpers.diagrams import sections_of
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder

HEM = {"border": "hem", "turns": "four-way"}


def gores(**said: str) -> SvgBuilder:
    """Return a gore, 300 mm wide at its hem and 600 mm long, cut four times, with its top up."""
    made = SvgBuilder("900mm", "900mm", (0, 0, 900, 900))
    given = {"name": "Gore", "cut": "4", "grain": "up", "hand": "same", **HEM, **said}
    given = {name: text for name, text in given.items() if text}
    made.add_path("M 110 10 H 210 L 310 610 H 10 Z", id="gore", lay=given)
    return made


def cloth(**values: Any) -> LayOutOptions:
    usual = {"gap": 0.0, "nap": False, "border": "lower 0cm, 12cm"}
    return between_selvedges(1000.0, rounds=2, **{**usual, **values})


def laid(drawing: SvgBuilder | None = None, **values: Any) -> Outcome:
    made = drawing or gores()
    return lay_out(made.document(), cloth(**values), Run(no_time, AfterRounds(2)))


@pytest.fixture(scope="module")
def bordered() -> Outcome:
    return laid()


def test_hems_lie_on_the_border_and_the_summary_says_so(bordered: Outcome) -> None:
    assert bordered.report["length"] == pytest.approx(1200.0, abs=1e-3)
    line = "Border 12 cm wide along the lower selvedge, tinted on the cloth; on it lies Gore with"
    assert any(said.startswith(line) for said in bordered.summary)
    assert not check_layouts(parse(bordered.drawing)).report["violations"]


def test_the_border_is_drawn_where_it_lies(bordered: Outcome) -> None:
    label = "{http://www.inkscape.org/namespaces/inkscape}label"
    (strip,) = [
        node for node in parse(bordered.drawing).root.iter("{*}rect") if node.get(label) == "border"
    ]
    # The sheet counts from the upper selvedge.
    assert (float(strip.get("y")), float(strip.get("height"))) == (880.0, 120.0)
    plain = laid(border="")
    assert not [node for node in parse(plain.drawing).root.iter() if node.get(label) == "border"]


def moved(outcome: Outcome, down: float) -> Document:
    """Return the drawing with the first gore moved by some mm towards the upper selvedge."""
    document = parse(outcome.drawing)
    (part,) = [
        node
        for node in document.root.iter("{*}g")
        if node.get(lay("of")) == "gore" and node.get(lay("copy")) == "1"
    ]
    matrix = part.get("transform", "")
    part.set("transform", f"translate(0,{-down:g}) {matrix}".strip())
    return document


def test_check_tells_by_how_much_a_part_is_off_the_border_and_tighten_brings_it_back(
    bordered: Outcome,
) -> None:
    document = moved(bordered, 23.0)
    checked = check_layouts(document)
    (broken,) = checked.report["violations"]
    assert (broken["kind"], round(broken["amount"], 3)) == ("border", 23.0)
    assert any(
        "Gore (1 of 4) lies with its hem 23 mm off the border" in line for line in checked.summary
    )
    assert "1 part off the border" in checked.summary[0]
    document = moved(bordered, 23.0)
    made = tighten_layout(document, layout_layers(document)[0].id, Run(no_time, AfterRounds(5)))
    assert made.drawing is not None
    after = parse(made.drawing)
    assert not check_layouts(after, [made.report["layer"]]).report["violations"]
    assert any("1 part off the border" in line for line in made.summary)


def test_the_diagram_shows_the_border_and_the_table_what_lies_on_it(bordered: Outcome) -> None:
    made = page(sections_of(parse(bordered.drawing)))
    assert made.count('class="border"') == 1
    assert "Tinted strip: border of the cloth" in made
    assert made.count("<td>hem</td>") == 4
    with pytest.raises(DrawingError, match="1 part off the border"):
        page(sections_of(moved(bordered, 23.0)))


def test_the_border_is_kept_with_the_layout_and_can_be_taken_away(bordered: Outcome) -> None:
    (layer,) = layout_layers(parse(bordered.drawing))
    assert layer.options.border == "lower 0cm, 12cm"
    assert changed_options(layer.options, {"border": "none"}).border == ""
    assert options_of(settings_text(layer.options, {})) == layer.options
    assert "border" not in json.loads(settings_text(cloth(border=""), {}))["options"]


def test_a_wish_or_a_border_that_nobody_answers_is_told() -> None:
    wish = laid(border="").summary
    assert any("Gore asks for a border (lay:border), but this cloth has none" in s for s in wish)
    alone = laid(gores(border=""), border="both 1cm, 3cm").summary
    where = "from 10 mm to 3 cm off the lower selvedge and from 10 mm to 3 cm off the upper"
    assert any(line.startswith(f"Borders {where} selvedge") for line in alone)
    assert any("No piece asks for the border" in line for line in alone)


@pytest.mark.parametrize(
    ("said", "values", "words"),
    [
        ({"turns": ""}, {}, "let it lie across the grain, choose another edge"),
        ({}, {"nap": True}, "let it lie across the grain on nap as well"),
    ],
)
def test_what_cannot_lie_on_the_border_is_refused_by_name(
    said: dict[str, str], values: dict[str, Any], words: str
) -> None:
    with pytest.raises(JobError, match=rf"Gore.* with its hem on the border.*{words}"):
        laid(gores(**said), **values)


@pytest.mark.parametrize(
    ("typed", "kept", "bands"),
    [
        ("0cm,12cm", "lower 0cm, 12cm", (Band("lower", 0.0, 120.0),)),
        ("0, 12cm", "lower 0, 12cm", (Band("lower", 0.0, 120.0),)),
        ("1,5cm to 12cm", "lower 1,5cm, 12cm", (Band("lower", 15.0, 120.0),)),
        ("Upper: 1in, 5in", "upper 1in, 5in", (Band("upper", 974.6, 873.0),)),
        ("both 0cm,12cm", "both 0cm, 12cm", (Band("lower", 0, 120), Band("upper", 1000, 880))),
        ("upper1in,5in", "upper 1in, 5in", (Band("upper", 974.6, 873.0),)),
        ("none", "", ()),
    ],
)
def test_a_typed_border_counts_from_the_selvedge(
    typed: str, kept: str, bands: tuple[Band, ...]
) -> None:
    assert border_text(typed) == kept
    assert border_text(kept) == kept
    found = bands_of(kept, 1000.0)
    assert [band.name for band in found] == [band.name for band in bands]
    for one, other in zip(found, bands, strict=True):
        assert (one.line, one.to) == pytest.approx((other.line, other.to))


def test_each_material_has_its_own_border_and_linings_none_unless_told() -> None:
    assert border_by_material("main=0cm,12cm; lining=none") == {
        "main": "0cm, 12cm",
        "lining": "none",
    }
    for typed, borders in (("0cm,9cm", [True, False]), ("lining=0cm,9cm", [False, True])):
        wishes = wishes_from_text({"fabric_width": "140cm", "border": typed})
        found = wishes.options({"main": 1, "lining": 1})
        assert [bool(one.border) for one in found] == borders
    alone = wishes_from_text({"fabric_width": "140cm", "border": "0cm,9cm", "material": "lining"})
    assert alone.options({"lining": 1})[0].border


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"border": "12cm"}, "does not tell two lengths"),
        ({"border": "0cm,5cm,9cm"}, "does not tell two lengths"),
        ({"border": "0cm, wide"}, "“wide” is not a length"),
        ({"border": "12cm,0cm"}, "ends no farther from the selvedge than it begins"),
        ({"border": "0cm,2m"}, "reaches farther than the cloth"),
        ({"border": "-1cm,2cm"}, "begins beyond the selvedge"),
        ({"border": "0cm,9cm", "repeat": "across=9cm"}, "so would a repeat across: leave out"),
    ],
)
def test_a_border_that_cannot_be_used_is_one_sentence(typed: dict[str, str], words: str) -> None:
    with pytest.raises(OptionError, match=words):
        options_from_text({"fabric_width": "140cm", **typed})


def test_the_terminal_takes_a_border(tmp_path: Path) -> None:
    source, report = tmp_path / "in.svg", tmp_path / "r.json"
    source.write_bytes(serialise(gores().document()))
    words = ["lay-out", str(source), "--output", str(tmp_path / "out.svg"), "--report", str(report)]
    words += ["--fabric-width", "140cm", "--no-nap", "--rounds", "1", "--border", "2cm,9cm"]
    told = io.StringIO()
    assert run(words, Terminal(told, io.StringIO()), no_time) == 0
    assert "Border from 2 cm to 9 cm off the lower selvedge" in told.getvalue()
    assert json.loads(report.read_text("utf-8"))["options"]["border"] == "lower 2cm, 9cm"
