# SPDX-License-Identifier: GPL-2.0-or-later
"""Everything drawn is read once, where and as it is seen, whatever it is nested in."""

from __future__ import annotations

import itertools
import math
from io import BytesIO

import pytest
import svgelements
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from extension import leaves as leaves_module
from extension.document import parse
from extension.errors import DrawingError
from extension.leaves import read_leaves
from extension.model import Leaf, Ring
from extension.transforms import Matrix, apply, inverse, parse_transform
from tests.helpers.svg_builder import SvgBuilder, set_lay

MICROMETRE = 1e-3

SHAPES: dict[str, dict[str, str]] = {
    "path": {"d": "M 20 10 C 60 -5 80 40 50 60 Q 30 80 25 50 A 12 20 30 0 1 20 10 Z"},
    "rect": {"x": "20", "y": "10", "width": "60", "height": "40", "rx": "7", "ry": "12"},
    "circle": {"cx": "50", "cy": "40", "r": "30"},
    "ellipse": {"cx": "50", "cy": "40", "rx": "40", "ry": "15"},
    "line": {"x1": "10", "y1": "20", "x2": "70", "y2": "60"},
    "polyline": {"points": "10,20 70,60 30,90"},
    "polygon": {"points": "10,20 70,60 30,90"},
}
PAGES: list[tuple[str | None, str | None, tuple[float, float, float, float] | None, str | None]] = [
    ("200mm", "100mm", (0, 0, 200, 100), None),
    ("20cm", "10cm", (0, 0, 400, 200), None),
    ("10in", "5in", (-20, -10, 10, 5), None),
    ("300pt", "200pt", (0, 0, 100, 200), None),
    ("960px", "480px", None, None),
    ("960", "480", (5, 5, 96, 96), "xMinYMax meet"),
    ("100mm", "300mm", (0, 0, 200, 100), "none"),
    ("80pc", "40pc", (0, 0, 200, 100), "xMaxYMid slice"),
    (None, None, (0, 0, 200, 100), None),
]
TRANSFORMS = [
    "translate(12.5 -40)",
    "rotate(33)",
    "rotate(90 50 40)",
    "scale(-1 1)",
    "scale(0.35 2)",
    "skewX(35)",
    "skewY(-20) scale(1 -1)",
    "matrix(0.6 -0.2 0.9 1.4 30 -7)",
]


def leaves_of(drawing: SvgBuilder, **options: bool) -> dict[str, Leaf]:
    leaves = read_leaves(drawing.document(), **options)
    by_id = {leaf.id: leaf for leaf in leaves}
    assert len(by_id) == len(leaves)
    return by_id


def only(drawing: SvgBuilder) -> Leaf:
    (leaf,) = read_leaves(drawing.document())
    return leaf


def refusal(drawing: SvgBuilder) -> DrawingError:
    with pytest.raises(DrawingError) as error:
        read_leaves(drawing.document())
    sentence = str(error.value)
    assert "\n" not in sentence
    return error.value


def furthest(one: Leaf, other: Leaf) -> float:
    """Return how far apart the points of two equally read leaves are at most, mm."""
    assert [ring.closed for ring in one.rings] == [ring.closed for ring in other.rings]
    worst = 0.0
    for ours, theirs in zip(one.rings, other.rings, strict=True):
        assert len(ours.points) == len(theirs.points)
        pairs = zip(ours.points, theirs.points, strict=True)
        worst = max(worst, *(math.dist(a, b) for a, b in pairs))
    return worst


def ring_area(ring: Ring) -> float:
    rolled = [*ring.points[1:], ring.points[0]]
    return abs(
        sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring.points, rolled, strict=True)) / 2.0
    )


# Where things lie.


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


# Groups and layers.


def test_groups_are_told_from_the_outermost_in() -> None:
    drawing = SvgBuilder()
    layer = drawing.add_layer("Größe 38", id="Ebene 1", lay={"size": "38"})
    group = drawing.add_group(layer, label="Front", lay={"cut": "2"})
    link = drawing.add("a", group)
    drawing.add_path("M 0 0 H 9", link, label="Hem", lay={"role": "mark", "one-side": "yes"})
    leaf = only(drawing)
    assert [(g.id, g.label, g.is_layer) for g in leaf.groups] == [
        ("Ebene 1", "Größe 38", True),
        ("g2", "Front", False),
        ("a1", "", False),
    ]
    assert [g.attributes for g in leaf.groups] == [{"size": "38"}, {"cut": "2"}, {}]
    assert (leaf.id, leaf.label) == ("path1", "Hem")
    assert leaf.attributes == {"role": "mark", "one-side": "yes"}


