# SPDX-License-Identifier: GPL-2.0-or-later
"""One piece put together from what is drawn of it."""

from __future__ import annotations

import pytest
from shapely.geometry import Polygon

from extension.pieces.attributes import PIECE_ATTRIBUTES, SETTABLE, piece_details
from extension.pieces.cutlist import Demand
from nesting.geometry.shapes import unfold
from tests.helpers.drawn import ids, piece, read, refusal, sheet


def test_a_piece_without_details_is_cut_once_and_lies_both_ways() -> None:
    drawing = sheet()
    drawing.add_rect(10, 20, 300, 500, id="front")
    found = piece(drawing)
    said = found.details
    assert (found.id, found.name, found.size) == ("front", "front", None)
    assert found.outline == ((10, -20), (310, -20), (310, -520), (10, -520))
    assert found.cutting == found.outline
    assert found.demands == (Demand(1, "main", "mirrored"),)
    assert (said.turns, said.turns_on_nap, said.off_grain) == ((0, 180), False, 0)
    assert (said.side_up, said.priority, found.allowance) == ("face", None, 0)


def test_every_detail_reaches_the_piece() -> None:
    drawing = sheet()
    drawing.add_rect(
        *(10, 20, 300, 500),
        id="p1",
        lay={
            "name": "Flap",
            "size": "38",
            "cut": "2; 1 Futter same",
            "turns": "four-way",
            "turns-on-nap": "allow",
            "off-grain": "2deg",
            "side-up": "either",
            "priority": "3",
            "grain": "left",
            "allowance": "1cm",
        },
    )
    found = piece(drawing)
    said = found.details
    assert (found.id, found.name, found.size) == ("p1", "Flap", "38")
    assert found.demands == (Demand(2, "main", "mirrored"), Demand(1, "lining", "same"))
    assert (said.turns, said.turns_on_nap, said.off_grain) == ((0, 90, 180, 270), True, 2)
    assert (said.side_up, said.priority, found.allowance) == ("either", 3, 10)
    assert (found.grain, found.grain_from, found.top_certain) == (180, "typed", True)
    assert Polygon(found.cutting).area == pytest.approx(320 * 520)
    assert Polygon(found.outline).area == pytest.approx(300 * 500)


def test_details_travel_whole_whatever_they_are() -> None:
    """Nobody copies them one by one, so that none can be left behind."""
    drawing = sheet()
    given = {**PIECE_ATTRIBUTES, "grain": "up", "fold": "none", "leave-out": "no"}
    given = {name: given[name] for name in SETTABLE if name != "match"}
    drawing.add_rect(10, 20, 300, 500, id="p1", lay=given)
    assert piece(drawing).details == piece_details(given, "x", "p1")


@pytest.mark.parametrize(
    ("on_group", "on_outline", "expected"),
    [
        ({"name": "Front"}, {}, "g1"),
        ({}, {"name": "Front"}, "p1"),
        ({"cut": "2"}, {"name": "Front"}, "g1"),
        ({}, {}, "g1"),
        ({"size": "38"}, {"cut": "2"}, "p1"),
    ],
)
def test_a_piece_goes_by_the_id_of_what_carries_its_details(
    on_group: dict[str, str], on_outline: dict[str, str], expected: str
) -> None:
    drawing = sheet()
    group = drawing.add_group(id="g1", lay=on_group)
    drawing.add_rect(10, 20, 300, 500, group, id="p1", lay=on_outline)
    assert piece(drawing).id == expected


def test_a_name_given_in_the_editor_serves_where_no_other_is() -> None:
    drawing = sheet()
    drawing.add_rect(10, 20, 300, 500, id="p1", label="Left sleeve")
    group = drawing.add_group(id="g1", label="Cuff")
    drawing.add_rect(400, 20, 300, 100, group, id="p2")
    assert [each.name for each in read(drawing).pieces] == ["Left sleeve", "Cuff"]


def test_details_of_a_group_and_of_its_outline_are_merged_the_inner_ones_winning() -> None:
    drawing = sheet()
    outer = drawing.add_group(id="g1", lay={"cut": "2", "name": "Front"})
    inner = drawing.add_group(outer, id="g2", lay={"turns": "one-way"})
    drawing.add_rect(10, 20, 300, 500, inner, id="p1", lay={"cut": "4", "name": "FRONT"})
    found = piece(drawing)
    assert (found.demands[0].cut, found.details.turns, found.name) == (4, (0,), "FRONT")
    assert found.notes == (
        "“FRONT” (g1) has lay:cut=“2” on a group round it and “4” on its outline (p1): the latter "
        "is used.",
    )


