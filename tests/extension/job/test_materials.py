# SPDX-License-Identifier: GPL-2.0-or-later
"""The materials of a drawing, counted by pieces, and how a wrong one is answered."""

from __future__ import annotations

import pytest

from extension.job.materials import check_materials, materials_in, materials_text
from extension.job.reading import ReadRequest, read_pieces
from extension.language.errors import OptionError
from extension.pieces.model import Reading
from extension.svg.leaves import read_leaves
from tests.helpers.garments import garment_of_materials


def reading() -> Reading:
    return read_pieces(read_leaves(garment_of_materials().document()), ReadRequest())


def test_materials_are_counted_by_pieces_the_main_one_first() -> None:
    assert materials_in([reading()]) == {"main": 2, "lining": 2, "interfacing": 1}
    assert list(materials_in([reading()])) == ["main", "lining", "interfacing"]


def test_a_piece_that_is_read_for_several_sizes_counts_once() -> None:
    assert materials_in([reading(), reading()]) == materials_in([reading()])


def test_a_sentence_counts_them() -> None:
    told = materials_text({"main": 2, "lining": 1})
    assert told == "main (2 pieces) and lining (1 piece)"


def test_a_material_that_nothing_is_cut_from_is_told_with_those_there_are() -> None:
    present = {"main": 2, "lining": 1}
    check_materials(("lining",), present)
    with pytest.raises(OptionError, match=r"No piece is cut from “felt”: .* main \(2 pieces\) and"):
        check_materials(("main", "felt"), present)
