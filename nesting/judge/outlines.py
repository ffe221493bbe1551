# SPDX-License-Identifier: GPL-2.0-or-later
"""The judge's rules that measure outlines: overlaps, gaps, edges of the cloth, stated figures.

They unfold, mirror and turn the pieces by their own means (complex numbers) and measure with
shapely; like the rest of the judge they share no code with the search.

How exact: two parts may come nearer to each other than they should, or share a strip, by a *slack*
that no knife can follow: 0.0000025 of the smaller part's extent, at least 0.0002 mm and at most
0.005 mm. The published layouts that count as clean (tests/nesting/judge/test_check.py) touch to
0.0000018 of it. A common area is as deep as the widest disc in it; an area that is no deeper than
the slack still counts when it is more than a twentieth of the smaller part, so that a needle
thinner than the slack cannot hide in another part. At selvedges and cut ends 0.00001 mm is allowed.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from nesting.judge.verdict import Violation, capital, figure, keys_of, part_key
from nesting.model import Fabric, Layout, Outline, Piece, Placement

OVERLAP, GAP, OFF_THE_CLOTH, FIGURES = "overlap", "gap", "off the cloth", "length"
"""Names of the rules that follow; their rows are in `rules`."""

SLACK_SHARE = 2.5e-6
"""Slack between two parts as a share of the smaller one's extent."""
SLACK_LEAST, SLACK_MOST = 2e-4, 5e-3
"""Bounds of the slack, mm."""
SWALLOWED = 0.05
"""Share of the smaller part's area that may not be common, however thin it is."""
EDGE_SLACK = 1e-5
"""mm by which a part may pass an edge of the cloth: rounding of coordinates, not cloth."""
SHARE_SLACK = 1e-6
"""Difference from the true utilisation that is still the truth."""
GRID = 1e-6
"""mm to which outlines are rounded when the library cannot tell what they share."""
LOT = 500
"""Pairs that are measured at a time."""
ENOUGH = 200
"""Violations of one rule after which no further pairs are measured: nobody reads more."""

Ring = NDArray[np.complex128]
"""Points of a closed outline as complex numbers x + iy, mm."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A flat sheet of cloth: `before` mm of cloth come before it.

    What is left is shared by so many sheets of one length. `start` is where it begins on the cloth
    before that was cut, mm from the cut end.
    """

    number: int = 0
    before: float = 0.0
    shares: int = 1
    start: float = 0.0

    def end(self, length: float | None) -> float:
        """Return where it ends at most, mm from its start, on cloth of a length (None: no end)."""
        return math.inf if length is None else (length - self.before) / self.shares


ONLY_SHEET = Sheet()


@dataclass(frozen=True, eq=False, slots=True)
class Laid:
    """One part as it lies: its key for the program, its label for the person, its polygon (mm).

    Parts on different sheets never meet. What one placement cuts through two layers is the same
    `part` (-1: nothing is known of that). What `is_stray` has left its zone, which is told by
    itself: it is not asked for the selvedges, nor for its distance from its own other copy. What
    `is_hidden` may lie over a flaw.
    """

    key: str
    label: str
    polygon: shapely.Geometry
    sheet: Sheet = ONLY_SHEET
    part: int = -1
    is_stray: bool = False
    is_hidden: bool = False


# --- from placements to outlines ----------------------------------------------------------------


def whole(piece: Piece) -> Ring:
    """Return the outline that is cut, unfolded when the piece is drawn on the fold."""
    ring = _ring(piece.outline)
    if piece.fold is None:
        return ring
    first, last = (complex(*end) for end in piece.fold)
    along = (last - first) / abs(last - first)
    # In a frame where the fold is the real axis its mirror image is the conjugate: exact.
    ring = (np.roll(ring, -int(np.argmin(abs(ring - first)))) - first) * along.conjugate()
    end = int(np.argmin(abs(ring - abs(last - first))))
    chains = ring[: end + 1], np.append(ring[end:], ring[0])
    half = max(chains, key=lambda chain: float(abs(chain.imag).max()))
    half = np.concatenate([half[:1].real, half[1:-1], half[-1:].real])
    return np.concatenate([half, half[-2:0:-1].conj()]) * along + first


