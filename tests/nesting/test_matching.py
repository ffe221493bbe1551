# SPDX-License-Identifier: GPL-2.0-or-later
"""Stripes and checks: what matching costs where that is known, and what it allows."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from nesting.errors import JobError
from nesting.judge.check import check
from nesting.model import OPEN, Fabric, Job, Layout, Match, Repeat, Section
from nesting.stop import AfterRounds
from nesting.tighten import tighten
from tests.helpers import plain_judge
from tests.helpers.matched_pieces import TRIANGLE, laid, matched, rectangle


@pytest.mark.parametrize(("height", "repeat"), [(300.0, 80.0), (320.0, 80.0), (50.0, 80.0)])
@pytest.mark.parametrize("count", [2, 5])
def test_parts_that_follow_each_other_take_whole_repeats(
    height: float, repeat: float, count: int
) -> None:
    """Each but the last takes ceil(h / r) repeats: the next one may begin there at the earliest."""
    point = Match((10.0, 10.0), "side")
    piece = matched("piece", rectangle(height, 200.0), point, cut=count, hand="same", turns=(0.0,))
    layout = laid(Job(Fabric(250.0, repeat=Repeat(along=repeat)), (piece,)))
    whole = -(-height // repeat) * repeat
    assert layout.length == pytest.approx((count - 1) * whole + height)


@pytest.mark.parametrize(
    ("inches", "pieces"),
    [(1.25, 2), (4.25, 2), (4.0, 4), (6.0, 3)],
    ids=["1 1/4 in", "4 1/4 in", "4 in", "6 in"],
)
def test_the_rules_of_thumb_are_what_the_worst_case_takes(inches: float, pieces: int) -> None:
    """Extra cloth: pieces that follow each other times the repeat, at most.

    Published: 1 1/4 in x 2 = 2 1/2 in and 4 1/4 in x 2 = 8 1/2 in (galafabrics.blogspot.com,
    November 2010), 4 in x 4 = 16 in (marcytilton.com, matching plaids), 6 in x 3 = 18 in
    (afterthedress.blogspot.com, June 2011); as quoted in the project's notes on the trade.
    """
    repeat = 25.4 * inches
    over, beyond = 0.01 * repeat, Match((5.0, 5.0), "side")
    height = 3.0 * repeat + over
    # Each piece that follows another one begins up to a repeat later than it could.
    piece = matched(
        "piece", rectangle(height, 200.0), beyond, cut=pieces + 1, hand="same", turns=(0.0,)
    )
    plain = laid(Job(Fabric(250.0), (replace(piece, match=()),))).length
    extra = laid(Job(Fabric(250.0, repeat=Repeat(along=repeat)), (piece,))).length - plain
    assert extra == pytest.approx(pieces * (repeat - over))
    assert 0.98 * pieces * repeat < extra < pieces * repeat


def test_side_by_side_matching_costs_nothing() -> None:
    point = Match((10.0, 10.0), "side")
    piece = matched("piece", rectangle(300.0, 200.0), point, cut=2, hand="same")
    layout = laid(Job(Fabric(400.0, repeat=Repeat(along=80.0)), (piece,)))
    assert layout.length == pytest.approx(300.0)


@pytest.mark.parametrize(
    ("across", "repeat", "width"), [(130.0, 60.0, 500.0), (120.0, 60.0, 480.0)]
)
def test_across_parts_lie_whole_repeats_apart(across: float, repeat: float, width: float) -> None:
    """Of n side by side each but the last takes ceil(w / r) repeats of the width."""
    point = Match((10.0, 10.0), "side")
    apart = -(-across // repeat) * repeat
    beside = int((width - across) // apart) + 1
    piece = matched(
        "piece", rectangle(100.0, across), point, cut=2 * beside, hand="same", turns=(0.0,)
    )
    layout = laid(Job(Fabric(width, repeat=Repeat(across=repeat)), (piece,)))
    assert layout.length == pytest.approx(200.0)
    more = replace(piece, cut=2 * beside + 1)
    layout = laid(Job(Fabric(width, repeat=Repeat(across=repeat)), (more,)))
    assert layout.length == pytest.approx(300.0)


def phases(layout: Layout, job: Job, axis: int) -> list[tuple[str, bool, float]]:
    """Return the name, the hand and the place in the repeat of each part's first match point."""
    pieces = {piece.id: piece for piece in job.pieces}
    repeat = job.fabric.repeat
    assert repeat is not None
    found = []
    for spot in layout.placements:
        x, y = pieces[spot.piece].match[0].point
        at = (spot.x + x, spot.y + (-y if spot.flip else y) - repeat.first)[axis]
        found.append((spot.piece, spot.flip, round(at % (repeat.along, repeat.across)[axis], 6)))
    return found


