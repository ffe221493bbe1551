# SPDX-License-Identifier: GPL-2.0-or-later
"""Where each part of a layout lies, as it is measured on the cloth with a tape: the placing table.

Lengths in mm in the engine's frame: x from the cut end, y from the lower selvedge.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import shapely

from extension.drawn.cutting import drawn_fold, paper_outline
from extension.drawn.frames import mapped, onto_sheet, page_point
from extension.job.plan import Cut
from extension.language.edges import Selvedge
from extension.language.errors import DrawingError
from extension.layouts.checked import Checked
from extension.layouts.copies import Assigned
from extension.layouts.recognise import placement
from extension.pieces.grain import direction, off_axis, shaft
from extension.pieces.model import DrawnPiece
from nesting.model import Outline, Point

LineName = Literal["grainline", "centre", "paper’s edge"]
"""What is measured to across the cloth: the best of these that is on the paper."""
ON_PAPER = 0.1
"""mm beyond the paper's edge within which the end of a line counts as on it: rounding."""
PARALLEL = 0.01
"""Degrees by which the line that is measured to may be off the grain: rounding."""


@dataclass(frozen=True, slots=True)
class End:
    """A point that is measured to: where it lies, and how far from the nearer selvedge, mm."""

    name: Literal["top", "foot", ""]
    at: Point
    distance: float


@dataclass(frozen=True, eq=False, slots=True)
class Place:
    """One part: its number, how it lies, and what is measured to lay it there.

    `polygon` is where it is cut, `paper` the pattern that is laid: smaller where seam allowance is
    added. `turn` says which way the top of the piece lies, degrees counter-clockwise from the way
    along the cloth; `grain` is drawn to show it, the end at the top last. `ends` are those of the
    `line` that is measured to, or the point of the paper's edge nearest the `selvedge`.
    """

    number: str
    cut: Cut
    copies: tuple[int, ...]
    flipped: bool
    polygon: shapely.Polygon
    paper: shapely.Polygon
    turn: float
    grain: tuple[Point, Point]
    line: LineName
    selvedge: Selvedge
    ends: tuple[End, ...]

    @property
    def leading(self) -> float:
        """Distance from the cut end to the leading edge of the paper, mm."""
        return float(self.paper.bounds[0])

    @property
    def allowance(self) -> float:
        """What is cut beyond the paper, mm."""
        return self.cut.drawn.allowance

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
            f"({checked.verdict}): move its parts until Check Layout finds nothing, then "
            "publish it.",
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
    own.sort(key=lambda one: (round(one.part.polygon.bounds[0], 3), one.copies))
    return [
        _place(number if len(own) == 1 else f"{number}-{count}", one, width)
        for count, one in enumerate(own, start=1)
    ]


def _place(number: str, one: Assigned, width: float) -> Place:
    """Return one part with its grainline."""
    cut = _cut(one)
    # A part whose outline is not its original's is a finding, so that every part has a pose here.
    assert one.pose is not None
    to_sheet = onto_sheet(placement(one.part, one.pose, one.copies), cut.piece.grain, width)
    turn = math.radians(one.pose.turn)
    ahead = (math.cos(turn), math.sin(turn))

    def laid(points: Outline) -> list[Point]:
        return [(x, width - y) for x, y in mapped(to_sheet, points)]

    paper = one.part.polygon
    if cut.drawn.allowance:
        whole = tuple(map(page_point, paper_outline(cut.drawn)))
        paper = shapely.Polygon(laid(whole))
    name, ends = _line(cut.drawn, paper, laid)
    points = list(ends) or _chord(paper, ahead)
    points.sort(key=lambda point: point[0] * ahead[0] + point[1] * ahead[1])
    foot, top = points[0], points[-1]
    selvedge, measured = _measured(name, (foot, top), paper, width)
    return Place(
        number,
        cut,
        one.copies,
        one.pose.flip,
        one.part.polygon,
        paper,
        one.pose.turn % 360.0,
        (foot, top),
        name,
        selvedge,
        measured,
    )


def _measured(
    line: LineName, grain: tuple[Point, Point], paper: shapely.Polygon, width: float
) -> tuple[Selvedge, tuple[End, ...]]:
    """Return the selvedge that is nearer, and what is measured from it."""
    _, low, _, high = paper.bounds
    across = (low, high) if line == "paper’s edge" else (grain[0][1], grain[1][1])
    selvedge: Selvedge = "lower" if sum(across) <= width else "upper"

    def distance(y: float) -> float:
        return y if selvedge == "lower" else width - y

    if line == "paper’s edge":
        at = min(paper.exterior.coords, key=lambda point: distance(point[1]))
        return selvedge, (End("", (float(at[0]), float(at[1])), distance(float(at[1]))),)
    foot, top = grain
    return selvedge, (End("top", top, distance(top[1])), End("foot", foot, distance(foot[1])))


def _line(
    drawn: DrawnPiece, paper: shapely.Polygon, laid: Callable[[Outline], list[Point]]
) -> tuple[LineName, tuple[Point, ...]]:
    """Return the line on the paper that is measured to, and its ends on the cloth."""
    fold = drawn_fold(drawn)
    tries: tuple[tuple[LineName, Outline], ...] = (
        ("grainline", _grainline(drawn)),
        ("centre", () if fold is None else tuple(map(page_point, fold))),
    )
    for name, ends in tries:
        # Only what lies along the grain tells how the part lies.
        if ends and _is_along(ends, drawn.grain):
            seen = _on_paper(laid(ends), paper)
            if seen:
                return name, seen
    return "paper’s edge", ()


def _on_paper(ends: list[Point], paper: shapely.Polygon) -> tuple[Point, ...]:
    """Return the ends of a line, or of what the paper shows of it; nothing when it is beside it."""
    whole = shapely.LineString(ends)
    seen = whole if paper.buffer(ON_PAPER).covers(whole) else whole.intersection(paper)
    parts = [part for part in shapely.get_parts(seen) if part.length > 0.0]
    if not parts:
        return ()
    longest = max(parts, key=lambda part: float(part.length))
    (x0, y0), (x1, y1) = longest.coords[0], longest.coords[-1]
    return (float(x0), float(y0)), (float(x1), float(y1))


def _is_along(ends: Outline, grain: float) -> bool:
    """Return whether a line on the page lies along a piece's grain."""
    return off_axis(direction(ends[0], ends[-1]), grain) <= PARALLEL


def _grainline(drawn: DrawnPiece) -> Outline:
    """Return the ends of the drawn grainline on the page, heads apart; nothing without one."""
    marks = [mark for mark in drawn.marks if mark.role == "grainline"]
    run = shaft([ring for mark in marks for ring in mark.leaf.rings])
    return () if run is None else (run.start, run.end)


def _chord(polygon: shapely.Polygon, ahead: Point) -> list[Point]:
    """Return where a line along the grain through the middle of a part enters and leaves it."""
    (x, y), _ = shapely.maximum_inscribed_circle(polygon).coords
    low_x, low_y, high_x, high_y = polygon.bounds
    reach = math.hypot(high_x - low_x, high_y - low_y)
    ends = [(x + step * ahead[0], y + step * ahead[1]) for step in (-reach, reach)]
    pieces = shapely.get_parts(shapely.LineString(ends).intersection(polygon))
    longest = max(pieces, key=lambda piece: float(piece.length))
    return [(float(a), float(b)) for a, b in longest.coords]
