# SPDX-License-Identifier: GPL-2.0-or-later
"""Folded cloth in the drawn layer: what is seen of each part, edges, folds, zones, words."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely

from extension.drawn.edging import FOLD_LINE
from extension.drawn.ink import DOUBLE_CLOTH
from extension.drawn.lying import Lying
from extension.drawn.sheet import Sheet
from extension.job.options import LayOutOptions
from extension.language.names import lay
from extension.language.spreads import FOLD_OF_CLOTH
from extension.svg.document import Document, parse, serialise
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from nesting.model import OPEN, Placement, Section
from tests.helpers.cloth import between_selvedges
from tests.helpers.folded_by_hand import (
    CLOTH,
    CROSSWISE,
    DEPTH,
    LENGTHWISE,
    SPREADS,
    TURNED,
    TWICE,
    UPPER,
    drawn_folded,
    whole_ring,
    with_a_single,
)
from tests.helpers.garments import PAGES, garment
from tests.helpers.golden import assert_golden

GOLDEN = Path(__file__).parent / "golden"


def drawn(*sections: Section, options: LayOutOptions = CLOTH) -> tuple[Document, Sheet]:
    """Return a garment with a single, laid on folded cloth."""
    document = with_a_single().document()
    sheet, _ = drawn_folded(document, *sections, options=options)
    return document, sheet


def leaves_of(document: Document) -> list[Leaf]:
    """Return what is drawn on the layout, as it is read from the file."""
    again = parse(serialise(document))
    leaves = read_leaves(again, include_layouts=True)
    return [one for one in leaves if any("layout" in group.attributes for group in one.groups)]


def origin_of(leaves: list[Leaf], sheet: Sheet) -> np.ndarray:
    """Return where on the page the sheet begins: told by the first section's cloth."""
    first = next(one for one in leaves if one.label == "usable cloth")
    return np.array([first.box[0], first.box[1] - (sheet.width - sheet.lying[0].high)])


def seen(document: Document, sheet: Sheet) -> dict[tuple[str, str], shapely.Polygon]:
    """Return the outlines of the parts as drawn, in the engine's frame over all sections."""
    leaves = leaves_of(document)
    left, top = origin_of(leaves, sheet)
    found = {}
    for leaf in leaves:
        if "of" in leaf.attributes:
            ring = np.asarray(
                max(leaf.rings, key=lambda one: abs(shapely.Polygon(one.points).area)).points
            )
            points = np.column_stack([ring[:, 0] - left, sheet.width - (ring[:, 1] - top)])
            key = leaf.attributes["of"], leaf.attributes["copy"]
            found[key] = shapely.Polygon(points).buffer(0)
    return found


def section_of(sheet: Sheet, spot: Placement) -> Lying:
    """Return the section of a placement as it lies."""
    return next(one for one in sheet.lying if one.number == spot.section)


def words_of(layer: Document) -> list[str]:
    """Return every text on the layout, its lines joined."""
    root = parse(serialise(layer)).root
    return [
        " ".join("".join(map(str, span.itertext())) for span in text.iter("{*}tspan"))
        for node in root.iter("{*}g")
        if node.get(lay("layout"))
        for text in node.iter("{*}text")
    ]


@pytest.mark.parametrize("name", SPREADS)
@pytest.mark.parametrize("allowance", [None, 6.0])
def test_parts_are_drawn_as_they_are_seen_from_above(name: str, allowance: float | None) -> None:
    options = between_selvedges(900.0, workers=2, allowance=allowance)
    document, sheet = drawn(SPREADS[name], OPEN, options=options)
    found = seen(document, sheet)
    assert len(found) == len(sheet.layout.placements)
    for spot in sheet.layout.placements:
        one, piece = section_of(sheet, spot), sheet.plan.cuts[spot.piece].piece
        whole = shapely.Polygon(whole_ring(piece, spot) + np.array([one.start, 0.0])).buffer(0)
        table = shapely.box(one.start - 1.0, one.low, one.end + 1.0, one.high)
        part = found[sheet.plan.cuts[spot.piece].drawn.id, " ".join(map(str, spot.copies))]
        above = whole.intersection(table) if spot.on_fold else whole
        # Curves are flattened on both sides, each to a hundredth of a millimetre or so.
        assert part.symmetric_difference(above).area < 0.05 * part.length
        if spot.on_fold:
            assert part.area == pytest.approx(whole.area / 2.0, rel=1e-3)


def test_parts_tell_section_layers_and_fold() -> None:
    document, _ = drawn(LENGTHWISE, OPEN)
    leaves = [one for one in leaves_of(document) if "of" in one.attributes]
    told = {
        (one.attributes["of"], one.attributes["copy"]): tuple(
            one.attributes[name] for name in ("section", "layers", "on-fold")
        )
        for one in leaves
    }
    assert told["front", "1 2"] == ("1", "2", "no")
    assert told["back", "1"] == ("1", "1", "yes")
    assert told["pocket", "1"] == ("2", "1", "no")
    groups = [group for one in leaves for group in one.groups if "of" in group.attributes]
    assert {group.attributes["layers"] for group in groups} == {"1", "2"}


def test_what_is_cut_twice_at_once_says_so() -> None:
    document, _ = drawn(LENGTHWISE, OPEN)
    words = words_of(document)
    assert "Front cuts 2, a pair" in words
    # The tab is its own mirror image: it has no left and no right.
    assert "Letters on small parts A = Tab, cuts 2" in words


