# SPDX-License-Identifier: GPL-2.0-or-later
"""Fingerprints of outlines: what the editor may change, and what it may not."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.pieces.fingerprint import fingerprint, is_as_drawn
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf, Matrix
from extension.svg.transforms import apply, multiply, rotation, scaling, translation
from nesting.model import Outline
from tests.helpers.drawn import box, leaf, sheet

FRONT: Outline = ((0, 0), (240, 0), (250, 180), (230, 260), (260, 600), (0, 600))


def changed(outline: Outline, matrix: Matrix) -> Outline:
    return tuple(apply(matrix, point) for point in outline)


@given(
    st.floats(-360, 360),
    st.floats(0.05, 20),
    st.floats(-5000, 5000),
    st.booleans(),
)
def test_a_transform_does_not_show(angle: float, scale: float, move: float, flip: bool) -> None:
    matrix = multiply(translation(move, -move), multiply(rotation(angle), scaling(scale, scale)))
    if flip:
        matrix = multiply(matrix, scaling(-1, 1))
    assert is_as_drawn(leaf(FRONT, matrix=matrix), fingerprint(leaf(FRONT)))


@given(st.floats(-3000, 3000), st.floats(-3000, 3000))
def test_moved_nodes_do_not_show(x: float, y: float) -> None:
    """Dragging a path in the editor rewrites its nodes; its direction stays."""
    assert is_as_drawn(leaf(changed(FRONT, translation(x, y))), fingerprint(leaf(FRONT)))


@given(st.sampled_from([FRONT, box(0, 0, 200, 200), box(0, 0, 20, 700)]), st.floats(0.7, 359.3))
def test_turned_nodes_show(outline: Outline, angle: float) -> None:
    turned = changed(outline, rotation(angle))
    assert not is_as_drawn(leaf(turned), fingerprint(leaf(outline)))


@pytest.mark.parametrize(
    "matrix",
    [
        pytest.param(scaling(-1, 1), id="mirrored across"),
        pytest.param(scaling(1, -1), id="mirrored up"),
        pytest.param(scaling(1.01, 1), id="stretched"),
        pytest.param(scaling(1.05, 1.05), id="enlarged"),
        pytest.param(((1, 0.02, 0), (0, 1, 0)), id="skewed"),
    ],
)
@pytest.mark.parametrize("outline", [FRONT, box(0, 0, 300, 500)])
def test_other_changes_of_the_nodes_show(outline: Outline, matrix: Matrix) -> None:
    assert not is_as_drawn(leaf(changed(outline, matrix)), fingerprint(leaf(outline)))


def test_a_redrawn_outline_shows() -> None:
    longer = (*FRONT[:-2], (260, 640), (0, 640))
    assert not is_as_drawn(leaf(longer), fingerprint(leaf(FRONT)))


def path(data: str) -> Leaf:
    drawing = sheet()
    drawing.add_path(data)
    (found,) = read_leaves(drawing.document())
    return found


def test_how_the_editor_writes_numbers_does_not_show() -> None:
    """The same outline with absolute and relative commands, short forms and six digits."""
    drawn = path(
        "M 100.123456789 50 L 340.5 50 C 350 120, 330.25 200, 345 300 L 100.123456789 300 Z"
    )
    saved = path("m 100.12346,50 h 240.37654 c 9.5,70 -10.25,150 4.5,250 H 100.12346 z")
    assert is_as_drawn(saved, fingerprint(drawn))
    assert is_as_drawn(drawn, fingerprint(saved))


def test_curves_flattened_at_another_scale_do_not_show() -> None:
    small, large = (
        leaf(
            [
                (50 * math.cos(math.tau * n / steps), 80 * math.sin(math.tau * n / steps))
                for n in range(steps)
            ]
        )
        for steps in (40, 400)
    )
    assert is_as_drawn(large, fingerprint(small))


@pytest.mark.parametrize("stored", ["", "nonsense", "1 2 3", "nan " * 16, "1e999 " * 16])
def test_a_damaged_fingerprint_never_fits(stored: str) -> None:
    assert not is_as_drawn(leaf(FRONT), stored)


def test_what_has_no_outline_has_no_fingerprint() -> None:
    assert fingerprint(leaf([(0, 0), (0, 9)], closed=False)) == ""
    assert fingerprint(leaf([(0, 0), (0, 9)])) == ""
    assert not is_as_drawn(leaf([(0, 0), (0, 9)]), "")


def test_a_fingerprint_is_short_enough_to_read() -> None:
    assert len(fingerprint(leaf(FRONT))) < 130
