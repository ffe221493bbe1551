# SPDX-License-Identifier: GPL-2.0-or-later
"""Where each part of a layout lies, as it is measured on the cloth with a tape: the placing table.

Lengths in mm in the engine's frame: x from the cut end (of the section, on folded cloth), y from
the lower selvedge of the cloth spread out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import shapely

from extension.diagram.cloth import Cloth, Rim
from extension.diagram.lacking import faults
from extension.drawn.cutting import drawn_fold, paper_outline
from extension.drawn.frames import fold_mirror, mapped, onto_sheet, page_point
from extension.job.plan import Cut
from extension.language.edges import Selvedge
from extension.language.errors import DrawingError
from extension.layouts.checked import Checked
from extension.pieces.grain import direction, off_axis, shaft
from extension.pieces.model import DrawnPiece
from extension.svg.model import Matrix
from extension.svg.transforms import multiply
from nesting.cloth.problem import outline_tuple
from nesting.geometry.inscribed import widest_disc
from nesting.geometry.shapes import whole_outline
from nesting.model import Match, Outline, Placement, Point

LineName = Literal["grainline", "centre", "paper’s edge", "fold edge"]
"""What is measured to across the cloth: the best of these that is on the paper, and of a half that
lies on the fold of the cloth its fold edge."""
ON_PAPER = 0.1
"""mm beyond the paper's edge within which the end of a line counts as on it: rounding."""
PARALLEL = 0.01
"""Degrees by which the line that is measured to may be off the grain: rounding."""


@dataclass(frozen=True, slots=True)
class End:
    """A point that is measured to: where it lies, and how far from the nearer edge, mm."""

    name: Literal["top", "foot", ""]
    at: Point
    distance: float


@dataclass(frozen=True, eq=False, slots=True)
class Place:
    """One part: its number, how it lies, and what is measured to lay it there.

    `polygon` is where it is cut, `paper` the pattern that is laid: smaller where seam allowance is
    added. `turn` says which way the top of the piece lies, degrees counter-clockwise from the way
    along the cloth; `grain` is drawn to show it, the end at the top last. `ends` are those of the
    `line` that is measured to, or the point of the paper's edge nearest the `edge` of the cloth.
    """

    number: str
    cut: Cut
    spot: Placement
    cloth: Cloth
    flipped: bool
    polygon: shapely.Polygon
    paper: shapely.Polygon
    turn: float
    grain: tuple[Point, Point]
    line: LineName
    edge: Selvedge
    ends: tuple[End, ...]
    matched: tuple[tuple[Match, Point], ...] = ()
    """Its match points, and where they lie."""

    @property
    def rim(self) -> Rim:
        """The edge of the cloth that it is measured from: the nearer one."""
        return self.cloth.lower if self.edge == "lower" else self.cloth.upper

    @property
    def copies(self) -> tuple[int, ...]:
        """The copies that it cuts."""
        return self.spot.copies

    @property
    def leading(self) -> float:
        """Distance from the cut end to the nearest edge of the paper, mm."""
        return float(self.paper.bounds[0])

    @property
    def allowance(self) -> float:
        """What is cut beyond the paper, mm."""
        return self.cut.drawn.allowance

    @property
    def is_grown(self) -> bool:
        """Whether the cloth is cut outside the paper."""
        return self.cut.drawn.is_grown

    @property
    def is_opened(self) -> bool:
        """Whether the pattern shows half of the piece, to be opened out before it is laid."""
        return self.cut.drawn.fold is not None and not self.spot.on_fold

    @property
    def has_grainline(self) -> bool:
        """Whether its grainline is one that is drawn on the pattern."""
        return any(mark.role == "grainline" for mark in self.cut.drawn.marks)

    @property
    def side(self) -> str:
        """Which side of the paper is seen."""
        return "printed side down" if self.flipped else "printed side up"


def places(checked: Checked, cloths: Sequence[Cloth]) -> tuple[Place, ...]:
    """Return the parts of a layout in cutting order, on the sections that they lie on.

    Raises DrawingError when the layout is empty or breaks a rule: nobody should cut by it.
    """
    situation = sound(checked).situation
    # A part whose outline is not its original's is a finding, so that all of them are placed here.
    return laid_on(cloths, situation.cuts, situation.placements, situation.frame.width)


def sound(checked: Checked) -> Checked:
    """Return a layout that nobody need fear to cut by; raises DrawingError for any other.

    On cloth that is there, parts may be left over.
    """
    if faults(checked) or not checked.situation.tally.assigned:
        raise DrawingError(
            f"The layout {checked.layer.title} cannot be published as it is "
            f"({checked.verdict}): put right what Check Layout tells, then publish it.",
            checked.layer.id,
        )
    return checked


