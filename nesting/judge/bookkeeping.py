# SPDX-License-Identifier: GPL-2.0-or-later
"""The judge's rules that need no geometry: counts, hands, turns, nap, and what was held.

Like the rest of the judge they share no code with the search.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence

from nesting.judge.verdict import Violation, figure, keys_of, numbers, part_key
from nesting.model import Fabric, Job, LeftOver, Piece, Placement

COUNT, HAND, TURN, NAP, HELD_MOVED = "count", "hand", "turn", "nap", "held moved"
"""Names of the rules that follow; their rows are in `rules`."""

TURN_SLACK = 1e-6
"""Degrees by which a turn may differ from an allowed one."""
PLACE_SLACK = 1e-5
"""mm by which a held part may have moved: rounding of coordinates, not cloth."""


def wrong_counts(
    job: Job, placements: Iterable[Placement], left_over: Iterable[LeftOver]
) -> list[Violation]:
    """Rule "count": every copy is there exactly once; only a fixed length may leave some over."""
    wanted = {(piece.id, copy): piece for piece in job.pieces for copy in piece.numbers}
    seen: dict[tuple[str, int], int] = {}
    cloths = max(1, len(job.fabrics))
    found = []

    def amiss(piece: str, copies: Sequence[int], what: str) -> None:
        keys = tuple(part_key(piece, copy) for copy in copies)
        sentence = f"Copy {numbers(copies)} of piece “{piece}” {what}."
        found.append(Violation(COUNT, keys, float(len(copies)), sentence))

    for spot in placements:
        for copy in spot.copies:
            seen[spot.piece, copy] = seen.get((spot.piece, copy), 0) + 1
        if not 1 <= spot.fabric <= cloths:
            amiss(spot.piece, spot.copies, f"lies on cloth {spot.fabric}, but there are {cloths}")
        if len(spot.copies) != spot.layers:
            through = "a single layer" if spot.layers == 1 else f"{spot.layers} layers"
            amiss(spot.piece, spot.copies, f"cannot be cut by one part of {through}")
        elif spot.copies and (spot.piece, spot.copies[0]) in wanted:
            cut = wanted[spot.piece, spot.copies[0]].cut
            if spot.garment != (spot.copies[0] - 1) // cut + 1:
                amiss(spot.piece, spot.copies, f"does not belong to garment {spot.garment}")
    for rest in left_over:
        for copy in rest.copies:
            seen[rest.piece, copy] = seen.get((rest.piece, copy), 0) + 1
        if job.fabric.length is None:
            amiss(rest.piece, rest.copies, "is left over although the cloth is long enough")
    missing: dict[str, list[int]] = {}
    for piece, copy in wanted:
        if (piece, copy) not in seen:
            missing.setdefault(piece, []).append(copy)
    for piece, copies in missing.items():
        amiss(piece, copies, "is missing")
    for (piece, copy), times in seen.items():
        if (piece, copy) not in wanted:
            amiss(piece, [copy], "was not asked for")
        elif times > 1:
            amiss(piece, [copy], f"is there {times} times")
    return found


def wrong_hands(pieces: Mapping[str, Piece], placements: Iterable[Placement]) -> list[Violation]:
    """Rule "hand": in each garment half the copies of a mirrored piece are flipped, else none.

    With an odd count the odd one is as drawn; with either side up, copies beyond the pairs may be
    flipped. When some copies are left over neither hand has more copies than the whole garment
    would.
    """
    groups: dict[tuple[str, int], list[Placement]] = {}
    for spot in placements:
        garment = (min(spot.copies, default=1) - 1) // pieces[spot.piece].cut + 1
        groups.setdefault((spot.piece, garment), []).append(spot)
    found = []
    for (name, garment), group in groups.items():
        piece = pieces[name]
        pairs = piece.cut // 2 if piece.hand == "mirrored" and piece.fold is None else 0
        most = piece.cut - pairs if piece.either_side else pairs
        flipped = sum(len(spot.copies) for spot in group if spot.flip)
        drawn = sum(len(spot.copies) for spot in group if not spot.flip)
        amount = max(flipped - most, drawn - (piece.cut - pairs))
        if amount > 0:
            keys = tuple(key for spot in group for key in keys_of(spot))
            needed = min(max(flipped, pairs), most)
            sentence = (
                f"Of {piece.label} garment {garment} has {flipped} mirrored and {drawn} as drawn, "
                f"but it needs {needed} and {piece.cut - needed}: {_remedy(group, amount)}."
            )
            found.append(Violation(HAND, keys, float(amount), sentence))
    return found


def _remedy(group: Sequence[Placement], amount: int) -> str:
    """Return what puts the hands of a garment right."""
    if any(spot.layers > 1 for spot in group):
        return "two layers cut one of each, so lay them on one layer"
    return f"flip {amount}"


def moved_though_held(
    held: Iterable[Placement], placements: Iterable[Placement]
) -> list[Violation]:
    """Rule "held moved": what was held lies exactly where it lay."""
    now = {(spot.piece, spot.copies): spot for spot in placements}
    found = []
    for spot in held:
        other = now.get((spot.piece, spot.copies))
        amount = math.inf if other is None else math.hypot(other.x - spot.x, other.y - spot.y)
        turned = other is not None and (other.turn, other.flip) != (spot.turn, spot.flip)
        elsewhere = other is not None and _layers_of(other) != _layers_of(spot)
        if turned or elsewhere or not amount <= PLACE_SLACK:
            sentence = f"Copy {numbers(spot.copies)} of piece “{spot.piece}” is held, but was "
            sentence += "turned: put it back." if turned else "moved: put it back."
            found.append(Violation(HELD_MOVED, keys_of(spot), amount, sentence))
    return found


def _layers_of(spot: Placement) -> tuple[int, int, bool]:
    """Return where on folded cloth a part lies, its place aside."""
    return spot.section, spot.layers, spot.on_fold


def wrong_turns(pieces: Mapping[str, Piece], placements: Iterable[Placement]) -> list[Violation]:
    """Rule "turn": every part lies in one of its piece's turns, within its off-grain consent."""
    return _astray(
        TURN,
        pieces,
        placements,
        lambda piece: piece.turns,
        "its grainline is not where the piece allows it",
    )


def against_the_nap(
    fabric: Fabric,
    pieces: Mapping[str, Piece],
    placements: Iterable[Placement],
    remedy: str = "turn it back",
) -> list[Violation]:
    """Rule "nap": with nap the top of every part lies the same way, unless its piece is free."""
    if not fabric.nap:
        return []
    bound = [spot for spot in placements if not pieces[spot.piece].turns_on_nap]
    return _astray(NAP, pieces, bound, lambda _: (0.0,), "it does not run with the nap", remedy)


def _astray(
    kind: str,
    pieces: Mapping[str, Piece],
    placements: Iterable[Placement],
    allowed: Callable[[Piece], Iterable[float]],
    why: str,
    remedy: str = "turn it back",
) -> list[Violation]:
    """Return the placements that are turned too far from every allowed turn."""
    found = []
    for spot in placements:
        piece = pieces[spot.piece]
        away = [abs((spot.turn - turn + 180.0) % 360.0 - 180.0) for turn in allowed(piece)]
        amount = min(away, default=360.0) - piece.off_grain
        if not amount <= TURN_SLACK:
            sentence = (
                f"Copy {numbers(spot.copies)} of {piece.label} lies turned by "
                f"{figure(spot.turn)}°, so {why}: {remedy}."
            )
            found.append(Violation(kind, keys_of(spot), amount, sentence))
    return found
