# SPDX-License-Identifier: GPL-2.0-or-later
"""What was read from a sheet: plain data between reading it and writing it down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from shapely.geometry.base import BaseGeometry

from extension.pieces.attributes import PieceDetails, Role
from extension.pieces.cutlist import Demand
from extension.pieces.objects import given_name, piece_called
from extension.pieces.outlines import ClosedShape
from extension.svg.model import Leaf
from nesting.model import Axes, Point


@dataclass(frozen=True, eq=False, slots=True)
class NewLine:
    """A line to draw because no drawn one says it: a grainline or a fold edge, page mm."""

    role: Role
    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class Source:
    """Something that a piece was read from: as a person sees it, and its words or its id."""

    seen: str
    named: str


@dataclass(frozen=True, eq=False, slots=True)
class Proposal:
    """One piece as read.

    `attributes` are to be written on it; `details` are those that hold then, her own among them.
    `grain` is in piece coordinates (degrees, y up, towards the top), None when nothing tells it.
    `sources` are what it was read from. `wants` says what to look at. `crossing` is where the
    outline crosses itself, page mm, None where it does not. `seam` says how far inside a line runs
    that is taken for the stitching line, mm, None where there is none.
    """

    id: str
    leaf: Leaf
    shape: ClosedShape
    name: str
    size: str | None
    grain: float | None
    fold: bool
    top_certain: bool
    details: PieceDetails
    attributes: Mapping[str, str]
    sources: tuple[Source, ...]
    wants: tuple[str, ...]
    lines: tuple[NewLine, ...] = ()
    crossing: Point | None = None
    seam: float | None = None

    @property
    def called(self) -> str:
        """What messages call it."""
        return piece_called(self.leaf, self.id, self._given)

    @property
    def listed(self) -> str:
        """What lists call it: its name, or what is seen of a piece without one."""
        return self._given or self.called

    @property
    def is_named(self) -> bool:
        """Return whether it has a name."""
        return bool(self._given)

    @property
    def _given(self) -> str:
        return self.attributes.get("name") or self.details.name or given_name(self.leaf)

    @property
    def demands(self) -> tuple[Demand, ...]:
        """What is cut of it, per garment."""
        return self.details.demands

    @property
    def is_complete(self) -> bool:
        """Return whether nothing about it is left to look at."""
        return not self.wants


@dataclass(frozen=True, eq=False, slots=True)
class ProposedMatch:
    """A match point that two notches suggest: a group, and in which direction it counts.

    `pieces` are their names, `leaves` the strokes that would carry it and `points` where the
    notches are, mm on the page; `why` says what tells that they meet.
    """

    group: str
    axes: Axes
    pieces: tuple[str, str]
    leaves: tuple[Leaf, Leaf]
    points: tuple[Point, Point]
    why: str

    @property
    def value(self) -> str:
        """What `lay:match` would say."""
        return self.group if self.axes == "both" else f"{self.group} {self.axes}"


@dataclass(frozen=True, eq=False, slots=True)
class Proposals:
    """All that was read from a sheet.

    `roles` are the roles of drawn lines, to be written on them; `sizes` the sizes of outlines and
    lines that are no pieces. `unread` are words that nothing was made of, `questions` what only
    she can say.
    """

    pieces: tuple[Proposal, ...]
    roles: Mapping[Leaf, Role]
    unread: tuple[str, ...]
    questions: tuple[str, ...]
    of_pieces: tuple[str, ...] = field(default=())
    """Those of the questions that say what to look at on a piece."""
    matches: tuple[ProposedMatch, ...] = ()
    """The match points that notches suggest."""
    of_notches: tuple[str, ...] = ()
    """What only she can say of other notches."""
    sets_matches: bool = False
    """Whether they are set, because she asked for it."""
    unclosed: tuple[BaseGeometry, ...] = ()
    """Where labels stand within outlines that are not closed, page mm."""
    crossed: tuple[Point, ...] = ()
    """Where outlines that are no pieces cross themselves, page mm."""

    @property
    def crossings(self) -> tuple[Point, ...]:
        """Return where outlines cross themselves, page mm, those of pieces first."""
        own = (piece.crossing for piece in self.pieces if piece.crossing is not None)
        return *own, *self.crossed