def test_objects_without_ids_are_called_by_kind_and_number() -> None:
    drawing = SvgBuilder()
    group = drawing.add_group(id="")
    for _ in range(2):
        drawing.add_path("M 0 0 H 9", group, id="")
    found = leaves_of(drawing)
    assert list(found) == ["path-1", "path-2"]
    assert found["path-1"].groups[0].id == "g-1"


@pytest.mark.parametrize(
    "tag",
    [
        "defs",
        "clipPath",
        "mask",
        "pattern",
        "marker",
        "symbol",
        "metadata",
        "linearGradient",
        "foreignObject",
        "title",
        "desc",
        "style",
        "filter",
        "unknown",
    ],
)
def test_what_is_never_drawn_is_never_read(tag: str) -> None:
    drawing = SvgBuilder()
    drawing.add_rect(0, 0, 9, 9, drawing.add_group(drawing.add(tag)))
    assert read_leaves(drawing.document()) == ()


def test_elements_of_other_namespaces_comments_and_instructions_are_passed_over() -> None:
    drawing = SvgBuilder()
    drawing.root.append(etree.Comment("a note"))
    drawing.root.append(etree.ProcessingInstruction("note", "x"))
    other = etree.SubElement(drawing.root, "{urn:other}rect", width="9", height="9")
    drawing.add_rect(0, 0, 9, 9, other)
    drawing.add_rect(0, 0, 5, 5, id="seen")
    assert list(leaves_of(drawing)) == ["seen"]


@pytest.mark.parametrize("mark", ["layout", "review", "table"])
def test_layouts_are_passed_over_unless_they_are_asked_for(mark: str) -> None:
    drawing = SvgBuilder()
    drawing.add_rect(0, 0, 9, 9, id="piece")
    layer = drawing.add_layer("Layout 1", lay={mark: "1"})
    drawing.add_rect(0, 0, 9, 9, drawing.add_group(layer), id="part")
    drawing.add_use(layer, id="clone of it")
    assert list(leaves_of(drawing)) == ["piece"]
    leaves = read_leaves(drawing.document(), include_layouts=True)
    assert [leaf.id for leaf in leaves] == ["piece", "part", "part"]


def test_images_have_a_box_and_no_rings() -> None:
    drawing = SvgBuilder()
    drawing.add("image", x=10, y=20, width=30, height=40, transform="scale(2)")
    leaf = only(drawing)
    assert (leaf.rings, leaf.text) == ((), "")
    assert leaf.box == pytest.approx((20, 40, 80, 120))


def test_shapes_that_draw_nothing_are_leaves_without_rings() -> None:
    drawing = SvgBuilder()
    drawing.add_path("", transform="translate(3 4)", lay={"cut": "2"})
    leaf = only(drawing)
    assert leaf.rings == ()
    assert leaf.box == pytest.approx((3, 4, 3, 4))
    assert leaf.attributes == {"cut": "2"}


def test_a_switch_shows_the_first_child_whose_conditions_hold() -> None:
    # The editor (1.2.2) shows "c" of these, run in English.
    drawing = SvgBuilder()
    switch = drawing.add("switch")
    for name, conditions in [
        ("a", {"requiredExtensions": "http://example.org/x"}),
        ("b", {"systemLanguage": "de"}),
        ("c", {"systemLanguage": "fr, en-GB"}),
        ("d", {}),
    ]:
        drawing.add_rect(0, 0, 9, 9, drawing.add_group(switch, attributes=conditions), id=name)
    assert list(leaves_of(drawing)) == ["c"]


def test_a_drawing_in_the_drawing_has_its_own_viewport() -> None:
    # The editor (1.2.2) shows "a" on 40 to 80 by 10 to 50, "b" half as wide.
    drawing = SvgBuilder()
    inner = drawing.add("svg", x=10, y=10, width="50%", height=40, viewBox="0 0 10 10")
    drawing.add("rect", inner, id="a", width=10, height=10)
    drawing.add("rect", inner, id="b", width="50%", height=10)
    drawing.add("rect", drawing.add("svg", x=5), id="c", width="50%", height="50%")
    found = leaves_of(drawing)
    assert found["a"].box == pytest.approx((40, 10, 80, 50))
    assert found["b"].box == pytest.approx((40, 10, 60, 50))
    assert found["c"].box == pytest.approx((5, 0, 105, 50))
    assert [group.id for group in found["a"].groups] == ["svg1"]


