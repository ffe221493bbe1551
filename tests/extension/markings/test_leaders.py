# SPDX-License-Identifier: GPL-2.0-or-later
"""A label beside a piece, or on another one, with a line that leads to the piece it belongs to."""

from __future__ import annotations

import pytest

from extension.markings.proposals import Proposal
from extension.markings.proposing import propose
from tests.helpers.svg_builder import SvgBuilder

LOOK = "fill:none;stroke:#000000;stroke-width:0.5"
HEAD = f"{LOOK};marker-end:url(#h)"
LEADERS = {
    "straight, into the piece": [("M 330 236 L 292 262", HEAD)],
    "ending on the outline": [("M 330 236 L 300 250", LOOK)],
    "ending before it": [("M 330 236 L 303 250", LOOK)],
    "with a shelf": [("M 380 238 H 328 L 295 262", LOOK)],
    "in two lines": [("M 380 238 H 328", LOOK), ("M 328 238 L 295 262", HEAD)],
    "drawn towards the label": [("M 292 262 L 330 236", LOOK)],
}


def sheet(lines: list[tuple[str, str]]) -> dict[str, Proposal]:
    """Return what is read of a large piece and a small one; the label of this lies by the large."""
    drawing = SvgBuilder("600mm", "500mm", (0, 0, 600, 500))
    drawing.add_path("M 40 40 H 240 V 360 H 40 Z", id="large", style=LOOK)
    drawing.add_path("M 250 240 H 300 V 300 H 250 Z", id="small", style=LOOK)
    drawing.add_path("M 420 40 H 560 V 360 H 420 Z", id="other", style=LOOK)
    drawing.add_text("Front\ncut 1", 80, 100, font_size=10)
    drawing.add_text("Tab, cut 4", 332, 236, font_size=10)
    drawing.add_text("Back\ncut 2", 450, 100, font_size=10)
    for data, look in lines:
        drawing.add_path(data, style=look)
    return {piece.id: piece for piece in propose(drawing.document()).pieces}


@pytest.mark.parametrize("name", list(LEADERS))
def test_a_label_belongs_to_the_piece_that_its_line_leads_to(name: str) -> None:
    pieces = sheet(LEADERS[name])
    assert pieces["small"].name == "Tab"
    assert [one.cut for one in pieces["small"].demands] == [4]
    assert pieces["small"].grain is None
    assert [one.cut for one in pieces["large"].demands] == [1]
    assert [one.cut for one in pieces["other"].demands] == [2]


def test_without_the_line_the_label_is_nobodys() -> None:
    assert "small" not in sheet([])


def test_a_label_on_another_piece_goes_where_its_line_leads() -> None:
    drawing = SvgBuilder("600mm", "500mm", (0, 0, 600, 500))
    drawing.add_path("M 40 40 H 240 V 360 H 40 Z", id="large", style=LOOK)
    drawing.add_path("M 250 240 H 300 V 300 H 250 Z", id="small", style=LOOK)
    drawing.add_text("Front\ncut 1", 80, 100, font_size=10)
    drawing.add_text("Tab, cut 4", 150, 270, font_size=10)
    drawing.add_path("M 201 268 L 270 270", style=HEAD)
    pieces = {piece.id: piece for piece in propose(drawing.document()).pieces}
    assert [one.cut for one in pieces["small"].demands] == [4]
    assert [one.cut for one in pieces["large"].demands] == [1]


def test_an_arrow_beside_the_label_of_its_own_piece_stays_its_grainline() -> None:
    drawing = SvgBuilder("600mm", "500mm", (0, 0, 600, 500))
    drawing.add_path("M 40 40 H 240 V 360 H 40 Z", id="large", style=LOOK)
    drawing.add_text("Front\ncut 1", 80, 100, font_size=10)
    drawing.add_path("M 90 118 L 90 300", style=f"{LOOK};marker-start:url(#h);marker-end:url(#h)")
    (piece,) = propose(drawing.document()).pieces
    assert piece.grain in (90.0, 270.0)


def test_one_label_for_two_pieces() -> None:
    pieces = sheet([("M 330 236 L 292 262", LOOK), ("M 382 236 L 430 262", LOOK)])
    assert [one.cut for one in pieces["small"].demands] == [4]
    assert any("different counts" in want for want in pieces["other"].wants)
