# SPDX-License-Identifier: GPL-2.0-or-later
"""A piece that a chosen size lacks is told, where other sizes have it."""

from __future__ import annotations

import pytest

from extension.job.reading import ReadRequest, read_pieces
from extension.svg.leaves import read_leaves
from tests.helpers.svg_builder import SvgBuilder

LACKS = " has no "


def told(chosen: tuple[str, ...], *pieces: tuple[str, str]) -> list[str]:
    """Return what is said of pieces, given by name and size, that a chosen size lacks."""
    drawing = SvgBuilder("2000mm", "300mm", (0, 0, 2000, 300))
    for number, (name, size) in enumerate(pieces):
        lay = {"cut": "2", "grain": "up", **({"name": name} if name else {})}
        lay |= {"size": size} if size else {}
        drawing.add_rect(20 + 150 * number, 20, 120, 200, lay=lay)
    reading = read_pieces(read_leaves(drawing.document()), ReadRequest(sizes=chosen or None))
    return [note for note in reading.notes if LACKS in note]


FRONTS = (("Front", "36"), ("Front", "38"), ("Front", "40"))


def test_a_piece_of_one_size_alone_is_told_with_the_others() -> None:
    (note,) = told(("38", "40"), *FRONTS, ("Cuff", "36"))
    assert note.startswith("Size 38 and 40 has no “Cuff”: drawn in size 36 alone.")
    (note,) = told(("36", "38"), *FRONTS, ("Cuff", "36"), ("Tab", "36"))
    assert note.startswith("Size 38 has no “Cuff” and “Tab”: drawn in size 36 alone.")


@pytest.mark.parametrize(
    "cuff", [("Cuff", ""), ("Cuff", "36-40"), ("Cuff", "36, 38"), ("cuff", "38"), ("", "36")]
)
def test_what_the_size_has_is_not(cuff: tuple[str, str]) -> None:
    assert not told(("38",), *FRONTS, cuff)


def test_nothing_is_told_of_the_size_that_has_it_or_where_there_is_one() -> None:
    assert not told(("36",), *FRONTS, ("Cuff", "36"))
    assert not told((), ("Front", "36"), ("Cuff", "36"))


def test_names_in_the_editor_may_differ_from_size_to_size() -> None:
    drawing = SvgBuilder("2000mm", "300mm", (0, 0, 2000, 300))
    for number, size in enumerate(("36", "38")):
        lay = {"cut": "2", "grain": "up", "size": size}
        drawing.add_rect(20 + 150 * number, 20, 120, 200, label=f"front {size}", lay=lay)
    reading = read_pieces(read_leaves(drawing.document()), ReadRequest(sizes=("36",)))
    assert not any(LACKS in note for note in reading.notes)
