# SPDX-License-Identifier: GPL-2.0-or-later
"""Hold, lay out again, tighten and compare on folded cloth, from drawing to drawing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
import shapely

from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.layouts.checked import examined
from extension.layouts.holding import HoldRequest
from extension.layouts.layers import layout_layers
from extension.operations.check import check_layouts, compare_layouts
from extension.operations.hold import hold_parts
from extension.operations.lay_out import lay_out
from extension.operations.running import Run
from extension.operations.tighten import tighten_layout
from extension.svg.document import Document, parse
from extension.svg.leaves import read_leaves
from nesting.model import OPEN, Placement
from nesting.stop import AfterRounds
from tests.helpers.folded_by_hand import CLOTH, DEPTH, LENGTHWISE, EditedFolded, with_a_single
from tests.helpers.layouts import no_time

RUN = Run(no_time, AfterRounds(1000))
AGAIN = replace(CLOTH, spread="lengthwise", rounds=1, workers=1)
"""Options under which the cloth lies as the helper folds it."""


def a_layout() -> EditedFolded:
    """Return a garment on cloth folded lengthwise, a single on the open section behind."""
    return EditedFolded(LENGTHWISE, OPEN, drawing=with_a_single())


def id_of(edited: EditedFolded, of: str, copies: str) -> str:
    """Return the id of a part."""
    return str(edited.part(of, copies).get("id"))


def placed(document: Document, number: int) -> dict[tuple[str, tuple[int, ...]], Placement]:
    """Return where the parts of a layout lie, 0 for the first."""
    leaves = read_leaves(document, include_layouts=True)
    situation = examined(document, leaves, layout_layers(document)[number]).situation
    return {(one.piece, one.copies): one for one in situation.placements}


def outlines(document: Document, number: int) -> dict[tuple[str, str], shapely.Polygon]:
    """Return the outlines on a layout as the page has them."""
    found = {}
    for leaf in read_leaves(document, include_layouts=True):
        layers = [one for one in leaf.groups if "layout" in one.attributes]
        if layers and layers[0].attributes["layout"] == str(number) and "of" in leaf.attributes:
            key = leaf.attributes["of"], leaf.attributes["copy"]
            found[key] = shapely.Polygon(leaf.rings[0].points)
    return found


@pytest.mark.parametrize(("of", "copies"), [("back", "1"), ("front", "1 2"), ("pocket", "1")])
def test_a_held_part_lies_on_the_new_layout_where_it_lay_in_its_section(
    of: str, copies: str
) -> None:
    edited = a_layout()
    held = hold_parts(edited.document, [id_of(edited, of, copies)])
    outcome = lay_out(parse(held.drawing), AGAIN, RUN, HoldRequest(layer="thriftlay-1"))
    done = parse(outcome.drawing)
    before, after = placed(done, 0), placed(done, 1)
    key = of, tuple(map(int, copies.split()))
    one, other = before[key], after[key]
    assert (one.x, one.y) == pytest.approx((other.x, other.y), abs=1e-3)
    assert (one.section, one.layers, one.on_fold) == (other.section, other.layers, other.on_fold)
    assert check_layouts(done).is_clean
    # Drawn again from its own outline: the same but for where the layout stands.
    first, second = outlines(done, 1)[of, copies], outlines(done, 2)[of, copies]
    assert second.area == pytest.approx(first.area, rel=1e-9)


def test_a_depth_that_is_searched_stays_under_held_parts() -> None:
    edited = EditedFolded(DEPTH, OPEN, drawing=with_a_single())
    held = hold_parts(edited.document, [id_of(edited, "back", "1")])
    options = replace(AGAIN, spread="depth")
    outcome = lay_out(parse(held.drawing), options, RUN, HoldRequest(layer="thriftlay-1"))
    done = parse(outcome.drawing)
    assert layout_layers(done)[1].sections[0].lower == pytest.approx(300.0)
    assert check_layouts(done).is_clean


@pytest.mark.parametrize(
    "changes", [{"spread": "twice"}, {"spread": "open"}, {"fabric_width": 960.0}]
)
def test_cloth_that_lies_in_another_way_cannot_take_held_parts(changes: dict[str, object]) -> None:
    edited = a_layout()
    held = hold_parts(edited.document, [id_of(edited, "back", "1")])
    options = replace(AGAIN, **changes)  # type: ignore[arg-type]
    with pytest.raises(DrawingError, match="is held on cloth that lies in another way"):
        lay_out(parse(held.drawing), options, RUN, HoldRequest(layer="thriftlay-1"))


def pushed_off_the_fold(edited: EditedFolded) -> None:
    edited.move("back", "1", 3.0, 6.0)


def pushed_over_another(edited: EditedFolded) -> None:
    edited.move("front", "1 2", 60.0, 0.0)


def pushed_over_the_fold(edited: EditedFolded) -> None:
    edited.move("front", "1 2", 0.0, -20.0)


def turned_a_little(edited: EditedFolded) -> None:
    edited.transform("pocket", "1", "rotate(2)")


@pytest.mark.parametrize(
    "change",
    [pushed_off_the_fold, pushed_over_another, pushed_over_the_fold, turned_a_little],
)
def test_tightening_puts_right_what_a_slip_of_the_hand_did(
    change: Callable[[EditedFolded], None],
) -> None:
    edited = a_layout()
    change(edited)
    assert not edited.check().is_clean
    outcome = tighten_layout(edited.document, "", RUN)
    assert outcome.drawing is not None
    done = parse(outcome.drawing)
    assert check_layouts(done, ["thriftlay-2"]).is_clean
    assert any(line.startswith("Put right:") or "put right" in line for line in outcome.summary)


def test_a_loose_layout_becomes_shorter_section_by_section() -> None:
    edited = a_layout()
    edited.move("tab", "1 2", 90.0, 0.0)
    edited.move("pocket", "1", 100.0, 0.0)
    before = edited.check().report["length"]
    outcome = tighten_layout(edited.document, "", RUN)
    assert outcome.report["length"] < before - 150.0
    assert outcome.drawing is not None
    done = parse(outcome.drawing)
    assert check_layouts(done, ["thriftlay-2"]).is_clean
    keys = set(placed(done, 0))
    assert set(placed(done, 1)) == keys
    sections = {key: one.section for key, one in placed(done, 1).items()}
    assert sections["pocket", (1,)] == 2


def test_a_half_on_open_cloth_cannot_be_tightened_and_says_why() -> None:
    edited = a_layout()
    edited.move("back", "1", edited.sheet.start_of(2) + 200.0, 0.0)
    with pytest.raises(DrawingError, match="lay it whole"):
        tighten_layout(edited.document, "", RUN)


def test_compare_tells_how_the_cloth_lies() -> None:
    lines, report = compare_layouts(a_layout().document)
    assert "folded lengthwise, then open" in lines[1]
    assert report["layouts"][0]["parts"] == 4
    assert report["layouts"][0]["expected"] == 6


def test_what_is_drawn_anew_is_as_it_was_drawn_at_first() -> None:
    edited = a_layout()
    layer = next(one for one in edited.layer if one.get(lay("holds")) == "cloth")
    before = [(node.get("x"), node.get("width")) for node in layer.iter()]
    again = parse(edited.check().drawing).root
    layers = [one for one in again.iter("{*}g") if one.get(lay("holds")) == "cloth"]
    after = [(node.get("x"), node.get("width")) for node in layers[0].iter()]
    assert len(after) == len(before)
    numbers = [
        (float(one[0] or 0.0), float(two[0] or 0.0), float(one[1] or 0.0), float(two[1] or 0.0))
        for one, two in zip(before, after, strict=True)
    ]
    x0, x1, w0, w1 = np.array(numbers).T
    assert x1 == pytest.approx(x0, abs=1e-3)
    assert w1 == pytest.approx(w0, abs=1e-3)
