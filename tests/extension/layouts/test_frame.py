# SPDX-License-Identifier: GPL-2.0-or-later
"""The frame of a layout is where its cloth lies on the page."""

from __future__ import annotations

import numpy as np
import pytest

from extension.layouts.found import leaves_on
from extension.layouts.frame import Frame, frame_of
from extension.layouts.layers import layout_layers
from extension.svg.document import matrix_of
from extension.svg.leaves import read_leaves
from extension.svg.transforms import apply
from tests.helpers.edited import Edited

TRANSFORMS = {
    "moved": "translate(700,-40)",
    "turned": "rotate(90) translate(3,4)",
    "head to foot": "rotate(180)",
    "at a slant": "translate(50,60) rotate(-17)",
    "mirrored": "scale(-1,1)",
}


def frame(edited: Edited) -> Frame:
    document = edited.document
    (layer,) = layout_layers(document)
    leaves = read_leaves(document, include_layouts=True)
    return frame_of(document, layer, leaves_on(leaves, layer))


@pytest.mark.parametrize("transform", TRANSFORMS.values(), ids=TRANSFORMS.keys())
@pytest.mark.parametrize("is_drawn", [True, False])
def test_the_cloth_lies_at_the_origin_of_its_frame(transform: str, is_drawn: bool) -> None:
    edited = Edited()
    edited.layer.set("transform", transform)
    if not is_drawn:
        edited.delete(edited.layer[0])
    found = frame(edited)
    document = edited.document
    (layer,) = layout_layers(document)
    matrix = matrix_of(document, layer.element)
    length = found.length
    corners = [(0.0, 0.0), (length, 0.0), (length, 900.0), (0.0, 900.0)]
    there = found.to_engine(tuple(apply(matrix, corner) for corner in corners))
    assert there.min(axis=0) == pytest.approx([0.0, 0.0], abs=1e-6)
    assert there.max(axis=0) == pytest.approx([length, 900.0], abs=1e-6)
    assert (found.is_drawn, found.width, found.drawn_width) == (
        is_drawn,
        900.0,
        pytest.approx(900.0),
    )


@pytest.mark.parametrize("transform", TRANSFORMS.values(), ids=TRANSFORMS.keys())
def test_a_frame_turns_and_moves_but_never_mirrors_or_scales(transform: str) -> None:
    edited = Edited()
    edited.layer.set("transform", transform)
    square = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0))
    there = frame(edited).to_engine(square)
    sides = np.linalg.norm(np.diff(there, axis=0), axis=1)
    assert sides == pytest.approx([10.0, 10.0])
    one, two = np.diff(there, axis=0)
    # Page y points down, the engine's up: what is clockwise on the page stays so.
    assert one[0] * two[1] - one[1] * two[0] == pytest.approx(-100.0)


def test_the_length_of_missing_cloth_is_the_stored_one_or_the_width() -> None:
    edited = Edited()
    edited.delete(edited.layer[0])
    assert frame(edited).length == pytest.approx(460.0)


def test_distance_is_measured_from_the_drawn_cloth() -> None:
    edited = Edited()
    edited.layer.set("transform", "translate(1000,0)")
    found = frame(edited)
    assert found.distance(((1010.0, 10.0), (1020.0, 10.0), (1020.0, 30.0))) == 0.0
    assert found.distance(((970.0, 10.0), (980.0, 10.0), (980.0, 30.0))) == pytest.approx(20.0)
