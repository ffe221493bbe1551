# SPDX-License-Identifier: GPL-2.0-or-later
"""A joined outline is read in the place of the lines it was joined from."""

from __future__ import annotations

import json

from extension.job.reading import ReadRequest, read_pieces
from extension.operations.join_lines import JoinOptions, join_lines
from extension.pieces.stand_ins import with_stand_ins
from extension.svg.leaves import read_leaves
from tests.helpers.broken import rectangle
from tests.helpers.chopping import edge_by_edge
from tests.helpers.drawn import box, group, leaf
from tests.helpers.svg_builder import SvgBuilder

LAYER = group("joined-1", joined="1")


def test_the_outline_takes_the_groups_that_all_its_lines_are_in() -> None:
    front, inner, other = group("front"), group("inner"), group("other")
    one = leaf([(0, 0), (300, 0)], id="one", closed=False, groups=[front, inner])
    two = leaf([(300, 0), (0, 0)], id="two", closed=False, groups=[front, other])
    names = json.dumps(["one", "two"])
    outline = leaf(box(0, 0, 300, 500), id="o", groups=[LAYER], lay={"joined-from": names})
    (found,) = with_stand_ins([one, two, outline])
    assert (found.id, found.groups) == ("o", (front, LAYER))


def test_lines_elsewhere_and_lines_with_a_role_stay() -> None:
    near = leaf([(0, 0), (300, 0)], id="a", closed=False)
    fold = leaf([(0, 0), (0, 500)], id="fold", closed=False, lay={"role": "fold"})
    clone = leaf([(900, 0), (999, 0)], id="a", closed=False)
    names = json.dumps(["a", "fold"])
    outline = leaf(box(0, 0, 300, 500), id="o", groups=[LAYER], lay={"joined-from": names})
    assert [one.id for one in with_stand_ins([near, fold, clone, outline])] == ["fold", "a", "o"]


def test_a_line_along_the_edge_is_not_read_though_numbers_are_rounded() -> None:
    names = json.dumps(["a"])
    edge = leaf([(0, 500.0000007), (300, 500.0000007)], id="a", closed=False)
    outline = leaf(box(0, 0, 300, 500), id="o", groups=[LAYER], lay={"joined-from": names})
    assert [one.id for one in with_stand_ins([edge, outline])] == ["o"]


def test_without_joined_outlines_nothing_changes() -> None:
    broken = leaf(box(0, 0, 9, 9), id="x", lay={"joined-from": "not a list"})
    leaves = (leaf(box(0, 0, 300, 500), id="front"), broken)
    assert with_stand_ins(leaves) == leaves


def test_the_details_of_a_group_of_dashes_are_those_of_the_joined_piece() -> None:
    drawing = SvgBuilder("600mm", "400mm", (0, 0, 600, 400))
    front = drawing.add_group(id="front", label="Front", lay={"cut": "2", "size": "38"})
    for x, y, last_x, last_y in (
        (*part[0], *part[-1]) for part in edge_by_edge(rectangle(20, 20, 200, 300), (6.0, 3.0))
    ):
        drawing.add_line((x, y), (last_x, last_y), front, stroke="#000")
    drawing.add_line((60, 60), (60, 250), front, lay={"role": "grainline"})
    document = drawing.document()
    join_lines(document, JoinOptions())
    (piece,) = read_pieces(read_leaves(document), ReadRequest()).pieces
    assert (piece.id, piece.name, piece.size) == ("front", "Front", "38")
    assert [demand.cut for demand in piece.demands] == [2]
    assert piece.grain_from == "grainline"
    assert [mark.role for mark in piece.marks] == ["outline", "grainline"]
