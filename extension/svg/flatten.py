# SPDX-License-Identifier: GPL-2.0-or-later
"""Turns subpaths into rings of straight lines in page mm, with a proven bound on the error.

Curves are mapped to the page first, then cut into equal steps of their parameter, so the bound
holds in millimetres after every transform. Points lie on the true curve; the chords leave it by
no more than the tolerance:

- Bezier of degree n: a chord over a parameter step h leaves the curve by at most
  h^2 / 8 * max |B''|, the error of linear interpolation, and |B''| is at most n (n - 1) times the
  largest second difference of the control points. (Wang, "The subdivision algorithm for the
  generation of Bezier curves", 1984; also Filip, Magedson & Markot, CAGD 3, 1986.)
- Arc: a circle of radius 1 leaves its chord by 1 - cos(step / 2) at most, and an affine map
  stretches that by no more than its larger semi-axis.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence

from extension.svg.model import Matrix, Ring
from extension.svg.pathdata import Segment, Subpath
from extension.svg.transforms import apply, apply_vector
from nesting.model import Point

TOLERANCE = 0.05
"""mm by which a ring may leave what is drawn."""
ENDS_MEET = 0.01
"""mm: an end this near the start is the start, and closes the ring."""
SAME_POINT = 1e-6
"""mm: consecutive points no further apart than this, across and down, are one."""
MAX_POINTS = 2_000_000
"""How many points we keep of a whole drawing."""


STRAIGHT = 1e-8
"""Half the chord of an arc as a share of its radius below which it is a straight line: it leaves
its chord by half that share of the half chord, 0.0000025 mm on a metre."""


class TooManyPoints(ValueError):
    """The curves need more points than may be spent on them."""


def flatten(
    subpaths: Iterable[Subpath],
    matrix: Matrix,
    tolerance_mm: float = TOLERANCE,
    most_points: int = MAX_POINTS,
) -> tuple[Ring, ...]:
    """Return each subpath as a ring in page mm; one without extent gives none.

    `matrix` maps the subpaths' coordinates to the page. A ring is closed when its subpath is, or
    when its ends lie within `ENDS_MEET`. Joining near ends uses a fifth of the tolerance, curves
    the rest. Raises TooManyPoints when more than `most_points` would be needed, ValueError when a
    coordinate is not finite on the page.
    """
    rings: list[Ring] = []
    for subpath in subpaths:
        points = _polyline(subpath, matrix, 0.8 * tolerance_mm, most_points)
        most_points -= len(points)
        ring = _ring(points, subpath.closed, min(ENDS_MEET, 0.2 * tolerance_mm))
        if ring is not None:
            rings.append(ring)
    return tuple(rings)


def _ring(points: Sequence[Point], closed: bool, ends_meet: float) -> Ring | None:
    """Return the points without repetitions, or None when they have no extent."""
    if not all(map(math.isfinite, itertools.chain.from_iterable(points))):
        raise ValueError("a coordinate that is not finite")
    kept = [last := points[0]]
    for point in points:
        if abs(point[0] - last[0]) > SAME_POINT or abs(point[1] - last[1]) > SAME_POINT:
            kept.append(last := point)
    if len(kept) > 2 and math.dist(kept[0], kept[-1]) <= ends_meet:
        kept.pop()
        closed = True
    return Ring(tuple(kept), closed) if len(kept) > 1 else None


def _polyline(subpath: Subpath, matrix: Matrix, tolerance: float, most_points: int) -> list[Point]:
    """Return the points of a subpath on the page."""
    points = [apply(matrix, subpath.start)]
    before = subpath.start
    for segment in subpath.segments:
        if len(segment) == 2:
            points.append(apply(matrix, (segment[0], segment[1])))
        elif len(segment) == 7:
            _add_arc(points, before, segment, matrix, tolerance, most_points)
        else:
            _add_bezier(points, segment, matrix, tolerance, most_points)
        if len(points) > most_points:
            raise TooManyPoints
        before = (segment[-2], segment[-1])
    return points


def _steps(needed: float, spare: int) -> int:
    """Return a number of steps as an integer, within what may still be spent."""
    if not needed <= spare:
        raise TooManyPoints
    return max(1, math.ceil(needed))


def _add_bezier(
    points: list[Point], segment: Segment, matrix: Matrix, tolerance: float, most_points: int
) -> None:
    """Add the points of a quadratic or cubic Bezier from the last point on."""
    controls = [points[-1]]
    for index in range(0, len(segment), 2):
        controls.append(apply(matrix, (segment[index], segment[index + 1])))
    if _is_flat(controls, tolerance):
        points.append(controls[-1])
        return
    degree = len(controls) - 1
    bend = max(
        math.hypot(a[0] - 2.0 * b[0] + c[0], a[1] - 2.0 * b[1] + c[1])
        for a, b, c in zip(controls, controls[1:], controls[2:], strict=False)
    )
    needed = math.sqrt(degree * (degree - 1) * bend / (8.0 * tolerance))
    count = _steps(needed, most_points - len(points))
    evaluate = _cubic if degree == 3 else _quadratic
    points.extend(evaluate(controls, count))
    points.append(controls[-1])


def _is_flat(controls: Sequence[Point], tolerance: float) -> bool:
    """Return whether every control point lies within the tolerance of the chord.

    The curve lies in the hull of its control points, so then it does too; this spares a straight
    edge that was drawn as a curve from points it does not need.
    """
    (x, y), end = controls[0], controls[-1]
    along_x, along_y = end[0] - x, end[1] - y
    length = math.hypot(along_x, along_y)
    if length == 0.0:
        return all(math.dist(controls[0], control) <= tolerance for control in controls)
    for control in controls[1:-1]:
        right, down = control[0] - x, control[1] - y
        along = (right * along_x + down * along_y) / length
        across = abs(right * along_y - down * along_x) / length
        if math.hypot(across, max(-along, along - length, 0.0)) > tolerance:
            return False
    return True


def _cubic(controls: Sequence[Point], count: int) -> Iterable[Point]:
    """Yield the points of a cubic at the inner ones of `count` equal steps."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = controls
    cx, cy = 3.0 * (x1 - x0), 3.0 * (y1 - y0)
    bx, by = 3.0 * (x2 - x1) - cx, 3.0 * (y2 - y1) - cy
    ax, ay = x3 - x0 - cx - bx, y3 - y0 - cy - by
    for step in range(1, count):
        t = step / count
        yield ((ax * t + bx) * t + cx) * t + x0, ((ay * t + by) * t + cy) * t + y0


