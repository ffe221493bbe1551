# SPDX-License-Identifier: GPL-2.0-or-later
"""Every report is as its schema says: nothing missing, nothing unnamed, every number with its unit.

The schemas are of draft 2020-12 and keep to what means the same in draft 7, which is what the
library reads that compares; both drafts are from memory.
"""

from __future__ import annotations

import io
import json
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any, get_args

import fastjsonschema
import pytest

from extension.commands.command_line import COMMANDS, parser, run
from extension.commands.terminal import Terminal
from extension.layouts.situation import Own
from extension.svg.building import path_data
from extension.svg.document import serialise
from nesting.judge.rules import RULES
from tests.helpers.broken import rectangle
from tests.helpers.chopping import edge_by_edge, edges
from tests.helpers.drafting.to_read import layered
from tests.helpers.edited import Edited
from tests.helpers.garments import garment, garment_of_materials
from tests.helpers.graded import tunic
from tests.helpers.layouts import no_time
from tests.helpers.marked import sheet
from tests.helpers.paged import Paging, as_drawing, cut
from tests.helpers.places import PROJECT
from tests.helpers.remnants import cloths, drawing_of, strips
from tests.helpers.svg_builder import SvgBuilder
from tests.helpers.truths import TrueLine, TrueWords, pieces

SCHEMAS = PROJECT / "extension" / "schemas"
SHARED = "parts"
KEYWORDS = {"$comment", "$schema", "$id", "$defs", "$ref", "title", "description", "unit"} | {
    "type", "properties", "required", "additionalProperties", "items", "minItems", "maxItems",
    "minimum", "exclusiveMinimum", "enum", "const", "anyOf", "if", "then", "else"
}  # fmt: skip
"""What the schemas are made of; all of it means the same in both drafts."""
BY_NAME = {"outlines", "sizes"}
"""Objects of ours whose keys are ids and sizes."""
Report = dict[str, Any]


def with_cloth() -> bytes:
    """Return pieces beside a drawn piece of cloth with a hole in it."""
    drawing = garment()
    left = drawing.add_group(id="rest", lay={"role": "cloth", "name": "Blue linen"})
    around, hole = "M 700 0 h 900 v 700 h -900 z", "M 1500 600 h 20 v 20 h -20 z"
    drawing.add_path(f"{around} {hole}", left, id="shape", fill_rule="evenodd")
    return _bytes(drawing)


def with_cloths() -> bytes:
    """Return a piece for two garments beside two remnants, each of which holds one of them."""
    return serialise(drawing_of(cloths(100, 90), strips(80)))


def _bytes(drawing: SvgBuilder) -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        return drawing.write(Path(folder) / "d.svg").read_bytes()


def bordered() -> bytes:
    """Return a piece whose hem lies on a border."""
    drawing = SvgBuilder("900mm", "900mm", (0, 0, 900, 900))
    said = {"name": "Gore", "cut": "2", "grain": "up", "hand": "same", "border": "hem"}
    drawing.add_path(
        "M 110 10 H 210 L 310 610 H 10 Z", id="gore", lay={**said, "turns": "four-way"}
    )
    return _bytes(drawing)


def edge_with_allowance() -> bytes:
    """Return a piece with a seam allowance of its own along one edge."""
    drawing = SvgBuilder("900mm", "900mm", (0, 0, 900, 900))
    group = drawing.add_group(id="p", lay={"name": "Panel", "cut": "1", "size": "38"})
    drawing.add_rect(10, 10, 100, 200, group, id="o")
    drawing.add_line((60, 180), (60, 40), group, id="g", lay={"role": "grainline"})
    drawing.add_line(
        (10, 210), (110, 210), group, id="e", lay={"role": "edge", "allowance": "40mm"}
    )
    drawing.add_rect(300, 10, 100, 100, id="no-grain", lay={"name": "Loose", "cut": "1"})
    return _bytes(drawing)


def matched() -> bytes:
    """Return two pieces whose notches lie alike in checks."""
    drawing = SvgBuilder("900mm", "900mm", (0, 0, 900, 900))
    for name, x in (("front", 30), ("back", 300)):
        group = drawing.add_group(id=name, lay={"name": name.title(), "cut": "1"})
        drawing.add_rect(x, 20, 190, 330, group, id=f"{name}-line")
        drawing.add_line((x + 90, 300), (x + 90, 60), group, id=f"{name}-g",
                         lay={"role": "grainline", "top": "end"})  # fmt: skip
        drawing.add_path(f"M {x} 140 h 8", group, id=f"{name}-notch", lay={"match": "side along"})
    return _bytes(drawing)


