# SPDX-License-Identifier: GPL-2.0-or-later
"""A piece that answers to another id than it did when it was laid is the same piece still."""

from __future__ import annotations

from extension.layouts.sources import cuts_by_source
from tests.helpers.edited import INKSCAPE, Edited
from tests.helpers.layouts import plan_of
from tests.helpers.plain import without_the_editor
from tests.helpers.svg_builder import SvgBuilder


def sheet(*layers: str) -> SvgBuilder:
    """Return pieces without cutting details, each alone on a layer of that name."""
    drawing = SvgBuilder("900mm", "600mm", (0, 0, 900, 600))
    for number, name in enumerate(layers):
        layer = drawing.add_layer(name, id=f"layer-{name}")
        x = 60 + 300 * number
        drawing.add_path(
            f"M {x} 40 h 200 l {20 + 9 * number} 320 h {-220 - 9 * number} z", layer, id=name
        )
        line = ((x + 40, 100), (x + 40, 300))
        drawing.add_line(*line, layer, id=f"{name}-grain", lay={"role": "grainline"})
    return drawing


def told(edited: Edited) -> tuple[str, ...]:
    return edited.check().summary


def test_a_layer_that_has_become_a_group_is_no_other_piece() -> None:
    edited = Edited(sheet("front", "back"))
    before = told(edited)
    without_the_editor(edited.root)
    assert {cut.drawn.id for cut in plan_of(edited.document).cuts.values()} == {
        "layer-front",
        "layer-back",
    }
    assert told(edited) == before == ("2 of 2 parts, no overlap, 0.32 m.",)


def test_a_group_that_was_made_a_layer_is_no_other_piece() -> None:
    drawing = sheet("front", "back")
    layers = [one for one in drawing.root.iter("{*}g") if one.get(f"{INKSCAPE}groupmode")]
    for layer in layers:
        del layer.attrib[f"{INKSCAPE}groupmode"]
    edited = Edited(drawing)
    before = told(edited)
    for layer in layers:
        edited.find(layer.get("id", "")).set(f"{INKSCAPE}groupmode", "layer")
    assert told(edited) == before


def test_an_edited_outline_is_told_with_its_size_under_either_name() -> None:
    edited = Edited(sheet("front", "back"))
    without_the_editor(edited.root)
    path = edited.find("front")
    path.set("d", path.get("d", "").replace("h 200", "h 190"))
    assert [kind for kind, _ in edited.found()] == ["edited"]


def test_what_several_pieces_lie_in_names_none_of_them() -> None:
    drawing = sheet("front")
    around = drawing.add_layer("all", id="around")
    for name in ("left", "right"):
        group = drawing.add_group(around, id=f"{name}-group", lay={"cut": "1"})
        drawing.add_rect(60 if name == "left" else 300, 380, 100, 100, group, id=name)
    names = cuts_by_source(plan_of(drawing.document()))
    assert {name: cut.drawn.id for name, cut in names.items()} == {
        "left": "left-group",
        "left-group": "left-group",
        "right": "right-group",
        "right-group": "right-group",
    }
    assert cuts_by_source(None) == {}
