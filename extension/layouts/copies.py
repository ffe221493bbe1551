# SPDX-License-Identifier: GPL-2.0-or-later
"""Which copies of its piece each part on a layout cuts; what is missing, and what is too much.

Copies of a hand are as good as each other: a part keeps the copy it is noted as when that can be,
else takes one that is free. So a duplicate that replaces a deleted part is no fault.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from extension.job.plan import Cut
from extension.layouts.recognise import LaidPart, Pose
from nesting.cloth.hands import hands_of


@dataclass(frozen=True, eq=False, slots=True)
class Assigned:
    """A part with the copies it cuts and the pose it is seen in, None when its outline is unknown.

    On open cloth a part cuts one copy, whatever it is noted as.
    """

    part: LaidPart
    copies: tuple[int, ...]
    pose: Pose | None

    @property
    def hands(self) -> set[bool]:
        """The ways, flipped or not, in which a part of a known piece cuts one of its copies."""
        assert self.part.cut is not None
        piece = self.part.cut.piece
        return {hand for copy in self.copies for hand in hands_of(piece, copy)}

    @property
    def label(self) -> str:
        """How sentences name a part of a known piece."""
        assert self.part.cut is not None
        return self.part.cut.label_of(self.copies)


@dataclass(frozen=True, eq=False, slots=True)
class Tally:
    """The parts of a layout by copies: `missing` holds a piece's copies that no part is."""

    assigned: tuple[Assigned, ...]
    surplus: tuple[LaidPart, ...]
    missing: Mapping[str, tuple[int, ...]]


def tally(cuts: Mapping[str, Cut], parts: Sequence[LaidPart]) -> Tally:
    """Return which copies the parts cut, in the order of the parts."""
    assigned: list[Assigned] = []
    surplus: list[LaidPart] = []
    missing: dict[str, tuple[int, ...]] = {}
    for id_, cut in cuts.items():
        own = [part for part in parts if part.cut is not None and part.cut.piece.id == id_]
        counter = _Counter(cut, own)
        assigned += counter.assigned
        surplus += counter.left
        if counter.free:
            missing[id_] = tuple(sorted(counter.free))
    surplus += [part for part in parts if part.cut is None and part.trouble == "not asked for"]
    place = {id(part): number for number, part in enumerate(parts)}
    assigned.sort(key=lambda one: place[id(one.part)])
    surplus.sort(key=lambda part: place[id(part)])
    return Tally(tuple(assigned), tuple(surplus), missing)


class _Counter:
    """Gives the copies of one piece to its parts: the strictest claim first."""

    def __init__(self, cut: Cut, parts: Sequence[LaidPart]) -> None:
        self._piece = cut.piece
        # Copies that may lie either way come last: they take what is left.
        copies = range(1, cut.copies + 1)
        self.free = sorted(copies, key=lambda copy: len(self._hands(copy)))
        self.left = list(parts)
        self.assigned: list[Assigned] = []
        # Parts that lie astray come last: what lies on the cloth is meant.
        self.left.sort(key=lambda part: bool(part.found.astray))
        self._take_own()
        self._take(lambda part, copy: _best(part, self._hands(copy), only=True))
        self._take(lambda part, copy: _best(part, self._hands(copy), only=False))
        self._take(lambda part, copy: part.poses[0] if part.poses else None)
        for part in [part for part in self.left if not part.poses][: len(self.free)]:
            self._give(part, self.free[0], None)

    def _hands(self, copy: int) -> tuple[bool, ...]:
        """Return whether a copy is the mirrored one, or may be."""
        return hands_of(self._piece, copy)

    def _take_own(self) -> None:
        """Let parts be the copy they are noted as, where their hand is that copy's."""
        for part in list(self.left):
            copy = part.found.copies[0] if part.found.copies else 0
            if copy not in self.free:
                continue
            pose = _best(part, self._hands(copy), only=False)
            if pose is not None or not part.poses:
                self._give(part, copy, pose)

    def _take(self, pose_of: Callable[[LaidPart, int], Pose | None]) -> None:
        """Let parts be any free copy for which they have a pose."""
        for part in list(self.left):
            for copy in self.free:
                pose = pose_of(part, copy)
                if pose is not None:
                    self._give(part, copy, pose)
                    break

    def _give(self, part: LaidPart, copy: int, pose: Pose | None) -> None:
        """Make a part a copy."""
        self.assigned.append(Assigned(part, (copy,), pose))
        self.left.remove(part)
        self.free.remove(copy)


def _best(part: LaidPart, hands: Sequence[bool], *, only: bool) -> Pose | None:
    """Return the best pose of some hands; with `only`, of a part that has no other hand."""
    poses = [pose for pose in part.poses if pose.flip in hands]
    if not poses or (only and len(poses) < len(part.poses)):
        return None
    return poses[0]
