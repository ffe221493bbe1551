# SPDX-License-Identifier: GPL-2.0-or-later
"""Halves that lie on a fold of the cloth: from where a half lies to how the whole piece does.

Opened out about its fold edge, a half and its mirror image are the same piece: one that lies
printed side down is the other half of the piece lying printed side up.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from extension.layouts.registration import Motion, Ring
from nesting.model import Point

Fold = tuple[Point, Point]


def opened_out(motion: Motion, fold: Fold) -> Motion:
    """Return the motion that lays the whole piece where one lays its half; it mirrors nothing.

    With S the reflection about the fold, a motion M that mirrors is T . S of a rigid T, and S
    leaves the whole piece as it is: T = M . S.
    """
    if not motion.mirrored:
        return motion
    foot, axis = _line(fold)
    turn = motion.turn * axis.conjugate()
    move = motion.turn * foot.conjugate() + motion.move - turn * foot
    return Motion(False, turn, move, motion.away)


def half_laid(half: Ring, fold: Fold, whole: Motion, *, over: bool) -> Ring:
    """Return the points of a half where the motion of its whole lays it; `over`: the other half."""
    foot, axis = _line(fold)
    points = foot + axis * (half - foot).conj() if over else half
    return points * whole.turn + whole.move


def fold_edge_of(fold: Fold, whole: Motion) -> Ring:
    """Return both ends of the fold edge where the motion of a whole piece lays it."""
    ends = np.array([complex(*end) for end in fold])
    return ends * whole.turn + whole.move


def likely_halves(likely: Iterable[tuple[bool, float]], fold: Fold) -> list[tuple[bool, float]]:
    """Return the ways, as (mirrored, degrees), in which a half lies whose whole lies in some ways.

    A piece on the fold is never mirrored; its half may be.
    """
    degrees = float(np.degrees(np.angle(_line(fold)[1])))
    return [
        way
        for mirrored, turn in likely
        if not mirrored
        for way in ((False, turn), (True, (turn + degrees) % 360.0))
    ]


def _line(fold: Fold) -> tuple[complex, complex]:
    """Return a point of the fold, and what mirroring about it turns the conjugate by."""
    foot = complex(*fold[0])
    along = complex(*fold[1]) - foot
    return foot, (along / abs(along)) ** 2