def _quadratic(controls: Sequence[Point], count: int) -> Iterable[Point]:
    """Yield the points of a quadratic at the inner ones of `count` equal steps."""
    (x0, y0), (x1, y1), (x2, y2) = controls
    bx, by = 2.0 * (x1 - x0), 2.0 * (y1 - y0)
    ax, ay = x2 - x1 - bx / 2.0, y2 - y1 - by / 2.0
    for step in range(1, count):
        t = step / count
        yield (ax * t + bx) * t + x0, (ay * t + by) * t + y0


def _add_arc(
    points: list[Point],
    before: Point,
    segment: Segment,
    matrix: Matrix,
    tolerance: float,
    most_points: int,
) -> None:
    """Add the points of an elliptical arc from the last point on."""
    end = (segment[5], segment[6])
    arc = _centre_form(before, segment)
    if arc is not None:
        centre, u, v, start, sweep = arc
        middle = apply(matrix, centre)
        (ux, uy), (vx, vy) = apply_vector(matrix, u), apply_vector(matrix, v)
        sagitta = min(tolerance / max(_longest_radius(ux, uy, vx, vy), tolerance), 1.0)
        # From the half angle's sine: 1 - cos loses all digits on a nearly flat arc.
        step = min(4.0 * math.asin(math.sqrt(sagitta / 2.0)), math.pi / 2.0)
        count = _steps(abs(sweep) / step if step else math.inf, most_points - len(points))
        for index in range(1, count):
            angle = start + sweep * index / count
            cos, sin = math.cos(angle), math.sin(angle)
            points.append((middle[0] + ux * cos + vx * sin, middle[1] + uy * cos + vy * sin))
    points.append(apply(matrix, end))


def _longest_radius(ux: float, uy: float, vx: float, vy: float) -> float:
    """Return the larger semi-axis of an ellipse given by two conjugate radii.

    It is the larger singular value of the matrix with these columns.
    """
    return (math.hypot(ux + vy, uy - vx) + math.hypot(ux - vy, uy + vx)) / 2.0


def _centre_form(
    before: Point, segment: Segment
) -> tuple[Point, Point, Point, float, float] | None:
    """Return (centre, radius u, radius v, start angle, sweep in radians) of an arc.

    The point at angle t is centre + u cos t + v sin t. None when the arc is a straight line:
    a radius is 0, or its ends are one point. Too small radii grow until they reach.
    Source: SVG 1.1, appendix F.6.5 and F.6.6.
    """
    rx, ry, turn, large, positive, x, y = segment
    rx, ry = abs(rx), abs(ry)
    if rx == 0.0 or ry == 0.0 or before == (x, y):
        return None
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    half_x, half_y = (before[0] - x) / 2.0, (before[1] - y) / 2.0
    # On the circle of radius 1 the ends lie at p and -p from the middle between them.
    px, py = (cos * half_x + sin * half_y) / rx, (cos * half_y - sin * half_x) / ry
    reach = math.hypot(px, py)
    if reach < STRAIGHT and not large:
        return None
    if reach == 0.0:
        return None
    if reach > 1.0:
        rx, ry, px, py = rx * reach, ry * reach, px / reach, py / reach
        reach = 1.0
    away = math.sqrt(max(0.0, (1.0 - reach) * (1.0 + reach))) / reach
    if bool(large) == bool(positive):
        away = -away
    centre_x, centre_y = away * py, -away * px
    start = math.atan2(py - centre_y, px - centre_x)
    sweep = math.atan2(-py - centre_y, -px - centre_x) - start
    if positive:
        sweep %= math.tau
    else:
        sweep = -(-sweep % math.tau)
    if large and abs(sweep) < math.pi / 2.0:
        # Ends so near each other that their angles are equal: the whole way round is left.
        sweep = math.tau if positive else -math.tau
    u, v = (rx * cos, rx * sin), (-ry * sin, ry * cos)
    middle = (before[0] + x) / 2.0, (before[1] + y) / 2.0
    centre = (
        middle[0] + u[0] * centre_x + v[0] * centre_y,
        middle[1] + u[1] * centre_x + v[1] * centre_y,
    )
    return centre, u, v, start, sweep
