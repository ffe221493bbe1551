# SPDX-License-Identifier: GPL-2.0-or-later
"""What a text says, and roughly where it stands: no font is read, widths are guessed."""

from __future__ import annotations

import math
import statistics
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from lxml import etree

from extension.language.units import Viewport
from extension.svg.basic_shapes import SHAPES, Measures, shape_subpaths
from extension.svg.identities import SODIPODI
from extension.svg.letters import NARROW, letter_width
from extension.svg.model import Matrix
from extension.svg.styles import Style, font_size
from extension.svg.transforms import apply
from nesting.model import Point

Box = tuple[float, float, float, float]
Restyle = Callable[[etree._Element, Style], Style]  # noqa: SLF001 (lxml's class)
"""Gives the resolved style of an element within one of the given style."""

TEXTS = frozenset({"text", "flowRoot"})

GAP = 0.15
"""Font sizes from which on a letter has a space before it: one is 0.22 to 0.35 wide."""
LEAP = 4.0
"""Font sizes from one letter to the next from which on they are of two texts."""

_ROLE = f"{{{SODIPODI}}}role"
_SPACE = "{http://www.w3.org/XML/1998/namespace}space"
_LINES = frozenset({"flowPara", "flowDiv", "flowLine"})
SILENT = frozenset({"title", "desc", "metadata", "flowRegion", "flowRegionExclude", "style"})
"""What may stand in a text and says nothing."""

# In font sizes; common practice for Latin lettering, no source.
_ADVANCE, _ASCENT, _DESCENT, _LEADING = 0.6, 0.8, 0.25, 1.25


@dataclass(frozen=True, slots=True)
class _Run:
    """Letters of one style. `at` is where they begin, None when they go on from the last run.

    `xs` are the places of the single letters as far as they are given.
    """

    text: str
    new_line: bool
    at: tuple[float | None, float | None]
    shift: Point
    style: Style
    xs: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class PlacedRun:
    """Letters of one style where they stand, in the text's own coordinates.

    `x`, `y` is where the baseline begins, or its middle or end as `anchor` says; `xs` the places
    of its letters when each is given. `follows` says that it goes on where the run before ends,
    so that its own place is only guessed; `starts_line` that the text begins a line with it.
    """

    text: str
    x: float
    y: float
    xs: tuple[float, ...]
    size: float
    anchor: str
    follows: bool
    starts_line: bool


def text_of(element: etree._Element, restyle: Restyle, style: Style) -> str:
    """Return the words of a text, one line of it per line, white space run together."""
    lines = [""]
    for run in _runs(element, restyle, style, Measures((0.0, 0.0))):
        if run.new_line:
            lines.append("")
        first, *others = run.text.split("\n")
        lines[-1] += first
        lines.extend(others)
    plain = (" ".join(line.split()) for line in lines)
    return "\n".join(line for line in plain if line)


def text_box(
    element: etree._Element, matrix: Matrix, restyle: Restyle, style: Style, viewport: Viewport
) -> Box:
    """Return a rough box on the page for a text whose own coordinates `matrix` maps there.

    Raises ValueError when a position in it cannot be read.
    """
    corners = [
        corner
        for low_x, low_y, high_x, high_y in _line_boxes(element, restyle, style, viewport)
        for corner in ((low_x, low_y), (high_x, low_y), (high_x, high_y), (low_x, high_y))
    ]
    return bounds([apply(matrix, corner) for corner in corners or [(0.0, 0.0)]])


def bounds(points: list[Point]) -> Box:
    """Return the box round points."""
    xs, ys = [point[0] for point in points], [point[1] for point in points]
    return min(xs), min(ys), max(xs), max(ys)


