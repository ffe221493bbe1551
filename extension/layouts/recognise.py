# SPDX-License-Identifier: GPL-2.0-or-later
"""Which piece a part on a layout is a copy of, and how it lies, from its outline alone."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

import shapely

from extension.job.plan import Cut, Plan
from extension.layouts.border_ways import bands_on_table, off_border
from extension.layouts.found import FoundPart, Remains
from extension.layouts.frame import Frame
from extension.layouts.halves import fold_edge_of, half_laid, likely_halves, opened_out
from extension.layouts.registration import (
    SAME,
    Contour,
    Motion,
    Ring,
    contour,
    motions,
    moved,
    nearest,
)
from extension.layouts.resizing import resized
from extension.layouts.sources import cuts_by_source
from extension.layouts.spots import FLAT, Spot, spot_of
from extension.layouts.wrecks import Wreck, WreckKind
from extension.pieces.outlines import INSIDE, ClosedShape, separate_outlines, share_inside
from nesting.cloth.hands import hands_of
from nesting.cloth.problem import allowed_turns
from nesting.geometry.shapes import whole_outline
from nesting.judge.outlines import sound
from nesting.model import Placement, Sides

STRAIGHT = 0.05
"""mm by which the end of a part may be off before its turn is not an allowed one any more."""
QUARTERS = (0.0, 90.0, 180.0, 270.0)
SAME_SIZE = 1e-5
"""Share by which length and area of an outline may differ from a stored one and be unchanged."""

Trouble = Literal["", "edited", "resized", "original", "not asked for", WreckKind]
LEFT_OVER = 0.9
"""Share of a piece's area below which what is left in a part's group is a mark, not its outline."""


@dataclass(frozen=True, slots=True)
class Pose:
    """A way in which a part may lie. `faults` counts the rules of its piece it breaks.

    Of a half on the fold it is that of the whole piece, which never lies flipped; `over` is whether
    the paper lies printed side down all the same.
    """

    turn: float
    flip: bool
    x: float
    y: float
    faults: int
    motion: Motion
    over: bool = False

    @property
    def is_down(self) -> bool:
        """Whether the paper lies printed side down."""
        return self.flip or self.over


@dataclass(frozen=True, eq=False, slots=True)
class LaidPart:
    """A part found on a layout: what it is a copy of, how it lies, or why that cannot be said.

    `poses` are the ways in which it can be seen, the best first, none when its outline is not its
    original's; `polygon` is where it lies, in the engine's frame. `amount` goes with a trouble:
    how far an edited outline is off at best (mm), by how many per cent a resized one has changed.
    """

    found: FoundPart
    cut: Cut | None
    poses: tuple[Pose, ...]
    polygon: shapely.Polygon
    trouble: Trouble = ""
    amount: float = 0.0
    is_scaled: bool = True
    """Whether a resized one has the shape of its original still."""
    renamed: bool = False
    """Whether it is noted as a copy of another piece than the one it is."""
    several: tuple[Cut, ...] = ()
    """The pieces whose outlines it holds, when it holds several of them."""
    on_fold: bool = False
    """Whether it is the half of a piece drawn on the fold."""
    spot: Spot = FLAT
    """Where on folded cloth it lies."""

    def cuts_flipped(self, pose: Pose) -> bool:
        """Return whether a pose of it cuts the mirror image of the piece, on the lower layer."""
        return pose.flip != (self.spot.wrong_side_up and not self.on_fold)


class Recogniser:
    """Recognises the parts of one layout.

    `stored` are the sizes of outlines kept with the layout, `ids` those in the drawing.
    """

    def __init__(
        self, plan: Plan | None, frame: Frame, stored: Mapping[str, Any], ids: set[str]
    ) -> None:
        self._frame = frame
        self._sides: Sides = "together" if plan is None else plan.job.fabric.sides
        self._ids = ids
        self._bands = bands_on_table(plan, frame)
        self._models = [] if plan is None else [_model(cut, plan) for cut in plan.cuts.values()]
        models = {model.cut.piece.id: model for model in self._models}
        self._by_source = {name: models[cut.piece.id] for name, cut in cuts_by_source(plan).items()}
        self._stored = stored

    def recognised(self, found: Sequence[FoundPart]) -> list[LaidPart]:
        """Return noted parts with what they are."""
        parts = [self._part(one) for one in found]
        registered = {part.cut.piece.id for part in parts if part.cut and part.poses}
        return [self._placed(self._explained(part, registered)) for part in parts]

    def without_note(self, found: FoundPart) -> LaidPart | None:
        """Return an outline without a note as the part that it is, None when it is none."""
        outline = self._outline(found)
        for model in self._models:
            part = self._as(model, found, outline)
            if part is not None:
                return self._placed(replace(part, renamed=True))
        return None

    def wreck(self, part: LaidPart) -> Wreck | None:
        """Return a part that is none any more as what is left of it; None for one that is."""
        if part.trouble not in ("lost", "changed", "several"):
            return None
        cuts = part.several or ((part.cut,) if part.cut else ())
        shapes = (part.found.shape, *separate_outlines(part.found.shape))
        rings = (self._frame.to_engine(one.outline) for one in shapes)
        areas = _outermost([sound(shapely.Polygon(ring)) for ring in rings])
        id_ = part.found.shape.leaf.id if part.trouble == "several" else part.found.id
        return Wreck(id_, part.trouble, cuts, part.found.copies, areas)

    def wreck_of(self, remains: Remains) -> Wreck:
        """Return a group that is noted as a part and holds no outline as what is left of one."""
        said = self._by_source.get(remains.of)
        corners = [((a, b), (c, b), (c, d), (a, d)) for a, b, c, d in remains.boxes]
        areas = tuple(shapely.Polygon(self._frame.to_engine(ring)) for ring in corners)
        return Wreck(remains.id, "lost", (said.cut,) if said else (), remains.copies, areas)

    def polygon(self, found: FoundPart) -> shapely.Polygon:
        """Return where an outline lies in the engine's frame."""
        return shapely.Polygon(self._frame.to_engine(found.shape.outline))

    def _outline(self, found: FoundPart) -> Contour:
        return contour(self._frame.to_engine(found.shape.outline))

    def _part(self, found: FoundPart) -> LaidPart:
        """Return a noted part as a copy of what it says, or else of what it is."""
        outline = self._outline(found)
        said = self._by_source.get(found.of)
        others = [model for model in self._models if model is not said]
        for model in ([said] if said else []) + others:
            part = self._as(model, found, outline)
            if part is not None:
                return replace(part, renamed=model is not said)
        polygon = self.polygon(found)
        if said is not None:
            return LaidPart(found, said.cut, (), polygon, "edited")
        gone = found.of not in self._ids
        return LaidPart(found, None, (), polygon, "original" if gone else "not asked for")

    def _as(self, model: _Model, found: FoundPart, outline: Contour) -> LaidPart | None:
        """Return a part as a copy of a piece, None when its outline is another one."""
        if not _may_be(model.contour, outline):
            return self._as_half(model, found, outline)
        likely = model.likely(found.copies)
        poses = [model.pose(motion, outline) for motion in motions(model.contour, outline, likely)]
        if not poses:
            return None
        expected = likely[0][0]
        edge, ys = model.cut.piece.band, outline.samples.imag
        reach = float(ys.min()), float(ys.max())

        def worse(pose: Pose) -> tuple[int, float, bool]:
            off = off_border(edge, (pose.turn, pose.flip), reach, self._bands)
            return pose.faults, off, pose.flip != expected

        poses.sort(key=worse)
        # A symmetric piece fits either way, though one may be a hair better: it lies as it fits.
        best = min(poses, key=lambda pose: round(pose.motion.away, 2))
        polygon = _polygon(moved(model.contour, best.motion))
        return LaidPart(found, model.cut, tuple(poses), polygon)

    def _as_half(self, model: _Model, found: FoundPart, outline: Contour) -> LaidPart | None:
        """Return a part as half of a piece that lies on a fold; only on folded cloth there is any.

        An edge as long as the fold edge may be taken for it: it is the one nearest to a fold.
        """
        fold, half = model.cut.piece.fold, model.half
        if fold is None or half is None or not _may_be(half, outline):
            return None
        section = self._frame.section_of(_polygon(outline.ring))
        folds = section.folds if section is not None else ()
        likely = likely_halves(model.likely(found.copies), fold)
        poses = [
            replace(model.pose(opened_out(motion, fold), outline), over=motion.mirrored)
            for motion in motions(half, outline, likely)
        ]
        if not poses:
            return None

        def off_fold(pose: Pose) -> float:
            edge = fold_edge_of(fold, pose.motion).imag
            return min((float(abs(edge - y).max()) for y in folds), default=0.0)

        poses.sort(key=lambda pose: (round(off_fold(pose), 1), pose.faults, pose.over))
        polygon = _polygon(half_laid(half.ring, fold, poses[0].motion, over=poses[0].over))
        return LaidPart(found, model.cut, tuple(poses), polygon, on_fold=True)

    def _explained(self, part: LaidPart, registered: set[str]) -> LaidPart:
        """Return a part whose outline is not its original's with which of the two has changed."""
        if part.trouble != "edited" or part.cut is None:
            return part
        model, outline = self._by_source[part.cut.drawn.id], self._outline(part.found)
        stored = _sizes(self._stored.get(part.cut.piece.id, self._stored.get(part.found.of)))
        # An outline whose own note is lost says nothing about its original.
        edited = part.cut.piece.id not in registered and not part.found.silent
        if stored is not None:
            edited = not _is_size(model.contour, stored)
        sources = [model.contour, *([model.half] if model.half else [])]
        if edited:
            return replace(part, amount=min(nearest(one, outline) for one in sources))
        found = resized(outline, sources)
        return replace(part, trouble="resized", amount=found.change, is_scaled=found.is_scaled)

    def _placed(self, part: LaidPart) -> LaidPart:
        """Return a part with where it lies on folded cloth, as a wreck when it is one."""
        part = self._counted(part)
        section = self._frame.section_of(part.polygon)
        if section is None:
            return part
        return replace(
            part, spot=spot_of(section, self._sides, part.polygon, len(part.found.copies))
        )

    def _counted(self, part: LaidPart) -> LaidPart:
        """Return a part, as a wreck when its outline holds several or is not a part's own."""
        shapes = (part.found.shape, *separate_outlines(part.found.shape))
        if len(shapes) > 1:
            several = tuple(cut for one in shapes if (cut := self._cut_of(one)) is not None)
            if len(several) > 1:
                return replace(part, poses=(), trouble="several", several=several)
        if not part.found.silent or part.trouble != "resized" or part.cut is None:
            return part
        # Its own outline, stretched, would have kept its note: this is a mark, or a new path.
        area = self._by_source[part.cut.drawn.id].contour.area
        return replace(
            part, trouble="lost" if part.polygon.area < LEFT_OVER * area else "changed", amount=0.0
        )

    def _cut_of(self, shape: ClosedShape) -> Cut | None:
        """Return the piece that an outline is one of, None when it is none."""
        outline = contour(self._frame.to_engine(shape.outline))
        fits = (
            model.cut
            for model in self._models
            if _may_be(model.contour, outline) and motions(model.contour, outline)
        )
        return next(fits, None)


