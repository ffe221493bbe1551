# SPDX-License-Identifier: GPL-2.0-or-later
"""Seams as they are sewn: which lines of a design meet there, by numbers and as a picture.

By plain complex numbers, from the draft of a garment, where a layout puts its parts and the cloth's
repeat: nothing of the engine, and no match points.

A part is seen from the face of the cloth. A design has a broad line at every repeat, which is its
dominant line, and a fine one `BESIDE` of a repeat beyond it; an even one has it before it as well.
"""

from __future__ import annotations

import cmath
import math
from bisect import bisect_right
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from nesting.model import LaidSection, Layout, Placement, Repeat
from tests.helpers.drafting.curves import Chain, length, named, ring, sampled
from tests.helpers.drafting.draft import Draft

BESIDE = 0.3
"""Share of a repeat between a dominant line and the fine one beside it."""
SHADES = ("#1d3d63", "#a8433a")
"""Of the lines along the garment's width, and of those along its length."""
STEP = 0.25
"""mm between the points of a seam that are looked at."""


@dataclass(frozen=True)
class Design:
    """The lines of a cloth: where each begins in the repeat, and what share of it is coloured."""

    repeat: Repeat

    def lines(self, axis: int) -> list[tuple[float, float]]:
        """Return the middle and the width, mm, of the lines in one repeat; axis 0 is along."""
        period = (self.repeat.along, self.repeat.across)[axis]
        if not period:
            return []
        first = self.repeat.first if axis else 0.0
        beside = (BESIDE, -BESIDE) if self.repeat.even else (BESIDE,)
        return [
            (first, 0.24 * period),
            *((first + share * period, 0.06 * period) for share in beside),
        ]


@dataclass(frozen=True)
class Sewn:
    """One layer of a part, as it is cut from the cloth: its draft, and where it lies.

    `over` is the fold, mm from the lower selvedge, over which its layer lies; None for the lower
    layer. `other_half` means that of a piece drawn on the fold which is not drawn.
    """

    draft: Draft
    page: complex
    """Where the origin of the draft is on the page, mm, y down."""
    spot: Placement
    over: float | None = None
    other_half: bool = False

    @property
    def is_turned_over(self) -> bool:
        """Whether it is seen mirrored from the face of the cloth, against its draft."""
        return (self.spot.flip != (self.over is not None)) != self.other_half

    def on_cloth(self, point: complex) -> complex:
        """Return where a point of the draft, mm, y down, lies on the cloth, y up."""
        if self.other_half:
            assert self.draft.fold_line is not None
            start, end = self.draft.fold_line
            way = (end - start) / abs(end - start)
            point = start + ((point - start) / way).conjugate() * way
        assert self.draft.grain is not None
        foot, top = self.draft.grain
        upright = (point + self.page).conjugate() / _unit((top - foot).conjugate())
        own = upright.conjugate() if self.spot.flip else upright
        at = own * cmath.rect(1.0, math.radians(self.spot.turn)) + complex(self.spot.x, self.spot.y)
        return at if self.over is None else at.conjugate() + 2j * self.over

    def seam(self, edge: str, notch: int) -> Callable[[float], complex]:
        """Return the seam of an edge: where on the cloth it is, mm from one of its notches."""
        chain = named(self.draft.seam, edge)
        at = self.draft.notches[notch].at
        ends = 0.0, length(chain)

        def place(beyond: float) -> complex:
            along = min(max(at + beyond, ends[0]), ends[1])
            return self.on_cloth(_along(chain, along))

        return place


def cut(
    draft: Draft,
    page: complex,
    layout: Layout,
    width: float,
    copy: int = 1,
    other_half: bool = False,
) -> Sewn:
    """Return a copy of a piece, drawn at a place on the page, as cloth so wide, mm, is cut."""
    for spot in layout.placements:
        if spot.piece == draft.id and copy in spot.copies:
            over = None
            if spot.copies.index(copy):
                over = _fold(layout.sections[spot.section - 1], width, spot.y)
            return Sewn(draft, page, spot, over, other_half)
    raise LookupError(draft.id)