def test_a_pair_is_mirrored_on_an_even_design() -> None:
    piece = matched("pair", TRIANGLE, Match((10.0, 20.0), "side", "across"), cut=2, turns=(0.0,))
    job = Job(Fabric(300.0, repeat=Repeat(across=70.0, first=15.0)), (piece,))
    one, other = sorted(phases(laid(job), job, 1))
    assert (one[2] + other[2]) % 70.0 == pytest.approx(0.0, abs=1e-6)


def test_a_pair_lies_in_one_sense_on_an_uneven_design() -> None:
    piece = matched("pair", TRIANGLE, Match((10.0, 20.0), "side", "across"), cut=2, turns=(0.0,))
    job = Job(Fabric(300.0, repeat=Repeat(across=70.0, first=15.0, even=False)), (piece,))
    one, other = sorted(phases(laid(job), job, 1))
    assert one[2] == pytest.approx(other[2], abs=1e-6)


def test_nothing_is_turned_round_on_an_uneven_design() -> None:
    piece = matched("pair", TRIANGLE, Match((10.0, 20.0), "side"), cut=4)
    fabric = Fabric(170.0, nap=False, repeat=Repeat(along=30.0, even=False))
    assert {spot.turn for spot in laid(Job(fabric, (piece,))).placements} == {0.0}


@pytest.mark.parametrize(("on", "share"), [("line", 0.0), ("between", 0.5)])
def test_a_centre_lies_on_a_line_or_midway(on: Any, share: float) -> None:
    piece = matched("centre", rectangle(200.0, 100.0), Match((0.0, 50.0), "centre", "across", on))
    job = Job(Fabric(400.0, repeat=Repeat(across=60.0, first=20.0)), (piece,))
    assert phases(laid(job), job, 1)[0][2] == pytest.approx(share * 60.0)


def test_what_hangs_together_by_two_groups_is_matched_at_both() -> None:
    front = matched(
        "front",
        rectangle(300.0, 200.0),
        Match((50.0, 0.0), "side"),
        Match((250.0, 200.0), "shoulder"),
    )
    back = matched("back", rectangle(300.0, 180.0), Match((60.0, 0.0), "side"))
    yoke = matched("yoke", rectangle(90.0, 150.0), Match((30.0, 0.0), "shoulder"))
    fabric = Fabric(260.0, repeat=Repeat(along=70.0, across=50.0))
    laid(Job(fabric, (front, back, yoke)))


def test_points_that_contradict_each_other_are_named() -> None:
    front = matched(
        "front", rectangle(300.0, 200.0), Match((50.0, 0.0), "side"), Match((250.0, 0.0), "hem")
    )
    back = matched(
        "back", rectangle(300.0, 200.0), Match((50.0, 0.0), "side"), Match((240.0, 0.0), "hem")
    )
    with pytest.raises(JobError, match=r"“side” and “hem” of piece “back” are 10\.0 mm off"):
        laid(Job(Fabric(450.0, repeat=Repeat(along=70.0)), (front, back)))


def test_two_points_of_a_mirrored_copy_cannot_match_across_uneven_stripes() -> None:
    """There the second point lies on the other side of the first one, where the design differs."""
    front = matched(
        "front",
        rectangle(300.0, 150.0),
        Match((50.0, 0.0), "centre", on="line"),
        Match((60.0, 92.0), "pocket"),
        cut=2,
    )
    pocket = matched("pocket", rectangle(90.0, 80.0), Match((30.0, 0.0), "pocket"))
    uneven = Repeat(across=60.0, even=False)
    fabric = Fabric(400.0, repeat=uneven)
    words = r"“centre” and “pocket” of piece “front” .* mirrored .* 4\.0 mm off"
    with pytest.raises(JobError, match=words):
        laid(Job(fabric, (front, pocket)))
    # An even design has both; so have copies that are all alike, and points half a repeat apart.
    laid(Job(replace(fabric, repeat=replace(uneven, even=True)), (front, pocket)), 1)
    for other in (
        replace(front, hand="same"),
        replace(front, cut=1, either_side=True),
        replace(front, match=(front.match[0], Match((60.0, 90.0), "pocket"))),
    ):
        laid(Job(fabric, (other, pocket)), 1)


