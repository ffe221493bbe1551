# SPDX-License-Identifier: GPL-2.0-or-later
"""A table of cloth with a border: its lengths are those of layouts on it, and it says so."""

from __future__ import annotations

from typing import Any

import pytest

from extension.job.border import bands_of
from extension.language.errors import OptionError
from extension.requirements_table.bordered import OPEN_ALONE
from extension.requirements_table.page import page_of
from extension.requirements_table.sentences import notes
from extension.requirements_table.table import Table
from tests.helpers.svg_builder import SvgBuilder
from tests.helpers.tables import table_from


def gores(cut: str = "4", **said: str) -> SvgBuilder:
    """Return a gore, 300 mm wide at its hem and 600 mm long."""
    made = SvgBuilder("900mm", "900mm", (0, 0, 900, 900))
    given = {"name": "Gore", "cut": cut, "grain": "up", "hand": "same", "turns": "four-way", **said}
    made.add_path("M 110 10 H 210 L 310 610 H 10 Z", id="gore", lay=given)
    return made


def table(drawing: SvgBuilder, **typed: Any) -> Table:
    usual = {"widths": "110cm,150cm", "width_is": "usable", "nap": "without", "gap": "0mm"}
    return table_from(drawing, **{**usual, "border": "0cm,12cm", "spread": "longer", **typed})


def test_lengths_are_those_of_layouts_on_the_border() -> None:
    """Four hems of 300 mm on one line, however wide the cloth."""
    made = table(gores(border="hem"))
    assert [entry.cell.spread for entry in made.every] == ["open", "open"]
    found = [entry.bought.needed for entry in made.entries if entry.bought is not None]
    assert found == pytest.approx([1200.0, 1200.0], abs=1e-3)
    for entry in made.every:
        assert entry.planned.job.fabric.bands == bands_of(
            "lower 0cm, 12cm", entry.planned.job.fabric.width
        )
    said = notes(made)
    line = "Border 12 cm wide along the lower selvedge; on it lies Gore with the hem."
    assert any(one.startswith(line) for one in said)
    assert OPEN_ALONE in said
    assert OPEN_ALONE in page_of(made)


def test_folded_where_that_is_chosen_hems_lie_on_the_borders_of_both_layers() -> None:
    """Folded crosswise two gores at once stand on the border, which lies over itself."""
    pair = gores("2", border="hem", hand="mirrored")
    made = table(pair, spread="crosswise", widths="110cm")
    found = [entry.bought.needed for entry in made.entries if entry.bought is not None]
    assert found == pytest.approx([600.0], abs=1e-3)
    assert OPEN_ALONE not in notes(made)
    assert any("Border 12 cm wide along the lower selvedge" in line for line in notes(made))


def test_a_table_without_a_border_says_nothing_of_one_but_what_asks_for_it_is_named() -> None:
    plain = table(gores(border="hem"), border="", spread="open")
    assert OPEN_ALONE not in notes(plain)
    assert "Gore asks for a border (lay:border), but this cloth has none" in page_of(plain)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"border": "0cm,1.2m"}, "reaches farther than the cloth"),
        ({"border": "silk=0cm,9cm"}, "silk"),
        ({"repeat": "across=9cm"}, "leave out the repeat across, or the border"),
    ],
)
def test_a_border_that_no_cell_can_have_is_one_sentence(typed: dict[str, str], words: str) -> None:
    with pytest.raises(OptionError, match=words):
        table(gores(border="hem"), **typed)


def test_a_border_of_linings_alone_must_be_named() -> None:
    lining = gores("4 lining same", border="hem")
    with pytest.raises(OptionError, match="no cloth of the table has it"):
        table(lining)
    named = table(lining, border="lining=0cm,12cm", widths="110cm")
    assert named.entries[0].bought is not None
    assert named.entries[0].bought.needed == pytest.approx(1200.0, abs=1e-3)
