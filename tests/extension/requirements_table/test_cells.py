# SPDX-License-Identifier: GPL-2.0-or-later
"""Which cells a table of a drawing has, and what stands in the way of some."""

from __future__ import annotations

import pytest

from extension.language.errors import DrawingError, OptionError
from extension.requirements_table import cells as cells_module
from extension.requirements_table.cells import Question, ask
from extension.requirements_table.options import table_options
from extension.svg.leaves import read_leaves
from nesting.errors import JobError
from tests.helpers.garments import garment
from tests.helpers.graded import tunic
from tests.helpers.svg_builder import SvgBuilder


def question(drawing: SvgBuilder, widths: str = "90cm, 140cm", **typed: str) -> Question:
    options = table_options({"widths": widths, "spread": "open", **typed})
    return ask(read_leaves(drawing.document()), options)


def test_every_size_on_every_width_with_and_without_nap() -> None:
    found = question(tunic(), "main=90cm,115cm,140cm,150cm")
    assert len(found.cells) == 3 * 4 * 2
    assert [one.cell.sizes.title for one in found.cells[::8]] == ["S", "M", "L"]
    assert [one.cell.width.typed for one in found.cells[:4]] == [900, 1150, 1400, 1500]
    assert [one.cell.nap for one in found.cells[:8]] == [True] * 4 + [False] * 4
    assert found.missing == ("lining", "interfacing")


def test_the_job_of_a_cell_is_its_size_on_its_cloth() -> None:
    found = question(tunic(), "main=90cm,140cm", sizes="M")
    narrow, wide = (one.job for one in found.cells[:2])
    assert (narrow.fabric.width, wide.fabric.width, narrow.fabric.nap) == (875.0, 1375.0, True)
    names = {piece.name for piece in narrow.pieces}
    assert names == {"Front M", "Back M", "Sleeve M", "Yoke M", "Pocket"}


def test_pieces_without_a_size_are_cut_for_every_garment_of_a_set() -> None:
    found = question(tunic(), "main=140cm", sizes="S=2+L", nap="with")
    (one,) = found.cells
    garments = {piece.name: piece.garments for piece in one.job.pieces}
    assert garments["Pocket"] == 3
    assert (garments["Front S"], garments["Front L"]) == (2, 1)


def test_a_piece_for_a_range_of_sizes_is_cut_for_each_of_them() -> None:
    drawing = tunic(pocket=False)
    group = drawing.add_group(lay={"name": "Pocket", "cut": "2", "size": "S-M", "grain": "up"})
    drawing.add_rect(40, 900, 150, 180, group, id="pocket")
    found = question(drawing, "main=140cm", nap="with")
    held = {
        one.cell.sizes.title: {piece.name for piece in one.job.pieces if "Pocket" in piece.name}
        for one in found.cells
    }
    assert held == {"S": {"Pocket S-M"}, "M": {"Pocket S-M"}, "L": set()}
    (both,) = question(drawing, "main=140cm", sizes="S=2+M+L", nap="with").cells
    assert {p.name: p.garments for p in both.job.pieces}["Pocket S-M"] == 3
    bare = question(tunic(pocket=False), "main=140cm", nap="with").areas
    assert {key: found.areas[key] - area for key, area in bare.items()} == pytest.approx(
        {"s": 2 * 150 * 180, "m": 2 * 150 * 180, "l": 0.0}
    )


def test_every_material_has_its_own_widths_and_nap() -> None:
    found = question(tunic(), "140cm; interfacing=90cm", nap="both; lining=without", sizes="S")
    kinds = [(one.cell.material, one.cell.width.typed, one.cell.nap) for one in found.cells]
    assert kinds == [
        ("main", 1400.0, True),
        ("main", 1400.0, False),
        ("lining", 1400.0, False),
        ("interfacing", 900.0, True),
        ("interfacing", 900.0, False),
    ]


def test_a_drawing_without_sizes_is_one_row() -> None:
    found = question(garment(), "140cm")
    assert [one.cell.sizes.title for one in found.cells] == ["one size"] * 2


def test_a_piece_too_wide_for_narrow_cloth_leaves_a_hole_and_its_reason() -> None:
    found = question(tunic(), "main=45cm,140cm", nap="with")
    assert [bool(one.why_not) for one in found.cells] == [True, False] * 3
    assert "needs fabric at least" in found.cells[0].why_not
    assert len(found.possible) == 3


def test_a_table_of_holes_is_refused_with_the_reason() -> None:
    with pytest.raises(JobError, match="needs fabric at least"):
        question(tunic(), "main=20cm")


def test_only_the_selected_pieces_count() -> None:
    options = table_options({"widths": "main=90cm", "spread": "open"}, ["pocket"])
    found = ask(read_leaves(tunic().document()), options)
    assert [one.cell.sizes.title for one in found.cells] == ["one size"] * 2
    assert {piece.name for one in found.cells for piece in one.job.pieces} == {"Pocket"}


@pytest.mark.parametrize(
    ("typed", "kind", "words"),
    [
        ({"sizes": "XL"}, OptionError, "There is no size “XL”"),
        ({"widths": "felt=90cm"}, OptionError, "No piece is cut from “felt”"),
    ],
)
def test_what_is_not_in_the_drawing_is_told(
    typed: dict[str, str], kind: type[Exception], words: str
) -> None:
    with pytest.raises(kind, match=words):
        question(tunic(), **{"widths": "90cm", **typed})


def test_an_empty_drawing_is_told() -> None:
    with pytest.raises(DrawingError, match="There is no piece to lay out"):
        question(SvgBuilder())


def test_a_table_that_nobody_can_mean_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cells_module, "MOST_CELLS", 23)
    with pytest.raises(OptionError, match="would have 24 figures"):
        question(tunic(), "main=90cm,115cm,140cm,150cm")
