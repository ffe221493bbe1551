# SPDX-License-Identifier: GPL-2.0-or-later
"""Several pieces of cloth as one question: what lies on which is known by enumeration."""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import product

import pytest

from nesting.errors import JobError
from nesting.jobs.jobfile import job_from_json, job_to_json, layout_from_json, layout_to_json
from nesting.jobs.validation import validated
from nesting.judge.check import check
from nesting.model import Fabric, Job, Layout, Lot, Outline, Piece, Placement, Repeat
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers.plain_judge import faults

ANGLE: Outline = ((0, 0), (300, 0), (300, 100), (100, 100), (100, 300), (0, 300))
"""An L of five squares of 100 mm."""


def no_time() -> float:
    return 0.0


def strip(long: int, cut: int = 1, name: str = "", garments: int = 1) -> Piece:
    """Return a piece 100 mm wide that lies along the cloth."""
    outline = ((0.0, 0.0), (float(long), 0.0), (float(long), 100.0), (0.0, 100.0))
    return Piece(name or f"s{long}", outline, cut=cut, garments=garments, hand="same")


def rests(*lengths: int) -> tuple[Fabric, ...]:
    """Return pieces of cloth 100 mm wide."""
    return tuple(Fabric(100.0, float(long)) for long in lengths)


def job_of(fabrics: tuple[Fabric, ...], *pieces: Piece, one_lot: Lot = "") -> Job:
    return Job(fabrics[0], pieces, fabrics=fabrics, one_lot=one_lot)


def laid(job: Job, rounds: int = 4, seed: int = 0) -> Layout:
    """Return a layout that keeps every rule."""
    layout = solve(job, seed=seed, stop=AfterRounds(rounds), clock=no_time)
    assert check(validated(job), layout) == ()
    assert faults(validated(job), layout) == []
    return layout


def loads(layout: Layout) -> dict[int, list[str]]:
    """Return the pieces that lie on each cloth."""
    found: dict[int, list[str]] = {}
    for spot in sorted(layout.placements, key=lambda spot: spot.piece):
        found.setdefault(spot.fabric, []).append(spot.piece)
    return found


def test_copies_of_one_piece_are_parted_where_no_cloth_holds_all() -> None:
    layout = laid(job_of(rests(400, 500), strip(100, cut=9)))
    assert loads(layout) == {1: ["s100"] * 4, 2: ["s100"] * 5}
    assert sorted(copy for spot in layout.placements for copy in spot.copies) == list(range(1, 10))
    assert [(one.fabric, one.length, one.utilisation) for one in layout.fabrics] == [
        (1, pytest.approx(400.0), pytest.approx(1.0)),
        (2, pytest.approx(500.0), pytest.approx(1.0)),
    ]


def test_the_only_split_of_two_cloths_is_found() -> None:
    """170 + 130 + 110 and 160 + 140 + 120: of the 64 splits one fits, by enumeration."""
    sizes, rooms = (170, 160, 140, 130, 120, 110), (410, 420)
    splits = [
        where
        for where in product((0, 1), repeat=6)
        if all(sum(s for s, w in zip(sizes, where, strict=True) if w == k) <= rooms[k]
               for k in (0, 1))
    ]  # fmt: skip
    fitting = {tuple(s for s, w in zip(sizes, where, strict=True) if w == 0) for where in splits}
    layout = laid(job_of(rests(*rooms), *(strip(size) for size in sizes)), rounds=60)
    assert layout.left_over == ()
    on_first = [int(name[1:]) for name in loads(layout)[1]]
    assert tuple(sorted(on_first, reverse=True)) in fitting


@pytest.mark.parametrize(
    ("rooms", "used"),
    [
        ((900, 400, 500), [3]),  # the smallest that holds all 450
        ((300, 200, 460), [3]),  # one before two, whose area is as large
        ((440, 430, 100, 20), [2, 4]),  # the smallest two of those that hold all
    ],
)
def test_fewest_and_smallest_cloths_are_used(rooms: tuple[int, ...], used: list[int]) -> None:
    layout = laid(job_of(rests(*rooms), strip(300), strip(130), strip(20)), rounds=20)
    assert layout.left_over == ()
    assert [one.fabric for one in layout.fabrics] == used


