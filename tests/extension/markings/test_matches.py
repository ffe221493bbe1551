# SPDX-License-Identifier: GPL-2.0-or-later
"""Match points that notches suggest: only what can be told, and nothing set unless she asks.

That single notches meet single ones, and double ones double ones, is seen in print (the project's
notes on the trade, symbols of patterns); that seams sewn together are equally long is common
practice, no source.
"""

from __future__ import annotations

import io
import math
from collections import Counter
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.dialogs.read_markings import ReadMarkings
from extension.drawn.review import NAME
from extension.job.reading import ReadRequest, read_pieces
from extension.language.names import lay
from extension.markings.notches import agreement, notches_on
from extension.markings.proposals import Proposals
from extension.markings.proposing import propose
from extension.operations.read_markings import read_markings
from extension.svg.document import Document, parse
from extension.svg.leaves import read_leaves
from tests.helpers.drafting import jacket
from tests.helpers.drafting.to_read import layered, without_attributes
from tests.helpers.menu import opened
from tests.helpers.svg_builder import SvgBuilder

Drawn = Sequence[tuple[float, float]]


@cache
def jacket_file() -> bytes:
    """A jacket of fifteen pieces, its lining among them, with nothing of ours on it."""
    return without_attributes(jacket.sheet()).text_file().encode()


@cache
def of_jacket() -> Proposals:
    return propose(drawn(jacket_file()))


@cache
def of_smock() -> Proposals:
    """What is read of three sizes on layers, with their notches on a layer for all."""
    return propose(drawn(layered().text_file().encode()))


def drawn(data: bytes) -> Document:
    return parse(data)


def suggested(proposals: Proposals) -> list[tuple[str, tuple[str, str]]]:
    return [(one.value, one.pieces) for one in proposals.matches]


def matched(document: Document) -> dict[str, str]:
    """Return what has `lay:match`, by its id."""
    return {
        str(node.get("id")): str(node.get(lay("match")))
        for node in document.root.iter(etree.Element)
        if node.get(lay("match")) is not None
    }


# --- drafted pieces -----------------------------------------------------------------------------


def test_a_jacket_is_matched_at_its_side_seam_alone() -> None:
    proposals = of_jacket()
    assert suggested(proposals) == [("a along", ("Front", "Back"))]
    # The sleeve is eased into the armhole: what meets there is asked about, not guessed.
    (sleeve,) = [line for line in proposals.of_notches if "double notch each" in line]
    assert sleeve.startswith("Back and Top sleeve have one double notch each, but not equally far")


def test_that_several_pieces_have_the_kind_is_said() -> None:
    for proposals in (of_jacket(), of_smock()):
        assert proposals.matches
        for one in proposals.matches:
            assert one.why.startswith("the only ") or " notches are on " in one.why
        many = [one for one in proposals.matches if "single" in one.why]
        assert all("notches are on" in one.why for one in many)


def test_a_graded_smock_is_matched_at_three_seams() -> None:
    """Side and two raglan seams; notches that all sizes share are each one match point."""
    proposals = of_smock()
    assert suggested(proposals) == [
        ("a along", ("Smock front", "Smock back")),
        ("b", ("Smock front", "Raglan sleeve")),
        ("c", ("Smock back", "Raglan sleeve")),
    ]


def test_nothing_is_set_unless_she_asks_and_then_it_is_hers() -> None:
    document = drawn(jacket_file())
    outcome = read_markings(document)
    assert matched(document) == {}
    assert outcome.report["matches"][0]["set"] is False
    assert any("--match-notches sets it" in line for line in outcome.matches)
    again = read_markings(document, match_notches=True)
    told = again.report["matches"]
    assert matched(document) == dict.fromkeys(told[0]["notches"], "a along")
    assert len(told[0]["notches"]) == 2
    # Read once more, with whatever tick, what she accepted stays and is not asked about.
    for asked in (False, True):
        later = read_markings(document, match_notches=asked)
        assert matched(document) == dict.fromkeys(told[0]["notches"], "a along")
        assert later.report["matches"] == []


def test_what_was_set_lies_at_the_stitching_line_and_at_one_height() -> None:
    document = drawn(jacket_file())
    read_markings(document, match_notches=True)
    reading = read_pieces(read_leaves(document), ReadRequest())
    points = {piece.name: piece.matched for piece in reading.pieces if piece.matched}
    assert set(points) == {"Front", "Back"}
    for (one,) in points.values():
        assert (one.lies, one.match.axes) == ("stitching", "along")
        assert one.moved == pytest.approx(10.0, abs=0.2)


def test_the_review_shows_open_circles_dashed_until_they_are_set() -> None:
    for is_set in (False, True):
        document = drawn(jacket_file())
        read_markings(document, match_notches=is_set)
        (home,) = document.root.xpath(f"//*[@id='{NAME}-matches']")
        rings = home.findall(".//{*}circle")
        assert len(rings) == 2
        assert all(("stroke-dasharray" in ring.get("style")) != is_set for ring in rings)
        words = ["".join(text.itertext()) for text in home.iter("{*}text")]
        assert words == ["a along"] * 2
        listing = " ".join("".join(node.itertext()) for node in document.root.iter("{*}text"))
        said = "Match points set from notches" if is_set else "Nothing of this is set"
        assert said in " ".join(listing.split())