def in_two_sizes() -> bytes:
    """Return a garment in two sizes, one of which is too wide for narrow cloth."""
    return _bytes(tunic(("S", "L")))


def panels() -> bytes:
    """Return a panel that is cut twice: on narrow cloth one behind the other, on wide cloth not."""
    drawing = SvgBuilder("900mm", "900mm", (0, 0, 900, 900))
    said = {"name": "Panel", "cut": "2", "hand": "same", "grain": "up"}
    drawing.add_rect(10, 10, 300, 500, id="panel", lay=said)
    return _bytes(drawing)


def smock() -> bytes:
    """Return a smock in three sizes with nothing of ours on it: its notches suggest what meets."""
    return layered().text_file().encode()


def strip() -> bytes:
    """Return a strip that is cut twice, with its top at one end."""
    drawing = SvgBuilder("900mm", "900mm", (0, 0, 900, 900))
    drawing.add_rect(10, 10, 800, 60, id="strip", lay={"cut": "2", "grain": "up"})
    return _bytes(drawing)


def gusset() -> bytes:
    """Return a triangle that is cut twice: head to foot two of them make a rectangle."""
    drawing = SvgBuilder("900mm", "900mm", (0, 0, 900, 900))
    said = {"name": "Gusset", "cut": "2", "hand": "same", "grain": "up"}
    drawing.add_path("M 10 10 v 200 h 100 z", id="gusset", lay=said)
    return _bytes(drawing)


def several_layouts() -> bytes:
    """Return pieces with a layout on each material."""
    return _laid(_bytes(garment_of_materials()), *MATERIALS)


def wrong() -> bytes:
    """Return a layout on which a part lies over another."""
    edited = Edited()
    edited.transform("tab", 1, "translate(-10,180)")
    return edited.data


def in_dashes() -> bytes:
    """Return an outline in dashes, drawn twice, two that meet in a corner, and a stray line."""
    drawing = SvgBuilder("500mm", "500mm", (0, 0, 500, 500))
    for name in "ab":
        for number, part in enumerate(edge_by_edge(rectangle(10, 10, 150, 90), (6.0, 3.0))):
            data = path_data(part.tolist(), closed=False)
            drawing.add_path(data, id=f"{name}{number}", style="stroke:#000")
    for corner in (200.0, 300.0):
        for number, part in enumerate(edges(rectangle(corner, corner, 100, 100))):
            data = path_data(part.tolist(), closed=False)
            drawing.add_path(data, id=f"at{corner:.0f}-{number}", style="stroke:#000")
    drawing.add_line((20, 300), (60, 350), id="alone", style="stroke:#000")
    return _bytes(drawing)


def paged() -> bytes:
    """Return a pattern on two pages with a test square."""
    paging, truth = Paging(overlap=(10.0, 10.0)), pieces(2, 300.0, 250.0, 3)
    line = TrueLine(rectangle(120.0, 200.0, 50.0, 50.0), True)
    words = TrueWords("test square 5 x 5 cm", 145.0, 225.0, 4.0)
    truth = replace(truth, lines=(*truth.lines, line), words=(*truth.words, words))
    return as_drawing(cut(truth, paging), paging)


PLAIN = ("--fabric-width", "140cm", "--rounds", "1", "--workers", "1")
MATERIALS = ("--fabric-width", "main=90cm,lining=100cm,interfacing=60cm", "--rounds", "1",
             "--workers", "1", "--price", "main=12.50,lining=6")  # fmt: skip
TABLE = ("--widths", "main=45cm,140cm,142cm", "--merge-widths", "5cm", "--rounds", "1",
         "--workers", "1", "--spread", "each", "--nap", "with")  # fmt: skip
