# SPDX-License-Identifier: GPL-2.0-or-later
"""Parts put down by hand, to be judged: square pieces on cloth a metre wide."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

import shapely

from extension.job.plan import Cut, Plan
from extension.layouts.copies import tally
from extension.layouts.found import FoundPart
from extension.layouts.frame import Frame
from extension.layouts.gone import Gone
from extension.layouts.recognise import LaidPart, Pose
from extension.layouts.registration import Motion
from extension.layouts.situation import Finding, Situation
from extension.layouts.spots import ROUNDING
from extension.layouts.verdicts import findings
from extension.layouts.wrecks import Wreck
from extension.pieces.cutlist import Demand
from extension.pieces.model import DrawnPiece
from nesting.model import Fabric, Hand, Job, Piece
from tests.helpers.drawn import group, shape
from tests.helpers.garments import garment
from tests.helpers.layouts import plan_of

WIDTH, SIDE, GAP = 1000.0, 100.0, 3.0
CLOTH = Frame(((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)), WIDTH, WIDTH, 2000.0, True)
MORE, LESS = 1.05 * ROUNDING, 0.95 * ROUNDING


@lru_cache(maxsize=1)
def drawn() -> DrawnPiece:
    """Return some drawn piece, to be renamed."""
    return plan_of(garment().document()).cuts["tab"].drawn


def cut(name: str, count: int = 1, hand: Hand = "mirrored", **rules: object) -> Cut:
    """Return a square piece, cut so often; keywords are its rules."""
    square = ((0.0, 0.0), (SIDE, 0.0), (SIDE, SIDE), (0.0, SIDE))
    piece = Piece(name.lower(), square, name, count, hand=hand, **rules)  # type: ignore[arg-type]
    source = replace(drawn(), id=name.lower(), name=name, size=None)
    return Cut(piece, source, Demand(count, "main", hand))


def part(
    of: Cut | None,
    x: float,
    y: float,
    *,
    copy: int = 1,
    turn: float = 0.0,
    flip: bool = False,
    either: bool = False,
    drawn_flipped: bool | None = None,
    trouble: str = "",
    amount: float = 0.0,
    id_: str = "",
    label: str = "",
    astray: str = "",
    polygon: shapely.Polygon | None = None,
    groups: bool = True,
) -> LaidPart:
    """Return a part with its low corner at a place; `either`: its outline fits both ways."""
    name = of.piece.id if of else "lost"
    own = id_ or f"{name}-{copy}"
    found = FoundPart(
        shape((0, 0), (9, 0), (9, 9), id=f"{own}-outline", label=label),
        name,
        (copy,) if copy else (),
        False,
        (group(own, label=label),) if groups else (),
        astray,
        drawn_flipped,
    )
    motion = Motion(flip, 1 + 0j, complex(x, y), 0.0)
    pose = Pose(turn, flip, x, y, 0, motion)
    poses: tuple[Pose, ...] = (pose, replace(pose, flip=not flip)) if either else (pose,)
    if trouble or of is None:
        poses = ()
    where = polygon or shapely.box(x, y, x + SIDE, y + SIDE)
    return LaidPart(found, of, poses, where, trouble, amount)  # type: ignore[arg-type]


def situation(
    cuts: Sequence[Cut],
    parts: Sequence[LaidPart],
    *,
    gap: float = GAP,
    nap: bool = True,
    frame: Frame = CLOTH,
    length: float | None = None,
    planned: bool = True,
    wrecks: tuple[Wreck, ...] = (),
    gone: tuple[Gone, ...] = (),
) -> Situation:
    """Return a layout with these pieces asked for and these parts on it."""
    asked: Mapping[str, Cut] = {one.piece.id: one for one in cuts}
    job = Job(Fabric(WIDTH, length, gap=gap, nap=nap), tuple(one.piece for one in cuts))
    plan = Plan(job, dict(asked), "main", (), ()) if planned else None
    counted = tally(asked if planned else {}, parts)
    return Situation(plan, frame, gap, tuple(parts), counted, wrecks, gone)


def told(found: Sequence[Finding]) -> list[tuple[str, tuple[str, ...], float]]:
    """Return what matters of findings to a program."""
    return [(one.kind, one.parts, round(one.amount, 4)) for one in found]


def only(of: Situation) -> Finding:
    """Return the one fault of a layout."""
    (one,) = findings(of)
    return one


FRONT, TAB, PAIR, FOUR = cut("Front"), cut("Tab"), cut("Sleeve", 2), cut("Loop", 4, "same")