def _fold(section: LaidSection, width: float, y: float) -> float:
    """Return the fold, mm from the lower selvedge, at which a part at height y lies."""
    if section.lower and (not section.upper or y <= 2.0 * section.lower):
        return section.lower
    return width - (section.upper or 0.0)


def crossed(
    design: Design, axis: int, seam: Callable[[float], complex], low: float, high: float
) -> list[list[float]]:
    """Return where a seam crosses each kind of line, mm from its notch, from `low` to `high`."""
    period = (design.repeat.along, design.repeat.across)[axis]
    steps = [low + k * STEP for k in range(int((high - low) / STEP) + 1)]
    at = [(seam(step).imag if axis else seam(step).real) for step in steps]
    found = []
    for middle, _ in design.lines(axis):
        rows = [math.floor((one - middle) / period) for one in at]
        found.append([step for step, (a, b) in zip(steps, pairwise(rows), strict=False) if a != b])
    # Of an even design the fine lines on both sides are one kind.
    return [found[0], sorted(step for kind in found[1:] for step in kind)]


def apart(one: list[list[float]], other: list[list[float]], low: float, high: float) -> float:
    """Return by how many mm a line of one seam ends beside that of the other, at the worst.

    A line that has no partner counts as far off; at the very ends one may just be missed.
    """
    worst = 0.0
    for lines, others in zip(one, other, strict=True):
        for mine, theirs in ((lines, others), (others, lines)):
            for step in mine:
                gap = min((abs(step - far) for far in theirs), default=math.inf)
                is_end = min(step - low, high - step) <= 2.0
                worst = worst if is_end and gap > 2.0 else max(worst, gap)
    return worst


def off_line(design: Design, axis: int, at: complex) -> float:
    """Return how far a place on the cloth is from the nearest dominant line, mm, with its sign."""
    period = (design.repeat.along, design.repeat.across)[axis]
    lies = at.imag - design.repeat.first if axis else at.real
    return lies - period * round(lies / period)


# --- pictures -----------------------------------------------------------------------------------


@dataclass(frozen=True)
class Joined:
    """Two parts side by side in a picture: the ends of a line on each lie on each other."""

    one: Sewn
    other: Sewn
    line: tuple[complex, complex]
    other_line: tuple[complex, complex]
    words: str
    """What the picture shows."""
    on_top: bool = False
    """Whether the other lies on the first one, as a pocket does; it has an outline then."""


def picture(design: Design, joined: list[Joined], wide: float) -> str:
    """Return a drawing (SVG, mm) of seams below each other: cloth with its lines, cut and sewn."""
    body, y = [], 0.0
    for number, pair in enumerate(joined):
        y += 40.0
        body.append(f'<text x="10" y="{y - 12:g}" font-size="20">{pair.words}</text>')
        parts = list(_placed(pair))
        shapes = [_ring_of(part, move) for part, move in parts]
        every = [point for shape in shapes for point in shape]
        low = complex(min(p.real for p in every), min(p.imag for p in every))
        high = complex(max(p.real for p in every), max(p.imag for p in every))
        body.append(f'<g transform="translate({10 - low.real:.3f},{y - low.imag:.3f})">')
        for index, ((part, move), shape) in enumerate(zip(parts, shapes, strict=True)):
            name = f"cut-{number}-{index}"
            data = "M " + " L ".join(f"{p.real:.3f},{p.imag:.3f}" for p in shape) + " Z"
            body.append(f'<clipPath id="{name}"><path d="{data}"/></clipPath>')
            body.append(f'<g clip-path="url(#{name})">{_cloth(design, part, move)}</g>')
            dash = ' stroke-dasharray="3,2"' if pair.on_top and index else ""
            look = f'fill="none" stroke="#555" stroke-width="0.6"{dash}'
            body.append(f'<path d="{data}" {look}/>')
        body.append("</g>")
        y += (high - low).imag
    size = f'width="{wide:g}mm" height="{y + 20:g}mm" viewBox="0 0 {wide:g} {y + 20:g}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="sans-serif">'
        f'<rect width="100%" height="100%" fill="white"/>{"".join(body)}</svg>\n'
    )


