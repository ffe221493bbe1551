# SPDX-License-Identifier: GPL-2.0-or-later
"""How the cloth of a table lies: by default each length is enough open and folded lengthwise."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest

from extension.language.errors import OptionError
from extension.requirements_table.figures import csv_of
from extension.requirements_table.laws import shortest
from extension.requirements_table.lending import lent_as_it_lies
from extension.requirements_table.options import table_options
from extension.requirements_table.page import page_of
from extension.requirements_table.publisher import run_note
from extension.requirements_table.sentences import (
    BOTH_WAYS,
    SINGLE_LAYER,
    lies_text,
    notes,
)
from extension.requirements_table.table import Entry, Table, longest_ways
from nesting.jobs.validation import validated
from nesting.judge.check import check
from nesting.model import OPEN, Fabric, Job, Piece, Section
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder
from tests.helpers.tables import table_from


def band(cut: str = "2", *, symmetric: bool = False) -> SvgBuilder:
    """Return a drawing of a band 300 mm wide that is cut twice."""
    drawing = SvgBuilder("2000mm", "600mm", (0, 0, 2000, 600))
    group = drawing.add_group(id="band", lay={"name": "Band", "cut": cut})
    corner = "" if symmetric else "l -40 -30 "
    drawing.add_path(f"M 10 300 v -200 h 300 v 170 {corner}Z", group, id="outline")
    drawing.add_line((100, 280), (100, 150), group, lay={"role": "grainline"})
    return drawing


def needed(entry: Entry) -> float:
    assert entry.bought is not None
    return entry.bought.needed


def test_each_length_is_the_longer_of_open_and_folded_lengthwise() -> None:
    table = table_from(spread="longer")
    assert len(table.every) == 2 * len(table.entries)
    for entry in table.entries:
        opened, folded = entry.ways
        assert (opened.cell.spread, folded.cell.spread) == ("open", "lengthwise")
        assert needed(entry) == max(needed(opened), needed(folded))
    assert table.options.spreads_of("main") == ("open", "lengthwise")
    assert table_options({"widths": "90cm"}).spreads_of("main") == ("open", "lengthwise")
    assert lies_text(table) == BOTH_WAYS
    assert BOTH_WAYS in page_of(table)


def test_wider_cloth_and_cloth_without_nap_need_no_more_however_it_lies() -> None:
    table = table_from(spread="longer", widths="main=90cm,92cm,115cm,140cm")
    found = {(one.cell.sizes, one.cell.nap, one.cell.width.typed): one for one in table.entries}
    for (sizes, nap, width), entry in found.items():
        for (other_sizes, other_nap, narrower), other in found.items():
            if sizes == other_sizes and nap <= other_nap and narrower <= width:
                assert needed(entry) <= needed(other)


def test_it_is_told_where_open_cloth_would_need_less() -> None:
    table = table_from(spread="longer")
    less = [one for one in table.entries if needed(one.ways[0]) < needed(one)]
    said = [line for line in notes(table) if line.startswith("Laid open, ")]
    bought = [one for one in less if one.bought and one.ways[0].bought]
    fewer = [one for one in bought if one.ways[0].bought.metric < one.bought.metric]  # type: ignore[union-attr]
    words = f"Laid open, {len(fewer)} of {len(table.entries)} lengths would be less"
    assert [line.startswith(words) for line in said] == [True] * bool(fewer)
    assert not any("Laid open" in line for line in notes(table_from(spread="lengthwise")))


def test_what_was_not_worked_out_in_one_way_is_not_known() -> None:
    table = table_from(spread="longer")
    first = table.entries[0].ways
    lost = replace(first[1], layout=None, bought=None, why_not="Not worked out.")
    (entry,) = longest_ways([first[0], lost], table.options)
    assert (entry.bought, entry.why_not) == (None, "Not worked out.")


def test_where_nothing_can_be_cut_double_there_is_nothing_to_fold() -> None:
    drawing = band("1")
    table = table_from(drawing, spread="longer")
    assert {entry.cell.spread for entry in table.every} == {"open"}
    assert {entry.cell.spread for entry in table_from(band("2"), spread="longer").every} == {
        "open",
        "lengthwise",
    }
    # Asked for alone it is what is told, though all lies on the open cloth behind the fold.
    alone = table_from(drawing, spread="lengthwise")
    assert {entry.cell.spread for entry in alone.entries} == {"lengthwise"}


@pytest.mark.parametrize(
    ("spread", "words"),
    [
        ("open", SINGLE_LAYER),
        ("lengthwise", "Cloth folded lengthwise, right sides together; what cannot be cut double"),
        ("depth=20cm", "Cloth folded to a depth of 20 cm, right sides together;"),
        ("twice", "Cloth folded twice, right sides together;"),
    ],
)
def test_another_way_is_told_as_it_was_asked_for(spread: str, words: str) -> None:
    assert lies_text(table_from(spread=spread)).startswith(words)


def rows(table: Table) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(csv_of(table))))


def test_the_csv_has_both_lengths_and_says_which_is_shown() -> None:
    table = table_from(spread="longer")
    for row, entry in zip(rows(table), table.entries, strict=True):
        both = float(row["needed_open_mm"]), float(row["needed_folded_mm"])
        assert float(row["needed_mm"]) in both
        assert row["spread"] == entry.cell.spread
        assert both == tuple(
            pytest.approx(way.layout.length, abs=0.11) for way in entry.ways if way.layout
        )
    only = rows(table_from(spread="lengthwise"))
    assert all(row["needed_open_mm"] == "" and row["needed_folded_mm"] for row in only)


def test_the_same_table_again_needs_the_rounds_of_every_way() -> None:
    table = table_from(spread="longer", rounds=7)
    assert "--rounds 7 " in run_note(table)
    assert run_note(table).startswith("Every length: 7 rounds")


@pytest.mark.parametrize("word", ["compare", "folded", "depth=3m"])
def test_what_a_table_cannot_do_is_one_sentence(word: str) -> None:
    with pytest.raises(OptionError) as caught:
        table_from(spread=word)
    assert str(caught.value).endswith(".")


# --- what folded cells lend each other ----------------------------------------------------------

PIECES = (
    Piece("bow", ((0, 0), (310, 40), (290, 190), (20, 160)), cut=4),
    Piece("half", ((0, 0), (200, 0), (200, 90), (0, 60)), fold=((0, 0), (200, 0))),
    Piece("fin", ((0, 0), (170, 90), (30, 140)), cut=3),
)


def folded_job(width: float, section: Section, *, nap: bool = True) -> Job:
    return validated(Job(Fabric(width, gap=3.0, nap=nap, sections=(section, OPEN)), PIECES))


@pytest.mark.parametrize(
    "sections",
    [
        lambda width: Section(width / 2.0),
        lambda width: Section(0.0, width / 2.0),
        lambda width: Section(250.0),
        lambda width: Section(0.0, 250.0),
        lambda width: Section(width / 4.0, width / 4.0),
        lambda width: Section(None),
        lambda width: Section(crosswise=True, turned=True),
    ],
    ids=["half", "half, upper", "depth", "depth, upper", "twice", "searched", "crosswise"],
)
def test_wider_cloth_takes_what_narrower_cloth_needs(sections: object) -> None:
    narrow = folded_job(900.0, sections(900.0))  # type: ignore[operator]
    wide = folded_job(1000.0, sections(1000.0), nap=False)  # type: ignore[operator]
    if wide.fabric.sections[0].crosswise:
        wide = replace(wide, fabric=replace(wide.fabric, nap=True))
    layout = solve(narrow, stop=AfterRounds(0), clock=no_time)
    lent = lent_as_it_lies(narrow, layout, wide)
    assert lent is not None
    assert check(wide, lent) == ()
    assert lent.length == layout.length
    assert lent_as_it_lies(wide, lent, narrow) is None
    far = [layout, None]
    assert shortest([narrow, wide], far)[1] is not None


def test_cells_that_lie_in_another_way_lend_each_other_nothing() -> None:
    one, other = folded_job(900.0, Section(450.0)), folded_job(900.0, Section(200.0))
    plain = validated(Job(Fabric(900.0, gap=3.0), PIECES))
    layout = solve(one, stop=AfterRounds(0), clock=no_time)
    assert lent_as_it_lies(one, layout, plain) is None
    assert shortest([one, plain], [layout, None])[1] is None
    assert lent_as_it_lies(one, layout, replace(one, pieces=PIECES[:2])) is None
    deep = lent_as_it_lies(one, layout, other)
    assert deep is None or check(other, deep) == ()