def test_a_size_within_another_is_told() -> None:
    drawing = sheet()
    layer = drawing.add_layer("38", lay={"size": "38"})
    drawing.add_rect(10, 20, 300, 500, layer, id="p1", lay={"size": "40"})
    found = piece(drawing)
    assert found.size == "40"
    assert "has size “40” but lies in a group of size “38”" in found.notes[0]


def test_the_outline_is_the_first_of_the_marks() -> None:
    drawing = sheet()
    group = drawing.add_group(id="g1", lay={"name": "Front"})
    drawing.add_line((150, 450), (150, 100), group, id="grain", lay={"role": "grainline"})
    drawing.add_rect(10, 20, 300, 500, group, id="p1")
    drawing.add_rect(20, 30, 280, 480, group, id="seam")
    drawing.add_path("M 100 100 h 6 v 6 z", group, id="drill")
    drawing.add_text("Front", 120, 200, group, id="label")
    found = [(mark.leaf.id, mark.role) for mark in piece(drawing).marks]
    assert found == [
        ("p1", "outline"),
        ("grain", "grainline"),
        ("seam", "stitching"),
        ("drill", "mark"),
        ("label", "label"),
    ]


class TestAllowance:
    def test_the_usual_one_is_added_where_a_piece_does_not_say(self) -> None:
        drawing = sheet()
        drawing.add_rect(10, 20, 300, 500, id="p1", lay={"cut": "1"})
        drawing.add_rect(400, 20, 300, 500, id="p2", lay={"allowance": "0mm"})
        drawing.add_rect(800, 20, 300, 500, id="p3", lay={"allowance": "5/8in"})
        found = read(drawing, default_allowance_mm=15.0).pieces
        assert [each.allowance for each in found] == [15, 0, 15.875]
        assert Polygon(found[0].cutting).area == pytest.approx(330 * 530)

    def test_it_is_not_added_to_a_drawn_cutting_line(self) -> None:
        drawing = sheet()
        drawing.add_rect(10, 20, 300, 500, id="p1", lay={"cut": "2"})
        drawing.add_rect(20, 30, 280, 480, id="seam")
        found = piece(drawing, default_allowance_mm=15.0)
        assert found.allowance == 0
        assert "(p1) shows its stitching line, so no seam allowance" in found.notes[0]
        assert piece(drawing).notes == ()

    def test_on_a_fold_piece_the_ends_of_the_fold_move_along_it(self) -> None:
        drawing = sheet()
        drawing.add_rect(10, 20, 300, 500, id="p1", lay={"fold": "left", "allowance": "15mm"})
        found = piece(drawing)
        assert found.fold is not None
        assert sorted(found.fold) == [(10, -535), (10, -5)]
        assert Polygon(unfold(found.cutting, found.fold)).area == pytest.approx(630 * 530)
        assert Polygon(found.outline).bounds == (10, -520, 310, -20)


def test_an_odd_count_in_pairs_is_told() -> None:
    drawing = sheet()
    cut = "3; 5 lining same; 1 interfacing"
    drawing.add_path("M 10 20 h 300 v 500 h -280 Z", id="p1", lay={"cut": cut, "grain": "up"})
    drawing.add_rect(400, 20, 300, 500, id="p2", lay={"cut": "3", "fold": "left"})
    one, two = read(drawing).pieces
    assert len(one.notes) == 1
    assert "(p1) is cut 3 times from main: in mirrored pairs, and one as drawn." in one.notes[0]
    assert two.notes == ()


def test_two_pieces_in_a_cloned_group_have_ids_of_their_own() -> None:
    drawing = sheet()
    both = drawing.add_group(id="both")
    drawing.add_rect(10, 20, 200, 300, both, id="p1", lay={"cut": "1"})
    drawing.add_rect(300, 20, 200, 300, both, id="p2", lay={"cut": "1"})
    drawing.add_use("both", id="again", y=500)
    assert ids(read(drawing)) == ["p1", "p2", "again/p1", "again/p2"]


def test_an_outline_that_holds_a_nest_in_one_path_is_refused() -> None:
    drawing = sheet()
    drawing.add_path("M 0 0 H 300 V 500 H 0 Z M 20 20 H 200 V 300 H 20 Z", id="nest")
    assert "(nest) holds one outline inside another in one path" in refusal(drawing)