def lay(pieces: Mapping[str, Piece], placements: Iterable[Placement]) -> list[Laid]:
    """Return the parts of placements as they lie, in fabric coordinates.

    A placement that cuts several copies lies there once and is named by the first of them.
    """
    rings = {name: lies_upright(piece) for name, piece in pieces.items()}
    laid = []
    for spot in placements:
        piece, ring = pieces[spot.piece], placed(rings[spot.piece], spot)
        polygon = sound(shapely.Polygon(np.column_stack([ring.real, ring.imag])))
        copy = spot.copies[0] if spot.copies else 0
        label = f"copy {copy} of {piece.label}"
        laid.append(Laid(part_key(piece.id, copy), label, polygon, is_hidden=piece.hidden))
    return laid


def lies_upright(piece: Piece) -> Ring:
    """Return the outline that is cut, its grainline along the cloth."""
    return whole(piece) * _unit(-piece.grain)


def fold_edge(piece: Piece, spot: Placement) -> NDArray[np.float64] | None:
    """Return the y of both ends of a piece's fold edge as it is placed; None without one."""
    if piece.fold is None:
        return None
    return placed(_ring(piece.fold) * _unit(-piece.grain), spot).imag


def placed(ring: Ring, spot: Placement) -> Ring:
    """Return points whose grainline lies along the cloth where a placement puts them."""
    return (ring.conj() if spot.flip else ring) * _unit(spot.turn) + complex(spot.x, spot.y)


def sound(polygon: shapely.Geometry) -> shapely.Geometry:
    """Return the area that an outline covers, as a geometry that can be measured.

    A slit as thin as rounding may close when it is turned, and a person may draw a loop; what
    covers cloth is covered all the same.
    """
    return polygon if polygon.is_valid else shapely.make_valid(polygon)


def common_area(
    one: NDArray[np.object_] | shapely.Geometry, two: NDArray[np.object_] | shapely.Geometry
) -> NDArray[np.object_]:
    """Return what sound geometries share, pair by pair."""
    try:
        common = shapely.intersection(one, two)
    except shapely.errors.GEOSException:
        # Rounded to a grid no crossing of lines is in doubt any more; it is far finer than any
        # slack. (Hobby, "Practical segment intersection with finite precision output",
        # Computational Geometry 13, 1999.)
        common = shapely.intersection(one, two, grid_size=GRID)
    return np.asarray(common, dtype=object)


def _ring(outline: Outline) -> Ring:
    """Return an outline as complex numbers."""
    points = np.asarray(outline, dtype=np.float64)
    return points[:, 0] + 1j * points[:, 1]


def _unit(degrees: float) -> complex:
    """Return the rotation by an angle as a complex number, exact at quarter turns."""
    quarters, rest = divmod(degrees, 90.0)
    exact = (1 + 0j, 1j, -1 + 0j, -1j)[int(quarters) % 4]
    return exact * cmath.rect(1.0, math.radians(rest)) if rest else exact


def is_finite(spot: Placement) -> bool:
    """Return whether a placement is somewhere at all."""
    return all(math.isfinite(value) for value in (spot.turn, spot.x, spot.y))


# --- rules about pairs of parts -----------------------------------------------------------------


def overlaps(laid: Sequence[Laid]) -> list[Violation]:
    """Rule "overlap": no two parts share cloth. In a heap of parts the first hundreds are told."""
    polygons = np.array([sound(part.polygon) for part in laid], dtype=object)
    found: list[Violation] = []
    for one, two in _pairs(laid, polygons, "intersects"):
        common, counts = shared(polygons, one, two)
        for k in np.flatnonzero(counts):
            area = float(shapely.area(common[k]))
            how = f"overlap by {figure(area)} mm² near {near_text(common[k])}"
            found.append(_of_pair(OVERLAP, laid[one[k]], laid[two[k]], area, how))
        if len(found) >= ENOUGH:
            break
    return found