def test_a_half_drop_begins_half_a_repeat_farther_in_every_second_row() -> None:
    piece = matched(
        "piece", rectangle(35.0, 50.0), Match((5.0, 5.0), "side"), cut=6, hand="same", turns=(0.0,)
    )
    fabric = Fabric(110.0, repeat=Repeat(along=40.0, across=60.0, half_drop=True))
    layout = laid(Job(fabric, (piece,)))
    # Rows 60 mm apart, shifted by 20 mm: three of 40 mm in a row, and 20 mm more in the other.
    assert layout.length == pytest.approx(135.0)


class TestFolded:
    def test_pairs_are_cut_double_where_the_fold_is_on_a_line(self) -> None:
        piece = matched("pair", TRIANGLE, Match((10.0, 20.0), "side"), cut=2)
        repeat = Repeat(across=50.0, first=0.0)
        for depth, layers in ((200.0, [2]), (225.0, [2]), (210.0, [1, 1])):
            fabric = Fabric(500.0, repeat=repeat, sections=(Section(depth), OPEN))
            assert [spot.layers for spot in laid(Job(fabric, (piece,))).placements] == layers

    def test_a_half_with_its_centre_on_a_line_lies_on_the_fold(self) -> None:
        outline = rectangle(200.0, 90.0)
        half = matched("half", outline, Match((0.0, 0.0), "centre", "across", "line"))
        half = replace(half, fold=(outline[0], outline[1]))
        repeat = Repeat(across=50.0)
        on_line = Fabric(500.0, repeat=repeat, sections=(Section(250.0), OPEN))
        midway = replace(on_line, sections=(Section(225.0), OPEN))
        assert laid(Job(on_line, (half,))).placements[0].on_fold
        assert not laid(Job(midway, (half,))).placements[0].on_fold

    def test_rows_of_a_half_drop_change_places_midway(self) -> None:
        piece = matched("pair", TRIANGLE, Match((10.0, 20.0), "side"), cut=2)
        repeat = Repeat(along=40.0, across=50.0, half_drop=True)
        for depth, layers in ((200.0, [2]), (225.0, [1, 1])):
            fabric = Fabric(500.0, repeat=repeat, sections=(Section(depth), OPEN))
            layout = laid(Job(fabric, (piece,)))
            assert [spot.layers for spot in layout.placements] == layers


class TestBehindAFold:
    """What lies on the length behind a folded one matches what lies before it, on flat cloth."""

    FRONT = matched("front", rectangle(333.0, 90.0), Match((20.0, 10.0), "side"), cut=2)
    BACK = matched("back", rectangle(210.0, 400.0), Match((50.0, 10.0), "side"), cut=1)
    FABRIC = Fabric(500.0, repeat=Repeat(along=50.0), sections=(Section(100.0), OPEN))

    def test_it_begins_on_a_line(self) -> None:
        job = Job(self.FABRIC, (self.FRONT, self.BACK))
        layout = laid(job)
        assert plain_judge.faults(job, layout) == []
        folded, opened = layout.sections
        assert folded.length % 50.0 == pytest.approx(0.0, abs=1e-6)
        assert folded.length - 333.0 < 50.0
        assert layout.length == pytest.approx(folded.length + opened.length)
        # Their points lie whole repeats apart on the flat cloth.
        spots = {one.piece: one for one in layout.placements}
        assert spots["front"].section == 1
        assert spots["back"].section == 2
        apart = folded.length + spots["back"].x + 50.0 - spots["front"].x - 20.0
        assert apart / 50.0 == pytest.approx(round(apart / 50.0), abs=0.01)

    def test_tightened_it_still_does(self) -> None:
        job = Job(self.FABRIC, (self.FRONT, self.BACK))
        layout = laid(job)
        spots = [replace(one, x=one.x + 50.0 * one.section) for one in layout.placements]
        again = tighten(job, spots, stop=AfterRounds(20), clock=lambda: 0.0)
        assert plain_judge.faults(job, again) == []
        assert again.sections[0].length % 50.0 == pytest.approx(0.0, abs=1e-6)
        assert again.length <= layout.length + 1e-6

    def test_a_length_that_ends_between_lines_is_seen(self) -> None:
        job = Job(self.FABRIC, (self.FRONT, self.BACK))
        layout = laid(job)
        folded, opened = layout.sections
        short = replace(folded, length=folded.length - 12.0)
        wrong = replace(layout, length=layout.length - 12.0, sections=(short, opened))
        assert {one.kind for one in check(job, wrong)} == {"length"}

    @pytest.mark.parametrize("repeat", [Repeat(along=50.0), Repeat(across=50.0)])
    def test_what_is_not_matched_along_may_follow_at_once(self, repeat: Repeat) -> None:
        back = replace(self.BACK, match=())
        job = Job(replace(self.FABRIC, repeat=repeat), (self.FRONT, back))
        assert laid(job, 6).sections[0].length % 50.0 > 1.0


