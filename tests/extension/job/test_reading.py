# SPDX-License-Identifier: GPL-2.0-or-later
"""From a drawing to its pieces, whole: stories, laws, and what is left out."""

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

from extension.job.reading import ReadRequest, read_pieces
from extension.language.errors import DrawingError
from extension.pieces.fingerprint import fingerprint
from extension.pieces.model import DrawnPiece, Reading
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from nesting.geometry.shapes import whole_outline
from nesting.model import Piece
from tests.helpers.drawn import ids, pattern, piece, read, reasons, refusal, sheet
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
            *("frame", "unmarked", "hidden", "no grainline", "marked to leave out", "locked"),
            "test square",
        }


def whole(drawn: DrawnPiece) -> Polygon:
    return Polygon(whole_outline(Piece("x", drawn.cutting, fold=drawn.fold)))


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

    def test_a_hidden_clone_is_named_itself_not_after_the_group_it_lies_in(self) -> None:
        drawing = sheet()
        drawing.add_rect(10, 10, 200, 300, id="a")
        group = drawing.add_group(id="g", lay={"cut": "2"})
        drawing.hide(drawing.add_use("a", group, id="unseen", x=300))
        drawing.add_use("a", group, id="seen", x=600)
        found = read(drawing, no_grain="lay")
        assert ids(found) == ["g"]
        assert reasons(found) == {"a": "unmarked", "unseen": "hidden"}

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
        assert "“Patch” (patch) is laid as drawn, without a grainline." in patch.notes

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

    def test_a_mark_on_a_piece_of_another_size_is_no_stray(self) -> None:
        drawing = self.nest()
        pocket = drawing.add_rect(600, 10, 100, 100, id="tab", lay={"cut": "2", "size": "36"})
        assert pocket is not None
        drawing.add_line((650, 90), (650, 20), id="on-tab", lay={"role": "grainline"})
        drawing.add_line((900, 90), (900, 20), id="stray")
        assert reasons(read(drawing, sizes=("40",))) == {
            "front36": "other size",
            "tab": "other size",
            "stray": "mark of no piece",
        }

    def test_both_sizes_share_the_common_grainline(self) -> None:
        found = read(self.nest(), sizes=("40", "36"))
        assert ids(found) == ["front36", "front40", "belt"]
        assert {each.grain_from for each in found.pieces} == {"grainline", "typed"}

    def test_a_nest_without_sizes_is_refused_naming_both(self) -> None:
        drawing = sheet()
        drawing.add_path("M 10 10 H 230 L 250 600 H 10 Z", id="inner")
        drawing.add_path("M 10 10 H 250 L 275 620 H 10 Z", id="outer")
        assert "(inner) lies inside the outline of" in refusal(drawing)


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

    def test_a_hidden_clone_of_a_layer_is_named_itself_and_not_the_piece_it_shows(self) -> None:
        drawing = sheet()
        layer = drawing.add_group(id="layer")
        drawing.add_rect(10, 20, 300, 500, layer, id="front", lay={"cut": "1", "grain": "up"})
        drawing.hide(drawing.add_use("layer", id="clone", transform="translate(500 0)"))
        reading = read(drawing)
        assert ids(reading) == ["front"]
        assert reasons(reading) == {"clone": "hidden"}

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
