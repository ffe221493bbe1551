# SPDX-License-Identifier: GPL-2.0-or-later
"""Parts that have left their place, lost their notes or are not ours."""

from __future__ import annotations

import pytest
from lxml import etree

from extension.language.names import lay
from tests.helpers.edited import Edited


def test_a_part_pasted_onto_another_layer_is_counted_and_told() -> None:
    edited = Edited()
    part = edited.part("front", 1)
    # The editor keeps it where it is seen: the layer's own transform goes along.
    part.set("transform", f"{edited.layer.get('transform')} {part.get('transform', '')}")
    edited.find("pieces").append(part)
    outcome = edited.check()
    assert outcome.is_clean
    told = "“Front (1 of 2)” (thriftlay-1-part-1) lies on “Pieces” (pieces), not on the layout"
    assert told in " ".join(outcome.summary)


def test_a_hidden_part_is_named() -> None:
    edited = Edited()
    edited.part("back", 1).set("style", "display:none")
    told = " ".join(edited.check().summary)
    assert "Hidden, so not counted: “Back” (thriftlay-1-part-3)." in told


def test_a_part_kept_elsewhere_is_no_part_of_the_layout() -> None:
    edited = Edited()
    twin = edited.duplicate("front", 1, "translate(0,0)")
    edited.root.append(twin)
    assert edited.check().report["parts"] == 5


def test_a_part_is_known_by_its_outline_when_its_notes_are_lost() -> None:
    edited = Edited()
    outline = edited.ungroup("front", 1)
    for name in ("of", "copy", "turned", "flipped"):
        outline.attrib.pop(lay(name))
    outline.set("id", "path77")
    outcome = edited.check()
    assert outcome.is_clean
    assert "path77" in " ".join(outcome.summary)


def test_a_part_noted_as_another_piece_is_what_its_outline_is() -> None:
    edited = Edited()
    for node in (edited.part("front", 1), edited.outline("front", 1)):
        node.set(lay("of"), "tab")
    outcome = edited.check()
    assert outcome.is_clean
    told = "notes on “Front (1 of 2)” (thriftlay-1-part-1) were changed"
    assert told in " ".join(outcome.summary)


@pytest.mark.parametrize("text", ["", "seven", "99999999", "-1", "1 2"])
def test_an_edited_copy_number_is_no_obstacle(text: str) -> None:
    edited = Edited()
    for node in (edited.part("front", 1), edited.outline("front", 1)):
        node.set(lay("copy"), text)
    assert edited.found() == []


def test_a_foreign_object_is_named_and_not_judged() -> None:
    edited = Edited()
    parts = edited.layer[1]
    etree.SubElement(
        parts,
        "{http://www.w3.org/2000/svg}rect",
        id="note",
        x="10",
        y="700",
        width="50",
        height="9",
    )
    outcome = edited.check()
    assert outcome.is_clean
    assert "not judged: note" in " ".join(outcome.summary)


def test_a_clone_of_a_part_is_a_part() -> None:
    edited = Edited()
    clone = etree.SubElement(edited.layer[1], "{http://www.w3.org/2000/svg}use", id="use1")
    clone.set("{http://www.w3.org/1999/xlink}href", f"#{edited.part('front', 1).get('id')}")
    clone.set("transform", "translate(0,-230)")
    assert edited.found() == [("count", ("front #1",))]


def test_a_layer_that_is_switched_off_is_judged_as_if_it_were_on() -> None:
    edited = Edited()
    edited.layer.set("style", "display:none")
    assert edited.check().report["parts"] == 5