class TestTighten:
    PIECE = matched("pair", TRIANGLE, Match((10.0, 20.0), "side"), cut=6, turns=(0.0,))
    FABRIC = Fabric(260.0, repeat=Repeat(along=35.0, across=50.0))

    def test_the_match_is_kept(self) -> None:
        job = Job(self.FABRIC, (self.PIECE,))
        layout = laid(job, 5)
        apart = [replace(one, x=one.x + 70.0 * k) for k, one in enumerate(layout.placements)]
        again = tighten(job, apart, stop=AfterRounds(20), clock=lambda: 0.0)
        assert not check(job, again)
        assert again.length < max(one.x for one in apart)

    def test_a_part_moved_off_the_design_is_brought_back_to_it(self) -> None:
        job = Job(self.FABRIC, (self.PIECE,))
        first, *others = laid(job, 5).placements
        moved = (replace(first, x=first.x + 200.0, y=first.y + 3.0), *others)
        again = tighten(job, moved, stop=AfterRounds(20), clock=lambda: 0.0)
        assert not check(job, again)


class TestTheJudge:
    """One part moved off the design breaks the rule "match" and no other."""

    PIECE = matched("pair", TRIANGLE, Match((10.0, 20.0), "side"), cut=4, turns=(0.0,))

    @pytest.mark.parametrize("sections", [(OPEN,), (Section(150.0), OPEN)])
    @pytest.mark.parametrize(("dx", "dy", "name"), [(15.0, 0.0, "along"), (0.0, 7.0, "across")])
    @pytest.mark.parametrize("even", [True, False])
    def test_a_part_off_the_design_is_refused(
        self, sections: tuple[Section, ...], dx: float, dy: float, name: str, even: bool
    ) -> None:
        repeat = Repeat(along=35.0, across=50.0, even=even)
        job = Job(Fabric(300.0, repeat=repeat, sections=sections), (self.PIECE,))
        layout = laid(job, 4)
        far = max(layout.placements, key=lambda one: (one.x, one.y))
        moved = replace(far, x=far.x + 350.0 + dx, y=far.y + dy)
        spots = tuple(moved if one is far else one for one in layout.placements)
        found = check(job, replace(layout, placements=spots))
        second = plain_judge.faults(job, replace(layout, placements=spots))
        assert "match" in plain_judge.rules_of(second)
        assert "match" not in plain_judge.rules_of(plain_judge.faults(job, layout))
        broken = {one.kind for one in found}
        assert broken - {"length", "zone", "off the cloth"} == {"match"}
        assert all(name in one.sentence for one in found if one.kind == "match")
        amounts = [one.amount for one in found if one.kind == "match"]
        assert amounts[0] == pytest.approx(dx + dy)

    def test_a_hair_is_forgiven_a_thread_is_not(self) -> None:
        job = Job(Fabric(300.0, repeat=Repeat(along=35.0)), (self.PIECE,))
        layout = laid(job, 4)
        far = max(layout.placements, key=lambda one: one.x)
        for by, kinds in ((0.99, set[str]()), (1.01, {"match"})):
            moved = replace(far, x=far.x + 700.0 + by)
            spots = tuple(moved if one is far else one for one in layout.placements)
            found = check(job, replace(layout, placements=spots))
            assert {one.kind for one in found} - {"length"} == kinds


