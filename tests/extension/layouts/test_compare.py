# SPDX-License-Identifier: GPL-2.0-or-later
"""Layouts side by side."""

from __future__ import annotations

import copy

from lxml import etree

from extension.language.names import lay
from extension.layouts.compare import HEAD, Row, aligned, table
from extension.layouts.layers import layout_layers
from extension.operations.check import compare_layouts
from tests.helpers.edited import INKSCAPE, Edited, two_layouts


def row(length: float, faults: int = 0) -> Row:
    (layer,) = layout_layers(Edited().document)
    return Row(layer, length, 0.8123, 5, 5, faults)


def test_each_layout_is_a_row_under_the_head() -> None:
    cells = table([row(1836.2)])
    assert cells[0] == HEAD
    assert cells[1][1:7] == ("90 cm", "1.84 m", "1.90 m / 2 1/8 yd", "81.2%", "5 of 5", "with")
    assert cells[1][-1] == "clean"


def test_faults_are_counted() -> None:
    assert [one[-1] for one in table([row(9.0, 1), row(9.0, 3)])[1:]] == ["1 fault", "3 faults"]


def test_columns_of_figures_end_together_and_words_begin_together() -> None:
    lines = aligned(table([row(1836.2), row(12345.6)]))
    place = HEAD.index("needs")
    ends = {
        line.index(text) + len(text)
        for line, text in zip(lines[1:], ("1.84 m", "12.35 m"), strict=True)
    }
    assert len(ends) == 1, place
    assert (
        len(
            {
                line.index(text)
                for line, text in zip(lines, ("check", "clean", "clean"), strict=True)
            }
        )
        == 1
    )


def names(edited: Edited) -> list[str]:
    """Return how the layouts of a drawing are called side by side."""
    lines, report = compare_layouts(edited.document)
    told = [entry["name"] for entry in report["layouts"]]
    assert all(line.startswith(name) for line, name in zip(lines[1:], told, strict=True))
    return told


def copied(edited: Edited, id_: str) -> etree._Element:
    """Copy the last layout as the editor does, with everything on it but the ids."""
    twin = copy.deepcopy(edited.layer)
    for place, node in enumerate(twin.iter(etree.Element)):
        node.set("id", f"{id_}-{place}")
    edited.layer.addnext(twin)
    return twin


def test_a_copied_layout_is_called_a_copy() -> None:
    edited = Edited()
    copied(edited, "g1")
    own = "Layout 1 – 90 cm, main"
    assert names(edited) == [own, f"{own} (copy)"]
    copied(edited, "g2")
    assert names(edited) == [own, f"{own} (copy)", f"{own} (copy 2)"]
    said = edited.check().summary
    assert [line.partition(":")[0] for line in said] == names(edited)


def test_the_heading_of_a_copy_says_so_after_a_check() -> None:
    edited = Edited()
    copied(edited, "g1")
    assert edited.check().drawing.decode().count("90 cm, main (copy)") >= 1


def test_a_renamed_copy_needs_no_other_name() -> None:
    edited = Edited()
    copied(edited, "g1").set(f"{INKSCAPE}label", "Second thoughts")
    assert names(edited) == ["Layout 1 – 90 cm, main", "Second thoughts"]


def test_layouts_that_she_named_alike_are_told_by_their_ids() -> None:
    edited = two_layouts()
    layers = [one for one in edited.root.iter(etree.Element) if one.get(lay("layout"))]
    for layer in layers:
        layer.set(f"{INKSCAPE}label", "Coat")
    assert names(edited) == ["Coat", "Coat (thriftlay-2)"]
