# SPDX-License-Identifier: GPL-2.0-or-later
"""Layouts on folded cloth: right ones are clean; with one rule broken exactly that one is told.

Both judges are asked each time: the second unfolds the cloth by other means.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from nesting.judge.check import check, check_held, check_laid
from nesting.judge.unfolding import unfold
from nesting.model import Job, Layout
from tests.helpers.folded import SPREADS, Folded, folded, put
from tests.helpers.judged import kinds
from tests.helpers.plain_judge import faults, rules_of

WAYS = (
    ("together", True, 0.0, 0.0),
    ("apart", True, 4.0, 5.0),
    ("together", False, 4.0, 5.0),
    ("apart", False, 3.0, 0.0),
)
"""Right sides, nap, gap and margin."""
CLOTHS = [
    pytest.param(
        spread,
        {"sides": sides, "nap": nap, "gap": gap, "margin": margin},
        id=f"{spread}; {sides}; {'nap' if nap else 'no nap'}; gap {gap:g}, margin {margin:g}",
    )
    for spread in SPREADS
    for sides, nap, gap, margin in WAYS
    # The upper layer of a plain crosswise fold lies head to foot, so with nap it is refused below.
    if not (nap and any(one.crosswise and not one.turned for one in SPREADS[spread]))
]
cloths = pytest.mark.parametrize(("spread", "cloth"), CLOTHS)


def both(job: Job, layout: Layout) -> set[str]:
    """Return the rules that a layout breaks, by both judges, who must agree."""
    found = check(job, layout)
    told = faults(job, layout)
    assert set(kinds(found)) == rules_of(told), (found, told)
    return set(kinds(found))


def told(case: Folded) -> set[str]:
    """Return the rules that a layout with true figures breaks."""
    return both(case.job, case.layout)


@cloths
def test_a_layout_that_is_right_is_clean(spread: str, cloth: dict[str, object]) -> None:
    case = folded(spread, **cloth)  # type: ignore[arg-type]
    assert told(case) == set()
    assert told(case.on_cloth(length=case.layout.length)) == set()
    held = replace(case.job, held=case.spots)
    assert check_held(held) == ()
    assert both(held, case.layout) == set()


# --- one rule broken ----------------------------------------------------------------------------


def neighbours(case: Folded) -> Iterator[int]:
    """Yield placements whose neighbour on the left lies in the same strip, in the same way."""
    for k in range(1, len(case.spots)):
        one, other = case.spots[k - 1], case.spots[k]
        same_way = (one.piece, one.turn) == (other.piece, other.turn)
        if same_way and case.strips[k] == case.strips[k - 1]:
            yield k


@cloths
def test_parts_that_share_cloth_overlap_on_every_layer(
    spread: str, cloth: dict[str, float]
) -> None:
    case = folded(spread, **cloth)  # type: ignore[arg-type]
    for k in neighbours(case):
        spot = case.spots[k]
        moved = case.changed(k, x=spot.x - cloth["gap"] - 10.0)
        assert told(moved) == {"overlap"}
        found = check(moved.job, moved.layout)
        assert len(found) == spot.layers


@cloths
def test_parts_that_are_too_near_break_the_gap(spread: str, cloth: dict[str, float]) -> None:
    case = folded(spread, **cloth)  # type: ignore[arg-type]
    for k in neighbours(case) if cloth["gap"] else ():
        moved = case.changed(k, x=case.spots[k].x - 1.0)
        assert told(moved) == {"gap"}
        found = check(moved.job, moved.layout)
        assert [one.amount for one in found] == pytest.approx([1.0] * case.spots[k].layers)


@cloths
def test_a_part_keeps_half_the_gap_from_the_fold_where_its_other_copy_lies(
    spread: str, cloth: dict[str, float]
) -> None:
    case, gap = folded(spread, **cloth), cloth["gap"]  # type: ignore[arg-type]
    for k in case.of_piece("cuff"):
        fold, strip = case.strips[k].fold, case.strips[k]
        if fold is None:
            continue
        to_fold = fold - strip.low if fold == strip.low else strip.high - fold
        assert to_fold == 0.0
        way = -1.0 if fold == strip.low else 1.0
        middle = (strip.low + strip.high) / 2.0
        by = abs(middle - fold) - 15.0 - gap / 2.0
        y = case.spots[k].y + way * by
        assert told(case.changed(k, y=y)) == set()
        if gap:
            near = case.changed(k, y=y + way * 0.5)
            assert told(near) == {"gap"}
            (found,) = check(near.job, near.layout)
            assert found.amount == pytest.approx(1.0)
            assert f"lies {gap / 2 - 0.5:g} mm from the fold of the cloth" in found.sentence
            assert "move it away from the fold" in found.sentence


@cloths
def test_a_part_before_the_cut_end_is_off_the_cloth(spread: str, cloth: dict[str, float]) -> None:
    case = folded(spread, **cloth)  # type: ignore[arg-type]
    firsts = {spot.section: k for k, spot in reversed([*enumerate(case.spots)])}
    for k in firsts.values():
        moved = case.changed(k, x=case.spots[k].x - 1.0)
        assert told(moved) == {"off the cloth"}
        found = check(moved.job, moved.layout)
        assert [one.amount for one in found] == pytest.approx([1.0] * len(found))


@cloths
def test_cloth_that_is_too_short_has_parts_off_it(spread: str, cloth: dict[str, float]) -> None:
    case = folded(spread, **cloth)  # type: ignore[arg-type]
    short = case.on_cloth(length=case.layout.length - 1.0)
    assert told(short) == {"off the cloth"}


@cloths
def test_a_part_over_a_selvedge_is_off_the_cloth(spread: str, cloth: dict[str, float]) -> None:
    """At an edge of the flat cloth, be it of the upper layer, the margin is kept."""
    case, margin = folded(spread, **cloth), cloth["margin"]  # type: ignore[arg-type]
    for k, (spot, strip) in enumerate(zip(case.spots, case.strips, strict=True)):
        if spot.on_fold:
            continue
        height = 30.0 if spot.piece == "cuff" else 14.0
        middle = (strip.low + strip.high) / 2.0
        room = (strip.high - strip.low - height) / 2.0
        ends = [(strip.low, -1.0), (strip.high, 1.0)]
        for end, way in ends:
            at_selvedge = end in (0.0, 400.0)
            if end == strip.fold or (strip.layers == 1 and not at_selvedge):
                continue
            kept = spot.y + way * (room - margin)
            assert told(case.changed(k, y=kept)) == set(), (strip, middle)
            over = case.changed(k, y=kept + way * 1.0)
            if at_selvedge or margin:
                assert told(over) == {"off the cloth"}
                found = check(over.job, over.layout)
                assert [one.amount for one in found] == pytest.approx([1.0] * len(found))


@cloths
def test_a_part_that_leaves_its_strip_breaks_the_zone_alone(
    spread: str, cloth: dict[str, float]
) -> None:
    case = folded(spread, **cloth)  # type: ignore[arg-type]
    for k, (spot, strip) in enumerate(zip(case.spots, case.strips, strict=True)):
        if spot.on_fold:
            continue
        height = 30.0 if spot.piece == "cuff" else 14.0
        room = (strip.high - strip.low - height) / 2.0
        for end, way in ((strip.low, -1.0), (strip.high, 1.0)):
            if end in (0.0, 400.0):
                continue
            # As far as the margin lets it, or any gap to its own other copy across the fold.
            over = case.changed(k, y=spot.y + way * (room + 2.0))
            assert told(over) == {"zone"}
            (found,) = check(over.job, over.layout)
            assert found.amount == pytest.approx(2.0)
            assert found.parts[0] == f"{spot.piece} #{spot.copies[0]}"
            assert len(found.parts) == spot.layers
            place = "across the fold" if end == strip.fold else "over the edge"
            assert (place if strip.layers == 2 else "into where") in found.sentence
            assert "reaches 2 mm" in found.sentence


@cloths
def test_a_half_off_its_fold_breaks_the_zone_alone(spread: str, cloth: dict[str, float]) -> None:
    case = folded(spread, **cloth)  # type: ignore[arg-type]
    for k in case.of_piece("yoke"):
        for by in (0.01, -0.01, 3.0, -3.0):
            off = case.changed(k, y=case.spots[k].y + by)
            assert told(off) == {"zone"}
            (found,) = check(off.job, off.layout)
            assert found.amount == pytest.approx(abs(by))
            assert f"lies {abs(by):g} mm off the fold of the cloth" in found.sentence


@cloths
def test_a_copy_that_lacks_or_is_doubled_is_a_count(spread: str, cloth: dict[str, float]) -> None:
    case = folded(spread, **cloth)  # type: ignore[arg-type]
    assert told(replace(case, spots=case.spots[1:])) == {"count"}
    for k in case.one_of_each():
        spot = case.spots[k]
        for wrong in ((*spot.copies[:-1], 99), (99,) * spot.layers):
            assert told(case.changed(k, copies=wrong)) == {"count"}
        assert told(case.changed(k, garment=2)) == {"count"}
        if spot.layers == 2:
            for wrong in (spot.copies[:1], spot.copies[:1] * 2):
                assert told(case.changed(k, copies=wrong)) == {"count"}


@cloths
def test_copies_of_one_hand_cannot_be_cut_through_two_layers(
    spread: str, cloth: dict[str, float]
) -> None:
    case = folded(spread, **cloth)  # type: ignore[arg-type]
    alike = case.of_pieces(hand="same")
    assert told(alike) == ({"hand"} if case.of_piece("cuff") else set())


@cloths
def test_a_single_part_laid_the_other_way_up_is_of_the_wrong_hand(
    spread: str, cloth: dict[str, float]
) -> None:
    case = folded(spread, **cloth)  # type: ignore[arg-type]
    tab = next((piece for piece in case.job.pieces if piece.id == "tab"), None)
    for k in case.of_piece("tab"):
        assert tab is not None
        spot, strip = case.spots[k], case.strips[k]
        y = (strip.low + strip.high) / 2.0 - 7.0
        low = put(tab, 0.0, 0.0, spot.turn, flip=not spot.flip)
        before = put(tab, 0.0, 0.0, spot.turn, flip=spot.flip)
        x = spot.x - before.x + low.x
        assert told(case.changed(k, flip=not spot.flip, x=x, y=y + low.y)) == {"hand"}


@cloths
def test_every_copy_is_asked_for_its_turn(spread: str, cloth: dict[str, float]) -> None:
    case = folded(spread, **cloth)  # type: ignore[arg-type]
    crosswise = any(one.crosswise and not one.turned for one in case.job.fabric.sections)
    if not cloth["nap"]:
        assert told(case.of_pieces(turns=(0.0,))) == {"turn"}
        assert told(case.on_cloth(nap=True)) == {"nap"}
        assert told(case.on_cloth(nap=True).of_pieces(turns_on_nap=True)) == set()
    elif not crosswise:
        assert told(case.of_pieces(turns=(180.0,), turns_on_nap=True)) == {"turn"}


@pytest.mark.parametrize("sides", ["together", "apart"])
def test_a_crosswise_fold_is_against_the_nap_unless_its_upper_layer_is_turned_round(
    sides: str,
) -> None:
    """reference: hand books tell to cut the crease and to turn the top layer round, so that the
    nap of both runs one way; as it falls the top layer's is reversed."""
    plain = folded("crosswise", sides=sides, nap=True)
    assert told(plain) == {"nap"}
    upper = {part for one in check(plain.job, plain.layout) for part in one.parts}
    assert len(upper) == len(plain.spots)
    assert told(folded("crosswise, turned", sides=sides, nap=True)) == set()


