# SPDX-License-Identifier: GPL-2.0-or-later
"""What reading ticks, a layout takes: outlines that cross themselves, and other hindrances."""

from __future__ import annotations

import pytest

from extension.job.reading import ReadRequest, read_pieces
from extension.language.errors import DrawingError
from extension.operations.read_markings import ReadOutcome, read_markings
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from tests.helpers.marked import ARROW, LOOK
from tests.helpers.svg_builder import SvgBuilder, set_lay

REFUSED = {
    "figure of eight": (
        "M 20 20 H 220 V 160 L 60 270 H 150 L 20 160 z",
        "crosses itself near x 110 mm, y 236 mm: move its nodes there",
    ),
    "loop at a corner": (
        "M 20 20 H 222 V 18 H 220 V 270 H 20 z",
        "crosses itself near x 220 mm, y 20 mm: move its nodes there",
    ),
    "twice round": ("M 20 20 H 220 V 270 H 20 V 20 H 220 V 270 H 20 z", "crosses itself near"),
    "two in one path": (
        "M 20 20 h 200 v 250 h -200 z M 230 300 h 60 v 60 h -60 z",
        "holds 2 separate outlines in one path: break it apart",
    ),
    "one in another": (
        "M 20 20 h 200 v 250 h -200 z M 140 120 h 60 v 120 h -60 z",
        "holds one outline inside another in one path: break it apart",
    ),
    "a line beside": (
        "M 20 20 h 200 v 250 h -200 z M 230 20 v 250",
        "holds an open line beside its outline: break it apart",
    ),
}
MENDED = {
    "spike": "M 20 20 H 220 V 100 H 250 H 220 V 270 H 20 z",
    "slit": "M 20 20 H 120 V 100 V 20 H 220 V 270 H 20 z",
    "loop of less than a millimetre": "M 20 20 H 220.9 V 19.1 H 220 V 270 H 20 z",
}
HARMLESS = {
    "plain": "M 20 20 h 200 v 250 h -200 z",
    "loop of a fifth of a millimetre": "M 20 20 H 220.2 V 19.8 H 220 V 270 H 20 z",
    "an edge twice": "M 20 20 H 220 V 270 H 20 V 20 H 100 V 20 z",
}


def sheet(data: str) -> SvgBuilder:
    """Return a sheet with a back, and a front with an outline of this kind."""
    drawing = SvgBuilder("500mm", "400mm", (0, 0, 500, 400))
    for name, outline, x in (("Back", "M 300 20 h 150 v 200 h -150 z", 350), ("Front", data, 100)):
        drawing.add_path(outline, id=name.lower(), style=LOOK)
        drawing.add_text(f"{name}\ncut 2", x, 60, font_size=8)
        drawing.add_line((x, 100), (x, 155), id=f"{name.lower()}-grain", style=ARROW)
    return drawing


def read(data: str) -> ReadOutcome:
    return read_markings(sheet(data).document())


def refusal(outcome: ReadOutcome) -> str:
    """Return what a layout says against the drawing that was read, "" where it takes it."""
    try:
        read_pieces(read_leaves(parse(outcome.drawing)), ReadRequest())
    except DrawingError as fault:
        return str(fault)
    return ""


@pytest.mark.parametrize("name", list(REFUSED))
def test_an_outline_that_no_layout_takes_has_no_tick(name: str) -> None:
    data, words = REFUSED[name]
    outcome = read(data)
    assert words in refusal(outcome)
    assert outcome.summary[0] == "Read 2 pieces: 1 complete, 1 to look at."
    assert any(line.startswith(f"“Front” (front): it {words}") for line in outcome.summary)


def test_the_review_shows_where_an_outline_crosses_itself() -> None:
    data, _ = REFUSED["loop at a corner"]
    root = parse(read(data).drawing).root
    (circle,) = root.xpath("//*[contains(@id, 'crossings')]/*/*[local-name() = 'circle'][1]")  # type: ignore[union-attr, misc]
    assert (float(circle.get("cx")), float(circle.get("cy"))) == (220.0, 20.0)  # type: ignore[union-attr, arg-type]


