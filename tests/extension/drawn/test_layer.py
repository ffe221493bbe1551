# SPDX-License-Identifier: GPL-2.0-or-later
"""A layout comes onto a new layer, exactly where the engine laid it, and nothing else changes."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from extension.drawn.layer import next_number
from extension.job.settings import options_of
from extension.language.names import lay
from extension.layouts.found import noted_parts
from extension.svg.building import inkscape, sodipodi
from extension.svg.document import parse, serialise
from extension.svg.leaves import read_leaves
from nesting.errors import ThriftlayError
from nesting.judge.check import check_laid
from nesting.model import Fabric
from tests.helpers.garments import MILLIMETRES, PAGES, Page, garment
from tests.helpers.layouts import (
    WIDE,
    drawn_into,
    first_layout_of,
    part_groups,
    placed_outline,
    plan_of,
    read_back,
    without,
)
from tests.helpers.strategies import outlines
from tests.helpers.svg_builder import SvgBuilder

FLATTENING = 0.1
"""mm: the outline that was laid and the one read back are both flattened within 0.05 mm."""
TRANSFORMS = [
    "",
    "rotate(33)",
    "scale(-1 1) translate(-600 0)",
    "translate(50 20) rotate(-90) scale(0.8)",
    "skewX(20)",
]


def canonical(element: etree._Element) -> bytes:
    if not isinstance(element.tag, str):
        return str(element.text).encode()
    return etree.tostring(element, method="c14n")


@pytest.mark.parametrize("page", PAGES.values(), ids=PAGES.keys())
@pytest.mark.parametrize("transform", ["", "scale(-1 1) translate(-600 0)"])
def test_what_is_written_is_what_was_laid_on_every_page(page: Page, transform: str) -> None:
    document = garment(page, transform).document()
    sheet, _ = drawn_into(document)
    found = read_back(document)
    assert found.width == pytest.approx(1400.0, abs=1e-5)
    assert len(found.outlines) == len(sheet.layout.placements) == 5
    for spot in sheet.layout.placements:
        drawn = found.outlines[sheet.plan.cuts[spot.piece].drawn.id, str(spot.copies[0])]
        laid = shapely.Polygon(placed_outline(sheet, spot))
        assert laid.hausdorff_distance(shapely.Polygon(drawn)) < FLATTENING
    near = Fabric(found.width + 2 * FLATTENING, gap=WIDE.gap - 2 * FLATTENING)
    moved = [
        type(part)(part.key, part.label, shapely.affinity.translate(part.polygon, 0.1, 0.1))
        for part in found.laid()
    ]
    assert check_laid(moved, near) == ()


@pytest.mark.parametrize("transform", TRANSFORMS)
@pytest.mark.parametrize("allowance", [None, 15.0])
def test_what_is_written_is_what_was_laid_under_every_transform(
    transform: str, allowance: float | None
) -> None:
    document = garment(transform=transform).document()
    sheet, _ = drawn_into(document, without(WIDE, allowance=allowance))
    found = read_back(document)
    for spot in sheet.layout.placements:
        drawn = found.outlines[sheet.plan.cuts[spot.piece].drawn.id, str(spot.copies[0])]
        laid = shapely.Polygon(placed_outline(sheet, spot))
        assert laid.hausdorff_distance(shapely.Polygon(drawn)) < FLATTENING


def test_every_original_stays_as_it_was() -> None:
    drawing = garment(PAGES["inches, moved"], "rotate(12)")
    drawing.add_style("path { stroke-linecap: round }")
    drawing.root.insert(0, etree.Comment(" a note "))
    before, document = parse(drawing.data()), parse(drawing.data())
    drawn_into(document)
    after = parse(serialise(document))
    assert len(after.root) == len(before.root) + 1
    for old, new in zip(before.root, after.root, strict=False):
        assert canonical(old) == canonical(new)
    assert dict(before.root.attrib) == dict(after.root.attrib)
    assert before.root.nsmap == after.root.nsmap


def test_a_second_run_adds_a_second_layer_below_with_the_same_left_edge() -> None:
    document = garment().document()
    drawn_into(document)
    first = canonical(document.root[-1])
    again = parse(serialise(document))
    drawn_into(again, without(WIDE, nap=False))
    assert canonical(again.root[-2]) == first
    one, two = read_back(again, 1), read_back(again, 2)
    assert two.origin[0] == pytest.approx(one.origin[0], abs=1e-4)
    lowest = max(leaf.box[3] for leaf in one.leaves)
    assert min(leaf.box[1] for leaf in two.leaves) > lowest


def test_an_earlier_layout_is_never_taken_for_pieces() -> None:
    document = garment().document()
    before = [cut.drawn.id for cut in plan_of(document).cuts.values()]
    drawn_into(document)
    assert [cut.drawn.id for cut in plan_of(parse(serialise(document))).cuts.values()] == before


@pytest.mark.parametrize("page", PAGES.values(), ids=PAGES.keys())
def test_the_layer_lies_right_of_the_page_and_of_everything_drawn(page: Page) -> None:
    drawing = garment(page)
    drawing.add_rect(650, 700, 80, 30, id="outside", lay={"leave-out": "yes"})
    document = drawing.document()
    drawn_into(document)
    again = parse(serialise(document))
    originals = read_leaves(again)
    right = max(leaf.box[2] for leaf in originals)
    assert min(leaf.box[0] for leaf in read_back(again).leaves) > right


def test_two_runs_write_the_same_bytes_and_ids_are_unique() -> None:
    written = []
    for _ in range(2):
        document = garment().document()
        drawn_into(document)
        written.append(serialise(document))
    assert written[0] == written[1]
    ids = [node.get("id") for node in parse(written[0]).root.iter(etree.Element)]
    assert None not in ids[1:]
    assert len(set(ids)) == len(ids)


def test_ids_that_look_like_ours_are_respected() -> None:
    drawing = garment()
    drawing.add_rect(0, 380, 5, 5, id="thriftlay-1-part-1", lay={"leave-out": "yes"})
    document = drawing.document()
    _, layer = drawn_into(document)
    ids = [node.get("id") for node in document.root.iter(etree.Element) if node.get("id")]
    assert len(set(ids)) == len(ids)
    assert part_groups(layer)[0].get("id") == "thriftlay-1-part-1-2"


def test_three_sublayers_of_which_the_cloth_is_locked() -> None:
    document = garment().document()
    sheet, layer = drawn_into(document)
    assert layer.get(inkscape("label")) == sheet.label == "Layout 1 – 140 cm, main"
    assert layer.get(lay("layout")) == "1"
    assert [one.get(inkscape("label")) for one in layer] == ["cloth", "parts", "measures"]
    assert [one.get(inkscape("groupmode")) for one in layer] == ["layer"] * 3
    assert [one.get(sodipodi("insensitive")) for one in layer] == ["true", None, None]


def test_the_settings_on_the_layer_run_it_again() -> None:
    document = garment().document()
    options = without(WIDE, gap=5.0, seed=42, round_up="5cm")
    _, layer = drawn_into(document, options)
    stored = layer.get(lay("settings"), "")
    assert options_of(stored) == options
    assert json.loads(stored)["result"]["length_mm"] > 0


def test_numbers_of_layouts_go_on_from_the_highest() -> None:
    drawing = SvgBuilder(*MILLIMETRES[:2])
    assert next_number(drawing.document()) == 1
    drawing.add_layer("old", lay={"layout": "7"})
    drawing.add_layer("odd", lay={"layout": "spring"})
    assert next_number(drawing.document()) == 8


def test_no_clone_class_or_definition_is_written() -> None:
    drawing = garment()
    drawing.add_use("tab", transform="translate(60 0)", id="tab-again")
    document = drawing.document()
    _, layer = drawn_into(document)
    kinds = {etree.QName(node).localname for node in layer.iter(etree.Element)}
    assert kinds <= {"g", "path", "rect", "circle", "line", "text", "tspan"}
    assert all(node.get("class") is None for node in layer.iter(etree.Element))
    assert len(part_groups(layer)) == 7


@pytest.mark.parametrize(("copies", "text"), [((3,), "3"), ((1, 2), "1 2")])
def test_the_copies_that_a_part_cuts_are_written_as_they_are_read(
    copies: tuple[int, ...], text: str
) -> None:
    document = garment().document()
    plan = plan_of(document)
    layout = first_layout_of(plan)
    first = replace(layout.placements[0], copies=copies)
    cloth = replace(layout, placements=(first, *layout.placements[1:]))
    _, layer = drawn_into(document, layout=cloth)
    assert part_groups(layer)[0].get(lay("copy")) == text
    found = noted_parts(read_leaves(document, include_layouts=True))
    assert found[0].copies == copies


def test_group_and_outline_both_say_what_a_part_is() -> None:
    document = garment().document()
    sheet, layer = drawn_into(document)
    for spot, part in zip(sheet.layout.placements, part_groups(layer), strict=True):
        facts = {
            lay("of"): spot.piece,
            lay("copy"): str(spot.copies[0]),
            lay("turned"): "0",
            lay("flipped"): "yes" if spot.flip else "no",
        }
        for node in (part, part[0]):
            assert {name: node.get(name) for name in facts} == facts


def test_nothing_in_the_layer_is_named_nan() -> None:
    document = garment(PAGES["stretched"], "skewX(20)").document()
    _, layer = drawn_into(document)
    assert b"nan" not in canonical(layer)
    assert b"inf" not in canonical(layer).replace(b"interf", b"")


@given(
    st.lists(outlines(), min_size=1, max_size=3),
    st.sampled_from(TRANSFORMS),
    st.booleans(),
    st.sampled_from([None, 4.0]),
)
@settings(max_examples=25)
def test_pieces_of_any_shape_are_drawn_where_they_were_laid(
    shapes: list[tuple[tuple[float, float], ...]],
    transform: str,
    nap: bool,
    allowance: float | None,
) -> None:
    drawing = SvgBuilder("600mm", "400mm", (0, 0, 600, 400))
    layer = drawing.add_layer("Pieces", transform=transform) if transform else None
    for number, shape in enumerate(shapes):
        piece = drawing.add_group(layer, id=f"piece{number}", lay={"name": "Odd", "cut": "2"})
        points = " ".join(f"{x + 3000 * number!r},{y!r}" for x, y in shape)
        drawing.add("polygon", piece, points=points, lay={"role": "outline"})
    document = drawing.document()
    options = without(WIDE, fabric_width=6000.0, nap=nap, allowance=allowance, no_grain="lay")
    try:
        sheet, _ = drawn_into(document, options)
    except ThriftlayError:
        # Not every outline can be laid: needles fold over when they grow, some are nothing.
        return
    found = read_back(document).outlines
    for spot in sheet.layout.placements:
        drawn = found[sheet.plan.cuts[spot.piece].drawn.id, str(spot.copies[0])]
        laid = shapely.Polygon(placed_outline(sheet, spot))
        assert laid.hausdorff_distance(shapely.Polygon(drawn)) < FLATTENING
