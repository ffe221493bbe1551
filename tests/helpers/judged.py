# SPDX-License-Identifier: GPL-2.0-or-later
"""Small layouts with true figures, to be judged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest
import shapely

from nesting import ENGINE
from nesting.judge.check import check_laid
from nesting.judge.outlines import Laid, lay
from nesting.judge.verdict import Violation
from nesting.model import Fabric, Job, Layout, LeftOver, Outline, Piece, Placement

SQUARE: Outline = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
FLAG: Outline = ((0.0, 0.0), (100.0, 0.0), (100.0, 30.0), (20.0, 30.0), (20.0, 80.0), (0.0, 80.0))
CLOTH = Fabric(width=1e6)


def spot(
    piece: str, copy: int, x: float, y: float, turn: float = 0.0, flip: bool = False
) -> Placement:
    return Placement(piece, (copy,), 1, turn, flip, x, y)


def laid_out(job: Job, *placements: Placement, left_over: tuple[LeftOver, ...] = ()) -> Layout:
    """Return a layout with true figures, by plain arithmetic on the parts' outlines."""
    pieces = {piece.id: piece for piece in job.pieces}
    parts = lay(pieces, placements)
    length = max(part.polygon.bounds[2] for part in parts) + job.fabric.edge_margin
    area = sum(part.polygon.area for part in parts)
    return layout_of(job.fabric.width, length, area, placements, left_over)


def layout_of(
    width: float,
    length: float,
    area: float,
    placements: tuple[Placement, ...],
    left_over: tuple[LeftOver, ...] = (),
) -> Layout:
    """Return a layout that no search has made; lengths in mm, the area of all parts in mm2."""
    return Layout(
        width=width,
        length=length,
        utilisation=area / (width * length),
        lower_bound=0.0,
        seconds=0.0,
        seed=0,
        rounds=0,
        workers=1,
        engine=ENGINE,
        placements=placements,
        left_over=left_over,
    )


def kinds(violations: tuple[Violation, ...] | list[Violation]) -> list[str]:
    return [violation.kind for violation in violations]


def two_squares(gap: float = 0.0, **fabric: Any) -> Job:
    return Job(
        Fabric(width=250.0, gap=gap, **fabric),
        (Piece("a", SQUARE, name="Front"), Piece("b", SQUARE)),
    )


def beside(
    left: tuple[float, float], right: tuple[float, float], apart: float, y: float = 0.0
) -> list[Laid]:
    """Return two rectangles by their sizes, the second behind the first and `apart` mm from it."""
    x = left[0] + apart
    return [
        Laid("left", "left", shapely.box(0.0, 0.0, *left)),
        Laid("right", "right", shapely.box(x, y, x + right[0], y + right[1])),
    ]


def either_way(laid: Sequence[Laid], gap: float = 0.0) -> list[str]:
    """Return what is wrong with parts, the same in either order."""
    fabric = replace(CLOTH, gap=gap)
    there, back = check_laid(laid, fabric), check_laid(laid[::-1], fabric)
    assert kinds(there) == kinds(back)
    assert [one.amount for one in there] == pytest.approx([one.amount for one in back])
    return kinds(there)
