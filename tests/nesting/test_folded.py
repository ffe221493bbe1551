# SPDX-License-Identifier: GPL-2.0-or-later
"""Folded cloth: cases with a known least length, what goes where, equality with plain cloth."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from nesting.errors import JobError
from nesting.judge.check import check
from nesting.model import OPEN, Fabric, Job, Layout, Outline, Piece, Placement, Section
from nesting.solve import solve
from nesting.stop import AfterRounds

WIDTH = 1400.0
LENGTHWISE = (Section(WIDTH / 2.0), OPEN)
TWICE = (Section(WIDTH / 4.0, WIDTH / 4.0), OPEN)
TRIANGLE: Outline = ((0.0, 0.0), (300.0, 0.0), (0.0, 300.0))
"""No mirror image of itself about its grainline: it has a hand."""


def rectangle(length: float, across: float) -> Outline:
    return ((0.0, 0.0), (length, 0.0), (length, across), (0.0, across))


def half(name: str, length: float, across: float, **more: object) -> Piece:
    """Return a piece drawn on the fold, whose fold edge is `length` long."""
    outline = rectangle(length, across)
    return replace(Piece(name, outline, fold=(outline[0], outline[1]), turns=(0.0,)), **more)


def laid(job: Job, rounds: int = 12, workers: int = 1, seed: int = 0) -> Layout:
    """Return a layout that the judge has passed."""
    stop = AfterRounds(rounds)
    layout = solve(job, stop=stop, workers=workers, seed=seed, clock=lambda: 0.0)
    assert not check(job, layout)
    assert layout.length == pytest.approx(sum(one.length for one in layout.sections))
    return layout


def lengths(layout: Layout) -> list[float]:
    return [pytest.approx(section.length, abs=1e-6) for section in layout.sections]


def by_piece(layout: Layout) -> dict[str, list[Placement]]:
    found: dict[str, list[Placement]] = {}
    for spot in layout.placements:
        found.setdefault(spot.piece, []).append(spot)
    return found


class TestProvableCases:
    """The least lengths follow from adding up rectangles (worked by hand)."""

    @pytest.mark.parametrize("gap", [0.0, 4.0])
    def test_halves_on_one_fold_follow_each_other(self, gap: float) -> None:
        pieces = tuple(half(f"half {k}", 300.0, 200.0) for k in range(4))
        layout = laid(Job(Fabric(WIDTH, gap=gap, sections=LENGTHWISE), pieces))
        assert lengths(layout) == [4 * 300.0 + 3 * gap, 0.0]
        assert all(spot.on_fold and spot.y == WIDTH / 2.0 for spot in layout.placements)

    def test_two_folds_take_half_as_much(self) -> None:
        pieces = tuple(half(f"half {k}", 300.0, 200.0) for k in range(4))
        layout = laid(Job(Fabric(WIDTH, sections=TWICE), pieces))
        assert lengths(layout) == [600.0, 0.0]
        assert sorted(spot.y for spot in layout.placements) == [350.0, 350.0, 1050.0, 1050.0]

    @pytest.mark.parametrize("count", [1, 3, 7, 8])
    def test_pairs_lie_as_their_single_shapes_do_on_half_the_width(self, count: int) -> None:
        # 700 mm between fold and selvedges hold three 230 mm wide rectangles side by side.
        pieces = tuple(Piece(f"pair {k}", rectangle(400.0, 230.0), cut=2) for k in range(count))
        layout = laid(Job(Fabric(WIDTH, sections=LENGTHWISE), pieces))
        assert lengths(layout) == [-(-count // 3) * 400.0, 0.0]
        assert all(spot.layers == 2 and len(spot.copies) == 2 for spot in layout.placements)

    def test_one_single_among_pairs_takes_an_open_length(self) -> None:
        pairs = tuple(Piece(f"pair {k}", rectangle(400.0, 340.0), cut=2) for k in range(2))
        single = Piece("single", TRIANGLE)
        layout = laid(Job(Fabric(WIDTH, sections=LENGTHWISE), (*pairs, single)))
        # The triangle is 300 long; pairs of 400 do not fit beside it in that length.
        assert lengths(layout) == [400.0, 300.0]
        assert [spot.section for spot in by_piece(layout)["single"]] == [2]

    def test_what_the_open_length_leaves_unused_is_filled(self) -> None:
        pairs = tuple(Piece(f"pair {k}", rectangle(290.0, 340.0), cut=2) for k in range(3))
        single = Piece("single", rectangle(300.0, 600.0), handed=True)
        layout = laid(Job(Fabric(WIDTH, sections=LENGTHWISE), (*pairs, single)), rounds=40)
        # 800 mm are left beside the single: both copies of a pair, side by side.
        assert lengths(layout) == [290.0, 300.0]

    def test_a_piece_as_wide_as_half_the_cloth_is_cut_double(self) -> None:
        piece = Piece("wide", rectangle(500.0, WIDTH / 2.0), cut=2)
        assert lengths(laid(Job(Fabric(WIDTH, sections=LENGTHWISE), (piece,)))) == [500.0, 0.0]

    def test_a_piece_wider_by_a_millimetre_goes_to_the_open_cloth(self) -> None:
        piece = Piece("wider", rectangle(500.0, WIDTH / 2.0 + 1.0), cut=2)
        layout = laid(Job(Fabric(WIDTH, sections=LENGTHWISE), (piece,)))
        assert lengths(layout) == [0.0, 1000.0]
        assert [(spot.layers, spot.flip) for spot in layout.placements] == [(1, False), (1, True)]

    def test_a_partial_fold_is_as_deep_as_its_halves(self) -> None:
        pieces = (half("half", 800.0, 250.0), Piece("single", rectangle(800.0, 900.0), handed=True))
        layout = laid(Job(Fabric(WIDTH, sections=(Section(None), OPEN)), pieces))
        assert layout.sections[0].lower == pytest.approx(250.0)
        assert lengths(layout) == [800.0, 0.0]

    @pytest.mark.parametrize("nap", [True, False])
    def test_crosswise(self, nap: bool) -> None:
        pieces = tuple(Piece(f"pair {k}", rectangle(400.0, 600.0), cut=2) for k in range(2))
        fabric = Fabric(WIDTH, nap=nap, sections=(Section(crosswise=True, turned=nap), OPEN))
        layout = laid(Job(fabric, pieces))
        assert lengths(layout) == [800.0, 0.0]

    def test_a_plain_crosswise_fold_cuts_nothing_double_on_nap(self) -> None:
        piece = Piece("pair", TRIANGLE, cut=2)
        layout = laid(Job(Fabric(WIDTH, sections=(Section(crosswise=True), OPEN)), (piece,)))
        assert [spot.layers for spot in layout.placements] == [1, 1]

    def test_three_copies_are_a_pair_and_one_more(self) -> None:
        # Of 600 mm across, a second and a third do not lie beside the single one.
        piece = Piece("three", rectangle(300.0, 600.0), cut=3, handed=True)
        layout = laid(Job(Fabric(WIDTH, sections=LENGTHWISE), (piece,)))
        assert sorted((spot.section, spot.layers) for spot in layout.placements) == [(1, 2), (2, 1)]

    def test_pairs_are_of_one_garment(self) -> None:
        piece = Piece("three", rectangle(300.0, 600.0), cut=3, garments=2, handed=True)
        layout = laid(Job(Fabric(WIDTH, sections=LENGTHWISE), (piece,)))
        assert sorted(spot.copies for spot in layout.placements) == [(1, 2), (3,), (4, 5), (6,)]


def test_a_search_that_has_come_to_its_end_says_so() -> None:
    pieces = tuple(half(f"half {k}", 300.0, 200.0) for k in range(2))
    assert laid(Job(Fabric(WIDTH, sections=LENGTHWISE), pieces)).exhausted
    odd = [((0.0, 0.0), (200.0 + 17 * k, 90.0), (30.0, 250.0 + 11 * k)) for k in range(9)]
    more = tuple(Piece(f"pair {k}", outline, cut=2) for k, outline in enumerate(odd))
    assert not laid(Job(Fabric(WIDTH, sections=LENGTHWISE), more), rounds=1).exhausted


class TestWhatGoesWhere:
    @pytest.mark.parametrize(
        ("piece", "layers"),
        [
            (Piece("pair", TRIANGLE, cut=2), [2]),
            (Piece("alike", TRIANGLE, cut=2, hand="same"), [1, 1]),
            (Piece("no hand", rectangle(300.0, 200.0), cut=2, hand="same"), [2]),
            (Piece("notched", rectangle(300.0, 200.0), cut=2, hand="same", handed=True), [1, 1]),
            (Piece("either side", TRIANGLE, cut=2, hand="same", either_side=True), [2]),
            (Piece("two garments", rectangle(300.0, 200.0), garments=2), [2]),
        ],
        ids=lambda value: value.id if isinstance(value, Piece) else "",
    )
    def test_what_mirrors_is_cut_double(self, piece: Piece, layers: list[int]) -> None:
        layout = laid(Job(Fabric(WIDTH, sections=LENGTHWISE), (piece,)))
        assert [spot.layers for spot in layout.placements] == layers

    def test_a_fold_edge_across_the_grain_goes_to_the_open_cloth(self) -> None:
        piece = half("across", 300.0, 200.0, grain=90.0)
        layout = laid(Job(Fabric(WIDTH, sections=LENGTHWISE), (piece,)))
        assert [(spot.section, spot.on_fold) for spot in layout.placements] == [(2, False)]

    def test_a_half_deeper_than_the_fold_is_laid_whole(self) -> None:
        piece = half("deep", 300.0, 400.0)
        layout = laid(Job(Fabric(WIDTH, sections=(Section(350.0), OPEN)), (piece,)))
        assert not layout.placements[0].on_fold

    @pytest.mark.parametrize("side", ["lower", "upper"])
    @pytest.mark.parametrize("turn", [0.0, 180.0])
    @pytest.mark.parametrize("fold", ["low", "high"])
    def test_a_half_lies_on_either_fold_either_way_round(
        self, side: str, turn: float, fold: str
    ) -> None:
        outline = ((0.0, 0.0), (300.0, 0.0), (250.0, 200.0), (0.0, 200.0))
        ends = (outline[0], outline[1]) if fold == "low" else (outline[2], outline[3])
        piece = Piece("half", outline, fold=ends, turns=(turn,), turns_on_nap=True)
        section = replace(OPEN, **{side: 500.0})
        layout = laid(Job(Fabric(WIDTH, sections=(section,)), (piece,)))
        assert layout.placements[0].on_fold

    def test_apart_singles_lie_printed_side_down_on_the_folded_length(self) -> None:
        pieces = (half("half", 500.0, 200.0), Piece("single", TRIANGLE))
        fabric = Fabric(WIDTH, sections=(Section(300.0),), sides="apart")
        assert by_piece(laid(Job(fabric, pieces)))["single"][0].flip
        together = replace(fabric, sides="together")
        assert not by_piece(laid(Job(together, pieces)))["single"][0].flip

    @pytest.mark.parametrize("sides", ["together", "apart"])
    def test_held_parts_stay_and_the_rest_goes_round_them(self, sides: Any) -> None:
        fabric = Fabric(WIDTH, sections=LENGTHWISE, sides=sides)
        pieces = (
            half("half", 300.0, 200.0, cut=2),
            Piece("pair", TRIANGLE, cut=2),
            Piece("single", TRIANGLE),
        )
        free = laid(Job(fabric, pieces))
        for spot in free.placements:
            held = replace(spot, x=spot.x + 150.0)
            job = Job(fabric, pieces, held=(held,))
            again = laid(job, rounds=6)
            assert held in again.placements
            assert again.length <= free.length + 450.0


@pytest.mark.parametrize("gap", [0.0, 3.0])
@pytest.mark.parametrize("rounds", [0, 5, 9])
def test_all_pairs_are_laid_as_plain_cloth_of_half_the_width_lays_them(
    gap: float, rounds: int
) -> None:
    """Equal rounds: the same places, to the last bit but the fold's own distance."""
    outlines = [
        ((0.0, 0.0), (260.0 + 15 * k, 10.0), (200.0, 150.0 + 11 * k), (20.0, 130.0))
        for k in range(6)
    ]
    pairs = tuple(Piece(f"pair {k}", outline, cut=2) for k, outline in enumerate(outlines))
    singles = tuple(replace(piece, cut=1) for piece in pairs)
    folded = laid(Job(Fabric(900.0, gap=gap, sections=(Section(450.0), OPEN)), pairs), rounds)
    # A part keeps half the gap from the fold: the other copy lies as far on the other side.
    plain = solve(
        Job(Fabric(450.0 - gap / 2.0, gap=gap), singles),
        stop=AfterRounds(rounds),
        clock=lambda: 0.0,
    )
    assert folded.length == plain.length
    shift = 450.0 + gap / 2.0
    places = sorted((spot.piece, spot.turn, spot.x, spot.y) for spot in plain.placements)
    found = sorted((spot.piece, spot.turn, spot.x, spot.y - shift) for spot in folded.placements)
    assert [one[:3] for one in found] == [one[:3] for one in places]
    assert [one[3] for one in found] == pytest.approx([one[3] for one in places])


