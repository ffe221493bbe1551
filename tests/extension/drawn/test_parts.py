# SPDX-License-Identifier: GPL-2.0-or-later
"""Each part is a group with the look and the marks of its piece."""

from __future__ import annotations

import pytest
import shapely
from lxml import etree

from extension.drawn.ink import AS_DRAWN, FLIPPED
from extension.drawn.parts import parts
from extension.job.options import LayOutOptions
from extension.language.names import lay
from extension.svg.building import inkscape
from extension.svg.document import parse, serialise
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from extension.svg.transforms import determinant
from tests.helpers.cloth import between_selvedges
from tests.helpers.garments import garment
from tests.helpers.layouts import drawn_into, first_layout_of, part_groups, plan_of, sheet_of
from tests.helpers.svg_builder import SvgBuilder


def fill(outline: etree._Element) -> str:
    return dict(part.split(":") for part in outline.get("style", "").split(";"))["fill"]


def leaves_of_parts(drawing: SvgBuilder, options: LayOutOptions) -> dict[str, list[Leaf]]:
    """Return the leaves of each part as read back from the file, by the part's name."""
    document = drawing.document()
    drawn_into(document, options)
    found: dict[str, list[Leaf]] = {}
    for leaf in read_leaves(parse(serialise(document)), include_layouts=True):
        groups = [group for group in leaf.groups if "of" in group.attributes]
        if groups:
            found.setdefault(groups[-1].label, []).append(leaf)
    return found


def test_parts_as_drawn_are_white_and_flipped_ones_grey() -> None:
    document = garment().document()
    sheet, layer = drawn_into(document)
    for spot, part in zip(sheet.layout.placements, part_groups(layer), strict=True):
        assert fill(part[0]) == (FLIPPED if spot.flip else AS_DRAWN)


def test_the_editor_shows_name_and_count_of_each_part() -> None:
    _, layer = drawn_into(garment().document())
    labels = sorted(part.get(inkscape("label"), "") for part in part_groups(layer))
    assert labels == [
        "Back, 1 of 1",
        "Front, 1 of 2",
        "Front, 2 of 2, printed side down",
        "Tab, 1 of 2",
        "Tab, 2 of 2",
    ]


@pytest.mark.parametrize("nap", [True, False])
def test_everything_of_a_part_lies_inside_it(nap: bool) -> None:
    parts_read = leaves_of_parts(garment(), between_selvedges(500.0, nap=nap))
    assert len(parts_read) == 5
    for leaves in parts_read.values():
        (outline,) = [leaf for leaf in leaves if "of" in leaf.attributes]
        area = shapely.Polygon(outline.rings[0].points).buffer(0.5)
        for leaf in leaves:
            for ring in leaf.rings:
                assert all(area.contains(shapely.Point(point)) for point in ring.points)


def test_all_words_of_a_part_can_be_read() -> None:
    drawing = garment(transform="scale(-1 1) translate(-600 0)")
    for leaves in leaves_of_parts(drawing, between_selvedges(1400.0)).values():
        words = [leaf for leaf in leaves if leaf.text]
        assert words
        assert all(determinant(leaf.matrix) > 0 for leaf in words)


def test_the_marks_of_a_piece_come_along_with_their_look() -> None:
    parts_read = leaves_of_parts(garment(), between_selvedges(1400.0))
    notches = [
        leaf for leaf in parts_read["Front, 1 of 2"] if leaf.style.get("stroke") == "#000000"
    ]
    assert len(notches) == 1
    told = [leaf.text for leaf in parts_read["Back, 1 of 1"] if leaf.text]
    assert told == ["centre, do not cut", "Back\n1 of 1"], "and its name is not said twice"
    dots = [leaf for leaf in parts_read["Back, 1 of 1"] if leaf.element.tag.endswith("circle")]
    assert len(dots) == 4


def test_every_id_starts_with_the_prefix_and_a_label_says_what_it_is() -> None:
    document = garment().document()
    plan = plan_of(document)
    groups, legend = parts(sheet_of(document, plan, first_layout_of(plan)), "mine")
    assert [group.get("id") for group in groups] == [f"mine-part-{count}" for count in range(1, 6)]
    for group in groups:
        assert [one.get(lay("role")) for one in group if one.tag.endswith("}g")] == ["label"]
    assert legend == ("A = Tab",)
