# SPDX-License-Identifier: GPL-2.0-or-later
"""Pieces that are their own mirror image have no hand; a notch on one side gives them one."""

from __future__ import annotations

import pytest

from extension.job.plan import make_plan
from extension.operations.lay_out import lay_out
from extension.operations.running import Run
from extension.svg.document import matrix_of
from extension.svg.leaves import read_leaves
from extension.svg.transforms import apply, inverse
from nesting.cloth.hands import has_no_hand, may_go_double
from nesting.geometry.symmetry import SAME_SIDE
from tests.helpers.cloth import between_selvedges
from tests.helpers.drawn import piece, read, sheet
from tests.helpers.edited import Edited
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder

HALF = "q 40,-30 70,0 v 160 q -20,30 -70,20"


def strip(cut: str = "2", **details: str) -> tuple[SvgBuilder, object]:
    """Return a drawing of a rectangle 60 x 200 with its grainline off its middle."""
    drawing = sheet()
    group = drawing.add_group(id="strip", lay={"name": "Strip", "cut": cut, **details})
    drawing.add_rect(20, 30, 60, 200, group, id="strip-outline")
    drawing.add_line((35, 200), (35, 60), group, id="strip-grain", lay={"role": "grainline"})
    return drawing, group


def marked(*marks: tuple[tuple[float, float], tuple[float, float]], role: str = "notch") -> bool:
    """Return whether the rectangle is symmetric with these lines on it."""
    drawing, group = strip()
    for start, end in marks:
        drawing.add_line(start, end, group, lay={"role": role})  # type: ignore[arg-type]
    return piece(drawing).symmetric


def test_a_rectangle_is_symmetric_wherever_its_grainline_is_drawn() -> None:
    assert piece(strip()[0]).symmetric


HEADS = ("M 30 65 L 35 55 L 40 65 Z", "M 31 66 L 35 60 L 39 66", "M 31 195 L 35 205 L 39 195 Z")


@pytest.mark.parametrize("head", HEADS)
def test_a_head_of_the_grainline_drawn_by_itself_gives_no_hand(head: str) -> None:
    drawing, group = strip()
    drawing.add_path(head, group, lay={"role": "mark"})  # type: ignore[arg-type]
    assert piece(drawing).symmetric


@pytest.mark.parametrize(
    "mark",
    ["M 30 100 L 35 90 L 40 100 Z", "M 22 65 L 27 55 L 32 65 Z", "M 33 61 L 60 100 L 60 160 Z"],
)
def test_what_lies_elsewhere_or_is_large_is_no_head_of_it(mark: str) -> None:
    drawing, group = strip()
    drawing.add_path(mark, group, lay={"role": "mark"})  # type: ignore[arg-type]
    assert not piece(drawing).symmetric


@pytest.mark.parametrize("role", ["notch", "mark", "stitching"])
def test_lines_on_one_side_give_a_hand_and_on_both_sides_none(role: str) -> None:
    left, right = ((20.0, 90.0), (26.0, 90.0)), ((80.0, 90.0), (74.0, 90.0))
    assert not marked(left, role=role)
    assert not marked(left, ((80.0, 94.0), (74.0, 94.0)), role=role)
    assert marked(left, right, role=role)


def test_lines_with_the_same_ends_are_not_yet_the_same_lines() -> None:
    corners = (40.0, 90.0), (60.0, 90.0), (40.0, 110.0), (60.0, 110.0)
    top, bottom, slant = (corners[:2]), (corners[2:]), (corners[1], corners[2])
    assert marked(top, bottom, slant, (corners[0], corners[3]))
    assert not marked(top, bottom, slant)


def test_words_and_hidden_lines_do_not_count_but_pictures_do() -> None:
    drawing, group = strip()
    drawing.add_text("Strip", 25, 120, group, font_size=8)  # type: ignore[arg-type]
    drawing.add_line((20, 90), (26, 90), group, style="display:none")  # type: ignore[arg-type]
    assert piece(drawing).symmetric
    drawing.add("image", group, x=25, y=40, width=9, height=9)  # type: ignore[arg-type]
    assert not piece(drawing).symmetric


@pytest.mark.parametrize("turn", [0.0, 33.0, 90.0, 211.5])
def test_the_grain_is_the_line_that_counts(turn: float) -> None:
    turned = f"rotate({turn}, 150, 150)"
    along, across = sheet(), sheet()
    for drawing, grain in ((along, ((150, 200), (150, 80))), (across, ((100, 120), (200, 120)))):
        group = drawing.add_group(id="flap", lay={"cut": "2"}, transform=turned)
        drawing.add_path("M 100,100 H 200 L 180,220 H 120 Z", group)
        drawing.add_line(*grain, group, lay={"role": "grainline"})
    assert piece(along).symmetric
    assert not piece(across).symmetric


@pytest.mark.parametrize(("off", "symmetric"), [(0.9, True), (1.1, False)])
def test_the_sides_may_differ_by_no_more_than_a_hair(off: float, symmetric: bool) -> None:
    drawing = sheet()
    drawing.add_path(
        f"M 100,100 H 200 V 150 L {198.0 + off * SAME_SIDE},160 190,220 H 110 L 102,160 100,150 Z",
        id="flap",
        lay={"grain": "up"},
    )
    assert piece(drawing).symmetric == symmetric


