# SPDX-License-Identifier: GPL-2.0-or-later
"""Match points on cloth with a repeat: which phases hang together, and where parts may lie by them.

The phase of a group of match points is where they lie in the repeat as the garment shows it: how
far beyond a dominant line, in the direction of the piece's own length, or of its own width. Turning
a part round, or over, reverses that on the cloth. An even design has a dominant line's mirror image
on its other side, so a mirrored copy has its match points where the pair's other half has them,
mirrored; an uneven one has no such place, and mirrored copies have the point itself in one place.

A piece with points of several groups ties these together: moved by one phase, all move. What hangs
together is a *tie*; each tie has one phase that the search is free to choose, unless a group lies
on a line, or between two.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from nesting.cloth.hands import hands_of
from nesting.cloth.rooms import ANYWHERE, Axis, Room
from nesting.errors import JobError
from nesting.geometry.lying import Orientation
from nesting.geometry.shapes import placement_matrix
from nesting.model import Fabric, Job, Match, Piece, Placement, Repeat

ALIKE = 0.5
"""mm by which match points may be off: less than the eye sees, more than a drawing's own errors."""
AXES = ("along", "across")

Group = tuple[int, str]
"""An axis (0 along the cloth, 1 across it) and the name of a group."""


@dataclass(frozen=True, slots=True)
class Tie:
    """Groups that hang together on one axis: the shift of each against the tie's phase, mm.

    `fixed` is the phase where a line decides it.
    """

    axis: int
    shifts: Mapping[str, float]
    fixed: float | None


