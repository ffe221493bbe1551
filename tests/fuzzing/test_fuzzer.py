# SPDX-License-Identifier: GPL-2.0-or-later
"""The fuzzer finds what it looks for; and a small share of its drawings, the same in every run.

More of them, by any seed: `python -m tests.fuzzing`. Budget: half a minute for the file.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from random import Random

import pytest
import shapely
import shapely.affinity
from lxml import etree

from tests.fuzzing import commands, running, workday
from tests.fuzzing.cloth_judging import on_its_cloth
from tests.fuzzing.commands import Came, judged, run_command
from tests.fuzzing.grammar import KINDS
from tests.fuzzing.hand_edits import BROKEN, CLEAN, EDITS, edited
from tests.fuzzing.judging import clear_faults, fresh_layout, same_originals
from tests.fuzzing.reading import (
    LAY,
    Part,
    drawn_parts,
    layers_of,
    outlines_of,
    parts_of,
    points_of,
)
from tests.fuzzing.shapes import outline
from tests.fuzzing.sheets import Drawn, Sheet, half_on_fold
from tests.fuzzing.smaller import smallest
from tests.helpers.garments import garment

SHARE = 30
"""Drawings that the suite runs: one of each kind at least."""


def quiet(command: str, words: Sequence[str], data: bytes) -> None:
    """Hear of a run."""


@pytest.mark.slow
@pytest.mark.parametrize("number", range(SHARE))
def test_a_drawing_goes_through_every_command_without_a_fault(number: int, tmp_path: Path) -> None:
    day = workday.workday(1, number, tmp_path / "here", quiet)
    assert [fault.name for fault, _, _ in day.faults] == []
    assert day.runs.total() >= 5


def test_the_drawings_of_a_seed_are_the_same_in_every_run() -> None:
    for number in range(2 * len(KINDS)):
        one, two = workday.drawing_of(5, number), workday.drawing_of(5, number)
        assert (one[0], one[1].data) == (two[0], two[1].data)
    assert workday.drawing_of(5, 0)[1].data != workday.drawing_of(6, 0)[1].data


# --- what the judge of drawings sees ------------------------------------------------------------

LAID = ["--fabric-width", "90cm", "--rounds", "1", "--workers", "1"]
TAB = (frozenset(("tab",)), 2, 16.0 * 30.0)
"""The tab of the garment: cut twice, 16 by 30 mm."""


@pytest.fixture(scope="module")
def laid(tmp_path_factory: pytest.TempPathFactory) -> Came:
    came = run_command("lay-out", garment().data(), LAID, tmp_path_factory.mktemp("laid"))
    assert came.code == 0
    assert came.faults == []
    return came


def changed(data: bytes, change: Callable[[etree._Element], None]) -> bytes:
    root = etree.fromstring(data)
    change(root)
    return etree.tostring(root)


def tab(root: etree._Element) -> etree._Element:
    return next(one for one in parts_of(layers_of(root)[-1]) if one.get(f"{LAY}of") == "tab")


@pytest.mark.parametrize("more", [["--gap", "0mm"], ["--gap", "3mm"], ["--no-nap"]])
def test_what_is_cut_double_keeps_off_a_crosswise_fold(more: list[str], tmp_path: Path) -> None:
    pair = (
        b'<svg xmlns="http://www.w3.org/2000/svg" xmlns:lay="urn:thriftlay:1" width="200mm" '
        b'height="200mm" viewBox="0 0 200 200"><path lay:cut="2" d="M10,10 h60 l20,150 h-100 z"/>'
        b"</svg>"
    )
    words = [*LAID, "--spread", "crosswise", *more]
    came = run_command("lay-out", pair, words, tmp_path)
    assert came.drawing is not None
    assert [one["crosswise"] for one in came.report["sections"] if one["length"]] == [True]
    assert list(fresh_layout(None, came.drawing, came.report)) == []
    longer = {**came.report, "length": came.report["length"] + 8.0}
    (fault,) = fresh_layout(None, came.drawing, longer)
    assert fault.startswith("the parts reach")


def test_a_layout_is_read_back_and_what_is_wrong_with_it_is_seen(laid: Came) -> None:
    drawn = Drawn(b"", [], [TAB])
    data, report = laid.drawing, laid.report
    assert data is not None
    assert list(fresh_layout(drawn, data, report)) == []
    assert len(drawn_parts(layers_of(etree.fromstring(data))[-1])) == 5

    def found(change: Callable[[etree._Element], None]) -> list[str]:
        return list(fresh_layout(drawn, changed(data, change), report))

    far = "translate(5000 0)"
    assert "the parts reach" in found(lambda root: tab(root).set("transform", far))[0]
    up = "translate(0 -2000)"
    assert found(lambda root: tab(root).set("transform", up)) == ["a part lies across a selvedge"]
    assert any(
        "is drawn with" in one
        for one in found(lambda root: outlines_of(tab(root))[0].set("width", "9"))
    )
    gone = found(lambda root: tab(root).getparent().remove(tab(root)))  # type: ignore[union-attr]
    assert any("4 parts are drawn" in one for one in gone)
    assert any("lies there 1 times" in one for one in gone)
    scaled = found(lambda root: layers_of(root)[-1].set("transform", "scale(1.001)"))
    assert any("a metre of the layout is 1001" in one for one in scaled)


def test_what_lies_on_two_layers_counts_by_its_copies_and_a_half_on_the_fold_is_half(
    tmp_path: Path,
) -> None:
    sheet = Sheet(Random(3))
    sheet.piece(cut=2)
    sheet.piece(points=half_on_fold(outline(Random(4))), fold=True, cut=1)
    drawn = sheet.done()
    words = [*LAID, "--spread", "lengthwise"]
    came = run_command("lay-out", drawn.data, words, tmp_path / "here")
    assert came.drawing is not None
    assert len(drawn_parts(layers_of(etree.fromstring(came.drawing))[-1])) == 2
    assert list(fresh_layout(drawn, came.drawing, came.report)) == []
    (pair,) = [part for part in _sources(came.drawing) if part.get(f"{LAY}copy") == "1 2"]

    def lost(root: etree._Element) -> None:
        for node in root.iter(etree.Element):
            if node.get(f"{LAY}of") == pair.get(f"{LAY}of"):
                node.set(f"{LAY}copy", "1")

    fewer = list(fresh_layout(drawn, changed(came.drawing, lost), came.report))
    assert "a piece that is cut 2 times lies there 1 times" in fewer


def _sources(data: bytes) -> list[etree._Element]:
    return [outlines_of(part)[0] for part in parts_of(layers_of(etree.fromstring(data))[-1])]


def test_a_part_over_a_flaw_and_one_beside_its_border_are_seen() -> None:
    root = etree.fromstring(
        '<svg xmlns:lay="urn:thriftlay:1"><g id="a" lay:border="hem"/>'
        '<g id="b" lay:hidden="yes"/><g id="c"/>'
        '<use id="d" href="#b"/><use id="e" href="#e"/></svg>'
    )
    report = {"width": 400.0, "options": {"flaws": [[[0, 0], [50, 0], [50, 50], [0, 50]]]}}

    def found(of: str, *corners: float) -> list[str]:
        return list(on_its_cloth(root, [Part(of, "1", shapely.box(*corners))], report))

    assert found("c", 40, 300, 90, 390) == ["a part lies over a flaw"]
    assert found("b", 40, 300, 90, 390) == []
    assert found("d", 40, 300, 90, 390) == []
    assert found("use-1", 40, 300, 90, 390) == []
    assert found("e", 40, 300, 90, 390) == ["a part lies over a flaw"]
    assert found("c", 50, 300, 90, 390) == []
    assert found("c", 0, 300, 90, 350) == []
    report["options"] = {"border": "lower 3cm,7cm"}
    assert found("a", 0, 300, 90, 370) == []
    assert found("a", 0, 300, 90, 371) == ["a part misses the border by 1.000 mm"]
    assert found("c", 0, 300, 90, 371) == []
    report["options"] = {"border": "both 1in, 2in"}
    assert found("a", 0, 25.4, 90, 300) == []
    assert found("a", 0, 300, 90, 374.6) == []
    assert found("a", 0, 26, 90, 300) == ["a part misses the border by 0.600 mm"]


def test_overlaps_and_gaps_are_seen_by_a_tenth_of_a_millimetre(laid: Came) -> None:
    root = etree.fromstring(laid.drawing or b"")
    part = drawn_parts(layers_of(root)[-1])[0]
    low_x, _, high_x, _ = part.shape.bounds

    def beside(apart: float) -> list[str]:
        moved = shapely.affinity.translate(part.shape, high_x - low_x + apart, 0.0)
        return list(clear_faults([part, type(part)("x", "1", moved)], 3.0))

    assert beside(3.0) == []
    assert beside(2.8) == ["two parts are nearer than the gap"]
    assert beside(-10.0) == ["two parts overlap"]


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        (lambda root: None, []),
        (lambda root: root[0].set(f"{LAY}cut", "3"), []),
        (lambda root: root.append(etree.Element("{http://www.w3.org/2000/svg}g")), []),
        (lambda root: root[0][1][0].set("id", "new"), ["<path> is gone"]),
        (lambda root: root[0][0].set("transform", "scale(1)"), ["<g> has other attributes"]),
        (lambda root: root[0].remove(root[0][0]), ["<g> is gone"]),
        (lambda root: root[0].append(root[0][0]), ["<g> is gone or has changed its place"]),
    ],
    ids=["nothing", "ours", "added", "id", "attribute", "gone", "moved"],
)
def test_changes_to_what_was_there_are_seen(
    change: Callable[[etree._Element], None], expected: list[str]
) -> None:
    data = garment().data()
    found = list(same_originals(data, changed(data, change)))
    assert len(found) == len(expected)
    assert all(one.startswith(told) for one, told in zip(found, expected, strict=True))


def test_a_part_and_a_note_that_a_command_took_away_are_missed(laid: Came) -> None:
    data = laid.drawing or b""
    assert list(same_originals(data, data)) == []
    less = changed(data, lambda root: tab(root).getparent().remove(tab(root)))  # type: ignore[union-attr]
    assert list(same_originals(data, less)) == ["a part on a layout is gone or changed"]

    def note(root: etree._Element) -> None:
        EDITS["noted"](Random(1), layers_of(root)[-1], tab(root))

    assert list(same_originals(changed(data, note), data)) == [
        "a thing of hers on a layout is gone or changed"
    ]


def test_a_run_that_misbehaves_is_a_fault(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def run(line: Sequence[str], terminal: object, clock: object) -> int:
        (tmp_path / "here" / "stray.txt").write_text("!")
        raise ZeroDivisionError

    monkeypatch.setattr(commands.command_line, "run", run)
    came = run_command("check", b"<svg/>", [], tmp_path / "here")
    assert [fault.name for fault in came.faults] == ["ZeroDivisionError in ?"]

    def quiet_run(line: Sequence[str], terminal: object, clock: object) -> int:
        (tmp_path / "here" / "stray.txt").write_text("!")
        return 0

    monkeypatch.setattr(commands.command_line, "run", quiet_run)
    came = run_command("check", b"<svg/>", [], tmp_path / "here")
    assert [fault.kind for fault in came.faults] == [
        "says nothing",
        "wrote ['stray.txt'] instead of ['out.svg', 'report.json']",
    ]


@pytest.mark.parametrize(
    ("said", "faults"),
    [
        ("Needs nan m.", ["says nan"]),
        ("Needs it all, None.", ["says None"]),
        ("1. Banana and page nanny overlap.", []),
        ("1. “nan” lies off the cloth.", []),
        ("Piece inf overlaps Piece Infinity.", ["says Infinity"]),
    ],
)
def test_no_sentence_has_words_of_a_program(
    said: str, faults: list[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def run(line: Sequence[str], terminal: object, clock: object) -> int:
        print(said)
        return 0

    monkeypatch.setattr(commands.command_line, "run", run)
    drawing = b'<svg><g id="a" label="Piece inf" style="stroke-width:nan"/></svg>'
    came = run_command("check", drawing, [], tmp_path / "here")
    assert [f.kind for f in came.faults if f.kind.startswith("says")] == [
        f"{kind}: {said}" for kind in faults
    ]


def test_what_cannot_be_read_back_is_a_fault() -> None:
    came = Came("lay-out", 0, {"out.svg": b"<svg", "report.json": b"{}"})
    judged(came, b"<svg/>")
    assert came.faults[0].kind.startswith("cannot be read back: XMLSyntaxError")
    came = Came("lay-out", 0, {"out.svg": b"<svg/>", "report.json": b'{"a": NaN}'})
    judged(came, b"<svg/>")
    assert "NaN is no JSON" in came.faults[0].text


# --- edits, watching, making smaller ------------------------------------------------------------


@pytest.mark.parametrize("name", EDITS)
def test_every_edit_leaves_a_drawing_that_can_be_read(laid: Came, name: str) -> None:
    random = Random(name)
    root = etree.fromstring(laid.drawing or b"")
    layer = layers_of(root)[-1]
    EDITS[name](random, layer, parts_of(layer)[0])
    assert etree.tostring(root) != laid.drawing


def test_edits_say_what_check_must_find(laid: Came) -> None:
    expected = {edited(Random(k), laid.drawing or b"", 1)[2] for k in range(20)}
    assert {CLEAN, BROKEN} <= expected


def test_what_never_ends_is_ended_and_the_rest_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(running, "SECONDS", 0.5)

    def task(number: int, folder: Path, tell: running.Tell) -> int:
        tell("check", ["--layer", str(number)], b"<svg/>")
        while number == 1:
            pass
        return number * 10

    came = dict(running.watched(task, [0, 1, 2]))
    assert (came[0], came[2]) == (0, 20)
    fault = came[1]
    assert isinstance(fault, running.Found)
    assert fault.fault.name == "check: endless"
    assert fault.words == ("check", "--layer", "1")


def test_a_process_that_breaks_down_is_a_fault_of_its_drawing() -> None:
    def task(number: int, folder: Path, tell: running.Tell) -> int:
        tell("hold", [], b"")
        if number == 1:
            raise SystemExit(3)
        return number

    came = dict(running.watched(task, [0, 1, 2]))
    assert isinstance(came[1], running.Found)
    assert came[1].fault.name == "hold: the process broke down"
    assert came[2] == 2


def test_a_drawing_is_made_as_small_as_its_fault_allows() -> None:
    data = b"<svg><g><a/><b><c/></b></g><d/></svg>"
    assert smallest(data, lambda one: b"<c/>" in one) == b"<svg><g><b><c/></b></g></svg>"
    assert smallest(data, lambda one: False) == data
    assert smallest(b"<svg", lambda one: True) == b"<svg"


def test_the_reader_takes_an_arc_beyond_all_numbers_for_its_chord() -> None:
    path = etree.fromstring('<path d="M 0 0 h 80 v 40 a 1e308,1e308 0 0 1 -80 40 z"/>')
    assert points_of(path) == [(0.0, 0.0), (80.0, 0.0), (80.0, 40.0), (0.0, 80.0), (0.0, 0.0)]


@pytest.mark.parametrize(
    ("data", "lowest"),
    [
        # By hand, as SVG 2 says: behind a curve of the other kind the control is at its end.
        ("M 0 0 Q 10 20 20 0 S 30 20 40 0 Z", 0.0),
        ("M 0 0 C 0 20 20 20 20 0 T 40 0 Z", 0.0),
        ("M 0 0 Q 10 20 20 0 T 40 0 Z", -10.0),
        ("M 0 0 C 0 20 20 20 20 0 S 40 -20 40 0 Z", -15.0),
    ],
)
def test_smooth_curves_are_read_as_the_standard_says(data: str, lowest: float) -> None:
    points = points_of(etree.fromstring(f'<path d="{data}"/>'))
    assert min(y for _, y in points) == pytest.approx(lowest, abs=0.01)


def test_a_line_of_ours_before_an_element_without_id_is_no_change_of_it() -> None:
    before = b'<svg><path id="a" d="M0 0"/><path d="M1 1"/></svg>'
    line = b'<path id="a-grainline" d="M5 5"/>'
    after = before.replace(b'<path d="M1 1"/>', line + b'<path d="M1 1" id="path-2"/>')
    assert list(same_originals(before, after)) == []
    changed_one = after.replace(b"M1 1", b"M1 2")
    assert list(same_originals(before, changed_one)) == ["<path> is gone or has changed its place"]
