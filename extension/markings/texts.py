# SPDX-License-Identifier: GPL-2.0-or-later
"""To which outlines every text of a drawing belongs.

The sizes of one piece, drawn within each other, are a family: its texts belong to all of them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry import Point as Spot

from extension.markings.blocks import Block, Line, blocks_of
from extension.markings.broken import Unclosed
from extension.markings.leaders import Leader, Leaders
from extension.markings.sizing import nests_of
from extension.pieces.structure import Structure
from extension.svg.model import Leaf
from nesting.model import Point

INSIDE, STRADDLES = 0.6, 0.25
"""Share of a text inside an outline to belong there, and inside a second one to be between."""
NEAR = 4.0
"""Font sizes from a text to the outline it belongs to, at most."""
NEAR_MM = 25.0
"""mm, the same at most."""
TIP = 5.0
"""mm before an outline within which the line from a label to its piece may end."""
BETWEEN = 0.5
"""How much nearer a text outside must be to one outline than to the next."""
FEW_WORDS = 4
"""Words that a label without a count has at most when it stands outside its piece."""


@dataclass(frozen=True, eq=False, slots=True)
class Texts:
    """The texts of a drawing sorted by the outlines that may be pieces.

    `candidates` are these outlines, by index, `family` which of them are sizes of one piece. `of`
    are the blocks of each family, `between` those that may belong to two, `loose` those that belong
    to none, `unclosed` those of the last that stand where an outline is broken. `leaders` are the
    lines that lead from labels to their pieces.
    """

    candidates: tuple[int, ...]
    family: Mapping[int, int]
    of: Mapping[int, tuple[Block, ...]]
    between: tuple[tuple[Block, int, int], ...]
    loose: tuple[Block, ...]
    leaders: frozenset[Leaf] = frozenset()
    unclosed: tuple[Block, ...] = ()


def sort_texts(structure: Structure, lines: Sequence[Line], leaves: Sequence[Leaf]) -> Texts:
    """Return lines of text as labels, each with the outlines it belongs to.

    Among `leaves` are the lines that may lead from a label to its piece, wherever it stands.
    """
    candidates = tuple(
        index
        for index, standing in enumerate(structure.standings)
        if standing.kind in ("piece", "unexplained")
    )
    family = _families(structure, candidates)
    finder = _Finder(structure, candidates, family)
    texts: dict[int, list[Block]] = {}
    loose: list[Block] = []
    between: list[tuple[Block, int, int]] = []
    outside: list[Block] = []
    blocks = blocks_of(lines, finder.home)
    leaders = Leaders(leaves, [block for block in blocks if _says_something(block)])
    used: set[Leaf] = set()
    for block in blocks:
        inside = finder.inside(block)
        led = finder.led(leaders.of(block), inside) if _says_something(block) else {}
        if led:
            used.update(leaf for leader in led.values() for leaf in leader.leaves)
            for each in led:
                texts.setdefault(each, []).append(block)
        elif len(inside) == 1:
            texts.setdefault(inside[0], []).append(block)
        elif inside:
            between.append((block, inside[0], inside[1]))
        else:
            outside.append(block)
    broken = Unclosed(leaves, [structure.shapes[index].polygon for index in candidates])
    unclosed = [block for block in outside if _says_something(block) and broken.holds(block)]
    for block in outside:
        asks = _says_something(block) and block not in unclosed
        near = finder.near(block, texts) if asks else []
        if len(near) == 1:
            texts.setdefault(near[0], []).append(block)
        elif near:
            between.append((block, near[0], near[1]))
        else:
            loose.append(block)
    return Texts(
        candidates,
        family,
        {each: tuple(blocks) for each, blocks in texts.items()},
        tuple(between),
        tuple(loose),
        frozenset(used),
        tuple(unclosed),
    )


def _families(structure: Structure, candidates: Sequence[int]) -> dict[int, int]:
    """Return for each outline the first one of its family."""
    family = {index: index for index in candidates}
    shapes = [structure.shapes[index] for index in candidates]
    for nest in nests_of(shapes):
        for member in nest:
            family[candidates[member]] = candidates[nest[0]]
    return family


def _says_something(block: Block) -> bool:
    """Return whether a text outside all outlines is a label, and no heading or explanation."""
    reading = block.reading
    short = len(block.text.split()) <= FEW_WORDS
    return reading.counts or (short and bool(reading.fold or reading.name or reading.grain))


class _Finder:
    """Looks for the families that texts belong to."""

    def __init__(
        self, structure: Structure, candidates: Sequence[int], family: Mapping[int, int]
    ) -> None:
        self._candidates = candidates
        self._family = family
        self._polygons = [structure.shapes[index].polygon for index in candidates]
        self._tree = shapely.STRtree(self._polygons)

    def home(self, point: Point) -> int | None:
        """Return the family that a point lies in, the smallest of several."""
        hits = [int(hit) for hit in self._tree.query(Spot(point), "intersects")]
        if not hits:
            return None
        smallest = min(hits, key=lambda hit: (self._polygons[hit].area, hit))
        return self._family[self._candidates[smallest]]

    def inside(self, block: Block) -> list[int]:
        """Return the family a text lies in, two that it lies astride, or none."""
        shares: dict[int, tuple[float, float]] = {}
        for hit in sorted(int(each) for each in self._tree.query(block.area, "intersects")):
            polygon = self._polygons[hit]
            share = polygon.intersection(block.area).area / max(block.area.area, 1e-9)
            family = self._family[self._candidates[hit]]
            known = shares.get(family, (0.0, 0.0))
            if share > known[0] or (share == known[0] and polygon.area < known[1]):
                shares[family] = (share, polygon.area)
        full = [each for each, (share, _) in shares.items() if share >= INSIDE]
        if full:
            # Of outlines within each other, a text lies in the innermost.
            return [min(full, key=lambda each: (shares[each][1], each))]
        partly = [each for each, (share, _) in shares.items() if share >= STRADDLES]
        return sorted(partly, key=lambda each: (-shares[each][0], each))[:2]

    def led(self, leaders: Sequence[Leader], inside: Sequence[int]) -> dict[int, Leader]:
        """Return the families that lines lead to from a text, each with its line.

        A line that ends in the piece the text lies in is none, but a grainline or a notch.
        """
        found: dict[int, Leader] = {}
        for leader in leaders:
            family = self.home(leader.tip)
            if family is None:
                hits = self._tree.query(Spot(leader.tip), "dwithin", distance=TIP)
                families = {self._family[self._candidates[int(hit)]] for hit in hits}
                family = families.pop() if len(families) == 1 else None
            if family is not None and family not in inside:
                found.setdefault(family, leader)
        return found

    def near(self, block: Block, texts: Mapping[int, Sequence[Block]]) -> list[int]:
        """Return the family a text outside is nearest to, two that it may belong to, or none.

        A piece that has a label of its own gives way to one that has none.
        """
        reach = min(NEAR * block.height, NEAR_MM)
        gaps: dict[int, float] = {}
        hits = self._tree.query(block.area, "dwithin", distance=reach)
        for hit in sorted(int(each) for each in hits):
            gap = float(self._polygons[hit].distance(block.area))
            family = self._family[self._candidates[hit]]
            gaps[family] = min(gap, gaps.get(family, gap))
        ranked = sorted(gaps, key=lambda each: (gaps[each], each))
        if len(ranked) < 2 or gaps[ranked[0]] <= BETWEEN * gaps[ranked[1]]:
            return ranked[:1]
        bare = [each for each in ranked if not any(b.reading.demands for b in texts.get(each, ()))]
        if block.reading.demands and len(bare) == 1:
            return bare
        return ranked[:2]