def _outermost(areas: Sequence[shapely.Geometry]) -> tuple[shapely.Geometry, ...]:
    """Return the areas that lie within no larger one: combined, parts bring along their marks."""
    kept: list[shapely.Geometry] = []
    for area in sorted(areas, key=lambda one: -float(one.area)):
        if not any(share_inside(area, outer) >= INSIDE for outer in kept):
            kept.append(area)
    return tuple(kept)


@dataclass(frozen=True, eq=False, slots=True)
class _Model:
    """A piece made ready to be recognised; `turns` are those that break no rule.

    `half` is what is drawn of a piece on the fold, where the cloth is folded.
    """

    cut: Cut
    contour: Contour
    turns: tuple[float, ...]
    extent: float
    half: Contour | None = None

    def likely(self, copies: Sequence[int]) -> list[tuple[bool, float]]:
        """Return the ways, as (mirrored, degrees), in which a copy ought to lie, the best first."""
        piece = self.cut.piece
        flip = len(copies) == 1 and hands_of(piece, copies[0])[0]
        return [
            (hand, (turn + piece.grain if hand else turn - piece.grain) % 360.0)
            for hand in (flip, not flip)
            for turn in self.turns
        ]

    def pose(self, motion: Motion, outline: Contour) -> Pose:
        """Return a motion as a pose: a turn that is an allowed one but for rounding is that one."""
        piece = self.cut.piece
        degrees = motion.degrees
        measured = (degrees - piece.grain if motion.mirrored else degrees + piece.grain) % 360.0
        slack = max(math.degrees(STRAIGHT / self.extent), 1e-4)
        turn = measured
        for allowed in (*self.turns, *piece.turns, *QUARTERS):
            if abs((measured - allowed + 180.0) % 360.0 - 180.0) <= slack:
                turn = allowed % 360.0
                break
        exact = math.radians(turn + piece.grain if motion.mirrored else turn - piece.grain)
        rotation = complex(math.cos(exact), math.sin(exact)) if turn != measured else motion.turn
        own = self.contour.mirrored() if motion.mirrored else self.contour
        middle = complex(own.samples.mean())
        move = middle * motion.turn + motion.move - middle * rotation
        fixed = replace(motion, turn=rotation, move=move)
        return Pose(turn, motion.mirrored, move.real, move.imag, self._faults(turn), fixed)

    def _faults(self, turn: float) -> int:
        """Return how many rules about its turn a part breaks: 0, 1 or 2."""
        piece = self.cut.piece
        on_grain = any(_apart(turn, one) <= piece.off_grain + 1e-6 for one in piece.turns)
        with_nap = any(_apart(turn, one) <= piece.off_grain + 1e-6 for one in self.turns)
        return (not on_grain) + (not with_nap)


