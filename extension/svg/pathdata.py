# SPDX-License-Identifier: GPL-2.0-or-later
"""Reads path data strictly and at full precision, into absolute segments.

Our own reader, because the one of inkex drops what it does not understand without a word and
takes compact arc flags for numbers; SVG 1.1, section 8.3, is what it follows.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass

from extension.language.units import SVG_NUMBER
from nesting.model import Point

Segment = tuple[float, ...]
"""What leads from the point before to the last two numbers. By length: 2, a line; 4, a quadratic
Bezier (control point, end); 6, a cubic one (two control points, end); 7, an elliptical arc
(radii, turn of the axes in degrees, large-arc flag, sweep flag, end)."""

_SEPARATORS = " \t\r\n\f,"
_NUMBER = re.compile(SVG_NUMBER, re.ASCII)
_COMMAND = re.compile(r"([MmLlHhVvCcSsQqTtAaZz])([^MmLlHhVvCcSsQqTtAaZz]*)")
_COUNTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7}
_SHOWN = 24


@dataclass(frozen=True, slots=True)
class Subpath:
    """One stroke of the pen, in the coordinates of its element. `closed`: by a Z."""

    start: Point
    segments: tuple[Segment, ...]
    closed: bool


def parse_path(data: str) -> tuple[Subpath, ...]:
    """Return the subpaths of path data that draw anything.

    Raises ValueError with the part that cannot be read.
    """
    pen = _Pen()
    for letter, numbers in _commands(data):
        pen.draw(letter, numbers)
    pen.lift()
    return tuple(pen.subpaths)


def points_of(text: str) -> list[Point]:
    """Return the points of a polygon or polyline. Raises ValueError."""
    numbers = _numbers(text)
    if len(numbers) % 2:
        raise ValueError(text.strip()[-_SHOWN:])
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def _commands(data: str) -> Iterator[tuple[str, list[float]]]:
    """Yield one command letter at a time with its numbers, repeated commands spelt out."""
    position = len(data) - len(data.lstrip())
    for match in _COMMAND.finditer(data):
        if match.start() != position:
            break
        position = match.end()
        letter = match[1]
        if letter in "Zz":
            if match[2].strip():
                raise ValueError(match[0][:_SHOWN])
            yield letter, []
            continue
        count = _COUNTS[letter.upper()]
        numbers = _arc_numbers(match[2]) if count == 7 else _numbers(match[2])
        if not numbers or len(numbers) % count:
            raise ValueError(match[0][:_SHOWN])
        for first in range(0, len(numbers), count):
            yield letter, numbers[first : first + count]
            letter = {"M": "L", "m": "l"}.get(letter, letter)
    if position != len(data):
        raise ValueError(data[position : position + _SHOWN])


def _numbers(text: str) -> list[float]:
    """Return numbers that are set apart by nothing but white space and single commas."""
    # The rest is looked at, not matched by one pattern: that one could be made to run for ever.
    if _NUMBER.sub(" ", text).strip(_SEPARATORS) or re.search(r",\s*,", text):
        raise ValueError(text.strip()[:_SHOWN])
    return _finite([float(number) for number in _NUMBER.findall(text)], text)


def _arc_numbers(text: str) -> list[float]:
    """Return the numbers of arcs, whose two flags need nothing between them and what follows."""
    numbers: list[float] = []
    position, end = 0, len(text.rstrip(_SEPARATORS))
    while position < end:
        while text[position] in _SEPARATORS:
            position += 1
        if len(numbers) % 7 in (3, 4):
            if text[position] not in "01":
                raise ValueError(text[position : position + _SHOWN])
            numbers.append(float(text[position]))
            position += 1
            continue
        match = _NUMBER.match(text, position)
        if match is None:
            raise ValueError(text[position : position + _SHOWN])
        numbers.append(float(match[0]))
        position = match.end()
    return _finite(numbers, text)


def _finite(numbers: list[float], text: str) -> list[float]:
    """Return the numbers, unless one is too large to be one."""
    if not all(map(math.isfinite, numbers)):
        raise ValueError(text.strip()[:_SHOWN])
    return numbers


class _Pen:
    """Follows commands; knows where the pen is and what a smooth curve goes on from."""

    def __init__(self) -> None:
        self.subpaths: list[Subpath] = []
        self._at: Point = (0.0, 0.0)
        self._start: Point | None = None
        self._segments: list[Segment] = []
        self._control: Point | None = None
        self._smooth = ""

    def lift(self, closed: bool = False) -> None:
        """End the subpath; one without segments draws nothing and is dropped."""
        if self._start is not None and self._segments:
            self.subpaths.append(Subpath(self._start, tuple(self._segments), closed))
        self._segments = []

    def draw(self, letter: str, numbers: list[float]) -> None:
        """Follow one command."""
        upper = letter.upper()
        if self._start is None and upper != "M":
            raise ValueError(f"{letter} {' '.join(map(str, numbers))}"[:_SHOWN])
        if upper == "Z":
            assert self._start is not None
            self.lift(closed=True)
            self._at, self._control = self._start, None
            return
        absolute = numbers if letter == upper else self._moved(upper, numbers)
        if upper == "M":
            self.lift()
            self._at = self._start = (absolute[0], absolute[1])
            self._control = None
            return
        self._add(upper, absolute)

    def _moved(self, upper: str, numbers: list[float]) -> list[float]:
        """Return relative numbers made absolute."""
        x, y = self._at
        if upper == "H":
            return [x + numbers[0]]
        if upper == "V":
            return [y + numbers[0]]
        if upper == "A":
            return [*numbers[:5], x + numbers[5], y + numbers[6]]
        return [number + (y if index % 2 else x) for index, number in enumerate(numbers)]

    def _add(self, upper: str, numbers: list[float]) -> None:
        """Add a segment whose numbers are absolute."""
        x, y = self._at
        if upper == "H":
            numbers = [numbers[0], y]
        elif upper == "V":
            numbers = [x, numbers[0]]
        elif upper in "ST":
            numbers = [*self._reflected("CS" if upper == "S" else "QT"), *numbers]
        self._segments.append(tuple(numbers))
        self._at = (numbers[-2], numbers[-1])
        self._control = (numbers[-4], numbers[-3]) if upper in "CSQT" else None
        self._smooth = upper

    def _reflected(self, kinds: str) -> Point:
        """Return the control point of a smooth curve: the last one reflected, or the pen."""
        if self._control is None or self._smooth not in kinds:
            return self._at
        return 2 * self._at[0] - self._control[0], 2 * self._at[1] - self._control[1]
