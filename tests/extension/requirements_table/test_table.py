# SPDX-License-Identifier: GPL-2.0-or-later
"""The table: laws on what is shown, marks, holes, and where the length jumps."""

from __future__ import annotations

from itertools import groupby

import pytest

from extension.language.rounding import metric_text, purchase, yard_text
from extension.requirements_table.publisher import run_note
from extension.requirements_table.sentences import (
    NOTHING,
    SINGLE_LAYER,
    jump_text,
    lengths_text,
    marks_text,
    notes,
    pattern_notes,
    rows_text,
)
from extension.requirements_table.table import NOT_WORKED_OUT, Entry, Table, table_of
from extension.requirements_table.work import Worked
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder
from tests.helpers.tables import pulled_apart, question_of, table_from


def shown(entry: Entry) -> float:
    assert entry.bought is not None
    return entry.bought.needed


def rows(table: Table) -> list[list[Entry]]:
    """Return the entries of each row, by width."""
    parts = groupby(table.entries, key=lambda e: (e.cell.material, e.cell.sizes, e.cell.nap))
    return [list(entries) for _, entries in parts]


def test_on_wider_cloth_no_more_is_shown_and_without_nap_no_more_than_with() -> None:
    table = table_from()
    for row in rows(table):
        assert [shown(e) for e in row] == sorted((shown(e) for e in row), reverse=True)
    found = {(e.cell.sizes, e.cell.width, e.cell.nap): shown(e) for e in table.entries}
    for (size, width, nap), length in found.items():
        if nap:
            assert found[size, width, False] <= length


def test_no_larger_size_is_shown_with_less() -> None:
    table = table_from()
    for entry in table.entries:
        for other in table.entries:
            same = (entry.cell.width, entry.cell.nap) == (other.cell.width, other.cell.nap)
            if same and "S" in entry.cell.sizes.title and "L" in other.cell.sizes.title:
                assert shown(other) >= shown(entry)


def one_square(size: str, side: float, x: float, drawing: SvgBuilder) -> None:
    group = drawing.add_group(id=f"square-{size}", lay={"name": "Square", "size": size, "cut": "4"})
    drawing.add_rect(x, 10, side, side, group, id=f"outline-{size}")
    drawing.add_line((x + side / 2, side), (x + side / 2, 20), group, lay={"role": "grainline"})


def squares() -> SvgBuilder:
    """Four squares of 400 mm, or of 401: on cloth of 805 mm two lie side by side in both sizes."""
    drawing = SvgBuilder("2000mm", "600mm", (0, 0, 2000, 600))
    one_square("1", 400.0, 10.0, drawing)
    one_square("2", 401.0, 600.0, drawing)
    return drawing


def squares_table(raise_sizes: str = "yes") -> Table:
    """The smaller size is unlucky: a row of four instead of two by two."""
    question, options = question_of(squares(), widths="83cm", nap="with", raise_sizes=raise_sizes)
    small, large = (one.job for one in question.possible)
    first = [solve(job, stop=AfterRounds(0), clock=no_time) for job in (small, large)]
    assert [round(one.length, 3) for one in first] == [803.0, 805.0]
    worked = Worked([pulled_apart(first[0], 1000.0), first[1]], [True, True], ["", ""], [200, 200])
    return table_of("", question, worked, options)


def test_a_larger_size_that_came_out_shorter_is_raised_and_marked() -> None:
    small, large = squares_table().entries
    assert (small.raised_from, shown(small)) == (None, 1000.0)
    assert large.raised_from == small.cell.sizes
    assert shown(large) == 1000.0
    assert large.layout is not None
    assert large.layout.length == pytest.approx(805.0)  # what was needed is kept
    assert marks_text(large) == "†"
    assert any(line.startswith("† Raised to") for line in notes(squares_table()))


def test_raising_can_be_left_out() -> None:
    small, large = squares_table("no").entries
    assert shown(large) < shown(small)
    assert large.raised_from is None


def test_a_piece_too_wide_is_a_hole_with_its_reason() -> None:
    table = table_from(widths="main=40cm,140cm", nap="with")
    hole = table.entries[0]
    assert (hole.layout, hole.bought) == (None, None)
    assert lengths_text(hole) == (NOTHING, "")
    assert any(hole.why_not in line for line in notes(table))
    assert hole.why_not in rows_text(table)[0]


