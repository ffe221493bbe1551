# SPDX-License-Identifier: GPL-2.0-or-later
"""Published strip-packing instances and layouts as jobs and layouts of this project.

The folder is one of the ESICUP data sets (CC0) as JSON; tests get it from `benchmark_folder`.
Their units are taken for millimetres, their strip for cloth without nap or gap; nothing may be
mirrored, so every piece is cut with hand "same".
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import shapely
from shapely import affinity

from nesting.model import Fabric, Job, Layout, Piece, Placement
from tests.helpers.judged import layout_of


def read(path: Path) -> Any:
    """Return what a JSON file holds."""
    return json.loads(path.read_text(encoding="utf-8"))


def instance_job(folder: Path, name: str) -> Job:
    """Return a published instance as a job."""
    instance = read(folder / f"{name}.json")
    pieces = tuple(
        Piece(
            id=piece["id"],
            outline=tuple((float(x), float(y)) for x, y in piece["polygon"]),
            cut=piece["count"],
            hand="same",
            turns=tuple(float(turn) for turn in piece["rotations"]),
        )
        for piece in instance["pieces"]
    )
    return Job(Fabric(width=float(instance["strip_width"]), nap=False), pieces)


def published_layout(job: Job, path: Path) -> Layout:
    """Return a published layout of an instance; its figures are measured from its parts."""
    outlines = {piece.id: shapely.Polygon(piece.outline) for piece in job.pieces}
    copies = dict.fromkeys(outlines, 0)
    placements, length, area = [], 0.0, 0.0
    for piece, angle, x, y in read(path)["placements_piece_angle_x_y"]:
        copies[piece] += 1
        placements.append(Placement(piece, (copies[piece],), 1, angle, False, x, y))
        lying = affinity.rotate(outlines[piece], angle, origin=(0, 0))
        length, area = max(length, x + lying.bounds[2]), area + lying.area
    return layout_of(job.fabric.width, length, area, tuple(placements))
