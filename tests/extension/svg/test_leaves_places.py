# SPDX-License-Identifier: GPL-2.0-or-later
"""Everything drawn lies where an independent reader sees it, in every unit, however nested."""

from __future__ import annotations

import itertools
import math
from io import BytesIO

import pytest
import svgelements
from hypothesis import given
from hypothesis import strategies as st

from extension.svg.model import Leaf, Ring
from extension.svg.transforms import apply, inverse, parse_transform
from tests.helpers.leaves import (
    MICROMETRE,
    PAGES,
    SHAPES,
    TRANSFORMS,
    furthest,
    leaves_of,
    only,
)
from tests.helpers.svg_builder import SvgBuilder


def ring_area(ring: Ring) -> float:
    rolled = [*ring.points[1:], ring.points[0]]
    return abs(
        sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring.points, rolled, strict=True)) / 2.0
    )


@pytest.mark.parametrize("kind", SHAPES)
@pytest.mark.parametrize("page", PAGES)
def test_every_shape_lies_where_an_independent_reader_sees_it(
    kind: str, page: tuple[str, str, tuple[float, float, float, float], str]
) -> None:
    # svgelements reads the whole file itself: units, viewBox, groups, transforms, shape. Its own
    # way to map an arc goes wrong under a skew, so points of its curves are mapped.
    for first, second in zip(TRANSFORMS, [*TRANSFORMS[3:], *TRANSFORMS[:3]], strict=True):
        drawing = SvgBuilder(*page)
        group = drawing.add_group(transform=first)
        drawing.add(kind, group, transform=second, attributes=SHAPES[kind])
        svg = svgelements.SVG.parse(BytesIO(drawing.data()), ppi=96.0, reify=False)
        (shape,) = [each for each in svg.elements() if isinstance(each, svgelements.Shape)]
        curve = svgelements.Path(shape.d(transformed=False))
        drawn = [
            (point.x, point.y)
            for segment in curve
            if not isinstance(segment, svgelements.Move)
            for point in (segment.point(step / 50) for step in range(51))
        ]
        to_px = shape.transform
        seen = [apply(((to_px.a, to_px.c, to_px.e), (to_px.b, to_px.d, to_px.f)), p) for p in drawn]
        xs, ys = [x * 25.4 / 96 for x, _ in seen], [y * 25.4 / 96 for _, y in seen]
        expected = (min(xs), min(ys), max(xs), max(ys))
        # Fifty points to a segment miss the outermost one by up to 2e-3 of a whole turn's radius.
        size = max(expected[2] - expected[0], expected[3] - expected[1])
        assert only(drawing).box == pytest.approx(expected, abs=0.06 + 1e-3 * size)


@given(st.sampled_from(sorted(SHAPES)), st.sampled_from(PAGES), st.sampled_from(TRANSFORMS))
def test_a_transform_and_its_inverse_leave_no_trace(
    kind: str, page: tuple[str, str, tuple[float, float, float, float], str], transform: str
) -> None:
    plain = SvgBuilder(*page)
    plain.add(kind, attributes=SHAPES[kind])
    (a, c, e), (b, d, f) = inverse(parse_transform(transform))
    undone = SvgBuilder(*page)
    outer = undone.add_group(transform=transform)
    inner = undone.add_layer(
        "Inner", outer, transform=f"matrix({a!r} {b!r} {c!r} {d!r} {e!r} {f!r})"
    )
    undone.add(kind, inner, attributes=SHAPES[kind])
    assert furthest(only(plain), only(undone)) < MICROMETRE


@given(st.lists(st.sampled_from(TRANSFORMS), max_size=4), st.sampled_from(sorted(SHAPES)))
def test_nested_transforms_are_the_product_of_them(transforms: list[str], kind: str) -> None:
    drawing, flat = SvgBuilder(), SvgBuilder()
    parent = None
    for transform in transforms:
        parent = drawing.add_group(parent, transform=transform)
    drawing.add(kind, parent, attributes=SHAPES[kind])
    flat.add(kind, attributes=SHAPES[kind], transform=" ".join(transforms))
    assert furthest(only(drawing), only(flat)) < MICROMETRE


@given(st.permutations(range(6)))
def test_what_is_read_of_an_object_does_not_depend_on_its_neighbours(order: list[int]) -> None:
    alone: dict[str, Leaf] = {}
    together = SvgBuilder()
    together.add_style("#shape3 { fill: none }")
    layer = together.add_layer("All", transform="scale(2)")
    for number in order:
        kind = sorted(SHAPES)[number]
        together.add(kind, layer, id=f"shape{number}", attributes=SHAPES[kind])
        single = SvgBuilder()
        group = single.add_group(transform="scale(2)")
        single.add(kind, group, id=f"shape{number}", attributes=SHAPES[kind])
        alone[f"shape{number}"] = only(single)
    found = leaves_of(together)
    assert list(found) == [f"shape{number}" for number in order]
    for name, leaf in found.items():
        assert leaf.rings == alone[name].rings
        assert leaf.style.get("fill") == ("none" if name == "shape3" else None)


