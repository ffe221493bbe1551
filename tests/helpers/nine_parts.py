# SPDX-License-Identifier: GPL-2.0-or-later
"""A small job for tests of the search: nine parts of two pieces, one of them hollow."""

from __future__ import annotations

from nesting.model import Fabric, Job, Outline, Piece

ANGLE: Outline = ((0, 0), (90, 0), (90, 30), (30, 30), (30, 80), (0, 80))
GORE: Outline = ((0, 0), (120, 0), (20, 70))
JOB = Job(
    Fabric(200.0, gap=2.0, edge_margin=5.0, nap=False),
    (Piece("angle", ANGLE, cut=4), Piece("gore", GORE, cut=5)),
)
