# SPDX-License-Identifier: GPL-2.0-or-later
"""Whether the repeat of a cloth and the match points of pieces can be."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from typing import Any, get_args

import shapely

from nesting.jobs.values import flag_faults, is_list, is_number, number_faults, said, text_faults
from nesting.model import Axes, Fabric, Job, Match, On, Piece, Repeat

LONGEST_REPEAT = 5_000.0
"""mm."""
LEAST_REPEAT = 1.0
"""mm: finer stripes nobody matches."""
NEAR = 1.0
"""mm by which a match point may lie outside its outline and count as on it."""


def repeat_faults(fabric: Fabric) -> Iterator[str]:
    """Yield what is wrong with the repeat of a cloth."""
    repeat = fabric.repeat
    if repeat is None:
        return
    if not isinstance(repeat, Repeat):
        yield f"The repeat of the cloth must say how long it is, not {said(repeat)}."
        return
    sizes = {"along the cloth": repeat.along, "across the cloth": repeat.across}
    for name, size in sizes.items():
        if size != 0:
            what = f"The repeat {name}"
            yield from number_faults(what, size, LEAST_REPEAT, LONGEST_REPEAT, " mm")
    if not any(sizes.values()):
        yield "The repeat of the cloth is 0 both ways: give its length, or leave it out."
    yield from number_faults("The first line of the repeat", repeat.first, 0.0, 10_000.0, " mm")
    yield from flag_faults("“even” of the repeat", repeat.even)
    yield from flag_faults("“half_drop” of the repeat", repeat.half_drop)
    if repeat.half_drop and not all(sizes.values()):
        yield "A half-drop needs a repeat both along the cloth and across it: give the other one."
    if is_number(repeat.across) and is_number(fabric.width) and repeat.across > fabric.width:
        yield (
            f"The repeat across the cloth of {repeat.across:g} mm is wider than the cloth of "
            f"{fabric.width:g} mm: measure it again, or leave it out."
        )


def match_faults(piece: Piece, label: str) -> Iterator[str]:
    """Yield what is wrong with the match points of one piece, whose outline is right."""
    if not is_list(piece.match):
        yield f"The match points of {label} must be a list, not {said(piece.match)}."
        return
    for match in piece.match:
        if not isinstance(match, Match):
            yield f"A match point of {label} must have a point and a group, not {said(match)}."
            continue
        what = f"the match point “{match.group}” of {label}"
        yield from text_faults(f"The group of a match point of {label}", match.group, blank=False)
        for name, value, words in (("axes", match.axes, Axes), ("on", match.on, On)):
            if value not in get_args(words):
                listed = ", ".join(f"“{word}”" for word in get_args(words))
                yield f"“{name}” of {what} must be one of {listed}, not {said(value)}."
        yield from _point_faults(piece, match, what)


def _point_faults(piece: Piece, match: Match, what: str) -> Iterator[str]:
    """Yield why a match point is no point of its piece."""
    point: Any = match.point
    if not is_list(point) or len(point) != 2 or not all(map(is_number, point)):
        yield f"The place of {what} must be two numbers, not {said(point)}."
        return
    away = float(shapely.Polygon(piece.outline).distance(shapely.Point(*point)))
    if not away <= NEAR:
        yield f"T{what[1:]} lies {away:.1f} mm outside its outline: move it onto the piece."


def group_faults(job: Job) -> Iterator[str]:
    """Yield the match points that have nothing to match, where the cloth has a repeat."""
    if job.fabric.repeat is None:
        return
    counts: Counter[str] = Counter()
    for piece in job.pieces:
        for match in piece.match:
            counts[match.group] += len(piece.numbers)
    for piece in job.pieces:
        for match in piece.match:
            if counts[match.group] == 1 and not match.on:
                yield (
                    f"The match point “{match.group}” of {piece.label} is alone in its group: give "
                    "the point that it meets the same name, or take it away."
                )
    sections, repeat = job.fabric.sections, job.fabric.repeat
    is_all = not any(section.is_open for section in sections)
    # A lengthwise fold turns nothing round along the cloth.
    turns_round = repeat.across or any(section.crosswise for section in sections)
    if is_all and turns_round and not repeat.even and any(one.match for one in job.pieces):
        yield (
            "An uneven design runs the other way on the upper layer, so what has to match cannot "
            "be cut double: lay the cloth open, or leave a length of it open."
        )


def clean_repeat(repeat: Repeat | None) -> Repeat | None:
    """Return a repeat with plain floats."""
    if repeat is None:
        return None
    along, across, first = float(repeat.along), float(repeat.across), float(repeat.first)
    return replace(repeat, along=along, across=across, first=first)


def clean_matches(matches: tuple[Match, ...]) -> tuple[Match, ...]:
    """Return match points with plain floats."""
    return tuple(
        replace(match, point=(float(match.point[0]), float(match.point[1]))) for match in matches
    )
