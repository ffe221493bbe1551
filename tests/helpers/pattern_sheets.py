# SPDX-License-Identifier: GPL-2.0-or-later
"""Whole pattern sheets with known truth, drawn by a number: `drawn(7)` is always the same sheet.

Sheets of A0 are at full scale; those of A4 and Letter at a quarter, as teaching patterns are.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from lxml import etree

from tests.helpers import pattern_extras as extras
from tests.helpers.arrows import STYLES, Pen
from tests.helpers.pattern_signs import BRACKETS, LINE, NOTCHES, Bracket, notch
from tests.helpers.pattern_words import GARMENTS, LANGUAGES, TRUNK, Language, Pattern
from tests.helpers.svg_builder import SvgBuilder

PAPERS = {"A4": (297.0, 210.0), "Letter": (279.4, 215.9), "A0": (1189.0, 841.0)}
"""Width and height, mm, lying: ISO 216; ANSI/ASME Y14.1. Pieces too many for it go below."""
DASHES = ("8,2", "1,2", "5,2,1,2", "3,3", "12,3,1,2,1,2", "2,1")
NAMED = ("36", "38", "40", "42", "44", "46")
LEAST_SHARED = 4
"""Sizes of a sheet from which on a piece may be there for the first of them only."""
STEP = 8.0
"""mm by which a size is wider and longer than the one before, at full scale."""


@dataclass(frozen=True)
class TruePiece:
    """A piece as it is; `grain` in degrees, anticlockwise from the right, to either end.

    `points` are the corners of its outline, mm on the page.
    """

    name: str
    size: str | None
    cut: Mapping[str, int]
    fold: bool
    grain: float
    points: tuple[tuple[float, float], ...] = field(repr=False)


@dataclass
class PatternSheet:
    """A drawn sheet: what is on it, and in which styles."""

    drawing: SvgBuilder
    pieces: list[TruePiece] = field(default_factory=list)
    styles: dict[str, str] = field(default_factory=dict)


def _moved(piece: TruePiece, moved: Callable[[extras.Point], extras.Point]) -> TruePiece:
    """Return a piece as it lies when the sheet was turned."""
    angle = math.radians(piece.grain)
    (x, y), (u, v) = moved((0.0, 0.0)), moved((math.cos(angle), -math.sin(angle)))
    grain = math.degrees(math.atan2(y - v, u - x))
    return replace(piece, grain=grain, points=tuple(moved(point) for point in piece.points))


def drawn(number: int, lies: str | None = None) -> PatternSheet:
    """Return the sheet of that number; `lies` is one of `pattern_extras.LIES`, None: its own."""
    return _Sheet(number, lies).sheet


class _Sheet:
    def __init__(self, number: int, lies: str | None = None) -> None:
        self._chance = random.Random(number)
        chance = self._chance
        # Styles go round by number, so that few sheets show them all.
        garment = list(GARMENTS)[number % 4]
        code = list(LANGUAGES)[number % 7]
        self._words: Language = LANGUAGES[code]
        self._code = code
        more = random.Random(f"more {number}")
        # Most sheets have few of these, so that it is seen which one goes wrong.
        self._dart = more.choice([*extras.DARTS, "none"])
        self._fold_more = more.choice([*extras.FOLDS, "none", "none"])
        self._square = more.choice(extras.SQUARES)
        self._tiles = more.choice([*extras.TILES, "none", "none", "none"])
        own = more.choice([*extras.LIES, "upright", "upright", "upright"])
        self._lies = lies or own
        self._shared = more.choice([*extras.SHARED, "none", "none"])
        paper = list(PAPERS)[number % 3]
        self._unit = 1.0 if paper == "A0" else 0.25
        self._sizes = NAMED[: 1 + number // 4 % 6]
        several = len(self._sizes) > 1
        self._shared = "none" if len(self._sizes) < LEAST_SHARED else self._shared
        self._mode = chance.choice(["layers", "legend", "numbers"]) if several else "one"
        self._arrow = list(STYLES)[number % 10]
        self._bracket = list(BRACKETS)[(number // 2 + number) % 10]
        self._both = chance.random() < 0.6
        self._worded = chance.random() < 0.4
        self._notch = chance.choice(NOTCHES)
        self._layout = chance.choice(["in one", "several texts", "leader"])
        self._frame = chance.choice(["none", "frame", "corners", "heading"])
        self._says_fold = chance.random() < 0.8
        self._ways = [chance.randrange(3) for _ in range(3)]
        self._drawing = SvgBuilder(None, None, None)
        self._layers: dict[str, etree._Element] = {}
        self._font = max(10.0 * self._unit, 3.0)
        self.sheet = PatternSheet(self._drawing)
        self.sheet.styles = {
            "garment": garment, "language": code, "paper": paper, "sizes": self._mode,
            "arrow": f"{self._arrow}{'' if self._both else ', one head'}",
            "bracket": self._bracket, "notch": self._notch, "labels": self._layout,
            "frame": self._frame, "fold in words": str(self._says_fold),
            "dart": self._dart, "another fold": self._fold_more, "test square": self._square,
            "tiles": self._tiles, "lies": self._lies, "shared pieces": self._shared,
        }  # fmt: skip
        self._draw(GARMENTS[garment], PAPERS[paper])

    def _layer(self, name: str) -> etree._Element:
        if name not in self._layers:
            self._layers[name] = self._drawing.add_layer(name)
        return self._layers[name]

    def _draw(self, patterns: tuple[Pattern, ...], paper: tuple[float, float]) -> None:
        unit = self._unit
        gap, room = 60.0 * unit, STEP * len(self._sizes) * unit
        beside = 22.0 * self._font if self._layout == "leader" else 0.0
        x = y = top = 30.0 * unit + 8.0
        y = top = top + 12.0 * self._font * (self._mode == "legend") + 30.0 * unit
        low = y
        for pattern in patterns:
            wide, high = pattern.wide * unit + room, pattern.high * unit + room
            if x + wide + beside > paper[0] - 10.0:
                x, y = 30.0 * unit + 8.0, low + gap
            self._piece(pattern, x, y)
            x, low = x + wide + gap + beside, max(low, y + high)
        width, height = paper[0], max(paper[1], low + 30.0 * unit + 10.0)
        if self._mode == "legend":
            self._legend()
        if self._square != "none":
            spot = 60.0 * unit, height + 5.0 * unit
            layer = self._layer("Sheet")
            extras.square(self._drawing, layer, self._square, spot, self._code, unit)
            height += 65.0 * unit
        self._furniture(width, height)
        layer = self._layer("Sheet")
        extras.tiles(self._drawing, layer, self._tiles, (width, height), self._code, unit)
        moved = extras.laid(self._drawing, self._lies, (width, height))
        self.sheet.pieces = [_moved(piece, moved) for piece in self.sheet.pieces]

    # --- pieces ------------------------------------------------------------------------------

    def _piece(self, pattern: Pattern, x: float, y: float) -> None:
        sizes: tuple[str | None, ...] = self._sizes if pattern.graded else (None,)
        if self._mode == "one":
            sizes = (None,)
        for step, size in enumerate(sizes):
            look, layer = LINE, self._layer("Pattern")
            if self._mode == "legend" and size is not None:
                look = f"{LINE};stroke-dasharray:{DASHES[step]}"
            if self._mode == "layers":
                every = self._words.every
                layer = self._layer(f"{self._words.size} {size}" if size else every)
            self._drawing.add_path(self._data(pattern, x, y, step), layer, style=look)
            if self._mode == "numbers" and size is not None:
                self._number(pattern, x, y, step, size)
        self._common(pattern, x, y, sizes)

    def _data(self, pattern: Pattern, x: float, y: float, step: int) -> str:
        wide, high, left, top = self._box(pattern, x, y, step)
        parts = []
        for index, curve in enumerate(pattern.shape):
            points = " ".join(f"{left + wide * u:.3f},{top + high * v:.3f}" for u, v in curve)
            parts.append(("M" if index == 0 else "L" if len(curve) == 1 else "C") + " " + points)
        return " ".join(parts) + " Z"

    def _corners(
        self, pattern: Pattern, x: float, y: float, step: int
    ) -> tuple[tuple[float, float], ...]:
        wide, high, left, top = self._box(pattern, x, y, step)
        return tuple((left + wide * c[-1][0], top + high * c[-1][1]) for c in pattern.shape)

    def _box(
        self, pattern: Pattern, x: float, y: float, step: int
    ) -> tuple[float, float, float, float]:
        """Return width, height, left and top of a size; all share their middle, or the fold."""
        more, unit = STEP * step * self._unit, self._unit
        middle = 0.0 if pattern.fold else more / 2.0
        room = STEP * (len(self._sizes) - 1) * unit / 2.0
        left = x + (0.0 if pattern.fold else room) - middle
        top = y + room - more / 2.0
        return pattern.wide * unit + more, pattern.high * unit + more, left, top

    def _number(self, pattern: Pattern, x: float, y: float, step: int, size: str) -> None:
        wide, high, left, top = self._box(pattern, x, y, step)
        one, other = pattern.shape[1][-1], pattern.shape[2][-1]
        if len(pattern.shape[2]) == 3:
            one, other = pattern.shape[-2][-1], pattern.shape[-1][-1]
        share = 0.25 + 0.1 * step
        u, v = (one[i] + share * (other[i] - one[i]) for i in (0, 1))
        font = 0.5 * STEP * self._unit
        spot = left + wide * u, top + high * v + 0.35 * font
        self._text(size, *spot, font, "middle")

    def _common(self, pattern: Pattern, x: float, y: float, sizes: tuple[str | None, ...]) -> None:
        """Draw what all sizes of a piece share, and note the truth."""
        wide, high, left, top = self._box(pattern, x, y, 0)
        home = self._layer(self._words.every if self._mode == "layers" else "Pattern")
        degrees = self._chance.choice([90.0, 90.0, 90.0, 90.0, 100.0])
        length = 0.35 * high
        middle = left + 0.56 * wide, top + 0.74 * high
        STYLES[self._arrow](Pen(self._drawing, home, middle, length, degrees), self._both)
        if self._worded:
            spot = middle[0] + 1.3 * self._font, middle[1] + 0.2 * length
            element = self._text(self._words.grain, 0.0, 0.0, 0.6 * self._font, parent=home)
            element.set(
                "transform", f"translate({spot[0]:.3f} {spot[1]:.3f}) rotate({-degrees:.2f})"
            )
        if pattern.fold:
            ends = top + 0.3 * high, top + 0.85 * high
            bracket = Bracket(self._drawing, home, left, ends, self._unit)
            BRACKETS[self._bracket](bracket)
        if pattern.shape[2][-1] == (1.0, 1.0) and len(sizes) == 1:
            notch(self._drawing, home, self._notch, left + wide, top + 0.6 * high, self._unit)
        self._label(pattern, (left, top, wide, high), home)
        if pattern.shape is TRUNK:
            self._extras((left, top, wide, high), home)
        name = self._words.names[pattern.key]
        if sizes == (None,) and not pattern.graded and self._shared != "none":
            sizes = (extras.SHARED[self._shared][1],)
        self.sheet.pieces += [
            TruePiece(
                name, size, pattern.cut, pattern.fold, degrees, self._corners(pattern, x, y, step)
            )
            for step, size in enumerate(sizes)
        ]

    def _extras(self, box: extras.Box, home: etree._Element) -> None:
        """Draw a dart and the fold of a hem or pleat on a bodice."""
        if len(self._sizes) == 1:
            extras.dart(self._drawing, home, self._dart, box, self._unit)
        folds = self._fold_more, box, self._code, self._font
        extras.another_fold(self._drawing, home, *folds)

    # --- words -------------------------------------------------------------------------------

    def _text(
        self,
        words: str,
        x: float,
        y: float,
        size: float,
        anchor: str = "start",
        parent: etree._Element | None = None,
    ) -> etree._Element:
        style = f"font-size:{size:.3f}px;font-family:sans-serif;text-anchor:{anchor}"
        home = self._layer("Pattern") if parent is None else parent
        return self._drawing.add_text(words, x, y, home, font_size=size, style=style)

    def _told(self, pattern: Pattern) -> list[str]:
        """Return the lines of a label."""
        words, (count, cloth, fold) = self._words, self._ways
        lines = [words.names[pattern.key]]
        if set(pattern.cut) == {"main"}:
            lines.append(words.counts[count].format(n=pattern.cut["main"]))
        else:
            lines += [
                words.listed[cloth].format(n=n, m=words.materials[m])
                for m, n in pattern.cut.items()
            ]
        if pattern.fold and self._says_fold:
            lines.append(words.folds[fold])
        if not pattern.graded and self._shared != "none":
            told = extras.SHARED[self._shared][0].format(link=extras.LINKS[self._code])
            lines.append(f"{words.size} {told}")
        return lines

    def _label(
        self,
        pattern: Pattern,
        box: tuple[float, float, float, float],
        home: etree._Element,
    ) -> None:
        left, top, wide, high = box
        lines, size = self._told(pattern), self._font
        longest = max(map(len, lines))
        if self._layout != "leader":
            size = min(size, 0.55 * wide / (0.6 * longest), 0.055 * high)
        x, y = left + 0.26 * wide, top + 0.37 * high
        if self._layout == "leader":
            # The texts of a label stand to the right of the largest size.
            room = STEP * len(self._sizes) * self._unit
            x, y = left + wide + room + 2.0 * size, top + 0.45 * high
            ends = (x - 0.5 * size, y - 0.3 * size), (left + 0.65 * wide, top + 0.45 * high)
            self._drawing.add_line(*ends, home, style=LINE)
        if self._layout == "several texts":
            for row, words in enumerate(lines):
                self._text(words, x, y + 1.3 * size * row, size, parent=home)
        else:
            self._text("\n".join(lines), x, y, size, parent=home)

    def _legend(self) -> None:
        size, x = self._font, 12.0
        rows = [(f"{self._words.size} {each}", DASHES[n]) for n, each in enumerate(self._sizes)]
        for row, (words, dashes) in enumerate([*rows, (self._words.every, "none")]):
            y = 10.0 + 1.6 * size * row
            look = f"{LINE};stroke-dasharray:{dashes}"
            self._drawing.add_line((x, y), (x + 30.0, y), self._layer("Pattern"), style=look)
            self._text(words, x + 33.0, y + 0.35 * size, size)

    def _furniture(self, width: float, height: float) -> None:
        layer = self._layer("Sheet")
        if self._frame == "frame":
            self._drawing.add_rect(5, 5, width - 10.0, height - 10.0, layer, style=LINE)
        if self._frame == "corners":
            for x, u in ((4.0, 1), (width - 4.0, -1)):
                for y, v in ((4.0, 1), (height - 4.0, -1)):
                    data = f"M {x + 6 * u} {y} H {x} V {y + 6 * v}"
                    self._drawing.add_path(data, layer, style=LINE)
        if self._frame == "heading":
            words = "Ottervane No. 31"
            self._text(words, width - 8.0, 12.0, self._font, "end", parent=layer)