# --- traps --------------------------------------------------------------------------------------


class Table:
    """Pieces beside each other, 400 mm apart, each with a name, a grainline and notches."""

    def __init__(self) -> None:
        self.drawing = SvgBuilder("3000mm", "800mm", (0, 0, 3000, 800))
        self._x = 20.0

    def piece(self, name: str, outline: Drawn, *notches: tuple[Any, ...], **more: Any) -> Table:
        """Add a piece; a notch is (x, y, dx, dy) or with a 5th number, of how many strokes."""
        group = self.drawing.add_group(id=name, lay={"name": name, "cut": "2"}, **more)
        data = " L ".join(f"{self._x + x} {100 + y}" for x, y in outline)
        self.drawing.add_path(f"M {data} Z", group, fill="none", stroke="#000000")
        middle = self._x + 60.0
        self.drawing.add_line((middle, 380), (middle, 180), group, lay={"role": "grainline"})
        for number, (x, y, dx, dy, *strokes) in enumerate(notches):
            for k in range(strokes[0] if strokes else 1):
                start = (self._x + x, 100 + y + 6.0 * k)
                end = (start[0] + dx, start[1] + dy)
                self.drawing.add_line(start, end, group, id=f"{name}-{number}-{k}")
        self._x += 400.0
        return self

    def proposals(self) -> Proposals:
        return propose(self.drawing.document())


def block(width: float = 200.0, height: float = 400.0) -> Drawn:
    return ((0, 0), (width, 0), (width, height), (0, height))


RIGHT, LEFT = (200.0, 150.0, -7.0, 0.0), (0.0, 150.0, 7.0, 0.0)


def test_two_pieces_with_one_notch_each_meet_whichever_way_they_are_drawn() -> None:
    for other in (RIGHT, LEFT):
        proposals = Table().piece("One", block(), RIGHT).piece("Two", block(), other).proposals()
        assert suggested(proposals) == [("a along", ("One", "Two"))]
        assert proposals.matches[0].why == (
            "the only single notches, equally far along seams of equal length"
        )


def test_on_three_pieces_alike_nothing_is_proposed_but_said() -> None:
    table = Table()
    for name in ("One", "Two", "Three"):
        table.piece(name, block(), RIGHT)
    proposals = table.proposals()
    assert proposals.matches == ()
    (said,) = proposals.of_notches
    assert said.startswith("Single notches are on 3 pieces, One, Two and Three: which of them meet")


def test_of_three_pieces_two_that_lie_like_no_other_are_proposed() -> None:
    table = Table().piece("One", block(), RIGHT).piece("Two", block(), LEFT)
    table.piece("Three", block(200.0, 300.0), (200.0, 90.0, -7.0, 0.0))
    proposals = table.proposals()
    assert suggested(proposals) == [("a along", ("One", "Two"))]
    assert "on 3 pieces" in proposals.matches[0].why
    assert any("which of the others meet only you can say" in one for one in proposals.of_notches)


def test_single_never_meets_double() -> None:
    double = (200.0, 147.0, -7.0, 0.0, 2)
    proposals = Table().piece("One", block(), RIGHT).piece("Two", block(), double).proposals()
    assert proposals.matches == ()
    both = Table().piece("One", block(), double).piece("Two", block(), double).proposals()
    assert suggested(both) == [("a along", ("One", "Two"))]
    # Of a double notch one stroke is the point: those at the same end of both.
    assert [leaf.id for leaf in both.matches[0].leaves] == ["One-0-0", "Two-0-0"]


def test_unequal_lengths_are_told_and_not_proposed() -> None:
    far = (200.0, 190.0, -7.0, 0.0)
    proposals = Table().piece("One", block(), RIGHT).piece("Two", block(), far).proposals()
    assert proposals.matches == ()
    assert proposals.of_notches == (
        "One and Two have one single notch each, but not equally far along their seams: whether "
        "these meet only you can say.",
    )


def test_a_seam_across_the_grain_matches_across() -> None:
    top = (80.0, 0.0, 0.0, 7.0)
    proposals = Table().piece("One", block(), top).piece("Two", block(), top).proposals()
    assert suggested(proposals) == [("a across", ("One", "Two"))]


def test_what_would_contradict_is_not_proposed_with_the_rest() -> None:
    """A second seam whose notch lies 20 mm lower on one piece cannot match with the first."""
    skew = ((0.0, 0.0), (200.0, 20.0), (200.0, 420.0), (0.0, 400.0))
    table = Table().piece("One", block(), LEFT, (200.0, 97.0, -7.0, 0.0, 2))
    table.piece("Two", skew, LEFT, (200.0, 117.0, -7.0, 0.0, 2))
    proposals = table.proposals()
    assert suggested(proposals) == [("a along", ("One", "Two"))]
    assert any("cannot match together with the other" in one for one in proposals.of_notches)


