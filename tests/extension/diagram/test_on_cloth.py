# SPDX-License-Identifier: GPL-2.0-or-later
"""In full size the cloth shows its borders, its repeat and its flaws, each where it is."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from lxml import etree

from extension.diagram.cloth import Cloth
from extension.diagram.full_size import full_size
from extension.diagram.on_cloth import on_cloth, signs_text
from extension.diagram.section import sections
from extension.layouts.layers import chosen_layers, one_layer
from extension.svg.building import element
from nesting.model import Band, Repeat
from tests.helpers.edited import Edited

CLOTH = Cloth(1000.0, 600.0, nap=True, system="metric")


def boxes(elements: list[etree._Element]) -> list[tuple[float, ...]]:
    """Return low x, low y, high x, high y of every path."""
    found: list[tuple[float, ...]] = []
    for one in elements:
        numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", one.get("d", ""))]
        if numbers:
            xs, ys = numbers[::2], numbers[1::2]
            found.append((min(xs), min(ys), max(xs), max(ys)))
    return found


def test_plain_cloth_shows_nothing() -> None:
    assert on_cloth(CLOTH, None) == []
    assert signs_text([CLOTH], None) == ""


def test_a_flaw_lies_where_it_is_told_from_the_lower_selvedge_and_ends_with_the_cloth() -> None:
    flaws = (
        ((300.0, 100.0), (350.0, 100.0), (350.0, 140.0), (300.0, 140.0)),
        ((990.0, 0.0), (1100.0, 0.0), (1100.0, 10.0), (990.0, 10.0)),
    )
    shown = on_cloth(replace(CLOTH, flaws=flaws), None)
    assert (300.0, 460.0, 350.0, 500.0) in boxes(shown)
    assert (990.0, 590.0, 1000.0, 600.0) in boxes(shown)
    assert max(box[2] for box in boxes(shown)) == 1000.0
    # The first has room for its name, the second has not.
    assert ["".join(map(str, one.itertext())) for one in shown if one.tag.endswith("text")] == [
        "flaw"
    ]
    assert "Hatched" in signs_text([replace(CLOTH, flaws=flaws)], None)


def test_both_lines_of_a_border_are_drawn_along_the_whole_cloth() -> None:
    cloth = replace(CLOTH, bands=(Band("border", 0.0, 140.0),))
    lines = boxes(on_cloth(cloth, None))
    assert sorted(lines) == [(0.0, 460.0, 1000.0, 460.0), (0.0, 600.0, 1000.0, 600.0)]


@pytest.mark.parametrize("low", [0.0, 100.0])
def test_lines_of_the_repeat_are_counted_from_the_lower_selvedge_and_the_cut_end(
    low: float,
) -> None:
    repeat = Repeat(along=300.0, across=250.0, first=30.0)
    shown = on_cloth(replace(CLOTH, low=low, width=600.0 - low), repeat)
    # Heights 30, 280 and 530 above the lower selvedge, as far as there is cloth in this section.
    numbers = [float(n) for one in shown for n in re.findall(r"[\d.]+", one.get("d", ""))]
    ends = list(zip(numbers[::2], numbers[1::2], strict=True))
    level = {y for (_, y), (_, other) in zip(ends[::2], ends[1::2], strict=True) if y == other}
    upright = {x for (x, _), (other, _) in zip(ends[::2], ends[1::2], strict=True) if x == other}
    assert level == {600.0 - height for height in (30.0, 280.0, 530.0) if height >= low}
    assert upright == {0.0, 300.0, 600.0, 900.0}


def test_a_flaw_that_was_drawn_on_a_layout_is_on_all_its_pages() -> None:
    edited = Edited()
    plain = full_size(edited.document, one_layer(edited.document, "")).decode()
    assert "Hatched" not in plain
    x, y, width = 420.0, 800.0, 30.0
    flaw = element("rect", {"id": "stain", "x": x, "y": y, "width": width, "height": width})
    flaw.set("{http://www.inkscape.org/namespaces/inkscape}label", "flaw")
    edited.layer.append(flaw)
    document = edited.document
    (section,) = sections(document, chosen_layers(document, ()), "a4", "fit")
    (area,) = section.pictures[0].cloth.flaws
    xs, ys = zip(*area, strict=True)
    assert (max(xs) - min(xs), max(ys) - min(ys)) == pytest.approx((width, width))
    assert "flaws of the cloth" in section.notes
    assert "Hatched" in full_size(document, one_layer(document, "")).decode()
