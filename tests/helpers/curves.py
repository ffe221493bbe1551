# SPDX-License-Identifier: GPL-2.0-or-later
"""Jobs of many different parts: pairs of closed curves, invented, no two alike."""

from __future__ import annotations

import numpy as np

from nesting.model import Fabric, Job, Outline, Piece

POINTS = 160
"""Points of a curve, as a drawn outline has about."""
SIZES, FLATTEST = (90.0, 330.0), 0.35
"""Radii, mm, and how much less wide than long a curve may be."""
WAVES, WAVY = range(2, 6), 0.22
"""Waves round a curve, and how high a single one would be, as a share of the radius."""


def curves(parts: int, seed: int = 1, points: int = POINTS) -> Job:
    """Return a job of pairs of different curves: nap, 140 cm, gap 3 mm.

    Raises ValueError for an odd number of parts.
    """
    if parts % 2:
        raise ValueError(f"{parts} parts are no pairs.")
    generator = np.random.default_rng(seed)
    pieces = [
        Piece(f"curve {number + 1}", _curve(generator, points), cut=2)
        for number in range(parts // 2)
    ]
    return Job(Fabric(width=1400.0, gap=3.0, nap=True), tuple(pieces))


def _curve(generator: np.random.Generator, points: int) -> Outline:
    """Return a wavy ellipse, turned anyhow."""
    size, flat = generator.uniform(*SIZES), generator.uniform(FLATTEST, 1.0)
    angles = np.linspace(0.0, 2.0 * np.pi, points, endpoint=False)
    radii = np.ones(points)
    for waves in WAVES:
        height = generator.normal(0.0, WAVY / waves)
        radii += height * np.cos(waves * angles + generator.uniform(0.0, 2.0 * np.pi))
    x, y = size * radii * np.cos(angles), size * flat * radii * np.sin(angles)
    turn = generator.uniform(0.0, 2.0 * np.pi)
    rotated = np.column_stack(
        (x * np.cos(turn) - y * np.sin(turn), x * np.sin(turn) + y * np.cos(turn))
    )
    return tuple((float(a), float(b)) for a, b in rotated)