def too_near(laid: Sequence[Laid], gap: float) -> list[Violation]:
    """Rule "gap": parts keep their distance (those that overlap are that rule's business)."""
    polygons = np.array([sound(part.polygon) for part in laid], dtype=object)
    found: list[Violation] = []
    if gap <= SLACK_LEAST:
        return found
    for one, two in _pairs(laid, polygons, "dwithin", gap - SLACK_LEAST):
        distance = shapely.distance(polygons[one], polygons[two])
        counts = gap - distance > _slack(polygons, one, two)
        counts[counts] = ~shared(polygons, one[counts], two[counts])[1]
        for k in np.flatnonzero(counts):
            apart = float(distance[k])
            found.append(_of_near(laid[one[k]], laid[two[k]], apart, gap))
        if len(found) >= ENOUGH:
            break
    return found


def shared(
    polygons: NDArray[np.object_], one: NDArray[np.intp], two: NDArray[np.intp]
) -> tuple[NDArray[np.object_], NDArray[np.bool_]]:
    """Return the common area of each pair, and whether it counts as an overlap."""
    common = common_area(polygons[one], polygons[two])
    least = np.minimum(shapely.area(polygons[one]), shapely.area(polygons[two]))
    swallowed = shapely.area(common) > SWALLOWED * least
    # Eroded by half the slack, an area vanishes when no disc of that diameter fits into it.
    eroded = shapely.buffer(common, -0.5 * _slack(polygons, one, two), quad_segs=2)
    return common, swallowed | ~shapely.is_empty(eroded)


def _pairs(
    laid: Sequence[Laid],
    polygons: NDArray[np.object_],
    predicate: str,
    distance: float | None = None,
) -> Iterator[tuple[NDArray[np.intp], NDArray[np.intp]]]:
    """Yield the pairs (first < second) for which a shapely predicate holds, in order, in lots.

    What can meet lies on one sheet.
    """
    shapely.prepare(polygons)
    sheets = np.array([part.sheet.number for part in laid], dtype=np.intp)
    strays = np.array([part.part if part.is_stray else -1 - k for k, part in enumerate(laid)])
    one, two = shapely.STRtree(polygons).query(polygons, predicate, distance)
    meet = (one < two) & (sheets[one] == sheets[two]) & (strays[one] != strays[two])
    one, two = one[meet], two[meet]
    order = np.lexsort((two, one))
    for start in range(0, len(order), LOT):
        lot = order[start : start + LOT]
        yield one[lot], two[lot]


def _slack(
    polygons: NDArray[np.object_], one: NDArray[np.intp], two: NDArray[np.intp]
) -> NDArray[np.float64]:
    """Return how much nearer than allowed the parts of each pair may come, mm."""
    bounds = shapely.bounds(polygons).reshape(-1, 4)
    extent = (bounds[:, 2:] - bounds[:, :2]).max(axis=1, initial=0.0)
    least: NDArray[np.float64] = np.minimum(extent[one], extent[two])
    return np.clip(SLACK_SHARE * least, SLACK_LEAST, SLACK_MOST)


def _of_pair(kind: str, one: Laid, two: Laid, amount: float, how: str) -> Violation:
    """Return a violation of two parts as a sentence with its remedy."""
    sentence = f"{capital(one.label)} and {two.label} {how}: move them apart."
    return Violation(kind, (one.key, two.key), amount, sentence)


def _of_near(one: Laid, two: Laid, apart: float, gap: float) -> Violation:
    """Return a violation of two parts that lie too near to each other."""
    if one.part != two.part or one.part < 0:
        how = f"lie {figure(apart)} mm apart, less than the gap of {figure(gap)} mm"
        return _of_pair(GAP, one, two, gap - apart, how)
    # Both are cut at once: the fold of the cloth is midway between them.
    sentence = (
        f"{capital(one.label)} lies {figure(apart / 2.0)} mm from the fold of the cloth, less than "
        f"half the gap of {figure(gap)} mm, so what is cut on both layers lies too near: move it "
        "away from the fold."
    )
    return Violation(GAP, (one.key, two.key), gap - apart, sentence)