class Design:
    """The match points of a job and how they hang together.

    Raises JobError when points contradict each other.
    """

    def __init__(self, job: Job) -> None:
        repeat = job.fabric.repeat or Repeat()
        self.repeat = repeat
        self.periods = (repeat.along, repeat.across)
        self._fabric = job.fabric
        self._points = {piece.id: tuple(self._points_of(piece)) for piece in job.pieces}
        self._pieces = [piece for piece in job.pieces if self._points[piece.id]]
        self.ties = tuple(tie for axis in (0, 1) for tie in self._tied(axis))
        self._tie_of = {
            (tie.axis, group): number
            for number, tie in enumerate(self.ties)
            for group in tie.shifts
        }
        for piece in self._pieces:
            self._check_mirrored(piece)

    @property
    def first_phases(self) -> tuple[float, ...]:
        """A phase for each tie to begin with, mm."""
        return tuple(0.0 if tie.fixed is None else tie.fixed for tie in self.ties)

    def is_tied(self, piece: Piece) -> bool:
        """Return whether a piece has match points that say where it may lie."""
        return any((axis, match.group) in self._tie_of for axis, match, _ in self._points[piece.id])

    def allows(self, piece: Piece, turn: float) -> bool:
        """Return whether a piece may be turned so: not at all, or quite round on an even design."""
        if not self.is_tied(piece):
            return True
        return turn == 0.0 or (turn == 180.0 and self.repeat.even)

    def goes_double(self, piece: Piece, fold: float | None) -> bool:
        """Return whether both layers show the design alike where a fold of the cloth is, mm.

        Any design does without a repeat across. Else only even ones do, where the fold lies on a
        dominant line or midway; in a half-drop not midway, since rows change places there.
        """
        if not self.is_tied(piece):
            return True
        if fold is None or (self.repeat.across and not self.repeat.even):
            return False
        step = self.fold_step
        off = fold - self.repeat.first
        return not step or 2.0 * abs(off - step * round(off / step)) <= ALIKE

    @property
    def fold_step(self) -> float:
        """How far apart the folds are, mm, at which both layers show an even design alike.

        One of them is at the first line; 0 where it makes no odds.
        """
        if not self.repeat.even:
            return 0.0
        return self.repeat.across * (1.0 if self.repeat.half_drop else 0.5)

    def steps(self, piece: Piece, lying: Orientation, phases: Sequence[float]) -> Iterator[Room]:
        """Yield where a piece's spot may be by its match points, given the phase of each tie.

        More than one room where a half-drop has two rows of repeats; none where the points of the
        piece contradict each other in this orientation.
        """
        spots: list[list[float]] = [[], []]
        for axis, match, at in self._points[piece.id]:
            number = self._tie_of.get((axis, match.group))
            if number is None:
                continue
            phase = phases[number] + self.ties[number].shifts[match.group]
            spots[axis].append(self._spot(axis, lying, phase, at))
        if self.repeat.half_drop and all(spots):
            yield from self._rows(*spots)
            return
        for axis, found in enumerate(spots):
            if found and max(self.off(axis, one - found[0]) for one in found) > ALIKE:
                return
        axes = [
            Axis(period=period, phase=found[0] % period) if found else ANYWHERE
            for period, found in zip(self.periods, spots, strict=True)
        ]
        yield Room(axes[0], axes[1])

    def _rows(self, xs: Sequence[float], ys: Sequence[float]) -> Iterator[Room]:
        """Yield where a spot may be in a half-drop: in rows like the one of its points, and others.

        `xs` and `ys` are where each point would have it. They are not reduced to one repeat: which
        row a point is in says how far along it is.
        """
        along, across = self.periods
        for x, y in zip(xs, ys, strict=True):
            row = round((y - ys[0]) / across)
            lies = x - xs[0] - (row % 2) * along / 2.0
            if self.off(0, lies) > ALIKE or self.off(1, y - ys[0]) > ALIKE:
                return
        for row in (0, 1):
            yield Room(
                Axis(period=along, phase=(xs[0] + row * along / 2.0) % along),
                Axis(period=2.0 * across, phase=(ys[0] + row * across) % (2.0 * across)),
            )

    def phase_at(self, tie: int, piece: Piece, lying: Orientation, spot: float) -> float | None:
        """Return the phase of a tie that a piece has when its spot on that axis is at `spot` mm."""
        axis = self.ties[tie].axis
        for own, match, at in self._points[piece.id]:
            if own == axis and self._tie_of.get((own, match.group)) == tie:
                first = self.repeat.first if axis else 0.0
                lies = spot + self._own_sign(axis, lying) * at - first
                phase = self._sign(axis, lying) * lies
                return (phase - self.ties[tie].shifts[match.group]) % self.periods[axis]
        return None

    def phases_in(self, placements: Sequence[Placement]) -> tuple[float, ...]:
        """Return the phase of each tie, mm, on which most of the parts lie that hang on it."""
        pieces = {piece.id: piece for piece in self._pieces}
        found = list(self.first_phases)
        # Across first: in a half-drop that says in which row a part is.
        for number, tie in reversed(list(enumerate(self.ties))):
            if tie.fixed is not None:
                continue
            seen = [
                self._phase_of(number, pieces[spot.piece], spot, found)
                for spot in placements
                if spot.piece in pieces
            ]
            found[number] = self._commonest(tie, [phase for phase in seen if phase is not None])
        return tuple(found)

    def _phase_of(
        self, tie: int, piece: Piece, spot: Placement, phases: Sequence[float]
    ) -> float | None:
        """Return the phase of a tie that a part has; `phases` are those known by now."""
        lying = Orientation(spot.turn % 360.0, spot.flip)
        if self.ties[tie].axis:
            return self.phase_at(tie, piece, lying, spot.y)
        shift = self._row(piece, lying, spot.y, phases) % 2 * self.repeat.along / 2.0
        return self.phase_at(tie, piece, lying, spot.x - shift)

    def _row(self, piece: Piece, lying: Orientation, y: float, phases: Sequence[float]) -> int:
        """Return in which row of a half-drop a piece's spot is, from the one its phase gives."""
        for axis, match, at in self._points[piece.id] if self.repeat.half_drop else ():
            number = self._tie_of.get((axis, match.group))
            if axis and number is not None:
                phase = phases[number] + self.ties[number].shifts[match.group]
                return round((y - self._spot(axis, lying, phase, at)) / self.repeat.across)
        return 0

    def _commonest(self, tie: Tie, phases: Sequence[float]) -> float:
        """Return that of some phases with which most of the others agree."""

        def agreeing(phase: float) -> int:
            return sum(self.off(tie.axis, phase - other) <= ALIKE for other in phases)

        return max(phases, key=agreeing, default=0.0)

    def off(self, axis: int, distance: float) -> float:
        """Return how far a distance is from whole repeats, mm."""
        period = self.periods[axis]
        return abs(distance - period * round(distance / period))

    # --- points and ties ------------------------------------------------------------------------

    def _points_of(self, piece: Piece) -> Iterator[tuple[int, Match, float]]:
        """Yield for each match point and axis that counts where it is on the upright piece, mm."""
        matrix = placement_matrix(piece.grain, 0.0, False)
        for match in piece.match:
            at = matrix @ np.array(match.point)
            for axis, name in enumerate(AXES):
                # A half-drop ties both ways: which row it is decides where the next one begins.
                counts = match.axes in ("both", name) or self.repeat.half_drop
                if self.periods[axis] and counts:
                    yield axis, match, float(at[axis])

    def _tied(self, axis: int) -> Iterator[Tie]:
        """Yield the ties of one axis. Raises JobError when points contradict each other."""
        shifts: dict[str, tuple[str, float]] = {}

        def root(group: str) -> tuple[str, float]:
            parent, shift = shifts.setdefault(group, (group, 0.0))
            if parent == group:
                return group, 0.0
            above, more = root(parent)
            return above, shift + more

        for piece in self._pieces:
            own = [(match, at) for k, match, at in self._points[piece.id] if k == axis]
            for match, at in own:
                (one, near), (other, far) = root(own[0][0].group), root(match.group)
                # On one piece the second group lies as much farther as its point does.
                apart = (near + at - own[0][1]) - far
                if one == other:
                    if self.off(axis, apart) > ALIKE:
                        raise _contradiction(piece, own[0][0], match, self.off(axis, apart))
                else:
                    shifts[other] = (one, apart)
        members: dict[str, dict[str, float]] = {}
        for group in shifts:
            top, shift = root(group)
            members.setdefault(top, {})[group] = shift
        for groups in members.values():
            fixed = self._fixed(axis, groups)
            if fixed is not None or self._copies(axis, groups) > 1:
                yield Tie(axis, groups, fixed)

    def _fixed(self, axis: int, groups: Mapping[str, float]) -> float | None:
        """Return the phase that lines give some groups; JobError when they do not agree."""
        found: float | None = None
        for piece in self._pieces:
            for own, match, _ in self._points[piece.id]:
                if own != axis or match.group not in groups or not match.on:
                    continue
                lies = 0.0 if match.on == "line" else self.periods[axis] / 2.0
                phase = lies - groups[match.group]
                if found is not None and self.off(axis, phase - found) > ALIKE:
                    raise _contradiction(piece, match, match, self.off(axis, phase - found))
                found = phase if found is None else found
        return found

    def _copies(self, axis: int, groups: Mapping[str, float]) -> int:
        """Return how many copies have a point of some groups."""
        return sum(
            len(piece.numbers)
            for piece in self._pieces
            if any(k == axis and match.group in groups for k, match, _ in self._points[piece.id])
        )

    def _check_mirrored(self, piece: Piece) -> None:
        """Raise JobError for points that mirrored copies cannot have where the others have them.

        On an uneven design a copy in the mirror has them the other way round, but not the design.
        """
        if self.repeat.even or self.repeat.half_drop:
            return
        if (True,) not in (hands_of(piece, copy) for copy in piece.numbers):
            return
        points = [
            (match, at)
            for axis, match, at in self._points[piece.id]
            if axis and (axis, match.group) in self._tie_of
        ]
        for match, at in points[1:]:
            off = self.off(1, 2.0 * (at - points[0][1]))
            if off > ALIKE:
                raise JobError(
                    f"The match points “{points[0][0].group}” and “{match.group}” of {piece.label} "
                    "cannot both match across on its mirrored copies: an uneven design is not "
                    f"mirrored with them, and they come to lie {off:.1f} mm off. Let one of them "
                    "match along alone, or cut all copies alike.",
                    piece.id,
                )

    # --- signs ----------------------------------------------------------------------------------

    def _spot(self, axis: int, lying: Orientation, phase: float, at: float) -> float:
        """Return a spot on an axis at which a point of a piece has a phase, mm."""
        first = self.repeat.first if axis else 0.0
        return self._sign(axis, lying) * phase + first - self._own_sign(axis, lying) * at

    def _own_sign(self, axis: int, lying: Orientation) -> float:
        """Return which way a piece's own length, or width, runs on the cloth."""
        sign = -1.0 if lying.turn == 180.0 else 1.0
        return -sign if axis and lying.flip else sign

    def _sign(self, axis: int, lying: Orientation) -> float:
        """Return which way the piece's length or width sees the repeat."""
        return self._own_sign(axis, lying) if self.repeat.even else 1.0


def _contradiction(piece: Piece, one: Match, other: Match, off: float) -> JobError:
    """Return the fault that match points of a piece cannot all lie as their groups do."""
    if one is other:
        return JobError(
            f"The match point “{one.group}” of {piece.label} cannot lie on its line: other points "
            f"that hang together with it are {off:.1f} mm off. Move one of them, or let it go.",
            piece.id,
        )
    return JobError(
        f"The match points “{one.group}” and “{other.group}” of {piece.label} are {off:.1f} mm off "
        "those of other pieces: they cannot both match. Move one of them, or let it go.",
        piece.id,
    )


def matches_along(repeat: Repeat | None, piece: Piece) -> bool:
    """Return whether where a piece lies along the cloth is bound to the design."""
    return (
        repeat is not None
        and repeat.along > 0.0
        and any(match.axes in ("both", "along") or repeat.half_drop for match in piece.match)
    )


def has_match(fabric: Fabric, pieces: Sequence[Piece]) -> bool:
    """Return whether cloth has a repeat that some piece has to match."""
    return fabric.repeat is not None and any(piece.match for piece in pieces)
