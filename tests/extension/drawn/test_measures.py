# SPDX-License-Identifier: GPL-2.0-or-later
"""Round the cloth everything is said, nothing on top of anything else."""

from __future__ import annotations

import itertools
import re

import pytest
import shapely
from lxml import etree

from extension.drawn.cloth import cloth
from extension.drawn.lettering import ASCENT, block_size
from extension.drawn.measures import SMALL_PARTS, extent, measures
from extension.drawn.sheet import Sheet
from extension.job.options import LayOutOptions
from extension.language.edges import CUT_END, FAR_END
from extension.svg.building import inkscape
from extension.svg.transforms import apply, parse_transform
from tests.helpers.cloth import between_selvedges, typed_between_selvedges
from tests.helpers.garments import garment
from tests.helpers.layouts import layout_of, plan_of, sheet_of

CHOICES = {
    "wide": between_selvedges(1400.0),
    "narrow": between_selvedges(500.0),
    "without nap": between_selvedges(1500.0, nap=False),
    "booked inches": typed_between_selvedges(
        {"fabric_width": "60in", "width_is": "booked", "end_allowance": "2in"}
    ),
}
LEGEND = ("A = Tab", "B = Tab, mirrored, printed side down")


def sheet(options: LayOutOptions, length: float = 1837.2) -> Sheet:
    document = garment().document()
    plan = plan_of(document, options)
    return sheet_of(document, plan, layout_of(plan, (), length), options)


def said(elements: list[etree._Element]) -> list[str]:
    texts = (one for one in elements if one.tag.endswith("}text"))
    return [" ".join(str(span.text) for span in text) for text in texts]


def box(text: etree._Element) -> shapely.Polygon:
    """Return the room a text takes on the sheet."""
    style = text.get("style", "")
    size = float(re.search(r"font-size:([\d.]+)px", style)[1])  # type: ignore[index]
    lines = [str(span.text) for span in text]
    width, height = block_size(lines, size, bold=len(lines) if "font-weight:bold" in style else 0)
    x, top = float(text.get("x", "0")), float(text.get("y", "0")) - ASCENT * size
    left = x - (width / 2 if "text-anchor:middle" in style else 0.0)
    corners = ((left, top), (left + width, top), (left + width, top + height), (left, top + height))
    matrix = parse_transform(text.get("transform"))
    return shapely.Polygon([apply(matrix, corner) for corner in corners])


@pytest.mark.parametrize("options", CHOICES.values(), ids=CHOICES.keys())
@pytest.mark.parametrize("length", [150.0, 600.0, 3200.0])
def test_no_words_lie_on_other_words_or_on_the_cloth(options: LayOutOptions, length: float) -> None:
    drawn = sheet(options, length)
    elements = [*cloth(drawn), *measures(drawn, LEGEND)]
    boxes = [box(one) for one in elements if one.tag.endswith("}text")]
    for one, other in itertools.combinations(boxes, 2):
        assert one.intersection(other).area < 1e-6
    usable = shapely.box(0, -drawn.selvedge, drawn.cloth_length, drawn.width + drawn.selvedge)
    assert all(one.intersection(usable).area < 1e-6 for one in boxes)


@pytest.mark.parametrize("options", CHOICES.values(), ids=CHOICES.keys())
@pytest.mark.parametrize("length", [150.0, 3200.0])
def test_the_extent_holds_all_that_is_drawn(options: LayOutOptions, length: float) -> None:
    drawn = sheet(options, length)
    whole = shapely.box(*extent(drawn, LEGEND)).buffer(1e-6)
    elements = [*cloth(drawn), *measures(drawn, LEGEND)]
    for one in elements:
        if one.tag.endswith("}text"):
            assert whole.contains(box(one)), said([one])