def test_a_cell_that_was_not_worked_out_says_so() -> None:
    table = table_from(change=lambda number, layout: None, nap="with", sizes="S", widths="90cm")
    assert {entry.why_not for entry in table.entries} == {NOT_WORKED_OUT}


def test_a_missing_cell_takes_what_narrower_cloth_can_do() -> None:
    table = table_from(
        change=lambda number, layout: layout if number == 0 else None, nap="with", sizes="S"
    )
    assert [shown(entry) for entry in table.entries] == [shown(table.entries[0])] * 3


def test_the_length_jumps_where_pieces_fit_side_by_side() -> None:
    # Four squares of 400 mm with a gap of 3 mm: two rows from 803 mm between the selvedges on,
    # and that is 828 mm with a selvedge of 12.5 mm on each side; below it one row of four.
    table = table_from(squares(), sizes="1", nap="with", widths="60cm, 90cm")
    narrow, wide = table.entries
    assert (narrow.jumps, wide.jumps, marks_text(wide)) == (False, True, "*")
    (jump,) = table.jumps
    assert jump.enough_from == pytest.approx(828.0)
    assert jump_text(jump) == (
        "Size 1, main, with nap: 1.70 m / 1 7/8 yd on cloth 60 cm wide; 0.90 m / 1 yd is enough "
        "from 83 cm on."
    )


def test_a_length_that_follows_the_area_does_not_jump() -> None:
    table = table_from(squares(), sizes="1", nap="with", widths="90cm, 91cm")
    assert table.jumps == ()


def test_what_is_bought_is_needed_and_end_allowance_divided_by_what_shrinkage_leaves() -> None:
    plain = table_from(sizes="S", nap="with").entries[0]
    shrunk = table_from(sizes="S", nap="with", shrinkage="5%").entries[0]
    assert plain.bought == purchase(
        shown(plain), system="metric", rounding="10cm", end_allowance=50.0
    )
    assert shrunk.bought is not None
    assert float(shrunk.bought.metric) >= (shown(plain) + 50.0) / 0.95


def test_every_table_says_how_the_cloth_lies_first() -> None:
    assert notes(table_from(nap="with", sizes="S"))[0] == SINGLE_LAYER
    assert "cutting on folded cloth may need more" in SINGLE_LAYER


def test_widths_and_lengths_say_what_was_taken_off_and_added() -> None:
    metric = " ".join(notes(table_from(sizes="S")))
    assert "12.5 mm of selvedge comes off each side" in metric
    assert "5 cm in all for uneven ends" in metric
    assert "rounded up to 10 cm and 1/8 yd" in metric
    inches = " ".join(notes(table_from(sizes="S", widths="45in")))
    assert "1/2 in of selvedge comes off each side" in inches
    assert "2 in in all for uneven ends" in inches
    bare = notes(table_from(sizes="S", selvedge="0mm", end_allowance="0cm"))
    assert "nothing was taken off" in bare[1]
    assert "nothing for uneven ends" in bare[2]


def test_materials_without_a_width_are_named() -> None:
    said = " ".join(notes(table_from(sizes="S")))
    assert "Not in this table, for want of a width: lining and interfacing." in said


def test_both_systems_are_rounded_from_the_exact_length() -> None:
    entry = table_from(sizes="S", nap="with", widths="main=45in").entries[0]
    assert entry.bought is not None
    both = yard_text(entry.bought.yards), metric_text(entry.bought.metric)
    assert lengths_text(entry) == both


def test_the_run_can_be_made_again_from_what_is_said() -> None:
    table = table_from(sizes="S", seed="7")
    assert "The same again with: --rounds 200 --seed 7." in run_note(table)
    assert "Seam allowance: included in the drawing." in pattern_notes(table)


def test_lengths_that_were_stopped_are_counted_but_no_holes() -> None:
    question, options = question_of(squares(), widths="90cm", nap="with")
    first = solve(question.possible[0].job, stop=AfterRounds(0), clock=no_time)
    worked = Worked([first, None], [False, False], ["", ""], [20, 0])
    table = table_of("", question, worked, options)
    assert "1 length was stopped before that" in run_note(table)
