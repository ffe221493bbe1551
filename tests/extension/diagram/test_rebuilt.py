# SPDX-License-Identifier: GPL-2.0-or-later
"""Who lays the pattern by the placing table alone has the layout; the picture shows the same."""

from __future__ import annotations

import itertools
import math
import os
import re
from collections import Counter
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import shapely
from lxml import etree

from extension.diagram.page import page
from extension.diagram.section import sections
from extension.job.options import LayOutOptions
from extension.job.plan import Plan, titled
from extension.job.reading import ReadRequest, read_pieces
from extension.language.names import lay
from extension.layouts.layers import chosen_layers
from extension.operations.hold import hold_parts
from extension.operations.join_lines import join_lines, join_options
from extension.operations.read_markings import read_markings
from extension.pieces.model import DrawnPiece
from extension.svg.document import Document, parse, serialise
from extension.svg.leaves import read_leaves
from nesting.cloth.hands import hands_of
from nesting.cloth.problem import lying_turns
from nesting.geometry.shapes import oriented, whole_outline
from nesting.model import Layout, Placement
from tests.helpers.browser import print_page
from tests.helpers.cloth import typed_between_selvedges
from tests.helpers.diagrams import SAMPLES, published
from tests.helpers.edited import Edited
from tests.helpers.garments import LOOKS, MILLIMETRES, garment
from tests.helpers.layouts import drawn_into, layout_of, plan_of, read_back
from tests.helpers.pdf import pages_of
from tests.helpers.rebuilt import Rebuilt, apart, length_of, rebuilt, table_of, width_of
from tests.helpers.svg_builder import SvgBuilder

WITHIN = 1.0
"""mm by which no point of a part may lie elsewhere than on the layout."""

MATERIALS = {
    "garment": ("main",),
    "first-apron": ("main",),
    "inch-trousers": ("main",),
    "lined-jacket": ("main", "lining"),
    "wrap-skirt": ("main", "lining", "interfacing"),
    "untidy-smock": ("main",),
    "rain-jacket-sizes": ("main",),
}
"""The drawings (invented patterns) and what they are cut from."""
WIDTHS = {"metric": "150cm", "inches": "60in"}
ADDED = {"metric": "15mm", "inches": "5/8in"}
SIZES = {"rain-jacket-sizes": "116"}
"""Of the drawings that hold several sizes, the one that is laid."""
SMALL = ("garment", "first-apron")
DEEP = os.environ.get("HYPOTHESIS_PROFILE") == "deep"
WAYS = ("along", "turned", "turned, with allowance", "along, with allowance")


def drawing_of(name: str) -> Document:
    """Return a drawing that is ready to be laid out."""
    if name == "garment":
        return garment().document()
    return parse(_joined() if name in SIZES else (SAMPLES / f"{name}.svg").read_bytes())


@cache
def _joined() -> bytes:
    """Return the sheet of dashed sizes, joined and read."""
    joined = join_lines(parse(SAMPLES / "rain-jacket-sizes.svg"), join_options("", ())).drawing
    assert joined is not None
    return read_markings(parse(joined)).drawing


