# SPDX-License-Identifier: GPL-2.0-or-later
"""From a drawing to its pieces, whole: stories, laws, and every kind of bad input."""

from __future__ import annotations

import random
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree
from shapely.geometry import Polygon

from extension.document import parse
from extension.errors import DrawingError, OptionError
from extension.fingerprint import fingerprint
from extension.leaves import read_leaves
from extension.model import DrawnPiece, Reading
from extension.reading import ReadRequest, read_pieces
from nesting.model import Piece
from nesting.shapes import whole_outline
from tests.helpers.drawn import ids, piece, read, reasons, refusal, sheet
from tests.helpers.scribble import scribble
from tests.helpers.svg_builder import SvgBuilder, set_lay


def read_sample(path: Path) -> Reading:
    return read_pieces(read_leaves(parse(path)), ReadRequest())


class TestSamples:
    @pytest.mark.parametrize(
        ("name", "count"),
        [("first-apron", 4), ("lined-jacket", 15), ("inch-trousers", 6), ("wrap-skirt", 7)],
    )
    def test_every_piece_of_a_tidy_drawing_is_read(
        self, samples: Path, name: str, count: int
    ) -> None:
        reading = read_sample(samples / f"{name}.svg")
        assert len(reading.pieces) == count
        assert reading.left_out == ()
        assert all(each.top_certain for each in reading.pieces)
        assert all(whole(each).is_valid for each in reading.pieces)

    def test_an_untidy_drawing_names_all_that_it_leaves_out(self, samples: Path) -> None:
        reading = read_sample(samples / "untidy-smock.svg")
        assert len(reading.pieces) == 7
        assert set(reasons(reading).values()) == {
            *("frame", "unmarked", "hidden", "no grainline", "marked to leave out", "locked")
        }


def whole(drawn: DrawnPiece) -> Polygon:
    return Polygon(whole_outline(Piece("x", drawn.cutting, fold=drawn.fold)))


def pattern() -> SvgBuilder:
    """Return a drawing of four pieces: marked, on the fold, named by id, and typed."""
    drawing = sheet()
    front = drawing.add_group(id="front", lay={"name": "Front", "cut": "2"})
    drawing.add_path("M 10 10 H 200 L 260 180 V 600 H 10 Z", front, id="front-outline")
    drawing.add_line((100, 500), (100, 100), front, id="front-grain", lay={"role": "grainline"})
    drawing.add_path("M 60 60 L 90 120 L 120 60", front, id="front-dart")
    drawing.add_path("M 300 10 H 500 V 600 H 300 Z", id="back", lay={"name": "Back", "cut": "1"})
    drawing.add_line((300, 400), (300, 100), id="back-fold", lay={"role": "fold"})
    drawing.add_text("Back", 380, 300, id="back-label", font_size=20)
    drawing.add_rect(600, 10, 200, 90, id="collar", lay={"cut": "2", "grain": "collar-grain"})
    drawing.add_line((620, 50), (780, 50), id="collar-grain")
    drawing.add_rect(600, 200, 60, 300, id="belt", lay={"cut": "1", "grain": "up"})
    return drawing


def facts(reading: Reading) -> dict[str, tuple[object, ...]]:
    """Return what a layout needs to know of each piece, whatever its place in the drawing."""
    return {
        each.id: (
            round(Polygon(each.outline).area, 3),
            len(each.outline),
            round(each.grain, 6),
            each.grain_from,
            each.top_certain,
            each.fold is None,
            each.demands,
            sorted((mark.leaf.id, mark.role) for mark in each.marks),
        )
        for each in reading.pieces
    }