# Clones.


@given(st.sampled_from(sorted(SHAPES)), st.sampled_from(TRANSFORMS), st.sampled_from(TRANSFORMS))
def test_a_clone_is_read_like_a_copy_put_in_its_place(kind: str, own: str, clones: str) -> None:
    drawing, copied = SvgBuilder(), SvgBuilder()
    drawing.add(kind, drawing.defs, id="shown", transform=own, attributes=SHAPES[kind])
    drawing.add_use("shown", id="clone", x=7, y="-3mm", transform=clones)
    moved = f"{clones} translate(7 {-3 * 96 / 25.4!r})"
    copied.add(kind, copied.add_group(transform=moved), transform=own, attributes=SHAPES[kind])
    assert furthest(only(drawing), only(copied)) < MICROMETRE


def test_a_clone_has_its_own_name_and_adds_its_attributes() -> None:
    drawing = SvgBuilder()
    path = drawing.add_path("M 0 0 H 9", label="Front", lay={"cut": "2", "size": "38"})
    drawing.add_use(path, id="clone", lay={"size": "40"})
    named = drawing.add_use(
        "clone", id="clone of it", label="Copy", lay={"size": "42", "hand": "same"}
    )
    drawing.lock(named)
    found = leaves_of(drawing)
    assert found["clone"].label == "Front"
    assert found["clone"].attributes == {"cut": "2", "size": "40"}
    assert found["clone of it"].label == "Copy"
    assert found["clone of it"].attributes == {"cut": "2", "size": "42", "hand": "same"}
    assert found["clone of it"].element.get("id") == path.get("id")
    assert [leaf.locked for leaf in found.values()] == [False, False, True]
    assert all(leaf.groups == () for leaf in found.values())


def test_a_clone_of_a_group_is_a_group_of_its_own() -> None:
    drawing = SvgBuilder()
    layer = drawing.add_layer("Pieces")
    group = drawing.add_layer("Front", layer, id="front", lay={"cut": "2", "name": "F"})
    drawing.add_path("M 0 0 H 9", drawing.add_group(group, transform="scale(2)"), id="hem")
    drawing.add_use(group, id="again", x=5, lay={"cut": "1"}, transform="scale(10)")
    original, clone = read_leaves(drawing.document())
    assert [g.id for g in original.groups] == ["g1", "front", "g3"]
    assert [g.id for g in clone.groups] == ["again", "g3"]
    shown = clone.groups[0]
    assert (shown.label, shown.is_layer) == ("Front", False)
    assert shown.attributes == {"cut": "1", "name": "F"}
    assert clone.id == "hem"
    assert clone.box == pytest.approx((50, 0, 230, 0))


def test_clones_of_clones_in_groups_are_followed() -> None:
    # The editor (1.2.2) shows u1 on 12 to 52 by 0 to 40, u2 on -42 to -2 by 13 to 53.
    drawing = SvgBuilder("200", "100", (0, 0, 200, 100))
    group = drawing.add_group(id="g", transform="translate(5 0)")
    drawing.add_rect(0, 0, 10, 10, group, transform="scale(2)")
    drawing.add_use(group, id="u1", x=1, transform="scale(2)")
    drawing.add_use("u1", id="u2", x=1, y=2, transform="rotate(90)")
    boxes = [[side * 96 / 25.4 for side in leaf.box] for leaf in read_leaves(drawing.document())]
    assert boxes[1] == pytest.approx([12, 0, 52, 40])
    assert boxes[2] == pytest.approx([-42, 13, -2, 53])