def test_the_same_rounds_give_the_same_layout() -> None:
    pieces = (
        *(half(f"half {k}", 300.0 + 10 * k, 150.0 + 20 * k) for k in range(3)),
        *(Piece(f"pair {k}", TRIANGLE, cut=2) for k in range(3)),
        Piece("single", TRIANGLE, cut=3, hand="same"),
    )
    job = Job(Fabric(900.0, gap=2.0, sections=(Section(None), OPEN)), pieces)
    one, two = (laid(job, rounds=14, workers=2, seed=5) for _ in range(2))
    assert (one.placements, one.sections) == (two.placements, two.sections)


@pytest.mark.parametrize(
    ("sections", "piece", "words"),
    [
        ((Section(WIDTH / 2.0),), Piece("single", TRIANGLE), "leave a length of it open"),
        ((Section(100.0),), Piece("wide", rectangle(10.0, 1300.0)), "fold it less deep"),
        (LENGTHWISE, Piece("vast", rectangle(10.0, 1401.0)), "at least 140.1 cm wide"),
    ],
)
def test_what_fits_nowhere_is_named_with_the_remedy(
    sections: tuple[Section, ...], piece: Piece, words: str
) -> None:
    with pytest.raises(JobError, match=words):
        laid(Job(Fabric(WIDTH, sections=sections), (piece,)))