class TestLaws:
    def test_pieces_come_in_document_order_whatever_the_order_of_the_selection(self) -> None:
        drawing = pattern()
        assert ids(read(drawing)) == ["front", "back", "collar", "belt"]
        assert ids(read(drawing, "belt", "back", "front")) == ["front", "back", "belt"]

    def test_selecting_everything_reads_what_selecting_nothing_does(self) -> None:
        drawing = pattern()
        every = [str(element.get("id")) for element in drawing.root]
        assert facts(read(drawing, *every)) == facts(read(drawing))

    @given(st.randoms(use_true_random=False))
    def test_the_order_of_the_drawing_does_not_matter(self, source: random.Random) -> None:
        plain, shuffled = pattern(), pattern()
        for parent in (shuffled.root, shuffled.root[0]):
            children = list(parent)
            source.shuffle(children)
            parent[:] = children
        assert facts(read(shuffled)) == facts(read(plain))

    @given(
        st.integers(0, 359),
        st.sampled_from([0.2, 1.0, 3.0]),
        st.booleans(),
        st.integers(1, 3),
    )
    def test_groups_and_transforms_round_a_drawing_turn_it_and_change_nothing_else(
        self, angle: int, scale: float, flip: bool, depth: int
    ) -> None:
        """A turn clockwise as SVG counts is one the other way with y up; sides are kept."""
        plain, nested = pattern(), pattern()
        content = list(nested.root)
        parent = nested.root
        mirror = "scale(-1 1)" if flip else ""
        for level in range(depth):
            step = f"translate({7 * level} {-9 * level}) rotate({angle / depth})"
            parent = nested.add_group(parent, id=f"level{level}", transform=step)
        parent = nested.add_group(parent, id="inner", transform=f"scale({scale}) {mirror}")
        parent.extend(content)
        before, after = read(plain), read(nested)
        assert ids(after) == ids(before)
        for one, other in zip(before.pieces, after.pieces, strict=True):
            area = Polygon(one.outline).area * scale**2
            assert Polygon(other.outline).area == pytest.approx(area)
            turned = (180 - one.grain if flip else one.grain) - angle
            # Which end is up is another matter, told by label or place on the page.
            assert (other.grain - turned) % 180 == pytest.approx(0, abs=1e-5) or (
                other.grain - turned
            ) % 180 == pytest.approx(180, abs=1e-5)
            assert [m.leaf.id for m in other.marks] == [m.leaf.id for m in one.marks]
            assert (other.fold is None) == (one.fold is None)
            assert whole(other).area == pytest.approx(whole(one).area * scale**2)

    def test_reading_changes_nothing_in_the_drawing(self) -> None:
        document = pattern().document()
        before = etree.tostring(document.root, method="c14n")
        read_pieces(read_leaves(document), ReadRequest(default_allowance_mm=15))
        assert etree.tostring(document.root, method="c14n") == before

    def test_reading_twice_reads_the_same(self) -> None:
        leaves = read_leaves(pattern().document())
        one, other = (read_pieces(leaves, ReadRequest()) for _ in range(2))
        assert facts(one) == facts(other)
        assert one.left_out == other.left_out


class TestAnyDrawing:
    @settings(max_examples=120)
    @given(st.randoms(use_true_random=False), st.booleans())
    def test_is_read_or_refused_in_one_sentence(self, source: random.Random, grown: bool) -> None:
        """What is read can be laid: its whole is a simple outline, and its id is its own."""
        leaves = read_leaves(scribble(source).document())
        request = ReadRequest(no_grain="lay", default_allowance_mm=15.0 if grown else 0.0)
        try:
            reading = read_pieces(leaves, request)
        except DrawingError as error:
            said = [str(error)]
        else:
            said = [*reading.notes, *(note for each in reading.pieces for note in each.notes)]
            assert len(set(ids(reading))) == len(reading.pieces) > 0
            assert all(whole(each).is_valid for each in reading.pieces)
            assert all(each.marks[0].role == "outline" for each in reading.pieces)
            assert not set(ids(reading)) & set(reasons(reading))
        assert all(each.endswith((".", ")")) and "\n" not in each for each in said)

    def test_most_drawings_at_random_can_be_read(self) -> None:
        """Or else the law above would be about refusals alone."""
        read_well = 0
        for seed in range(60):
            with suppress(DrawingError):
                read(scribble(random.Random(seed)), no_grain="lay")
                read_well += 1
        assert read_well > 20