@pytest.mark.parametrize(
    ("symbol", "use", "box"),
    # As the editor (1.2.2) shows them on a page of 200 x 100 px; each symbol holds a square of 10.
    [
        ({}, {"x": "3", "width": "40", "height": "20"}, (3, 0, 13, 10)),
        (
            {"viewBox": "0 0 10 10"},
            {"x": "5", "y": "5", "width": "40", "height": "20"},
            (15, 5, 35, 25),
        ),
        ({"viewBox": "0 0 10 10"}, {}, (50, 0, 150, 100)),
        (
            {"viewBox": "0 0 10 10", "width": "20", "height": "20", "transform": "translate(3,0)"},
            {},
            (3, 0, 23, 20),
        ),
        (
            {"viewBox": "0 0 10 10", "width": "20", "height": "20", "transform": "translate(3,0)"},
            {"width": "40", "height": "40"},
            (3, 0, 43, 40),
        ),
        (
            {"viewBox": "0 0 10 10", "preserveAspectRatio": "none"},
            {"width": "40", "height": "20"},
            (0, 0, 40, 20),
        ),
        (
            {"viewBox": "0 0 10 10"},
            {"width": "50%", "height": "50%", "transform": "translate(1,1)"},
            (26, 1, 76, 51),
        ),
    ],
)
def test_symbols_fill_what_their_clone_gives_them(
    symbol: dict[str, str], use: dict[str, str], box: tuple[float, float, float, float]
) -> None:
    drawing = SvgBuilder("200", "100", (0, 0, 200, 100))
    square = drawing.add_symbol(id="s", label="Square", lay={"cut": "2"}, attributes=symbol)
    drawing.add_rect(0, 0, 10, 10, square)
    drawing.add_use("s", id="u", attributes=use)
    leaf = only(drawing)
    assert [side * 96 / 25.4 for side in leaf.box] == pytest.approx(box)
    assert [(g.id, g.label, dict(g.attributes)) for g in leaf.groups] == [
        ("u", "Square", {"cut": "2"})
    ]


def test_a_clone_of_a_clone_of_a_symbol_has_the_size_the_inner_one_gives() -> None:
    drawing = SvgBuilder("200", "100", (0, 0, 200, 100))
    drawing.add_rect(0, 0, 10, 10, drawing.add_symbol("0 0 10 10", id="s"))
    drawing.add_use("s", drawing.defs, id="inner", width=20, height=20)
    drawing.add_use("inner", id="outer", width=90, height=90)
    leaf = only(drawing)
    assert [side * 96 / 25.4 for side in leaf.box] == pytest.approx([0, 0, 20, 20])
    assert leaf.groups[0].id == "outer"


def test_a_clone_of_nothing_is_a_leaf_without_rings() -> None:
    drawing = SvgBuilder()
    drawing.add("clipPath", drawing.defs, id="clip")
    for target in ("gone", "clip", "svg"):
        drawing.add_use(target)
    found = leaves_of(drawing)
    assert list(found) == ["use1", "use2", "use3"]
    assert all(leaf.rings == () for leaf in found.values())


# Hidden, locked, styled.


def test_hidden_is_what_the_editor_does_not_show() -> None:
    drawing = SvgBuilder()
    drawing.add_style(".away { display: none }")
    layer = drawing.add_layer("Hidden", style="display:none")
    drawing.add_rect(0, 0, 9, 9, layer, id="in a hidden layer", style="display:inline")
    drawing.add_rect(0, 0, 9, 9, id="not displayed", display="none")
    drawing.add_rect(0, 0, 9, 9, id="by its class", attributes={"class": "away"})
    unseen = drawing.add_group(visibility="hidden")
    drawing.add_rect(0, 0, 9, 9, unseen, id="not visible")
    drawing.add_rect(0, 0, 9, 9, unseen, id="visible again", style="visibility:visible")
    drawing.add_rect(0, 0, 9, 9, id="collapsed", visibility="collapse")
    drawing.add_rect(0, 0, 9, 9, id="transparent", opacity="0")
    drawing.add_rect(0, 0, 9, 9, id="unpainted", style="fill:none;stroke:none")
    drawing.add_use("in a hidden layer", id="clone of a hidden one")
    drawing.add_use("not displayed", id="clone of one not displayed")
    hidden = {name: leaf.hidden for name, leaf in leaves_of(drawing).items()}
    assert hidden == {
        "in a hidden layer": True,
        "not displayed": True,
        "by its class": True,
        "not visible": True,
        "visible again": False,
        "collapsed": True,
        "transparent": False,
        "unpainted": False,
        "clone of a hidden one": False,
        "clone of one not displayed": True,
    }


def test_locked_is_what_the_editor_does_not_let_her_click() -> None:
    drawing = SvgBuilder()
    layer = drawing.add_layer("Locked")
    drawing.lock(layer)
    drawing.add_rect(0, 0, 9, 9, drawing.add_group(layer), id="in a locked layer")
    drawing.lock(drawing.add_rect(0, 0, 9, 9, id="locked"))
    drawing.add_use("locked", id="clone of a locked one")
    found = leaves_of(drawing)
    assert [leaf.locked for leaf in found.values()] == [True, True, False]


