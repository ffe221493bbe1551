# SPDX-License-Identifier: GPL-2.0-or-later
"""The sample drawings are what the drafts draw, and the drafts are believable garments."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise
from pathlib import Path

import pytest
import svgelements
from lxml import etree
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import TextPath
from shapely import LineString, Point, Polygon, box

from tests.helpers.drafting import (
    apron,
    border_skirt,
    jacket,
    jacket_block,
    shirt,
    skirt,
    smock,
    striped_top,
    trousers,
)
from tests.helpers.drafting.catalogue import SAMPLES
from tests.helpers.drafting.curves import (
    Chain,
    length,
    named,
    outward,
    position,
    ring,
    sampled,
    split,
    sweep,
    tangent,
    trued,
)
from tests.helpers.drafting.draft import Draft, Label
from tests.helpers.drafting.place import label_box, line_sizes, settled
from tests.helpers.drafting.sheet import Page, Sheet
from tests.helpers.drafting.through_pdf import IMPORTED

GARMENTS: dict[str, Callable[[], Sequence[Draft]]] = {
    "apron": apron.drafts,
    "skirt": skirt.drafts,
    "jacket": jacket.drafts,
    "trousers": trousers.drafts,
    "shirt": shirt.drafts,
    "top": striped_top.drafts,
    "border skirt": border_skirt.drafts,
    "smock": lambda: (
        smock.front(), smock.back(), smock.sleeve(), smock.pocket(), smock.strap(),
        smock.binding(), smock.collar(),
    ),
}  # fmt: skip
DRAFTS = [
    pytest.param(draft, id=f"{garment}-{draft.id}")
    for garment, drafts in GARMENTS.items()
    for draft in drafts()
]
each_draft = pytest.mark.parametrize("draft", DRAFTS)
each_sample = pytest.mark.parametrize("name", list(SAMPLES))

MATCH = 2.0
"""mm by which two seams that are sewn together may differ (common practice, no source)."""


def area_of(chain: Chain) -> Polygon:
    return Polygon([(p.real, p.imag) for p in ring(chain)])


# --- the files ---


@each_sample
def test_the_file_is_what_its_draft_draws(name: str, samples: Path) -> None:
    drawn = SAMPLES[name]().text_file()
    assert (samples / name).read_bytes().decode("utf-8") == drawn, (
        "draw the samples anew: python -m tests.helpers.drafting"
    )


@each_sample
def test_every_file_says_that_it_is_invented(name: str, samples: Path) -> None:
    text = (samples / name).read_text(encoding="utf-8")
    assert text.count("invented sample") >= 2
    assert "Invented sample: the pattern label Ottervane" in text


def test_the_readme_names_every_sample(samples: Path) -> None:
    readme = (samples / "README.md").read_text(encoding="utf-8")
    assert "invented" in readme
    names = [*SAMPLES, *IMPORTED]
    assert sorted(names) == sorted(path.name for path in samples.glob("*.svg"))
    assert all(f"`{name}`" in readme for name in names)


@each_sample
def test_pieces_lie_apart_and_on_the_page(name: str, samples: Path) -> None:
    # Read by an independent library (svgelements), which works out all transforms itself.
    drawing = svgelements.SVG.parse(str(samples / name), ppi=25.4)
    page = box(0, 0, drawing.width, drawing.height)
    pieces = [
        (element.id, Polygon([(p.x, p.y) for p in polygon_of(element)]))
        for element in drawing.elements()
        if isinstance(element, svgelements.Path)
        and element.values.get("{urn:thriftlay:1}role") == "outline"
        and element.values.get("display") != "none"
    ]
    assert len(pieces) >= 4
    for index, (one, shape) in enumerate(pieces):
        assert shape.is_valid, one
        assert page.contains(shape), one
        for other, another in pieces[index + 1 :]:
            assert shape.distance(another) > 5.0, (one, other)


def polygon_of(path: svgelements.Path) -> list[svgelements.Point]:
    points = []
    for segment in path:
        if not isinstance(segment, svgelements.Move):
            points += [segment.point(step / 24) for step in range(1, 25)]
    return points


# --- the drafts ---


@each_draft
def test_the_outline_is_closed_and_clockwise_and_does_not_cross_itself(draft: Draft) -> None:
    for chain in (draft.seam, draft.cutting):
        for edge, following in zip(chain, (*chain[1:], chain[0]), strict=True):
            assert abs(edge.end - following.start) < 1e-6
        shape = area_of(chain)
        assert shape.is_valid
        # Clockwise as seen with y down is what shapely, y up, calls counter-clockwise.
        assert shape.exterior.is_ccw


@each_draft
def test_curves_of_one_seam_join_without_a_kink(draft: Draft) -> None:
    for edge, following in pairwise(draft.seam):
        if edge.name == following.name and not (edge.is_line and following.is_line):
            turn = tangent(edge, 1.0).conjugate() * tangent(following, 0.0)
            assert abs(math.degrees(math.atan2(turn.imag, turn.real))) < 1.0, edge.name


@each_draft
def test_the_cutting_line_keeps_its_allowance(draft: Draft) -> None:
    around = LineString([(p.real, p.imag) for p in (*ring(draft.cutting), draft.cutting[0].start)])
    for edge in draft.seam:
        width = 0.0 if edge.name == draft.fold else draft.allowance.get(edge.name, draft.usual)
        point = position(edge, 0.5) + width * outward(edge, 0.5)
        assert around.distance(Point(point.real, point.imag)) < 0.3, edge.name


@each_draft
def test_notches_begin_on_the_outline_and_point_inwards(draft: Draft) -> None:
    shape = area_of(draft.cutting)
    for outer, inner in draft.notch_lines():
        assert shape.exterior.distance(Point(outer.real, outer.imag)) < 0.05
        assert shape.contains(Point(inner.real, inner.imag))
        assert shape.exterior.distance(Point(inner.real, inner.imag)) > 4.0


@each_draft
def test_the_label_fits_inside_and_crosses_no_line(draft: Draft) -> None:
    label = settled(draft)
    block = box(*label_box(label))
    assert area_of(draft.seam).contains(block)
    strokes = [*draft.darts, *draft.notch_lines(), *([draft.grain] if draft.grain else [])]
    strokes += [[p for edge in chain for p in sampled(edge)] for chain in draft.lines]
    for stroke in strokes:
        assert not block.intersects(LineString([(p.real, p.imag) for p in stroke]))


@each_draft
def test_no_label_is_set_wider_than_was_reckoned(draft: Draft) -> None:
    # Against the letters themselves, in the common sans-serif that matplotlib carries.
    label = settled(draft)
    low, _, high, _ = label_box(label)
    for index, (words, size) in enumerate(zip(label.lines, line_sizes(label), strict=True)):
        font = FontProperties(family="DejaVu Sans", weight="bold" if index == 0 else "normal")
        drawn = TextPath((0, 0), words, size=size, prop=font).get_extents()
        assert drawn.width <= high - low


@each_draft
def test_grain_and_folds_are_straight_and_inside(draft: Draft) -> None:
    shape = area_of(draft.cutting)
    if draft.grain is not None:
        assert shape.contains(LineString([(p.real, p.imag) for p in draft.grain]))
    if draft.fold is not None:
        edges = named(draft.seam, draft.fold)
        assert len(edges) == 1
        assert edges[0].is_line


def test_a_natural_curve_turns_a_quarter_circle() -> None:
    # Known: four cubics with handles 0.5523 r draw a circle within 0.03 % of its radius.
    quarter = sweep("quarter", 0 + 0j, 0.0, 100 + 100j, 90.0)
    assert quarter.points[1].real == pytest.approx(55.23, abs=0.05)
    for share in range(11):
        assert abs(position(quarter, share / 10) - 100j) == pytest.approx(100.0, abs=0.05)
    assert length((quarter,)) == pytest.approx(50.0 * math.pi, abs=0.05)


def test_a_split_curve_is_the_same_curve() -> None:
    edge = sweep("curve", 0j, 10.0, 120 + 40j, 70.0)
    first, last = split(edge, 0.3)
    assert length((first, last)) == pytest.approx(length((edge,)), abs=0.01)
    assert position(last, 0.5) == pytest.approx(position(edge, 0.65), abs=1e-9)


def test_truing_refuses_what_cannot_be_reached() -> None:
    assert trued(lambda value: 2.0 * value, 5.0, 0.0, 10.0) == pytest.approx(2.5)
    with pytest.raises(ValueError, match="not between"):
        trued(lambda value: 2.0 * value, 50.0, 0.0, 10.0)


# --- seams that are sewn together ---


def seam(draft: Draft, *names: str) -> float:
    return sum(draft.seam_length(name) for name in names)


def by_id(drafts: Sequence[Draft]) -> dict[str, Draft]:
    return {draft.id: draft for draft in drafts}


@pytest.mark.parametrize(
    ("garment", "one", "one_edge", "other", "other_edge"),
    [
        ("skirt", "back", "side", "wrap-front", "side"),
        ("skirt", "wrap-facing", "edge", "wrap-front", "edge"),
        ("jacket", "back", "side", "front", "side"),
        ("jacket", "back-lining", "side", "front-lining", "side"),
        ("jacket", "front-facing", "facing", "front-lining", "facing"),
        ("jacket", "neck-facing", "facing", "back-lining", "facing"),
        ("jacket", "front-facing", "shoulder", "neck-facing", "shoulder"),
        ("jacket", "top-sleeve", "front-seam", "under-sleeve", "front-seam"),
        ("jacket", "top-sleeve", "hind-seam", "under-sleeve", "hind-seam"),
        ("jacket", "top-collar", "outer", "under-collar", "outer"),
        ("trousers", "front-leg", "inseam", "back-leg", "inseam"),
        ("trousers", "front-leg", "outseam", "back-leg", "outseam"),
        ("smock", "smock-front", "side", "smock-back", "side"),
        ("shirt", "shirt-front", "side", "shirt-back", "side"),
        ("shirt", "shirt-front", "shoulder", "shirt-back", "shoulder"),
        ("top", "top-front", "side", "top-back", "side"),
        ("top", "top-front", "shoulder", "top-back", "shoulder"),
    ],
)
def test_seams_that_meet_are_equally_long(
    garment: str, one: str, one_edge: str, other: str, other_edge: str
) -> None:
    pieces = by_id(GARMENTS[garment]())
    first, second = seam(pieces[one], one_edge), seam(pieces[other], other_edge)
    assert first > 20.0
    assert first == pytest.approx(second, abs=MATCH)


def test_the_skirt_band_is_as_long_as_the_waist_with_its_darts_closed() -> None:
    pieces = by_id(skirt.drafts())
    for band, body in (("back-band", "back"), ("front-band", "wrap-front")):
        (start, _, end) = pieces[body].darts[0]
        waist = seam(pieces[body], "waist") - abs(end - start)
        assert seam(pieces[band], "waist") == pytest.approx(waist, abs=MATCH)


def test_dart_legs_are_equally_long() -> None:
    for draft in skirt.drafts():
        for leg, apex, other in draft.darts:
            assert abs(apex - leg) == pytest.approx(abs(apex - other), abs=MATCH)


def test_the_jacket_sleeve_is_eased_into_its_armhole() -> None:
    # 10 to 25 mm of ease in the cap of a child's jacket: common practice, no source.
    pieces = by_id(jacket.drafts())
    armhole = seam(pieces["front"], "armhole") + seam(pieces["back"], "armhole")
    cap = seam(pieces["top-sleeve"], "cap") + seam(pieces["under-sleeve"], "cap")
    assert 10.0 <= cap - armhole <= 25.0
    lining = seam(pieces["front-lining"], "armhole") + seam(pieces["back-lining"], "armhole")
    assert lining == pytest.approx(armhole, abs=MATCH)


def test_the_jacket_shoulder_is_eased_by_a_few_millimetres() -> None:
    pieces = by_id(jacket.drafts())
    ease = seam(pieces["back"], "shoulder") - seam(pieces["front"], "shoulder")
    assert 2.0 <= ease <= 8.0


def test_the_notches_of_armhole_and_cap_meet() -> None:
    """From the underarm up, body and sleeve have their notches at the same distance."""
    pieces = by_id(jacket.drafts())
    under, top = pieces["under-sleeve"], pieces["top-sleeve"]
    back_under = under.notches[0].at
    front_under = seam(under, "cap") - back_under
    shoulder, front, back = top.notches
    assert front_under + seam(top, "cap") - front.at == pytest.approx(
        seam(pieces["front"], "armhole") - pieces["front"].notches[0].at, abs=MATCH
    )
    assert back_under + back.at == pytest.approx(
        seam(pieces["back"], "armhole") - pieces["back"].notches[0].at, abs=MATCH
    )
    assert back.at < shoulder.at < front.at
    assert back.double
    assert not front.double


def test_the_collar_fits_the_neck_to_the_centre_front() -> None:
    pieces = by_id(jacket.drafts())
    neck = seam(pieces["front"], "neck") + seam(pieces["back"], "neck") - jacket_block.EXTENSION
    assert seam(pieces["top-collar"], "neck") == pytest.approx(neck, abs=MATCH)


def test_the_waistband_of_the_trousers_fits_both_legs() -> None:
    pieces = by_id(trousers.drafts())
    waist = seam(pieces["front-leg"], "waist") + seam(pieces["back-leg"], "waist")
    assert seam(pieces["waistband"], "waist") == pytest.approx(waist, abs=MATCH)
    # The back crotch seam is the longer one, or nobody could sit down (common practice).
    assert seam(pieces["back-leg"], "crotch") > seam(pieces["front-leg"], "crotch") + 50.0


def test_the_raglan_seams_of_body_and_sleeve_match() -> None:
    sleeve = seam(smock.sleeve(), "raglan") / 2.0
    assert sleeve == pytest.approx(seam(smock.front(), "raglan"), abs=MATCH)
    assert sleeve == pytest.approx(seam(smock.back(), "raglan"), abs=MATCH)


def test_the_pocket_is_placed_where_the_jacket_front_marks_it() -> None:
    mark = by_id(jacket.drafts())["front"].lines[0]
    opening = seam(by_id(jacket.drafts())["pocket"], "opening")
    assert length(mark) == pytest.approx(opening, abs=6.0)


@pytest.mark.parametrize(("drafts", "name"), [(shirt.drafts, "shirt"), (striped_top.drafts, "top")])
def test_the_notches_of_a_box_sleeve_meet_those_of_the_front(
    drafts: Callable[[], Sequence[Draft]], name: str
) -> None:
    """From the underarm up, sleeve and front have their notches at the same distance."""
    pieces = by_id(drafts())
    front, sleeve = pieces[f"{name}-front"], pieces[f"{name}-sleeve"]
    body = seam(front, "armhole") - front.notches[1].at
    # The cap begins at its top, runs to the back underarm, and ends at the top from the front.
    assert sleeve.notches[0].at - seam(sleeve, "cap") / 2.0 == pytest.approx(body, abs=MATCH)
    ease = seam(sleeve, "cap") - 2.0 * seam(front, "armhole")
    assert 0.0 <= ease <= 10.0


def test_every_match_point_that_a_draft_names_is_drawn() -> None:
    for draft in (*shirt.drafts(), *striped_top.drafts()):
        drawing = sheet_of(draft)
        said = [e for e in drawing.iter() if e.get("{urn:thriftlay:1}match")]
        assert len(said) == len(draft.match), draft.id


def sheet_of(draft: Draft) -> etree._Element:
    page = Sheet(Page(1500, 1000), draft.name, "alone")
    return page.draw(page.root, draft)


def test_a_label_that_does_not_fit_is_refused() -> None:
    wide = Draft("strip", "Strip", "1", apron.pocket().seam, ("a name much too long " * 9,))
    with pytest.raises(ValueError, match="does not fit"):
        settled(wide)


def test_the_label_box_grows_with_its_letters() -> None:
    small, large = (label_box(Label(0j, ("Front", "cut 2"), size)) for size in (10.0, 20.0))
    assert large == pytest.approx(tuple(2.0 * value for value in small))
