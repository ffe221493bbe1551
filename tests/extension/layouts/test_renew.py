# SPDX-License-Identifier: GPL-2.0-or-later
"""Measures, cloth and stored figures follow what lies there; what is not ours stays."""

from __future__ import annotations

import json

import pytest
from lxml import etree

from extension.job.settings import options_of, result_of
from extension.language.names import lay
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from tests.helpers.edited import CLOTH, INKSCAPE, Edited

SVG = "{http://www.w3.org/2000/svg}"


def checked(edited: Edited) -> Edited:
    """Return the drawing after a check."""
    edited.root = parse(edited.check().drawing).root
    return edited


def sublayer(edited: Edited, label: str) -> etree._Element:
    return next(one for one in edited.layer if one.get(f"{INKSCAPE}label") == label)


def words(edited: Edited) -> str:
    return " ".join(span.text or "" for span in sublayer(edited, "measures").iter(f"{SVG}tspan"))


def longer() -> Edited:
    edited = Edited()
    edited.transform("back", 1, "translate(400,0)")
    return edited


def test_length_annotation_and_summary_tell_the_new_length() -> None:
    before, after = words(Edited()), words(checked(longer()))
    assert "needs 0.46 m + 5 cm end allowance – buy 0.60 m / 5/8 yd" in before
    assert "needs 0.86 m + 5 cm end allowance – buy 1.00 m / 1 yd" in after
    assert "0.46 m" not in after
    assert "Checked: 5 of 5 parts, no overlap, 0.86 m." in after
    assert "Seam allowance: included in the drawing." in after


def test_the_legend_of_small_parts_stays() -> None:
    legend = "Letters on small parts A = Tab"
    assert legend in words(Edited())
    assert legend in words(checked(Edited()))


@pytest.mark.parametrize("text", ["{", "3", "[", ""])
def test_a_damaged_legend_is_no_obstacle(text: str) -> None:
    edited = Edited()
    sublayer(edited, "measures").set(lay("legend"), text)
    assert "Letters on small parts" not in words(checked(edited))


def test_the_title_of_the_layer_stays() -> None:
    edited = Edited()
    edited.layer.set(f"{INKSCAPE}label", "Layout 1 – size 38, lining")
    assert "Layout 1 – size 38, lining" in words(checked(edited))


def test_the_drawn_cloth_follows_the_length_to_buy() -> None:
    edited = checked(longer())
    leaves = read_leaves(edited.document, include_layouts=True)
    cloth = next(leaf for leaf in leaves if leaf.label == "usable cloth")
    assert cloth.box[2] - cloth.box[0] == pytest.approx(1000.0)
    assert edited.found() == []


def test_stored_figures_are_the_new_ones_and_the_options_stay() -> None:
    edited = checked(longer())
    text = edited.layer.get(lay("settings"), "")
    assert options_of(text) == CLOTH
    assert result_of(text)["length_mm"] == pytest.approx(855.0, abs=0.1)
    assert result_of(text)["faults"] == 0


def test_what_a_person_put_on_our_sublayers_stays() -> None:
    edited = longer()
    for label in ("cloth", "measures"):
        etree.SubElement(sublayer(edited, label), f"{SVG}rect", id=f"mine-{label}", width="9")
    checked(edited)
    assert sublayer(edited, "cloth")[-1].get("id") == "mine-cloth"
    assert sublayer(edited, "measures")[-1].get("id") == "mine-measures"


def test_deleted_sublayers_stay_away() -> None:
    edited = longer()
    edited.delete(sublayer(edited, "measures"))
    edited.delete(sublayer(edited, "cloth"))
    checked(edited)
    assert [one.get(f"{INKSCAPE}label") for one in edited.layer] == ["parts"]


def test_measures_that_were_moved_aside_stay_aside() -> None:
    edited = longer()
    sublayer(edited, "measures").set("transform", "translate(0,500)")
    checked(edited)
    assert sublayer(edited, "measures").get("transform") == "translate(0,500)"
    assert sublayer(edited, "measures")[0].tag == f"{SVG}text"


def test_cloth_and_parts_moved_together_keep_together() -> None:
    edited = Edited()
    for label in ("cloth", "parts"):
        sublayer(edited, label).set("transform", "translate(30,200)")
    before = _cloth_box(edited)
    assert edited.found() == []
    assert _cloth_box(checked(edited)) == pytest.approx(before)
    assert edited.found() == []


def test_cloth_moved_by_itself_counts_where_it_is_seen() -> None:
    edited = Edited()
    sublayer(edited, "cloth").set("transform", "translate(30,0)")
    assert edited.found() == [("off the cloth", ("front #1",))]
    left, low, right, high = _cloth_box(edited)
    # The parts end 3 cm earlier on it: 0.43 m + 5 cm come to 0.50 m, not to 0.60 m.
    assert _cloth_box(checked(edited)) == pytest.approx((left, low, right - 100.0, high))


def _cloth_box(edited: Edited) -> tuple[float, ...]:
    leaves = read_leaves(edited.document, include_layouts=True)
    return next(leaf.box for leaf in leaves if leaf.label == "usable cloth")


def test_every_id_is_there_once() -> None:
    edited = checked(checked(longer()))
    ids = [one.get("id") for one in edited.root.iter(etree.Element) if one.get("id")]
    assert len(ids) == len(set(ids))


def test_settings_stay_json_that_can_be_read() -> None:
    stored = json.loads(checked(longer()).layer.get(lay("settings"), ""))
    assert set(stored) == {"version", "options", "result"}