def test_a_clone_is_painted_by_where_it_stands() -> None:
    drawing = SvgBuilder()
    drawing.add_style("#shown { stroke-width: 3 }")
    drawing.add_path("M 0 0 H 9", drawing.add_group(fill="red"), id="shown")
    drawing.add_use("shown", drawing.add_group(fill="blue"), id="clone", stroke="black")
    found = leaves_of(drawing)
    assert found["shown"].style == {"fill": "red", "stroke-width": "3"}
    assert found["clone"].style == {"fill": "blue", "stroke": "black", "stroke-width": "3"}


def test_text_is_one_leaf_with_its_words() -> None:
    drawing = SvgBuilder()
    drawing.add_text("Front\nCut 2", 10, 20, lay={"role": "label"})
    leaf = only(drawing)
    assert (leaf.text, leaf.rings) == ("Front\nCut 2", ())
    assert leaf.attributes == {"role": "label"}


# Refusals.


@pytest.mark.parametrize(
    ("attributes", "words"),
    [
        ({"d": "M 0 0 L 5 x"}, "“Front” (bad) has a part that cannot be read (“5 x”)"),
        ({"d": "M 0 0 L 1e999 0"}, "1e999"),
        ({"d": "M 0 0 L 1e308 1e308", "transform": "scale(1e9)"}, "not finite"),
        ({"transform": "rotate(left)"}, "rotate(left)"),
        ({"style": "transform:rotate(30deg)"}, "transform in its style"),
        ({"style": "scale: 2"}, "transform in its style"),
    ],
)
def test_an_object_that_cannot_be_read_is_named(attributes: dict[str, str], words: str) -> None:
    drawing = SvgBuilder()
    drawing.add("path", id="bad", label="Front", attributes=attributes)
    error = refusal(drawing)
    assert words in str(error)
    assert "“Front” (bad)" in str(error)
    assert error.object_id == "bad"


def test_several_faults_are_one_line_with_the_first_named_and_the_rest_counted() -> None:
    drawing = SvgBuilder()
    for name in ("one", "two", "three"):
        drawing.add_path("M 0", id=name)
    error = refusal(drawing)
    assert "“one”" in str(error)
    assert "(and 2 more)" in str(error)
    assert error.object_id == "one"


def test_what_is_hidden_cannot_stop_a_run() -> None:
    drawing = SvgBuilder()
    drawing.add_path("M 0", style="display:none")
    drawing.add_path("M 0", drawing.add_layer("Hidden", style="display:none"), style="scale:2")
    drawing.add_rect(0, 0, 9, 9, id="seen")
    assert list(leaves_of(drawing)) == ["seen"]


def test_a_transform_in_the_style_of_the_whole_drawing_is_refused() -> None:
    drawing = SvgBuilder()
    drawing.root.set("id", "all")
    drawing.root.set("style", "transform:scale(2)")
    assert "“all” has a transform in its style" in str(refusal(drawing))
    drawing.root.set("style", "transform:none")
    assert read_leaves(drawing.document()) == ()


def test_a_drawing_in_the_drawing_that_is_moved_or_cloned_is_refused() -> None:
    # The editor (1.2.2) shows it unmoved, and its clone at another place and size.
    moved = SvgBuilder()
    moved.add("svg", id="inner", transform="scale(2)")
    assert "“inner” is a drawing inside the drawing" in str(refusal(moved))
    cloned = SvgBuilder()
    cloned.add("svg", cloned.defs, id="inner")
    cloned.add_use("inner", id="clone")
    assert "“clone” is a drawing inside the drawing" in str(refusal(cloned))


def test_a_clone_from_another_file_is_refused() -> None:
    drawing = SvgBuilder()
    drawing.add("use", id="far", href="sleeves.svg#left")
    assert "“far” is a clone of something in another file (“sleeves.svg#left”)" in str(
        refusal(drawing)
    )


@pytest.mark.parametrize("size", ["wide", "1e999"])
def test_sizes_that_cannot_be_read_name_the_object(size: str) -> None:
    drawing = SvgBuilder()
    drawing.add("rect", id="r", width=size, height=5)
    assert f"“r” has a part that cannot be read (“width={size}”)" in str(refusal(drawing))


# Bombs.


