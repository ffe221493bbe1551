# SPDX-License-Identifier: GPL-2.0-or-later
"""What would make parts fit on cloth that is too short: measured, named, with what it gives up."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import Any

import pytest

from extension.job.options import LayOutOptions
from extension.job.plan import make_plan
from extension.job.wishes import on_remnant, wishes_from_text
from extension.operations import running
from extension.operations.drawing import Drawing
from extension.operations.lay_out import Outcome, lay_out
from extension.operations.running import Run, find
from extension.operations.trials import Trials
from extension.pieces.remnants import chosen_cloths
from nesting.stop import AfterSeconds
from tests.helpers.cloth import between_selvedges
from tests.helpers.layouts import no_time
from tests.helpers.remnants import UP, drawing_of
from tests.helpers.remnants import laid as laid_on_cloths
from tests.helpers.svg_builder import SvgBuilder

Size = tuple[float, float]


def never(rounds: int) -> bool:
    """A stop rule that leaves it to the rounds."""
    return False


def drawn(*sizes: Size, cut: int = 1) -> SvgBuilder:
    """Return rectangles: each so long along its grain, and so wide across it."""
    made = SvgBuilder("2000mm", "2000mm", (0, 0, 2000, 2000))
    for number, (along, across) in enumerate(sizes):
        lay = {"name": f"Piece {number}", "cut": str(cut if number == 0 else 1), "grain": "up"}
        made.add_rect(10 + 400 * number, 10, across, along, id=f"p{number}", lay=lay)
    return made


def laid(drawing: SvgBuilder, options: LayOutOptions) -> Outcome:
    return lay_out(drawing.document(), options, Run(no_time, never))


def cloth(width: float, length: float, **values: Any) -> LayOutOptions:
    return between_selvedges(width, fabric_length=length, rounds=4, **{"gap": 0.0, **values})


def fitting(outcome: Outcome) -> dict[str, float]:
    """Return the changes that make all parts fit, and on how much cloth, mm."""
    tried = outcome.report["would_fit"]
    return {one["change"]: round(one["length_mm"], 3) for one in tried if one["fits"]}


def line(outcome: Outcome, begin: str) -> str:
    (found,) = [one for one in outcome.summary if one.startswith(begin)]
    return found


def test_two_triangles_fit_head_to_foot_only_without_nap() -> None:
    made = SvgBuilder("2000mm", "2000mm", (0, 0, 2000, 2000))
    lay = {"name": "Gusset", "cut": "2", "hand": "same", "grain": "up"}
    made.add_path("M 10 10 v 200 h 100 z", id="gusset", lay=lay)
    outcome = laid(made, cloth(100.0, 250.0))
    assert fitting(outcome) == {"without nap": 200.0}
    assert line(outcome, "All parts fit on this cloth").startswith(
        "All parts fit on this cloth without nap (given up: all tops one way, which shows on "
    )
    assert "a short run laid them on 0.20 m." in line(outcome, "All parts fit on this cloth")
    assert "pieces turned across the grain" in line(
        outcome, "Otherwise none of these changes was found"
    )
    # Of cloth that has none, it cannot be given up.
    bare = laid(made, cloth(100.0, 150.0, nap=False))
    assert "without nap" not in [one["change"] for one in bare.report["would_fit"]]


def test_a_strip_that_is_too_long_fits_across_the_grain_and_only_it_is_named() -> None:
    outcome = laid(drawn((300.0, 100.0), (90.0, 90.0)), cloth(450.0, 250.0, nap=False))
    assert fitting(outcome) == {"with pieces turned across the grain": 100.0}
    (used,) = [one["pieces"] for one in outcome.report["would_fit"] if one["fits"]]
    assert used == ["p0"]
    told = line(outcome, "All parts fit on this cloth")
    assert told.startswith("All parts fit on this cloth with Piece 0 turned across the grain (")
    assert "nap" not in told


def test_across_the_grain_on_napped_cloth_gives_up_the_nap_as_well() -> None:
    outcome = laid(drawn((300.0, 100.0)), cloth(350.0, 250.0))
    assert "all tops one way" in line(outcome, "All parts fit on this cloth with Piece 0 turned")


def test_three_squares_fit_beside_each_other_only_without_a_gap() -> None:
    outcome = laid(drawn(*[(100.0, 100.0)] * 3), cloth(300.0, 150.0, gap=3.0))
    assert fitting(outcome) == {"with no gap between parts": 100.0}
    assert "given up: the 3 mm between them" in line(outcome, "All parts fit on this cloth")


@pytest.mark.parametrize(
    ("spread", "words"),
    [
        ("open", "on cloth folded lengthwise instead of open"),
        ("lengthwise", "on open cloth instead of folded lengthwise"),
        ("compare", ""),
    ],
)
def test_the_other_way_for_the_cloth_to_lie_is_tried_unless_it_was_laid_so_already(
    spread: str, words: str
) -> None:
    outcome = laid(drawn((60.0, 60.0), cut=2), cloth(100.0, 100.0, spread=spread))
    tried = {one["change"]: one["length_mm"] for one in outcome.report["would_fit"]}
    assert [one for one in tried if "open" in one] == ([words] if words else [])
    assert all(length == pytest.approx(120.0) for length in tried.values())


def test_where_nothing_is_found_it_says_so() -> None:
    outcome = laid(drawn((60.0, 60.0), (60.0, 60.0)), cloth(100.0, 100.0))
    assert fitting(outcome) == {}
    told = line(
        outcome, "To make all parts fit none of these changes was found to be enough in the time: "
    )
    assert told.endswith("without nap; with pieces up to 2° off the grain; with pieces turned "
                         "across the grain.")  # fmt: skip


def test_parts_that_are_larger_than_the_cloth_are_not_tried() -> None:
    outcome = laid(drawn((300.0, 100.0)), cloth(100.0, 250.0))
    assert outcome.report["would_fit"] == []
    assert line(outcome, "Nothing but more cloth can make all parts fit")


def test_what_there_was_no_time_for_is_named() -> None:
    ticks = itertools.count()
    drawing, rule = drawn((60.0, 60.0), (60.0, 60.0)), cloth(100.0, 100.0)
    options = between_selvedges(100.0, fabric_length=rule.fabric_length, gap=0.0, seconds=2.0)
    clock = lambda: 0.01 * next(ticks)  # noqa: E731
    outcome = lay_out(drawing.document(), options, Run(clock, AfterSeconds(2.0, clock)))
    assert line(outcome, "Not tried, for want of time, whether they fit without nap; with ")
    assert all(one["length_mm"] is None for one in outcome.report["would_fit"])


@pytest.mark.parametrize(("length", "rest"), [(251.0, 50.0), (200.0, 0.0), (205.0, 0.0)])
def test_what_is_left_over_in_one_piece_is_told_and_never_too_much(
    length: float, rest: float
) -> None:
    outcome = laid(drawn((200.0, 100.0)), cloth(300.0, length))
    told = line(outcome, "Nothing is left over in one piece" if not rest else "Left over in one")
    if rest:
        assert told == (
            "Left over in one piece at the far end: 0.05 m × 30 cm between the selvedges."
        )
        assert outcome.report["left_in_one_piece_mm"] == pytest.approx([51.0, 300.0])
    else:
        assert outcome.report["left_in_one_piece_mm"] is None


def test_cloth_that_is_bought_leaves_nothing_to_tell() -> None:
    outcome = laid(drawn((200.0, 100.0)), between_selvedges(300.0, rounds=1))
    assert not [one for one in outcome.summary if "in one piece" in one]


def test_what_is_left_over_is_named_the_largest_first() -> None:
    outcome = laid(drawn((300.0, 40.0), (320.0, 90.0), (50.0, 50.0)), cloth(100.0, 60.0))
    assert "Did not fit: Piece 1 × 1 and Piece 0 × 1." in outcome.summary


def test_a_design_that_runs_one_way_is_not_laid_without_nap() -> None:
    options = cloth(100.0, 100.0, repeat="along=5cm", uneven=True, nap=True)
    outcome = laid(drawn((60.0, 60.0), (60.0, 60.0)), options)
    tried = [one["change"] for one in outcome.report["would_fit"]]
    assert tried
    assert "without nap" not in tried


# --- on a remnant -------------------------------------------------------------------------------

CUT_OUT = (
    '<path id="rest" lay:role="cloth" lay:name="Rest" d="M1000,400 V100 H1100 V200 H1300 V400 Z"/>'
)
"""300 by 300 mm, without the upper right: seven squares of 100 mm fill it."""
STRIP = (
    '<path id="rest" lay:role="cloth" lay:name="Rest" d="M1000,100 H1205 V195 L1200,200 H1000 Z"/>'
)


def laid_on(cloth: str, piece: str, **typed: str) -> Outcome:
    """Return copies of a piece laid on a remnant."""
    grain = UP.format("p", "60,100", 30)
    return laid_on_cloths(drawing_of(cloth, f'<g id="p">{piece}{grain}</g>'), "rest", **typed)


def test_seven_squares_fit_on_an_angle_only_without_a_gap() -> None:
    square = '<rect width="100" height="100" x="10" y="10" lay:cut="7 same" lay:name="Patch"/>'
    outcome = laid_on(CUT_OUT, square, gap="3mm")
    told = line(outcome, "All parts fit on this remnant with no gap between parts (given up: ")
    assert told.endswith("): a short run laid them there.")
    assert any(text.startswith("What did not fit measures") for text in outcome.summary)
    more = laid_on(CUT_OUT, square.replace("7", "8"), gap="3mm")
    assert line(more, "Nothing but more cloth can make all parts fit: together they are larger")
    assert not any(text.startswith("All parts fit") for text in more.summary)


def test_two_triangles_fit_on_a_remnant_only_head_to_foot() -> None:
    gusset = '<path d="M10,10 v200 h100 z" lay:cut="2 same" lay:name="Gusset"/>'
    outcome = laid_on(STRIP, gusset)
    assert fitting(outcome).keys() == {"without nap"}
    assert line(outcome, "All parts fit on this remnant without nap (given up: all tops one way")


def test_a_trial_that_lays_less_on_a_remnant_says_nothing_of_the_nap() -> None:
    """It ends as it begins, in columns, for which an angle has no room: no shorter length."""
    asked = itertools.count()
    square = '<rect width="100" height="100" x="10" y="10" lay:cut="7 same" lay:name="Patch"/>'
    begun = False

    def stops(rounds: int) -> bool:
        return begun and next(asked) > 0

    document = drawing_of(CUT_OUT, f'<g id="p">{square}{UP.format("p", "60,100", 30)}</g>')
    drawing = Drawing(document)
    remnants, select = chosen_cloths(drawing.drawn, ["rest"], ())
    values = {"fabric_width": "1m", "gap": "0mm", "rounds": "8", "workers": "1"}
    (options,) = on_remnant([replace(wishes_from_text(values).base, select=select)], remnants)
    plan = make_plan(drawing.reading(options), options)
    whole = find([plan], [options], 20.0, Run(no_time, never))[0]
    assert not whole.layout.left_over
    begun = True
    run = Run(no_time, stops)
    trials = Trials(1.0, 20.0, 1)
    assert running._without_nap(plan, options, whole.layout, run, trials) == whole.layout.length