class TestGrain:
    def test_without_any_grainline_the_drawing_s_vertical_is_the_grain_and_told(self) -> None:
        drawing = sheet()
        drawing.add_rect(10, 10, 200, 300, id="a")
        drawing.add_rect(300, 10, 200, 300, id="b")
        found = read(drawing)
        assert [(each.grain, each.grain_from) for each in found.pieces] == [(90, "drawing")] * 2
        assert "No piece has a grainline" in found.notes[0]

    def test_where_others_have_one_a_piece_without_is_left_out_or_laid_as_drawn(self) -> None:
        drawing = pattern()
        drawing.add_rect(900, 10, 50, 50, id="patch", lay={"name": "Patch"})
        found = read(drawing)
        assert "patch" not in ids(found)
        assert reasons(found) == {"patch": "no grainline"}
        laid = read(drawing, no_grain="lay")
        patch = laid.pieces[-1]
        assert (patch.id, patch.grain, patch.grain_from) == ("patch", 90, "as drawn")
        assert "Laid as drawn, without a grainline: Patch." in laid.notes

    def test_the_label_turns_the_top_of_what_is_drawn_upside_down(self) -> None:
        drawing = sheet()
        group = drawing.add_group(id="g", transform="rotate(180 500 500)")
        drawing.add_rect(10, 10, 200, 300, group, id="a")
        drawing.add_text("Front", 60, 150, group, font_size=20)
        assert piece(drawing).grain == 270

    def test_a_typed_grain_turns_with_a_transform_and_is_refused_on_rewritten_nodes(self) -> None:
        drawing = sheet()
        path = drawing.add_path("M 10 10 H 200 L 260 180 V 600 H 10 Z", id="front")
        stored = fingerprint(read_leaves(drawing.document())[0])
        set_lay(path, grain="up", drawn=stored)
        assert piece(drawing).grain == 90
        path.set("transform", "rotate(30)")
        assert piece(drawing).grain == pytest.approx(60)
        path.attrib.pop("transform")
        path.set("d", "M 10 10 V 200 L 180 260 H 600 V 10 Z")
        assert "the grain may have turned: mark it as a line" in refusal(drawing)


class TestSizes:
    @staticmethod
    def nest() -> SvgBuilder:
        """Return a graded nest of two sizes in layers, a belt of every size, a shared grainline."""
        drawing = sheet()
        small = drawing.add_layer("Size 36", lay={"size": "36"})
        large = drawing.add_layer("Size 40", lay={"size": "40"})
        drawing.add_path(
            "M 10 10 H 230 L 250 600 H 10 Z", small, id="front36", lay={"name": "Front"}
        )
        drawing.add_path(
            "M 10 10 H 250 L 275 620 H 10 Z", large, id="front40", lay={"name": "Front"}
        )
        common = drawing.add_layer("All sizes")
        drawing.add_line((100, 500), (100, 100), common, id="grain", lay={"role": "grainline"})
        drawing.add_rect(400, 10, 60, 500, common, id="belt", lay={"grain": "up"})
        return drawing

    def test_several_sizes_and_none_chosen_are_refused_and_listed(self) -> None:
        assert "drawn in 2 sizes, 36 and 40: choose the size" in refusal(self.nest())

    def test_one_size_leaves_the_other_out_by_name(self) -> None:
        found = read(self.nest(), sizes=("36",))
        assert ids(found) == ["front36", "belt"]
        assert reasons(found) == {"front40": "other size"}
        assert found.sizes == ("36", "40")
        assert [each.size for each in found.pieces] == ["36", None]

    def test_both_sizes_share_the_common_grainline(self) -> None:
        found = read(self.nest(), sizes=("40", "36"))
        assert ids(found) == ["front36", "front40", "belt"]
        assert {each.grain_from for each in found.pieces} == {"grainline", "typed"}

    def test_a_nest_without_sizes_is_refused_naming_both(self) -> None:
        drawing = sheet()
        drawing.add_path("M 10 10 H 230 L 250 600 H 10 Z", id="inner")
        drawing.add_path("M 10 10 H 250 L 275 620 H 10 Z", id="outer")
        assert "“inner” lies inside “outer”" in refusal(drawing)


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
        assert "left out: a (hidden) and b (locked)." in refusal(drawing)

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
        assert refusal(drawing).startswith("The outline of “bad” is open")

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
        assert "“Back” (a) ran over itself in places: it was mended" in found.notes[0]
        assert Polygon(found.outline).area == pytest.approx(150_000)

    @pytest.mark.parametrize("data", ["M 0 0 V 300 Z", "M 0 0 H 200 H 100 Z"])
    def test_an_outline_without_area(self, data: str) -> None:
        drawing = sheet()
        drawing.add_path(data, id="bad")
        assert "“bad” is closed but encloses no area" in refusal(drawing)

    def test_what_draws_nothing(self) -> None:
        drawing = sheet()
        drawing.add_path("M 5 5 L 5 5 Z", id="dot")
        drawing.add_rect(5, 5, 0, 30, id="bad")
        assert refusal(drawing, "bad").startswith("“bad” draws nothing, so it cannot be a piece")
        assert "draws nothing" in refusal(drawing)
        drawing.add_rect(400, 0, 300, 500, id="good", lay={"cut": "1"})
        assert ids(read(drawing)) == ["good"]
        assert len(piece(drawing).marks) == 1
        set_lay(drawing.root[1], cut="2")
        assert refusal(drawing).startswith("“bad” draws nothing")

    def test_details_on_a_text(self) -> None:
        drawing = sheet()
        drawing.add_rect(0, 0, 300, 500, id="front")
        drawing.add_text("Front", 90, 90, id="label", lay={"cut": "2"})
        assert refusal(drawing).startswith("“label” is a text or a picture, so it cannot be")

    def test_points_that_repeat_are_no_fault(self) -> None:
        drawing = sheet()
        drawing.add_path("M 0 0 L 0 0 H 300 V 500 V 500 H 0 V 0 Z", id="a")
        assert len(piece(drawing).outline) == 4

    def test_several_outlines_in_one_path(self) -> None:
        drawing = sheet()
        drawing.add_path("M 0 0 H 90 V 90 H 0 Z M 200 0 H 290 V 90 H 200 Z", id="bad")
        assert "“bad” holds 2 separate outlines in one path: break it apart" in refusal(drawing)

    def test_an_unexplained_outline_inside_another(self) -> None:
        drawing = sheet()
        drawing.add_rect(0, 0, 300, 500, id="front")
        drawing.add_rect(50, 300, 120, 130, id="pocket")
        assert "“pocket” lies inside “front”" in refusal(drawing)
        set_lay(drawing.root[1], role="mark")
        assert ids(read(drawing)) == ["front"]

    def test_a_fold_line_off_the_outline_or_not_straight_or_double(self) -> None:
        drawing = sheet()
        drawing.add_rect(0, 0, 300, 500, id="front")
        fold = drawing.add_line((20, 50), (20, 450), id="fold", lay={"role": "fold"})
        assert "fold line of “front” does not lie on its outline" in refusal(drawing)
        fold.set("x1", "0")
        fold.set("x2", "0")
        assert piece(drawing).fold == ((0, 0), (0, -500))
        drawing.add_line((0, 0), (300, 0), id="fold2", lay={"role": "fold"})
        assert "“front” has 2 lines marked as fold, fold and fold2" in refusal(drawing)

    def test_a_curved_fold(self) -> None:
        drawing = sheet()
        drawing.add_path("M 0 0 H 300 V 500 H 0 C 40 400 40 100 0 0 Z", id="front")
        drawing.add_path("M 0 500 C 40 400 40 100 0 0", id="fold", lay={"role": "fold"})
        assert "The fold of “front” (fold) is not straight" in refusal(drawing)

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
        assert sentence.startswith("“bad” has ")
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