@given(st.sampled_from(TRANSFORMS), st.sampled_from(PAGES))
def test_the_matrix_maps_the_elements_own_coordinates_to_the_page(
    transform: str, page: tuple[str, str, tuple[float, float, float, float], str]
) -> None:
    drawing = SvgBuilder(*page)
    drawing.add_line((3, 4), (50, 60), drawing.add_group(transform=transform), transform="scale(2)")
    leaf = only(drawing)
    ends = apply(leaf.matrix, (3, 4)), apply(leaf.matrix, (50, 60))
    assert leaf.rings == (Ring(ends, closed=False),)


# Circle skirts: radius = waist / 2 pi times 1, 2 or 4 for a full, half or quarter circle.


def skirt(unit: str, waist: float, length: float, times: int) -> SvgBuilder:
    """Draw a circle skirt of so many parts of a circle in its own unit."""
    r = waist / (2 * math.pi) * times
    size = 3 * (r + length)
    drawing = SvgBuilder(f"{size!r}{unit}", f"{size!r}{unit}", (-size / 2, -size / 2, size, size))
    if times == 1:
        circles = [
            f"M {r!r} 0 A {r!r} {r!r} 0 0 1 {-r!r} 0 A {r!r} {r!r} 0 0 1 {r!r} 0 Z"
            for r in (r + length, r)
        ]
        drawing.add_path(" ".join(circles))
        return drawing
    x, y = (-1.0, 0.0) if times == 2 else (0.0, 1.0)
    hem = r + length
    drawing.add_path(
        f"M {r!r} 0 L {hem!r} 0 A {hem!r} {hem!r} 0 0 1 {x * hem!r} {y * hem!r} "
        f"L {x * r!r} {y * r!r} A {r!r} {r!r} 0 0 0 {r!r} 0 Z"
    )
    return drawing


def waist_of(leaf: Leaf) -> tuple[float, float]:
    """Return the radius and the length in mm of the inner arc of a skirt round the origin."""
    centre = apply(leaf.matrix, (0.0, 0.0))
    points = leaf.rings[-1].points
    radius = min(math.dist(centre, point) for point in points)
    closed = [*points, points[0]] if len(leaf.rings) == 2 else points
    inner = [point for point in closed if math.dist(centre, point) < radius + 0.01]
    if len(leaf.rings) == 1:
        # The arc runs from where the second straight edge ends back to the first point.
        inner = [*inner[1:], inner[0]]
    return radius, sum(math.dist(a, b) for a, b in itertools.pairwise(inner))


@pytest.mark.parametrize(
    ("unit", "waist", "times", "printed", "rounding"),
    # Radii printed in sewing tutorials and a textbook; `rounding` is what they leave out.
    [
        ("in", 28, 1, 4.456, 0.001),
        ("in", 26, 1, 4.13, 0.01),
        ("in", 26, 2, 8.2, 0.1),
        ("in", 26, 4, 16.56, 0.01),
        ("cm", 110, 1, 17.52, 0.02),
        ("cm", 114, 1, 18.15, 0.01),
        ("cm", 112, 2, 35.67, 0.02),
        ("cm", 66, 1, 10.5, 0.01),
        ("in", 24, 1, 3.82, 0.01),
        ("in", 41.25, 1, 6.57, 0.01),
        ("in", 31.5, 2, 10, 0.05),
    ],
)
def test_circle_skirts_have_their_printed_radius_and_their_waist(
    unit: str, waist: float, times: int, printed: float, rounding: float
) -> None:
    mm = {"in": 25.4, "cm": 10.0}[unit]
    radius, length = waist_of(only(skirt(unit, waist, 24 if unit == "in" else 60, times)))
    assert radius / mm == pytest.approx(printed, abs=rounding)
    assert radius / mm == pytest.approx(waist * times / (2 * math.pi), rel=1e-9)
    # Chords are shorter than their arc, by less than a thousandth here.
    assert waist * mm * 0.999 < length < waist * mm


def test_the_circle_skirt_of_28_by_24_inches() -> None:
    # Derived by hand: full, an area of 2481.56 square inches on a square of 56.91 in; half, laid
    # with its straight edge along the selvedge, 65.83 in long and 32.91 in wide.
    full = only(skirt("in", 28, 24, 1))
    outer, inner = (ring_area(ring) / 25.4**2 for ring in full.rings)
    assert outer - inner == pytest.approx(2481.56, abs=0.5)
    assert (full.box[2] - full.box[0]) / 25.4 == pytest.approx(56.91, abs=0.005)
    half = only(skirt("in", 28, 24, 2))
    assert (half.box[2] - half.box[0]) / 25.4 == pytest.approx(65.83, abs=0.005)
    assert (half.box[3] - half.box[1]) / 25.4 == pytest.approx(32.91, abs=0.005)


def test_a_yard_is_a_yard_in_every_unit_of_a_drawing() -> None:
    # 1 yd = 36 in = 91.44 cm = 3456 px = 2592 pt = 216 pc.
    for side in ("36in", "91.44cm", "914.4mm", "3456px", "3456", "2592pt", "216pc"):
        drawing = SvgBuilder(width="100in", height="100in", view_box=None)
        drawing.add("rect", width=side, height=side)
        assert only(drawing).box == pytest.approx((0, 0, 914.4, 914.4), abs=1e-9)
