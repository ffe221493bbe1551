# SPDX-License-Identifier: GPL-2.0-or-later
"""The test square of a pattern: a square of a stated size, to measure whether the scale is right.

A square with the words beside it is one; without words, a square is one in which nothing but its
size is written, where others of the drawing are far larger.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from extension.language.errors import OptionError
from extension.language.units import parse_length
from extension.language.words import folded
from extension.pieces.objects import carriers
from extension.svg.model import Leaf
from nesting.model import Outline

Box = tuple[float, float, float, float]
FloatArray = NDArray[np.float64]

WORDS: Mapping[str, tuple[str, ...]] = {
    "en": ("test square", "scale square", "gauge square", "calibration square", "control square"),
    "de": ("Testquadrat", "Kontrollquadrat", "Prüfquadrat", "Messquadrat", "Kontrollkästchen"),
    "fr": ("carré test", "carré de test", "carré de contrôle", "carré témoin"),
    "nl": ("testvierkant", "controlevierkant", "proefvierkant"),
    "it": ("quadrato di prova", "quadrato test", "quadrato di controllo", "quadrato di verifica"),
    "es": ("cuadrado de prueba", "cuadro de prueba", "cuadrado de control", "cuadro de control"),
    "pt": ("quadrado de teste", "quadrado de controle", "quadrado de controlo"),
}
"""What it is called, by language. Common practice, no source."""
OFF = 0.005
"""Share by which a test square may be off before it is worth a word: half a millimetre on 10 cm."""
SMALLEST, LARGEST = 8.0, 320.0
"""mm of its side: half an inch to a foot, and somewhat more, since the scale may be wrong."""
SQUARE = 0.06
"""Share by which its sides may differ, as a printer may stretch one of them."""
RIGHT = math.radians(2.0)
"""By how much its corners may leave a right angle."""
BESIDE = 25.0
"""mm outside it within which its words stand."""
LIKELY = 1.35
"""Up to so many times too large or too small a square without words is taken for a test square."""
FARTHEST = 4.0
"""The same with words, as where a drawing was read in points for pixels, or twice as large."""
BARE = 2
"""So many squares without words a pattern has at most: one in centimetres, one in inches."""
LEAST_WITHIN = 0.02
"""Share of a square from which on an outline in it is more than a letter of its words."""
FAR_LARGER = 4.0
"""Times its area that another outline has where a square without words is a test square."""

SCALE_IT = "Put Pages Together scales it by the square, before anything is laid out."
_CALLED = tuple(folded(name) for names in WORDS.values() for name in names)
_UNIT = r"(?:mm|cm|inches|inch|in\b|[\"″”])"
_NUMBER = r"\d+(?:[.,]\d+)?(?:\s+\d/\d+)?|\d/\d+"
_SIZE = re.compile(rf"({_NUMBER})\s*({_UNIT})?(?:\s*[x×*]\s*(?:{_NUMBER})\s*({_UNIT})?)?", re.I)


@dataclass(frozen=True, slots=True)
class Square:
    """A test square: `outline` and `texts` are its numbers among those given; `sides` in mm.

    `stated` is the side that it should have, mm; None when its words do not say.
    """

    outline: int
    texts: tuple[int, ...]
    sides: tuple[float, float]
    stated: float | None

    @property
    def off(self) -> tuple[float, float]:
        """By which share of itself each side is too long (or short, below 0)."""
        stated = self.stated or math.nan
        return self.sides[0] / stated - 1.0, self.sides[1] / stated - 1.0

    @property
    def is_off(self) -> bool:
        """Whether it is off by more than a printer's or a reader's rounding."""
        return self.stated is not None and max(map(abs, self.off)) > OFF

    @property
    def is_even(self) -> bool:
        """Whether both sides are off by the same share."""
        return abs(self.off[0] - self.off[1]) <= OFF

    @property
    def factor(self) -> float:
        """By what the drawing has to be enlarged for it to be right."""
        return 2.0 * (self.stated or math.nan) / sum(self.sides)


def find_squares(
    outlines: Sequence[Outline], texts: Sequence[tuple[str, Box]]
) -> tuple[Square, ...]:
    """Return the test squares among closed outlines, told by the texts round them; all page mm.

    Words within a square are not those of a larger one round it, such as a frame of the sheet.
    """
    found: list[Square] = []
    bare: list[Square] = []
    largest = max((_area(outline) for outline in outlines), default=0.0)
    measured = [(number, square_sides(outline)) for number, outline in enumerate(outlines)]
    others = [outlines[number] for number, sides in measured if sides is None]
    squares = [
        (number, sides)
        for number, sides in measured
        if sides is not None and not _is_round_others(outlines[number], others)
    ]
    naming = {n for n, (words, _) in enumerate(texts) if any(w in folded(words) for w in _CALLED)}
    for number, sides in sorted(squares, key=lambda one: max(one[1])):
        outline = outlines[number]
        near = _near(outline, texts)
        called = [place for place in near if place in naming]
        naming -= {place for place in called if _is_inside(outline, texts[place][1])}
        within = [place for place in near if _is_inside(outline, texts[place][1])]
        if called:
            own = [*called, *(place for place in within if place not in called)]
            stated = _stated([texts[place][0] for place in own], sides, FARTHEST)
            found.append(Square(number, tuple(sorted(own)), sides, stated))
        elif within and all(_SIZE.fullmatch(texts[place][0].strip()) for place in within):
            stated = _stated([texts[place][0] for place in within], sides, LIKELY)
            if stated is not None and largest >= FAR_LARGER * sides[0] * sides[1]:
                bare.append(Square(number, tuple(within), sides, stated))
    return (*found, *(bare if len(bare) <= BARE else ()))


def squares_among(leaves: Sequence[Leaf]) -> tuple[list[Square], list[Leaf], list[Leaf]]:
    """Return the test squares of a drawing, and the leaves that their numbers count.

    What carries attributes of ours is what they say, and no test square.
    """
    shapes = [
        leaf
        for leaf in leaves
        if len(leaf.rings) == 1 and leaf.rings[0].closed and not leaf.hidden and not _is_said(leaf)
    ]
    texts = [leaf for leaf in leaves if leaf.text and not leaf.hidden]
    outlines = [leaf.rings[0].points for leaf in shapes]
    squares = find_squares(outlines, [(" ".join(x.text.split()), x.box) for x in texts])
    return list(squares), shapes, texts


def without_squares(leaves: Sequence[Leaf]) -> tuple[list[Leaf], list[Leaf], list[Square]]:
    """Return leaves without test squares and their words; the squares' leaves; the squares."""
    squares, shapes, texts = squares_among(leaves)
    own = [shapes[square.outline] for square in squares]
    gone = {*own, *(texts[place] for square in squares for place in square.texts)}
    return [leaf for leaf in leaves if leaf not in gone], own, squares


