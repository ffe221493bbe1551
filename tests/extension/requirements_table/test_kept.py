# SPDX-License-Identifier: GPL-2.0-or-later
"""Finished cells in a folder: found again for the same work, and for nothing else."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from extension.language.errors import OptionError
from extension.requirements_table import kept
from extension.requirements_table.kept import Shelf
from nesting.jobs.validation import validated
from nesting.model import Fabric, Job, Layout, Piece
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers.layouts import no_time

JOB = validated(Job(Fabric(500.0), (Piece("a", ((0, 0), (90, 0), (70, 80), (0, 80)), cut=2),)))


@pytest.fixture(scope="module")
def layout() -> Layout:
    return solve(JOB, stop=AfterRounds(0), clock=no_time)


def test_a_kept_layout_is_found_again(tmp_path: Path, layout: Layout) -> None:
    Shelf(tmp_path / "kept").keep(JOB, 1, 20, layout)
    assert Shelf(tmp_path / "kept").find(JOB, 1, 20) == layout


def test_other_work_finds_nothing(tmp_path: Path, layout: Layout) -> None:
    shelf = Shelf(tmp_path)
    shelf.keep(JOB, 1, 20, layout)
    other = replace(JOB, fabric=replace(JOB.fabric, width=501.0))
    assert shelf.find(JOB, 2, 20) is None
    assert shelf.find(JOB, 1, 21) is None
    assert shelf.find(other, 1, 20) is None


def test_another_engine_finds_nothing(
    tmp_path: Path, layout: Layout, monkeypatch: pytest.MonkeyPatch
) -> None:
    Shelf(tmp_path).keep(JOB, 1, 20, layout)
    monkeypatch.setattr(kept, "ENGINE", "thriftlay 2.0")
    assert Shelf(tmp_path).find(JOB, 1, 20) is None


@pytest.mark.parametrize("damage", [b"", b"{}", b"\xff\xfe", b'{"format": "thriftlay-layout"'])
def test_a_damaged_file_counts_as_none(tmp_path: Path, layout: Layout, damage: bytes) -> None:
    shelf = Shelf(tmp_path)
    shelf.keep(JOB, 1, 20, layout)
    (file,) = tmp_path.iterdir()
    file.write_bytes(damage)
    assert shelf.find(JOB, 1, 20) is None


def test_an_edited_file_does_not_pass_the_judge(tmp_path: Path, layout: Layout) -> None:
    shelf = Shelf(tmp_path)
    on_top = tuple(replace(spot, x=0.0, y=0.0) for spot in layout.placements)
    shelf.keep(JOB, 1, 20, replace(layout, placements=on_top))
    assert shelf.find(JOB, 1, 20) is None


def test_the_rounds_of_a_table_are_kept_with_it(tmp_path: Path) -> None:
    shelf = Shelf(tmp_path)
    assert shelf.find_rounds([JOB], 0) is None
    shelf.keep_rounds([JOB], 0, [480])
    assert shelf.find_rounds([JOB], 0) == [480]
    assert shelf.find_rounds([JOB], 1) is None
    assert shelf.find_rounds([JOB, JOB], 0) is None
    for text in ('{"rounds": "many"}', '{"rounds": [0]}', '{"rounds": [1, 2]}', "[]", "no"):
        (file,) = tmp_path.iterdir()
        file.write_text(text, encoding="utf-8")
        assert shelf.find_rounds([JOB], 0) is None


def test_without_a_folder_nothing_is_kept(layout: Layout) -> None:
    shelf = Shelf(None)
    shelf.keep(JOB, 1, 20, layout)
    shelf.keep_rounds([JOB], 0, [480])
    assert shelf.find(JOB, 1, 20) is None
    assert shelf.find_rounds([JOB], 0) is None


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    for folder in (tmp_path / "file", tmp_path / "not there" / "kept"):
        with pytest.raises(OptionError, match="Finished work cannot be kept in"):
            Shelf(folder)
