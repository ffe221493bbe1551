# SPDX-License-Identifier: GPL-2.0-or-later
"""Every kind of bad input is told in a sentence that names the piece and the remedy."""

from __future__ import annotations

import pytest
from shapely.geometry import Polygon

from extension.job.reading import ReadRequest
from extension.language.errors import DrawingError, OptionError
from tests.helpers.drawn import ids, pattern, piece, read, refusal, sheet
from tests.helpers.svg_builder import SvgBuilder, set_lay


def add_bow(drawing: SvgBuilder) -> None:
    drawing.add_path("M 0 0 L 300 300 H 0 L 300 0 Z", id="bad", label="Bow")


class TestBadInput:
    """Each with one plain sentence that names the piece and the remedy."""

    def test_an_empty_drawing(self) -> None:
        assert refusal(sheet()).startswith("There is no piece to lay out: draw closed outlines")

    def test_nothing_but_what_is_left_out(self) -> None:
        drawing = sheet()
        drawing.hide(drawing.add_rect(0, 0, 300, 300, id="a"))
        drawing.lock(drawing.add_rect(400, 0, 300, 300, id="b"))
        told = (
            "the rectangle of 30 × 30 cm (a), hidden and the rectangle of 30 × 30 cm (b), locked."
        )
        assert f"left out: {told}" in refusal(drawing)

    def test_a_selection_of_nothing_that_is_drawn(self) -> None:
        assert refusal(pattern(), "gone").startswith("Nothing that is drawn is called “gone”")
        assert read(pattern(), "gone", "belt").notes == ("Nothing that is drawn is called “gone”.",)

    @pytest.mark.parametrize("selected", [(), ("bad",)])
    def test_an_open_outline(self, selected: tuple[str, ...]) -> None:
        drawing = sheet()
        drawing.add_path("M 0 0 H 300 V 500 H 0", id="bad", label="Sleeve")
        assert refusal(drawing, *selected).startswith("The outline of “Sleeve” (bad) is open")
        drawing.add_rect(400, 0, 300, 300, id="good")
        assert refusal(drawing, *selected).startswith("The outline of “Sleeve” (bad) is open")

    def test_an_open_scrap_alone(self) -> None:
        drawing = sheet()
        drawing.add_path("M 0 0 L 10 5", id="bad")
        assert refusal(drawing).startswith("The outline 1.12 cm long (bad) is open")

    def test_an_outline_that_crosses_itself(self) -> None:
        drawing = sheet()
        add_bow(drawing)
        assert refusal(drawing).startswith(
            "The outline of “Bow” (bad) crosses itself near x 150 mm, y 150 mm"
        )

    def test_an_outline_that_is_mended(self) -> None:
        drawing = sheet()
        drawing.add_path("M 0 0 H 300 V 200 H 350 H 300 V 500 H 0 Z", id="a", label="Back")
        found = piece(drawing)
        assert found.notes[0].startswith(
            "“Back” (a) runs back over itself near x 350 mm, y 200 mm: a spike"
        )
        assert Polygon(found.outline).area == pytest.approx(150_000)

    @pytest.mark.parametrize("data", ["M 0 0 V 300 Z", "M 0 0 H 200 H 100 Z"])
    def test_an_outline_without_area(self, data: str) -> None:
        drawing = sheet()
        drawing.add_path(data, id="bad")
        assert "(bad) is closed but encloses no area" in refusal(drawing)

    def test_what_draws_nothing(self) -> None:
        drawing = sheet()
        drawing.add_path("M 5 5 L 5 5 Z", id="dot")
        drawing.add_rect(5, 5, 0, 30, id="bad")
        assert refusal(drawing, "bad").startswith("The empty rectangle (bad) draws nothing, so")
        assert "draws nothing" in refusal(drawing)
        drawing.add_rect(400, 0, 300, 500, id="good", lay={"cut": "1"})
        assert ids(read(drawing)) == ["good"]
        assert len(piece(drawing).marks) == 1
        set_lay(drawing.root[1], cut="2")
        assert refusal(drawing).startswith(
            "The empty rectangle at the upper left of the drawing (bad)"
        )

    def test_details_on_a_text(self) -> None:
        drawing = sheet()
        drawing.add_rect(0, 0, 300, 500, id="front")
        drawing.add_text("Front", 90, 90, id="label", lay={"cut": "2"})
        assert refusal(drawing).startswith(
            "The text “Front” (label) is a text or a picture, so it cannot be"
        )

    def test_points_that_repeat_are_no_fault(self) -> None:
        drawing = sheet()
        drawing.add_path("M 0 0 L 0 0 H 300 V 500 V 500 H 0 V 0 Z", id="a")
        assert len(piece(drawing).outline) == 4

    def test_several_outlines_in_one_path(self) -> None:
        drawing = sheet()
        drawing.add_path("M 0 0 H 90 V 90 H 0 Z M 200 0 H 290 V 90 H 200 Z", id="bad")
        assert "(bad) holds 2 separate outlines in one path: break it apart" in refusal(drawing)

    def test_an_unexplained_outline_inside_another(self) -> None:
        drawing = sheet()
        drawing.add_rect(0, 0, 300, 500, id="front")
        drawing.add_rect(50, 300, 120, 130, id="pocket")
        assert "(pocket) lies inside the rectangle of 30 × 50 cm (front)" in refusal(drawing)
        set_lay(drawing.root[1], role="mark")
        assert ids(read(drawing)) == ["front"]

    def test_a_fold_line_off_the_outline_or_not_straight_or_double(self) -> None:
        drawing = sheet()
        drawing.add_rect(0, 0, 300, 500, id="front")
        fold = drawing.add_line((20, 50), (20, 450), id="fold", lay={"role": "fold"})
        assert (
            "fold line of the rectangle of 30 × 50 cm (front) does not lie on its outline"
            in refusal(drawing)
        )
        fold.set("x1", "0")
        fold.set("x2", "0")
        assert piece(drawing).fold == ((0, 0), (0, -500))
        drawing.add_line((0, 0), (300, 0), id="fold2", lay={"role": "fold"})
        assert "(front) has 2 lines marked as fold, the straight line" in refusal(drawing)

    def test_a_curved_fold(self) -> None:
        drawing = sheet()
        drawing.add_path("M 0 0 H 300 V 500 H 0 C 40 400 40 100 0 0 Z", id="front")
        drawing.add_path("M 0 500 C 40 400 40 100 0 0", id="fold", lay={"role": "fold"})
        assert (
            "the open line of 3 × 50 cm at the left of the drawing (fold), is not straight"
            in refusal(drawing)
        )

    @pytest.mark.parametrize(
        ("name", "value"),
        [
            *(("cut", count) for count in ("0", "-1", "1.5", "10000")),
            ("turns", "round"),
            ("allowance", "-5mm"),
            ("cuts", "2"),
        ],
    )
    def test_an_attribute_that_cannot_be_used(self, name: str, value: str) -> None:
        drawing = sheet()
        drawing.add_rect(0, 0, 300, 500, id="bad", lay={name: value})
        sentence = refusal(drawing)
        assert sentence.startswith("The rectangle of 30 × 50 cm (bad) has ")
        assert f"lay:{name}" in sentence

    def test_several_faults_are_counted(self) -> None:
        drawing = sheet()
        add_bow(drawing)
        drawing.add_rect(400, 0, 300, 500, id="b", lay={"cut": "0"})
        drawing.add_rect(800, 0, 300, 500, id="c", lay={"cut": "0"})
        set_lay(drawing.root[0], name="Bow")
        assert refusal(drawing).endswith("goes round once. (and 2 more)")

    def test_a_fault_in_what_is_not_asked_for_is_none(self) -> None:
        drawing = sheet()
        add_bow(drawing)
        drawing.add_rect(400, 0, 300, 500, id="good")
        assert ids(read(drawing, "good")) == ["good"]

    def test_a_negative_usual_allowance(self) -> None:
        for wrong in (-1.0, float("nan"), float("inf")):
            with pytest.raises(OptionError, match="cannot be added: give 0 or more"):
                ReadRequest(default_allowance_mm=wrong)

    def test_names_in_any_script_work(self) -> None:
        drawing = sheet()
        drawing.add_rect(
            0, 0, 300, 500, id="Ärmel links", lay={"name": "Manga nº 1 – 袖", "cut": "2"}
        )
        found = piece(drawing, "Ärmel links")
        assert (found.id, found.name) == ("Ärmel links", "Manga nº 1 – 袖")


def test_the_fault_carries_the_id_of_its_object() -> None:
    drawing = sheet()
    add_bow(drawing)
    with pytest.raises(DrawingError) as caught:
        read(drawing)
    assert caught.value.object_id == "bad"
