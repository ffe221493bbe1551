# SPDX-License-Identifier: GPL-2.0-or-later
"""Where the fold was, a thin dash-dot line says: centre, do not cut."""

from __future__ import annotations

import pytest
import shapely

from extension.drawn.centre import WORDS, centre_line
from extension.drawn.frames import mapped, onto_sheet, page_point
from extension.drawn.marks import DrawnMark, drawn_marks
from extension.job.plan import Cut
from extension.svg.pathdata import parse_path
from nesting.cloth.problem import outline_tuple
from nesting.geometry.shapes import whole_outline
from nesting.model import Placement
from tests.helpers.garments import garment
from tests.helpers.layouts import plan_of


def centre_of(
    cut: Cut, turn: float
) -> tuple[shapely.Polygon, tuple[DrawnMark, ...], list[DrawnMark]]:
    spot = Placement(cut.piece.id, (1,), 1, turn, False, 0.0, 0.0)
    matrix = onto_sheet(spot, cut.piece.grain, 1400.0)
    whole = outline_tuple(whole_outline(cut.piece))
    part = shapely.Polygon(mapped(matrix, tuple(map(page_point, whole))))
    marks = drawn_marks(cut.drawn, part, matrix)
    return part, marks, list(centre_line(cut.drawn, part, marks, matrix))


@pytest.mark.parametrize("turn", [0.0, 90.0, 180.0, 270.0])
def test_the_line_halves_the_part_and_its_words_lie_in_it_off_all_marks(turn: float) -> None:
    part, marks, (line, words) = centre_of(plan_of(garment().document()).cuts["back"], turn)
    (drawn,) = parse_path(line.element.get("d", ""))
    halves = part.difference(shapely.LineString([drawn.start, drawn.segments[0]]).buffer(1e-3))
    assert [half.area for half in halves.geoms] == pytest.approx([part.area / 2] * 2, rel=1e-3)
    assert "stroke-dasharray:14,3,1.5,3" in line.element.get("style", "")
    assert words.element[0].text == WORDS
    assert part.contains(words.area.buffer(-3.9))
    assert not any(mark.area.intersects(words.area.buffer(-4.1)) for mark in marks)


def test_a_piece_that_is_drawn_whole_has_no_such_line() -> None:
    _, _, found = centre_of(plan_of(garment().document()).cuts["front"], 0.0)
    assert found == []


def test_without_room_for_words_the_line_stands_alone() -> None:
    cut = plan_of(garment().document()).cuts["back"]
    part, marks, _ = centre_of(cut, 0.0)
    spot = Placement(cut.piece.id, (1,), 1, 0.0, False, 0.0, 0.0)
    matrix = onto_sheet(spot, cut.piece.grain, 1400.0)
    full = (*marks, DrawnMark(marks[0].element, part, is_text=True))
    assert len(centre_line(cut.drawn, part, full, matrix)) == 1
