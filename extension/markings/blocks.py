# SPDX-License-Identifier: GPL-2.0-or-later
"""Blocks of text: letters joined to lines and lines to labels, however they were split.

A drawing opened from a PDF may hold every word, or every letter, as a text of its own. What stands
on one baseline close together is one line; lines of one direction close under each other, within
one outline, are one block.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import shapely
from shapely.geometry import MultiPolygon
from shapely.geometry import Point as Spot
from shapely.geometry.base import BaseGeometry

from extension.labels.reading import LabelReading, read_label
from extension.markings.fragments import SPACE, Fragment
from extension.markings.sizewords import is_bare_size
from extension.svg.model import Leaf
from nesting.model import Point

SAME_BASELINE = 0.25
"""Share of the font size by which letters of one line may lie off its baseline."""
SAME_DIRECTION = math.cos(math.radians(3.0))
LEADING = 2.0
"""Font sizes from one baseline to the next within a block, at most."""
OWN_LEADING = 3.2
"""The same within one text element."""

Home = Callable[[Point], int | None]
"""Gives the outline that a point of the page lies in, by index."""


@dataclass(frozen=True, eq=False, slots=True)
class Line:
    """One line of text, from fragments in reading order."""

    text: str
    fragments: tuple[Fragment, ...]
    area: BaseGeometry
    start: Point
    end: Point
    size: float

    @property
    def along(self) -> Point:
        """The direction it reads in."""
        return self.fragments[0].along

    @property
    def up(self) -> Point:
        """The direction of its top."""
        return self.fragments[0].up

    @property
    def middle(self) -> Point:
        """The middle of its area."""
        centre = self.area.centroid
        return centre.x, centre.y


@dataclass(frozen=True, eq=False)
class Block:
    """Lines that are one label."""

    lines: tuple[Line, ...]

    @property
    def text(self) -> str:
        """Return the lines of the label, each on its own line."""
        return "\n".join(line.text for line in self.lines)

    @property
    def plain(self) -> str:
        """Return the label on one line, for messages."""
        return " / ".join(self.text.split("\n"))

    @property
    def leaves(self) -> tuple[Leaf, ...]:
        """Return the texts that it consists of, each once, in document order."""
        found = {
            fragment.order: fragment.leaf for line in self.lines for fragment in line.fragments
        }
        return tuple(dict.fromkeys(leaf for _, leaf in sorted(found.items(), key=lambda e: e[0])))

    @property
    def height(self) -> float:
        """The largest font size in it, mm."""
        return max(line.size for line in self.lines)

    @cached_property
    def area(self) -> BaseGeometry:
        """The page area of its lines."""
        return shapely.unary_union([line.area for line in self.lines])

    @cached_property
    def middle(self) -> Point:
        """The middle of its area."""
        centre = self.area.envelope.centroid if self.area.is_empty else self.area.centroid
        return centre.x, centre.y

    @cached_property
    def reading(self) -> LabelReading:
        """What it says."""
        return read_label(self.text)


def lines_of(fragments: Sequence[Fragment]) -> tuple[Line, ...]:
    """Return the lines that fragments form, in document order of their first letters."""
    straight = [fragment for fragment in fragments if fragment.straight]
    following = _followers(straight)
    begun = set(following.values())
    lines = [_line([fragment]) for fragment in fragments if not fragment.straight]
    for index in range(len(straight)):
        if index in begun:
            continue
        chain = [index]
        while chain[-1] in following:
            chain.append(following[chain[-1]])
        lines.append(_line([straight[each] for each in chain]))
    return tuple(sorted(lines, key=lambda line: min(f.order for f in line.fragments)))


def _followers(fragments: Sequence[Fragment]) -> dict[int, int]:
    """Return for fragments the one that goes on the line behind them; no two share one."""
    if not fragments:
        return {}
    tree = shapely.STRtree([Spot(fragment.start) for fragment in fragments])
    pairs: list[tuple[float, int, int]] = []
    for index, one in enumerate(fragments):
        reach = 1.5 * one.size + 0.25 * math.dist(one.start, one.end)
        hits = tree.query(Spot(one.end).buffer(reach, 4))
        for hit in sorted(int(each) for each in hits):
            gap = None if hit == index else _gap(one, fragments[hit])
            if gap is not None:
                pairs.append((abs(gap), index, hit))
    following: dict[int, int] = {}
    taken: set[int] = set()
    for _, one_index, other_index in sorted(pairs):
        if one_index not in following and other_index not in taken:
            following[one_index] = other_index
            taken.add(other_index)
    return following


def _gap(one: Fragment, other: Fragment) -> float | None:
    """Return the gap between fragments of one line in font sizes; None when they are of two."""
    size = max(one.size, other.size)
    if size > 1.6 * min(one.size, other.size) or not _same_way(one.along, other.along):
        return None
    dx, dy = other.start[0] - one.end[0], other.start[1] - one.end[1]
    along = dx * one.along[0] + dy * one.along[1]
    beside = abs(dx * one.up[0] + dy * one.up[1])
    width = math.dist(one.start, one.end)
    ahead = width + along
    if beside > SAME_BASELINE * size or ahead <= 0.15 * size:
        return None
    if not -(0.3 * size + 0.2 * width) <= along <= 1.1 * size + 0.05 * width:
        return None
    return along / size


def _same_way(one: Point, other: Point) -> bool:
    return one[0] * other[0] + one[1] * other[1] >= SAME_DIRECTION


def _line(fragments: Sequence[Fragment]) -> Line:
    """Return a line of fragments in reading order, with spaces where there are gaps."""
    text = fragments[0].text
    gaps = [_gap(one, other) or 0.0 for one, other in pairwise(fragments)]
    single = sorted(
        gap
        for gap, (one, other) in zip(gaps, pairwise(fragments), strict=True)
        if one.glyphs == other.glyphs == 1
    )
    usual = single[len(single) // 2] if len(single) > 2 else 0.0
    for gap, (one, other) in zip(gaps, pairwise(fragments), strict=True):
        text += (" " if _is_space(gap, usual, one, other) else "") + other.text
    area = MultiPolygon([fragment.area for fragment in fragments])
    hull = area if len(fragments) == 1 else shapely.MultiPoint(shapely.get_coordinates(area))
    return Line(
        " ".join(text.split()) if fragments[0].straight else text,
        tuple(fragments),
        hull.convex_hull,
        fragments[0].start,
        fragments[-1].end,
        max(fragment.size for fragment in fragments),
    )


def _is_space(gap: float, usual: float, one: Fragment, other: Fragment) -> bool:
    """Return whether there is a space between two fragments: written, or left as a gap.

    Whole words always stand apart; a single letter may belong to the word beside it.
    """
    if one.spaced[1] or other.spaced[0]:
        return True
    if one.glyphs == other.glyphs == 1:
        return gap > max(usual, 0.0) + SPACE if usual < 0.3 else gap > usual + SPACE
    if one.text[-1].isalpha() and other.text[0].isalpha() and 1 in (one.glyphs, other.glyphs):
        return gap > SPACE
    return True


def blocks_of(lines: Sequence[Line], home: Home) -> tuple[Block, ...]:
    """Return the blocks that lines form, in document order. No block spans two outlines."""
    if not lines:
        return ()
    homes = [home(line.middle) for line in lines]
    parents = list(range(len(lines)))

    def root(index: int) -> int:
        while parents[index] != index:
            index = parents[index]
        return index

    tree = shapely.STRtree([line.area for line in lines])
    for index, line in enumerate(lines):
        reach = line.area.buffer(OWN_LEADING * line.size, 2)
        for hit in sorted(int(each) for each in tree.query(reach)):
            if hit != index and homes[hit] == homes[index] and _is_below(line, lines[hit]):
                one, other = root(index), root(hit)
                parents[max(one, other)] = min(one, other)
    members: dict[int, list[Line]] = {}
    for index, line in enumerate(lines):
        members.setdefault(root(index), []).append(line)
    return tuple(Block(_in_reading_order(each)) for each in members.values())


def _is_below(line: Line, other: Line) -> bool:
    """Return whether `other` is the next line of the label that `line` belongs to."""
    if not (line.fragments[0].straight and other.fragments[0].straight):
        return False
    size = max(line.size, other.size)
    if size > 2.6 * min(line.size, other.size) or not _same_way(line.along, other.along):
        return False
    dx, dy = other.start[0] - line.start[0], other.start[1] - line.start[1]
    down = -(dx * line.up[0] + dy * line.up[1])
    own = bool({f.leaf for f in line.fragments} & {f.leaf for f in other.fragments})
    if not 0.4 * min(line.size, other.size) < down <= (OWN_LEADING if own else LEADING) * size:
        return False
    left = dx * line.along[0] + dy * line.along[1]
    width, length = math.dist(line.start, line.end), math.dist(other.start, other.end)
    if not own and is_bare_size(line.text) != is_bare_size(other.text):
        # A size may be a line of a label, or stand at the line of that size.
        centred = abs(left + length / 2.0 - width / 2.0) <= 0.4 * size
        return abs(left) <= 0.2 * size or centred
    if not own and is_bare_size(line.text):
        return False
    overlap = min(width, left + length) - max(0.0, left)
    return overlap >= 0.3 * min(width, length)


def _in_reading_order(lines: Sequence[Line]) -> tuple[Line, ...]:
    up, along = lines[0].up, lines[0].along
    size = min(line.size for line in lines)

    def key(line: Line) -> tuple[float, float]:
        x, y = line.start
        return round(-(x * up[0] + y * up[1]) / (0.4 * size)), x * along[0] + y * along[1]

    return tuple(sorted(lines, key=key))
