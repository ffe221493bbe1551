# SPDX-License-Identifier: GPL-2.0-or-later
"""Programs that separate and compact: free of overlap, within the cloth, never longer."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import translate

from nesting.geometry.arrays import Ints
from nesting.geometry.convex import convex_parts
from nesting.geometry.shapes import Points, counter_clockwise
from nesting.model import Outline
from nesting.press.compaction import SCALE, Arrangement, Press
from nesting.press.programs import Floats
from tests.helpers import strategies as some

WIDTH = 700.0


def at_corner(outline: Outline) -> Points:
    points = counter_clockwise(np.array(outline))
    return points - points.min(axis=0)


def press_of(outlines: list[Points], movable: int) -> Press:
    sizes = [(float(o[:, 0].max()), float(o[:, 1].max())) for o in outlines]
    return Press([convex_parts(outline) for outline in outlines], sizes, WIDTH, movable)


def laid_on(press: Press, kinds: Ints, xs: Floats, ys: Floats) -> Arrangement:
    """Return parts that may lie anywhere on the cloth; places are scaled."""
    movable, sizes = press._movable, press._sizes[kinds]
    highs = np.column_stack((np.full(movable, np.inf), SCALE - sizes[:movable, 1]))
    return Arrangement(kinds, xs, ys, np.zeros((movable, 2)), highs)


def in_a_row(press: Press, outlines: list[Points], spare: float) -> Arrangement:
    """Return each outline behind the one before, `spare` mm apart."""
    ends = np.cumsum([0.0, *(o[:, 0].max() + spare for o in outlines)])[:-1]
    scale = SCALE / WIDTH
    return laid_on(press, np.arange(len(outlines)), ends * scale, np.zeros(len(outlines)))


def deepest(outlines: list[Points], laid: Arrangement) -> float:
    """Return the greatest common area of two parts, as a share of the smaller, by shapely."""
    scale = SCALE / WIDTH
    lying = [
        translate(shapely.Polygon(outlines[k]), laid.xs[k] / scale, laid.ys[k] / scale)
        for k in range(len(outlines))
    ]
    shares = [
        one.intersection(two).area / min(one.area, two.area)
        for k, one in enumerate(lying)
        for two in lying[:k]
    ]
    return max(shares, default=0.0)


@settings(max_examples=25)
@given(st.lists(some.outlines(), min_size=2, max_size=5), st.floats(0.0, 60.0))
def test_pressing_is_never_longer_and_leaves_no_overlap(row: list[Outline], spare: float) -> None:
    outlines = [at_corner(outline) for outline in row]
    press = press_of(outlines, len(row))
    laid = in_a_row(press, outlines, spare)
    pressed = press.compacted(laid)
    assert press.length(pressed) <= press.length(laid) + 1e-9
    assert deepest(outlines, pressed) <= 1e-7
    assert (pressed.xs >= -1e-6).all()
    assert (pressed.ys >= -1e-6).all()


def test_squares_with_room_between_them_are_pressed_together_exactly() -> None:
    square = np.array([[0.0, 0.0], [350.0, 0.0], [350.0, 350.0], [0.0, 350.0]])
    press = press_of([square] * 3, 3)
    pressed = press.compacted(in_a_row(press, [square] * 3, 25.0))
    assert press.length(pressed) / press.scale == pytest.approx(3 * 350.0, abs=1e-6)


@pytest.mark.parametrize(("programs", "trust"), [(1, 10.0), (3, 10.0), (2, 25.0)])
def test_a_part_moves_no_farther_than_it_may_in_each_program(programs: int, trust: float) -> None:
    square = np.array([[0.0, 0.0], [350.0, 0.0], [350.0, 350.0], [0.0, 350.0]])
    press = press_of([square], 1)
    far = laid_on(press, np.zeros(1, dtype=np.int64), np.array([400.0]), np.zeros(1))
    pressed = press.compacted(far, rounds=programs, trust=trust)
    assert pressed.xs == pytest.approx([400.0 - programs * trust])


def test_a_small_overlap_is_undone_within_the_length() -> None:
    triangle = np.array([[0.0, 0.0], [300.0, 0.0], [0.0, 300.0]])
    press = press_of([triangle] * 2, 2)
    scale = press.scale
    tangled = laid_on(press, np.arange(2), np.array([0.0, 290.0]) * scale, np.zeros(2))
    apart = press.separated(tangled, 600.0 * scale)
    assert apart is not None
    assert deepest([triangle] * 2, apart) <= 1e-7
    assert press.length(apart) <= 600.0 * scale + 1e-6


def test_what_cannot_fit_is_not_separated() -> None:
    square = np.array([[0.0, 0.0], [400.0, 0.0], [400.0, 400.0], [0.0, 400.0]])
    press = press_of([square] * 2, 2)
    tangled = laid_on(press, np.arange(2), np.array([0.0, 380.0]) * press.scale, np.zeros(2))
    assert press.separated(tangled, 780.0 * press.scale) is None


SCALED = 1000.0 / 700.0
"""The scale of a press on cloth of 700 mm."""


@pytest.mark.parametrize(("hopeless", "succeeds"), [(math.inf, True), (50.0, True), (30.0, False)])
def test_what_looks_hopeless_after_one_program_is_given_up(hopeless: float, succeeds: bool) -> None:
    """Two squares overlap by 100; each may move by 30 in a program, so the first leaves 40."""
    side = 400.0 / SCALED
    square = np.array([[0.0, 0.0], [side, 0.0], [side, side], [0.0, side]])
    press = press_of([square] * 2, 2)
    assert press.scale == SCALED
    tangled = laid_on(press, np.arange(2), np.array([100.0, 400.0]), np.array([0.0, 10.0]))
    assert (press.separated(tangled, 2000.0, hopeless=hopeless) is not None) == succeeds


def test_held_parts_do_not_move_by_a_bit() -> None:
    square = np.array([[0.0, 0.0], [300.0, 0.0], [300.0, 300.0], [0.0, 300.0]])
    press = press_of([square] * 2, 1)
    laid = laid_on(press, np.arange(2), np.array([900.0, 123.456]), np.array([0.0, 78.9]))
    pressed = press.compacted(laid)
    assert (pressed.xs[1], pressed.ys[1]) == (123.456, 78.9)
    assert pressed.xs[0] < 900.0
    assert deepest([square] * 2, pressed) <= 1e-9
