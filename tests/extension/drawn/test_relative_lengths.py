# SPDX-License-Identifier: GPL-2.0-or-later
"""Shapes that are measured in percentages or in letters lie on a layout where they were judged.

The sizes of letters are those of Inkscape 1.2 and 1.4, asked with `inkscape -S`: medium is 12.
"""

from __future__ import annotations

import pytest
import shapely

from extension.job.reading import ReadRequest, read_pieces
from extension.job.wishes import wishes_from_text
from extension.language.names import lay
from extension.operations.lay_out import lay_out_materials
from extension.operations.running import Run
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder

LAY = {"cut": "1", "grain": "up"}
SHAPES = {
    "circle": {"cx": "2em", "cy": "60%", "r": "5em"},
    "ellipse": {"cx": "30%", "cy": "9ex", "rx": "10%", "ry": "4em"},
    "rect": {"x": "1em", "y": "2ex", "width": "20%", "height": "9em", "rx": "1em"},
}


def drawing(kind: str, *, inside: bool, fold: bool = False) -> SvgBuilder:
    """Return a shape in letters and percentages, by itself or in a drawing within the drawing."""
    made = SvgBuilder("600mm", "400mm", (0, 0, 600, 400))
    home = made.add_group(style="font-size:20px")
    if inside:
        home = made.add("svg", home, x=50, y=40, width=300, height=200, viewBox="0 0 600 300")
    own = {**LAY, "fold": "left"} if fold else LAY
    made.add(kind, home, id="piece", style="fill:none;stroke:#000", lay=own, **SHAPES[kind])
    return made


@pytest.mark.parametrize("inside", [False, True])
@pytest.mark.parametrize("kind", list(SHAPES))
def test_a_part_is_as_large_as_its_piece(kind: str, inside: bool) -> None:
    document = drawing(kind, inside=inside).document()
    (piece,) = read_pieces(read_leaves(document), ReadRequest()).pieces
    wishes = wishes_from_text({"fabric_width": "90cm", "rounds": "1", "workers": "1"})
    outcome = lay_out_materials(document, wishes, Run(no_time, lambda _: False))
    root = parse(outcome.drawing).root
    (part,) = (n for n in root.iter(f"{{*}}{kind}") if n.get(lay("of")) == "piece")
    told = [part.get(name, "0") for name in SHAPES[kind]]
    assert all(text.replace(".", "").isdigit() for text in told), told
    leaves = read_leaves(parse(outcome.drawing), include_layouts=True)
    (drawn,) = (leaf for leaf in leaves if leaf.element.get(lay("of")) == "piece" and leaf.rings)
    there, here = (shapely.Polygon(each) for each in (drawn.rings[0].points, piece.outline))
    assert there.area == pytest.approx(here.area, rel=1e-4)
    assert there.bounds[2] - there.bounds[0] == pytest.approx(outcome.report["length"], abs=0.01)


@pytest.mark.parametrize("inside", [False, True])
def test_a_half_unfolds_to_what_was_judged(inside: bool) -> None:
    made = drawing("rect", inside=inside, fold=True)
    (rect,) = made.root.iter("{*}rect")
    del rect.attrib["rx"]
    document = made.document()
    (piece,) = read_pieces(read_leaves(document), ReadRequest()).pieces
    wishes = wishes_from_text({"fabric_width": "90cm", "rounds": "1", "workers": "1"})
    outcome = lay_out_materials(document, wishes, Run(no_time, lambda _: False))
    leaves = read_leaves(parse(outcome.drawing), include_layouts=True)
    (drawn,) = (leaf for leaf in leaves if leaf.element.get(lay("of")) == "piece" and leaf.rings)
    there, half = (shapely.Polygon(each) for each in (drawn.rings[0].points, piece.outline))
    assert there.area == pytest.approx(2.0 * half.area, rel=1e-4)


@pytest.mark.parametrize(
    ("size", "em"),
    [
        ("", 12.0),
        ("font-size:xx-small", 6.0),
        ("font-size:x-small", 8.0),
        ("font-size:small", 10.0),
        ("font-size:medium", 12.0),
        ("font-size:large", 14.0),
        ("font-size:x-large", 18.0),
        ("font-size:xx-large", 24.0),
        ("font-size:larger", 14.4),
        ("font-size:smaller", 10.0),
        ("font-size:20px", 20.0),
        ("font-size:1.5em", 18.0),
        ("font-size:150%", 18.0),
        ("font-size:10pt", 40.0 / 3.0),
    ],
)
def test_letters_are_as_large_as_in_the_editor(size: str, em: float) -> None:
    made = SvgBuilder("210mm", "210mm", (0, 0, 210, 210))
    home = made.add_group(style=size)
    made.add("rect", home, x=0, y=0, width="10em", height="1ex")
    (leaf,) = read_leaves(made.document())
    assert leaf.box == pytest.approx((0.0, 0.0, 10.0 * em, em / 2.0))
