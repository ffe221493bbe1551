# SPDX-License-Identifier: GPL-2.0-or-later
"""Whether a job can be laid out at all: every limit, each broken one told in a plain sentence.

A job may come from a file or be built in memory, so nothing is taken for granted, not even the
types: a rule yields its faults as sentences, and only a job without faults is made clean.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Annotated, Any, Literal, get_args, get_origin, get_type_hints

from nesting.errors import JobError, first_of
from nesting.geometry.shapes import whole_outline
from nesting.jobs.fabric import clean_fabric, fabric_faults
from nesting.jobs.fabrics import fabrics_faults
from nesting.jobs.held import clean_spot, held_faults
from nesting.jobs.matches import clean_matches, group_faults, match_faults
from nesting.jobs.outlines import clean_outline, point_of, points_faults, shape_faults
from nesting.jobs.values import (
    count_faults,
    flag_faults,
    is_count,
    is_list,
    is_number,
    number_faults,
    said,
    text_faults,
)
from nesting.judge.check import check_held
from nesting.judge.verdict import capital
from nesting.model import Job, Limits, Piece

MOST_PARTS = 2_000

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
    cloth = fabrics_faults(job) if job.fabrics else fabric_faults(job.fabric)
    faults = [JobError(sentence) for sentence in cloth]
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
    fabrics = tuple(clean_fabric(fabric) for fabric in job.fabrics)
    fabric = fabrics[0] if fabrics else clean_fabric(job.fabric)
    clean = replace(job, fabric=fabric, pieces=pieces, held=held, fabrics=fabrics)
    if broken := check_held(clean):
        raise first_of([JobError(f"Among the held parts: {one.sentence}") for one in broken])
    return clean


# --- rules: each yields one sentence per fault --------------------------------------------------


def _piece_faults(piece: Piece, label: str) -> Iterator[str]:
    """Yield what is wrong with one piece, without looking at the others."""
    for name, (kind, limits) in PIECE.items():
        yield from _value_faults(label, getattr(piece, name), kind, limits)
    yield from _copies_faults(piece, label)
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


def _copies_faults(piece: Piece, label: str) -> Iterator[str]:
    """Yield what keeps copies from being some of those that are cut of a piece."""
    copies, what = piece.copies, f"The copies of {label}"
    if copies == () or not (is_count(piece.cut) and is_count(piece.garments)):
        return
    if not is_list(copies) or len(copies) == 0 or not all(map(is_count, copies)):
        yield f"{what} must be a list of their numbers, or be left out for all: not {said(copies)}."
    elif not all(1 <= copy <= piece.cut * piece.garments for copy in copies):
        yield f"{what} must be numbers from 1 to {piece.cut * piece.garments}, as many as are cut."
    elif len(set(copies)) < len(copies):
        yield f"{what} must be told once each."


def _outline_faults(piece: Piece, label: str) -> Iterator[str]:
    """Yield what is wrong with an outline and its fold; only the first that hides the others."""
    faults = list(points_faults(f"the outline of {label}", piece.outline, 3))
    if piece.fold is not None:
        faults += points_faults(f"the fold of {label}", piece.fold, 2)
        if not faults and len(piece.fold) != 2:
            faults.append(f"The fold of {label} must be two points, not {len(piece.fold)}.")
    if not faults:
        outline = clean_outline(piece.outline)
        faults += shape_faults(f"The outline of {label}", outline)
    if not faults and piece.fold is not None:
        try:
            whole = whole_outline(_drawn(piece))
        except JobError as error:
            faults.append(str(error))
        else:
            points = tuple((float(x), float(y)) for x, y in whole)
            faults += shape_faults(f"Unfolded, the outline of {label}", points)
    yield from faults


def _job_faults(job: Job) -> Iterator[str]:
    """Yield what is wrong between pieces that are right each by itself."""
    if not job.pieces:
        yield "The job has no pieces: give it at least one."
    seen: set[str] = set()
    for piece in job.pieces:
        if piece.id in seen:
            yield f"Two pieces have the id “{piece.id}”: give each its own."
        seen.add(piece.id)
    parts = sum(len(piece.numbers) for piece in job.pieces)
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
    copies = tuple(sorted(int(copy) for copy in piece.copies))
    return replace(_drawn(piece), **plain, match=clean_matches(piece.match), copies=copies)


def _drawn(piece: Piece) -> Piece:
    """Return the piece with plain numbers in its outline and fold, whatever else is wrong."""
    fold = None if piece.fold is None else (point_of(piece.fold[0]), point_of(piece.fold[1]))
    return replace(piece, outline=clean_outline(piece.outline), fold=fold)


def _plain(value: Any, kind: Any) -> Any:
    """Return a value that fits its field with plain numbers: one may be numpy's."""
    if kind is int:
        return int(value)
    if get_origin(kind) is tuple:
        return tuple(float(one) for one in value)
    return float(value) if is_number(value) else value
