# SPDX-License-Identifier: GPL-2.0-or-later
"""A border that is drawn on a remnant, as a strip: edges lie on it where it is drawn."""

from __future__ import annotations

import numpy as np
import pytest

from extension.diagram.page import page
from extension.language.errors import DrawingError, OptionError
from extension.layouts.layers import chosen_layers
from extension.operations.again import orders_again
from extension.operations.check import check_layouts
from extension.operations.lay_out import lay_out_again
from extension.operations.running import Run
from extension.svg.document import Document, parse
from tests.helpers.diagrams import sections_of
from tests.helpers.layouts import no_time
from tests.helpers.remnants import drawing_of, laid, never

BLOCK = '<path id="shape" d="M400,100 H1200 V500 H400 Z"/>'
"""800 by 400 mm."""
GORE = (
    '<path id="gore" lay:name="Gore" lay:cut="2 same" lay:grain="up" lay:border="hem" '
    'lay:turns="four-way" d="M 60 10 H 110 L 160 310 H 10 Z"/>'
)
"""Two of them, 150 mm at the hem and 300 mm high."""
ROLE = 'lay:role="border"'


def drawing(*shapes: str) -> Document:
    """Return a drawing of the gore and a remnant with further shapes on it."""
    inside = "".join((BLOCK, *shapes))
    return drawing_of(f'<g id="rest" lay:role="cloth" lay:name="Blue linen">{inside}</g>', GORE)


def strip(top: int, bottom: int, *, said: str = ROLE, left: int = 390, id_: str = "strip") -> str:
    """Return a strip along the remnant, y on the page, a little longer than that."""
    return f'<path id="{id_}" {said} d="M{left},{top} H1210 V{bottom} H{left} Z"/>'


@pytest.mark.parametrize(
    ("shape", "line", "told"),
    [
        (strip(420, 500), 0.0, "Border 8 cm wide along the lower edge"),
        (strip(400, 450), 50.0, "Border from 5 cm to 10 cm off the lower edge"),
        (strip(90, 160), 400.0, "Border 6 cm wide along the upper edge"),
        (strip(420, 500, said='inkscape:label="border"'), 0.0, "Border 8 cm wide"),
    ],
)
def test_hems_lie_on_the_line_of_the_border_that_is_nearer_to_the_edge(
    shape: str, line: float, told: str
) -> None:
    outcome = laid(drawing(shape), "Blue linen", nap="no")
    assert outcome.all_fit
    assert any(one.startswith(told) and "on it lies Gore" in one for one in outcome.summary)
    outline = np.asarray(outcome.report["outlines"]["gore"])
    spots = outcome.report["placements"]
    assert len(spots) == 2
    for spot in spots:
        # The grainline points up as drawn, so it is turned by -90 degrees onto the cloth first.
        angle = np.radians(spot["turn"] - 90.0)
        ys = np.sin(angle) * outline[:, 0] + np.cos(angle) * outline[:, 1] + spot["y"]
        hem = ys.max() if line > 200.0 else ys.min()
        assert hem == pytest.approx(line, abs=1e-3)
        assert np.ptp(outline[np.abs(ys - line) < 1e-3, 0]) == pytest.approx(150.0, abs=1e-6)
    drawn = parse(outcome.drawing)
    assert check_layouts(drawn).is_clean
    assert 'class="border"' in page(sections_of(drawn))
    orders = orders_again(drawn, chosen_layers(drawn, ()), {})
    again = lay_out_again(drawn, orders, Run(no_time, never))
    assert again.report["placements"] == spots


def test_a_border_that_does_not_run_along_all_of_the_remnant_is_refused() -> None:
    for shapes, told in (
        ((strip(420, 500, left=500),), "does not run along all of the cloth, “Blue linen”"),
        ((strip(420, 500), strip(90, 160, id_="other")), "is cloth with several borders"),
    ):
        with pytest.raises(DrawingError, match=told):
            laid(drawing(*shapes), "Blue linen", nap="no")


def test_a_border_of_a_remnant_is_drawn_and_not_typed() -> None:
    with pytest.raises(OptionError, match="A border of a remnant is drawn on it"):
        laid(drawing(), "Blue linen", nap="no", border="0cm, 5cm")
    outcome = laid(drawing(), "Blue linen", nap="no")
    assert any("Gore asks for a border" in line for line in outcome.summary)
