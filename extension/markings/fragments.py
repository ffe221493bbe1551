# SPDX-License-Identifier: GPL-2.0-or-later
"""The letters of a drawing, run by run, where they stand on the page.

Fonts are not read: widths are those of a wide sans-serif, so a run may end sooner than reckoned.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely
from lxml import etree
from shapely.geometry import Polygon

from extension.language.units import Viewport
from extension.svg.letters import NARROW, letter_width
from extension.svg.model import Leaf
from extension.svg.styles import Style, Styles, inherit
from extension.svg.texts import PlacedRun, placed_runs
from extension.svg.transforms import apply, apply_vector
from nesting.model import Point

SPACE = 0.15
"""Share of the font size by which a gap between letters must exceed the usual one to be a space."""
AFTER_CAPITAL, AFTER_J = 0.25, 0.29
"""The same between a capital and a small letter, which begin a word far more often than a capital
is one; fonts differ most in capitals, and in J. Measured on DejaVu and Liberation, sans and serif:
no J stands out by more than 0.282 of the font size, no other capital by more than 0.246."""
DASH = 0.5
"""How wide the dash of a range is, in font sizes: the space behind it is lost with more. Measured
on DejaVu Sans 2.37."""
ASCENT, DESCENT = 0.76, 0.24
"""Shares of the font size that letters reach above and below their baseline."""

LIGATURES = str.maketrans(
    {"ﬀ": "ff", "ﬁ": "fi", "ﬂ": "fl", "ﬃ": "ffi", "ﬄ": "ffl", "ﬅ": "ft", "ﬆ": "st"}
)
"""Letters that fonts draw as one, as PDFs give them."""

_SHARES = {"middle": 0.5, "end": 1.0}


@dataclass(frozen=True, eq=False, slots=True)
class Fragment:
    """A run of letters on one baseline from `start` to `end`, page mm; `size` of its font, mm.

    `along` and `up` are unit vectors on the page. `order` is its place among all fragments. A
    text along a curve, or poured into a frame, has no baseline: `straight` is False and `area`
    its rough box. `glyphs` is how many signs of the font it is; `spaced` whether white space
    stands before and behind it.
    """

    text: str
    leaf: Leaf
    start: Point
    end: Point
    along: Point
    up: Point
    size: float
    order: int
    straight: bool
    area: Polygon
    glyphs: int = 2
    spaced: tuple[bool, bool] = (False, False)


def fragments_of(
    leaves: Sequence[Leaf], root: etree._Element, viewport: Viewport
) -> tuple[Fragment, ...]:
    """Return the letters of all texts among leaves, in document order."""
    styles = Styles(root)

    def restyle(element: etree._Element, style: Style) -> Style:
        return inherit(styles.own(element), style)

    found: list[Fragment] = []
    for leaf in leaves:
        if not leaf.text.strip():
            continue
        if _is_bent(leaf):
            found.append(_in_box(leaf, len(found)))
            continue
        runs = placed_runs(leaf.element, restyle, leaf.style, viewport)
        for run, words in _baselines(runs):
            fragment = _fragment(leaf, run, words, len(found))
            if fragment is not None:
                found.append(fragment)
    return tuple(found)


def _is_bent(leaf: Leaf) -> bool:
    """Return whether a text runs along a path or is poured into an old kind of frame."""
    on_path = leaf.element.find(".//{*}textPath") is not None
    return on_path or etree.QName(leaf.element).localname == "flowRoot"


def _in_box(leaf: Leaf, order: int) -> Fragment:
    low_x, low_y, high_x, high_y = leaf.box
    lines = leaf.text.count("\n") + 1
    size = max((high_y - low_y) / (1.3 * lines), 0.1)
    area = shapely.box(low_x, low_y, high_x, high_y)
    start, end = (low_x, high_y), (high_x, high_y)
    return Fragment(leaf.text, leaf, start, end, (1.0, 0.0), (0.0, -1.0), size, order, False, area)


def _baselines(runs: Iterator[PlacedRun]) -> list[tuple[PlacedRun, str]]:
    """Return the runs that begin a baseline, each with all words on it."""
    found: list[tuple[PlacedRun, str]] = []
    for run in runs:
        words = _with_spaces(run)
        blank = not words.strip()
        if found and (run.follows or (blank and not run.starts_line)):
            first, before = found[-1]
            found[-1] = (first if before.strip() else run, before + words)
        elif not blank or run.starts_line:
            found.append((run, words))
    return [(run, words) for run, words in found if words.strip()]


def _with_spaces(run: PlacedRun) -> str:
    """Return the letters of a run, with spaces where single letters are set wide apart."""
    letters = run.text.replace("\n", " ")
    count = min(len(run.xs), len(letters))
    if count < 2 or len(run.xs) < len(letters):
        return letters
    spare = [
        (after - before) / max(run.size, 1e-9)
        - NARROW * (DASH if letter == "–" else letter_width(letter))
        for (before, after), letter in zip(pairwise(run.xs), letters, strict=False)
    ]
    usual = statistics.median(spare)
    made = letters[0]
    for (before, letter), gap in zip(pairwise(letters), spare, strict=False):
        made += (" " if gap > usual + _space(before, letter) and letter != " " else "") + letter
    return made


def _space(before: str, letter: str) -> float:
    """Return by how much a gap exceeds the usual one where a space is meant, in font sizes."""
    if before == "I" or not (before.isupper() and letter.islower()):
        return SPACE
    return AFTER_J if before == "J" else AFTER_CAPITAL


def text_width(text: str, size: float) -> float:
    """Return how wide a text runs in a common font, in the unit of `size`."""
    return NARROW * size * sum(map(letter_width, text))


def _fragment(leaf: Leaf, run: PlacedRun, words: str, order: int) -> Fragment | None:
    """Return letters with their place on the page; None when they are flattened to nothing."""
    spaced = (words[:1].isspace(), words[-1:].isspace())
    glyphs = len(words.strip())
    words = " ".join(words.translate(LIGATURES).split())
    width = text_width(words, run.size)
    if len(run.xs) > 1 and len(run.xs) >= len(words.replace(" ", "")):
        width = run.xs[-1] - run.xs[0] + text_width(words[-1], run.size)
    left = run.x - _SHARES.get(run.anchor, 0.0) * width
    right, raised = apply_vector(leaf.matrix, (1.0, 0.0)), apply_vector(leaf.matrix, (0.0, -1.0))
    scale, height = math.hypot(*right), math.hypot(*raised)
    if min(scale, height) * run.size < 1e-6:
        return None
    corners = [
        apply(leaf.matrix, (x, run.y + rise * run.size))
        for x, rise in (
            (left, DESCENT),
            (left + width, DESCENT),
            (left + width, -ASCENT),
            (left, -ASCENT),
        )
    ]
    return Fragment(
        words,
        leaf,
        apply(leaf.matrix, (left, run.y)),
        apply(leaf.matrix, (left + width, run.y)),
        (right[0] / scale, right[1] / scale),
        (raised[0] / height, raised[1] / height),
        run.size * height,
        order,
        True,
        Polygon(corners),
        glyphs,
        spaced,
    )
