# SPDX-License-Identifier: GPL-2.0-or-later
"""Borders of folded cloth, and of stripes along it, through the commands.

Gores with a hem of 300 mm, 400 mm long, on cloth 1,000 mm wide: each stands across it on its hem.
"""

from __future__ import annotations

from typing import Any

import pytest

from extension.diagram.full_size import full_size
from extension.diagram.page import page
from extension.job.lying_bands import bands_lying
from extension.job.options import LayOutOptions
from extension.job.wishes import wishes_from_text
from extension.language.errors import OptionError
from extension.language.names import lay
from extension.layouts.layers import layout_layers
from extension.operations.check import check_layouts
from extension.operations.lay_out import Outcome, lay_out
from extension.operations.running import Run
from extension.operations.tighten import tighten_layout
from extension.svg.document import Document, parse
from nesting.model import Band, Section
from nesting.stop import AfterRounds
from tests.helpers.cloth import between_selvedges
from tests.helpers.diagrams import sections_of
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder

GIVEN = {"name": "Gore", "cut": "2", "grain": "up", "border": "hem", "turns": "four-way"}
HEM = "M 110 10 L 210 10 L 310 410 L 10 410 Z"


def gores() -> Document:
    made = SvgBuilder("600mm", "600mm", (0, 0, 600, 600))
    made.add_path(HEM, id="gore", lay=GIVEN)
    return made.document()


def cloth(**values: Any) -> LayOutOptions:
    usual = {"gap": 0.0, "border": "lower 0cm, 12cm", "nap": False}
    return between_selvedges(1000.0, rounds=1, **{**usual, **values})


def laid(**values: Any) -> Outcome:
    return lay_out(gores(), cloth(**values), Run(no_time, lambda _: False))


@pytest.mark.parametrize(
    ("border", "spread", "length", "words"),
    [
        ("lower 0cm, 12cm", "crosswise", 600.0, "through both layers, which both have it there."),
        ("both 0cm, 12cm", "lengthwise", 300.0, "through both layers, which both have it there."),
        ("lower 0cm, 12cm", "lengthwise", 600.0, "is cut out of one layer."),
    ],
)
def test_what_lies_on_a_border_is_told_drawn_and_checked(
    border: str, spread: str, length: float, words: str
) -> None:
    outcome = laid(border=border, spread=spread)
    assert outcome.report["length"] == pytest.approx(length, abs=1e-3)
    assert any(line.endswith(words) for line in outcome.summary)
    document = parse(outcome.drawing)
    assert not check_layouts(document).report["violations"]
    made = page(sections_of(document))
    assert "the line along it is that on which edges lie." in made
    assert "<td>hem</td>" in made
    assert b">border</" in full_size(document, layout_layers(document)[0])


def test_check_finds_a_part_off_the_border_once_and_tighten_brings_it_back() -> None:
    document = parse(laid(spread="crosswise").drawing)
    (part,) = document.root.xpath("//*[local-name()='g'][@*[local-name()='of']]")
    part.set("transform", f"translate(0 -5) {part.get('transform', '')}")
    (found,) = check_layouts(document).report["violations"]
    assert (found["kind"], found["amount"]) == ("border", pytest.approx(5.0, abs=0.01))
    (layer,) = layout_layers(document)
    pressed = tighten_layout(document, layer.id, Run(no_time, AfterRounds(3)))
    assert not pressed.report["violations"] if "violations" in pressed.report else True
    assert pressed.report["length"] == pytest.approx(600.0, abs=0.05)
    assert part.get(lay("of")) == "gore"


@pytest.mark.parametrize("spread", ["open", "lengthwise"])
@pytest.mark.parametrize("border", ["upper 0cm, 4cm", "both 0cm, 4cm", "lower 1cm, 4cm"])
@pytest.mark.parametrize("edge", ["right", "hem"])
def test_a_rectangle_which_fits_in_every_way_is_seen_with_its_edge_on_the_border(
    edge: str, border: str, spread: str
) -> None:
    made = SvgBuilder("600mm", "600mm", (0, 0, 600, 600))
    made.add_rect(10, 10, 100, 60, id="patch", lay={**GIVEN, "name": "Patch", "border": edge})
    outcome = lay_out(
        made.document(), cloth(border=border, spread=spread), Run(no_time, lambda _: False)
    )
    assert not check_layouts(parse(outcome.drawing)).report["violations"]


def test_a_repeat_along_the_cloth_goes_with_a_border_and_one_across_does_not() -> None:
    typed = {"fabric_width": "140cm", "border": "0cm, 12cm"}
    wishes_from_text({**typed, "repeat": "along=8cm"})
    assert laid(repeat="along 8cm").report["length"] == pytest.approx(600.0, abs=1e-3)
    with pytest.raises(OptionError, match="leave out the repeat across, or the border"):
        wishes_from_text({**typed, "repeat": "along=8cm,across=6cm"})


def test_borders_lie_where_the_folds_bring_them() -> None:
    """By hand, on cloth of 400 mm."""
    low, high = Band("lower", 10.0, 60.0), Band("upper", 390.0, 340.0)
    half, three = Section(200.0), Section(100.0, 50.0)
    over, turned = Section(crosswise=True), Section(crosswise=True, turned=True)
    for bands, section, sides, expected in (
        ((low,), Section(), "together", [(10, 60, "")]),
        ((low,), half, "together", [(390, 340, "upper")]),
        ((high,), half, "together", [(390, 340, "lower")]),
        ((low, high), half, "together", [(390, 340, "both")]),
        ((low,), three, "together", [(190, 140, "upper")]),
        ((high,), three, "together", [(350, 340, "lower"), (310, 350, "upper")]),
        ((low,), three, "apart", [(350, 340, "lower"), (310, 350, "upper")]),
        ((low,), over, "together", [(10, 60, "both")]),
        ((low,), turned, "together", [(10, 60, "lower"), (390, 340, "upper")]),
    ):
        found = bands_lying(bands, section, 400.0, sides)
        assert [(one.band.line, one.band.to, one.layer) for one in found] == expected