def test_her_own_match_points_are_no_longer_asked_about() -> None:
    table = Table().piece("One", block(), RIGHT, (100.0, 0.0, 0.0, 7.0, 2))
    table.piece("Two", block(), RIGHT, (100.0, 0.0, 0.0, 7.0, 2))
    for name in ("One", "Two"):
        (node,) = table.drawing.document().root.xpath(f"//*[@id='{name}-0-0']")
        assert node is not None
    document = table.drawing.document()
    for name in ("One", "Two"):
        (node,) = document.root.xpath(f"//*[@id='{name}-0-0']")
        node.set(lay("match"), "A along")
    proposals = propose(document)
    assert [one.group for one in proposals.matches] == ["b"]
    assert all("-1-" in leaf.id for leaf in proposals.matches[0].leaves)


def test_a_line_without_corners_tells_no_length() -> None:
    ring = [
        (100 + 90 * math.cos(k * math.pi / 40), 200 + 90 * math.sin(k * math.pi / 40))
        for k in range(80)
    ]
    notch = (190.0, 200.0, -7.0, 0.0)
    proposals = Table().piece("One", ring, notch).piece("Two", ring, notch).proposals()
    assert [one.why for one in proposals.matches] == [
        "the only single notches, on lines without corners, so that no length tells"
    ]


@given(st.floats(20.0, 380.0), st.floats(20.0, 380.0), st.booleans())
def test_lengths_along_a_seam_are_the_same_seen_in_a_mirror(
    at: float, other: float, mirrored: bool
) -> None:
    def notch(y: float, flip: bool) -> Any:
        drawing = SvgBuilder("300mm", "500mm", (0, 0, 300, 500))
        x = 0.0 if flip else 200.0
        drawing.add_line((x, y), (x + (7.0 if flip else -7.0), y))
        line = tuple((200.0 - x if flip else x, y) for x, y in block())
        (found,) = notches_on(line, read_leaves(drawing.document()))
        return found

    how = agreement(notch(at, False), notch(other, mirrored))
    apart = min(abs(at - other), abs(400.0 - at - other))
    if apart < 1.9:
        assert how == "both"
    elif apart > 2.1:
        assert how == "none"


def test_each_stroke_carries_one_group() -> None:
    for proposals in (of_jacket(), of_smock()):
        groups = Counter(leaf.id for one in proposals.matches for leaf in one.leaves)
        assert max(groups.values()) == 1


@settings(max_examples=20)
@given(
    st.lists(
        st.lists(
            st.tuples(st.sampled_from((60, 61, 100, 150)), st.sampled_from((1, 2)), st.booleans()),
            max_size=3,
            unique_by=lambda one: (one[0] // 10, one[2]),
        ),
        min_size=2,
        max_size=4,
    )
)
def test_whatever_is_drawn_only_like_meets_like_and_the_law_holds(
    pieces: list[list[tuple[int, int, bool]]],
) -> None:
    """Against the plan of the drawing: strokes, heights and pieces as they were drawn."""
    table, where = Table(), {}
    for number, notches in enumerate(pieces):
        name = f"P{number}"
        drawn_ones = [
            (0.0 if left else 200.0, float(y), 7.0 if left else -7.0, 0.0, strokes)
            for y, strokes, left in notches
        ]
        table.piece(name, block(), *drawn_ones)
        for place, (y, strokes, _) in enumerate(notches):
            where |= {f"{name}-{place}-{k}": (name, y, strokes) for k in range(strokes)}
    proposals = table.proposals()
    used = [leaf.id for one in proposals.matches for leaf in one.leaves]
    assert len(used) == len(set(used))
    for one in proposals.matches:
        (piece, y, kind), (other, z, same) = (where[leaf.id] for leaf in one.leaves)
        assert piece != other
        assert kind == same
        # A seam is 400 mm long: as far from its one end, or from the other.
        middle = 3.0 if kind == 2 else 0.0
        assert min(abs(y - z), abs(y + z + 2.0 * middle - 400.0)) <= 2.0
        owners = {name for name, _, strokes in where.values() if strokes == kind}
        if len(owners) > 2:
            assert f"on {len(owners)} pieces" in one.why


def test_both_doors_set_them_when_asked(tmp_path: Path) -> None:
    drawing = Table().piece("One", block(), RIGHT).piece("Two", block(), LEFT).drawing
    source, target = drawing.write(tmp_path / "in.svg"), tmp_path / "out.svg"
    for asked in (False, True):
        out = io.StringIO()
        words = ["read-markings", str(source), "--output", str(target)]
        words += ["--match-notches"] if asked else []
        code = run(
            [*words, *(["--match-notches"] if asked else [])], Terminal(out, out), lambda: 0.0
        )
        assert code == 0
        assert len(matched(parse(target))) == (2 if asked else 0)
        head = "Set 1 match point" if asked else "Notches suggest 1 match point"
        assert head in out.getvalue()
        tick = [f"--match_notches={str(asked).lower()}"]
        written = opened(ReadMarkings, *tick, drawing=source.read_bytes()).act()
        assert len(matched(parse(written))) == (2 if asked else 0)
