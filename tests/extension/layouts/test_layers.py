# SPDX-License-Identifier: GPL-2.0-or-later
"""Which layouts a drawing has, and which of them is meant."""

from __future__ import annotations

import pytest
from lxml import etree

from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.layouts.layers import (
    chosen_layers,
    damaged_layers,
    layout_layers,
    one_layer,
)
from tests.helpers.edited import CLOTH, Edited


def twice() -> Edited:
    edited = Edited()
    twin = etree.fromstring(etree.tostring(edited.layer))
    for place, node in enumerate(twin.iter(etree.Element)):
        node.set("id", f"other-{place}")
    edited.root.append(twin)
    return edited


def test_a_layout_knows_its_options_and_sublayers() -> None:
    (layer,) = layout_layers(Edited().document)
    assert layer.options == CLOTH
    assert layer.title == "“Layout 1 – 90 cm, main” (thriftlay-1)"
    assert layer.sublayer("parts") is not None
    assert layer.sublayer("nothing") is None


@pytest.mark.parametrize("wanted", ["other-0", "other-3"])
def test_a_layout_is_chosen_by_its_id_or_by_anything_on_it(wanted: str) -> None:
    assert [one.id for one in chosen_layers(twice().document, [wanted])] == ["other-0"]
    assert one_layer(twice().document, wanted).id == "other-0"


def test_one_of_several_has_to_be_named() -> None:
    with pytest.raises(DrawingError, match="There are 2 layouts"):
        one_layer(twice().document, "")
    assert one_layer(Edited().document, "").id == "thriftlay-1"


@pytest.mark.parametrize("text", ["", "{", '{"options": {}}', '{"options": {"gap_mm": -4}}'])
def test_a_damaged_layout_is_told_and_cannot_be_chosen(text: str) -> None:
    edited = twice()
    edited.find("thriftlay-1").set(lay("settings"), text)
    document = edited.document
    assert [one.id for one in layout_layers(document)] == ["other-0"]
    assert "its fabric is not known" in damaged_layers(document)[0]
    with pytest.raises(DrawingError, match="gone or damaged"):
        chosen_layers(document, ["thriftlay-1"])


def test_a_layout_is_told_by_its_number_or_its_id() -> None:
    document = twice().document
    first, second = layout_layers(document)
    assert [layer.id for layer in chosen_layers(document, ["2"])] == [second.id]
    assert [layer.id for layer in chosen_layers(document, [first.id])] == [first.id]
    assert len(chosen_layers(document, [])) == 2
    assert one_layer(document, "2").id == second.id


@pytest.mark.parametrize("told", ["0", "3"])
def test_a_number_of_no_layout_names_those_there_are(told: str) -> None:
    with pytest.raises(DrawingError, match=f"no layout number {told}: the drawing has 2"):
        chosen_layers(twice().document, [told])


def test_an_object_whose_id_is_a_number_is_meant_before_the_number() -> None:
    edited = twice()
    edited.layer.set("id", "1")
    found = chosen_layers(edited.document, ["1"])
    assert [layer.element.get("id") for layer in found] == ["1"]
    assert found[0].id == layout_layers(edited.document)[1].id