def laid_on(
    cloths: Sequence[Cloth],
    cuts: Mapping[str, Cut],
    spots: Sequence[Placement],
    width: float,
) -> tuple[Place, ...]:
    """Return placements in cutting order: section by section, in each the largest piece first.

    Parts of one piece are numbered from the cut end on. `width` is that of the cloth spread out.
    """
    ground = {cloth.section or 1: cloth for cloth in cloths}
    first = {one.piece: min(s.section for s in spots if s.piece == one.piece) for one in spots}
    areas = {id_: shapely.Polygon(whole_outline(cuts[id_].piece)).area for id_ in first}
    order = sorted(
        (id_ for id_ in cuts if id_ in first), key=lambda id_: (first[id_], -round(areas[id_]))
    )
    found: list[Place] = []
    for count, id_ in enumerate(order, start=1):
        own = [
            _place(cuts[id_], one, ground[one.section], width) for one in spots if one.piece == id_
        ]
        own.sort(key=lambda one: (one.spot.section, round(one.polygon.bounds[0], 3), one.copies))
        found += [
            replace(one, number=str(count) if len(own) == 1 else f"{count}-{nth}")
            for nth, one in enumerate(own, start=1)
        ]
    return tuple(found)


def _place(cut: Cut, spot: Placement, cloth: Cloth, width: float) -> Place:
    """Return one part with its grainline; it has no number yet."""
    drawn, flipped = cut.drawn, spot.flip
    to_sheet = onto_sheet(spot, cut.piece.grain, width)
    if spot.on_fold and _is_off(cut, to_sheet, cloth, width):
        # The other half lies on the table: the paper has its printed side down.
        to_sheet, flipped = multiply(to_sheet, fold_mirror(_fold(cut))), True

    def laid(points: Outline) -> list[Point]:
        return [(x, width - y) for x, y in mapped(to_sheet, points)]

    def area(points: Outline) -> shapely.Polygon:
        return shapely.Polygon(laid(tuple(map(page_point, points))))

    whole = outline_tuple(whole_outline(cut.piece))
    polygon = area(cut.piece.outline if spot.on_fold else whole)
    paper = polygon
    if drawn.is_grown:
        paper = area(drawn.outline if spot.on_fold else paper_outline(drawn))
    turn = math.radians(spot.turn)
    ahead = (math.cos(turn), math.sin(turn))
    name, ends = _line(drawn, paper, laid)
    grain = _upright(list(ends) or _chord(paper, ahead), ahead)
    measured = grain
    if spot.on_fold:
        name = "fold edge"
        measured = _upright(laid(tuple(map(page_point, drawn_fold(drawn) or ()))), ahead)
    edge, told = _measured(name, measured, paper, cloth)
    return Place(
        "",
        cut,
        spot,
        cloth,
        flipped,
        polygon,
        paper,
        spot.turn % 360.0,
        grain,
        name,
        edge,
        told,
        tuple((one, laid((page_point(one.point),))[0]) for one in cut.piece.match),
    )


def _fold(cut: Cut) -> tuple[Point, Point]:
    """Return the fold edge of a half that lies on the fold of the cloth."""
    assert cut.piece.fold is not None
    return cut.piece.fold


def _is_off(cut: Cut, to_sheet: Matrix, cloth: Cloth, width: float) -> bool:
    """Return whether the drawn half of a piece on the fold lies beyond the edge of the table."""
    half = mapped(to_sheet, tuple(map(page_point, cut.piece.outline)))
    middle = width - shapely.Polygon(half).centroid.y
    return not cloth.low <= middle <= cloth.high


def _upright(points: Sequence[Point], ahead: Point) -> tuple[Point, Point]:
    """Return the ends of a line, that at the foot of the piece first."""
    along = sorted(points, key=lambda point: point[0] * ahead[0] + point[1] * ahead[1])
    return along[0], along[-1]


def _measured(
    line: LineName, grain: tuple[Point, Point], paper: shapely.Polygon, cloth: Cloth
) -> tuple[Selvedge, tuple[End, ...]]:
    """Return the edge of the cloth that is nearer, and what is measured from it."""
    _, low, _, high = paper.bounds
    across = (low, high) if line == "paper’s edge" else (grain[0][1], grain[1][1])
    edge: Selvedge = "lower" if sum(across) <= cloth.low + cloth.high else "upper"

    def distance(y: float) -> float:
        return y - cloth.low if edge == "lower" else cloth.high - y

    if line == "paper’s edge":
        at = min(paper.exterior.coords, key=lambda point: distance(point[1]))
        return edge, (End("", (float(at[0]), float(at[1])), distance(float(at[1]))),)
    foot, top = grain
    return edge, (End("top", top, distance(top[1])), End("foot", foot, distance(foot[1])))


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
    middle, _ = widest_disc(polygon)
    x, y = middle.x, middle.y
    low_x, low_y, high_x, high_y = polygon.bounds
    reach = math.hypot(high_x - low_x, high_y - low_y)
    ends = [(x + step * ahead[0], y + step * ahead[1]) for step in (-reach, reach)]
    pieces = shapely.get_parts(shapely.LineString(ends).intersection(polygon))
    longest = max(pieces, key=lambda piece: float(piece.length))
    return [(float(a), float(b)) for a, b in longest.coords]