def placed_runs(
    element: etree._Element, restyle: Restyle, style: Style, viewport: Viewport
) -> Iterator[PlacedRun]:
    """Yield the letters of a text run by run, with the place of each.

    Raises ValueError when a position cannot be read.
    """
    x = y = 0.0
    for run in _runs(element, restyle, style, Measures(viewport)):
        size = font_size(run.style)
        if run.new_line and run.at[1] is None and not run.shift[1]:
            y += _LEADING * size
        x = (x if run.at[0] is None else run.at[0]) + run.shift[0]
        y = (y if run.at[1] is None else run.at[1]) + run.shift[1]
        anchor = run.style.get("text-anchor", "")
        follows = not run.new_line and run.at == (None, None)
        yield PlacedRun(run.text, x, y, run.xs, size, anchor, follows, run.new_line)
        x += _advance(run.text, size)


def _advance(text: str, size: float) -> float:
    return _ADVANCE * size * len(" ".join(text.split()))


def _line_boxes(
    element: etree._Element, restyle: Restyle, style: Style, viewport: Viewport
) -> Iterator[Box]:
    """Yield a box for every run of letters, or for those that are poured into a frame together."""
    frames = [*_frames(element, viewport)]
    if frames:
        yield _poured(frames[0], [*placed_runs(element, restyle, style, viewport)])
        return
    for run in placed_runs(element, restyle, style, viewport):
        width = _advance(run.text, run.size)
        share = {"middle": 0.5, "end": 1.0}.get(run.anchor, 0.0)
        if width:
            left = run.x - share * width
            yield left, run.y - _ASCENT * run.size, left + width, run.y + _DESCENT * run.size


def _poured(frame: Box, runs: Sequence[PlacedRun]) -> Box:
    """Return the box of the lines at the top of a frame, each broken where the frame is full."""
    left, top, right, bottom = frame
    room = max(right - left, 1e-9)
    lengths: list[float] = []
    for run in runs:
        if run.starts_line or not lengths:
            lengths.append(0.0)
        lengths[-1] += _advance(run.text, run.size)
    rows = sum(math.ceil(length / room) for length in lengths)
    leading = _LEADING * max((run.size for run in runs if run.text.strip()), default=0.0)
    is_left = all(run.anchor in ("", "start") for run in runs)
    width = min(room, max(lengths, default=0.0)) if is_left else room
    return left, top, left + width, min(bottom, top + rows * leading)


def _frames(element: etree._Element, viewport: Viewport) -> Iterator[Box]:
    """Yield the boxes of the shapes that flowed text is poured into."""
    for region in element.iterchildren("{*}flowRegion"):
        for shape in region.iterchildren("{*}*"):
            kind = etree.QName(shape).localname
            if kind in SHAPES:
                attributes = {str(name): str(value) for name, value in shape.attrib.items()}
                points = [
                    point
                    for subpath in shape_subpaths(kind, attributes, Measures(viewport))
                    for point in (subpath.start, *((s[-2], s[-1]) for s in subpath.segments))
                ]
                if points:
                    yield bounds(points)


def is_line(element: etree._Element) -> bool:
    """Return whether a part of a text begins a line of it.

    Most writers of SVG give a line a place of its own, or go back to the left and down by so much.
    """
    is_row = element.get(_ROLE) == "line" or etree.QName(element).localname in _LINES
    goes_back = element.get("x", "").strip() != "" and _moves(element.get("dy", ""))
    return is_row or goes_back or element.get("y", "").strip() not in ("", "auto")


def _moves(shift: str) -> bool:
    """Return whether the first number of a list of shifts is another one than nought."""
    words = shift.replace(",", " ").split()
    return bool(words) and any(digit in "123456789" for digit in words[0].lower().partition("e")[0])


def _runs(
    element: etree._Element, restyle: Restyle, style: Style, measures: Measures
) -> Iterator[_Run]:
    """Yield the letters of an element, its children's among them."""
    own = Measures(measures.viewport, font_size(style))
    at = _first(element, "x", own), _first(element, "y", own)
    new_line = is_line(element)
    shift = _first(element, "dx", own) or 0.0, _first(element, "dy", own) or 0.0
    xs = _numbers(element, "x", own)
    yield from _leaping(
        _Run(_spaced(element.text, element, style), new_line, at, shift, style, xs),
        _shifts(element, own),
    )
    for child in element:
        # A comment says nothing, but letters may follow it.
        if isinstance(child.tag, str) and etree.QName(child).localname not in SILENT:
            inner = restyle(child, style)
            if not _is_unsaid(inner, style):
                yield from _runs(child, restyle, inner, own)
        tail = _spaced(child.tail, element, style)
        yield _Run(tail, False, (None, None), (0.0, 0.0), style)