class TestCloths:
    """A piece of cloth of a fixed length."""

    PIECES = (
        half("half", 300.0, 200.0, priority=1.0),
        Piece("pair", rectangle(400.0, 600.0), cut=2, handed=True),
        Piece("single", rectangle(300.0, 900.0), handed=True),
    )

    def test_long_enough(self) -> None:
        layout = laid(Job(Fabric(WIDTH, 1100.0, sections=LENGTHWISE), self.PIECES))
        assert not layout.left_over
        assert lengths(layout) == [700.0, 300.0]

    @pytest.mark.parametrize(
        ("cloth", "left"),
        [(999.0, {"single"}), (600.0, {"pair"}), (299.0, {"half", "pair", "single"})],
    )
    def test_too_short_for_both_sections(self, cloth: float, left: set[str]) -> None:
        layout = laid(Job(Fabric(WIDTH, cloth, sections=LENGTHWISE), self.PIECES), rounds=60)
        assert {rest.piece for rest in layout.left_over} == left
        assert layout.length <= cloth

    @pytest.mark.parametrize("rounds", [1, 3, 20])
    def test_however_short_the_run_nothing_is_left_over_that_fits_in_columns(
        self, rounds: int
    ) -> None:
        """Of six pairs, each 300 of 700 mm across and 200 mm long, four lie on 450 mm."""
        pairs = [Piece(f"pair {k}", rectangle(200.0, 300.0), cut=2, handed=True) for k in range(6)]
        job = Job(Fabric(WIDTH, 450.0, sections=LENGTHWISE), (*pairs, half("half", 90.0, 200.0)))
        layout = laid(job, rounds=rounds)
        assert [spot.layers for spot in layout.placements] == [2, 2, 2, 2]
        assert layout.length <= 450.0