class TestLeftOut:
    def test_each_with_its_reason_in_document_order(self) -> None:
        drawing = sheet()
        drawing.add_rect(-10, -10, 1900, 1400, id="frame")
        drawing.add_rect(1700, 10, 100, 100, id="square")
        drawing.hide(drawing.add_rect(1500, 10, 100, 100, id="ghost"))
        drawing.lock(drawing.add_rect(1300, 10, 100, 100, id="legend"))
        drawing.add_rect(1100, 10, 100, 100, id="old", lay={"leave-out": "yes", "name": "Old"})
        drawing.add_line((1000, 700), (1100, 700), id="stray")
        drawing.root.extend(list(pattern().root))
        found = read(drawing)
        assert [(each.object_id, each.reason) for each in found.left_out] == [
            ("frame", "frame"),
            ("square", "unmarked"),
            ("ghost", "hidden"),
            ("legend", "locked"),
            ("old", "marked to leave out"),
            ("stray", "mark of no piece"),
        ]
        assert found.left_out[4].label == "Old"

    def test_locked_pieces_with_details_are_laid(self) -> None:
        drawing = sheet()
        layer = drawing.add_layer("Pattern")
        drawing.lock(layer)
        drawing.add_rect(0, 0, 300, 500, layer, id="front", lay={"cut": "2"})
        assert ids(read(drawing)) == ["front"]

    def test_a_hidden_outline_round_a_piece_is_gone_before_anything_is_judged(self) -> None:
        drawing = sheet()
        drawing.hide(drawing.add_rect(-20, -20, 360, 560, id="ghost"))
        drawing.add_rect(0, 0, 300, 500, id="front")
        assert ids(read(drawing)) == ["front"]

    def test_hidden_marks_do_not_travel(self) -> None:
        drawing = sheet()
        drawing.add_rect(0, 0, 300, 500, id="front")
        drawing.hide(drawing.add_rect(100, 100, 10, 10, id="drill"))
        found = read(drawing)
        assert len(found.pieces[0].marks) == 1
        assert found.left_out == ()


