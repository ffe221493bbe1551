# SPDX-License-Identifier: GPL-2.0-or-later
"""On which layout a piece that is not laid is told, where several materials are laid in one run."""

from __future__ import annotations

import pytest

from extension.job.wishes import wishes_from_text
from extension.operations.lay_out import lay_out_materials
from extension.operations.running import Run
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder


@pytest.mark.parametrize(
    ("cuts", "told"),
    [
        # Piece by piece: grain or not, and of what. Each is told on the layout of its own material.
        ({"A": "1", "B": "1", "C": "1 lining", "D": "1 lining"}, {"main": "B", "lining": "D"}),
        # No lining is laid at all: then main tells of both.
        ({"A": "1", "B": "1", "C": "1", "D": "1 lining"}, {"main": "B and D"}),
    ],
)
def test_a_piece_without_grainline_is_told_where_it_would_lie(
    cuts: dict[str, str], told: dict[str, str]
) -> None:
    drawing = SvgBuilder("900mm", "400mm", (0, 0, 900, 400))
    for place, (name, cut) in enumerate(cuts.items()):
        grain = {"grain": "up"} if name in "AC" else {}
        drawing.add_rect(20 + 200 * place, 20, 150, 250, lay={"name": name, "cut": cut, **grain})
    wishes = wishes_from_text({"fabric_width": "90cm", "rounds": "1", "workers": "1"})
    outcome = lay_out_materials(drawing.document(), wishes, Run(no_time, lambda _: False))
    said = [line for line in outcome.summary if line.startswith("Not laid")]
    count = [1 + names.count("and") for names in told.values()]
    assert said == [
        f"Not laid: {n} without grainline ({names})."
        for n, names in zip(count, told.values(), strict=True)
    ]
