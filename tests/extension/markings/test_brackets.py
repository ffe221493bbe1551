# SPDX-License-Identifier: GPL-2.0-or-later
"""Fold brackets drawn as three lines, with legs of any length, in every unit and every position."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extension.markings.proposals import Proposal
from extension.markings.proposing import propose
from tests.helpers.svg_builder import SvgBuilder

PAGE = 900.0
EDGE = (60.0, 40.0, 360.0)
"""The fold edge of the piece in its own millimetres: its x, and where it begins and ends."""
UNITS = {"mm": 1.0, "in": 25.4, "px": 25.4 / 96.0}


@dataclass(frozen=True)
class Bracket:
    """Three lines: a base beside the edge, legs towards it, and how far these end before either."""

    leg: float = 14.0
    before_edge: float = 0.0
    before_base: float = 0.0
    heads: bool = False
    turned: tuple[bool, bool, bool] = (False, False, False)
    as_one: bool = False
    outside: bool = False


@dataclass(frozen=True)
class Setting:
    """How a drawing lies: its unit, and the groups around it."""

    unit: str = "mm"
    degrees: float = 0.0
    mirrored: bool = False
    nested: int = 0


def matrix(setting: Setting) -> np.ndarray:
    """Return what takes the piece's own millimetres to those of the page, as an affine map."""
    turn = math.radians(setting.degrees)
    side = -1.0 if setting.mirrored else 1.0
    linear = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
    linear = linear @ np.array([[side, 0.0], [0.0, 1.0]])
    middle = np.array([170.0, 200.0])
    return np.column_stack([linear, np.array([PAGE / 2, PAGE / 2]) - linear @ middle])


def drawn(bracket: Bracket, setting: Setting, label: str, mark: str = "three") -> SvgBuilder:
    """Return the drawing of a half-drawn back with its fold mark, notches and grainline."""
    scale = UNITS[setting.unit]
    side = PAGE / scale
    drawing = SvgBuilder(f"{side}{setting.unit}", f"{side}{setting.unit}", (0, 0, side, side))
    (a, c, e), (b, d, f) = matrix(setting) / scale
    group = drawing.add_group(transform=f"matrix({a} {b} {c} {d} {e} {f})")
    for depth in range(setting.nested):
        group = drawing.add_group(parent=group, transform=f"translate({3 + depth} -4) scale(2)")
        group = drawing.add_group(parent=group, transform=f"scale(0.5) translate({-3 - depth} 4)")
    look = "fill:none;stroke:#000000;stroke-width:0.5"
    heads = f"{look};marker-end:url(#h)" if bracket.heads else look
    x, top, bottom = EDGE
    drawing.add_path(f"M {x} {top} H 260 L 280 {bottom} H {x} Z", group, id="back", style=look)
    inward = -1.0 if bracket.outside else 1.0
    base = x + inward * (bracket.leg + bracket.before_edge + bracket.before_base)
    tail, tip = base - inward * bracket.before_base, x + inward * bracket.before_edge
    lines = [
        ((base, 80.0), (base, 300.0)),
        ((tail, 80.0), (tip, 80.0)),
        ((tail, 300.0), (tip, 300.0)),
    ]
    data = [
        "M {} {} L {} {}".format(*(line[1] + line[0] if turned else line[0] + line[1]))
        for line, turned in zip(lines, bracket.turned, strict=True)
    ]
    if mark == "one line":
        points = [*lines[1][::-1], *lines[2]]
        drawing.add_path(f"M {' L '.join(f'{a} {b}' for a, b in points)}", group, style=heads)
    elif mark == "dashes":
        drawing.add_path(f"M {x} 60 V 340", group, style=f"{look};stroke-dasharray:9,3,1,3")
    elif mark == "words":
        place = f"translate({x + 10} 260) rotate(-90)"
        drawing.add_text("PLACE ON FOLD", 0, 0, group, font_size=8, transform=place)
    elif bracket.as_one:
        drawing.add_path(" ".join(data), group, style=look)
    else:
        for place, one in enumerate(data):
            turned = bracket.turned[place]
            back = heads.replace("marker-end", "marker-start") if turned else heads
            drawing.add_path(one, group, style=look if place == 0 else back)
    drawing.add_path("M 150 40 V 46", group, id="notch-1", style=look)
    drawing.add_path("M 100 360 V 354", group, id="notch-2", style=look)
    drawing.add_path(
        "M 190 100 V 280", group, style=f"{look};marker-start:url(#h);marker-end:url(#h)"
    )
    drawing.add_text(label, 100, 200, group, font_size=10)
    return drawing