def placement(part: LaidPart, pose: Pose, copies: tuple[int, ...]) -> Placement:
    """Return a part, seen in a pose, as a placement that cuts some copies."""
    assert part.cut is not None
    piece, spot = part.cut.piece, part.spot
    garment = (copies[0] - 1) // piece.cut + 1
    return Placement(
        piece.id,
        copies,
        garment,
        pose.turn,
        pose.flip,
        pose.x - spot.start,
        pose.y,
        spot.section,
        1 if part.on_fold else spot.layers,
        part.on_fold,
    )


def _model(cut: Cut, plan: Plan) -> _Model:
    """Return a piece of a plan, ready to be recognised."""
    whole = whole_outline(cut.piece)
    low, high = whole.min(axis=0), whole.max(axis=0)
    turns = allowed_turns(cut.piece, plan.job.fabric)
    has_half = cut.piece.fold is not None and not plan.job.fabric.is_plain
    half = contour(cut.piece.outline) if has_half else None
    return _Model(cut, contour(whole), turns, float(max(high - low)), half)


def _polygon(ring: Ring) -> shapely.Polygon:
    """Return the area within points."""
    return shapely.Polygon([(point.real, point.imag) for point in ring])


def _may_be(source: Contour, outline: Contour) -> bool:
    """Return whether two outlines may be the same: they are about as long and as large.

    Within `SAME` of each other their areas differ by no more than that times the length.
    """
    longest = max(source.perimeter, outline.perimeter)
    near = abs(source.perimeter - outline.perimeter) <= 0.02 * longest + 20.0 * SAME
    return near and abs(source.area - outline.area) <= 1.1 * SAME * longest


def _is_size(source: Contour, stored: tuple[float, float]) -> bool:
    """Return whether an outline is as large and as long as it was."""
    area, perimeter = stored
    return (
        abs(source.area - area) <= SAME_SIZE * area
        and abs(source.perimeter - perimeter) <= SAME_SIZE * perimeter
    )


def _sizes(stored: object) -> tuple[float, float] | None:
    """Return the stored area and length of an outline, None when there is none to be used."""
    if not isinstance(stored, list) or len(stored) != 2:
        return None
    if not all(isinstance(value, int | float) and value > 0.0 for value in stored):
        return None
    return float(stored[0]), float(stored[1])


def _apart(one: float, other: float) -> float:
    """Return the angle between two directions, degrees."""
    return abs((one - other + 180.0) % 360.0 - 180.0)