def test_a_half_at_the_other_fold_lies_printed_side_down() -> None:
    sides = {}
    for name, section in (("lower", DEPTH), ("upper", UPPER)):
        document, _ = drawn(section, OPEN)
        (half,) = [one for one in leaves_of(document) if one.attributes.get("on-fold") == "yes"]
        sides[name] = half.attributes["flipped"]
    assert sorted(sides.values()) == ["no", "yes"]


def test_nothing_is_opened_out_on_a_half() -> None:
    document, _ = drawn(LENGTHWISE, OPEN)
    layer = next(one for one in document.root.iter("{*}g") if one.get(lay("layout")))
    half = next(one for one in layer.iter("{*}g") if one.get(lay("on-fold")) == "yes")
    dots = list(half.iter("{*}circle"))
    # A mark, the one on the fold, and one of one side: each once, none mirrored.
    assert len(dots) == 3
    assert "do not cut" not in "".join(map(str, half.itertext()))


@pytest.mark.parametrize(
    ("section", "headings"),
    [
        (LENGTHWISE, "1. Folded lengthwise, right sides together, for"),
        (DEPTH, "1. Folded to a depth of 30 cm, right sides together, for"),
        (TWICE, "1. Folded twice, right sides together, for"),
        (CROSSWISE, "1. Folded crosswise, right sides together,"),
        (TURNED, "1. Folded crosswise, the upper layer turned round,"),
    ],
)
def test_each_section_has_a_heading(section: Section, headings: str) -> None:
    options = between_selvedges(900.0, workers=2, nap=section != CROSSWISE)
    document, sheet = drawn(section, OPEN, options=options)
    words = words_of(document)
    if len(sheet.lying) == 1:
        headings = headings.removeprefix("1. ")
    assert any(one.startswith(headings) for one in words)
    if len(sheet.lying) > 1:
        assert any(one.startswith("2. The rest open, right side up, for") for one in words)


def test_folds_are_heavy_lines_beside_the_cloth_and_no_part_hides_them() -> None:
    document, sheet = drawn(TWICE, OPEN)
    leaves = leaves_of(document)
    top = origin_of(leaves, sheet)[1]
    first = sheet.lying[0]
    folds = [
        leaf
        for leaf in leaves
        if float(leaf.style.get("stroke-width", 0.0) or 0.0) == FOLD_LINE and leaf.rings
    ]
    heights = sorted(sheet.width - (leaf.box[1] + leaf.box[3]) / 2.0 + top for leaf in folds)
    expected = [first.low - FOLD_LINE / 2.0, first.high + FOLD_LINE / 2.0]
    assert heights == pytest.approx(expected, abs=1e-3)
    assert words_of(document).count(FOLD_OF_CLOTH) == 2


def test_strips_of_two_layers_have_a_tint_of_their_own_and_a_key() -> None:
    document, sheet = drawn(Section(150.0, 250.0), OPEN)
    leaves = leaves_of(document)
    top = origin_of(leaves, sheet)[1]
    strips = [one for one in leaves if DOUBLE_CLOTH in one.style.get("fill", "") and one.rings]
    drawn_heights = sorted(
        (round(sheet.width - one.box[3] + top, 3), round(sheet.width - one.box[1] + top, 3))
        for one in strips
        if one.box[3] - one.box[1] > 100.0
    )
    assert drawn_heights == [(150.0, 300.0), (400.0, 650.0)]
    words = words_of(document)
    assert "two layers" in words
    assert "one layer" in words


def test_sections_lie_apart_and_are_as_long_as_they_are() -> None:
    document, sheet = drawn(LENGTHWISE, OPEN)
    leaves = leaves_of(document)
    cloth = [one for one in leaves if one.label == "usable cloth"]
    assert [one.attributes["section"] for one in cloth] == ["1", "2"]
    first, second = (one.box for one in cloth)
    assert second[0] - first[2] > 100.0
    assert first[2] - first[0] == pytest.approx(sheet.layout.sections[0].length)
    rest = sheet.cloth_length - sheet.layout.length
    assert second[2] - second[0] == pytest.approx(sheet.layout.sections[1].length + rest)
    assert first[3] - first[1] == pytest.approx(450.0)
    assert second[3] - second[1] == pytest.approx(900.0)


def test_a_later_layout_begins_at_the_left_edge_of_the_first_section() -> None:
    document, _ = drawn(LENGTHWISE, OPEN)
    left = next(one for one in leaves_of(document) if one.label == "usable cloth").box[0]
    drawn_folded(document, DEPTH, OPEN)
    later = [one for one in leaves_of(document) if one.attributes.get("section") == "1"]
    lefts = [one.box[0] for one in later if one.label == "usable cloth"]
    assert lefts == pytest.approx([left, left])


CASES: dict[str, tuple[str, tuple[Section, ...], bool]] = {
    "folded-lengthwise-90-cm": ("millimetres", (LENGTHWISE, OPEN), True),
    "folded-to-a-depth-90-cm": ("inches, moved", (UPPER, OPEN), True),
    "folded-crosswise-90-cm": ("millimetres", (CROSSWISE, OPEN), False),
}


@pytest.mark.parametrize("name", CASES)
def test_a_layer_is_drawn_as_it_was_when_it_was_looked_at(
    name: str, pytestconfig: pytest.Config
) -> None:
    page, sections, nap = CASES[name]
    document = garment(PAGES[page]).document()
    options = between_selvedges(900.0, workers=2, nap=nap)
    _, layer = drawn_folded(document, *sections, options=options)
    assert_golden(layer, GOLDEN / f"{name}.svg", store=pytestconfig.getoption("--store-golden"))