def test_a_cloth_with_an_outline_of_its_own_is_one_of_several() -> None:
    square = replace(strip(100, cut=7), turns=(0.0,))
    fabrics = (Fabric(300.0, outline=ANGLE), *rests(200))
    layout = laid(job_of(fabrics, square), rounds=8)
    assert [(one.fabric, one.utilisation) for one in layout.fabrics] == [
        (1, pytest.approx(1.0)),
        (2, pytest.approx(1.0)),
    ]


def test_what_is_of_one_lot_is_not_parted() -> None:
    """Two garments of 400: on 600 and 200 pairs can be kept together, garments cannot."""
    pieces = strip(100, cut=2, garments=2), strip(200, garments=2)
    free = laid(job_of(rests(600, 200), *pieces), rounds=8)
    assert free.left_over == ()
    for lot in ("piece", "garment"):
        layout = laid(job_of(rests(600, 200), *pieces, one_lot=lot), rounds=8)
        on: dict[tuple[str, int], set[int]] = {}
        for spot in layout.placements:
            of = spot.piece if lot == "piece" else ""
            on.setdefault((of, spot.garment), set()).add(spot.fabric)
        assert all(len(cloths) == 1 for cloths in on.values())
        assert (layout.left_over == ()) == (lot == "piece")
    whole = laid(job_of(rests(400, 400), *pieces, one_lot="garment"), rounds=8)
    assert whole.left_over == ()


def test_a_garment_is_kept_together_where_that_costs_nothing() -> None:
    pieces = strip(100, cut=2, garments=2), strip(50, garments=2)
    layout = laid(job_of(rests(300, 300), *pieces), rounds=24)
    assert {(spot.garment, spot.fabric) for spot in layout.placements} in (
        {(1, 1), (2, 2)},
        {(1, 2), (2, 1)},
    )


def test_more_urgent_pieces_are_laid_before_larger_ones() -> None:
    urgent = replace(strip(150), priority=1.0)
    layout = laid(job_of(rests(200, 180), strip(190), strip(170), urgent), rounds=8)
    assert [rest.piece for rest in layout.left_over] == ["s170"]
    assert loads(layout) == {1: ["s190"], 2: ["s150"]}


def test_what_is_too_wide_for_one_cloth_lies_on_another_and_for_all_is_refused() -> None:
    fabrics = (Fabric(80.0, 900.0), *rests(120))
    across = replace(strip(50), turns=(90.0,), turns_on_nap=True)
    assert loads(laid(job_of(fabrics, strip(110), across))) == {1: ["s50"], 2: ["s110"]}
    with pytest.raises(JobError, match="needs fabric at least 10 cm wide"):
        laid(job_of((Fabric(80.0, 900.0), Fabric(70.0, 900.0)), strip(110)))


def test_the_same_rounds_give_the_same_layout_and_more_none_that_is_worse() -> None:
    job = job_of(rests(330, 300, 290), *(strip(size, cut=2) for size in (150, 100, 90, 80)))
    short, long = laid(job, 6), laid(job, 12)
    assert laid(job, short.rounds) == short
    assert len(long.fabrics) <= len(short.fabrics) or short.left_over
    assert sum(len(rest.copies) for rest in long.left_over) <= sum(
        len(rest.copies) for rest in short.left_over
    )


# --- the judge ----------------------------------------------------------------------------------


def broken(layout: Layout, job: Job) -> set[str]:
    """Return the rules that are broken; the second judge must see that some are, too."""
    found = {one.kind for one in check(validated(job), layout)}
    assert bool(faults(validated(job), layout)) == bool(found)
    return found


