# SPDX-License-Identifier: GPL-2.0-or-later
"""No half is laid for a whole, and no piece without the allowance that its label says it lacks."""

from __future__ import annotations

import pytest

from extension.language.errors import DrawingError
from extension.operations.lay_out import lay_out
from extension.operations.running import Run
from extension.operations.tighten import tighten_layout
from extension.requirements_table.cells import ask
from extension.requirements_table.options import TableOptions
from extension.svg.document import parse, serialise
from extension.svg.leaves import read_leaves
from tests.helpers.cloth import between_selvedges
from tests.helpers.drawn import piece, read, sheet
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder

LINE = "fill:none;stroke:#000000;stroke-width:0.5"
HEADS = f"{LINE};marker-start:url(#h);marker-end:url(#h)"
BACK = "M 60 40 H 260 L 280 360 H 60 Z"


def back(*labels: str, lay: dict[str, str] | None = None, x: float = 130) -> SvgBuilder:
    """Return a drawing with one piece, its left edge straight, with labels on it."""
    drawing = sheet(500, 500)
    drawing.add_path(BACK, id="back", style=LINE, lay={"name": "Back", **(lay or {})})
    for number, label in enumerate(labels):
        drawing.add_text(label, x, 120 + 60 * number, font_size=10)
    return drawing


def refused(drawing: SvgBuilder, *selected: str, **wishes: object) -> str:
    with pytest.raises(DrawingError) as caught:
        read(drawing, *selected, **wishes)
    return str(caught.value)


SAID = (
    "Back\ncut 1 on fold",
    "Cut 1 on the fold",
    "Place on fold",
    "Rückenteil\n1x im Stoffbruch",
    "Dos\ncouper 1 fois au pli",
    "Espalda\ncortar 1 al doblez",
    "Dietro\ntagliare 1 sulla piega",
    "Costas\ncortar 1 na dobra",
    "Achterpand\n1x knippen aan de stofvouw",
)


@pytest.mark.parametrize("label", SAID)
def test_a_label_that_says_fold_is_asked_about(label: str) -> None:
    message = refused(back(label, lay={"cut": "1"}))
    assert message.startswith("“Back” (back) is said to be cut on the fold by “")
    assert label.split("\n")[-1] in message
    assert "none where the whole piece is drawn" in message


@pytest.mark.parametrize("label", SAID)
@pytest.mark.parametrize("fold", ["left", "none", "None"])
def test_what_she_set_holds(label: str, fold: str) -> None:
    found = piece(back(label, lay={"cut": "1", "fold": fold}))
    assert (found.fold is None) == (fold.lower() == "none")


def test_a_marked_edge_answers_it() -> None:
    drawing = back("Cut 1 on fold", lay={"cut": "1"})
    drawing.add_path("M 60 60 V 340", id="edge", style=LINE, lay={"role": "fold"})
    assert piece(drawing).fold is not None


@pytest.mark.parametrize(
    "label",
    [
        "Back\ncut 2, not on fold",
        "Back\ncut 2\ndo not cut on the fold",
        "Rückenteil\n2x zuschneiden\nBruchkante nicht schneiden",
        "Back\ncut 2\nfold line of hem",
        "Back\ncut 2\npleat fold",
        "Back\ncut 2\npress along the fold line",
        "Rückenteil\n2x\nSaum Bruchlinie",
        "Dos\ncouper 2\nligne de pliure de l'ourlet",
        "Back\ncut 2",
    ],
)
def test_folds_of_hems_and_pleats_are_other_folds(label: str) -> None:
    assert piece(back(label, lay={"cut": "2"})).fold is None


