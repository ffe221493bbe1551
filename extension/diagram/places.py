# SPDX-License-Identifier: GPL-2.0-or-later
"""Where each part of a layout lies, as it is measured on the cloth with a tape: the placing table.

Lengths in mm in the engine's frame: x from the cut end, y from the lower selvedge.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

import shapely

from extension.checking.check_layout import Checked
from extension.checking.copies import Assigned
from extension.checking.recognise import placement
from extension.drawn.frames import mapped, onto_sheet, page_point
from extension.errors import DrawingError
from extension.model import DrawnPiece
from extension.plan import Cut
from extension.rounding import INCH, mixed
from extension.units import System
from nesting.model import Outline, Point

Selvedge = Literal["lower", "upper"]


@dataclass(frozen=True, eq=False, slots=True)
class Place:
    """One part: its number, how it lies, and what is measured to lay it there.

    `grain` is its grainline, the end at the piece's top last; `leading` is how far its nearest
    point lies from the cut end. `ends` are the distances of the ends of the grainline from the
    nearer `selvedge`, mm: the end nearer the cut end first.
    """

    number: str
    cut: Cut
    copy: int
    flipped: bool
    polygon: shapely.Polygon
    grain: tuple[Point, Point]
    selvedge: Selvedge
    ends: tuple[float, float]

    @property
    def leading(self) -> float:
        """Distance from the cut end to the leading edge, mm."""
        return float(self.polygon.bounds[0])

    @property
    def is_opened(self) -> bool:
        """Whether the pattern shows half of the piece, to be opened out before it is laid."""
        return self.cut.drawn.fold is not None

    @property
    def has_grainline(self) -> bool:
        """Whether its grainline is one that is drawn on the pattern."""
        return any(mark.role == "grainline" for mark in self.cut.drawn.marks)

    @property
    def side(self) -> str:
        """Which side of the paper is seen."""
        return "printed side down" if self.flipped else "printed side up"


def places(checked: Checked) -> tuple[Place, ...]:
    """Return the parts of a layout in cutting order: largest piece first, then from the cut end.

    Raises DrawingError when the layout is empty or breaks a rule: nobody should cut by it.
    """
    parts = checked.situation.tally.assigned
    if checked.findings or not parts:
        raise DrawingError(
            f"The layout {checked.layer.title} cannot be published as it is "
            f"({checked.verdict}): put it right with Check Layout first.",
            checked.layer.id,
        )
    width = checked.situation.frame.width
    areas = {id_: _area(id_, parts) for id_ in checked.situation.cuts}
    order = sorted(areas, key=lambda id_: -round(areas[id_]))
    return tuple(
        place
        for number, id_ in enumerate(order, start=1)
        for place in _numbered(str(number), id_, parts, width)
    )


def tape_text(length: float, system: System) -> str:
    """Return a distance in mm as read off a tape, without its unit: `12.3` cm or `4 7/8` in."""
    if system == "metric":
        return f"{abs(length) / 10.0:.1f}"
    return mixed(Fraction(round(Fraction(abs(length)) / INCH * 8), 8))


def long_tape_text(length: float, system: System) -> str:
    """Return a distance in mm as read off a tape, with its unit: `12.3 cm` or `4 7/8 in`."""
    return f"{tape_text(length, system)} {'cm' if system == 'metric' else 'in'}"


def ends_text(place: Place, system: System) -> str:
    """Return the distances of the ends of the grainline: one when both read the same."""
    first, last = (tape_text(end, system) for end in place.ends)
    told = first if first == last else f"{first} and {last}"
    return f"{place.selvedge} {told}"


def _area(id_: str, parts: tuple[Assigned, ...]) -> float:
    """Return the area of a piece's parts, mm2 each."""
    own = [one.part.polygon.area for one in parts if _cut(one).piece.id == id_]
    return max(own, default=0.0)


def _cut(one: Assigned) -> Cut:
    """Return what an assigned part is a copy of."""
    assert one.part.cut is not None
    return one.part.cut


def _numbered(number: str, id_: str, parts: tuple[Assigned, ...], width: float) -> list[Place]:
    """Return the parts of one piece from the cut end on, numbered."""
    own = [one for one in parts if _cut(one).piece.id == id_]
    own.sort(key=lambda one: (round(one.part.polygon.bounds[0], 3), one.copy))
    return [
        _place(number if len(own) == 1 else f"{number}-{count}", one, width)
        for count, one in enumerate(own, start=1)
    ]


def _place(number: str, one: Assigned, width: float) -> Place:
    """Return one part with its grainline."""
    cut = _cut(one)
    # A part whose outline is not its original's is a finding, so that every part has a pose here.
    assert one.pose is not None
    to_sheet = onto_sheet(placement(one.part, one.pose, one.copy), cut.piece.grain, width)
    turn = math.radians(one.pose.turn)
    ahead = (math.cos(turn), math.sin(turn))
    line = mapped(to_sheet, _grainline(cut.drawn))
    points = [(x, width - y) for x, y in line] or _chord(one.part.polygon, ahead)
    points.sort(key=lambda point: point[0] * ahead[0] + point[1] * ahead[1])
    return Place(
        number,
        cut,
        one.copy,
        one.pose.flip,
        one.part.polygon,
        (points[0], points[-1]),
        *_measured((points[0], points[-1]), width),
    )


def _measured(grain: tuple[Point, Point], width: float) -> tuple[Selvedge, tuple[float, float]]:
    """Return the selvedge that is nearer to a grainline, and how far its ends lie from it, mm."""
    (_, first), (_, last) = sorted(grain)
    if first + last <= width:
        return "lower", (first, last)
    return "upper", (width - first, width - last)


def _grainline(drawn: DrawnPiece) -> Outline:
    """Return the drawn grainline, else the fold, on the page; nothing when there is neither."""
    rings = [
        ring.points for mark in drawn.marks if mark.role == "grainline" for ring in mark.leaf.rings
    ]
    if rings:
        return max(rings, key=lambda ring: math.dist(ring[0], ring[-1]))
    return tuple(map(page_point, drawn.fold)) if drawn.fold else ()


def _chord(polygon: shapely.Polygon, ahead: Point) -> list[Point]:
    """Return where a line along the grain through the middle of a part enters and leaves it."""
    (x, y), _ = shapely.maximum_inscribed_circle(polygon).coords
    low_x, low_y, high_x, high_y = polygon.bounds
    reach = math.hypot(high_x - low_x, high_y - low_y)
    ends = [(x + step * ahead[0], y + step * ahead[1]) for step in (-reach, reach)]
    pieces = shapely.get_parts(shapely.LineString(ends).intersection(polygon))
    longest = max(pieces, key=lambda piece: float(piece.length))
    return [(float(a), float(b)) for a, b in longest.coords]
