# SPDX-License-Identifier: GPL-2.0-or-later
"""On a nap it is told which way the tops really lie, on the layer and on every page of it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from lxml import etree

from extension.diagram.full_size import full_size
from extension.diagram.page import page
from extension.diagram.section import sections
from extension.job.plan import Plan
from extension.job.tops import is_one_way, lies_ahead, tops_text
from extension.language.names import lay
from extension.layouts.layers import chosen_layers, one_layer
from extension.svg.document import parse, serialise
from nesting.geometry.shapes import oriented, whole_outline
from nesting.model import Placement
from tests.helpers.garments import garment
from tests.helpers.layouts import WIDE, drawn_into, first_layout_of, plan_of


def turned(plan: Plan, spot: Placement, turn: float) -> Placement:
    """Return a part turned where it lies: the low corner of its box stays."""
    piece = plan.cuts[spot.piece].piece
    whole = whole_outline(piece)
    before = oriented(whole, piece.grain, spot.turn, spot.flip).min(axis=0)
    dx, dy = before - oriented(whole, piece.grain, turn, spot.flip).min(axis=0)
    return replace(spot, turn=turn, x=spot.x + float(dx), y=spot.y + float(dy))


@pytest.mark.parametrize("is_turned", [False, True])
def test_no_page_says_that_all_tops_lie_one_way_where_one_does_not(is_turned: bool) -> None:
    document = garment().document()
    front = next(one for one in document.root.iter(etree.Element) if one.get("id") == "front")
    front.set(lay("turns"), "two-way")
    front.set(lay("turns-on-nap"), "allow")
    plan = plan_of(document)
    layout = first_layout_of(plan)
    turn = 180.0 if is_turned else 0.0
    spots = tuple(
        turned(plan, one, turn) if one.piece == "front" else one for one in layout.placements
    )
    assert is_one_way(plan, spots) != is_turned
    assert ("but not all those of Front" in tops_text(plan, spots)) == is_turned
    drawn_into(document, WIDE, replace(layout, placements=spots))
    one_way = not is_turned
    document = parse(serialise(document))
    written = serialise(document).decode()
    assert ("With nap: all tops one way" in written) == one_way
    made = page(sections(document, chosen_layers(document, ()), "a4", "fit"))
    assert ("nap: all tops this way" in made) == ("All tops lie one way." in made) == one_way
    full = full_size(document, one_layer(document, "")).decode()
    assert ("nap: all tops to the far end" in full) == one_way


def test_a_lean_that_a_piece_allows_is_no_other_way() -> None:
    piece = plan_of(garment().document()).job.pieces[0]
    leaning = replace(piece, off_grain=3.0)
    assert lies_ahead(leaning, 357.0)
    assert lies_ahead(leaning, 3.0)
    assert not lies_ahead(piece, 3.0)
    assert not lies_ahead(leaning, 90.0)
    assert not lies_ahead(leaning, 180.0)
