# SPDX-License-Identifier: GPL-2.0-or-later
"""What holds of every picture: legible letters, true distances, nothing on top of anything."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace
from pathlib import Path

import pytest
import shapely
from lxml import etree

from extension.diagram.cloth import Cloth
from extension.diagram.distances import Distance, figures
from extension.diagram.figure import LOOK, figure
from extension.diagram.lettered import lettered
from extension.diagram.paper import PAPERS, Paper, leaf_for, leaves_of
from extension.diagram.shapes import Picture, fitting_scale
from extension.language.rounding import INCH
from extension.svg.document import parse, serialise
from tests.helpers.cloth import typed_between_selvedges
from tests.helpers.diagrams import LAYOUTS, published, sections_of
from tests.helpers.edited import LENGTH, spread
from tests.helpers.garments import garment
from tests.helpers.golden import assert_golden
from tests.helpers.layouts import drawn_into, layout_of, plan_of

GOLDEN = Path(__file__).parent / "golden"
ARMS_LENGTH = 2.5
"""mm: the size of letters that are read on a table while standing (common practice, no source)."""
METRIC = {"fabric_width": "90cm", "end_allowance": "0cm"}
INCHES = {"fabric_width": "36in", "nap": "no", "end_allowance": "0in"}
GOLDENS: dict[str, tuple[dict[str, str], Paper, str]] = {
    "as-large-as-fits": (METRIC, "a4", "fit"),
    "one-to-twenty": (METRIC, "a4", "1:20"),
    "inches-without-nap": (INCHES, "letter", "1:10"),
}
"""Layouts placed by hand: cloth, paper and scale, by the name of the file."""

every_layout = pytest.mark.parametrize("name", LAYOUTS)


def pictures(name: str, scale: str = "fit") -> list[Picture]:
    return [one for section in published(name, scale=scale) for one in section.pictures]


def drawn(picture: Picture) -> etree._Element:
    return etree.fromstring(figure(picture, "layout1", "Cutting diagram"))


def value(text: str) -> float:
    """Return a distance in its unit: "12.3", "4 7/8"."""
    whole = re.fullmatch(r"(\d+)?(?: ?(\d+)/(\d+))?|(\d+\.\d)", text)
    assert whole is not None, text
    if whole[4]:
        return float(whole[4])
    part = int(whole[2]) / int(whole[3]) if whole[2] else 0.0
    return int(whole[1] or 0) + part


@pytest.mark.parametrize("name", GOLDENS)
def test_a_picture_is_as_it_was_when_it_was_looked_at(
    name: str, pytestconfig: pytest.Config
) -> None:
    typed, paper, scale = GOLDENS[name]
    options, document = typed_between_selvedges(typed), garment().document()
    plan = plan_of(document, options)
    drawn_into(document, options, layout_of(plan, spread(plan), LENGTH))
    (section,) = sections_of(parse(serialise(document)), paper, scale)
    store = pytestconfig.getoption("--store-golden")
    assert_golden(drawn(section.pictures[0]), GOLDEN / f"{name}.svg", store=store)


@every_layout
@pytest.mark.parametrize("scale", ["fit", "1:20"])
def test_no_letters_are_too_small_for_arms_length(name: str, scale: str) -> None:
    for picture in pictures(name, scale):
        sizes = [float(text.get("font-size", "0")) for text in drawn(picture).iter("{*}text")]
        assert min(sizes) >= ARMS_LENGTH


def luma(name: str) -> float:
    """Return how light the areas of a class are, 0 to 255 (weights of ITU-R BT.709-6, item 3.2)."""
    found = re.search(rf"\.{name} {{ fill: #([0-9a-f]+);", LOOK)
    assert found is not None, name
    code = found[1] if len(found[1]) == 6 else "".join(2 * digit for digit in found[1])
    red, green, blue = (int(code[at : at + 2], 16) for at in (0, 2, 4))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize(
    ("light", "dark"),
    [("up", "down"), ("cloth", "double"), ("double", "down"), ("down", "flaw"), ("cloth", "down")],
)
def test_areas_are_told_apart_in_grey_print_and_whatever_colours_are_seen(
    light: str, dark: str
) -> None:
    assert luma(light) - luma(dark) >= 20.0


@every_layout
@pytest.mark.parametrize("scale", ["fit", "1:20"])
def test_words_stand_in_their_part_or_lead_to_it(name: str, scale: str) -> None:
    for picture in pictures(name, scale):
        found = lettered(picture).captions
        assert [one.shape for one in found] == list(picture.shapes)
        for caption in found:
            if caption.leader is None:
                assert caption.shape.outline.contains(caption.box)
            else:
                assert caption.shape.outline.contains(shapely.Point(caption.leader.coords[-1]))
                others = [one.outline for one in picture.shapes]
                assert not shapely.union_all(others).intersects(caption.box) or caption.over


@every_layout
@pytest.mark.parametrize("scale", ["fit", "1:20"])
def test_no_words_lie_on_others(name: str, scale: str) -> None:
    for picture in pictures(name, scale):
        written = lettered(picture)
        boxes = [one.box for one in (*written.captions, *written.figures)]
        for one, other in itertools.combinations(boxes, 2):
            assert one.intersection(other).area == 0.0


@every_layout
def test_dimension_lines_are_as_long_as_they_say(name: str) -> None:
    every = [(picture, lettered(picture).figures) for picture in pictures(name)]
    assert any(shown for _, shown in every)
    for picture, shown in every:
        unit = 10.0 if picture.cloth.system == "metric" else float(INCH)
        finest = 0.05 if picture.cloth.system == "metric" else 1 / 64
        for one in shown:
            told = value(one.distance.text)
            length = one.distance.line.length / picture.scale / unit
            if one.distance.is_level:
                # It may have begun on a stretch before.
                length = (picture.start + one.distance.end[0] / picture.scale) / unit
            assert told == pytest.approx(length, abs=finest + 1e-6)
            ends = [shapely.Point(end) for end in (one.distance.start, one.distance.end)]
            on_edge = [abs(ends[0].x), abs(ends[0].y), abs(ends[0].y - picture.size[1])]
            assert min(on_edge) < 1e-6 or one.distance.from_before
            measured = [shape.laid.exterior for shape in picture.shapes]
            measured += [shape.grainline for shape in picture.shapes]
            assert any(line.distance(ends[1]) < 0.3 for line in measured)


@every_layout
def test_figures_keep_off_outlines_and_other_lines(name: str) -> None:
    for picture in pictures(name):
        shown = lettered(picture).figures
        for one in shown:
            others = [other.distance.line for other in shown if other is not one]
            edges = [shape.outline.exterior for shape in picture.shapes]
            grains = [shape.grainline.buffer(1.0) for shape in picture.shapes]  # with their heads
            assert not shapely.union_all([*others, *edges, *grains]).intersects(one.box)
            assert all(
                line.distance(one.box) > 0.3 for line in others
            )  # it would strike it through
            assert shapely.box(0.0, 0.0, *picture.size).contains_properly(one.box)


@pytest.mark.parametrize("from_edge", [0.6, 1.2])
def test_figures_beside_a_selvedge_stand_on_the_cloth(from_edge: float) -> None:
    bare = replace(pictures("short")[0], shapes=(), others=())
    for y in (from_edge, bare.size[1] - from_edge):
        line = Distance((0.0, y), (40.0, y), "123.4", shapely.Point())
        (one,) = figures(bare, [line], [])
        assert shapely.box(0.0, 0.0, *bare.size).contains_properly(one.box)


def test_large_parts_do_have_dimension_lines() -> None:
    (picture,) = pictures("jacket")
    shown = lettered(picture).figures
    assert len(shown) >= 12
    assert {one.level for one in shown} == {True, False}


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(
    ("length", "standing"), [(900.0, "portrait"), (2500.0, "landscape"), (600.0, "portrait")]
)
def test_paper_stands_as_the_layout_is_largest(paper: Paper, length: float, standing: str) -> None:
    cloth = Cloth(length, 1400.0, True, "metric")
    leaves = leaves_of(paper, lambda width: 40.0)
    leaf = leaf_for(cloth, leaves)
    (other,) = [one for one in leaves if one is not leaf]
    assert leaf.standing == standing
    assert fitting_scale(cloth, leaf.room) > fitting_scale(cloth, other.room)


@every_layout
def test_the_picture_fits_on_its_leaf(name: str) -> None:
    for section in published(name):
        room = section.leaf.room
        for picture in section.pictures:
            assert picture.extent[0] <= room[0] + 1e-6
            assert picture.extent[1] <= room[1] + 1e-6
