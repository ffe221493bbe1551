# SPDX-License-Identifier: GPL-2.0-or-later
"""From a drawing to its pieces, whole."""

from __future__ import annotations

from pathlib import Path

import pytest

from extension.document import parse
from extension.leaves import read_leaves
from extension.model import DrawnPiece, Reading
from extension.reading import ReadRequest, read_pieces


def read_sample(path: Path) -> Reading:
    return read_pieces(read_leaves(parse(path)), ReadRequest())


@pytest.mark.parametrize(
    ("name", "count"),
    [("first-apron", 4), ("lined-jacket", 15), ("inch-trousers", 6), ("wrap-skirt", 7)],
)
def test_every_piece_of_a_tidy_sample_is_read(samples: Path, name: str, count: int) -> None:
    reading = read_sample(samples / f"{name}.svg")
    assert len(reading.pieces) == count
    assert reading.left_out == ()
    assert all(piece.top_certain for piece in reading.pieces)


def by_id(reading: Reading) -> dict[str, DrawnPiece]:
    return {piece.id: piece for piece in reading.pieces}
