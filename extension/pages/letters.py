# SPDX-License-Identifier: GPL-2.0-or-later
"""Words that an edge cuts in two, put together again letter by letter.

A page shows as many letters of a text as it has room for, so a label over an edge is two texts,
with some letters in both; the importers say where each letter stands.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from lxml import etree

from extension.pages.model import Box, Words, box_round
from extension.pages.texts import numbers_of
from extension.svg.identities import kind_of
from extension.svg.model import Matrix
from extension.svg.styles import font_size
from extension.svg.transforms import apply, apply_vector, multiply

Placed = tuple[Words, Matrix, Box]
"""A text, the map from the canvas to the sheet, and its box on the sheet."""

SAME_LINE = 0.08
"""Font sizes by which the lines of two parts of one text may be apart."""
SAME_LETTER = 0.12
"""Font sizes by which one letter may be off on two pages: an l beside another is 0.22 away."""
NEXT = 1.2
"""Font sizes from the last letter of a part to the first of the next."""
SAME_SIZE = 0.02
"""Share by which the sizes of two parts may differ."""


@dataclass(frozen=True, slots=True)
class _Line:
    """Letters of a text in a row: where along the row each stands, mm on the sheet.

    `size` mm; `direction` is the way of the row, `across` how far it is from the corner; `scale`
    mm of the sheet to a unit of the text's own.
    """

    letters: tuple[tuple[float, str], ...]
    size: float
    direction: tuple[float, float]
    across: float
    scale: float


def made_whole(placed: Sequence[Placed]) -> list[Placed]:
    """Return texts with those that are parts of one put together."""
    done: list[tuple[Placed, _Line | None]] = []
    for one in placed:
        line = _line_of(one)
        # What was put together so far may go on over the next edge.
        for index, (other, known) in enumerate(done):
            letters = None if line is None or known is None else _together(known, line)
            if line is not None and known is not None and letters is not None:
                merged = replace(known, letters=letters)
                done[index] = _rewritten(other, one, merged), merged
                break
        else:
            done.append((one, line))
    return [one for one, _ in done]


def _line_of(placed: Placed) -> _Line | None:
    """Return the letters of a text; None when it is no single row that says where each stands."""
    words, matrix, _ = placed
    run = _run(words.leaf.element)
    if run is None:
        return None
    xs, ys, text = numbers_of(run.get("x", "")), numbers_of(run.get("y", "")), run.text or ""
    if len(ys) != 1 or not xs or len(xs) != len(text):
        return None
    onto = multiply(matrix, words.leaf.matrix)
    u = apply_vector(onto, (1.0, 0.0))
    scale = math.hypot(*u)
    direction = u[0] / scale, u[1] / scale
    places = [apply(onto, (x, ys[0])) for x in xs]
    along = [x * direction[0] + y * direction[1] for x, y in places]
    across = places[0][1] * direction[0] - places[0][0] * direction[1]
    letters = tuple(sorted(zip(along, text, strict=True)))
    return _Line(letters, font_size(words.leaf.style) * scale, direction, across, scale)


def _run(element: etree._Element) -> etree._Element | None:
    """Return the one run of letters of a text."""
    runs = list(element.iterchildren(etree.Element))
    if not runs:
        return element
    bare = len(runs) == 1 and kind_of(runs[0]) == "tspan" and not len(runs[0])
    return runs[0] if bare and not (element.text or "").strip() else None


def _together(one: _Line, other: _Line) -> tuple[tuple[float, str], ...] | None:
    """Return the letters of two parts of one text, None when they are none."""
    turned = one.direction[0] * other.direction[1] - one.direction[1] * other.direction[0]
    ahead = one.direction[0] * other.direction[0] + one.direction[1] * other.direction[1]
    if abs(turned) > 0.01 or ahead < 0.0 or abs(one.size - other.size) > SAME_SIZE * one.size:
        return None
    if abs(one.across - other.across) > SAME_LINE * one.size:
        return None
    first, second = sorted((one, other), key=lambda line: line.letters[0])
    if second.letters[0][0] - first.letters[-1][0] > NEXT * one.size:
        return None
    letters = list(first.letters)
    for along, letter in second.letters:
        near = [known for at, known in first.letters if abs(at - along) <= SAME_LETTER * one.size]
        if not near:
            letters.append((along, letter))
        elif letter not in near:
            return None
    return tuple(sorted(letters))


def _rewritten(one: Placed, other: Placed, line: _Line) -> Placed:
    """Return a text with the letters of two."""
    words, matrix, box = one
    element = copy.deepcopy(words.leaf.element)
    run = _run(element)
    old = _line_of(one)
    if run is None or old is None:
        return one
    start = numbers_of(run.get("x", ""))
    first = min(start)
    xs = [first + (along - old.letters[0][0]) / line.scale for along, _ in line.letters]
    run.text = "".join(letter for _, letter in line.letters)
    run.set("x", " ".join(f"{x:.6g}" for x in xs))
    whole = box_round([box, other[2]]) or box
    shift = box[0] - words.box[0], box[1] - words.box[1]
    on_page = (whole[0] - shift[0], whole[1] - shift[1], whole[2] - shift[0], whole[3] - shift[1])
    leaf = replace(words.leaf, element=element, text=" ".join(run.text.split()))
    return replace(words, leaf=leaf, box=on_page), matrix, whole
