# SPDX-License-Identifier: GPL-2.0-or-later
"""Match points that notches suggest: where notches of one kind, on two pieces, may meet in a seam.

Single meets single, and double meets double. Only what can be told is proposed, and nothing is set
unless she says so: two pieces with one notch of a kind each, and where more pieces have that kind,
notches that lie equally far along seams of equal length and like no others.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations, count

from extension.language.errors import DrawingError
from extension.language.vocabulary import is_inside
from extension.language.words import folded, letter_of, listed
from extension.markings.building import Found
from extension.markings.notches import Notch, agreement, notches_on, strokes_that_meet
from extension.markings.proposals import Proposal, ProposedMatch
from extension.pieces.marks import mark_of
from extension.pieces.matching import Seams, match_points
from extension.pieces.objects import carriers, is_original, role_carrier, size_of
from extension.pieces.outlines import drawn_lines
from extension.pieces.sizes import same_size, sizes_drawn
from extension.svg.model import Leaf
from nesting.cloth.repeats import Design
from nesting.errors import JobError
from nesting.model import Axes, Fabric, Job, Match, Outline, Piece, Repeat

ON_EDGE = 2.0
"""mm from the outline within which a notch begins on it."""
ALONG = math.radians(30.0)
"""Angle to the grain, or across it, within which a seam runs that way."""
NEVER = 1e6
"""mm: a repeat that nothing comes round to again, so that points contradict by their own places."""
KINDS = {1: "single", 2: "double", 3: "triple"}

Pair = tuple["_Held", "_Held"]


@dataclass(frozen=True, eq=False, slots=True)
class _Held:
    """A notch and the piece that it is on, by its place among the pieces."""

    piece: int
    notch: Notch


def propose_matches(
    found: Sequence[Found], pieces: Sequence[Proposal], originals: Mapping[Leaf, Leaf]
) -> tuple[tuple[ProposedMatch, ...], tuple[str, ...]]:
    """Return the match points that notches suggest, and what only she can say of the others.

    `pieces` are the proposals of `found`; `originals` are the drawing's own leaves. Notches that
    have a match point already are no longer asked about.
    """
    held = [
        [_Held(number, notch) for notch in notches_on(_line(each), _strokes(each))]
        for number, each in enumerate(found)
    ]
    work = _Work(found, pieces, originals)
    for members in _laid_together(pieces):
        open_ones = [one for number in members for one in held[number] if not _is_matched(one)]
        for kind in dict.fromkeys(one.notch.kind for one in open_ones):
            work.look_at(kind, [one for one in open_ones if one.notch.kind == kind])
    return work.proposed(), tuple(dict.fromkeys(work.notes))


def _line(found: Found) -> Outline:
    """Return the stitching line of a piece where one is drawn, else its outline."""
    rings = [
        ring.points
        for leaf in found.own
        if leaf.attributes.get("role") == "stitching"
        for ring in leaf.rings
        if ring.closed
    ]
    return max(rings, key=len, default=found.shape.outline)


def _strokes(found: Found) -> list[Leaf]:
    """Return the strokes of the notches of a piece, those that she said are some among them."""
    said = [
        leaf
        for leaf in found.own
        if leaf.rings
        and (carrier := role_carrier(leaf)) is not None
        and folded(carrier.attributes["role"]) == "notch"
    ]
    edge = found.shape.polygon.exterior
    return [
        leaf
        for leaf in dict.fromkeys((*found.signs.notches, *said))
        if drawn_lines(leaf).distance(edge) <= ON_EDGE
    ]


def _is_matched(held: _Held) -> bool:
    """Return whether a notch has a match point already."""
    return any("match" in each.attributes for leaf in held.notch.strokes for each in carriers(leaf))


def _laid_together(pieces: Sequence[Proposal]) -> Iterator[list[int]]:
    """Yield the pieces of one size that are cut from one cloth; linings only where all is lining.

    A design shows outside.
    """
    found = sizes_drawn(piece.size for piece in pieces if piece.size)
    sizes: list[str | None] = [*found] or [None]
    names = dict.fromkeys(one.material for piece in pieces for one in piece.demands)
    outside = [name for name in names if not is_inside(name)] or list(names)
    for size in sizes:
        for name in outside:
            members = [
                number
                for number, piece in enumerate(pieces)
                if same_size(piece.size, size)
                and any(demand.material == name for demand in piece.demands)
            ]
            if len(members) > 1:
                yield members


@dataclass(eq=False, slots=True)
class _Work:
    """Pairs of notches that may meet, and what is said of the others."""

    found: Sequence[Found]
    pieces: Sequence[Proposal]
    originals: Mapping[Leaf, Leaf]
    notes: list[str] = field(default_factory=list)
    pairs: dict[frozenset[Leaf], tuple[Pair, str]] = field(default_factory=dict)

    def look_at(self, kind: int, held: Sequence[_Held]) -> None:
        """Look which notches of one kind, on pieces that are laid together, may meet."""
        owners = dict.fromkeys(one.piece for one in held)
        if len(owners) < 2:
            return
        names = list(dict.fromkeys(self.pieces[owner].listed for owner in owners))
        word = KINDS.get(kind, f"{kind}-fold")
        if len(held) == 2:
            self._two(word, names, held[0], held[1])
            return
        alike = [
            (one, other)
            for one, other in combinations(held, 2)
            if one.piece != other.piece and agreement(one.notch, other.notch) == "both"
        ]
        seen = [one for pair in alike for one in pair]
        alone = [pair for pair in alike if all(seen.count(one) == 1 for one in pair)]
        where = f"{word.capitalize()} notches are on {len(owners)} pieces"
        if len(held) > len(owners):
            where = f"{len(held)} {word} notches are on {len(owners)} pieces"
        for one, other in alone:
            self._add(
                one,
                other,
                f"{where}; these two alone lie equally far along seams of equal length",
            )
        left = len(held) - 2 * len(alone)
        if left:
            rest = "which of them meet" if not alone else "which of the others meet"
            self.notes.append(f"{where}, {listed(names, 8)}: {rest} only you can say.")

    def _two(self, word: str, names: Sequence[str], one: _Held, other: _Held) -> None:
        """Look at the only two notches of a kind."""
        how = agreement(one.notch, other.notch)
        if how == "none":
            self.notes.append(
                f"{listed(list(names))} have one {word} notch each, but not equally far along "
                "their seams: whether these meet only you can say."
            )
            return
        told = {
            "both": "equally far along seams of equal length",
            "one": "equally far from one end of their seams",
            "unknown": "on lines without corners, so that no length tells",
        }
        self._add(one, other, f"the only {word} notches, {told[how]}")

    def _add(self, one: _Held, other: _Held, why: str) -> None:
        key = frozenset((*one.notch.strokes, *other.notch.strokes))
        self.pairs.setdefault(key, ((one, other), why))

    # --- groups ---------------------------------------------------------------------------------

    def proposed(self) -> tuple[ProposedMatch, ...]:
        """Return the pairs as match points, each of a group of its own; none that contradict."""
        letters = self._free_letters()
        named: dict[Leaf, str] = {}
        points = [self._hers(number) for number in range(len(self.pieces))]
        made: list[ProposedMatch] = []
        for (one, other), why in self.pairs.values():
            leaves = strokes_that_meet(one.notch, other.notch)
            if any(leaf not in self.originals or not is_original(leaf) for leaf in leaves):
                continue
            groups = {named[leaf] for leaf in leaves if leaf in named}
            if len(groups) > 1:
                continue
            group = groups.pop() if groups else self._name(next(letters), leaves)
            axes = self._axes(one, other)
            more = {
                held.piece: self._point(held.piece, leaf, Match((0.0, 0.0), group, axes))
                for held, leaf in zip((one, other), leaves, strict=True)
            }
            if self._contradict(points, more):
                names = listed([self.pieces[held.piece].listed for held in (one, other)])
                self.notes.append(
                    f"Notches of {names} may meet ({why}), but cannot match together with the "
                    "other match points of these pieces: choose which of them shall."
                )
                continue
            for number, point in more.items():
                points[number] += [point] if point else []
            named.update(dict.fromkeys(leaves, group))
            made.append(
                ProposedMatch(
                    group,
                    axes,
                    (self.pieces[one.piece].name, self.pieces[other.piece].name),
                    (self.originals[leaves[0]], self.originals[leaves[1]]),
                    (one.notch.at, other.notch.at),
                    why,
                )
            )
        return tuple(made)

    def _free_letters(self) -> Iterator[str]:
        """Yield letters that no group of the drawing has as its name."""
        used = set()
        for leaf in self.originals.values():
            for each in carriers(leaf):
                used.update(each.attributes.get("match", "").casefold().split())
        return (letter for k in count() if (letter := letter_of(k).casefold()) not in used)

    def _name(self, letter: str, leaves: Sequence[Leaf]) -> str:
        """Return the name of a group; what belongs to one size is matched within it alone."""
        sizes = {size_of(leaf) for leaf in leaves}
        size = next(iter(sizes))
        return f"{letter} {folded(size)}" if len(sizes) == 1 and size else letter

    def _axes(self, one: _Held, other: _Held) -> Axes:
        """Return in which direction lines run on over a seam: those that cross it."""
        ways = {self._way(held) for held in (one, other)}
        return ways.pop() if len(ways) == 1 else "both"

    def _way(self, held: _Held) -> Axes:
        """Return in which direction of its piece a notch has to match."""
        grain = self.pieces[held.piece].grain
        if grain is None:
            return "both"
        x, y = held.notch.along
        off = math.radians(grain) - math.atan2(-y, x)
        if abs(math.sin(off)) <= math.sin(ALONG):
            return "along"
        return "across" if abs(math.cos(off)) <= math.sin(ALONG) else "both"

    # --- contradictions -------------------------------------------------------------------------

    def _hers(self, number: int) -> list[Match]:
        """Return the match points that a piece has already; a wrong one is told by the layout."""
        each = self.found[number]
        try:
            marks = [mark_of(leaf) for leaf in each.own]
            told = match_points(each.shape, marks, None, self._seams(number), "")
        except DrawingError:
            return []
        return [one.match for one in told]

    def _point(self, number: int, leaf: Leaf, match: Match) -> Match | None:
        """Return the match point that a stroke would be, where its seam runs."""
        each = self.found[number]
        words = match.group if match.axes == "both" else f"{match.group} {match.axes}"
        as_said = replace(leaf, attributes={**leaf.attributes, "role": "notch", "match": words})
        seams = [one for one in each.own if one.attributes.get("role") == "stitching"]
        try:
            marks = [mark_of(one) for one in (as_said, *seams)]
            told = match_points(each.shape, marks, None, self._seams(number), "")
        except DrawingError:
            return None
        return told[0].match if told else None

    def _seams(self, number: int) -> Seams:
        """Return how far the seam of a piece lies from its outline, by what is known of it."""
        labels = (block.reading.included for block in self.found[number].words.used)
        named = next((mm for mm in labels if mm is not None), 0.0)
        return Seams(self.pieces[number].details.allowance or 0.0, named)

    def _contradict(
        self, points: Sequence[Sequence[Match]], more: Mapping[int, Match | None]
    ) -> bool:
        """Return whether points of pieces could not all match when some are added."""
        pieces = []
        for number, (piece, own) in enumerate(zip(self.pieces, points, strict=True)):
            added = more.get(number)
            match = (*own, added) if added else tuple(own)
            if piece.grain is not None and match:
                outline = tuple((x, -y) for x, y in self.found[number].shape.outline)
                pieces.append(Piece(str(number), outline, cut=2, grain=piece.grain, match=match))
        try:
            Design(Job(Fabric(NEVER, repeat=Repeat(NEVER, NEVER)), tuple(pieces)))
        except JobError:
            return True
        return False