def _is_unsaid(inner: Style, style: Style) -> bool:
    """Return whether a part of a text is hidden, in one that is seen, or struck out."""
    is_hidden = inner.get("visibility") == "hidden" != style.get("visibility")
    decoration = f"{inner.get('text-decoration')} {inner.get('text-decoration-line')}"
    return is_hidden or inner.get("display") == "none" or "line-through" in decoration


def _leaping(run: _Run, shifts: Sequence[float]) -> Iterator[_Run]:
    """Yield a run in parts where it leaps to another place, each as a line of its own.

    A letter that stands a little way off from the one before has a space before it.
    """
    (x, y), size = run.at, font_size(run.style)
    if len(shifts) < 2 or len(run.xs) > 1:
        yield run
        return
    leaping = leaps(run.text, shifts, size) if x is not None and y is not None else []
    starts = [(0, 0.0), *leaping]
    ends = [start for start, _ in starts[1:]] + [len(run.text)]
    for (start, along), end in zip(starts, ends, strict=True):
        text, _ = with_spaces(run.text[start:end], (0.0, *shifts[start + 1 : end]), size)
        at = None if x is None else x + along
        part = replace(run, text=text, at=(at, y))
        yield part if start == 0 else replace(part, new_line=True, xs=())


def with_spaces(text: str, shifts: Sequence[float], size: float) -> tuple[str, list[float]]:
    """Return letters with spaces where the shift of one exceeds the usual one by a gap.

    Their shifts come with them, in the unit of `size`. Inkscape 1.4 gives spaces of a PDF so where
    its font has no sign for them (seen).
    """
    moves = [*shifts[: len(text)], *[0.0] * (len(text) - len(shifts))]
    if len(text) < 2:
        return text, moves
    least = statistics.median(moves[1:]) + GAP * size
    made, kept = text[0], moves[:1]
    for move, before, letter in zip(moves[1:], text, text[1:], strict=False):
        if move > least and not before.isspace() and not letter.isspace():
            made += " "
            kept.append(0.0)
            move -= NARROW * size * letter_width(" ")
        made += letter
        kept.append(move)
    return made, kept


def leaps(text: str, shifts: Sequence[float], size: float) -> list[tuple[int, float]]:
    """Return before which letters a run leaps, and how far these stand from its first letter.

    `shifts` are those of the letters, in the unit of `size`. Inkscape 1.4 makes one run of texts
    that follow on each other in a PDF and stand far apart on one line (seen).
    """
    found, along = [], 0.0
    for index, shift in enumerate(shifts[1 : len(text)], start=1):
        along += NARROW * size * letter_width(text[index - 1]) + shift
        if abs(shift) > LEAP * size:
            found.append((index, along))
    return found


def _first(element: etree._Element, name: str, measures: Measures) -> float | None:
    """Return the first number of a list of positions: where the first letter stands."""
    words = element.get(name, "").replace(",", " ").split()
    return measures.given({name: words[0]}, name, name[-1]) if words else None


def _numbers(element: etree._Element, name: str, measures: Measures) -> tuple[float, ...]:
    """Return a list of positions, letter by letter."""
    words = element.get(name, "").replace(",", " ").split()
    found = (measures.given({name: word}, name, name[-1]) for word in words)
    return tuple(number for number in found if number is not None)


def _shifts(element: etree._Element, measures: Measures) -> tuple[float, ...]:
    """Return by how much each letter is shifted along; nothing where that cannot be read."""
    try:
        return _numbers(element, "dx", measures)
    except ValueError:
        return ()  # where the text begins is known all the same


def _spaced(text: str | None, element: etree._Element, style: Style) -> str:
    """Return text with its line breaks kept where they are shown, and as spaces elsewhere."""
    if style.get("white-space", "").startswith("pre"):
        return text or ""
    return (text or "").replace("\r", " ").replace("\n", " ")
