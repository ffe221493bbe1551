# SPDX-License-Identifier: GPL-2.0-or-later
"""Everything drawn is read once, as it is seen, and reading changes nothing."""

from __future__ import annotations

import itertools
import math

from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from extension.svg.transforms import Matrix, apply
from tests.helpers.leaves import SHAPES, leaves_of, only
from tests.helpers.svg_builder import SvgBuilder, set_lay

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
