# SPDX-License-Identifier: GPL-2.0-or-later
"""The judge's rule "match": points of one group lie alike in the repeat of the cloth.

By complex numbers, like the rest of the judge, and by its own thought: a point's place in the
repeat is looked at from the garment, so that a part turned round, or over, on an even design must
have it as far on the other side of a line. Of the places that a group has, the one that most of its
copies share counts as right.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from nesting.judge.verdict import Violation, figure, part_key
from nesting.model import Fabric, Match, Piece, Placement, Repeat, Section

MATCH = "match"
"""Name of the rule; its row is in `rules`."""
OFF = 1.0
"""mm by which a point may be off: a thread or two, which no seam shows."""
HAIR = 0.01
"""mm by which a length may be past a line and end on it."""


@dataclass(frozen=True, slots=True)
class _Seen:
    """Where a copy has a match point: in the repeat, mm, along the garment and across it."""

    piece: Piece
    copy: int
    match: Match
    place: complex


def unmatched(
    fabric: Fabric,
    pieces: Mapping[str, Piece],
    placements: Sequence[Placement],
    sections: Sequence[Section],
) -> list[Violation]:
    """Rule "match": every copy's points lie in the repeat where their groups do."""
    repeat = fabric.repeat
    if repeat is None:
        return []
    groups: dict[str, list[_Seen]] = {}
    for spot in placements:
        for seen in _seen(fabric.width, repeat, pieces[spot.piece], spot, sections):
            groups.setdefault(seen.match.group, []).append(seen)
    return [found for group in groups.values() for found in _astray(repeat, group)]


def to_lines(
    repeat: Repeat | None,
    pieces: Mapping[str, Piece],
    placements: Sequence[Placement],
    needed: Sequence[float],
) -> tuple[float, ...]:
    """Return how much flat cloth sections take, mm, that need some for their parts.

    Along the cloth every section counts from a dominant line. So one goes on to such a line where
    a part behind it, in a later section, has to lie by the design along the cloth.
    """
    if repeat is None or not repeat.along:
        return tuple(needed)
    last = max((spot.section for spot in placements if _is_bound(repeat, pieces, spot)), default=0)
    return tuple(
        repeat.along * math.ceil((one - HAIR) / repeat.along) if one and number < last else one
        for number, one in enumerate(needed, 1)
    )


def _is_bound(repeat: Repeat, pieces: Mapping[str, Piece], spot: Placement) -> bool:
    """Return whether a part has to lie by the design along the cloth."""
    piece = pieces.get(spot.piece)
    return piece is not None and any(_counts(repeat, match, "along") for match in piece.match)


def _seen(
    width: float, repeat: Repeat, piece: Piece, spot: Placement, sections: Sequence[Section]
) -> Iterator[_Seen]:
    """Yield the match points of the copies that a placement cuts."""
    if not 1 <= spot.section <= len(sections):
        return
    turn = _direction(spot.turn)
    for match in piece.match:
        upright = complex(*match.point) * _direction(-piece.grain)
        own = upright.conjugate() if spot.flip else upright
        at = own * turn + complex(spot.x, spot.y)
        for layer, copy in enumerate(spot.copies):
            place, hand = at - 1j * repeat.first, spot.flip
            if layer:
                fold = _fold(width, sections[spot.section - 1], at.imag)
                if fold is None:
                    continue  # its layer was cut off, or ends at a fold across: nothing runs on
                place, hand = complex(at.real, 2.0 * fold - at.imag - repeat.first), not hand
            # Seen from the garment: turned back, and over, as far as the design itself allows.
            seen = place * turn.conjugate() if repeat.even else place
            yield _Seen(piece, copy, match, seen.conjugate() if hand and repeat.even else seen)


def _direction(degrees: float) -> complex:
    """Return the unit number of an angle."""
    return complex(math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))


def _fold(width: float, section: Section, y: float) -> float | None:
    """Return the y of the fold over which the other copy of a point lies, mm; None without one."""
    lower, upper = section.lower or 0.0, section.upper or 0.0
    if section.crosswise or not (lower or upper):
        return None
    return lower if lower and (not upper or y <= 2.0 * lower) else width - upper


def _astray(repeat: Repeat, group: Sequence[_Seen]) -> Iterator[Violation]:
    """Yield the points of a group that do not lie where it does."""
    for axis, name, period in ((0, "along", repeat.along), (1, "across", repeat.across)):
        counting = [seen for seen in group if _counts(repeat, seen.match, name)]
        if not period or not counting:
            continue
        wanted = _wanted(repeat, axis, counting)
        for seen in counting:
            off = _apart(repeat, axis, seen.place, wanted)
            if off > OFF:
                key = part_key(seen.piece.id, seen.copy)
                sentence = (
                    f"Copy {seen.copy} of {seen.piece.label} lies "
                    f"{figure(off)} mm off the design {name} the cloth at its match point "
                    f"“{seen.match.group}”: move it there."
                )
                yield Violation(MATCH, (key,), off, sentence)


def _counts(repeat: Repeat, match: Match, name: str) -> bool:
    """Return whether a match point has to match in a direction; in a half-drop always in both."""
    return match.axes in ("both", name) or repeat.half_drop


def _wanted(repeat: Repeat, axis: int, group: Sequence[_Seen]) -> complex:
    """Return the place that counts as right: on a line where that is asked, else the commonest."""
    for seen in group:
        if seen.match.on:
            share = 0.5 if seen.match.on == "between" else 0.0
            return complex(share * repeat.along, share * repeat.across)
    places = [seen.place for seen in group]
    return max(
        places, key=lambda one: sum(_apart(repeat, axis, one, other) <= OFF for other in places)
    )


def _apart(repeat: Repeat, axis: int, one: complex, other: complex) -> float:
    """Return how far two places are from being the same in the repeat, in a direction, mm."""
    apart = one - other
    if axis:
        return _rest(apart.imag, repeat.across)
    along = apart.real
    if repeat.half_drop and repeat.across:
        # Every second repeat across begins half a repeat farther along.
        along -= (round(apart.imag / repeat.across) % 2) * repeat.along / 2.0
    return _rest(along, repeat.along)


def _rest(distance: float, period: float) -> float:
    """Return how far a distance is from whole periods, mm."""
    return abs(distance - period * round(distance / period))
