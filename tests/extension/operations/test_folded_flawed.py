# SPDX-License-Identifier: GPL-2.0-or-later
"""Flaws of folded cloth through the commands: drawn, told, found by Check, kept by Tighten.

Patches of 100 mm on cloth of 400 mm, folded in half: two lanes of pairs.
"""

from __future__ import annotations

import json
import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely

from extension.diagram.full_size import full_size
from extension.diagram.page import page
from extension.job.lying_flaws import flaws_lying
from extension.job.options import LayOutOptions
from extension.language.errors import OptionError
from extension.language.names import lay
from extension.layouts.layers import chosen_layers, layout_layers
from extension.operations.again import orders_again
from extension.operations.check import check_layouts
from extension.operations.lay_out import Outcome, lay_out, lay_out_again
from extension.operations.running import Run
from extension.operations.tighten import tighten_layout
from extension.svg.building import element
from extension.svg.document import parse, serialise
from nesting.model import LaidSection, Outline
from nesting.stop import AfterRounds
from tests.helpers.cloth import between_selvedges
from tests.helpers.diagrams import sections_of
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder

LABEL = "{http://www.inkscape.org/namespaces/inkscape}label"
UPPER = ((140.0, 30.0), (160.0, 30.0), (160.0, 70.0), (140.0, 70.0))


def box(x: float, y: float, wide: float, high: float) -> Outline:
    return ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))


def patches() -> SvgBuilder:
    made = SvgBuilder("600mm", "600mm", (0, 0, 600, 600))
    made.add_rect(10, 10, 100, 100, id="patch", lay={"name": "Patch", "cut": "12", "grain": "up"})
    return made


def cloth(**values: Any) -> LayOutOptions:
    usual = {"gap": 0.0, "flaws": (UPPER,), "spread": "lengthwise", "nap": False}
    return between_selvedges(400.0, rounds=3, **{**usual, **values})


def laid(**values: Any) -> Outcome:
    return lay_out(patches().document(), cloth(**values), Run(no_time, lambda _: False))


@pytest.fixture(scope="module")
def flawed() -> Outcome:
    return laid()


def test_the_layout_goes_round_the_flaw_and_tells_its_layer(flawed: Outcome) -> None:
    assert flawed.report["length"] == pytest.approx(360.0, abs=1e-3)
    assert "1 flaw of the cloth, hatched on it: no part lies over it." in flawed.summary
    assert (
        "Counted from the cut end and the lower selvedge of the cloth before it is folded: the "
        "flaw at 14 cm, 3 cm in the upper layer."
    ) in flawed.summary
    assert not check_layouts(parse(flawed.drawing)).report["violations"]


def test_it_is_drawn_where_the_fold_brings_it(flawed: Outcome) -> None:
    (drawn,) = [n for n in parse(flawed.drawing).root.iter("{*}path") if n.get(LABEL) == "flaw"]
    # Mirrored about the fold at y = 200: from 330 to 370, drawn from the upper selvedge down.
    figures = re.findall(r"[-\d.]+", drawn.get("d", ""))
    points = np.array(figures, dtype=float).reshape(-1, 2)
    assert points.min(axis=0) == pytest.approx([140.0, 30.0])
    assert points.max(axis=0) == pytest.approx([160.0, 70.0])
    made = page(sections_of(parse(flawed.drawing)))
    assert made.count('class="flaw"') == 1
    assert "in the lower layer." not in made
    document = parse(flawed.drawing)
    full = full_size(document, layout_layers(document)[0]).decode()
    assert ">flaw</" in full


def test_a_flaw_of_the_lower_layer_has_a_look_of_its_own() -> None:
    outcome = laid(flaws=(box(140.0, 330.0, 20.0, 40.0), box(300.0, 190.0, 20.0, 15.0)))
    made = page(sections_of(parse(outcome.drawing)))
    assert made.count('class="flaw below"') == 2
    assert "lighter, with a broken line, where they are in the lower layer." in made
    told = next(line for line in outcome.summary if line.startswith("Counted from"))
    assert "the flaw at 14 cm, 33 cm in the lower layer and" in told
    assert told.endswith("the flaw at 30 cm, 19 cm in both layers.")


def test_check_finds_what_lies_over_a_flaw_in_either_layer(flawed: Outcome) -> None:
    for y in (330.0, 30.0):
        document = parse(flawed.drawing)
        (layer,) = layout_layers(document)
        stored = json.loads(layer.element.get(lay("settings")))
        stored["options"]["flaws"] = [box(40.0, y, 20.0, 20.0)]
        layer.element.set(lay("settings"), json.dumps(stored))
        checked = check_layouts(document)
        (found,) = checked.report["violations"]
        assert (found["kind"], found["amount"]) == ("flaw", pytest.approx(400.0, rel=1e-3))
        assert any("lies over a flaw of the cloth: 4 cm²" in line for line in checked.summary)