Move = Callable[[complex], complex]
"""From the cloth, mm, y up, to the picture, y down, without mirroring what the face shows."""


def _placed(pair: Joined) -> Iterator[tuple[Sewn, Move]]:
    """Yield both parts with how each goes from the cloth to the picture: its tops up."""
    a, b = (pair.one.on_cloth(point) for point in pair.line)
    c, d = (pair.other.on_cloth(point) for point in pair.other_line)
    # Half of the angle between the two seams each, so that neither leans more than the other.
    turn = cmath.phase((b - a) / (d - c)) / 2.0 if not pair.on_top else 0.0
    up = cmath.rect(1.0, math.pi / 2.0 - math.radians(pair.one.spot.turn))
    first, second = up * cmath.rect(1.0, -turn), up * cmath.rect(1.0, turn)
    if pair.on_top:
        second = up * cmath.rect(1.0, math.radians(pair.one.spot.turn - pair.other.spot.turn))
    yield pair.one, lambda point: ((point - a) * first).conjugate()
    yield pair.other, lambda point: ((point - c) * second).conjugate()


def _ring_of(part: Sewn, move: Move) -> list[complex]:
    """Return the stitching line of a part, or of that half of it, in the picture."""
    return [move(part.on_cloth(point)) for point in ring(part.draft.seam, 24)]


def _cloth(design: Design, part: Sewn, move: Move) -> str:
    """Return the lines of the cloth round a part, in the picture."""
    around = [part.on_cloth(point) for point in ring(part.draft.seam, 8)]
    low = complex(min(p.real for p in around), min(p.imag for p in around))
    high = complex(max(p.real for p in around), max(p.imag for p in around))
    made = [_band(move, low, high, "#f4ead6", 1.0)]
    for axis in (0, 1):
        period = (design.repeat.along, design.repeat.across)[axis]
        for middle, wide in design.lines(axis):
            begin, end = (low.imag, high.imag) if axis else (low.real, high.real)
            for row in range(math.floor((begin - middle) / period), math.ceil(end / period) + 2):
                near, far = middle + row * period - wide / 2.0, middle + row * period + wide / 2.0
                one = complex(low.real, near) if axis else complex(near, low.imag)
                other = complex(high.real, far) if axis else complex(far, high.imag)
                made.append(_band(move, one, other, SHADES[axis]))
    return "".join(made)


def _band(move: Move, low: complex, high: complex, colour: str, thick: float = 0.55) -> str:
    """Return a rectangle of the cloth in the picture."""
    corners = (low, complex(high.real, low.imag), high, complex(low.real, high.imag))
    data = " ".join(f"{p.real:.3f},{p.imag:.3f}" for p in map(move, corners))
    return f'<polygon points="{data}" fill="{colour}" fill-opacity="{thick}"/>'


def walked(chain: Chain, edge: str, distance: float) -> complex:
    """Return the point of an outline at a distance, mm, along the edges of a name."""
    return _along(named(chain, edge), distance)


@cache
def _stations(chain: Chain) -> tuple[list[float], list[tuple[complex, complex]]]:
    """Return where the chords of a chain begin, mm from its start, and their ends."""
    begins, chords, far = [], [], 0.0
    for edge in chain:
        for a, b in pairwise(sampled(edge)):
            begins.append(far)
            chords.append((a, b))
            far += abs(b - a)
    return begins, chords


def _along(chain: Chain, distance: float) -> complex:
    """Return the point of a chain at a distance, mm, from its start, or its end past that."""
    begins, chords = _stations(chain)
    number = max(bisect_right(begins, distance) - 1, 0)
    a, b = chords[number]
    return a + (b - a) * min((distance - begins[number]) / abs(b - a), 1.0)


def _unit(vector: complex) -> complex:
    """Return the direction of a vector."""
    return vector / abs(vector)