def test_the_judge_refuses_each_violation_by_its_rule() -> None:
    job = job_of(rests(400, 500), strip(100, cut=4, garments=2), one_lot="garment")
    layout = laid(job)
    spots = list(layout.placements)
    assert broken(layout, job) == set()

    def changed(number: int, **change: object) -> set[str]:
        some = [*spots[:number], replace(spots[number], **change), *spots[number + 1 :]]
        return broken(replace(layout, placements=tuple(some)), job)

    first = next(k for k, spot in enumerate(spots) if spot.fabric == 2 and spot.x < 1.0)
    assert changed(first, y=1.0) == {"off the cloth"}
    assert changed(first, x=spots[first].x + 1.0) == {"overlap"}
    assert changed(first, turn=180.0) == {"nap", "off the cloth"}
    assert "count" in changed(first, fabric=3)
    assert {"one lot"} <= changed(first, fabric=1) <= {"one lot", "overlap", "length"}
    for figure in ("length", "width", "utilisation"):
        (one, *more) = layout.fabrics
        wrong = replace(one, **{figure: getattr(one, figure) + 0.5})
        assert broken(replace(layout, fabrics=(wrong, *more)), job) == {"length"}
        stated = replace(layout, **{figure: getattr(layout, figure) + 0.5})
        assert broken(stated, job) == {"length"}
    assert broken(replace(layout, fabrics=layout.fabrics[:1]), job) == {"length"}


def test_a_sentence_of_the_judge_says_on_which_cloth() -> None:
    job = job_of(rests(400, 500), strip(100, cut=9))
    layout = laid(job)
    spots = tuple(
        replace(spot, y=5.0) if (spot.fabric, spot.copies) == (2, (9,)) else spot
        for spot in layout.placements
    )
    (found,) = check(validated(job), replace(layout, placements=spots))
    assert found.sentence.startswith("Cloth 2: ")


# --- job files ----------------------------------------------------------------------------------


def test_job_and_result_go_through_their_files_and_back() -> None:
    fabrics = (Fabric(300.0, outline=ANGLE), *rests(200))
    job = validated(job_of(fabrics, strip(100, cut=7), one_lot="piece"))
    text = job_to_json(job)
    assert job_from_json(text) == job
    document = json.loads(text)
    assert "fabric" not in document
    assert [len(one.get("outline", ())) for one in document["fabrics"]] == [6, 0]
    layout = laid(replace(job, one_lot=""), 8)
    assert layout_from_json(layout_to_json(layout)) == layout
    assert {spot.get("fabric") for spot in json.loads(layout_to_json(layout))["placements"]} == {
        None,
        2,
    }


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"fabrics": []}, "The list of fabrics is empty"),
        ({"fabrics": 5}, "The list of fabrics must be a list of objects"),
        ({"fabrics": [{"width": 100}]}, "Cloth 1 has no end"),
        ({"fabrics": [{"width": 100, "length": 100}, {"width": 1, "length": 9}]}, "Cloth 2: The"),
        ({"fabric": {"width": 100}}, "has “fabric” and “fabrics”"),
        ({"fabrics": [{"width": 100, "length": 90, "sections": [{"lower": 50}]}]}, "Cloth 1 is"),
        ({"fabrics": [{"width": 100, "length": 90}] * 13}, "13 pieces of cloth are given, but "),
        ({"one_lot": "bolt"}, "must be “piece” or “garment”, or be left out, not “bolt”"),
        ({"fabrics": [{"width": 100, "cloth": 1}]}, "unknown key “cloth”"),
    ],
)  # fmt: skip
def test_cloths_that_cannot_be_are_one_sentence(change: dict[str, object], words: str) -> None:
    job = json.loads(job_to_json(validated(job_of(rests(400, 500), strip(100)))))
    with pytest.raises(JobError, match=words):
        job_from_json(json.dumps({**job, **change}))


def test_held_parts_and_a_design_are_refused() -> None:
    held = Placement("s100", (1,), 1, 0.0, False, 0.0, 0.0)
    with pytest.raises(JobError, match="Held parts lie on one piece of cloth"):
        validated(replace(job_of(rests(400, 500), strip(100)), held=(held,)))
    striped = replace(rests(400)[0], repeat=Repeat(along=50.0))
    with pytest.raises(JobError, match="Cloth 2 is folded or has a repeat"):
        validated(job_of((*rests(400), striped), strip(100)))
