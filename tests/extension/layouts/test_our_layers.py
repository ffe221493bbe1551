# SPDX-License-Identifier: GPL-2.0-or-later
"""Our layers are known by what stands on them, and each command renews what it drew itself."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from lxml import etree

from extension.drawn.joined import draw_joined
from extension.job.options import LayOutOptions
from extension.language.names import lay
from extension.operations.lay_out import lay_out
from extension.operations.running import Run
from extension.svg.document import parse
from tests.helpers.broken import rectangle
from tests.helpers.edited import Edited
from tests.helpers.hers import LAY, full, parts_of
from tests.helpers.joined import STROKE, d, run, sheet
from tests.helpers.layouts import no_time
from tests.helpers.plain import without_the_editor

SVG = "{http://www.w3.org/2000/svg}"
EARLIER = Path(__file__).parent / "earlier"


def with_all() -> Edited:
    """The garment with a review, joined outlines, a table and the marks of a check."""
    edited = Edited()
    edited.root = parse(full("garment")).root
    return edited


def checked(edited: Edited) -> Edited:
    again = Edited()
    again.root = parse(edited.check().drawing).root
    return again


def longer() -> Edited:
    edited = Edited()
    edited.transform("back", 1, "translate(400,0)")
    return edited


def words(edited: Edited, place: int = 2) -> str:
    return " ".join(span.text or "" for span in edited.layer[place].iter(f"{SVG}tspan"))


def ids(edited: Edited) -> list[str]:
    return [str(one.get("id")) for one in edited.root.iter(etree.Element) if one.get("id")]


# --- parts on other layers ---

PLACES = ("cloth", "measures")
ELSEWHERE = ("review", "table", "joined")


@pytest.mark.parametrize("place", PLACES)
def test_a_part_that_was_raised_or_lowered_is_counted_and_still_there(place: str) -> None:
    edited = longer()
    part = edited.part("back")
    next(one for one in edited.layer if one.get(lay("holds")) == place).append(part)
    assert edited.found() == []
    again = checked(edited)
    assert again.find(str(part.get("id"))).getparent().get(lay("holds")) == place
    assert "5 of 5 parts" in words(again)
    assert again.found() == []


@pytest.mark.parametrize("attribute", ELSEWHERE)
def test_a_part_on_any_layer_of_ours_is_counted_and_still_there(attribute: str) -> None:
    edited = with_all()
    part = parts_of(edited.root)[1]
    for layer in [one for one in edited.root.iter(f"{SVG}g") if one.get(f"{LAY}{attribute}")]:
        # Where it is seen it stays: all our layers lie on the page's millimetres but for a move.
        moved = edited.layer.get("transform", "")
        part.set("transform", f"{_undone(layer.get('transform'))} {moved}")
        layer.append(part)
        outcome = edited.check()
        assert outcome.summary[0].startswith("5 of 5 parts, no overlap")
        assert part.get("id") in [x.get("id") for x in parse(outcome.drawing).root.iter(f"{SVG}g")]


def _undone(text: str | None) -> str:
    """Return the transform that undoes a move."""
    numbers = (text or "matrix(1 0 0 1 0 0)").removeprefix("matrix(").rstrip(")").split()
    assert numbers[:4] == ["1", "0", "0", "1"]
    return f"translate({-float(numbers[4])},{-float(numbers[5])})"


# --- whose notes are whose ---


def test_check_leaves_the_review_of_markings_and_the_rings_of_joining() -> None:
    edited = with_all()
    document = edited.document
    draw_joined(document, [], [(10.0, 10.0)])
    edited.root = document.root
    layers = [
        one.get(lay("review")) for one in edited.root.iter(f"{SVG}g") if one.get(lay("review"))
    ]
    assert {"markings", "joined-2", "thriftlay-1"} <= set(layers)
    before = {
        str(one.get(lay("review"))): etree.tostring(one, method="c14n")
        for one in edited.root.iter(f"{SVG}g")
        if one.get(lay("review")) in ("markings", "joined-2")
    }
    after = checked(edited).root
    for name, text in before.items():
        (layer,) = [one for one in after.iter(f"{SVG}g") if one.get(lay("review")) == name]
        assert etree.tostring(layer, method="c14n") == text
    assert [one.get(lay("review")) for one in after.iter(f"{SVG}g") if one.get(lay("review"))] == [
        *sorted(before, key=layers.index),
        "thriftlay-1",
    ]


def test_marks_of_a_layout_that_is_gone_go_with_the_next_check() -> None:
    edited = with_all()
    marks = next(
        one for one in edited.root.iter(f"{SVG}g") if one.get(lay("review")) == "thriftlay-1"
    )
    marks.set(lay("review"), "thriftlay-9")
    again = checked(edited).root
    assert not [one for one in again.iter(f"{SVG}g") if one.get(lay("review")) == "thriftlay-9"]


# --- what is drawn anew ---


def test_decoration_keeps_its_ids_so_that_her_clones_show_it_still() -> None:
    edited = Edited()
    before = [one for one in ids(edited) if "-cloth" in one or "-measures" in one]
    again = checked(edited)
    assert set(before) <= set(ids(again))
    assert set(ids(checked(again))) == set(ids(again))


def test_a_text_of_ours_that_was_written_anew_stays_and_is_told() -> None:
    edited = longer()
    title = edited.layer[2][0]
    title[0].text = "For Ada"
    outcome = edited.check()
    again = Edited()
    again.root = parse(outcome.drawing).root
    assert "For Ada" in words(again)
    assert "needs 0.86 m" in words(again)
    assert f"not judged: the text “For Ada” ({title.get('id')})" in " ".join(outcome.summary)


def test_a_sublayer_is_known_whatever_it_is_called() -> None:
    edited = longer()
    for place, label in enumerate(("measures", "cloth", "Stoff")):
        edited.layer[place].set("{http://www.inkscape.org/namespaces/inkscape}label", label)
    again = checked(edited)
    assert "0.86 m" in words(again)
    assert [len(one) for one in checked(longer()).layer] == [len(one) for one in again.layer]


def test_a_sublayer_of_hers_that_is_called_like_ours_is_hers() -> None:
    edited = longer()
    edited.delete(edited.layer[2])
    mine = etree.SubElement(edited.layer, f"{SVG}g", id="mine")
    mine.set("{http://www.inkscape.org/namespaces/inkscape}label", "measures")
    assert len(checked(edited).find("mine")) == 0


# --- without the editor's own attributes ---


def test_a_plain_svg_is_checked_and_renewed_like_any_other() -> None:
    plain = longer()
    without_the_editor(plain.root)
    outcome, usual = plain.check(), longer().check()
    assert outcome.summary == usual.summary
    assert words(checked(plain)) == words(checked(longer()))
    assert "0.46 m" not in words(checked(plain))
    assert "Layout 1 – 90 cm, main" in words(checked(plain))
    assert [len(one) for one in checked(plain).layer] == [
        len(one) for one in checked(longer()).layer
    ]


def test_a_joined_outline_in_a_plain_svg_is_the_piece_that_was_laid() -> None:
    """The layer of joined outlines is no group that would be the piece in its stead."""
    whole = rectangle(20.0, 20.0, 120.0, 80.0)
    drawing = sheet()
    for first, last in zip(whole, np.roll(whole, -1, axis=0), strict=True):
        drawing.add_path(d([np.array([first, last])]), style=STROKE)
    joined = run(drawing).drawing
    assert joined is not None
    options = LayOutOptions(900.0, no_grain="lay", rounds=1)
    edited = Edited()
    edited.root = parse(lay_out(parse(joined), options, Run(no_time, lambda _: True)).drawing).root
    usual = edited.check().summary
    without_the_editor(edited.root)
    assert edited.found() == []
    assert edited.check().summary == usual


# --- layouts of an earlier version ---


def earlier(name: str = "laid") -> Edited:
    """Return what the version wrote that knew its decoration by ids."""
    edited = Edited()
    edited.root = parse(EARLIER / f"{name}.svg").root
    return edited


def test_a_layout_of_an_earlier_version_is_checked_and_renewed() -> None:
    edited = earlier()
    assert not [one for one in edited.root.iter(etree.Element) if one.get(lay("decoration"))]
    assert edited.found() == []
    _is_renewed(checked(edited))
    _is_renewed(checked(checked(edited)))


def test_marks_of_a_check_by_an_earlier_version_are_replaced_and_hers_stay() -> None:
    edited = earlier("checked")
    (marks,) = _reviews(edited)
    etree.SubElement(marks, f"{SVG}path", id="mine", d="M 0,0 L 1,1")
    again = checked(edited)
    assert [one.get("id") for one in _reviews(again)[0]] == ["mine"]
    _is_renewed(again)
    edited.delete(edited.find("mine"))
    assert len(_reviews(checked(edited))) == 1


def _is_renewed(edited: Edited) -> None:
    """See that cloth and measures are those of now alone."""
    said = words(edited)
    assert "needs 0.86 m" in said
    assert "0.46 m" not in said
    assert said.count("Layout 1 – 90 cm, main") == 1
    assert [len(one) for one in edited.layer] == [len(one) for one in checked(longer()).layer]
    assert all(one.get(lay("decoration")) for one in (*edited.layer[0], *edited.layer[2]))


def _reviews(edited: Edited) -> list[etree._Element]:
    return [one for one in edited.root.iter(f"{SVG}g") if one.get(lay("review"))]


@pytest.mark.parametrize("place", [0, 2])
def test_marks_of_ungrouped_parts_on_layers_of_an_earlier_version_stay(place: int) -> None:
    edited = earlier()
    loose = []
    for of, number in (("front", 1), ("back", 1), ("tab", 2)):
        group = edited.part(of, number)
        inside = list(group)
        edited.ungroup(of, number)
        loose += inside
    edited.layer[place].extend(loose)
    again = checked(edited)
    assert {one.get("id") for one in loose} <= {one.get("id") for one in again.layer[place]}
    assert again.found() == []


def test_without_its_title_nobody_knows_where_earlier_measures_begin_and_all_stay() -> None:
    edited = earlier()
    edited.delete(edited.layer[2][0])
    before = [one.get("id") for one in edited.layer[2]]
    again = [one.get("id") for one in checked(edited).layer[2]]
    assert again[-len(before) :] == before
