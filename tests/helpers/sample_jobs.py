# SPDX-License-Identifier: GPL-2.0-or-later
"""Jobs for the engine from the sample drawings: each by itself, and garments in several sizes."""

from __future__ import annotations

from dataclasses import replace

from extension.job.plan import make_plan
from extension.job.reading import ReadRequest, read_pieces
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from nesting.model import Job, Piece
from tests.helpers.cloth import typed_between_selvedges
from tests.helpers.places import PROJECT

SAMPLES = ("first-apron", "wrap-skirt", "lined-jacket", "inch-trousers", "untidy-smock")
GARMENT = ("front", "back", "top-sleeve", "under-sleeve", "front-facing", "neck-facing")
"""Pieces of the lined jacket that come to ten parts."""
PARTS_EACH = 10
SIZES = (1.0, 1.04, 1.08, 1.12)
"""Every garment is another size until these are used up. Drawn larger all over: invented."""


def sample(name: str) -> Job:
    """Return a sample drawing on cloth 140 cm wide as a job."""
    leaves = read_leaves(parse(PROJECT / "sample_svgs" / f"{name}.svg"))
    options = typed_between_selvedges({"fabric_width": "140cm"})
    return make_plan(read_pieces(leaves, ReadRequest()), options).job


def garments(parts: int) -> Job:
    """Return a job of so many parts, a multiple of ten, without nap."""
    if parts < PARTS_EACH or parts % PARTS_EACH:
        raise ValueError(f"A garment has {PARTS_EACH} parts: {parts} is no multiple of it.")
    whole = sample("lined-jacket")
    chosen = [piece for piece in whole.pieces if piece.id in GARMENT]
    count = parts // PARTS_EACH
    pieces = []
    for number, size in enumerate(SIZES[:count]):
        times = len(range(number, count, len(SIZES)))
        pieces += [_graded(piece, size, f"{number + 1}", times) for piece in chosen]
    return Job(replace(whole.fabric, nap=False), tuple(pieces))


def _graded(piece: Piece, size: float, word: str, times: int) -> Piece:
    """Return a piece drawn in another size, for so many garments."""

    def grown(point: tuple[float, float]) -> tuple[float, float]:
        return point[0] * size, point[1] * size

    fold = None if piece.fold is None else (grown(piece.fold[0]), grown(piece.fold[1]))
    outline = tuple(grown(point) for point in piece.outline)
    return replace(piece, id=f"{piece.id} {word}", outline=outline, fold=fold, garments=times)
