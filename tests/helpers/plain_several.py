# SPDX-License-Identifier: GPL-2.0-or-later
"""The second judge on several pieces of cloth: each for itself, then what is where in all."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace

import pytest
import shapely

from nesting.model import Job, Layout

Faults = Callable[[Job, Layout], list[str]]


def faults(job: Job, layout: Layout, alone: Faults) -> list[str]:
    """Return what is wrong; `alone` tells what is wrong on one piece of cloth."""
    found = []
    stated = {one.fabric: one for one in layout.fabrics}
    used = sorted({spot.fabric for spot in layout.placements})
    if sorted(stated) != used or not set(used) <= set(range(1, len(job.fabrics) + 1)):
        return [f"length: cloths {used} are used, but {sorted(stated)} stated"]
    whole, covered = 0.0, 0.0
    for number in used:
        spots = tuple(replace(s, fabric=1) for s in layout.placements if s.fabric == number)
        there: dict[str, list[int]] = {}
        for spot in spots:
            there.setdefault(spot.piece, []).extend(spot.copies)
        pieces = tuple(
            replace(piece, copies=tuple(there[piece.id]))
            for piece in job.pieces
            if piece.id in there
        )
        fabric, own = job.fabrics[number - 1], stated[number]
        sub = replace(
            layout,
            width=own.width,
            length=own.length,
            utilisation=own.utilisation,
            placements=spots,
            left_over=(),
            fabrics=(),
        )
        found += [f"{one} on cloth {number}" for one in alone(Job(fabric, pieces), sub)]
        cloth = shapely.box(0.0, 0.0, own.length, fabric.width)
        if fabric.outline:
            cloth = shapely.Polygon(fabric.outline).buffer(0.0)
            for hole in fabric.holes:
                cloth = cloth - shapely.Polygon(hole).buffer(0.0)
        whole += cloth.area
        covered += own.utilisation * cloth.area
    wanted = Counter((p.id, k) for p in job.pieces for k in range(1, p.cut * p.garments + 1))
    laid = Counter((s.piece, k) for s in layout.placements for k in s.copies)
    left = Counter((rest.piece, k) for rest in layout.left_over for k in rest.copies)
    if laid + left != wanted:
        found.append(f"count: {laid + left} instead of {wanted}")
    found += _lots(job, layout)
    if layout.width != max(fabric.width for fabric in job.fabrics):
        found.append(f"length: width {layout.width} in all")
    if layout.length != pytest.approx(sum(one.length for one in stated.values())):
        found.append(f"length: {layout.length} in all")
    if layout.utilisation != pytest.approx(covered / whole if whole else 0.0, abs=1e-5):
        found.append(f"length: utilisation {layout.utilisation} in all")
    return found


def _lots(job: Job, layout: Layout) -> list[str]:
    """What has to be of one lot lies on one piece of cloth."""
    if not job.one_lot:
        return []
    on: dict[object, set[int]] = {}
    for spot in layout.placements:
        key = (spot.garment, spot.piece if job.one_lot == "piece" else "")
        on.setdefault(key, set()).add(spot.fabric)
    return [f"one lot: {key} lies on {cloths}" for key, cloths in on.items() if len(cloths) > 1]