Sample = tuple[str, Callable[[], bytes], tuple[str, ...]]
SAMPLES: dict[str, Sample] = {
    "plain": ("lay-out", lambda: _bytes(garment()), PLAIN),
    "priced, with advice": ("lay-out", strip, (*PLAIN, "--price", "12.50", "--advice")),
    "folded": ("lay-out", lambda: _bytes(garment()),
               (*PLAIN, "--spread", "lengthwise", "--sides", "apart")),
    "several ways": ("lay-out", lambda: _bytes(garment()), (*PLAIN, "--spread", "compare")),
    "several materials": ("lay-out", lambda: _bytes(garment_of_materials()), MATERIALS),
    "given length": ("lay-out", lambda: _bytes(garment()), (*PLAIN, "--fabric-length", "2m")),
    "given length, too short": ("lay-out", gusset,
                                ("--fabric-width", "10cm", "--width-is", "usable", "--gap", "0mm",
                                 "--fabric-length", "25cm", "--rounds", "2", "--workers", "1")),
    "remnant": ("lay-out", with_cloth,
                ("--cloth", "Blue linen", "--rounds", "2", "--workers", "1")),
    "several remnants": ("lay-out", with_cloths,
                         ("--cloth", "c100", "--cloth", "c90", "--one-lot", "garment",
                          "--garments", "2", "--gap", "0mm", "--rounds", "2", "--workers", "1")),
    "border": ("lay-out", bordered, (*PLAIN, "--no-nap", "--border", "2cm,9cm")),
    "matched": ("lay-out", matched, (*PLAIN, "--repeat", "along=8cm,across=6cm",
                "--half-drop", "--uneven", "--first-line", "2cm", "--shrinkage-across", "2")),
    "flaw": ("lay-out", lambda: _bytes(garment()), (*PLAIN, "--flaw", "30cm,20cm,5cm,4cm")),
    "allowance of an edge": ("lay-out", edge_with_allowance,
                             (*PLAIN, "--allowance", "1cm", "--size", "38=2")),
    "checked": ("check", lambda: Edited().data, ()),
    "checked and wrong": ("check", wrong, ()),
    "several checked": ("check", several_layouts, ()),
    "compared": ("compare", several_layouts, ()),
    "nothing to tighten": ("tighten", lambda: _laid(_bytes(garment()), *PLAIN), ()),
    "tightened": ("tighten", wrong, ()),
    "joined": ("join-lines", in_dashes, ()),
    "read": ("read-markings", lambda: _bytes(sheet()), ()),
    "read, with notches": ("read-markings", smock, ("--match-notches",)),
    "put together": ("put-together", paged, ()),
    "table": ("requirements", in_two_sizes, TABLE),
    "table with prices": ("requirements", lambda: _bytes(garment_of_materials()),
                          ("--widths", "main=90cm;lining=100cm", *TABLE[4:8], "--nap", "with",
                           "--spread", "open", "--price", "main=12.50,lining=6")),
    "table with a jump": ("requirements", panels, (*TABLE[2:], "--widths", "50cm,75cm")),
    "table with a design": ("requirements", matched, (*TABLE, "--repeat", "along=8cm")),
}  # fmt: skip
"""By name: the command, its drawing, its words."""


def test_every_report_says_what_it_is() -> None:
    """A report of lay-out says so since the first version, that of compare is one of check."""
    own = {"lay-out": "thriftlay-report", "compare": "thriftlay-check"}
    for name, (command, _, _) in SAMPLES.items():
        report = json.loads(written(name))
        assert (report["format"], report["version"]) == (
            own.get(command, f"thriftlay-{command}"),
            1,
        )


@cache
def _laid(drawing: bytes, *words: str) -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        source, target = Path(folder, "in.svg"), Path(folder, "out.svg")
        source.write_bytes(drawing)
        typed = ["lay-out", str(source), "--output", str(target), *words]
        assert run(typed, Terminal(io.StringIO(), io.StringIO()), no_time) == 0
        return target.read_bytes()


@cache
def written(name: str) -> str:
    """Return the text of the report that a command writes for a sample."""
    command, drawing, words = SAMPLES[name]
    with tempfile.TemporaryDirectory() as folder:
        source, report = Path(folder, "in.svg"), Path(folder, "r.json")
        source.write_bytes(drawing())
        output = [] if command == "compare" else ["--output", str(Path(folder, "out.svg"))]
        err = io.StringIO()
        typed = [command, str(source), *output, "--report", str(report), *words]
        run(typed, Terminal(io.StringIO(), err), no_time)
        assert report.exists(), err.getvalue()
        return report.read_text(encoding="utf-8")


