# SPDX-License-Identifier: GPL-2.0-or-later
"""What titles call pieces that nobody gave a name."""

from __future__ import annotations

from tests.helpers.drawn import piece, read, sheet


def test_titles_tell_no_id_that_a_program_made() -> None:
    """The id stays in files; what a person wrote as an id is a name to her."""
    drawing = sheet()
    for number, name in enumerate(("path837", "rect12-3", "pocket", "left-2")):
        drawing.add_rect(400 * number, 0, 300, 500, id=name)
    drawing.add_rect(1600, 0, 300, 500, id="path9", lay={"name": "Sleeve"})
    pieces = read(drawing, "path837", "rect12-3", "pocket", "left-2", "path9").pieces
    assert [(one.id, one.name) for one in pieces] == [
        ("path837", "No name 1"),
        ("rect12-3", "No name 2"),
        ("pocket", "pocket"),
        ("left-2", "left-2"),
        ("path9", "Sleeve"),
    ]
    assert [one.called.startswith("the ") for one in pieces] == [True] * 4 + [False]


def test_one_piece_without_a_name_needs_no_number() -> None:
    drawing = sheet()
    drawing.add_rect(0, 0, 300, 500, id="rect1")
    assert piece(drawing).name == "No name"