def test_a_fold_is_no_deeper_than_it_need_be() -> None:
    pieces = (
        half("half", 400.0, 100.0),
        *(Piece(f"pair {k}", rectangle(400.0, 150.0), cut=2) for k in range(1)),
        Piece("single", rectangle(800.0, 880.0), handed=True),
    )
    layout = laid(Job(Fabric(WIDTH, sections=(Section(None), OPEN)), pieces), rounds=80)
    # Half and pair one after the other leave 1400 - 2 x 150 in one layer.
    assert lengths(layout) == [800.0, 0.0]
    assert layout.sections[0].lower is not None
    assert layout.sections[0].lower <= 260.0


@pytest.mark.parametrize("off", [0.0, 0.9e-5, 1.1e-5, 2e-4, 9e-4, 0.1])
def test_a_half_whose_fold_edge_runs_askew_lies_on_the_fold_or_whole_but_never_wrongly(
    off: float,
) -> None:
    """By how many mm one end lies farther from the fold than the other; the judge minds 1e-5."""
    askew = math.degrees(math.asin(off / 300.0))
    piece = half("half", 300.0, 200.0, grain=askew)
    layout = laid(Job(Fabric(WIDTH, sections=LENGTHWISE), (piece,)), rounds=2)
    assert [spot.on_fold for spot in layout.placements] == [off < 1e-5]
