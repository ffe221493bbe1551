# SPDX-License-Identifier: GPL-2.0-or-later
"""Labels within outlines that are not closed, writing seen from behind, outlines there twice."""

from __future__ import annotations

import pytest

from extension.drawn.review import draw_review
from extension.markings.proposals import Proposals
from extension.markings.proposing import propose
from extension.svg.leaves import read_leaves
from tests.helpers.svg_builder import SvgBuilder

LOOK = "fill:none;stroke:#000000;stroke-width:0.5"
BROKEN = {
    "one line, its ends 10 mm apart": ["M 250 240 H 330 V 300 H 250 V 250"],
    "one line, a side missing": ["M 250 240 H 330 V 300 H 250"],
    "four lines that end short": [
        "M 252 240 H 328",
        "M 330 243 V 298",
        "M 326 300 H 254",
        "M 250 297 V 244",
    ],
    "dashes": [f"M {x} {y} h 5" for x in range(250, 330, 10) for y in (240, 300)]
    + [f"M {x} {y} v 5" for y in range(240, 300, 10) for x in (250, 330)],
}


def read(lines: list[str], size: float = 4.0) -> Proposals:
    """Return what is read of a large piece beside lines round a label that is close to both."""
    drawing = SvgBuilder("600mm", "500mm", (0, 0, 600, 500))
    drawing.add_path("M 40 40 H 240 V 360 H 40 Z", id="large", style=LOOK)
    drawing.add_line((140, 60), (140, 340), id="grain", lay={"role": "grainline"})
    for data in lines:
        drawing.add_path(data, style=LOOK)
    drawing.add_text("Tab, cut 4", 252, 270, font_size=size)
    return propose(drawing.document())


@pytest.mark.parametrize("name", list(BROKEN))
def test_a_label_in_a_broken_outline_is_told_and_nobody_elses(name: str) -> None:
    read_here = read(BROKEN[name])
    (piece,) = read_here.pieces
    assert [one.cut for one in piece.demands] == [1]
    assert any(
        "“Tab, cut 4” stands where an outline is not closed" in one and "Join Broken Lines" in one
        for one in read_here.questions
    )
    assert len(read_here.unclosed) == 1


def test_without_those_lines_it_is_the_label_of_the_piece_beside_it() -> None:
    alone = read([])
    assert [one.cut for one in alone.pieces[0].demands] == [4]
    assert not alone.unclosed


def test_a_frame_round_pieces_is_no_broken_outline() -> None:
    framed = read(["M 30 30 H 345 V 370 H 30 V 40"])
    assert [one.cut for one in framed.pieces[0].demands] == [4]
    assert not framed.unclosed


def test_the_review_has_a_sign_where_the_label_stands() -> None:
    drawing = SvgBuilder("600mm", "500mm", (0, 0, 600, 500))
    drawing.add_path("M 50 40 H 330 V 300 H 50 V 50", style=LOOK)
    drawing.add_text("Tab, cut 4", 152, 170, font_size=4)
    document = drawing.document()
    draw_review(document, read_leaves(document), propose(document))
    (sign,) = document.root.xpath("//*[@*='the outline round this is not closed']")
    (box,) = sign.iter("{*}rect")
    assert 140 < float(box.get("x", "")) < 152
    assert 150 < float(box.get("y", "")) < 170


@pytest.mark.parametrize(
    ("transform", "cut", "is_told"),
    [
        ("scale(-1 1)", "cut 1", True),
        ("scale(-1 1)", "cut 3", True),
        ("scale(-1 1)", "cut 2", False),
        ("rotate(180)", "cut 1", False),
    ],
)
def test_writing_seen_from_behind_asks_for_a_look(transform: str, cut: str, is_told: bool) -> None:
    """Of a mirrored pair it does not matter."""
    drawing = SvgBuilder("600mm", "500mm", (-600, -500, 1200, 1000))
    group = drawing.add_group(transform=transform)
    drawing.add_path("M 40 40 H 240 V 360 H 40 Z", group, id="front", style=LOOK)
    drawing.add_line((140, 60), (140, 340), group, lay={"role": "grainline"})
    drawing.add_text(f"Front\n{cut}", 60, 100, group, font_size=10)
    (piece,) = propose(drawing.document()).pieces
    assert any("mirrored" in want for want in piece.wants) == is_told
    assert piece.is_complete != is_told


def test_hundreds_of_copies_on_each_other_are_one_line() -> None:
    drawing = SvgBuilder("600mm", "500mm", (0, 0, 600, 500))
    for number in range(120):
        drawing.add_path("M 40 40 H 240 V 360 H 40 Z", id=f"p{number}", style=LOOK)
    drawing.add_text("Front\ncut 1", 60, 100, font_size=10)
    told = [one for one in propose(drawing.document()).questions if "on itself" in one]
    assert len(told) == 1
    assert told[0].startswith("“Front” (p0): it is there 120 times")
