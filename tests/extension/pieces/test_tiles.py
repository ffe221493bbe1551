# SPDX-License-Identifier: GPL-2.0-or-later
"""Frames of the pages that a sheet is printed on are told from pieces that lie side by side."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest

from extension.pieces.outlines import ClosedShape
from extension.pieces.tiles import page_frames
from nesting.model import Outline
from tests.helpers.drawn import box, read, reasons, shape, sheet

PIECE: Outline = ((60, 40), (330, 60), (340, 420), (50, 400))
"""A piece across four pages."""


def pages(wide: float, high: float, overlap: float = 0.0, turn: float = 0.0) -> list[ClosedShape]:
    """Return the frames of two rows of three pages, turned about the corner of the first."""
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    corners = [
        box(column * (wide - overlap), row * (high - overlap), wide, high)
        for row in range(2)
        for column in range(3)
    ]
    return [shape(*((x * cos - y * sin, x * sin + y * cos) for x, y in one)) for one in corners]


def frames(shapes: Sequence[ClosedShape], claimed: Sequence[int] = ()) -> set[int]:
    return page_frames(shapes, [index in claimed for index in range(len(shapes))])


@pytest.mark.parametrize(("overlap", "turn"), [(0.0, 0.0), (10.0, 0.0), (-5.0, 0.0), (8.0, 17.0)])
def test_frames_of_pages_that_a_piece_crosses_are_all_frames(overlap: float, turn: float) -> None:
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    piece = shape(*((x * cos - y * sin, x * sin + y * cos) for x, y in PIECE))
    assert frames([*pages(190.0, 277.0, overlap, turn), piece]) == {0, 1, 2, 3, 4, 5}


def test_patches_of_a_quilt_side_by_side_are_pieces() -> None:
    assert frames(pages(120.0, 120.0)) == set()
    assert frames([*pages(120.0, 120.0), shape(*box(30, 30, 20, 20))]) == set()


def test_what_says_that_it_is_a_piece_is_none_and_a_single_page_is_no_row() -> None:
    every = [*pages(190.0, 277.0), shape(*PIECE)]
    assert frames(every, claimed=range(6)) == set()
    assert frames([every[0], every[-1]]) == set()


def test_page_frames_are_not_laid_and_are_told() -> None:
    drawing = sheet()
    drawing.add_path("M 60 40 L 330 60 L 340 420 L 50 400 Z", id="front")
    for row in range(2):
        for column in range(3):
            drawing.add_rect(190 * column, 277 * row, 190, 277, id=f"page-{row}{column}")
    found = read(drawing)
    assert [piece.id for piece in found.pieces] == ["front"]
    assert set(reasons(found).values()) == {"frame"}


def test_a_frame_round_all_of_a_small_page_is_no_piece() -> None:
    drawing = sheet()
    drawing.add_rect(5, 5, 280, 270, id="frame")
    for name, x, y in (("front", 15, 20), ("back", 150, 20), ("sleeve", 15, 150)):
        drawing.add_path(f"M {x} {y} l 40 8 l 4 80 h -44 z", id=name)
    found = read(drawing)
    assert [piece.id for piece in found.pieces] == ["front", "back", "sleeve"]
    assert reasons(found) == {"frame": "frame"}