@pytest.mark.parametrize("name", list(MENDED))
def test_what_is_mended_by_leaving_off_is_told(name: str) -> None:
    outcome = read(MENDED[name])
    assert refusal(outcome) == ""
    assert any("“Front” (front): it runs back over itself near" in one for one in outcome.summary)


@pytest.mark.parametrize("name", list(HARMLESS))
def test_what_changes_nothing_is_not_told(name: str) -> None:
    outcome = read(HARMLESS[name])
    assert refusal(outcome) == ""
    assert outcome.summary == ("Read 2 pieces: 2 complete, 0 to look at.",)


def test_a_label_of_an_outline_that_is_far_from_closed_is_told() -> None:
    outcome = read("M 20 20 h 200 v 250 h -200")
    assert outcome.summary[0] == "Read 1 piece: 1 complete, 0 to look at."
    assert any(
        "“Front / cut 2” says what to cut, but stands on no piece" in each
        for each in outcome.summary
    )


def test_a_list_of_what_to_cut_beside_the_pieces_is_no_lost_label() -> None:
    drawing = sheet(HARMLESS["plain"])
    drawing.add_text("Front, cut 2", 20, 380, font_size=8)
    assert read_markings(drawing.document()).summary == (
        "Read 2 pieces: 2 complete, 0 to look at.",
    )


HINDRANCES: dict[str, tuple[str, dict[str, str], str]] = {
    "a line along no edge": ("back-grain", {"role": "edge", "allowance": "4cm"}, "does not lie on"),
    "a role that is none": ("back-grain", {"role": "nonsense"}, "cannot be used"),
}


@pytest.mark.parametrize("name", list(HINDRANCES))
def test_whatever_else_a_layout_refuses_is_asked(name: str) -> None:
    object_id, attributes, words = HINDRANCES[name]
    drawing = sheet(HARMLESS["plain"])
    element = next(each for each in drawing.root.iter("{*}line") if each.get("id") == object_id)
    set_lay(element, **attributes)
    outcome = read_markings(drawing.document())
    assert words in refusal(outcome)
    assert any(words in line for line in outcome.summary[1:])


def test_a_group_with_details_and_no_closed_outline_is_asked_about() -> None:
    drawing = sheet(HARMLESS["plain"])
    sleeve = drawing.add_group(id="sleeve", lay={"name": "Sleeve", "cut": "2"})
    drawing.add_path("M 20 300 h 90 v 60", sleeve, style=LOOK)
    outcome = read_markings(drawing.document())
    assert refusal(outcome).startswith("The group “Sleeve” (sleeve) carries cutting details")
    assert any(refusal(outcome).startswith(line[:40]) for line in outcome.summary[1:])


def nest(*ends: int) -> SvgBuilder:
    """Return a sheet whose front is drawn in sizes that nothing tells, the outermost labelled."""
    drawing = sheet(HARMLESS["plain"])
    for end in ends:
        drawing.add_path(f"M 20 20 h {end} v {end + 20} h {-end} z", style=LOOK)
    return drawing


def test_a_nest_of_which_no_size_is_known_has_no_tick() -> None:
    outcome = read_markings(nest(190, 180).document())
    assert "lies inside" in refusal(outcome)
    assert outcome.summary == (
        "Read 2 pieces: 1 complete, 1 to look at.",
        "“Front” (front): 2 outlines lie inside it: are they other sizes, pieces of their own, or "
        "lines on it? Name the layers by size, or give them lay:size, lay:name or lay:role=“mark”.",
    )


def test_one_outline_inside_a_piece_is_named() -> None:
    outcome = read_markings(nest(150).document())
    assert outcome.summary[0] == "Read 2 pieces: 1 complete, 1 to look at."
    assert "lies inside it: is that another size" in outcome.summary[1]