def test_curves_are_compared_as_they_are_drawn() -> None:
    drawing = sheet()
    drawing.add_path(f"M 200,100 {HALF} Z", id="half", lay={"grain": "up"})
    assert not piece(drawing).symmetric
    drawing = sheet()
    drawing.add_path(
        f"M 200,100 {HALF} q -50,10 -70,-20 v -160 q 30,-30 70,0 Z", id="both", lay={"grain": "up"}
    )
    assert piece(drawing).symmetric


def test_an_allowance_is_part_of_what_is_cut() -> None:
    assert piece(strip(allowance="12mm")[0]).symmetric


def test_a_half_on_the_fold_is_no_matter_of_hands() -> None:
    drawing, group = strip()
    drawing.add_line((20, 30), (20, 230), group, lay={"role": "fold"})  # type: ignore[arg-type]
    assert not piece(drawing).symmetric


@pytest.mark.parametrize("role", ["notch", "label"])
def test_marks_alone_may_give_a_hand_and_the_engine_is_told(role: str) -> None:
    drawing, group = strip("2", hand="same")
    drawing.add_line((20, 90), (26, 90), group, lay={"role": role})  # type: ignore[arg-type]
    (one,) = make_plan(read(drawing), between_selvedges(900.0)).job.pieces
    assert one.handed == (role == "notch")
    assert has_no_hand(one) == (role == "label")
    assert may_go_double(one, (1, 2)) == (role == "label")


@pytest.mark.parametrize("one_side", ["yes", "no"])
def test_what_is_opened_out_has_a_hand_only_by_a_mark_of_one_side(one_side: str) -> None:
    drawing, group = strip("2")
    drawing.add_line((20, 30), (20, 230), group, lay={"role": "fold"})  # type: ignore[arg-type]
    drawing.add_line(  # type: ignore[call-overload]
        (60, 90), (66, 90), group, lay={"role": "mark", "one-side": one_side}
    )
    (one,) = make_plan(read(drawing), between_selvedges(900.0)).job.pieces
    assert has_no_hand(one) == (one_side == "no")


def test_an_outline_that_has_sides_needs_no_mark_to_tell_them() -> None:
    drawing = sheet()
    drawing.add_path("M 100,100 H 200 L 180,220 H 100 Z", id="flap", lay={"grain": "up"})
    (one,) = make_plan(read(drawing), between_selvedges(900.0)).job.pieces
    assert not one.handed
    assert not has_no_hand(one)


def job_hand(cut: str, **details: str) -> tuple[str, bool]:
    """Return the hand of the piece of the job, and whether either side may be up."""
    plan = make_plan(read(strip(cut, **details)[0]), between_selvedges(900.0))
    (one,) = plan.job.pieces
    return one.hand, one.either_side


@pytest.mark.parametrize("details", [{}, {"hand": "mirrored"}, {"side-up": "either"}])
def test_the_job_of_a_symmetric_piece_asks_for_no_mirrored_copy(details: dict[str, str]) -> None:
    assert job_hand("3", **details) == ("same", False)


def test_an_odd_count_of_a_symmetric_piece_leaves_no_odd_one() -> None:
    assert not [note for note in piece(strip("3")[0]).notes if "mirrored" in note]
    drawing, group = strip("3")
    drawing.add_line((20, 90), (26, 90), group, lay={"role": "notch"})  # type: ignore[arg-type]
    (note,) = piece(drawing).notes
    assert "in mirrored pairs, and one as drawn" in note


def laid(drawing: SvgBuilder) -> tuple[str, list[bool]]:
    """Return the drawing with its layout, and which parts lie printed side down."""
    options = between_selvedges(900.0, rounds=1, nap=False)
    outcome = lay_out(drawing.document(), options, Run(no_time, lambda rounds: True))
    return outcome.drawing.decode(), [spot["flip"] for spot in outcome.report["placements"]]


def test_copies_of_a_symmetric_piece_all_lie_printed_side_up_and_nothing_says_otherwise() -> None:
    text, flips = laid(strip("4")[0])
    assert flips == [False] * 4
    assert "printed side down" not in text
    assert "mirrored" not in text


@pytest.mark.parametrize("copy", [1, 2])
@pytest.mark.parametrize("flip", ["scale(1,-1)", "scale(-1,1)"])
def test_check_takes_a_symmetric_part_either_way(copy: int, flip: str) -> None:
    edited = Edited()
    edited.transform("tab", copy, _about_itself(edited, copy, flip))
    assert edited.found() == []


def _about_itself(edited: Edited, copy: int, flip: str) -> str:
    """Return a transform of a tab about the middle of its box, in the coordinates of its layer."""
    (leaf,) = [
        leaf
        for leaf in read_leaves(edited.document, include_layouts=True)
        if leaf.attributes.get("of") == "tab" and leaf.attributes.get("copy") == str(copy)
    ]
    inside = inverse(matrix_of(edited.document, edited.layer))
    xs, ys = zip(*(apply(inside, point) for point in leaf.rings[0].points), strict=True)
    x, y = (min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0
    return f"translate({x},{y}) {flip} translate({-x},{-y})"


def test_a_piece_that_is_not_symmetric_keeps_its_pair() -> None:
    drawing, group = strip()
    drawing.add_line((20, 90), (26, 90), group, lay={"role": "notch"})  # type: ignore[arg-type]
    _, flips = laid(drawing)
    assert sorted(flips) == [False, True]
