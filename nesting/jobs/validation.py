# SPDX-License-Identifier: GPL-2.0-or-later
"""Whether a job can be laid out at all: every limit, each broken one told in a plain sentence.

A job may come from a file or be built in memory, so nothing is taken for granted, not even the
types: a rule yields its faults as sentences, and only a job without faults is made clean.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Annotated, Any, Literal, get_args, get_origin, get_type_hints

import shapely

from nesting.errors import JobError, first_of
from nesting.geometry.shapes import whole_outline
from nesting.jobs.fabric import clean_fabric, fabric_faults
from nesting.jobs.held import clean_spot, held_faults
from nesting.jobs.matches import clean_matches, group_faults, match_faults
from nesting.jobs.values import (
    count_faults,
    flag_faults,
    is_list,
    is_number,
    number_faults,
    said,
    text_faults,
)
from nesting.judge.check import check_held
from nesting.judge.verdict import capital
from nesting.model import Job, Limits, Outline, Piece, Point

FARTHEST = 100_000.0
"""Largest coordinate of an outline, mm."""
MOST_PARTS = 2_000
LEAST_AREA = 0.01
"""mm2 below which an outline has no area."""
SAME_PLACE = 1e-6
"""mm within which two points following each other are one."""

PIECE: dict[str, tuple[Any, Limits]] = {
    name: get_args(hint)
    for name, hint in get_type_hints(Piece, include_extras=True).items()
    if get_origin(hint) is Annotated
}
"""The type and the limits of each value of a piece, as the model has them, in its order."""


def validated(job: Job) -> Job:
    """Return the job with plain numbers and clean outlines, ready for the engine.

    Duplicate points and a repeated last point are dropped. Raises JobError with one sentence
    that names the first fault, its piece and the remedy, and counts the other faults.
    """
    faults = [JobError(sentence) for sentence in fabric_faults(job.fabric)]
    for number, piece in enumerate(job.pieces, 1):
        label = _label(piece, number)
        named = piece.id if isinstance(piece.id, str) else None
        faults += [JobError(sentence, named) for sentence in _piece_faults(piece, label)]
    if not faults:
        faults += [JobError(sentence) for sentence in _job_faults(job)]
    if faults:
        raise first_of(faults)
    pieces = tuple(_clean_piece(piece) for piece in job.pieces)
    held = tuple(clean_spot(spot) for spot in job.held)
    clean = replace(job, fabric=clean_fabric(job.fabric), pieces=pieces, held=held)
    if broken := check_held(clean):
        raise first_of([JobError(f"Among the held parts: {one.sentence}") for one in broken])
    return clean


# --- rules: each yields one sentence per fault --------------------------------------------------


def _piece_faults(piece: Piece, label: str) -> Iterator[str]:
    """Yield what is wrong with one piece, without looking at the others."""
    for name, (kind, limits) in PIECE.items():
        yield from _value_faults(label, getattr(piece, name), kind, limits)
    faults = list(_outline_faults(piece, label))
    yield from faults
    if not faults:
        yield from match_faults(piece, label)


def _value_faults(label: str, value: Any, kind: Any, limits: Limits) -> Iterator[str]:
    """Yield why a value of a piece is not of its field's type, or beyond its limits."""
    what = f"The {limits.what} of {label}"
    if get_origin(kind) is Literal:
        words = get_args(kind)
        if value not in words:
            listed = " or ".join(f"“{word}”" for word in words)
            yield f"{what} must be {listed}, not {said(value)}."
    elif get_origin(kind) is tuple:
        yield from _list_faults(label, value, limits)
    elif kind is str:
        yield from text_faults(what, value, blank=limits.low < 1)
    elif kind is bool:
        yield from flag_faults(what, value)
    elif kind is int:
        yield from count_faults(what, value, limits)
    elif value is not None or type(None) not in get_args(kind):
        yield from number_faults(what, value, limits.low, limits.high, limits.unit)


def _list_faults(label: str, values: Any, limits: Limits) -> Iterator[str]:
    """Yield what is wrong with a list of numbers, called by a plural: turns."""
    one = limits.what.removesuffix("s")
    if not is_list(values):
        yield f"The {limits.what} of {label} must be a list of degrees, not {said(values)}."
    elif len(values) == 0:
        yield f"{capital(label)} may take no {one} at all: allow at least one."
    else:
        for value in values:
            yield from number_faults(
                f"A {one} of {label}", value, limits.low, limits.high, limits.unit
            )