def read(drawing: SvgBuilder) -> tuple[Proposal, dict[str, str]]:
    """Return the only piece of a drawing, and the roles of its lines by id."""
    proposals = propose(drawing.document())
    (piece,) = proposals.pieces
    return piece, {leaf.id: role for leaf, role in proposals.roles.items()}


def assert_on_the_fold(bracket: Bracket, setting: Setting, label: str, mark: str = "three") -> None:
    piece, roles = read(drawn(bracket, setting, label, mark))
    assert piece.fold, piece.wants
    # Writing that is mirrored on the sheet is told, and nothing else.
    told = [want for want in piece.wants if "writing is mirrored" in want]
    assert list(piece.wants) == (told if setting.mirrored else [])
    assert [one.cut for one in piece.demands] == [1]
    assert {name for name, role in roles.items() if role == "notch"} == {"notch-1", "notch-2"}
    drawn_by = {"three": 1 if bracket.as_one else 3, "one line": 1}
    if mark in drawn_by:
        assert list(roles.values()).count("bracket") == drawn_by[mark]
    linear = matrix(setting)
    if mark == "dashes":
        assert "fold" in roles.values()
        return
    (line,) = [one for one in piece.lines if one.role == "fold"]
    found = sorted(
        (round(x), round(y)) for x, y in (_back(linear, p) for p in (line.start, line.end))
    )
    assert found == [(60, 40), (60, 360)]
    assert piece.grain is not None
    up = linear[:, :2] @ np.array([0.0, -1.0])
    told = math.radians(piece.grain)
    assert abs(math.cos(told) * up[0] - math.sin(told) * up[1]) == pytest.approx(1.0, abs=1e-4)


def _back(linear: np.ndarray, point: tuple[float, float]) -> tuple[float, float]:
    x, y = np.linalg.solve(linear[:, :2], np.array(point) - linear[:, 2])
    return float(x), float(y)


LEGS = [3.0, 6.0, 14.0, 30.0, 60.0, 110.0]


@pytest.mark.parametrize("leg", LEGS)
@pytest.mark.parametrize("before_edge", [0.0, 0.8, 3.0])
@pytest.mark.parametrize("before_base", [0.0, 1.0])
def test_legs_of_any_length_touching_or_just_short(
    leg: float, before_edge: float, before_base: float
) -> None:
    bracket = Bracket(leg, before_edge, before_base)
    assert_on_the_fold(bracket, Setting(), "Back\ncut 1 on fold")


@pytest.mark.parametrize("leg", LEGS[:4])
def test_without_words_a_bracket_that_touches_says_fold_by_itself(leg: float) -> None:
    assert_on_the_fold(Bracket(leg), Setting(), "Back\ncut 1")


def test_without_words_or_heads_one_that_ends_short_is_asked_about() -> None:
    piece, roles = read(drawn(Bracket(before_edge=3.0), Setting(), "Back\ncut 1"))
    assert not piece.fold
    assert any("fold bracket" in want for want in piece.wants)
    assert list(roles.values()).count("notch") == 2


brackets = st.builds(
    Bracket,
    leg=st.sampled_from([3.0, 8.0, 14.0, 25.0, 45.0]),
    before_edge=st.sampled_from([0.0, 0.5, 2.0]),
    before_base=st.sampled_from([0.0, 0.4, 1.2]),
    heads=st.booleans(),
    turned=st.tuples(st.booleans(), st.booleans(), st.booleans()),
    as_one=st.booleans(),
    outside=st.booleans(),
)
settings_of_drawings = st.builds(
    Setting,
    unit=st.sampled_from(sorted(UNITS)),
    degrees=st.one_of(st.sampled_from([0.0, 90.0, 180.0]), st.integers(0, 359).map(float)),
    mirrored=st.booleans(),
    nested=st.integers(0, 3),
)


@settings(max_examples=25)
@given(bracket=brackets, setting=settings_of_drawings)
def test_the_same_drawing_reads_the_same_in_every_unit_and_position(
    bracket: Bracket, setting: Setting
) -> None:
    assert_on_the_fold(bracket, setting, "Back\ncut 1 on fold")


@settings(max_examples=15)
@given(
    mark=st.sampled_from(["one line", "dashes", "words"]),
    heads=st.booleans(),
    setting=settings_of_drawings,
)
def test_other_marks_of_the_fold_read_the_same_in_every_unit_and_position(
    mark: str, heads: bool, setting: Setting
) -> None:
    assert_on_the_fold(Bracket(heads=heads), setting, "Back\ncut 1", mark)
