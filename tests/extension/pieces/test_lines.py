# SPDX-License-Identifier: GPL-2.0-or-later
"""The fold edge and the grainline of one piece, from marks and attributes."""

from __future__ import annotations

import math

import pytest

from extension.language.errors import DrawingError
from extension.pieces.attributes import piece_details
from extension.pieces.fingerprint import fingerprint
from extension.pieces.grain import direction
from extension.pieces.lines import LineFinder, PieceLines, read_lines
from extension.pieces.marks import mark_of
from extension.svg.model import Leaf
from extension.svg.transforms import apply, rotation
from tests.helpers.drawn import box, group, leaf, shape

OUTLINE = box(0, 0, 300, 500)


def line(x1: float, y1: float, x2: float, y2: float, id: str = "line", **rest: object) -> Leaf:
    return leaf([(x1, y1), (x2, y2)], closed=False, id=id, **rest)  # type: ignore[arg-type]


GRAIN = line(150, 450, 150, 50, "grain", lay={"role": "grainline"})
BIAS = line(100, 400, 200, 300, "bias", lay={"role": "grainline"})
FOLD = line(0, 100, 0, 400, "fold", lay={"role": "fold"})
FAR = line(900, 0, 900, 100, "far")


def lines(*marks: Leaf, others: tuple[Leaf, ...] = (), **lay: str) -> PieceLines:
    details = piece_details(lay, "“Front”", "front")
    return read_lines(
        "“Front”",
        "front",
        shape(*OUTLINE),
        details,
        [mark_of(mark) for mark in marks],
        LineFinder([*marks, *others]),
    )


def grain(found: PieceLines) -> tuple[float, str] | None:
    return (found.axis.degrees, found.axis.source) if found.axis else None


def fault(*marks: Leaf, **lay: str) -> str:
    with pytest.raises(DrawingError) as caught:
        lines(*marks, **lay)
    assert caught.value.object_id == "front"
    return str(caught.value)


def test_nothing_tells_nothing() -> None:
    assert lines() == PieceLines(None, None, None, ())


def test_a_marked_line_is_the_grainline() -> None:
    assert grain(lines(GRAIN)) == (90, "grainline")


def test_a_named_line_elsewhere_is_second_choice_and_told() -> None:
    found = lines(others=(FAR,), grain="far")
    assert grain(found) == (270, "grainline")
    assert found.notes == (
        "The grainline of “Front”, the straight line 10 cm long (far), does not touch it: group "
        "them, so that it turns with "
        "the piece.",
    )
    inside = line(50, 50, 250, 50, "inside")
    assert lines(others=(inside,), grain="inside").notes == ()


def test_a_marked_line_comes_before_a_named_one() -> None:
    found = lines(GRAIN, others=(FAR,), grain="far")
    assert grain(found) == (90, "grainline")
    assert "so lay:grain=“far” is not used" in found.notes[0]
    assert lines(GRAIN, grain="grain").notes == ()


def test_a_marked_line_comes_before_a_typed_direction() -> None:
    assert lines(GRAIN, grain="down").notes == ()
    found = lines(BIAS, grain="up")
    assert grain(found) == (45, "grainline")
    assert "typed in lay:grain is not used" in found.notes[0]


def test_a_typed_direction_is_last() -> None:
    assert grain(lines(grain="up")) == (90, "typed")
    assert grain(lines(grain="-30")) == (330, "typed")


def test_a_typed_direction_holds_only_for_the_outline_it_was_typed_for() -> None:
    same = fingerprint(leaf(OUTLINE))
    turned = fingerprint(leaf(OUTLINE, matrix=rotation(0)))
    other = fingerprint(leaf(box(0, 0, 500, 300)))
    assert grain(lines(grain="up", drawn=same)) == (90, "typed")
    assert grain(lines(grain="up", drawn=turned)) == (90, "typed")
    assert "the grain may have turned: mark it as a line" in fault(grain="up", drawn=other)
    assert "the fold may have turned: mark it as a line" in fault(fold="left", drawn=other)
    assert grain(lines(GRAIN, grain="up", drawn=other)) == (90, "grainline")


