# SPDX-License-Identifier: GPL-2.0-or-later
"""What a layout says of single pieces: where they are laid, and nothing that their labels deny."""

from __future__ import annotations

import pytest

from extension.job.plan import make_plan
from tests.helpers.cloth import between_selvedges
from tests.helpers.drawn import pattern, read, sheet


def test_a_missing_count_is_told_once_for_all() -> None:
    drawing = sheet()
    for number in range(3):
        drawing.add_rect(300 * number, 0, 200, 300, lay={"grain": "up"}, label=f"P{number}")
    notes = make_plan(read(drawing), between_selvedges(1400)).notes
    assert notes == ("P0, P1 and P2: each is cut once, since no count was read.",)


@pytest.mark.parametrize(
    ("label", "told"),
    [
        ("Front\ncut 2", "its label counts otherwise"),
        ("Front\ncut 1 lining", "its label counts otherwise"),
        ("Bag body\nCut 1 denim, 1 cotton", "not clear: “1 cotton” was not understood: does it"),
        ("Front\ncut 4\ncut 2", "not clear: How many of main: 4 or 2?"),
        ("Front\n2x doppelt", "not clear: “Double” may mean 2"),
        ("Front", "since no count was read"),
    ],
)
def test_a_count_that_only_the_label_has_is_not_called_missing(label: str, told: str) -> None:
    drawing = sheet()
    drawing.add_rect(0, 0, 200, 300, id="a", lay={"grain": "up", "name": "Front"})
    drawing.add_text(label, 40, 100, font_size=12)
    (note,) = read(drawing).pieces[0].notes
    assert note.startswith("“Front” (a) is cut once, ")
    assert told in note


@pytest.mark.parametrize("memory", ['{"cut": "1"}', None])
def test_a_count_that_was_read_from_an_unclear_label_is_told_until_it_is_set_by_hand(
    memory: str | None,
) -> None:
    drawing = sheet()
    set_before = {"read": memory} if memory else {}
    drawing.add_rect(
        0, 0, 200, 300, id="a", lay={"grain": "up", "name": "Bag", "cut": "1", **set_before}
    )
    drawing.add_text("Bag\nCut 1 denim, 1 cotton", 40, 100, font_size=12)
    notes = read(drawing).pieces[0].notes
    told = "“Bag” (a) is cut as it was read, though its label is not clear: “1 cotton” was not "
    assert [note[: len(told)] for note in notes] == ([told] if memory else [])


def test_texts_of_one_piece_that_count_differently_are_told() -> None:
    drawing = sheet()
    lay = {"grain": "up", "name": "Panel", "cut": "1", "read": '{"cut": "1"}'}
    drawing.add_rect(0, 0, 200, 300, id="a", lay=lay)
    drawing.add_text("Left panel\ncut 4", 20, 60, font_size=10)
    drawing.add_text("Right panel\ncut 2", 20, 200, font_size=10)
    (note,) = read(drawing).pieces[0].notes
    assert "“Left panel / cut 4” and “Right panel / cut 2” give different counts" in note


def test_nothing_is_told_of_a_piece_that_is_cut_once_as_its_label_says() -> None:
    drawing = sheet()
    drawing.add_rect(0, 0, 200, 300, id="a", lay={"grain": "up", "name": "Front"})
    drawing.add_text("Front\ncut 1", 40, 100, font_size=12)
    assert read(drawing).pieces[0].notes == ()


def test_what_is_said_of_a_piece_is_said_where_it_is_laid() -> None:
    drawing = pattern()
    drawing.add_rect(900, 10, 50, 50, id="patch", lay={"name": "Patch"})
    drawing.add_rect(900, 80, 50, 50, id="bag", lay={"cut": "2 lining", "grain": "up"})
    reading = read(drawing, no_grain="lay")
    main, lining = (
        make_plan(reading, between_selvedges(1400, material=name)).notes
        for name in ("main", "lining")
    )
    assert "“Patch” (patch) is laid as drawn, without a grainline." in main
    assert not [note for note in lining if "patch" in note.lower()]


def test_a_piece_whose_label_leaves_open_how_many_of_a_cloth_is_told_with_that_cloth() -> None:
    drawing = sheet()
    drawing.add_rect(0, 0, 200, 300, lay={"grain": "up", "cut": "2", "name": "Front"})
    lay = {"grain": "up", "cut": "2 lining", "name": "Cuff", "read": '{"cut": "2 lining"}'}
    drawing.add_rect(300, 0, 200, 100, id="cuff", lay=lay)
    drawing.add_text("Cuff\ncut 2 main\ncut 4 main\ncut 2 lining", 330, 30, font_size=10)
    reading = read(drawing)
    for name in ("main", "lining"):
        notes = make_plan(reading, between_selvedges(1400, material=name)).notes
        assert any("“Cuff” (cuff)" in one and "How many of main" in one for one in notes)


@pytest.mark.parametrize(
    ("second", "is_told"),
    [
        ({"x": 10.0}, True),
        ({"x": 10.0, "cut": "2 main; 1 lining"}, True),
        ({"x": 10.0, "cut": "2 lining"}, False),
        ({"x": 10.0, "size": "40"}, False),
        ({"x": 12.0}, False),
    ],
)
def test_pieces_that_lie_on_each_other_are_told(second: dict[str, object], is_told: bool) -> None:
    """As when one is pasted twice: both are laid, so that twice as much is cut."""
    drawing = sheet()
    attributes = {"name": "Front", "cut": "2", "grain": "up"}
    drawing.add_rect(10, 10, 200, 300, id="a", lay={**attributes, "size": "38"})
    own = {name: str(second[name]) for name in ("cut", "size") if name in second}
    x = float(str(second["x"]))
    drawing.add_rect(x, 10, 200, 300, id="b", lay={**attributes, "size": "38", **own})
    drawing.add_rect(500, 10, 50, 50, lay={"size": "40", "cut": "1", "grain": "up"})
    first, other, _ = read(drawing, sizes=("38", "40")).pieces
    assert first.notes == ()
    note = "“Front” (b) lies exactly on “Front” (a), and both are laid"
    assert [one.startswith(note) for one in other.notes] == ([True] if is_told else [])