@pytest.mark.parametrize("length", [150.0, 560.0, 1837.2])
@pytest.mark.parametrize("options", CHOICES.values(), ids=CHOICES.keys())
def test_no_line_runs_through_words(options: LayOutOptions, length: float) -> None:
    elements = measures(sheet(options, length), LEGEND)
    boxes = [box(one).buffer(-0.1) for one in elements if one.tag.endswith("}text")]
    lines = [
        shapely.LineString([tuple(map(float, point.split(","))) for point in points])
        for one in elements
        if one.tag.endswith("}path")
        for points in [re.findall(r"[-\d.]+,[-\d.]+", one.get("d", ""))]
    ]
    assert lines
    assert not [one for one in boxes for line in lines if one.intersects(line)]


def test_the_dimension_line_says_what_is_needed_and_what_to_buy() -> None:
    assert "needs 1.84 m + 5 cm end allowance – buy 1.90 m / 2 1/8 yd" in said(
        measures(sheet(CHOICES["wide"]), ())
    )


def test_the_width_is_told_between_the_selvedges() -> None:
    assert "140 cm between the selvedges" in said(measures(sheet(CHOICES["wide"]), ()))


def test_a_width_on_the_bolt_is_told_beside_the_one_between_the_selvedges() -> None:
    words = "59 in between the selvedges (60 in as on the bolt)"
    assert words in said(measures(sheet(CHOICES["booked inches"]), ()))


@pytest.mark.parametrize(
    ("choice", "words"), [("wide", "nap all tops this way"), ("without nap", "no nap either way")]
)
def test_the_nap_arrow_has_its_words(choice: str, words: str) -> None:
    assert words in said(measures(sheet(CHOICES[choice]), ()))


def test_the_key_to_small_parts_stands_by_itself_and_large_below_the_measures() -> None:
    drawn = sheet(CHOICES["wide"])
    (key,) = [
        one for one in measures(drawn, LEGEND) if "".join(said([one])).startswith(SMALL_PARTS)
    ]
    assert f"font-size:{drawn.letters:g}px" in key.get("style", "")
    assert [str(span.text) for span in key][1].startswith("A = Tab    B = Tab")
    assert SMALL_PARTS not in " ".join(said(measures(drawn, ())))


def test_a_row_of_the_key_never_parts_a_letter_from_what_it_means() -> None:
    drawn = sheet(CHOICES["wide"], 150.0)
    legend = [f"{letter} = Under collar facing" for letter in "ABCDEFGH"]
    (key,) = [
        one for one in measures(drawn, legend) if "".join(said([one])).startswith(SMALL_PARTS)
    ]
    rows = [str(span.text) for span in key][1:]
    assert [entry for row in rows for entry in row.split("    ")] == legend
    assert len(rows) > 1


def test_letters_grow_with_the_cloth_within_bounds() -> None:
    sizes = [sheet(between_selvedges(width)).letters for width in (400.0, 1120.0, 1400.0, 3000.0)]
    assert sizes == [10.0, 20.0, 25.0, 25.0]


def rectangles(drawn: Sheet) -> dict[str, list[etree._Element]]:
    found: dict[str, list[etree._Element]] = {}
    for one in cloth(drawn):
        if one.tag.endswith("}rect"):
            found.setdefault(one.get(inkscape("label"), ""), []).append(one)
    return found


def test_the_cloth_is_as_wide_as_usable_and_as_long_as_bought() -> None:
    drawn = sheet(CHOICES["wide"])
    first = cloth(drawn)[0]
    sides = {name: float(first.get(name, "")) for name in ("x", "y", "width", "height")}
    assert sides == {"x": 0.0, "y": 0.0, "width": 1900.0, "height": 1400.0}
    assert first.get(inkscape("label")) == "usable cloth"


@pytest.mark.parametrize(("choice", "edge"), [("wide", 12.5), ("booked inches", 12.7)])
def test_two_selvedges_lie_outside_the_usable_width(choice: str, edge: float) -> None:
    drawn = sheet(CHOICES[choice])
    tops = sorted(float(one.get("y", "")) for one in rectangles(drawn)["selvedge"])
    assert tops == pytest.approx([-edge, drawn.width])
    words = said(cloth(drawn))
    assert [words.count(f"{side} selvedge") for side in ("upper", "lower")] == [1, 1]
    # Only one of them is where measuring starts.
    assert [words.count(one) for one in (CUT_END, FAR_END)] == [1, 1]