def test_clones_that_show_themselves_are_named() -> None:
    drawing = SvgBuilder()
    drawing.add_use("self", id="self")
    assert "“self” is a clone that shows itself" in str(refusal(drawing))
    pair = SvgBuilder()
    pair.add_use("two", id="one")
    pair.add_use("one", id="two")
    assert "“one” is a clone that shows itself" in str(refusal(pair))
    inside = SvgBuilder()
    inside.add_use("g1", inside.add_group(), id="within")
    assert "“within” is a clone that shows itself, or what it lies in" in str(refusal(inside))


def test_clones_of_clones_that_never_end_are_stopped() -> None:
    for content in ("rect", "g"):
        drawing = SvgBuilder()
        drawing.add(content, drawing.defs, id="level0", attributes={"width": "1", "height": "1"})
        for level in range(1, 40):
            group = drawing.add_group(drawing.defs, id=f"level{level}")
            for _ in range(2):
                drawing.add_use(f"level{level - 1}", group)
        drawing.add_use("level39")
        assert "shows more than 40,000 objects" in str(refusal(drawing))


def test_chains_of_clones_may_be_long_but_not_endless() -> None:
    def chain(length: int) -> SvgBuilder:
        drawing = SvgBuilder()
        drawing.add_rect(0, 0, 9, 9, drawing.defs, id="link0")
        for link in range(1, length + 1):
            drawing.add_use(f"link{link - 1}", drawing.defs, id=f"link{link}", x=1)
        drawing.add_use(f"link{length}", id="last", x=1)
        return drawing

    assert only(chain(90)).box == pytest.approx((91, 0, 100, 9))
    assert "“last” lies more than 100 groups and clones deep" in str(refusal(chain(200)))


def test_a_drawing_with_endless_curves_is_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    drawing = SvgBuilder()
    drawing.add_path("M 0 0 C 0 1e15 1e15 1e15 1e15 0", id="huge")
    error = refusal(drawing)
    assert "“huge”" in str(error)
    assert "2,000,000 points" in str(error)
    monkeypatch.setattr(leaves_module, "MAX_POINTS", 10)
    many = SvgBuilder()
    for _ in range(3):
        many.add_rect(0, 0, 9, 9)
    assert "“rect3”" in str(refusal(many))


def test_ten_thousand_paths_are_read() -> None:
    drawing = SvgBuilder()
    layer = drawing.add_layer("Many")
    for number in range(10_000):
        drawing.add_path(f"M {number} 0 h 1 v 1 z", layer, style="fill:none;stroke:black")
    leaves = read_leaves(drawing.document())
    assert len(leaves) == 10_000
    assert leaves[-1].box == pytest.approx((9999, 0, 10000, 1))


# Reading is only reading.


def test_reading_changes_nothing_and_is_the_same_every_time() -> None:
    drawing = SvgBuilder(width="10in", height="5in", view_box=(0, 0, 960, 480))
    group = drawing.add_group(transform="translate(60,0)  rotate(12.3456789012)")
    for kind, attributes in SHAPES.items():
        set_lay(drawing.add(kind, group, id=f"ä {kind}", attributes=attributes), cut="2")
    drawing.add_use(group, id="mit Leerzeichen", y=5)
    drawing.add_text("Größe", 1, 2)
    document = parse(drawing.data())
    before = etree.tostring(document.tree, method="c14n")
    first, second = read_leaves(document), read_leaves(document)
    assert etree.tostring(document.tree, method="c14n") == before
    assert [(a.id, a.rings, a.box) for a in first] == [(b.id, b.rings, b.box) for b in second]
    assert [leaf.id for leaf in first][:2] == ["ä path", "ä rect"]


@given(st.sampled_from([0.5, 0.05, 0.005]))
def test_the_tolerance_is_a_setting(tolerance: float) -> None:
    drawing = SvgBuilder()
    drawing.add("circle", r=50)
    (leaf,) = read_leaves(drawing.document(), tolerance_mm=tolerance)
    points = leaf.rings[0].points
    sagitta = 50 - min(
        math.hypot((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in itertools.pairwise(points)
    )
    assert tolerance / 2 < sagitta <= tolerance


def test_a_matrix_is_what_the_contract_says() -> None:
    matrix: Matrix = ((1.0, 2.0, 3.0), (4.0, 5.0, 6.0))
    # x' = a x + c y + e, y' = b x + d y + f with ((a, c, e), (b, d, f)).
    assert apply(matrix, (10.0, 100.0)) == (10 + 200 + 3, 40 + 500 + 6)