@pytest.mark.parametrize(
    ("repeat", "match", "words"),
    [
        (Repeat(), Match((0.0, 0.0), "a"), "0 both ways"),
        (Repeat(along=0.2), Match((0.0, 0.0), "a"), "from 1 to 5,000"),
        (Repeat(across=501.0), Match((0.0, 0.0), "a"), "wider than the cloth of 500 mm"),
        (Repeat(along=50.0, half_drop=True), Match((0.0, 0.0), "a"), "half-drop needs"),
        (Repeat(along=50.0), Match((300.0, 0.0), "a"), "200.0 mm outside its outline"),
        (Repeat(along=50.0), Match((0.0, 0.0), "a"), "alone in its group"),
        (Repeat(along=50.0), Match((0.0, 0.0), " "), "must not be empty"),
    ],
)
def test_what_cannot_be_is_one_sentence(repeat: Repeat, match: Match, words: str) -> None:
    with pytest.raises(JobError, match=words):
        laid(Job(Fabric(500.0, repeat=repeat), (matched("piece", TRIANGLE, match),)))


def test_uneven_stripes_cannot_be_cut_double() -> None:
    piece = matched("pair", TRIANGLE, Match((10.0, 20.0), "side"), cut=2)
    repeat = Repeat(across=50.0, even=False)
    fabric = Fabric(500.0, repeat=repeat, sections=(Section(250.0),))
    with pytest.raises(JobError, match="uneven design runs the other way"):
        laid(Job(fabric, (piece,)))
    behind = replace(fabric, sections=(Section(250.0), OPEN))
    assert [spot.layers for spot in laid(Job(behind, (piece,))).placements] == [1, 1]


def test_uneven_stripes_round_the_wearer_are_the_same_on_both_layers() -> None:
    """A lengthwise fold turns nothing round along the cloth: pairs are cut double."""
    piece = matched("pair", TRIANGLE, Match((10.0, 20.0), "side"), cut=2)
    fabric = Fabric(500.0, repeat=Repeat(along=50.0, even=False), sections=(Section(250.0),))
    job = Job(fabric, (piece,))
    layout = laid(job)
    assert [spot.layers for spot in layout.placements] == [2]
    assert plain_judge.faults(job, layout) == []
    across = replace(fabric, sections=(Section(crosswise=True),))
    with pytest.raises(JobError, match="uneven design runs the other way"):
        laid(Job(across, (piece,)))


def test_match_points_on_plain_cloth_change_nothing() -> None:
    piece = matched("piece", TRIANGLE, Match((10.0, 20.0), "side"), cut=3)
    bare = replace(piece, match=())
    with_points, without = (laid(Job(Fabric(170.0), (one,)), 5) for one in (piece, bare))
    assert with_points.placements == without.placements


@pytest.mark.parametrize("first", [0.0, 25.0])
@pytest.mark.parametrize("even", [True, False])
@pytest.mark.parametrize("spread", [OPEN, Section(270.0)])
def test_rows_of_a_half_drop_are_counted_from_the_groups_own_place(
    first: float, even: bool, spread: Section
) -> None:
    """Wherever on its piece a point is: one repeat farther across is another row."""
    repeat = Repeat(80.0, 60.0, first=first, even=even, half_drop=True)
    pieces = (
        matched("front", rectangle(300.0, 110.0), Match((40.0, 3.0), "side"), cut=2),
        matched("back", rectangle(300.0, 130.0), Match((70.0, 70.0), "side"), cut=2),
    )
    fabric = Fabric(540.0, repeat=repeat, sections=(spread, OPEN) if spread != OPEN else (OPEN,))
    job = Job(fabric, pieces)
    layout = laid(job, 3)
    assert plain_judge.faults(job, layout) == []
    again = tighten(job, layout.placements, stop=AfterRounds(5), clock=lambda: 0.0)
    assert not check(job, again)
    assert again.length <= layout.length + 1e-6
