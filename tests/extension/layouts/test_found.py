# SPDX-License-Identifier: GPL-2.0-or-later
"""Parts are found by their notes, on the outline or round it; the rest is named."""

from __future__ import annotations

import pytest

from extension.language.names import lay
from extension.layouts.found import Found, astray, found_on, leaves_on
from extension.layouts.layers import layout_layers
from extension.svg.leaves import read_leaves
from tests.helpers.edited import Edited


def found(edited: Edited) -> Found:
    document = edited.document
    (layer,) = layout_layers(document)
    return found_on(leaves_on(read_leaves(document, include_layouts=True), layer))


def test_every_part_is_found_once_in_document_order() -> None:
    parts = found(Edited()).parts
    assert [(part.of, part.copies) for part in parts] == [
        ("front", (1,)), ("front", (2,)), ("back", (1,)), ("tab", (1,)), ("tab", (2,)),
    ]  # fmt: skip
    assert found(Edited()).loose == found(Edited()).hidden == ()
    assert found(Edited()).others == ()


def test_a_note_on_the_group_alone_is_enough() -> None:
    edited = Edited()
    edited.outline("back", 1).attrib.pop(lay("of"))
    parts = found(edited).parts
    assert [part.of for part in parts].count("back") == 1
    assert max(parts, key=lambda part: part.shape.area).of == "back"


def test_an_ungrouped_part_is_found_by_its_outline_and_leaves_nothing_foreign() -> None:
    edited = Edited()
    outline = edited.ungroup("back", 1)
    part = next(part for part in found(edited).parts if part.of == "back")
    assert (part.id, part.groups) == (outline.get("id"), ())
    assert found(edited).others == found(edited).loose == ()


@pytest.mark.parametrize(("text", "held"), [("yes", True), ("True", True), ("no", False)])
def test_held_is_said_on_group_or_outline(text: str, held: bool) -> None:
    for carrier in (Edited.part, Edited.outline):
        edited = Edited()
        carrier(edited, "tab", 2).set(lay("held"), text)
        assert [part.held for part in found(edited).parts] == [*[False] * 4, held]


def test_hidden_parts_are_told_apart() -> None:
    edited = Edited()
    edited.part("tab", 1).set("style", "display:none")
    assert [part.of for part in found(edited).hidden] == ["tab"]
    assert len(found(edited).parts) == 4


def test_parts_on_other_layers_are_astray_with_the_name_of_the_layer() -> None:
    edited = Edited()
    edited.find("pieces").append(edited.part("back", 1))
    (stray,) = astray(read_leaves(edited.document, include_layouts=True))
    assert (stray.of, stray.astray) == ("back", "“Pieces” (pieces)")