def test_the_fold_edge_is_the_grain_of_a_piece_without_one() -> None:
    found = lines(FOLD)
    assert grain(found) == (270, "fold")
    assert found.fold is not None
    assert (found.fold.start, found.fold.end) == ((0, 0), (0, 500))


def test_a_bias_grainline_of_a_fold_piece_is_kept_as_drawn() -> None:
    found = lines(BIAS, FOLD)
    assert grain(found) == (45, "grainline")
    assert found.fold is not None


def test_a_fold_may_be_named_or_typed() -> None:
    plain = line(300, 10, 300, 490, "edge")
    named, typed = lines(others=(plain,), fold="edge"), lines(fold="right")
    assert named.fold is not None
    assert typed.fold is not None
    assert {named.fold.start, named.fold.end} == {typed.fold.start, typed.fold.end}


def test_two_lines_of_a_kind_are_refused_by_name() -> None:
    second = line(200, 450, 200, 50, "grain2", lay={"role": "grainline"})
    assert "“Front” has 2 lines marked as grainline, the straight line" in fault(GRAIN, second)
    top = line(0, 0, 300, 0, "fold2", lay={"role": "fold"})
    assert "“Front” has 2 lines marked as fold, the straight line 30 cm long (fold)" in fault(
        FOLD, top
    )


def test_an_arrow_in_a_group_is_one_grainline() -> None:
    arrow = [group("arrow", role="grainline")]
    shaft = line(150, 450, 150, 50, "shaft", groups=arrow)
    heads = leaf([(145, 60), (150, 50), (155, 60)], closed=False, id="head", groups=arrow)
    assert grain(lines(heads, shaft)) == (90, "grainline")


def test_a_name_that_no_line_has_is_refused() -> None:
    assert "has lay:grain=“gone”, but no visible line is called that" in fault(grain="gone")
    assert "has lay:fold=“gone”, but no visible line is called that" in fault(fold="gone")


def test_in_a_clone_of_a_group_the_line_in_the_clone_is_meant() -> None:
    original, clone = [group("g1")], [group("use2")]
    outline = leaf(OUTLINE, groups=clone)
    leaves = [
        line(150, 450, 150, 50, "grain", groups=original),
        line(450, 150, 50, 150, "grain", groups=clone),
    ]
    assert LineFinder(leaves).find("grain", outline) == [leaves[1]]


def test_which_end_is_the_top_may_stand_on_the_line() -> None:
    said = line(150, 450, 150, 50, "grain", lay={"role": "grainline", "top": "start"})
    assert lines(said).top == "start"
    assert lines(said, top="end").top == "end"
    assert lines(GRAIN).top is None


@pytest.mark.parametrize("turned", [0.0, 33.0, 215.0])
@pytest.mark.parametrize("over", [0.0, 180.0])
def test_a_grainline_a_hair_askew_runs_along_the_fold_edge(turned: float, over: float) -> None:
    """0.09 degrees is 0.8 mm of 50 cm: nobody draws more exactly. 0.11 is another direction."""
    matrix = rotation(turned)

    def found(askew: float) -> tuple[float, float]:
        way = math.radians(90.0 + over + askew)
        end = (150 + 200 * math.cos(way), 250 - 200 * math.sin(way))
        grain = line(150, 250, *end, "grain", lay={"role": "grainline"}, matrix=matrix)
        fold = line(0, 100, 0, 400, "fold", lay={"role": "fold"}, matrix=matrix)
        made = read_lines(
            "“Front”",
            "front",
            shape(*(apply(matrix, point) for point in OUTLINE)),
            piece_details({}, "“Front”", "front"),
            [mark_of(grain), mark_of(fold)],
            LineFinder([grain, fold]),
        )
        assert made.fold is not None
        assert made.axis is not None
        assert made.axis.source == "grainline"
        along = direction(made.fold.start, made.fold.end)
        apart = (made.axis.degrees - along) % 180.0
        return made.axis.degrees, min(apart, 180.0 - apart)

    for askew in (-0.09, -1e-6, 1e-6, 0.09):
        degrees, apart = found(askew)
        assert apart == 0.0
        assert abs((degrees - (90.0 + over - turned) + 180.0) % 360.0 - 180.0) < 1e-6
    for askew in (-0.11, 0.11):
        assert found(askew)[1] == pytest.approx(0.11, abs=1e-6)