@pytest.mark.parametrize(
    ("y", "area"), [(330.0, 0.0), (260.0, 400.0), (120.0, 400.0), (100.0, 200.0)]
)
def test_a_half_on_the_fold_lies_over_flaws_of_both_layers(y: float, area: float) -> None:
    """It reaches 90 mm to both sides of the fold at 200 mm."""
    made = SvgBuilder("600mm", "600mm", (0, 0, 600, 600))
    made.add_rect(10, 10, 90, 100, id="front", lay={"name": "Front", "cut": "1", "fold": "left"})
    document = parse(
        lay_out(made.document(), cloth(flaws=()), Run(no_time, lambda _: False)).drawing
    )
    (layer,) = layout_layers(document)
    stored = json.loads(layer.element.get(lay("settings")))
    stored["options"]["flaws"] = [box(40.0, y, 20.0, 20.0)]
    layer.element.set(lay("settings"), json.dumps(stored))
    found = check_layouts(document).report["violations"]
    told = {one["kind"]: one["amount"] for one in found}
    assert told == ({"flaw": pytest.approx(area, rel=1e-3)} if area else {})


def test_check_finds_copies_over_a_flaw_whose_piece_is_gone(flawed: Outcome) -> None:
    document = parse(flawed.drawing)
    (layer,) = layout_layers(document)
    stored = json.loads(layer.element.get(lay("settings")))
    stored["options"]["flaws"] = [box(40.0, 30.0, 20.0, 20.0)]
    layer.element.set(lay("settings"), json.dumps(stored))
    (original,) = document.root.xpath("//*[@id='patch']")
    original.getparent().remove(original)
    found = [one for one in check_layouts(document).report["violations"] if one["kind"] == "flaw"]
    assert [one["amount"] for one in found] == [pytest.approx(400.0, rel=1e-3)]


def test_a_shape_drawn_on_folded_cloth_is_a_flaw_of_the_lower_layer() -> None:
    outcome = laid(flaws=())
    assert outcome.report["length"] == pytest.approx(300.0)
    document = parse(outcome.drawing)
    (layer,) = layout_layers(document)
    drawn = {"x": "140", "y": "30", "width": "20", "height": "40", "id": "hole"}
    layer.element.append(element("rect", {**drawn, lay("role"): "flaw"}))
    (found,) = check_layouts(document).report["violations"]
    assert (found["kind"], found["amount"]) == ("flaw", pytest.approx(800.0, rel=1e-3))
    pressed = tighten_layout(document, layer.id, Run(no_time, AfterRounds(5)))
    assert 360.0 - 0.05 <= pressed.report["length"] <= 400.05
    assert any("because 1 part over a flaw had to be put right" in line for line in pressed.said)
    document = parse(serialise(document))
    (order,) = orders_again(document, chosen_layers(document, ["hole"]), {})
    (flaw,) = order.options.flaws
    assert np.allclose(sorted(flaw), sorted(box(140.0, 330.0, 20.0, 40.0)), atol=1e-4)
    again = lay_out_again(document, [order], Run(no_time, lambda _: False))
    assert again.report["length"] == pytest.approx(360.0, abs=1e-3)


def test_what_is_drawn_off_the_table_is_no_flaw_of_the_other_layer() -> None:
    """The fold is at 200 mm: below it there is no cloth on the table."""
    for y, height, area in ((201.0, 40.0, None), (190.0, 40.0, 10.0)):
        document = parse(laid(flaws=()).drawing)
        (layer,) = layout_layers(document)
        drawn = {"x": "140", "y": y, "width": "20", "height": height, "id": "hole"}
        layer.element.append(element("rect", {**drawn, lay("role"): "flaw"}))
        document = parse(serialise(document))
        (order,) = orders_again(document, chosen_layers(document, ["hole"]), {})
        told = any("beside the cloth" in line for line in check_layouts(document).summary)
        if area is None:
            assert (order.options.flaws, told) == ((), True)
        else:
            (flaw,) = order.options.flaws
            assert np.allclose(sorted(flaw), sorted(box(140.0, 200.0, 20.0, area)), atol=1e-4)
            assert not told


def test_crosswise_folds_are_refused_with_the_remedy() -> None:
    with pytest.raises(OptionError, match="choose “open” or “lengthwise” for how the cloth lies"):
        laid(spread="crosswise")


def test_the_folds_of_all_spreads_bring_flaws_where_they_lie() -> None:
    """By hand: cloth of 400 mm, the section from 100 mm on, 200 mm of it."""
    before, three = LaidSection(200.0, length=100.0), LaidSection(100.0, 50.0, length=200.0)
    over = LaidSection(crosswise=True, length=200.0)
    turned = replace(over, turned=True)
    for section, sides, (x, y), layer, (there_x, there_y) in (
        (LaidSection(length=200.0), "together", (110, 30), "", (10, 30)),
        (three, "together", (110, 30), "upper", (10, 165)),
        (three, "together", (110, 390), "upper", (10, 305)),
        (three, "together", (110, 340), "lower", (10, 340)),
        (three, "together", (110, 250), "", (10, 250)),
        (three, "apart", (110, 30), "upper", (10, 330)),
        (over, "together", (290, 30), "upper", (5, 30)),
        (turned, "together", (210, 30), "upper", (10, 365)),
        (turned, "together", (110, 30), "lower", (10, 30)),
    ):
        (found,) = flaws_lying([box(x, y, 5.0, 5.0)], (before, section), 2, 400.0, sides)
        assert (found.number, found.layer) == (1, layer)
        expected = (there_x, there_y, there_x + 5.0, there_y + 5.0)
        assert shapely.bounds(found.area) == pytest.approx(expected)
