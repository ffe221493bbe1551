# SPDX-License-Identifier: GPL-2.0-or-later
"""Which of the lines on a piece is its grainline: by the words beside it, or by its heads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from extension.language.words import begun
from extension.markings.arrows import Arrow
from extension.markings.blocks import Block
from extension.pieces.grain import direction, off_axis
from extension.pieces.objects import all_called, called

LEAST = 15.0
"""mm that an arrow without words is long at least to be a grainline."""
SMALL_SHARE = 0.25
"""Share of the piece's extent that is enough instead, as on a pocket drawn at a quarter of its
size, for an arrow that keeps off the edges as no pleat or notch does."""
OFF_EDGES = 0.05
"""Share of the extent by which it does."""
LEAST_SHARE = 0.1
"""Share of the piece's extent that it is long at least: pleat and notch arrows are shorter."""
BESIDE = 1.6
"""Font sizes from words to the line that they belong to, at most."""
BESIDE_MM = 6.0
"""mm, the same at least."""
ONE_DIRECTION = 0.2
"""Degrees within which two grainlines say the same."""


@dataclass(frozen=True, eq=False, slots=True)
class GrainMark:
    """The grainline of a piece and the words that name it."""

    arrow: Arrow
    words: tuple[Block, ...] = ()


@dataclass(frozen=True, eq=False, slots=True)
class Grains:
    """What was found: one grainline, or none; and what to ask about."""

    mark: GrainMark | None
    questions: tuple[str, ...]
    other: tuple[Arrow, ...] = ()
    """Arrows that are something else by the words beside them: nap, stretch."""


def find_grain(arrows: Sequence[Arrow], blocks: Sequence[Block], shape: BaseGeometry) -> Grains:
    """Return the grainline of a piece among the straight lines on it.

    `arrows` are those that are no part of a fold mark or outline; `blocks` the words on it.
    """
    named = _named(arrows, blocks)
    meanings = {arrow: {_meaning(block) for block in named.get(arrow, [])} for arrow in arrows}
    by_words = [arrow for arrow in arrows if "grain" in meanings[arrow]]
    others = tuple(a for a in arrows if meanings[a] & {"nap", "stretch", "cross"} and a.has_head)
    questions: list[str] = []
    by_heads = [
        arrow
        for arrow in arrows
        if arrow.has_head and not meanings[arrow] and _is_long(arrow, shape)
    ]
    found = by_words or by_heads
    # Words beside it make a line a grainline, but an equal arrow on the same piece is a second.
    rivals = [arrow for arrow in by_heads if arrow not in found]
    rivals = [a for a in rivals if a.length >= 0.5 * max(b.length for b in found)] if found else []
    if len(found) > 1 or (rivals and not _agree([*found, *rivals])):
        lines = all_called([arrow.leaves[0] for arrow in [*found, *rivals]])
        questions.append(f"Which of these is the grainline: {lines}?")
        return Grains(None, tuple(questions), others)
    for arrow in others if not found else ():
        questions.extend(_about_other(arrow, meanings[arrow]))
    if not found:
        return Grains(None, tuple(questions), others)
    words = tuple(block for block in named.get(found[0], []) if _meaning(block) == "grain")
    return Grains(GrainMark(found[0], words), tuple(questions), others)


def _about_other(arrow: Arrow, meanings: set[str]) -> list[str]:
    name = begun(called(arrow.leaves[0]))
    if "cross" in meanings:
        return [f"{name} is marked as cross grain: does the grain run across it?"]
    if "stretch" in meanings:
        return [f"{name} shows the stretch of the cloth: which way does the grain run?"]
    return [f"{name} shows the nap: does the grain run along it?"]


def _agree(arrows: Sequence[Arrow]) -> bool:
    angles = [direction(arrow.start, arrow.end) for arrow in arrows]
    return all(off_axis(angle, angles[0]) <= ONE_DIRECTION for angle in angles)


def _is_long(arrow: Arrow, shape: BaseGeometry) -> bool:
    low_x, low_y, high_x, high_y = shape.bounds
    extent = max(high_x - low_x, high_y - low_y)
    if arrow.length < LEAST:
        off = arrow.drawn.distance(shape.boundary)
        return bool(arrow.length >= SMALL_SHARE * extent and off >= OFF_EDGES * extent)
    return bool(arrow.length >= LEAST_SHARE * extent)


def _meaning(block: Block) -> str:
    """Return what words beside a line make of it, "" when they are about something else."""
    reading = block.reading
    if reading.stretch:
        return "stretch"
    if reading.grain == "cross":
        return "cross"
    if reading.grain is not None:
        return "grain"
    short = not reading.demands and reading.name is None
    return "nap" if reading.nap is not None and short else ""


def _named(arrows: Sequence[Arrow], blocks: Sequence[Block]) -> dict[Arrow, list[Block]]:
    """Return the words that belong to each line: those that speak of one, each to its nearest."""
    found: dict[Arrow, list[Block]] = {}
    for block in blocks:
        if not _meaning(block) or not arrows:
            continue
        gaps = [(round(block.area.distance(arrow.drawn), 6), i) for i, arrow in enumerate(arrows)]
        gap, nearest = min(gaps)
        if gap <= max(BESIDE * block.height, BESIDE_MM):
            found.setdefault(arrows[nearest], []).append(block)
    return found