def told(square: Square) -> str:
    """Return what a test square says of the drawing."""
    width, height = (f"{side:.1f}" for side in square.sides)
    if square.stated is None:
        return f"The test square measures {width} x {height} mm; what it should be is not said."
    should = f"{square.stated:.1f}".removesuffix(".0")
    if not square.is_off:
        return f"The test square measures {width} x {height} mm, as it should ({should} mm)."
    if not square.is_even:
        return (
            f"The test square measures {width} x {height} mm instead of {should}: the drawing is "
            "stretched more one way than the other, so get the pattern's file anew."
        )
    share = 50.0 * sum(square.off)
    what = f"{abs(share):.1f} % too {'large' if share > 0 else 'small'}"
    instead = f"{width} x {height} mm instead of {should}"
    return f"The test square measures {instead}: the drawing is {what}."


def warned(squares: Sequence[Square]) -> list[str]:
    """Return what is to be said before anything is laid out: of the squares that are off."""
    return [
        f"{told(square)} {SCALE_IT}" if square.is_even else told(square)
        for square in squares
        if square.is_off
    ]


def square_sides(outline: Outline) -> tuple[float, float] | None:
    """Return both sides of an outline that is a square, across and down first; None for others."""
    corners = _corners(np.array(outline))
    if len(corners) != 4:
        return None
    steps = np.roll(corners, -1, axis=0) - corners
    sides = np.hypot(steps[:, 0], steps[:, 1])
    one, two = float(sides[0] + sides[2]) / 2.0, float(sides[1] + sides[3]) / 2.0
    if not min(one, two) >= SMALLEST or max(one, two) > LARGEST:
        return None
    turns = np.roll(steps, -1, axis=0)
    across = np.abs((steps * turns).sum(axis=1)) / (sides * np.roll(sides, -1))
    if across.max() > math.sin(RIGHT) or abs(one - two) > SQUARE * max(one, two):
        return None
    return (one, two) if abs(steps[0][0]) >= abs(steps[0][1]) else (two, one)


def _corners(points: FloatArray) -> FloatArray:
    """Return the points of a ring at which it turns."""
    before, after = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    size = np.hypot(*before.T) * np.hypot(*after.T)
    turns: FloatArray = points[np.abs(cross) > math.sin(RIGHT) * np.maximum(size, 1e-12)]
    return turns


def _near(outline: Outline, texts: Sequence[tuple[str, Box]]) -> list[int]:
    """Return the texts that stand in a square or beside it."""
    shape = shapely.Polygon(outline).buffer(BESIDE)
    return [n for n, (_, box) in enumerate(texts) if shape.contains(shapely.box(*box).centroid)]


def _is_round_others(outline: Outline, others: Sequence[Outline]) -> bool:
    """Return whether an outline that is no square lies in this one: it is a frame round pieces."""
    shape = shapely.Polygon(outline)
    least = LEAST_WITHIN * shape.area
    return any(_area(one) >= least and shape.contains(shapely.LineString(one)) for one in others)


def _is_inside(outline: Outline, box: Box) -> bool:
    return bool(shapely.Polygon(outline).contains(shapely.box(*box).centroid))


def _stated(texts: Sequence[str], sides: tuple[float, float], farthest: float) -> float | None:
    """Return the size among words that comes nearest to a square's, within so many times of it."""
    middle = sum(sides) / 2.0
    sizes = [size for text in texts for size in _sizes(text)]
    near = [size for size in sizes if 1.0 / farthest <= size / middle <= farthest]
    return min(near, key=lambda size: abs(math.log(size / middle)), default=None)


def _sizes(text: str) -> list[float]:
    """Return the lengths in a text, mm: `5 x 5 cm` says one, a number without a unit none."""
    found = []
    for match in _SIZE.finditer(text):
        unit = match[2] or match[3]
        if unit:
            with suppress(OptionError):
                found.append(parse_length(f"{match[1]} {unit}"))
    return [size for size in found if size > 0.0]


def _area(outline: Outline) -> float:
    return float(shapely.Polygon(outline).area) if len(outline) > 2 else 0.0


def _is_said(leaf: Leaf) -> bool:
    """Return whether an outline, or a group that is its own, says what it is."""
    said = {"cut", "name", "role", "of"}
    return any(said & set(carrier.attributes) for carrier in carriers(leaf))
