# SPDX-License-Identifier: GPL-2.0-or-later
"""What goes into the engine and what comes out: plain frozen data, no behaviour beyond counting.

Frame: length of the fabric = x, width = y, selvedges at y = 0 and y = width, millimetres,
degrees counter-clockwise. An outline is a tuple of (x, y) points without a repeated last point.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal

Point = tuple[float, float]
Outline = tuple[Point, ...]
Hand = Literal["mirrored", "same"]
Sides = Literal["together", "apart"]
Axes = Literal["both", "along", "across"]
On = Literal["", "line", "between"]
Lot = Literal["", "piece", "garment"]
"""What is cut from one piece of cloth, so that it is of one dye lot: whatever is best, all copies
of a piece in a garment, or all of a garment."""
Edge = Literal["", "hem", "top", "left", "right"]
"""An edge of a piece as one looks at it with its top up; "" for none."""
EDGE_WORDS: Mapping[Edge, str] = {
    "hem": "hem",
    "top": "top edge",
    "left": "left side",
    "right": "right side",
}
"""How sentences call the edges."""


MOST_COPIES = 999
"""Largest cut count per garment, and largest number of garments."""
MOST_OFF_GRAIN = 45.0
"""Degrees."""
MOST_PRIORITY = 1e6


@dataclass(frozen=True, slots=True)
class Limits:
    """How sentences call a value, and what it may be beyond its type, both bounds included.

    Stands beside the type of a field; `jobs/validation.py` holds every field to its own. Text with
    `low` 1 is not empty; what is true, false or one of some words has no bounds.
    """

    what: str
    low: float = 0.0
    high: float = 0.0
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """A length of cloth that lies in one spread.

    `lower` and `upper` are how deep, mm, the cloth is folded in from the lower and the upper
    selvedge; in a job None is as deep as is best. `crosswise` is the far half turned back over the
    near one; where that was cut off along the fold and turned round, so that the nap of both
    layers runs one way, it is `turned` as well.
    """

    lower: float | None = 0.0
    upper: float | None = 0.0
    crosswise: bool = False
    turned: bool = False

    @property
    def depths(self) -> tuple[float | None, float | None]:
        """How deep it is folded in from the lower and from the upper selvedge, mm."""
        return self.lower, self.upper

    @property
    def is_open(self) -> bool:
        """Whether it lies in one layer all over."""
        return self.lower == 0.0 and self.upper == 0.0 and not self.crosswise


OPEN = Section()


@dataclass(frozen=True, slots=True)
class Repeat:
    """The repeat of stripes, checks or prints, mm: along the cloth and across it, 0 for none.

    A dominant line runs at `first` above the lower selvedge; along the cloth one runs along the cut
    end, because cloth is trimmed to it. An `even` design is its own mirror image about its dominant
    lines, and midway between them. With a `half_drop` every second repeat across begins half a
    repeat farther along.
    """

    along: float = 0.0
    across: float = 0.0
    first: float = 0.0
    even: bool = True
    half_drop: bool = False


@dataclass(frozen=True, slots=True)
class Match:
    """A point of a piece, in its drawn coordinates, that has to lie in the repeat like others.

    All points of one `group` lie alike; `axes` say whether that counts along the cloth, across it,
    or both. `on` a line, or between two of them, they lie there.
    """

    point: Point
    group: str
    axes: Axes = "both"
    on: On = ""


@dataclass(frozen=True, slots=True)
class LaidSection(Section):
    """A section of a layout, its depths known: `length` is the mm of flat cloth that it takes."""

    length: float = 0.0


@dataclass(frozen=True, slots=True)
class Band:
    """A border of the cloth: a strip along it, in mm above the lower selvedge.

    It reaches from its `line` to `to`: edges that ask for a border lie on the line, and their
    pieces reach over the strip and beyond.
    """

    name: str
    line: float
    to: float

    @property
    def is_lower(self) -> bool:
        """Whether pieces reach upwards from its line."""
        return self.line < self.to


@dataclass(frozen=True, slots=True)
class Fabric:
    """The cloth and its rules.

    width, gap, edge_margin in mm; `length` None is open-ended, a number is the piece of cloth
    that is there. `edge_margin` is kept free along both selvedges and both cut ends; `gap` is
    kept between parts only. With `nap` every top lies the same way. `sections` are how the cloth
    lies, one after the other along it; where it is folded its right `sides` are together or apart.
    `repeat` is that of its design. `flaws` are outlines on the cloth, mm from the first cut end and
    from the lower selvedge, over which nothing but hidden pieces lies; the search keeps the gap
    round them as well. `bands` are its borders.
    """

    width: float
    length: float | None = None
    edge_margin: float = 0.0
    gap: float = 0.0
    nap: bool = True
    sections: tuple[Section, ...] = (OPEN,)
    sides: Sides = "together"
    repeat: Repeat | None = None
    flaws: tuple[Outline, ...] = ()
    bands: tuple[Band, ...] = ()
    outline: Outline = ()
    holes: tuple[Outline, ...] = ()

    @property
    def is_plain(self) -> bool:
        """Whether all of it lies open, in one layer."""
        return self.sections == (OPEN,)


@dataclass(frozen=True, slots=True)
class Piece:
    """One pattern piece as drawn, and how it is cut.

    `outline` is the drawn outline in its own coordinates (the half of it when `fold` is set);
    `grain` is the direction of the grainline towards the top of the piece, in those coordinates.
    `cut` is per garment; with hand `mirrored` every second copy of a garment is flipped, so a
    single copy never is, and a piece drawn on the fold never is; with `either_side` the copies
    that are no half of a pair may be flipped or not. `turns` are allowed on top of laying the
    grainline along x. On cloth of a fixed length a piece of smaller `priority` is laid before one
    of larger, one without (None) last; it changes nothing on cloth without an end. `match` are the
    points that lie alike in the repeat of the cloth. A `hidden` piece, such as a facing, may lie
    over a flaw. `band` is the edge that lies on the line of a border, on cloth that has one.
    `copies` are those that are laid, by number, when others are cut from other cloth; () for all.
    """

    id: Annotated[str, Limits("id", 1)]
    outline: Outline
    name: Annotated[str, Limits("name")] = ""
    cut: Annotated[int, Limits("cut count", 1, MOST_COPIES)] = 1
    garments: Annotated[int, Limits("number of garments", 1, MOST_COPIES)] = 1
    hand: Annotated[Hand, Limits("hand")] = "mirrored"
    either_side: Annotated[bool, Limits("either side")] = False
    handed: Annotated[bool, Limits("handed")] = False
    turns: Annotated[tuple[float, ...], Limits("turns", -360, 360, "°")] = (0.0, 180.0)
    turns_on_nap: Annotated[bool, Limits("turns on nap")] = False
    off_grain: Annotated[float, Limits("off-grain consent", 0, MOST_OFF_GRAIN, "°")] = 0.0
    grain: Annotated[float, Limits("grain", -360, 360, "°")] = 0.0
    fold: tuple[Point, Point] | None = None
    match: tuple[Match, ...] = ()
    hidden: Annotated[bool, Limits("hidden")] = False
    band: Annotated[Edge, Limits("edge on the border")] = ""
    priority: Annotated[float | None, Limits("priority", -MOST_PRIORITY, MOST_PRIORITY)] = None
    copies: tuple[int, ...] = ()

    @property
    def numbers(self) -> tuple[int, ...]:
        """The numbers of the copies that are to be laid, counted from 1 over all garments."""
        return self.copies or tuple(range(1, self.cut * self.garments + 1))

    @property
    def label(self) -> str:
        """How messages call the piece: its name and id, or the id alone."""
        if self.name and self.name != self.id:
            return f"piece “{self.name}” ({self.id})"
        return f"piece “{self.id}”"


@dataclass(frozen=True, slots=True)
class Placement:
    """Where one part lies: R(turn) . F(flip) . R(-grain) . p + (x, y) on the unfolded outline.

    `copies` are the copies this placement cuts (numbered from 1 over all garments): one for each of
    its `layers`. `garment` counts from 1 and is that of the first of them. On folded cloth x counts
    from the start of its `section` (from 1) and y is measured on the lower layer as if that were
    spread out: the table reaches from `lower` to width - `upper`. A part through two layers has its
    mirror image, about the fold of the cloth, on the upper one. A half laid `on_fold` is placed as
    the whole outline, whose fold edge lies on the fold of the cloth. Of several pieces of cloth it
    lies on number `fabric`.
    """

    piece: str
    copies: tuple[int, ...]
    garment: int
    turn: float
    flip: bool
    x: float
    y: float
    section: int = 1
    layers: int = 1
    on_fold: bool = False
    fabric: int = 1


@dataclass(frozen=True, slots=True)
class LeftOver:
    """Copies of a piece that did not fit on a fixed length of cloth."""

    piece: str
    copies: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Job:
    """Everything the engine needs: replayable from a file.

    `fabrics` are several pieces of cloth that all is shared out among, the first of them `fabric`;
    none where there is but one. `one_lot` is what has to be cut from one of them.
    """

    fabric: Fabric
    pieces: tuple[Piece, ...]
    held: tuple[Placement, ...] = ()
    """Placements that stay exactly where they are; the rest is laid out round them."""
    fabrics: tuple[Fabric, ...] = ()
    one_lot: Lot = ""


@dataclass(frozen=True, slots=True)
class LaidFabric:
    """What is used of number `fabric` of several pieces of cloth: figures as those of a layout."""

    fabric: int
    width: float
    length: float
    utilisation: float


@dataclass(frozen=True, slots=True)
class Layout:
    """The result of one run: `length` is what the parts need, `lower_bound` what none can beat.

    On several pieces of cloth the width is that of the widest, the length that of all that are
    used, end to end, and the utilisation is of these; no bound is known.
    """

    width: float
    length: float
    utilisation: float
    lower_bound: float
    seconds: float
    seed: int
    rounds: int
    workers: int
    engine: str
    placements: tuple[Placement, ...]
    left_over: tuple[LeftOver, ...] = ()
    outlines: Mapping[str, Outline] = field(default_factory=dict)
    """The unfolded outline of every piece, in the piece's own coordinates."""
    sections: tuple[LaidSection, ...] = ()
    """The sections of folded cloth, whose lengths add up to `length`; none on plain cloth."""
    fabrics: tuple[LaidFabric, ...] = ()
    """Those of several pieces of cloth that are used."""
    exhausted: bool = False
    """The search had come to its end: more time would have changed nothing."""