def freed(document: Document, plan: Plan) -> None:
    """Let the pieces lie in any direction, some of them a little off it, one on either side."""
    pieces = {cut.drawn.id: cut for cut in plan.cuts.values()}
    nodes = {str(node.get("id")): node for node in document.root.iter(etree.Element)}
    for count, id_ in enumerate(pieces):
        node = nodes[id_]
        node.set(lay("turns"), ("free", "four-way", "two-way")[count % 3])
        node.set(lay("turns-on-nap"), "allow")
        node.set(lay("off-grain"), ("0deg", "3.7deg", "11.3deg")[count // 2 % 3])
        if count % 4 == 0:
            node.set(lay("side-up"), "either")


def in_a_row(plan: Plan) -> Layout:
    """Return the parts one after the other along the cloth, in all the turns they may take."""
    spots, x, width = [], 0.0, plan.job.fabric.width
    numbers = itertools.count()
    for id_, cut in plan.cuts.items():
        turns = lying_turns(cut.piece, plan.job.fabric)
        for copy in range(1, cut.copies + 1):
            nth = next(numbers)
            flip = hands_of(cut.piece, copy)[-1]
            turn = turns[(5 * nth + 3) % len(turns)]
            points = oriented(whole_outline(cut.piece), cut.piece.grain, turn, flip)
            low, high = points.min(axis=0), points.max(axis=0)
            spare = width - (high - low)[1]
            if spare < 0.0:
                points = oriented(whole_outline(cut.piece), cut.piece.grain, turns[0], flip)
                turn, low, high = turns[0], points.min(axis=0), points.max(axis=0)
                spare = width - (high - low)[1]
            y = spare * ((nth * 0.377) % 1.0)
            garment_number = (copy - 1) // cut.piece.cut + 1
            at = np.array([x, y]) - low
            spots.append(
                Placement(id_, (copy,), garment_number, turn, flip, float(at[0]), float(at[1]))
            )
            x += float((high - low)[0]) + 7.3
    return layout_of(plan, spots, x)


def options_of(units: str, way: str, nap: str, material: str, size: str = "") -> LayOutOptions:
    typed = {"fabric_width": WIDTHS[units], "nap": nap, "material": material, "sizes": size}
    if "allowance" in way:
        typed["allowance"] = ADDED[units]
    return typed_between_selvedges(typed)


def laid(name: str, options: LayOutOptions, way: str) -> Document:
    """Return a drawing with a layout: the engine's first, or with parts turned all ways."""
    document = drawing_of(name)
    if way.startswith("turned"):
        freed(document, plan_of(document, options))
        drawn_into(document, options, in_a_row(plan_of(document, options)))
    else:
        drawn_into(document, options)
    return parse(serialise(document))


def pattern_of(document: Document, size: str) -> dict[str, DrawnPiece]:
    """Return the pieces as they are drawn, by name and size."""
    sizes = (size,) if size else None
    reading = read_pieces(read_leaves(document), ReadRequest(sizes=sizes))
    return {titled(piece): piece for piece in reading.pieces}


def page_of(document: Document) -> etree._Element:
    """Return the page of the last layout of a drawing."""
    layer = chosen_layers(document, ())[-1]
    return etree.fromstring(page(sections(document, [layer], "a4", "fit")).encode())


def number_of(document: Document) -> int:
    return int(chosen_layers(document, ())[-1].element.get(lay("layout"), "0"))


def check(document: Document, shown: etree._Element, size: str = "") -> None:
    """See that who lays the pattern by the table has the layout, and that the picture shows it."""
    rows, width = table_of(shown, "Placing table"), width_of(shown)
    parts = rebuilt(rows, width, pattern_of(document, size))
    outlines = read_back(document, number_of(document)).outlines
    left = {key: shapely.Polygon(outline) for key, outline in outlines.items()}
    assert len(parts) == len(left)
    for part in parts:
        far = {key: apart(part.cut, left[key]) for key in left if key[0] == part.id}
        key = min(far, key=lambda one: far[one])
        assert far[key] <= WITHIN, (part.number, part.id, far[key])
        del left[key]
    told = [number for svg in shown.iter("{*}svg") for number in check_picture(svg, parts, width)]
    assert sorted(told) == sorted(part.number for part in parts)


def check_picture(svg: etree._Element, parts: Sequence[Rebuilt], width: float) -> list[str]:
    """See that a picture shows parts where the table says, with their tops; return which."""
    cloth = next(one for one in svg.iter("{*}rect") if one.get("class") == "cloth")
    scale = float(cloth.get("height", "")) / width
    from_end = re.search(r"([\d ./]+ (?:cm|in)) from the cut end", _said(svg))
    start = length_of(from_end[1]) if from_end else 0.0
    outlines = [
        shapely.Polygon([(start + x / scale, width - y / scale) for x, y in _points(data)])
        for data in (one.get("points", "") for one in svg.iter("{*}polygon"))
    ]
    sides = [one.get("class") for one in svg.iter("{*}polygon")]
    arrows = [one.get("d", "") for one in svg.iter("{*}path") if one.get("class") == "grain"]
    told = [_said(one).rstrip("*") for one in svg.iter("{*}text") if one.get("class") == "number"]
    by_number = {part.number: part for part in parts}
    for number, outline, side, arrow in zip(told, outlines, sides, arrows, strict=True):
        part = by_number[number]
        # Two decimals of a millimetre on paper, where a stretch begins, and the table's own.
        assert apart(part.cut, outline) <= WITHIN + 0.01 / scale + (0.5 if start else 0.0)
        assert (side == "down") == part.down
        (x0, y0), (x1, y1) = _points(arrow)[:2]
        long = math.hypot(x1 - x0, y0 - y1)
        ahead = ((x1 - x0) * part.grain[0] + (y0 - y1) * part.grain[1]) / long
        assert ahead >= 1.0 - 0.02 / long
    return told


def _points(data: str) -> list[tuple[float, float]]:
    """Return the points of path data or of a polygon."""
    figures = [float(one) for one in re.findall(r"-?\d+\.\d+", data)]
    return list(zip(figures[::2], figures[1::2], strict=True))


def _said(element: etree._Element) -> str:
    return "".join(map(str, element.itertext()))


def ways_of(name: str) -> Sequence[str]:
    """Return the ways in which a drawing is laid in every run: the slowest are for `deep`."""
    slow = {"rain-jacket-sizes": (), "lined-jacket": WAYS[3:], "wrap-skirt": (WAYS[0], WAYS[3])}
    return slow.get(name, WAYS)


CASES = [
    (name, way, units, nap)
    for count, (name, way) in enumerate(itertools.product(MATERIALS, WAYS))
    for place, (units, nap) in enumerate(itertools.product(WIDTHS, ("yes", "no")))
    # All of them take minutes: of small drawings each way on two cloths, of larger ones on one.
    if DEEP
    or (name in SMALL and place % 2 == count % 2)
    or (place == (count + count // 4) % 4 and way in ways_of(name))
]


@pytest.mark.parametrize(("name", "way", "units", "nap"), CASES)
def test_the_table_alone_rebuilds_the_layout(name: str, way: str, units: str, nap: str) -> None:
    size = SIZES.get(name, "")
    for material in MATERIALS[name]:
        document = laid(name, options_of(units, way, nap, material, size), way)
        check(document, page_of(document), size)


def one_piece(turns: str, *, line: bool = True, fold: bool = False, **details: str) -> Document:
    """Return a drawing of one piece that has no symmetry; its grainline may stick out."""
    drawing = SvgBuilder(*MILLIMETRES)
    group = drawing.add_group(
        drawing.add_layer("Pieces", id="pieces"),
        id="yoke",
        lay={
            "name": "Yoke",
            "turns": turns,
            **{k.replace("_", "-"): v for k, v in details.items()},
        },
    )
    outline = "M 20 20 H 150 C 180 60 160 90 130 220 L 20 180 Z"
    drawing.add_path(outline, group, id="yoke-outline", lay={"role": "outline"}, **LOOKS)
    if line:
        drawing.add_line((60, 260), (60, 60), group, id="yoke-grain", lay={"role": "grainline"})
    if fold:
        drawing.add_line((20, 180), (20, 20), group, id="yoke-fold", lay={"role": "fold"})
    return drawing.document()


@pytest.mark.parametrize("units", WIDTHS)
@pytest.mark.parametrize("added", ["included", "added"])
@pytest.mark.parametrize(
    ("document", "line"),
    [
        (lambda: one_piece("free", side_up="either", cut="4"), ""),
        (lambda: one_piece("free", line=False, fold=True, cut="4"), "centre"),
        (lambda: one_piece("free", line=False, grain="up", cut="4"), "paper’s edge"),
    ],
    ids=["a grainline that sticks out", "a fold alone", "a typed grain"],
)
def test_whatever_tells_the_grain_is_measured_to(
    document: Callable[[], Document], line: str, added: str, units: str
) -> None:
    options = options_of(units, "with allowance" if added == "added" else "", "no", "main")
    drawing = document()
    drawn_into(drawing, options, in_a_row(plan_of(drawing, options)))
    again = parse(serialise(drawing))
    shown = page_of(again)
    # The last column is that of the boxes to tick.
    told = [list(row.values())[-2] for row in table_of(shown, "Placing table")]
    assert all(line in one for one in told)
    assert line or not any("centre" in one or "edge" in one for one in told)
    check(again, shown)


@pytest.mark.parametrize("flip", [False, True], ids=["printed side up", "printed side down"])
@pytest.mark.parametrize(
    ("turn", "words"),
    [
        (0.003, "along, top to the far end"),
        (0.4, "slanting 0.4° to the selvedge, top to the far end and the upper selvedge"),
        (17.346, "slanting 17.35° to the selvedge, top to the far end and the upper selvedge"),
        (89.95, "slanting 89.95° to the selvedge, top to the far end and the upper selvedge"),
        (90.0, "across, top to the upper selvedge"),
        (133.3, "slanting 46.7° to the selvedge, top to the cut end and the upper selvedge"),
        (181.0, "slanting 1° to the selvedge, top to the cut end and the lower selvedge"),
        (270.0, "across, top to the lower selvedge"),
        (359.5, "slanting 0.5° to the selvedge, top to the far end and the lower selvedge"),
    ],
)
def test_the_top_and_the_angle_are_told_in_words(turn: float, words: str, flip: bool) -> None:
    document = one_piece("free", off_grain="8deg", side_up="either")
    options = options_of("metric", "", "no", "main")
    plan = plan_of(document, options)
    spot = Placement("yoke", (1,), 1, turn, flip, 300.0, 700.0)
    drawn_into(document, options, layout_of(plan, [spot], 900.0))
    again = parse(serialise(document))
    shown = page_of(again)
    assert [row["grainline"] for row in table_of(shown, "Placing table")] == [words]
    check(again, shown)


def test_held_parts_are_told_like_others() -> None:
    document = Edited().document
    layer = chosen_layers(document, ())[-1]
    check(document, page_of(parse(hold_parts(document, [layer.id], hold=True).drawing)))


@pytest.mark.browser
@pytest.mark.parametrize("name", ["apron, allowance in inches", "skirt, allowance added"])
def test_a_printed_page_tells_every_row(tmp_path: Path, name: str) -> None:
    file, pdf = tmp_path / "page.html", tmp_path / "page.pdf"
    file.write_text(page(published(name)), encoding="utf-8")
    print_page(file, pdf)
    words = [word.text for leaf in pages_of(pdf) for word in leaf.words]
    for row in table_of(etree.fromstring(file.read_bytes()), "Placing table"):
        for cell in row.values():
            assert not Counter(cell.split()) - Counter(words), cell


def test_a_grainline_beside_the_paper_is_no_line_to_measure_to() -> None:
    """Drawn in the piece's group, yet not on it: the part is measured by its own edge."""
    drawing = SvgBuilder(*MILLIMETRES[:2], MILLIMETRES[2])
    made = drawing.add_group(id="tab", lay={"name": "Tab", "cut": "1"})
    drawing.add_rect(10, 10, 60, 40, made, id="outline", lay={"role": "outline"}, **LOOKS)
    drawing.add_line((200, 45), (200, 15), made, id="grain", lay={"role": "grainline"})
    edited = Edited(drawing)
    (section,) = sections(edited.document, chosen_layers(edited.document, []), "a4", "fit")
    assert "paper’s edge" in page([section])
