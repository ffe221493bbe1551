# SPDX-License-Identifier: GPL-2.0-or-later
"""What we read is what the editor shows, before and after it has saved and changed a drawing."""

from __future__ import annotations

import math
import os
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
import shapely

from extension.svg.document import Document, parse
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from tests.helpers.screen import need, virtual_screen
from tests.helpers.svg_builder import SvgBuilder

pytestmark = pytest.mark.editor

# In mm. The editor writes eight digits; where it recomputes an arc, its radii have eight too, and
# the ends of a short arc on a long ellipse feel that.
SAVED = 1e-3
RECOMPUTED = 1e-2

CURVE = "M 20 10 C 60 -5 80 40 50 60 Q 30 80 25 50 A 12 20 30 0 1 20 10 Z"
SKEWED = "matrix(0.6 -0.2 0.9 1.4 30 -7)"


@pytest.fixture(scope="module")
def screen() -> Iterator[str]:
    need("inkscape")
    with virtual_screen() as display:
        yield display


def run_editor(screen: str, profile: Path, *arguments: str) -> str:
    """Run the editor with a profile of its own and return what it says."""
    environment = {**os.environ, "DISPLAY": screen, "INKSCAPE_PROFILE_DIR": str(profile)}
    done = subprocess.run(
        ["inkscape", *arguments],
        env=environment,
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    return done.stdout


def edited(drawing: SvgBuilder, screen: str, folder: Path, actions: str = "") -> Document:
    """Return a drawing as the editor saves it after some actions."""
    before, after = drawing.write(folder / "vor dem Ändern.svg"), folder / "nach dem Ändern.svg"
    todo = [*filter(None, [actions]), f"export-filename:{after}", "export-do"]
    run_editor(screen, folder / "profile", f"--actions={';'.join(todo)}", str(before))
    return parse(after)


def shown_boxes(drawing: SvgBuilder, screen: str, folder: Path) -> dict[str, list[float]]:
    """Return the box that the editor gives every object, in mm of the page."""
    path = drawing.write(folder / "Größe 38.svg")
    boxes: dict[str, list[float]] = {}
    for line in run_editor(screen, folder / "profile", "--query-all", str(path)).splitlines():
        name, x, y, width, height = line.rsplit(",", 4)
        low_x, low_y = float(x), float(y)
        corners = [low_x, low_y, low_x + float(width), low_y + float(height)]
        boxes[name] = [side * 25.4 / 96 for side in corners]
    return boxes


def by_id(document: Document) -> dict[str, Leaf]:
    return {leaf.id: leaf for leaf in read_leaves(document)}


def furthest(one: Leaf, other: Leaf) -> float:
    """Return how far apart the rings of two leaves are at most, mm (Hausdorff distance)."""
    assert len(one.rings) == len(other.rings)
    assert [ring.closed for ring in one.rings] == [ring.closed for ring in other.rings]
    lines = [
        shapely.MultiLineString(
            [[*ring.points, ring.points[0]] if ring.closed else ring.points for ring in leaf.rings]
        )
        for leaf in (one, other)
    ]
    return float(shapely.hausdorff_distance(*lines, densify=0.05))


def every_kind() -> SvgBuilder:
    """Draw one of every kind, in layers, groups and clones, without stroke."""
    drawing = SvgBuilder("10in", "5in", (-20, -10, 480, 240))
    drawing.root.set("style", "stroke:none")
    layer = drawing.add_layer("Größe 38", transform="translate(5 3) rotate(10)")
    drawing.add_path(CURVE, layer, id="path", transform=SKEWED)
    drawing.add_rect(20, 10, 60, 40, layer, id="rect", rx=7, ry=12, transform="skewX(30)")
    drawing.add("circle", layer, id="circle", cx=50, cy=40, r="10%")
    drawing.add("ellipse", layer, id="ellipse", cx="20%", cy=40, rx=40, ry="1cm")
    drawing.add_line((10, 20), (70, 60), layer, id="line")
    drawing.add("polyline", layer, id="polyline", points="10,20 70,60 30,90")
    drawing.add("polygon", layer, id="polygon", points="10,20 70,60 30,90", transform="scale(-1 2)")
    group = drawing.add_group(layer, id="group", transform="translate(5 0)")
    drawing.add_rect(0, 0, 10, 10, group, id="inner", transform="scale(2)")
    drawing.add_use("group", layer, id="clone", x=1, transform="scale(2)")
    drawing.add_use("clone", layer, id="clone of clone", x=1, y=2, transform="rotate(90)")
    drawing.add_use("path", id="clone of path", transform="scale(-1 1)")
    symbol = drawing.add_symbol("0 0 10 20", id="symbol")
    drawing.add_rect(0, 0, 10, 20, symbol, id="in symbol")
    drawing.add_use("symbol", id="wide", x=5, y=5, width=40, height=20)
    drawing.add_use("symbol", id="plain", transform="scale(0.5)")
    nested = drawing.add("svg", x=10, y=10, width="50%", height=40, viewBox="0 0 10 10")
    drawing.add("rect", nested, id="in drawing", width="50%", height=10)
    return drawing


def test_every_object_lies_where_the_editor_shows_it(screen: str, tmp_path: Path) -> None:
    drawing = every_kind()
    shown = shown_boxes(drawing, screen, tmp_path)
    leaves = read_leaves(drawing.document())
    seen: set[str] = set()
    for leaf in leaves:
        clone = next((group.id for group in leaf.groups if group.id in CLONES), None)
        seen.add(name := clone or leaf.id)
        # The editor prints six digits; a ring may lie inside its curve by the tolerance.
        assert leaf.box == pytest.approx(shown[name], abs=0.055), name
    assert seen >= {"path", "rect", "circle", "ellipse", "line", "polyline", "polygon", *CLONES}
    assert {"inner", "clone of path", "in drawing"} <= seen


CLONES = ("clone", "clone of clone", "wide", "plain")


@pytest.mark.parametrize(
    ("width", "height", "box", "preserve"),
    [
        ("20cm", "10cm", (0, 0, 400, 200), None),
        ("100mm", "100mm", (0, 0, 200, 100), None),
        ("100mm", "100mm", (0, 0, 200, 100), "none"),
        ("100mm", "100mm", (10, 20, 200, 100), "xMaxYMin slice"),
        ("50mm", None, (0, 0, 200, 100), None),
        (None, "50mm", (0, 0, 200, 100), None),
        (None, None, (0, 0, 200, 100), None),
        ("50%", "50%", (0, 0, 200, 100), None),
        ("7in", "300pt", None, None),
    ],
)
def test_the_page_is_the_one_the_editor_has(
    screen: str,
    tmp_path: Path,
    width: str | None,
    height: str | None,
    box: tuple[float, float, float, float] | None,
    preserve: str | None,
) -> None:
    drawing = SvgBuilder(width, height, box, preserve)
    drawing.add_rect(10, 20, 30, 40, id="r", style="stroke:none")
    (leaf,) = read_leaves(drawing.document())
    assert leaf.box == pytest.approx(shown_boxes(drawing, screen, tmp_path)["r"], abs=1e-3)


def test_what_the_editor_saves_is_read_as_before(screen: str, tmp_path: Path) -> None:
    drawing = every_kind()
    before, after = by_id(drawing.document()), by_id(edited(drawing, screen, tmp_path))
    assert set(after) == set(before)
    for name, leaf in before.items():
        assert furthest(leaf, after[name]) < SAVED, name
        assert [group.id for group in leaf.groups] == [group.id for group in after[name].groups]


def test_shapes_turned_into_paths_stay_where_they_were(screen: str, tmp_path: Path) -> None:
    drawing = every_kind()
    names = ("rect", "circle", "ellipse", "line", "polyline", "polygon")
    actions = f"select-by-id:{','.join(names)};object-to-path"
    before, after = by_id(drawing.document()), by_id(edited(drawing, screen, tmp_path, actions))
    for name in names:
        assert after[name].element.tag.endswith("}path")
        # Arcs have become cubic curves.
        assert furthest(before[name], after[name]) < 0.1, name


def test_groups_taken_apart_leave_their_objects_in_place(screen: str, tmp_path: Path) -> None:
    drawing = SvgBuilder("20cm", "10cm", (0, 0, 400, 200))
    outer = drawing.add_group(id="outer", transform="translate(30 20) rotate(25)")
    inner = drawing.add_group(outer, id="middle", transform=SKEWED)
    drawing.add_path(CURVE, inner, id="path", lay={"cut": "2"})
    drawing.add_line((10, 20), (70, 60), inner, id="line", lay={"role": "grainline"})
    actions = (
        "select-by-id:outer;selection-ungroup;select-clear;select-by-id:middle;selection-ungroup"
    )
    before, after = by_id(drawing.document()), by_id(edited(drawing, screen, tmp_path, actions))
    for name, leaf in before.items():
        assert after[name].groups == ()
        assert furthest(leaf, after[name]) < RECOMPUTED
        assert after[name].attributes == leaf.attributes
    # The editor has written the transforms into the path itself.
    assert after["path"].element.get("transform") is None


def test_unlinked_clones_stay_in_place(screen: str, tmp_path: Path) -> None:
    drawing = every_kind()
    names = ("clone", "clone of clone", "clone of path", "wide")
    actions = f"select-by-id:{','.join(names)};object-unlink-clones"
    before = {
        name: [leaf for leaf in read_leaves(drawing.document()) if is_shown_by(leaf, name)]
        for name in names
    }
    after = read_leaves(edited(drawing, screen, tmp_path, actions))
    for name in names:
        (old,) = before[name]
        distances = [furthest(old, leaf) for leaf in after if similar(old, leaf)]
        assert min(distances) < RECOMPUTED, name


def is_shown_by(leaf: Leaf, clone: str) -> bool:
    """Return whether a clone shows a leaf, directly or in a group."""
    return leaf.id == clone or any(group.id == clone for group in leaf.groups)


def similar(one: Leaf, other: Leaf) -> bool:
    """Return whether two leaves have as many rings, closed alike."""
    return [ring.closed for ring in one.rings] == [ring.closed for ring in other.rings]


@pytest.mark.parametrize(
    ("action", "turn", "mirrored"),
    [
        ("transform-rotate:30", 30, False),
        ("object-flip-horizontal", 0, True),
        ("object-rotate-90-cw", 90, False),
        ("transform-translate:40,-10", 0, False),
    ],
)
def test_a_path_and_a_group_with_one_are_changed_alike(
    screen: str, tmp_path: Path, action: str, turn: float, mirrored: bool
) -> None:
    # The editor writes the change into the bare path and gives the group a transform.
    drawing = SvgBuilder()
    drawing.add_path(CURVE, id="bare", style="stroke:none")
    drawing.add_path(CURVE, drawing.add_group(id="group"), id="grouped", style="stroke:none")
    actions = ";".join(f"select-clear;select-by-id:{name};{action}" for name in ("bare", "group"))
    before, after = by_id(drawing.document()), by_id(edited(drawing, screen, tmp_path, actions))
    assert after["bare"].element.get("transform") is None
    assert furthest(after["bare"], after["grouped"]) < SAVED
    assert furthest(before["bare"], after["bare"]) > 1
    old, new = (leaf.rings[0].points for leaf in (before["bare"], after["bare"]))
    angle = direction(new) - (180 - direction(old) if mirrored else direction(old))
    assert (angle - turn + 180) % 360 - 180 == pytest.approx(0, abs=0.01)


def direction(points: tuple[tuple[float, float], ...]) -> float:
    """Return the direction from the first point of a ring to the furthest one, degrees."""
    far = max(points, key=lambda point: math.dist(points[0], point))
    return math.degrees(math.atan2(far[1] - points[0][1], far[0] - points[0][0]))