# --- rules about one part -----------------------------------------------------------------------


def off_the_cloth(laid: Sequence[Laid], fabric: Fabric) -> list[Violation]:
    """Rule "off the cloth": every part lies within the cloth and its edge margin.

    Of cloth that has an outline of its own that is the business of rule "off the remnant".
    """
    margin = fabric.edge_margin
    found: list[Violation] = []
    if fabric.outline:
        return found
    for part in laid:
        x_low, y_low, x_high, y_high = part.polygon.bounds
        beyond = {
            "first cut end": margin - x_low,
            "other cut end": x_high - (part.sheet.end(fabric.length) - margin),
        }
        if not part.is_stray:
            beyond |= {
                "lower selvedge": margin - y_low,
                "upper selvedge": y_high - (fabric.width - margin),
            }
        edge = max(beyond, key=lambda name: beyond[name])
        if beyond[edge] > EDGE_SLACK:
            sentence = (
                f"{capital(part.label)} reaches {figure(beyond[edge])} mm beyond the cloth that "
                f"may be used at the {edge}: move it onto the cloth."
            )
            found.append(Violation(OFF_THE_CLOTH, (part.key,), beyond[edge], sentence))
    return found


def nowhere(placements: Iterable[Placement]) -> list[Violation]:
    """Rule "off the cloth" for placements whose figures are no numbers."""
    return [
        Violation(
            OFF_THE_CLOTH,
            keys_of(spot),
            math.inf,
            f"A copy of piece “{spot.piece}” has a position that is no number: lay it again.",
        )
        for spot in placements
        if not is_finite(spot)
    ]


def usable(fabric: Fabric) -> shapely.Geometry:
    """Return a piece of cloth that has an outline of its own, without its holes."""
    cloth = sound(shapely.Polygon(fabric.outline))
    for hole in fabric.holes:
        cloth = shapely.difference(cloth, sound(shapely.Polygon(hole)))
    return cloth


# --- the figures --------------------------------------------------------------------------------


def untrue_figures(
    fabric: Fabric, layout: Layout, laid: Sequence[Laid], lengths: Sequence[float]
) -> list[Violation]:
    """Rule "length": width, length, utilisation and lower bound are what the parts say.

    `laid` are all copies on flat cloth, `lengths` what the parts of each section need. The
    utilisation of cloth with an outline of its own is that of all of it.
    """
    length = sum(lengths)
    area = sum(part.polygon.area for part in laid)
    cloth = usable(fabric).area if fabric.outline else fabric.width * length
    share = area / cloth if cloth > 0.0 else 0.0
    slack = EDGE_SLACK + 1e-9 * abs(length)
    figures = [
        ("width", layout.width, fabric.width, slack),
        ("length", layout.length, length, slack),
        ("utilisation", layout.utilisation, share, SHARE_SLACK),
    ]
    if layout.sections:
        pairs = zip(layout.sections, lengths, strict=False)
        figures += [
            (f"length of section {number}", section.length, true, slack)
            for number, (section, true) in enumerate(pairs, 1)
        ]
    found = [
        Violation(
            FIGURES,
            (),
            abs(said - true),
            f"The layout states a {name} of {figure(said)}, but its parts give {figure(true)}.",
        )
        for name, said, true, allowed in figures
        if not abs(said - true) <= allowed
    ]
    if not layout.lower_bound - layout.length <= slack and not layout.left_over:
        sentence = (
            f"The layout states that no length below {figure(layout.lower_bound)} mm is possible, "
            f"but takes {figure(layout.length)} mm."
        )
        found.append(Violation(FIGURES, (), layout.lower_bound - layout.length, sentence))
    return found


# --- words --------------------------------------------------------------------------------------


def near_text(geometry: shapely.Geometry) -> str:
    """Return a place a person can find."""
    point = geometry.representative_point()
    return f"x = {point.x:.0f} mm, y = {point.y:.0f} mm"
