# SPDX-License-Identifier: GPL-2.0-or-later
"""Lengths on plain cloth and with its design, beside each other."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest

from extension.job.matched import NO_POINTS, RULES
from extension.language.errors import OptionError
from extension.requirements_table.drawing import draw_table
from extension.requirements_table.figures import csv_of
from extension.requirements_table.laws import shortest
from extension.requirements_table.lending import lent_as_it_lies
from extension.requirements_table.matching import (
    FOLD_ON_LINE,
    ONE_WAY,
    OPEN_ALONE,
    columns_of,
    costs_more,
)
from extension.requirements_table.page import page_of
from extension.requirements_table.sentences import notes, pattern_notes, rows_text
from extension.requirements_table.table import Table
from extension.svg.leaves import read_leaves
from nesting.jobs.validation import validated
from nesting.judge.check import check
from nesting.model import Fabric, Job, Match, Piece, Repeat
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers.graded import tunic
from tests.helpers.layouts import no_time
from tests.helpers.tables import question_of, table_from

SIDE = "side along"
CHECKS = {"repeat": "along=8cm,across=6cm", "widths": "main=115cm,140cm; lining=140cm"}


def striped(match: str = SIDE, **typed: str) -> Table:
    return table_from(tunic(("S", "M"), match=match), **{**CHECKS, **typed})


def test_each_width_has_a_length_on_plain_cloth_and_one_with_the_design() -> None:
    table = striped()
    columns = columns_of(table.of("main"))
    assert [(one.width.typed, one.has_design) for one in columns] == [
        (1150.0, False),
        (1150.0, True),
        (1400.0, False),
        (1400.0, True),
    ]
    assert [one.has_design for one in columns_of(table.of("lining"))] == [False]
    for entry in table.of("main"):
        assert entry.bought is not None
        assert entry.layout is not None
        assert not check(entry.planned.job, entry.layout)
        if entry.cell.design is not None:
            more = costs_more(table, entry)
            plain = next(
                one for one in table.entries if one.cell == replace(entry.cell, design=None)
            )
            assert plain.layout is not None
            assert more == pytest.approx(entry.layout.length - plain.layout.length)
            # One repeat along is bought with it, as in a single layout.
            assert entry.bought.repeat == 80.0


def test_plain_cloth_never_needs_more_than_cloth_with_the_design() -> None:
    """By lending, even where the search on plain cloth was the worse one."""

    question, _ = question_of(tunic(("S",), match=SIDE), **CHECKS)
    jobs = [one.job for one in question.possible]
    layouts = [solve(job, stop=AfterRounds(0), clock=no_time) for job in jobs]
    plain = [k for k, one in enumerate(question.possible) if one.cell.design is None]
    worse = [
        replace(layout, length=layout.length + 2000.0) if k in plain else layout
        for k, layout in enumerate(layouts)
    ]
    best = shortest(jobs, worse)
    lengths = {
        one.cell: layout.length
        for one, layout in zip(question.possible, best, strict=True)
        if layout is not None
    }
    pairs = [
        (lengths[replace(cell, design=None)], length)
        for cell, length in lengths.items()
        if cell.design is not None
    ]
    assert pairs
    assert all(plain <= matched for plain, matched in pairs)


@pytest.mark.parametrize("spread", ["open", "lengthwise"])
def test_a_layout_by_a_design_is_one_on_wider_cloth_as_it_lies(spread: str) -> None:
    typed = {**CHECKS, "widths": "main=115cm,127cm", "spread": spread, "nap": "with"}
    question, _ = question_of(tunic(("S",), match="side"), **typed)
    narrow, wide = (one.job for one in question.possible if one.cell.design is not None)
    layout = solve(narrow, stop=AfterRounds(2), clock=no_time)
    lent = lent_as_it_lies(narrow, layout, wide)
    assert lent is None or not check(wide, lent)
    if spread == "open":
        assert lent is not None
        assert lent.placements == layout.placements
    plain = next(one.job for one in question.possible if one.cell.design is None)
    assert lent_as_it_lies(plain, solve(plain, stop=AfterRounds(0), clock=no_time), narrow) is None


def test_another_design_lends_nothing() -> None:
    outline = ((0.0, 0.0), (100.0, 0.0), (100.0, 80.0), (0.0, 80.0))
    piece = Piece("piece", outline, cut=2, match=(Match((10.0, 10.0), "side", "along"),))
    one, other = (
        validated(Job(Fabric(300.0, repeat=Repeat(along=along)), (piece,)))
        for along in (70.0, 60.0)
    )
    layout = solve(one, stop=AfterRounds(0), clock=no_time)
    assert lent_as_it_lies(one, layout, other) is None
    assert lent_as_it_lies(one, layout, one) is not None


def test_what_matching_costs_stands_beside_the_published_rules() -> None:
    table = striped()
    said = notes(table)
    assert RULES in said
    assert any(line.startswith("Design: repeat 8 cm along and 6 cm across, even") for line in said)
    (cost,) = [line for line in said if line.startswith("What matching takes more")]
    known = [more for entry in table.every if (more := costs_more(table, entry)) is not None]
    assert known
    page = page_of(table)
    for line in (RULES, cost):
        assert line in page
    assert page.count('scope="colgroup" colspan="2"') == 2
    assert page.count(">with the design</th>") == 2
    assert "Matching takes more" in page
    # Match points are used where the design is, whatever the columns beside say.
    assert not any("are not used" in line for line in pattern_notes(table))


def test_the_spreadsheet_tells_design_and_cost() -> None:
    table = striped()
    rows = list(csv.DictReader(io.StringIO(csv_of(table))))
    main = [row for row in rows if row["material"] == "main"]
    assert {row["design"] for row in main} == {"plain", "with the design"}
    assert {row["design"] for row in rows if row["material"] == "lining"} == {""}
    for row in main:
        if row["design"] == "plain":
            assert row["matching_mm"] == ""
            continue
        beside = next(
            one
            for one in main
            if one["design"] == "plain"
            and all(one[name] == row[name] for name in ("size", "booked_mm", "nap", "spread"))
        )
        more = float(row["needed_mm"]) - float(beside["needed_mm"])
        assert float(row["matching_mm"]) == pytest.approx(more, abs=0.11)


def test_the_drawing_and_the_terminal_have_both_columns() -> None:
    table, drawing = striped(), tunic(("S", "M"), match=SIDE)
    document = drawing.document()
    layer = draw_table(document, read_leaves(document), table)
    words = [" ".join("".join(node.itertext()).split()) for node in layer.iter("{*}text")]
    assert sum("with the design" in text for text in words if len(text) < 40) == 2
    told = [line for line in rows_text(table) if "main" in line]
    assert len(told) == 2 * 2 * 2 * 2
    assert sum(", with the design, " in line for line in told) == sum(
        ", plain, " in line for line in told
    )


def test_plain_tables_are_as_before() -> None:
    table = table_from(tunic(("S",)), widths="main=115cm")
    page = page_of(table)
    assert "colgroup" not in page
    assert "design" not in page.replace("designer", "").casefold()
    assert not any("design" in line for line in rows_text(table))


def test_a_design_with_one_way_up_has_no_length_without_nap() -> None:
    table = striped(uneven="yes")
    entries = [entry for entry in table.of("main") if entry.cell.design is not None]
    assert entries
    assert all(entry.cell.nap for entry in entries)
    assert ONE_WAY in notes(table)
    assert "–" in page_of(table)
    with pytest.raises(OptionError, match="one way up"):
        striped(uneven="yes", nap="without")


def test_an_uneven_design_is_not_folded_unasked() -> None:
    table = striped(uneven="yes", spread="longer", widths="main=140cm")
    ways = {entry.cell.spread for entry in table.every if entry.cell.design is not None}
    assert ways == {"open"}
    assert OPEN_ALONE in notes(table)
    asked = striped(uneven="yes", spread="lengthwise", widths="main=140cm", nap="with")
    assert any("is cut in one layer" in line for line in notes(asked))


def test_an_even_design_is_folded_on_its_lines() -> None:
    table = striped(spread="longer", widths="main=140cm", nap="with")
    folded = [
        entry.planned.job.fabric
        for entry in table.every
        if entry.cell.design is not None and entry.cell.spread == "lengthwise"
    ]
    assert folded
    assert all((fabric.sections[0].lower or 0.0) % 30.0 == pytest.approx(0.0) for fabric in folded)
    assert FOLD_ON_LINE in notes(table)


def test_without_match_points_it_is_told_that_nothing_is_matched() -> None:
    table = striped(match="")
    assert any(NO_POINTS in line for line in pattern_notes(table))
    assert not any(line.startswith("What matching takes") for line in notes(table))
    for entry in table.of("main"):
        if entry.cell.design is not None:
            assert costs_more(table, entry) == pytest.approx(0.0)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"repeat": "8cm"}, "write it like “along=8cm,across=6cm”"),
        ({"repeat": "", "uneven": "yes"}, "says nothing of cloth without a repeat"),
        ({"repeat": "along=8cm", "half_drop": "yes"}, "needs the repeat both"),
        ({"repeat": "felt=along=8cm"}, "No piece is cut from “felt”"),
        ({"repeat": "across=120cm"}, "wider than the cloth"),
        ({"repeat": "along=8cm", "first_line": "2cm"}, "no repeat across"),
    ],
)
def test_what_cannot_be_is_one_sentence(typed: dict[str, str], words: str) -> None:
    with pytest.raises(OptionError, match=words):
        striped(**typed)
