# SPDX-License-Identifier: GPL-2.0-or-later
"""Which end of the grainline is the top of a piece: with nap, all tops lie one way.

Evidence in order: `lay:top`; the way up of the piece's own label; the way a typed direction
points; the end nearer the top of the drawing, when the grainline is within 45 degrees of vertical.
The last counts only where there is no other: a piece may be drawn upside down to save paper.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from extension.pieces.attributes import End
from extension.pieces.grain import Axis, off_axis, snapped
from extension.svg.model import Leaf
from extension.svg.transforms import apply_vector

NEAR = 45.0 + 1e-6
"""Degrees from the grain within which a label tells the way up, and from vertical within which
the drawing does; at a true bias both just count."""

_TEXT_PATH = "{*}textPath"


@dataclass(frozen=True, slots=True)
class Top:
    """The direction of the grainline towards the top of the piece, degrees, y up."""

    degrees: float
    certain: bool
    note: str = ""


def find_top(axis: Axis, top: End | None, labels: Iterable[Leaf], piece: str) -> Top:
    """Return which way along its grain a piece is up, and whether the evidence is certain.

    `labels` are the texts inside the piece; `piece` is what notes call it. Missing evidence has no
    note: such pieces are listed together, and only where the cloth has a nap.
    """
    evidence: list[tuple[bool, str]] = []  # whether the axis points to the top, and what says so
    if top is not None:
        evidence.append((top == "end", "lay:top"))
    for label in labels:
        evidence.extend((points_up, "its label") for points_up in _label_says(axis, label))
    if axis.source == "typed" and top is None:
        evidence.append((True, "the typed direction"))
    if not evidence:
        return _from_drawing(axis)
    points_up, source = evidence[0]
    contrary = next((other for says, other in evidence if says != points_up), None)
    note = ""
    if contrary is not None:
        other = "another label" if contrary == source else contrary
        note = f"The top of {piece} is not certain: {source} and {other} point opposite ways."
    return Top(_towards(axis, points_up), contrary is None, note)


def _from_drawing(axis: Axis) -> Top:
    """Return the end nearer the top of the drawing, where that can be told."""
    if off_axis(axis.degrees, 90.0) <= NEAR:
        return Top(_towards(axis, math.sin(math.radians(axis.degrees)) > 0.0), True)
    return Top(axis.degrees, False)


def _label_says(axis: Axis, label: Leaf) -> list[bool]:
    """Return whether the axis points to a label's top: one answer, or none when it cannot tell."""
    if not label.text.strip() or label.element.find(f".//{_TEXT_PATH}") is not None:
        return []
    x, y = apply_vector(label.matrix, (0.0, -1.0))
    if x == y == 0.0:
        return []
    up = math.degrees(math.atan2(-y, x))
    if off_axis(up, axis.degrees) > NEAR:
        return []
    return [math.cos(math.radians(up - axis.degrees)) > 0.0]


def _towards(axis: Axis, points_up: bool) -> float:
    return snapped(axis.degrees + (0.0 if points_up else 180.0))
