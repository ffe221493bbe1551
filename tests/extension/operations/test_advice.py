# SPDX-License-Identifier: GPL-2.0-or-later
"""What would save cloth: only what was measured, what it gives up beside it, and no luck."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from extension.commands.command_line import run as run_command
from extension.commands.terminal import Terminal
from extension.job.advice import DRAFT, HEAD, NOT_ALL_FIT
from extension.job.options import LayOutOptions
from extension.job.plan import make_plan, request_of
from extension.job.reading import read_pieces
from extension.job.saving_changes import saving_changes
from extension.operations.advising import Bench, advice_on
from extension.operations.lay_out import Outcome, lay_out
from extension.operations.running import Run
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from nesting.model import Job, Layout
from nesting.solve import solve
from nesting.stop import AfterRounds, AnyOf, StopRule
from tests.helpers.cloth import between_selvedges
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder


def never(rounds: int) -> bool:
    return False


def squares(count: int, side: float) -> SvgBuilder:
    made = SvgBuilder("2000mm", "2000mm", (0, 0, 2000, 2000))
    lay = {"name": "Square", "cut": str(count), "hand": "same", "grain": "up"}
    made.add_rect(10, 10, side, side, id="square", lay=lay)
    return made


def cloth(width: float, **values: Any) -> LayOutOptions:
    usual = {"gap": 0.0, "nap": False, "round_up": "none", "end_allowance": 0.0, "advice": True}
    return between_selvedges(width, rounds=8, **{**usual, **values})


def laid(drawing: SvgBuilder, options: LayOutOptions) -> Outcome:
    return lay_out(drawing.document(), options, Run(no_time, never))


def offered(outcome: Outcome) -> dict[str, float]:
    """Return the changes that are offered, and how much is needed with each, mm."""
    changes = outcome.report["advice"]["changes"]
    return {one["change"]: round(one["length_mm"], 3) for one in changes if one["offered"]}


def line(outcome: Outcome, begin: str) -> str:
    lines = [re.sub(r"^\d+\. ", "", one) for one in outcome.summary]
    (found,) = [one for one in lines if one.startswith(begin)]
    return found


def test_triangles_lie_head_to_foot_without_nap() -> None:
    made = SvgBuilder("2000mm", "2000mm", (0, 0, 2000, 2000))
    lay = {"name": "Gusset", "cut": "2", "hand": "same", "grain": "up"}
    made.add_path("M 10 10 v 200 h 100 z", id="gusset", lay=lay)
    outcome = laid(made, cloth(100.0, nap=True, price="10 EUR"))
    assert offered(outcome)["without nap"] == 200.0
    told = line(outcome, "Without nap: ")
    assert told.startswith(
        "Without nap: 0.20 m would do, 20 cm less (20 cm less to buy, 2.00 EUR saved); given up: "
        "all tops one way"
    )
    # The trial that is always made is not made again: no two figures for one thing.
    assert outcome.report["without_nap_mm"] == pytest.approx(200.0)
    assert "Without nap 0.20 m would do, 20 cm less." in line(outcome, "Single layer")


def test_only_the_piece_that_gains_by_a_consent_is_named() -> None:
    made = squares(1, 90.0)
    lay = {"name": "Strip", "cut": "1", "grain": "up"}
    made.add_rect(400, 10, 100, 300, id="strip", lay=lay)
    outcome = laid(made, cloth(450.0))
    assert offered(outcome)["with Strip turned across the grain"] == 100.0
    assert "given up: the grain" in line(outcome, "With Strip turned across the grain: 0.10 m")


def test_of_two_pieces_that_use_a_consent_each_is_tried_alone() -> None:
    made = SvgBuilder("2000mm", "2000mm", (0, 0, 2000, 2000))
    for number in range(2):
        lay = {"name": f"Strip {number}", "cut": "1", "grain": "up"}
        made.add_rect(10 + 400 * number, 10, 100, 300, id=f"strip{number}", lay=lay)
    outcome = laid(made, cloth(300.0))
    found = offered(outcome)
    # Beside each other they need 300; both across lie in 200, and one alone saves nothing.
    assert found["with Strip 0 and Strip 1 turned across the grain"] == 200.0
    changes = outcome.report["advice"]["changes"]
    alone = [one for one in changes if one["pieces"] in (["strip0"], ["strip1"])]
    assert {one["change"] for one in alone} == {
        "with Strip 0 turned across the grain",
        "with Strip 1 turned across the grain",
    }
    assert not any(one["offered"] for one in alone)


def test_either_side_up_saves_where_a_mirror_image_fills_the_gap() -> None:
    made = SvgBuilder("2000mm", "2000mm", (0, 0, 2000, 2000))
    for name, data in (("Left", "M 10 210 v -200 h 100 z"), ("Right", "M 510 210 h -100 v -200 z")):
        made.add_path(data, id=name.lower(), lay={"name": name, "cut": "1", "grain": "up"})
    outcome = laid(made, cloth(100.0, nap=True))
    sides = {name: one for name, one in offered(outcome).items() if "either side up" in name}
    assert set(sides.values()) == {200.0}
    told = next(one for one in outcome.summary if "cut with either side up: 0.20 m" in one)
    assert "given up: which side of it is the right one: only for cloth that is alike" in told


def test_three_squares_lie_in_one_row_on_a_wider_cloth_and_without_a_gap() -> None:
    outcome = laid(squares(3, 500.0), cloth(1375.0, gap=3.0))
    found = offered(outcome)
    assert found["on cloth 160 cm wide as on the bolt"] == 500.0
    assert "on cloth 150 cm wide as on the bolt" not in found
    told = line(outcome, "No saving, or no more than luck: ")
    assert "cloth 150 cm wide" in told
    assert len(told) < 200


def test_the_next_narrower_cloth_is_measured_and_never_a_saving() -> None:
    """Two squares of 50 cm in a row on 115 cm as on the bolt, one on cloth of 90 cm."""
    outcome = laid(squares(2, 500.0), cloth(1125.0, price="8 EUR"))
    told = line(outcome, "On cloth 90 cm wide")
    assert told == (
        "On cloth 90 cm wide as on the bolt, by a short run: 1.00 m would do, 50 cm more (buy "
        "1.00 m / 1.10 yd); given up: nothing, if it is sold so wide."
    )
    outcome = laid(squares(2, 400.0), cloth(1125.0))
    assert "0.40 m would do, no more (buy " in line(outcome, "On cloth 90 cm wide")
    outcome = laid(squares(1, 900.0), cloth(1125.0))
    assert line(outcome, "Cloth 90 cm wide") == "Cloth 90 cm wide is too narrow for some parts."
    for one in (outcome, laid(squares(3, 500.0), cloth(1375.0))):
        changes = one.report["advice"]["changes"]
        assert not [
            change for change in changes if change["offered"] and "90 cm" in change["change"]
        ]
    for own in (cloth(900.0 - 25.0), cloth(1125.0, fabric_length=1200.0)):
        assert not [one for one in laid(squares(2, 400.0), own).summary if "narrow" in one]


def test_a_layout_of_narrower_cloth_that_is_shorter_is_one_with_nothing_changed() -> None:
    options = cloth(1125.0)
    plan = planned(squares(4, 400.0), options)
    (narrow,) = [one for one in saving_changes(plan, options, is_compared=False) if one.is_narrower]
    layout = solve(plan.job, stop=AfterRounds(1), clock=no_time)
    short = replace(solve(narrow.plan.job, stop=AfterRounds(1), clock=no_time), rounds=1)
    longer = replace(layout, length=layout.length + 100.0, lower_bound=0.0, rounds=8)
    bench = Bench(lambda *_: short, no_time, never, 0.0)
    advice = advice_on(plan, options, longer, bench, known={}, is_compared=False)
    assert short.length in advice.unchanged
    assert advice.best == short.length


def test_two_garments_share_a_row() -> None:
    outcome = laid(squares(3, 500.0), cloth(1000.0, price="8"))
    assert offered(outcome)["with two garments laid together"] == 750.0
    told = line(outcome, "With two garments laid together: ")
    assert "0.75 m each would do, 25 cm less (25 cm less to buy each, 2.00 saved)" in told
    (change,) = [one for one in outcome.report["advice"]["changes"] if "garments" in one["change"]]
    assert (change["saves_mm"], change["saves_cost"]) == (pytest.approx(250.0), 2.0)


def test_where_nothing_saves_all_that_was_tried_is_named() -> None:
    outcome = laid(squares(4, 100.0), cloth(400.0))
    assert offered(outcome) == {}
    told = line(outcome, "Nothing that was tried in the time saves cloth: ")
    assert told.startswith(
        "Nothing that was tried in the time saves cloth: two garments together, "
    )
    assert len(told) < 200
    assert HEAD not in outcome.summary


def test_cloth_that_is_there_is_not_asked_to_be_wider_or_longer() -> None:
    outcome = laid(squares(3, 500.0), cloth(1000.0, fabric_length=1200.0))
    names = [one["change"] for one in outcome.report["advice"]["changes"]]
    assert not [name for name in names if "wide" in name or "garments" in name]


def test_parts_that_do_not_fit_and_a_first_draft_say_why_nothing_was_tried() -> None:
    assert NOT_ALL_FIT in laid(squares(3, 500.0), cloth(1000.0, fabric_length=600.0)).summary
    options = between_selvedges(400.0, advice=True)
    assert DRAFT in lay_out(uneven().document(), options, Run(no_time, lambda rounds: True)).summary


def uneven() -> SvgBuilder:
    made = SvgBuilder("2000mm", "2000mm", (0, 0, 2000, 2000))
    for number in range(2):
        data = f"M {10 + 300 * number} 10 l 200 {30 + 20 * number} l -40 250 l -150 -60 z"
        made.add_path(data, id=f"p{number}", lay={"name": f"P{number}", "cut": "2", "grain": "up"})
    return made


def test_a_layout_is_the_same_with_advice_and_without_by_rounds() -> None:
    with_it = laid(uneven(), cloth(400.0, nap=True))
    without = laid(uneven(), cloth(400.0, nap=True, advice=False))
    assert with_it.report["placements"] == without.report["placements"]
    assert "advice" not in without.report
    again = laid(uneven(), cloth(400.0, nap=True))
    assert again.report["advice"] == with_it.report["advice"]
    advice = with_it.report["advice"]
    assert len(advice["seeds_mm"]) == 3
    for one in advice["changes"]:
        if one["offered"]:
            assert one["saves_mm"] > advice["may_be_luck_mm"] >= 0.01 * advice["counted_from_mm"]
            assert one["gives_up"]
    told = [HEAD in with_it.summary, bool(offered(with_it))]
    assert told[0] == told[1]
    assert line(with_it, "With nothing changed, short runs with other seeds came to ")


def planned(drawing: SvgBuilder, options: LayOutOptions) -> Any:
    leaves = read_leaves(drawing.document())
    return make_plan(read_pieces(leaves, request_of(options)), options)


def test_a_stop_leaves_the_rest_untried_and_says_so() -> None:
    options = cloth(1000.0)
    plan = planned(squares(3, 500.0), options)
    layout = solve(plan.job, stop=AfterRounds(1), clock=no_time)
    asked: list[int] = []

    def solved(job: Job, options: LayOutOptions, rule: StopRule) -> Layout:
        asked.append(1)
        return solve(job, stop=AnyOf(rule, stop), clock=no_time)

    def stop(rounds: int) -> bool:
        return len(asked) > 1

    bench = Bench(solved, no_time, stop, 0.0)
    advice = advice_on(plan, options, layout, bench, known={}, is_compared=False)
    assert [one.length is None for one in advice.measured] == [False] + [True] * (
        len(advice.measured) - 1
    )
    assert len(asked) == 2


def test_time_is_shared_and_what_there_is_none_for_is_named() -> None:
    options = cloth(1000.0)
    plan = planned(squares(3, 500.0), options)
    layout = solve(plan.job, stop=AfterRounds(1), clock=no_time)
    now = [10.0]

    def solved(job: Job, options: LayOutOptions, rule: StopRule) -> Layout:
        while not rule(1):
            now[0] += 0.25
        return solve(job, stop=AfterRounds(1), clock=no_time)

    timed = between_selvedges(1000.0, gap=0.0, nap=False, seconds=20.0, advice=True)
    bench = Bench(solved, lambda: now[0], never, 13.0)
    advice = advice_on(plan, timed, layout, bench, known={}, is_compared=False)
    assert 10.0 < now[0] <= 13.0
    assert 0 < sum(one.length is not None for one in advice.measured) < len(advice.measured)


def test_the_terminal_asks_for_it_by_a_word(tmp_path: Path) -> None:
    source, target = squares(3, 500.0).write(tmp_path / "in.svg"), tmp_path / "out.svg"
    words = ["lay-out", str(source), "--fabric-width", "100cm", "--width-is", "usable", "--no-nap"]
    out = io.StringIO()
    more = ["--advice", "--gap", "0mm", "--rounds", "8", "--workers", "1", "--output", str(target)]
    assert run_command([*words, *more], Terminal(out, io.StringIO()), no_time) == 0
    assert "\n1. With two garments laid together: 0.75 m each would do" in out.getvalue()
    # It is kept with the layout, so that laying it out again looks once more.
    assert '"advice": true' in parse(target).root.xpath("string(//@*[local-name()='settings'])")