@cloths
def test_what_was_held_lies_where_it_lay(spread: str, cloth: dict[str, float]) -> None:
    case = folded(spread, **cloth)  # type: ignore[arg-type]
    layout = case.layout
    for k in case.one_of_each():
        spot = case.spots[k]
        moved = replace(case.job, held=(replace(spot, x=spot.x + 0.5),))
        assert both(moved, layout) == {"held moved"}
        for change in ({"section": 9}, {"layers": 3 - spot.layers}, {"on_fold": not spot.on_fold}):
            other = replace(case.job, held=(replace(spot, **change),))
            assert both(other, layout) == {"held moved"}


@cloths
def test_figures_of_folded_cloth_are_the_true_ones(spread: str, cloth: dict[str, float]) -> None:
    case = folded(spread, **cloth)  # type: ignore[arg-type]
    layout = case.layout
    for by in (1.0, -1.0, 0.001):
        assert both(case.job, replace(layout, length=layout.length + by)) == {"length"}
        for k, section in enumerate(layout.sections):
            longer = replace(section, length=section.length + by)
            sections = (*layout.sections[:k], longer, *layout.sections[k + 1 :])
            # A crosswise fold lies where the layout says by the second judge, so it sees more.
            assert "length" in rules_of(faults(case.job, replace(layout, sections=sections)))
            assert set(kinds(check(case.job, replace(layout, sections=sections)))) == {"length"}
    assert both(case.job, replace(layout, utilisation=layout.utilisation + 1e-4)) == {"length"}
    assert both(case.job, replace(layout, width=399.0)) == {"length"}
    assert both(case.job, replace(layout, lower_bound=layout.length + 1.0)) == {"length"}


@cloths
def test_parts_that_were_unfolded_can_be_asked_without_a_layout(
    spread: str, cloth: dict[str, float]
) -> None:
    case = folded(spread, **cloth)  # type: ignore[arg-type]
    pieces = {piece.id: piece for piece in case.job.pieces}
    flat = unfold(case.job.fabric, pieces, case.spots)
    assert check_laid(flat.laid, case.job.fabric) == ()
    assert sum(flat.lengths) == pytest.approx(case.layout.length)
    assert len(flat.laid) == sum(spot.layers for spot in case.spots)
