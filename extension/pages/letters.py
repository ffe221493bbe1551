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
from itertools import accumulate

from lxml import etree

from extension.pages.model import Box, Words, box_round
from extension.pages.texts import numbers_of, size_of
from extension.svg.identities import kind_of
from extension.svg.letters import NARROW, letter_width
from extension.svg.model import Matrix
from extension.svg.texts import with_spaces
from extension.svg.transforms import apply, apply_vector, multiply

Placed = tuple[Words, Matrix, Box]
"""A text, the map from the canvas to the sheet, and its box on the sheet."""

SAME_LINE = 0.08
"""Font sizes by which the lines of two parts of one text may be apart."""
SAME_LETTER = 0.12
"""Font sizes by which one letter may be off on two pages: an l beside another is 0.22 away."""
GUESSED, OFF = 0.12, 0.3
"""By how much of the way to it, and font sizes beside, a letter may be off that is guessed."""
NEXT = 1.2
"""Font sizes from the last letter of a part to the first of the next."""
SAME_SIZE = 0.02
"""Share by which the sizes of two parts may differ."""


@dataclass(frozen=True, slots=True)
class _Line:
    """Letters of a text in a row: where along the row each stands, mm on the sheet.

    `size` mm; `direction` is the way of the row, `across` how far it is from the corner; `scale`
    mm of the sheet to a unit of the text's own. Where `is_guessed` the first letter alone says
    where it stands, and the others follow it by their widths and `shifts`, units of the text's own.
    """

    letters: tuple[tuple[float, str], ...]
    size: float
    direction: tuple[float, float]
    across: float
    scale: float
    is_guessed: bool = False
    shifts: tuple[float, ...] = ()

    @property
    def text(self) -> str:
        """Its letters."""
        return "".join(letter for _, letter in self.letters)


def made_whole(placed: Sequence[Placed]) -> list[Placed]:
    """Return texts with those that are parts of one put together."""
    done: list[tuple[Placed, _Line | None]] = []
    for one in placed:
        line = _line_of(one)
        # What was put together so far may go on over the next edge.
        for index, (other, known) in enumerate(done):
            merged = None if line is None or known is None else _together(known, line)
            if merged is not None:
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
    is_guessed = len(xs) == 1 and len(text) > 1
    if is_guessed and (run.get("dy") or words.leaf.style.get("text-anchor", "start") != "start"):
        return None
    if len(ys) != 1 or not text or not (is_guessed or len(xs) == len(text)):
        return None
    onto = multiply(matrix, words.leaf.matrix)
    u = apply_vector(onto, (1.0, 0.0))
    scale = math.hypot(*u)
    direction = u[0] / scale, u[1] / scale
    size = size_of(words.leaf, run)
    shifts = [0.0] * len(text)
    if is_guessed:
        text, shifts = with_spaces(text, numbers_of(run.get("dx", "")), size)
        widths = [NARROW * size * letter_width(letter) for letter in text[:-1]]
        xs = list(accumulate(map(sum, zip(widths, shifts[1:], strict=True)), initial=xs[0]))
    places = [apply(onto, (x, ys[0])) for x in xs]
    along = [x * direction[0] + y * direction[1] for x, y in places]
    across = places[0][1] * direction[0] - places[0][0] * direction[1]
    letters = tuple(zip(along, text, strict=True))
    if not is_guessed:
        letters = tuple(sorted(letters))
    return _Line(letters, size * scale, direction, across, scale, is_guessed, tuple(shifts))


def _run(element: etree._Element) -> etree._Element | None:
    """Return the one run of letters of a text."""
    runs = list(element.iterchildren(etree.Element))
    if not runs:
        return element
    bare = len(runs) == 1 and kind_of(runs[0]) == "tspan" and not len(runs[0])
    return runs[0] if bare and not (element.text or "").strip() else None


def _together(one: _Line, other: _Line) -> _Line | None:
    """Return two parts of one text as one, None when they are none."""
    turned = one.direction[0] * other.direction[1] - one.direction[1] * other.direction[0]
    ahead = one.direction[0] * other.direction[0] + one.direction[1] * other.direction[1]
    if abs(turned) > 0.01 or ahead < 0.0 or abs(one.size - other.size) > SAME_SIZE * one.size:
        return None
    if abs(one.across - other.across) > SAME_LINE * one.size:
        return None
    first, second = sorted((one, other), key=lambda line: line.letters[0])
    if one.is_guessed or other.is_guessed:
        return _guessed(first, second)
    if second.letters[0][0] - first.letters[-1][0] > NEXT * one.size:
        return None
    letters = list(first.letters)
    for along, letter in second.letters:
        near = [known for at, known in first.letters if abs(at - along) <= SAME_LETTER * one.size]
        if not near:
            letters.append((along, letter))
        elif letter not in near:
            return None
    return replace(one, letters=tuple(sorted(letters)))


def _guessed(first: _Line, second: _Line) -> _Line | None:
    """Return two parts as one by the letters that both have, where these may stand.

    Only the first letter of a part says where it stands, so how wide letters are is a guess.
    """
    if any(not line.is_guessed and len(line.letters) > 1 for line in (first, second)):
        return None
    gap = second.letters[0][0] - first.letters[0][0]
    one, two = first.text, second.text
    best: tuple[float, int] | None = None
    for before, (place, _) in enumerate(first.letters):
        way = place - first.letters[0][0]
        off = abs(gap - way)
        close = off <= GUESSED * way + OFF * first.size and (best is None or off < best[0])
        if close and two.startswith(one[before : before + len(two)]):
            best = off, before
    if best is None:
        return None
    before, after = best[1], best[1] + len(two)
    return replace(
        first,
        letters=(*first.letters[:before], *second.letters, *first.letters[after:]),
        is_guessed=True,
        # The shift of the first letter of a part is none: it stands where the part begins.
        shifts=(*first.shifts[: before + 1], *second.shifts[1:], *first.shifts[after:]),
    )


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
    run.text = line.text
    if line.is_guessed:
        xs = xs[:1]
        run.set("dx", " ".join(f"{shift:.6g}" for shift in line.shifts))
    run.set("x", " ".join(f"{x:.6g}" for x in xs))
    whole = box_round([box, other[2]]) or box
    shift = box[0] - words.box[0], box[1] - words.box[1]
    on_page = (whole[0] - shift[0], whole[1] - shift[1], whole[2] - shift[0], whole[3] - shift[1])
    leaf = replace(words.leaf, element=element, text=" ".join(run.text.split()))
    return replace(words, leaf=leaf, box=on_page), matrix, whole