class TestClones:
    def test_a_clone_is_a_piece_of_its_own_with_the_details_of_what_it_shows(self) -> None:
        drawing = sheet()
        drawing.add_rect(0, 0, 200, 300, id="front", lay={"cut": "2", "grain": "up"})
        drawing.add_use("front", id="copy", transform="translate(500 0) rotate(90)")
        drawing.add_use("front", id="third", x=900, lay={"cut": "4"})
        found = {each.id: each for each in read(drawing).pieces}
        assert list(found) == ["front", "copy", "third"]
        assert [each.demands[0].cut for each in found.values()] == [2, 2, 4]
        assert found["copy"].grain == 0

    def test_a_clone_of_a_group_carries_its_marks(self) -> None:
        drawing = pattern()
        drawing.add_use("front", id="mirrored", transform="translate(1900 700) scale(-1 1)")
        found = {each.id: each for each in read(drawing).pieces}
        marks = [mark.leaf.id for mark in found["mirrored"].marks]
        assert marks == ["front-outline", "front-grain", "front-dart"]
        assert found["mirrored"].grain == 90
        assert found["mirrored"].demands == found["front"].demands

    def test_a_line_named_by_id_turns_with_a_clone(self) -> None:
        drawing = sheet()
        details = {"cut": "1", "grain": "arrow", "fold": "edge"}
        drawing.add_rect(0, 0, 200, 300, id="front", lay=details)
        drawing.add_line((250, 300), (250, 0), id="arrow")
        drawing.add_line((0, 10), (0, 290), id="edge")
        drawing.add_use("front", id="copy", transform="translate(900 0) rotate(90)")
        drawing.add_use("front", id="own", x=1200, lay={"grain": "up"})
        found = {each.id: each for each in read(drawing).pieces}
        assert [round(each.grain, 6) for each in found.values()] == [90, 0, 90]
        assert found["copy"].fold is not None
        assert sorted(found["copy"].fold) == [(600, 0), (900, 0)]

    def test_symbols_are_pieces_where_they_are_shown(self) -> None:
        drawing = sheet()
        symbol = drawing.add_symbol(id="pocket-symbol")
        drawing.add_rect(0, 0, 100, 120, symbol, id="pocket", lay={"cut": "2"})
        drawing.add_use("pocket-symbol", id="left", x=10, y=10)
        drawing.add_use("pocket-symbol", id="right", x=210, y=10)
        assert len(read(drawing).pieces) == 2


def test_stripes_that_are_not_matched_are_told() -> None:
    drawing = sheet()
    drawing.add_rect(0, 0, 200, 300, id="a", lay={"cut": "1", "match": "hem 0mm 0mm", "name": "A"})
    assert read(drawing).notes[-1] == (
        "Stripes are not matched: lay:match is kept but not used on A."
    )


def test_a_missing_count_is_told_once_for_all() -> None:
    drawing = sheet()
    for number in range(3):
        drawing.add_rect(300 * number, 0, 200, 300, lay={"grain": "up"}, label=f"P{number}")
    assert read(drawing).notes == ("Cut once, since no count is given: P0, P1 and P2.",)


def test_the_fault_carries_the_id_of_its_object() -> None:
    drawing = sheet()
    add_bow(drawing)
    with pytest.raises(DrawingError) as caught:
        read(drawing)
    assert caught.value.object_id == "bad"


@pytest.mark.parametrize("kind", ["layout", "review", "table"])
def test_what_lies_on_our_own_layers_is_never_a_piece(kind: str) -> None:
    drawing = sheet()
    layer = drawing.add_layer("Result", lay={kind: "1"})
    drawing.add_rect(0, 0, 200, 300, layer, id="part", lay={"of": "front"})
    drawing.add_rect(300, 0, 200, 300, id="front")
    leaves = read_leaves(drawing.document(), include_layouts=True)
    assert len(leaves) == 2
    found = read_pieces(leaves, ReadRequest())
    assert (ids(found), found.left_out) == (["front"], ())


def test_a_selection_in_two_parts_of_a_group_is_one_piece() -> None:
    drawing = pattern()
    assert ids(read(drawing, "front-dart", "front-grain", "front")) == ["front"]
    assert ids(read(drawing, "back-fold", "back-label")) == ["back"]


def test_hand_made_leaves_are_read_as_well() -> None:
    leaves = read_leaves(pattern().document())
    locked = [replace(leaf, locked=True) for leaf in leaves]
    assert ids(read_pieces(locked, ReadRequest())) == ["front", "back", "collar", "belt"]
