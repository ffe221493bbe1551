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
from nesting.cloth.hands import hands_of, may_go_double


@dataclass(frozen=True, eq=False, slots=True)
class Assigned:
    """A part with the copies it cuts and the pose it is seen in, None when its outline is unknown.

    On one layer a part cuts one copy, whatever it is noted as; on two it cuts two, and has fewer
    here where no more are needed.
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
    def cuts_too_many(self) -> bool:
        """Whether it lies on more layers than copies are needed of it."""
        return len(self.copies) < copies_cut(self.part)

    @property
    def label(self) -> str:
        """How sentences name a part of a known piece."""
        assert self.part.cut is not None
        return self.part.cut.label_of(self.copies)


def copies_cut(part: LaidPart) -> int:
    """Return how many copies a part cuts where it lies.

    Of what is not recognised nobody knows whether it is a half, which is cut once on the fold.
    """
    return 1 if part.on_fold or not part.poses else part.spot.layers


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
        self.free = sorted(cut.piece.numbers, key=lambda copy: len(self._hands(copy)))
        self.left = list(parts)
        self.assigned: list[Assigned] = []
        # Parts that lie astray come last: what lies on the cloth is meant.
        self.left.sort(key=lambda part: bool(part.found.astray))
        double = [part for part in self.left if part.spot.layers == 2 and not part.on_fold]
        self._pair_own(double)
        self._take_own()
        self._pair(double)
        self._take(lambda part, copy: _best(part, self._hands(copy), only=True))
        self._take(lambda part, copy: _best(part, self._hands(copy), only=False))
        self._take(lambda part, copy: part.poses[0] if part.poses else None)
        for part in [part for part in self.left if not part.poses][: len(self.free)]:
            self._give(part, (self.free[0],), None)

    def _hands(self, copy: int) -> tuple[bool, ...]:
        """Return whether a copy is the mirrored one, or may be."""
        return hands_of(self._piece, copy)

    def _pair_own(self, double: Sequence[LaidPart]) -> None:
        """Let parts on two layers be the two copies they are noted as."""
        for part in double:
            copies = part.found.copies
            if len(copies) == 2 and copies[0] != copies[1] and set(copies) <= set(self.free):
                self._give_pair(part, (copies[0], copies[1]))

    def _pair(self, double: Sequence[LaidPart]) -> None:
        """Let parts on two layers be any two free copies that can be cut at once."""
        for part in [part for part in double if part in self.left]:
            pair = self._free_pair()
            if pair is not None:
                self._give_pair(part, pair)

    def _free_pair(self) -> tuple[int, int] | None:
        """Return two free copies that may be cut at once, those of the lowest numbers."""
        free = sorted(self.free)
        up = [copy for copy in free if False in self._hands(copy)]
        down = [copy for copy in free if True in self._hands(copy)]
        if up and down and (up[0] != down[0] or len(down) > 1):
            return up[0], next(copy for copy in down if copy != up[0])
        return (free[0], free[1]) if len(free) > 1 else None

    def _give_pair(self, part: LaidPart, copies: tuple[int, int]) -> None:
        """Make a part two copies, if these can be cut at once."""
        if may_go_double(self._piece, copies):
            self._give(part, copies, part.poses[0] if part.poses else None)

    def _take_own(self) -> None:
        """Let parts be the copy they are noted as, where their hand is that copy's."""
        for part in list(self.left):
            copy = part.found.copies[0] if part.found.copies else 0
            if copy not in self.free or (part.spot.layers == 2 and not part.on_fold):
                continue
            pose = _best(part, self._hands(copy), only=False)
            if pose is not None or not part.poses:
                self._give(part, (copy,), pose)

    def _take(self, pose_of: Callable[[LaidPart, int], Pose | None]) -> None:
        """Let parts be any free copy for which they have a pose."""
        for part in list(self.left):
            for copy in self.free:
                pose = pose_of(part, copy)
                if pose is not None:
                    self._give(part, (copy,), pose)
                    break

    def _give(self, part: LaidPart, copies: tuple[int, ...], pose: Pose | None) -> None:
        """Make a part some copies."""
        self.assigned.append(Assigned(part, copies, pose))
        self.left.remove(part)
        for copy in copies:
            self.free.remove(copy)


def _best(part: LaidPart, hands: Sequence[bool], *, only: bool) -> Pose | None:
    """Return the best pose of some hands; with `only`, of a part that has no other hand."""
    poses = [pose for pose in part.poses if part.cuts_flipped(pose) in hands]
    if not poses or (only and len(poses) < len(part.poses)):
        return None
    return poses[0]
