# SPDX-License-Identifier: GPL-2.0-or-later
"""Match points: where marks lie in a design, and a sentence for those that show no point."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.language.errors import DrawingError
from extension.pieces.matchwords import Matching, match_words
from extension.pieces.model import DrawnPiece
from nesting.model import Match
from tests.helpers.drawn import piece, sheet

SIDE = {"match": "side"}


def front(
    mark: str = "M 100 300 h 8",
    lay: Mapping[str, str] = SIDE,
    *,
    seam: bool = False,
    added: float = 0.0,
    label: str = "",
    note: str = "",
    fold: bool = False,
    **more: str,
) -> DrawnPiece:
    """Return a piece 200 mm wide and 400 mm long, its corner at (100, 100), with one mark.

    `label` is written on it and `note` beside it; its left edge may be on the fold.
    """
    made = sheet()
    if note:
        made.add_text(note, 400, 600, id="note")
    group = made.add_group(id="front")
    made.add_rect(100, 100, 200, 400, group, id="outline", lay={"cut": "1", **more})
    made.add_path("M 220 480 V 120", group, id="line", lay={"role": "grainline", "top": "end"})
    if seam:
        made.add_rect(115, 115, 170, 370, group, id="seam", lay={"role": "stitching"})
    if fold:
        made.add_path("M 100 150 V 450", group, id="edge", lay={"role": "fold"})
    if label:
        made.add_text(label, 150, 350, group, id="label", font_size=8)
    made.add_path(mark, group, id="notch", lay=lay)
    return piece(made, "front", default_allowance_mm=added)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("side", Matching("side")),
        ("  Side  Seam ", Matching("side seam")),
        ("centre on line", Matching("centre", "both", "line")),
        ("centre between lines", Matching("centre", "both", "between")),
        ("hem along", Matching("hem", "along")),
        ("hem across on line", Matching("hem", "across", "line")),
        ("hem along across", Matching("hem")),
        ("alongside", Matching("alongside")),
    ],
)
def test_the_words_of_a_match_point(text: str, said: Matching) -> None:
    assert match_words(text) == said


@given(st.text(max_size=20))
def test_any_text_names_a_group_or_is_refused(text: str) -> None:
    try:
        said = match_words(text)
    except ValueError:
        return
    assert said.group
    assert said.group == " ".join(said.group.split())


def test_a_small_mark_inside_a_piece_is_matched_at_its_centre() -> None:
    (point,) = front("M 150 200 h 10 v 10 h -10 z", {"match": "pocket along"}).matched
    assert point.match == Match((155.0, -205.0), "pocket", "along")
    assert (point.lies, point.moved) == ("mark", 0.0)


@pytest.mark.parametrize("mark", ["M 100 300 h 8", "M 92 300 h 16", "M 100 296 l 8 4 l -8 4 z"])
def test_a_notch_on_the_cutting_line_is_matched_there_where_no_seam_is_drawn(mark: str) -> None:
    (point,) = front(mark).matched
    assert point.match.point == pytest.approx((100.0, -300.0))
    assert point.lies == "cutting"


def test_a_notch_on_the_cutting_line_is_moved_to_the_stitching_line_where_that_is_drawn() -> None:
    (point,) = front(seam=True).matched
    assert point.match.point == pytest.approx((115.0, -300.0))
    assert point.lies == "stitching"
    assert point.moved == pytest.approx(15.0)


INCLUDED = "Front\nseam allowance 1 cm included"


@pytest.mark.parametrize("words", [{"label": INCLUDED}, {"note": "Seam allowance 1 cm included"}])
def test_a_notch_is_moved_in_by_the_allowance_that_a_label_names(words: Mapping[str, str]) -> None:
    (point,) = front(**words).matched  # type: ignore[arg-type]
    assert point.match.point == pytest.approx((110.0, -300.0))
    assert (point.lies, point.moved) == ("labelled", pytest.approx(10.0))


def test_a_drawn_seam_and_an_added_allowance_count_before_a_label() -> None:
    (point,) = front(seam=True, label=INCLUDED).matched
    assert (point.lies, point.moved) == ("stitching", pytest.approx(15.0))
    (point,) = front(label=INCLUDED, allowance="20mm").matched
    assert (point.match.point, point.lies) == ((100.0, -300.0), "stitching")


@pytest.mark.parametrize("label", ["seam allowance included", "4 cm wide including SA"])
def test_a_label_that_names_no_amount_moves_nothing(label: str) -> None:
    (point,) = front(label=label).matched
    assert (point.match.point, point.lies) == ((100.0, -300.0), "cutting")


def test_the_fold_has_no_allowance() -> None:
    """Where the hem meets the fold the seam runs on straight to it."""
    (point,) = front("M 100 500 v -8", fold=True, label=INCLUDED).matched
    assert point.match.point == pytest.approx((100.0, -490.0))
    assert point.lies == "labelled"


def test_where_no_seam_has_room_the_cutting_line_counts() -> None:
    (point,) = front("M 100 300 h 8", label="includes 3 cm seam allowance").matched
    assert point.lies == "labelled"
    made = sheet()
    group = made.add_group(id="strap")
    made.add_path("M 100 100 h 50 v 400 h -50 z", group, id="strap-line", lay={"cut": "1"})
    made.add_path("M 125 480 V 120", group, id="grain", lay={"role": "grainline", "top": "end"})
    made.add_text("includes 3 cm seam allowance", 110, 300, group, id="label", font_size=2)
    made.add_path("M 100 200 h 8", group, id="notch", lay=SIDE)
    (point,) = piece(made, "strap").matched
    assert (point.match.point, point.lies) == ((100.0, -200.0), "cutting")


def test_where_allowance_is_added_the_drawn_line_is_the_stitching_line() -> None:
    for found in (front(added=10.0), front(allowance="10mm")):
        (point,) = found.matched
        assert point.match.point == pytest.approx((100.0, -300.0))
        assert (point.lies, point.moved) == ("stitching", 0.0)


def test_a_grainline_says_how_it_lies_across() -> None:
    grain = {"role": "grainline", "match": "centre on line"}
    made = sheet()
    group = made.add_group(id="front")
    made.add_rect(100, 100, 200, 400, group, id="outline", lay={"cut": "1"})
    made.add_path("M 200 480 V 120 l 5 10", group, id="line", lay=grain)
    (point,) = piece(made, "front").matched
    assert point.match == Match((200.0, -300.0), "centre", "across", "line")


def test_a_fold_edge_says_how_it_lies_across() -> None:
    made = sheet()
    group = made.add_group(id="front")
    made.add_rect(100, 100, 200, 400, group, id="outline", lay={"cut": "1"})
    fold = {"role": "fold", "match": "centre between lines"}
    made.add_path("M 100 150 V 450", group, id="line", lay=fold)
    (point,) = piece(made, "front").matched
    assert point.match == Match((100.0, -300.0), "centre", "across", "between")


def test_strokes_of_a_grouped_mark_are_one_point() -> None:
    made = sheet()
    group = made.add_group(id="front")
    made.add_rect(100, 100, 200, 400, group, id="outline", lay={"cut": "1"})
    notch = made.add_group(group, id="notch", lay={"match": "side"})
    made.add_path("M 100 296 h 8", notch, id="one")
    made.add_path("M 100 304 h 8", notch, id="two")
    (point,) = piece(made, "front").matched
    assert point.match.point == pytest.approx((100.0, -300.0))


def test_a_circle_astride_the_outline_is_a_mark_and_no_piece() -> None:
    made = sheet()
    made.add_rect(100, 100, 200, 400, id="front", lay={"cut": "1"})
    made.add_rect(96, 296, 8, 8, id="dot", lay=SIDE)
    (point,) = piece(made).matched
    assert point.match.point == pytest.approx((100.0, -300.0))


@pytest.mark.parametrize(
    ("mark", "lay", "words"),
    [
        ("M 120 200 h 100", SIDE, "shows no point that could match"),
        ("M 120 200 h 8", {"match": "on line"}, "names no group"),
        ("M 120 200 h 8", {"match": "a on line between lines"}, "says two places"),
        ("M 120 200 h 8", {"match": " "}, "names no group"),
    ],
)
def test_a_mark_that_shows_no_point_is_refused_by_name(
    mark: str, lay: Mapping[str, str], words: str
) -> None:
    with pytest.raises(DrawingError, match=words) as caught:
        front(mark, lay)
    assert "(notch) " in str(caught.value)
    assert caught.value.object_id == "notch"


def test_a_grainline_matches_along_in_no_way() -> None:
    made = sheet()
    group = made.add_group(id="front")
    made.add_rect(100, 100, 200, 400, group, id="outline", lay={"cut": "1"})
    grain = {"role": "grainline", "match": "centre along"}
    made.add_path("M 200 480 V 120", group, id="line", lay=grain)
    with pytest.raises(DrawingError, match="across alone"):
        piece(made, "front")


@pytest.mark.parametrize("where", ["outline", "group"])
def test_a_piece_as_a_whole_matches_nothing(where: str) -> None:
    made = sheet()
    group = made.add_group(id="front", lay=SIDE if where == "group" else {})
    said = SIDE if where == "outline" else {}
    made.add_rect(100, 100, 200, 400, group, id="outline", lay={"cut": "1", **said})
    with pytest.raises(DrawingError, match="said of a mark"):
        piece(made, "front")
