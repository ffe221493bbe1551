# SPDX-License-Identifier: GPL-2.0-or-later
"""What is read of clones, or set on them, is written where it holds, or it is refused and said."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from lxml import etree

from extension.job.reading import ReadRequest, read_pieces
from extension.language.errors import DrawingError
from extension.operations.details import set_details
from extension.operations.read_markings import ReadOutcome, read_markings
from extension.svg.document import parse, serialise
from extension.svg.leaves import read_leaves
from tests.helpers.marked import ARROW, LOOK
from tests.helpers.svg_builder import SvgBuilder

UNLINK = "unlink it (Edit > Clone > Unlink Clone)"


def sheet() -> SvgBuilder:
    return SvgBuilder("900mm", "300mm", (0, 0, 900, 300))


def outline(drawing: SvgBuilder, object_id: str, parent: etree._Element | None = None) -> None:
    drawing.add_path("M 20 20 h 120 l 40 200 h -160 z", parent=parent, id=object_id, style=LOOK)


def signs(
    drawing: SvgBuilder, place: int, words: str = "", parent: etree._Element | None = None
) -> None:
    """Draw a grainline, and a label, on the outline at the first, second, ... place."""
    x = 200 * place
    if words:
        drawing.add_text(words, x + 60, 60, parent=parent, font_size=8)
    drawing.add_line((x + 100, 90), (x + 100, 180), parent=parent, style=ARROW)


def clone(drawing: SvgBuilder, of: str, place: int) -> None:
    drawing.add_use(of, id=f"{of}-{place}", transform=f"translate({200 * place} 0)")


def read(drawing: SvgBuilder) -> ReadOutcome:
    return read_markings(drawing.document())


def cuts(outcome: ReadOutcome) -> dict[str, list[int]]:
    """Return what a layout would cut: counts by name."""
    leaves = read_leaves(parse(outcome.drawing))
    found: dict[str, list[int]] = {}
    for piece in read_pieces(leaves, ReadRequest()).pieces:
        found.setdefault(piece.name, []).extend(one.cut for one in piece.demands)
    return found


def test_a_symbol_that_one_clone_shows_carries_what_was_read() -> None:
    drawing = sheet()
    outline(drawing, "pocket", drawing.add_symbol(id="s"))
    clone(drawing, "s", 0)
    signs(drawing, 0, "Pocket\ncut 2")
    outcome = read(drawing)
    assert outcome.report["questions"] == []
    assert cuts(outcome) == {"Pocket": [2]}


def test_clones_of_one_symbol_with_different_words_are_asked_about() -> None:
    drawing = sheet()
    outline(drawing, "shape", drawing.add_symbol(id="s"))
    for place, words in enumerate(("Pocket\ncut 2", "Flap\ncut 4 lining")):
        clone(drawing, "s", place)
        signs(drawing, place, words)
    outcome = read(drawing)
    assert sum(UNLINK in one for one in outcome.report["questions"]) == 2
    assert "0 complete" in outcome.summary[0]


def test_a_clone_of_a_group_with_words_of_its_own_is_asked_about() -> None:
    drawing = sheet()
    outline(drawing, "yoke", drawing.add_group(id="g"))
    clone(drawing, "g", 1)
    signs(drawing, 0, "Yoke\ncut 2")
    signs(drawing, 1, "Pocket\ncut 4 lining")
    outcome = read(drawing)
    (question,) = outcome.report["questions"]
    assert UNLINK in question
    assert "“cut 4 lining”" in question
    assert "1 complete, 1 to look at" in outcome.summary[0]


def test_a_clone_of_a_group_with_its_words_is_not() -> None:
    drawing = sheet()
    group = drawing.add_group(id="g")
    outline(drawing, "yoke", group)
    signs(drawing, 0, "Yoke\ncut 2", group)
    clone(drawing, "g", 1)
    outcome = read(drawing)
    assert outcome.report["questions"] == []
    assert cuts(outcome) == {"Yoke": [2, 2]}


@pytest.mark.parametrize(("at", "words"), [(0, "takes its fold edge over"), (1, UNLINK)])
def test_a_bracket_on_a_group_or_on_its_clone_alone_is_asked_about(at: int, words: str) -> None:
    drawing = sheet()
    outline(drawing, "cuff", drawing.add_group(id="g"))
    clone(drawing, "g", 1)
    for place in (0, 1):
        signs(drawing, place, "Cuff\ncut 1")
    drawing.add_path(f"M {200 * at + 21} 40 h 12 v 160 h -12", id="bracket", style=ARROW)
    assert words in read(drawing).report["questions"][0]


def test_a_clone_without_words_is_said_to_be_cut_like_what_it_shows() -> None:
    drawing = sheet()
    outline(drawing, "front")
    clone(drawing, "front", 1)
    signs(drawing, 0, "Front\ncut 2")
    signs(drawing, 1)
    outcome = read(drawing)
    (question,) = outcome.report["questions"]
    assert "takes “name Front” and “cut 2” over" in question
    assert "so it is cut once" not in question
    assert [piece["demands"][0]["cut"] for piece in outcome.report["pieces"]] == [2, 2]
    assert cuts(outcome) == {"Front": [2, 2]}
    again = read_markings(parse(outcome.drawing))
    assert again.report["questions"] == outcome.report["questions"]


def test_a_clone_with_words_of_its_own_has_them() -> None:
    drawing = sheet()
    outline(drawing, "front")
    clone(drawing, "front", 1)
    signs(drawing, 0, "Front\ncut 2")
    signs(drawing, 1, "Back\ncut 1")
    outcome = read(drawing)
    assert outcome.report["questions"] == []
    assert cuts(outcome) == {"Front": [2], "Back": [1]}


def test_details_set_on_the_clone_of_a_group_alone_are_refused() -> None:
    drawing = sheet()
    outline(drawing, "yoke", drawing.add_group(id="g"))
    clone(drawing, "g", 1)
    before = drawing.data()
    document = drawing.document()
    with pytest.raises(DrawingError, match="unlink it first"):
        set_details(document, ["g-1"], {"cut": "3"})
    assert serialise(document) == serialise(parse(before))
    for selected in (["g"], ["g", "g-1"]):
        done = set_details(drawing.document(), selected, {"cut": "3"})
        assert [piece["cut"] for piece in carried(done.drawing)] == ["3", "3"]


def test_details_set_on_the_only_clone_of_a_symbol_are_written() -> None:
    drawing = sheet()
    outline(drawing, "pocket", drawing.add_symbol(id="s"))
    clone(drawing, "s", 0)
    done = set_details(drawing.document(), ["s-0"], {"cut": "3"})
    assert [piece["cut"] for piece in carried(done.drawing)] == ["3"]


def carried(drawing: bytes) -> list[Mapping[str, str]]:
    """Return the attributes of ours on all outlines."""
    return [leaf.attributes for leaf in read_leaves(parse(drawing)) if leaf.rings]