def _outline_faults(piece: Piece, label: str) -> Iterator[str]:
    """Yield what is wrong with an outline and its fold; only the first that hides the others."""
    faults = list(_points_faults(f"the outline of {label}", piece.outline, 3))
    if piece.fold is not None:
        faults += _points_faults(f"the fold of {label}", piece.fold, 2)
        if not faults and len(piece.fold) != 2:
            faults.append(f"The fold of {label} must be two points, not {len(piece.fold)}.")
    if not faults:
        outline = _clean_outline(piece.outline)
        faults += _shape_faults(f"The outline of {label}", outline)
    if not faults and piece.fold is not None:
        try:
            whole = whole_outline(_clean_piece(piece))
        except JobError as error:
            faults.append(str(error))
        else:
            points = tuple((float(x), float(y)) for x, y in whole)
            faults += _shape_faults(f"Unfolded, the outline of {label}", points)
    yield from faults


def _points_faults(whose: str, points: Any, least: int) -> Iterator[str]:
    """Yield the first thing that keeps a value from being a list of points on the table."""
    what = capital(whose)
    if not is_list(points):
        yield f"{what} must be a list of points, not {said(points)}."
        return
    if len(points) < least:
        yield f"{what} has {len(points)} points, but needs at least {least}: redraw it."
        return
    for point in points:
        if not is_list(point) or len(point) != 2:
            yield f"{what} has a point that is not two numbers: {said(point)}."
            return
        for value in point:
            # Almost every value is a plain number within bounds; there are many.
            if type(value) is float and -FARTHEST <= value <= FARTHEST:
                continue
            faults = list(
                number_faults(f"A coordinate of {whose}", value, -FARTHEST, FARTHEST, " mm")
            )
            yield from faults
            if faults:
                return


def _shape_faults(what: str, outline: Outline) -> Iterator[str]:
    """Yield why an outline does not run once round an area."""
    if len(outline) < 3:
        yield f"{what} has fewer than three different points: redraw it."
        return
    polygon = shapely.Polygon(outline)
    # What crosses itself may enclose nothing on balance: only its repaired form tells.
    area = polygon.area if polygon.is_valid else shapely.make_valid(polygon).area
    if not area >= LEAST_AREA:
        yield f"{what} has no area: redraw it, or leave the piece out."
    elif not polygon.is_valid:
        where = re.search(r"\[(\S+) (\S+)\]", shapely.is_valid_reason(polygon))
        near = f" near ({float(where[1]):.1f}, {float(where[2]):.1f}) mm" if where else ""
        yield f"{what} crosses or touches itself{near}: redraw it so that it runs round once."


def _job_faults(job: Job) -> Iterator[str]:
    """Yield what is wrong between pieces that are right each by itself."""
    if not job.pieces:
        yield "The job has no pieces: give it at least one."
    seen: set[str] = set()
    for piece in job.pieces:
        if piece.id in seen:
            yield f"Two pieces have the id “{piece.id}”: give each its own."
        seen.add(piece.id)
    parts = sum(piece.cut * piece.garments for piece in job.pieces)
    if parts > MOST_PARTS:
        yield f"The job has {parts:,} parts, but at most {MOST_PARTS:,} can be laid: lay fewer."
    yield from held_faults(job)
    yield from group_faults(job)


def _label(piece: Piece, number: int) -> str:
    """Return how messages call a piece, even when it has no proper id."""
    proper = isinstance(piece.id, str) and piece.id.strip() and isinstance(piece.name, str)
    return piece.label if proper else f"piece number {number}"


# --- making a job without faults clean ----------------------------------------------------------


def _clean_piece(piece: Piece) -> Piece:
    """Return the piece with plain numbers in tuples."""
    plain = {name: _plain(getattr(piece, name), kind) for name, (kind, _) in PIECE.items()}
    fold = None if piece.fold is None else (_point(piece.fold[0]), _point(piece.fold[1]))
    outline, match = _clean_outline(piece.outline), clean_matches(piece.match)
    return replace(piece, **plain, outline=outline, fold=fold, match=match)


def _plain(value: Any, kind: Any) -> Any:
    """Return a value that fits its field with plain numbers: one may be numpy's."""
    if kind is int:
        return int(value)
    if get_origin(kind) is tuple:
        return tuple(float(one) for one in value)
    return float(value) if is_number(value) else value


def _clean_outline(points: Sequence[Sequence[float]]) -> Outline:
    """Return an outline without points that repeat the one before (or the last the first)."""
    kept: list[Point] = []
    for point in map(_point, points):
        if not kept or math.dist(point, kept[-1]) > SAME_PLACE:
            kept.append(point)
    while len(kept) > 1 and math.dist(kept[-1], kept[0]) <= SAME_PLACE:
        kept.pop()
    return tuple(kept)


def _point(point: Sequence[float]) -> Point:
    """Return a point as two plain floats."""
    return float(point[0]), float(point[1])