@pytest.mark.parametrize("words", ["fold line", "FOLD", "Bruchlinie", "ligne de pliure"])
def test_the_name_of_a_line_inside_is_no_fold_of_the_cloth(words: str) -> None:
    """A waistband is folded along its middle: the words stand along that line, and it is told."""
    drawing = sheet(500, 500)
    drawing.add_path("M 60 40 H 460 V 120 H 60 Z", id="band", style=LINE, lay={"cut": "1"})
    drawing.add_path("M 62 80 H 458", id="middle", style=f"{LINE};stroke-dasharray:4 4")
    drawing.add_text(words, 150, 76, font_size=8)
    reading = read(drawing)
    assert reading.pieces[0].fold is None
    assert any(words in note and "another line" in note for note in reading.pieces[0].notes)


def test_the_same_words_along_an_edge_are_asked_about() -> None:
    drawing = sheet(500, 500)
    drawing.add_path("M 60 40 H 460 V 120 H 60 Z", id="band", style=LINE, lay={"cut": "1"})
    drawing.add_path("M 62 80 H 458", id="middle", style=f"{LINE};stroke-dasharray:4 4")
    drawing.add_text("fold line", 150, 116, font_size=8)
    assert "(band) is said to be cut on the fold" in refused(drawing)


@pytest.mark.parametrize("data", ["M 63 80 H 74 V 300 H 63", "M 58 80 H 44 V 300 H 58"])
def test_a_bracket_says_it_without_words(data: str) -> None:
    drawing = back("Back", lay={"cut": "1"})
    drawing.add_path(data, id="bracket", style=HEADS)
    assert "by the bracket of 1." in refused(drawing)


def test_a_line_that_only_looks_like_a_bracket_is_told() -> None:
    """Three sides of a pocket drawn on a seam have the same shape: no stop, but a word."""
    drawing = back("Back", lay={"cut": "2"})
    drawing.add_path("M 60 80 H 90 V 250 H 60", id="pocket", style=LINE)
    reading = read(drawing)
    assert reading.pieces[0].fold is None
    assert any("(pocket) was taken for another line" in note for note in reading.pieces[0].notes)


def test_a_bracket_of_the_piece_beside_it_is_nothing_to_a_piece() -> None:
    drawing = back("Back", lay={"cut": "2", "grain": "up"})
    neighbour = {"name": "Front", "cut": "1", "fold": "right"}
    drawing.add_path("M 10 40 H 54 V 360 H 10 Z", id="front", style=LINE, lay=neighbour)
    drawing.add_path("M 52 80 H 44 V 300 H 52", id="bracket", style=HEADS)
    drawing.add_text("cut 1 on fold", 14, 200, font_size=5)
    assert {each.id: each.fold is not None for each in read(drawing).pieces} == {
        "back": False,
        "front": True,
    }


def test_a_line_marked_as_fold_beside_the_piece_is_no_lost_mark() -> None:
    drawing = back("Back", lay={"cut": "1"})
    drawing.add_path("M 55 60 V 340", id="edge", style=LINE, lay={"role": "fold"})
    assert "(edge) marked as fold" in refused(drawing)


def test_a_name_that_says_it_counts_as_well() -> None:
    assert "“Back on the fold”" in refused(back(lay={"cut": "1", "name": "Back on the fold"}))
    assert piece(back(lay={"cut": "1", "name": "Fold"})).fold is None


def test_drawn_whole_and_marked_as_folded_is_a_contradiction() -> None:
    drawing = back(lay={"cut": "1", "fold": "none"})
    drawing.add_path("M 60 60 V 340", id="edge", style=LINE, lay={"role": "fold"})
    assert "lay:fold=“none”, but its line, the straight line 28 cm long" in refused(drawing)


def test_all_pieces_are_named_at_once_and_those_of_another_choice_are_not() -> None:
    drawing = sheet(1200, 500)
    for number, name in enumerate(("Back", "Front", "Yoke")):
        x = 60 + 300 * number
        drawing.add_path(
            f"M {x} 40 h 200 v 320 h -200 Z", id=f"p{number}", lay={"name": name, "cut": "1"}
        )
        drawing.add_text("Cut 1 on fold", x + 60, 150, font_size=10)
    assert refused(drawing).startswith("“Back” (p0), “Front” (p1) and “Yoke” (p2) are said")
    assert refused(drawing, "p1").startswith("“Front” (p1) is said")