@cache
def schema(name: str) -> Report:
    found: Report = json.loads((SCHEMAS / f"{name}.json").read_text(encoding="utf-8"))
    return found


@cache
def validator(command: str) -> Callable[[Any], Any]:
    """Return what raises when a report is not as the schema of its command says."""
    found: Callable[[Any], Any] = fastjsonschema.compile(
        schema(command), handlers={"urn": lambda uri: schema(uri.rpartition(":")[2])}
    )
    return found


def names() -> list[str]:
    return sorted(file.stem for file in SCHEMAS.glob("*.json"))


def parts_of(value: Any) -> Iterator[Report]:
    """Yield every schema within a schema, itself too."""
    yield value
    for key in ("properties", "$defs"):
        for one in value.get(key, {}).values():
            yield from parts_of(one)
    for key in ("items", "additionalProperties", "if", "then", "else"):
        if isinstance(value.get(key), dict):
            yield from parts_of(value[key])
    for one in value.get("anyOf", ()):
        yield from parts_of(one)


EVERY = [part for name in names() for part in parts_of(schema(name))]
MAY_BE_MISSING = {
    key for one in EVERY for key in one.get("properties", ()) if key not in one["required"]
}


def objects(value: Any) -> Iterator[Report]:
    """Yield the objects of ours in a report, of every list the first and the last."""
    if isinstance(value, dict):
        yield value
        for key, one in value.items():
            if not (key in BY_NAME and isinstance(one, dict)):
                yield from objects(one)
    elif isinstance(value, list):
        for one in value[:1] + value[1:][-1:]:
            yield from objects(one)


def test_every_command_that_writes_a_report_has_its_schema() -> None:
    (choices,) = (one.choices for one in parser()._actions if one.choices)
    writes = {name for name, one in choices.items() if "--report" in one.format_help()}
    assert writes == set(names()) - {SHARED}
    assert writes == {command for command, _, _ in SAMPLES.values()} <= set(COMMANDS)


@pytest.mark.parametrize("name", SAMPLES)
def test_a_report_is_as_its_schema_says(name: str) -> None:
    validator(SAMPLES[name][0])(json.loads(written(name)))


@pytest.mark.parametrize("name", SAMPLES)
def test_a_field_that_is_missing_or_unnamed_is_found(name: str) -> None:
    report, judged = json.loads(written(name)), validator(SAMPLES[name][0])
    for one in objects(report):
        one["unheard-of"] = 1
        with pytest.raises(fastjsonschema.JsonSchemaValueException):
            judged(report)
        del one["unheard-of"]
        for key in [key for key in one if key not in MAY_BE_MISSING]:
            kept = dict(one)
            del one[key]
            with pytest.raises(fastjsonschema.JsonSchemaValueException):
                judged(report)
            one.clear()
            one.update(kept)
    judged(report)


def test_every_field_of_the_schemas_is_met_in_a_report() -> None:
    named = {key for one in EVERY for key in one.get("properties", ())}
    met = {key for name in SAMPLES for one in objects(json.loads(written(name))) for key in one}
    assert named - met == set()


def test_every_field_is_described_and_every_number_has_its_unit() -> None:
    for one in EVERY:
        for key, field in one.get("properties", {}).items():
            assert field.get("description", "").endswith("."), key
        kinds = one.get("type", ())
        if {"number", "integer"} & {*([kinds] if isinstance(kinds, str) else kinds)}:
            assert one.get("unit"), one
        if kinds == "object":
            assert "additionalProperties" in one, one
            assert one["additionalProperties"] is False or "properties" not in one, one


def test_the_schemas_keep_to_what_means_the_same_in_both_drafts() -> None:
    for name in names():
        assert schema(name)["$schema"] == "https://json-schema.org/draft/2020-12/schema"
        assert schema(name)["$id"] == f"urn:thriftlay:schema:{name}"
    for one in EVERY:
        assert one.keys() <= KEYWORDS, one
        assert "$ref" not in one or one.keys() <= {"$ref", "description"}, one


def test_the_kinds_of_faults_are_those_that_check_knows() -> None:
    (kind,) = (one["properties"]["kind"] for one in EVERY if "kind" in one.get("properties", {}))
    assert kind["enum"] == [rule.name for rule in RULES] + list(get_args(Own))
