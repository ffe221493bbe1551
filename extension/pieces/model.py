# SPDX-License-Identifier: GPL-2.0-or-later
"""What has been read from a drawing: plain frozen data that reading, planning and writing share.

Two frames meet here. *Page* coordinates are millimetres as the drawing shows them, y down.
*Piece* coordinates are (x, -y) of the page, y up, as the engine wants them: the piece is seen
in the layout as it is seen in the drawing, never mirrored.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from extension.pieces.attributes import PieceDetails, Role
from extension.pieces.cutlist import Demand
from extension.svg.model import Leaf, LeftOut
from nesting.model import Match, Outline, Point


@dataclass(frozen=True, eq=False, slots=True)
class Mark:
    """A thing that travels with a piece: its outline, grainline, notch, text, inner line.

    `one_side`: drawn on one half only and not doubled when the piece is unfolded.
    """

    leaf: Leaf
    role: Role
    one_side: bool = False
    allowance: float | None = None
    """Of a line along an edge: what is added there, mm."""


@dataclass(frozen=True, slots=True)
class Edge:
    """A stretch of an outline with a seam allowance of its own, mm; `line` in piece coordinates."""

    name: str
    allowance: float
    line: Outline
    seen: str = ""
    """How messages call the line along it where that has no name."""

    @property
    def called(self) -> str:
        """What messages call the line along it."""
        return self.seen or f"“{self.name}”"


@dataclass(frozen=True, slots=True)
class MatchPoint:
    """A point that has to lie in the design as its group does, in piece coordinates.

    `lies`: where a mark is, on the stitching line beside it, drawn or inside the cutting line by
    what a label names, or on the cutting line, or on the grainline or fold edge; `moved` is how
    far it is from the cutting line there, mm.
    """

    match: Match
    lies: Literal["mark", "stitching", "labelled", "cutting", "line"]
    moved: float = 0.0


@dataclass(frozen=True, eq=False, slots=True)
class DrawnPiece:
    """One pattern piece as read from the drawing. Outlines, fold and grain in piece coordinates.

    `outline` is as drawn (a half when `fold` is set); `cutting` is what is laid: the same, or
    grown by the seam allowance on every edge but the fold (then the fold's ends move with it).
    `grain` points to the top of the piece, degrees, y up; None when nothing tells it and she
    asked to leave such pieces out. `top_certain` is False when the evidence for the top is
    missing or contradicts itself. `details` is what its attributes say, all of it as it was parsed;
    `name` is what it goes by, given to it (`is_named`) or not, and `size` its own or that of its
    layer; `label` is how messages call it.
    """

    id: str
    name: str
    label: str
    size: str | None
    outline: Outline
    cutting: Outline
    fold: tuple[Point, Point] | None
    grain: float
    grain_from: Literal["grainline", "typed", "fold", "drawing", "as drawn"]
    top_certain: bool
    details: PieceDetails
    allowance: float
    """Seam allowance that was added, mm; 0 when the outline is the cutting line."""
    marks: tuple[Mark, ...]
    notes: tuple[str, ...] = ()
    symmetric: bool = False
    """Whether it is its own mirror image about the grain, marks and all: copies have no hand."""
    handed: bool = False
    """Whether marks alone give it a left and a right: what is cut of it, opened out, has none."""

    matched: tuple[MatchPoint, ...] = ()
    """What has to lie in the design of the cloth as other points do."""
    edges: tuple[Edge, ...] = ()
    """Edges where another seam allowance was added than on the others."""
    is_named: bool = True

    @property
    def called(self) -> str:
        """What lists call it: its name, or what is seen of a piece without one."""
        return self.name if self.is_named else self.label

    @property
    def is_grown(self) -> bool:
        """Whether the cutting line is another one than the outline as drawn."""
        return bool(self.allowance) or any(edge.allowance for edge in self.edges)

    @property
    def demands(self) -> tuple[Demand, ...]:
        """What is cut of it, per garment."""
        return self.details.demands


@dataclass(frozen=True, eq=False, slots=True)
class Reading:
    """All that was read of one drawing for one run."""

    pieces: tuple[DrawnPiece, ...]
    left_out: tuple[LeftOut, ...]
    notes: tuple[str, ...]
    sizes: tuple[str, ...]
    """Every size found in the drawing, in document order."""