NONE_INCLUDED = (
    "No seam allowance included",
    "Nahtzugabe nicht enthalten",
    "Valeurs de couture non comprises",
    "Margen de costura no incluido",
    "Margini di cucitura non compresi",
    "Margem de costura não incluída",
    "Naadtoeslag niet inbegrepen",
    "Add 1.5 cm seam allowance",
)


@pytest.mark.parametrize("label", NONE_INCLUDED)
def test_an_allowance_that_is_not_included_is_asked_about(label: str) -> None:
    drawing = back(f"Back\ncut 2\n{label}", lay={"cut": "2"})
    message = refused(drawing)
    assert message.startswith("“Back” (back) is drawn without seam allowance by “Back / cut 2 / ")
    assert "too small" in message
    assert piece(drawing, default_allowance_mm=15.0).allowance == 15.0


@pytest.mark.parametrize("label", NONE_INCLUDED)
@pytest.mark.parametrize("allowance", ["0", "0mm", "15mm"])
def test_an_allowance_that_she_set_holds(label: str, allowance: str) -> None:
    found = piece(back(label, lay={"cut": "2", "allowance": allowance}))
    assert found.allowance == (15.0 if allowance == "15mm" else 0.0)


def test_a_note_beside_the_pieces_is_of_all_that_do_not_say_otherwise() -> None:
    drawing = back("Back\ncut 2", lay={"cut": "2"})
    drawing.add_path("M 310 40 h 100 v 100 h -100 Z", id="cuff", lay={"name": "Cuff", "cut": "2"})
    drawing.add_text("Seam allowance included", 320, 80, font_size=5)
    drawing.add_text("Invented pattern. No seam allowance included.", 60, 460, font_size=8)
    assert refused(drawing).startswith("“Back” (back) is drawn without seam allowance")


def test_the_allowance_of_a_fold_or_hem_alone_stops_nothing() -> None:
    assert piece(back("Back\ncut 2\nno seam allowance at hem", lay={"cut": "2"})).allowance == 0.0


@pytest.mark.parametrize(
    ("label", "default", "words"),
    [
        ("Seam allowance 1 cm", 0.0, "laid as if its seam allowance were included"),
        ("Seam allowance included", 15.0, "says that it is included"),
        ("Add 1 cm seam allowance", 15.0, "names 10 mm"),
        ("Add 5/8 in seam allowance", 15.0, ""),
        ("Seam allowance included", 0.0, ""),
    ],
)
def test_what_the_label_and_the_choice_disagree_on_is_told(
    label: str, default: float, words: str
) -> None:
    reading = read(back(label, lay={"cut": "2", "grain": "up"}), default_allowance_mm=default)
    told = [note for note in reading.pieces[0].notes if "allowance" in note]
    assert (words in told[0]) if words else told == []


def test_words_of_hidden_texts_say_nothing() -> None:
    drawing = back(lay={"cut": "1"})
    drawing.add_text("cut 1 on fold", 130, 120, font_size=10, style="display:none")
    assert piece(drawing).fold is None


def test_every_command_that_lays_out_asks() -> None:
    """The layout, the same run again, tightening and the table all read pieces in one place."""
    drawing = back("Back\ncut 1", lay={"cut": "1", "grain": "up"})
    options = between_selvedges(1400.0, rounds=1)
    run = Run(no_time, lambda rounds: True)
    document = parse(lay_out(drawing.document(), options, run).drawing)
    label = next(one for one in document.root.iter("{*}tspan") if one.text == "cut 1")
    label.text = "cut 1 on fold"
    saved = serialise(document)
    tries = (
        lambda: lay_out(parse(saved), options, run),
        lambda: tighten_layout(parse(saved), "", run),
        lambda: ask(read_leaves(parse(saved)), TableOptions({}, {}, options)),
    )
    for attempt in tries:
        with pytest.raises(DrawingError, match="is said to be cut on the fold"):
            attempt()
