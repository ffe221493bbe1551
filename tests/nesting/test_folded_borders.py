# SPDX-License-Identifier: GPL-2.0-or-later
"""Borders of folded cloth, and of cloth whose design repeats along it.

Gores with a hem of 300 mm, 400 mm long, on cloth 1,000 mm wide: each stands across it on its hem.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from nesting.errors import JobError
from nesting.jobs.validation import validated
from nesting.judge.check import check
from nesting.model import OPEN, Band, Fabric, Job, Layout, Match, Piece, Placement, Repeat, Section
from nesting.solve import solve
from nesting.stop import AfterRounds
from nesting.tighten import tighten
from tests.helpers.both_judges import passed_by_both
from tests.helpers.plain_judge import faults, rules_of

LOWER, UPPER = Band("lower", 0.0, 120.0), Band("upper", 1000.0, 900.0)
BOTH = (LOWER, UPPER)
CLOTH = Fabric(1000.0, nap=False, bands=(LOWER,))
ACROSS = (0.0, 90.0, 180.0, 270.0)
HEM = ((0.0, -150.0), (400.0, -50.0), (400.0, 50.0), (0.0, 150.0))
GORE = Piece("gore", HEM, cut=4, turns=ACROSS, band="hem")
ALONG, CROSSWISE = Section(500.0), Section(crosswise=True)
TURNED = replace(CROSSWISE, turned=True)


def lay(fabric: Fabric, *pieces: Piece, rounds: int = 2) -> Layout:
    return passed_by_both(Job(fabric, pieces or (GORE,)), rounds)


def on(*sections: Section, bands: tuple[Band, ...] = (LOWER,), **values: object) -> Fabric:
    return replace(CLOTH, sections=sections, bands=bands, **values)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("fabric", "lengths", "layers"),
    [
        # Over a crosswise fold a border lies over itself: two hems beside each other, twice.
        (on(CROSSWISE, OPEN), (1200.0, 0.0), 2),
        (on(CROSSWISE, OPEN, bands=(UPPER,)), (1200.0, 0.0), 2),
        # Both selvedges together at y = 1000: what is cut double needs the border in both layers.
        (on(ALONG, OPEN, bands=BOTH), (600.0, 0.0), 2),
        (on(ALONG, OPEN, bands=BOTH, sides="apart"), (600.0, 0.0), 2),
        (on(ALONG, OPEN), (0.0, 1200.0), 1),
        (on(ALONG, OPEN, bands=(LOWER, replace(UPPER, line=990.0))), (0.0, 600.0), 1),
        # Turned round, the upper layer has its lower selvedge above.
        (on(TURNED, OPEN), (0.0, 1200.0), 1),
        (on(TURNED, OPEN, bands=BOTH), (600.0, 0.0), 2),
        # Folded in at the lower selvedge, the upper one with its border lies single.
        (on(Section(200.0), OPEN, bands=(UPPER,)), (1200.0, 0.0), 1),
        (on(Section(200.0), OPEN), (0.0, 1200.0), 1),
        # Turned over for that, the lower border lies above.
        (on(Section(200.0), OPEN, sides="apart"), (1200.0, 0.0), 1),
    ],
)
def test_hems_lie_on_borders_of_every_layer_that_is_cut(
    fabric: Fabric, lengths: tuple[float, float], layers: int
) -> None:
    layout = lay(fabric)
    assert [one.length for one in layout.sections] == pytest.approx(lengths, abs=1e-3)
    assert {spot.layers for spot in layout.placements} == {layers}


def test_what_asks_for_no_border_is_cut_double_as_ever() -> None:
    """On cloth with one border the gores stand in the open length, squares lie on two layers."""
    square = Piece("s", ((0.0, 0.0), (250.0, 0.0), (250.0, 250.0), (0.0, 250.0)), cut=4)
    layout = lay(on(ALONG, OPEN), GORE, square)
    assert [one.length for one in layout.sections] == pytest.approx((250.0, 1200.0), abs=1e-3)


def test_a_half_on_the_fold_that_asks_for_a_border_is_cut_whole() -> None:
    half = replace(GORE, outline=((0, 0), (400, 0), (400, 50), (0, 150)), fold=((0, 0), (400, 0)))
    layout = lay(on(ALONG, OPEN), replace(half, cut=1))
    assert [(spot.section, spot.on_fold, spot.y) for spot in layout.placements] == [(2, False, 0.0)]


@pytest.mark.parametrize(
    ("fabric", "piece", "words"),
    [
        (on(ALONG), GORE, "folded that lies in one layer alone: leave a length of it open, fold"),
        (on(ALONG, OPEN), replace(GORE, turns=(0.0, 180.0)), "let it lie across the grain"),
        (
            on(OPEN, repeat=Repeat(along=80.0)),
            replace(GORE, match=(Match((10.0, 0.0), "side"),)),
            "across the grain, where its match points cannot lie in the repeat: take them away,",
        ),
        (on(OPEN, repeat=Repeat(80.0, 60.0)), GORE, "leave out the repeat across, or the borders."),
    ],
)
def test_what_cannot_lie_on_a_border_is_told_in_a_sentence(
    fabric: Fabric, piece: Piece, words: str
) -> None:
    with pytest.raises(JobError, match=words):
        solve(Job(fabric, (piece,)), stop=AfterRounds(0), clock=lambda: 0.0)


@pytest.mark.parametrize(
    ("fabric", "by"),
    [
        (on(CROSSWISE, OPEN), 3.0),
        (on(ALONG, OPEN, bands=BOTH), -3.0),
        (on(Section(200.0), OPEN, bands=(UPPER,)), -3.0),
    ],
)
def test_an_edge_off_the_border_breaks_that_rule_alone_and_pressing_puts_it_right(
    fabric: Fabric, by: float
) -> None:
    layout = lay(fabric, replace(GORE, cut=2))
    job = validated(Job(fabric, (replace(GORE, cut=2),)))
    (spot, *others) = layout.placements
    off = (replace(spot, y=spot.y + by), *others)
    moved = replace(layout, placements=off)
    broken = check(job, moved)
    assert {one.kind for one in broken} == {"border"}
    assert [one.amount for one in broken] == pytest.approx([3.0] * spot.layers)
    assert rules_of(faults(job, moved)) == {"border"}
    pressed = tighten(job, off, stop=AfterRounds(5), clock=lambda: 0.0)
    assert check(job, pressed) == ()
    assert pressed.length == pytest.approx(layout.length, abs=0.05)


def test_two_layers_of_which_one_has_no_border_break_the_rule() -> None:
    """Cut double on cloth with a border at the upper selvedge alone, the other copy has none."""
    layout = lay(on(ALONG, OPEN, bands=BOTH), replace(GORE, cut=2))
    job = validated(Job(on(ALONG, OPEN, bands=(UPPER,)), (replace(GORE, cut=2),)))
    (broken,) = check(job, layout)
    assert (broken.kind, broken.parts) == ("border", ("gore #2",))
    assert rules_of(faults(job, layout)) == {"border"}


# --- with a repeat ------------------------------------------------------------------------------


def test_sides_on_a_border_keep_to_a_repeat_along_the_cloth() -> None:
    """Panels 100 mm long with a side on the border begin at every stripe of 80 mm: 0 and 160."""
    panel = Piece(
        "p",
        ((0.0, 0.0), (100.0, 0.0), (100.0, 700.0), (0.0, 700.0)),
        cut=2,
        hand="same",
        band="right",
        match=(Match((10.0, 10.0), "side"),),
    )
    striped = on(OPEN, repeat=Repeat(along=80.0))
    layout = lay(striped, panel)
    assert layout.length == pytest.approx(260.0, abs=1e-3)
    assert {spot.y for spot in layout.placements} == {0.0}
    plain = replace(panel, match=())
    assert lay(striped, plain).length == pytest.approx(200.0, abs=1e-3)
    spots = [replace(one, x=one.x + 80.0 * k + 5.0) for k, one in enumerate(layout.placements)]
    job = validated(Job(striped, (panel,)))
    pressed = tighten(job, spots, stop=AfterRounds(9), clock=lambda: 0.0)
    assert check(job, pressed) == ()
    assert faults(job, pressed) == []


def test_a_held_part_stays_on_its_border() -> None:
    held = (Placement("gore", (1, 2), 1, 90.0, False, 400.0, 0.0, 1, 2),)
    job = Job(on(CROSSWISE, OPEN), (GORE,), held)
    layout = solve(job, stop=AfterRounds(2), clock=lambda: 0.0)
    assert check(job, layout) == ()
    assert held[0] in layout.placements
