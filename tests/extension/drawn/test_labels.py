# SPDX-License-Identifier: GPL-2.0-or-later
"""Labels are upright, inside their part, off everything else, and as large as fits."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import shapely
from lxml import etree

from extension.drawn.labels import SIZES, Caption, Face, Labels, arrangements, caption_of
from extension.drawn.lettering import ASCENT, block_size
from extension.drawn.marks import DrawnMark
from extension.language.names import lay
from extension.svg.document import parse
from extension.svg.pathdata import parse_path
from nesting.model import Outline, Placement
from tests.helpers.cloth import between_selvedges
from tests.helpers.drafting.catalogue import SAMPLES as DRAFTED
from tests.helpers.garments import garment
from tests.helpers.layouts import drawn_into, part_groups, placed_outline, plan_of
from tests.helpers.places import PROJECT

FRONT = Caption("Front 38", "1 of 2", flipped=False, top_certain=True)
MIRRORED = Caption("Front 38", "2 of 2", flipped=True, top_certain=True)
DOUBTFUL = Caption("Front 38", "1 of 2", flipped=False, top_certain=False)

SAMPLES = [PROJECT / "sample_svgs" / name for name in sorted(DRAFTED)]


def rectangle(width: float, height: float) -> Outline:
    return ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))


def label(
    caption: Caption,
    outline: Outline,
    marks: tuple[DrawnMark, ...] = (),
    turn: float = 0.0,
    labels: Labels | None = None,
) -> list[etree._Element]:
    return (labels or Labels()).label(caption, Face((outline, turn), outline, marks, turn))


def texts(elements: list[etree._Element]) -> list[etree._Element]:
    return [one for one in elements if one.tag.endswith("}text")]


def lines(element: etree._Element) -> list[str]:
    return [str(span.text) for span in element]


def bold_rows(element: etree._Element) -> int:
    return sum(span.get("style") == "font-weight:bold" for span in element)


def size(element: etree._Element) -> float:
    found = re.search(r"font-size:([\d.]+)px", element.get("style", ""))
    assert found is not None
    return float(found[1])


def box(element: etree._Element) -> shapely.Polygon:
    """Return the room that a centred text takes."""
    assert "text-anchor:middle" in element.get("style", "")
    width, height = block_size(lines(element), size(element), bold=bold_rows(element))
    x, top = float(element.get("x", "")), float(element.get("y", "")) - ASCENT * size(element)
    return shapely.box(x - width / 2, top, x + width / 2, top + height)


def arrow_points(elements: list[etree._Element]) -> tuple[tuple[float, float], ...]:
    """Return the tail and the tip of the arrow."""
    shaft, head = (parse_path(one.get("d", ""))[0] for one in elements if one.tag.endswith("}path"))
    return shaft.start, head.start


def test_a_roomy_part_has_the_full_label_at_full_size() -> None:
    labels = Labels()
    made = label(FRONT, rectangle(500, 300), labels=labels)
    (words,) = texts(made)
    assert lines(words) == ["Front 38", "1 of 2"]
    assert size(words) == SIZES[0] == 25.0
    assert labels.legend == ()
    assert box(words).centroid.distance(shapely.Point(250, 150)) < 40


def test_a_part_with_its_printed_side_down_says_so_in_words() -> None:
    (words,) = texts(label(MIRRORED, rectangle(500, 300)))
    assert lines(words) == ["Front 38", "2 of 2", "printed side down"]


def test_a_doubtful_top_is_marked() -> None:
    (words,) = texts(label(DOUBTFUL, rectangle(500, 300)))
    assert lines(words)[-1] == "top not certain"


@pytest.mark.parametrize(
    ("outline", "expected"),
    [
        (rectangle(400, 24), ["Front 38, 2 of 2, printed side down"]),
        (rectangle(130, 90), ["Front 38", "2 of 2", "printed side down"]),
        (rectangle(90, 250), ["Front", "38", "2 of 2", "printed", "side", "down"]),
    ],
)
def test_a_narrow_part_breaks_its_label_to_fit(outline: Outline, expected: list[str]) -> None:
    (words,) = texts(label(MIRRORED, outline))
    assert lines(words) == expected
    assert shapely.Polygon(outline).contains(box(words))
    assert size(words) >= SIZES[-1]


@pytest.mark.parametrize(
    ("turn", "direction"), [(0.0, (1, 0)), (90.0, (0, -1)), (180.0, (-1, 0)), (270.0, (0, 1))]
)
def test_the_arrow_points_to_the_top(turn: float, direction: tuple[int, int]) -> None:
    made = label(FRONT, rectangle(500, 300), turn=turn)
    (ax, ay), (bx, by) = arrow_points(made)
    length = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
    assert ((bx - ax) / length, (by - ay) / length) == pytest.approx(direction, abs=1e-9)


def test_a_part_too_small_for_words_has_a_letter_that_the_legend_explains() -> None:
    labels = Labels()
    first = texts(label(FRONT, rectangle(40, 20), labels=labels))
    again = texts(label(FRONT, rectangle(40, 20), labels=labels))
    other = texts(label(MIRRORED, rectangle(40, 20), labels=labels))
    assert [lines(one[0]) for one in (first, again, other)] == [["A"], ["A"], ["B"]]
    assert labels.legend == ("A = Front 38", "B = Front 38, printed side down")


def test_a_number_keeps_off_the_marks_apart_from_its_arrow_if_need_be() -> None:
    bar = shapely.box(12, 0, 28, 20)
    mark = DrawnMark(etree.Element("path"), bar, is_text=False)
    made = label(FRONT, rectangle(40, 20), (mark,))
    (words,) = texts(made)
    assert not box(words).intersects(bar)
    assert not any(bar.contains(shapely.Point(end)) for end in arrow_points(made))


def test_a_part_without_any_room_still_has_its_letter() -> None:
    everywhere = DrawnMark(etree.Element("path"), shapely.box(0, 0, 40, 20), is_text=True)
    for outline in (rectangle(40, 20), rectangle(4, 2)):
        assert lines(texts(label(FRONT, outline, (everywhere,)))[0]) == ["A"]


@pytest.mark.parametrize(("width", "left"), [(300, 1), (40, 2)])
def test_the_designers_label_goes_only_where_ours_is_said_in_full(width: int, left: int) -> None:
    words = etree.Element("text")
    note = DrawnMark(words, shapely.box(1, 1, 4, 4), is_text=True)
    twin = DrawnMark(words, shapely.box(5, 5, width - 5, 35), is_text=True, is_label=True)
    face = Face("kind", rectangle(width, 40), (note, twin), 0.0)
    shown = Labels().shown(FRONT, face)
    assert len(shown.marks) == left
    assert shown.marks[0] is note


def test_the_fullest_lines_are_liked_best_and_none_is_told_twice() -> None:
    ways = arrangements(MIRRORED)
    assert next(iter(ways)) == (("Front 38", "2 of 2", "printed side down"), 1)
    # A name that is broken stands out whole.
    assert (("Front", "38", "2 of 2", "printed side down"), 2) in ways
    assert list(ways.values()) == sorted(ways.values(), reverse=True)
    assert len(arrangements(Caption("Tab", "1 of 1", False, True))) == 2


def test_the_caption_counts_copies_over_all_garments() -> None:
    plan = plan_of(garment().document(), between_selvedges(1400.0, garments=3))
    spot = Placement("front", (4,), 2, 0.0, True, 0.0, 0.0)
    caption = caption_of(plan.cuts["front"], spot, nap=True)
    assert (caption.title, caption.count, caption.flipped) == ("Front", "4 of 6", True)
    assert caption.line == "Front, 4 of 6, printed side down"


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_in_every_sample_labels_lie_in_their_part_and_off_other_words(sample: Path) -> None:
    document = parse(sample)
    sheet, layer = drawn_into(document, between_selvedges(1500.0))
    groups = part_groups(layer)
    assert len(groups) == len(sheet.layout.placements)
    for spot, group in zip(sheet.layout.placements, groups, strict=True):
        part = shapely.Polygon([(x, sheet.width - y) for x, y in placed_outline(sheet, spot)])
        (caption,) = [one for one in group if one.get(lay("role")) == "label"]
        (words,) = texts(list(caption))
        assert part.contains(box(words))
        assert size(words) >= 5.0
        if lines(words)[0].isdigit():
            continue
        assert size(words) >= SIZES[-1]
        name = sheet.plan.cuts[spot.piece].drawn.name.split()
        told = [" ".join(one.itertext()).split() for one in texts(list(group.iter()))]
        if " ".join(lines(words)).split()[: len(name)] == name:
            assert sum(one[: len(name)] == name for one in told) == 1, name
