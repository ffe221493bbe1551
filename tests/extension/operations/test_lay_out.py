# SPDX-License-Identifier: GPL-2.0-or-later
"""The whole run without files: from a drawing and options to the drawing with a layout."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from lxml import etree

from extension.job.options import LayOutOptions
from extension.job.settings import options_of
from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.operations import running
from extension.operations.lay_out import Outcome, lay_out
from extension.operations.running import NO_OTHER_WAY, NO_SHORTER, NOT_TRIED, Run
from extension.svg.document import parse
from nesting.errors import BrokenLayout, PieceTooWide, ThriftlayError
from nesting.judge.check import check, check_laid
from nesting.judge.verdict import Violation
from nesting.model import Fabric, Job, Layout
from nesting.search.keeper import Progress
from nesting.solve import solve
from nesting.stop import AfterRounds, StopRule
from tests.helpers.cloth import between_selvedges
from tests.helpers.drafting.catalogue import SAMPLES as DRAFTED
from tests.helpers.garments import garment
from tests.helpers.layouts import no_time, read_back
from tests.helpers.places import PROJECT
from tests.helpers.svg_builder import SvgBuilder

WIDE = between_selvedges(1400.0, rounds=1)
FOLDER = PROJECT / "sample_svgs"
SAMPLES = [FOLDER / name for name in sorted(DRAFTED)]


def at_once(rounds: int) -> bool:
    """A stop rule that is content with the first layout."""
    return True


def later(rounds: int) -> bool:
    """A stop rule that leaves the decision to others."""
    return False


def laid(drawing: SvgBuilder, options: LayOutOptions = WIDE) -> Outcome:
    return lay_out(drawing.document(), options, Run(no_time, at_once))


def nap_line(outcome: Outcome) -> str:
    """Return the sentence about the nap."""
    (line,) = (line for line in outcome.summary if line.startswith("Single layer"))
    return line


class Engine:
    """Stands in for the engine: notes how it is run and answers with first layouts."""

    def __init__(self, shorter_without_nap: float = 0.0) -> None:
        self.jobs: list[Job] = []
        self.stops: list[StopRule] = []
        self.more: list[dict[str, Any]] = []
        self._shorter = shorter_without_nap

    def __call__(self, job: Job, *, stop: StopRule, **more: Any) -> Layout:
        self.jobs.append(job)
        self.stops.append(stop)
        self.more.append(more)
        layout = solve(job, stop=AfterRounds(0), clock=no_time, seed=more["seed"])
        return layout if job.fabric.nap else replace(layout, length=layout.length - self._shorter)


@pytest.fixture
def engine(monkeypatch: pytest.MonkeyPatch) -> Callable[[float], Engine]:
    def put_in_place(shorter: float = 0.0) -> Engine:
        made = Engine(shorter)
        monkeypatch.setattr(running, "solve", made)
        # The stand-in's shorter length is no true one.
        monkeypatch.setattr(running, "check", lambda job, layout: ())
        return made

    return put_in_place


def test_a_drawing_comes_back_with_a_judged_layout_on_a_new_layer() -> None:
    drawing = garment()
    outcome = laid(drawing)
    document = parse(outcome.drawing)
    assert document.root[-1].get(lay("layout")) == "1"
    found = read_back(document)
    assert len(found.laid()) == 5
    # Both outlines are flattened: hence a little less gap, and the cloth a little wider.
    assert check_laid(found.laid(), Fabric(1400.0, gap=2.8, edge_margin=-0.1)) == ()


def test_a_sheet_of_dashes_is_refused_with_the_remedy() -> None:
    """Its only closed outlines are arrow heads, and those are no pieces."""
    with pytest.raises(DrawingError, match="run Join Broken Lines first"):
        lay_out(parse(FOLDER / "rain-jacket-sizes.svg"), WIDE, Run(no_time, at_once))


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_every_sample_is_laid_and_its_originals_stay(sample: Path) -> None:
    before, document = parse(sample), parse(sample)
    outcome = lay_out(document, between_selvedges(1500.0, rounds=1), Run(no_time, at_once))
    after = parse(outcome.drawing)
    assert len(after.root) == len(before.root) + 1
    for old, new in zip(before.root, after.root, strict=False):
        if isinstance(old.tag, str):
            assert etree.tostring(old, method="c14n") == etree.tostring(new, method="c14n")
    number = int(after.root[-1].get(lay("layout"), "0"))
    parts = read_back(after, number).laid()
    assert len(parts) == len(outcome.report["placements"])
    assert check_laid(parts, Fabric(1500.0, gap=2.8, edge_margin=-0.1)) == ()


def test_the_report_is_the_engines_result_and_what_was_read() -> None:
    drawing = garment()
    drawing.add_rect(500, 300, 40, 40, id="old", lay={"leave-out": "yes"})
    report = json.loads(json.dumps(laid(drawing).report))
    assert report["format"] == "thriftlay-report"
    assert {"width", "length", "utilisation", "placements", "outlines", "seed"} <= report.keys()
    assert [piece["id"] for piece in report["pieces"]] == ["front", "back", "tab"]
    assert report["pieces"][1]["on_fold"] is True
    assert report["left_out"] == [{"id": "old", "label": "", "reason": "marked to leave out"}]
    assert report["buy"]["needed_mm"] == report["length"]
    assert report["buy"]["metric_mm"] % 100 == 0
    assert report["layer"] == "thriftlay-1"
    assert report["options"]["fabric_width_mm"] == 1400.0
    assert report["summary"][0].startswith("Needs ")
    assert report["cautions"]


def test_the_settings_on_the_layer_give_the_same_layout_again() -> None:
    first = laid(garment(), replace(WIDE, gap=7.0, nap=False, seed=5))
    layer = parse(first.drawing).root[-1]
    again = laid(garment(), options_of(layer.get(lay("settings"), "")))
    assert again.drawing == first.drawing


def test_only_selected_pieces_are_laid() -> None:
    outcome = laid(garment(), replace(WIDE, select=("tab",)))
    assert {one["piece"] for one in outcome.report["placements"]} == {"tab"}


def test_rounds_seed_and_workers_reach_the_engine(engine: Callable[[], Engine]) -> None:
    made = engine()
    lay_out(garment().document(), replace(WIDE, rounds=8, seed=3, workers=2), Run(no_time, later))
    main, *trials = made.stops
    assert (main(7), main(8)) == (False, True)
    assert [(trial(1), trial(2)) for trial in trials] == [(False, True)] * 2
    assert [(more["seed"], more["workers"]) for more in made.more] == [(3, 2)] * 3
    assert [job.fabric.nap for job in made.jobs] == [True, False, True]
    assert [job.fabric.is_plain for job in made.jobs] == [True, True, False]


@pytest.mark.parametrize(
    ("seconds", "limits"),
    [
        (20.0, (16.0, 18.0, 20.0)),
        (10.0, (8.0, 10.0)),
        (9.0, (9.0,)),
        (60.0, (48.0, 54.0, 60.0)),
    ],
)
def test_trials_without_nap_and_with_a_fold_have_their_share_of_the_time_or_are_not_made(
    engine: Callable[[], Engine], seconds: float, limits: tuple[float, ...]
) -> None:
    made = engine()
    now = [0.0]
    options = between_selvedges(1400.0, seconds=seconds)
    outcome = lay_out(garment().document(), options, Run(lambda: now[0], later))
    assert len(made.stops) == len(limits)
    for rule, limit in zip(made.stops, limits, strict=True):
        now[0] = limit - 0.01
        assert not rule(0)
        now[0] = limit
        assert rule(0)
    assert (NOT_TRIED in " ".join(outcome.summary)) is (len(limits) == 1)


def test_what_no_nap_saves_is_told_and_reported(engine: Callable[[float], Engine]) -> None:
    engine(120.0)
    outcome = lay_out(garment().document(), WIDE, Run(no_time, later))
    assert "12 cm less." in nap_line(outcome)
    assert outcome.report["without_nap_mm"] == pytest.approx(outcome.report["length"] - 120.0)


def test_no_nap_never_needs_more_than_nap(engine: Callable[[float], Engine]) -> None:
    engine(-50.0)
    outcome = lay_out(garment().document(), WIDE, Run(no_time, later))
    assert outcome.report["without_nap_mm"] == outcome.report["length"]


def test_where_no_piece_may_turn_no_trial_is_made(engine: Callable[[], Engine]) -> None:
    drawing = garment()
    for name in ("front", "back", "tab"):
        group = next(node for node in drawing.root.iter("{*}g") if node.get("id") == name)
        group.set(lay("turns"), "one-way")
    made = engine()
    outcome = lay_out(drawing.document(), WIDE, Run(no_time, later))
    assert [job.fabric.nap for job in made.jobs] == [True, True]
    assert NO_OTHER_WAY in nap_line(outcome)


def test_a_stop_keeps_the_best_and_spares_the_trial() -> None:
    outcome = laid(garment())
    assert NOT_TRIED in nap_line(outcome)
    assert outcome.report["without_nap_mm"] is None


def test_no_time_is_wanted_for_what_is_proven() -> None:
    """A layout as long as its longest part is shortest, with nap and without: no run is needed."""
    drawing = SvgBuilder("900mm", "500mm", (0, 0, 900, 500))
    drawing.add_path("M 20 20 H 120 L 160 420 H 20 Z", lay={"cut": "2", "grain": "up"})
    options = between_selvedges(900.0, seconds=1.0)
    outcome = lay_out(drawing.document(), options, Run(no_time, later))
    assert f"With nap: all tops one way. {NO_SHORTER}" in nap_line(outcome)
    assert "no layout of them can be shorter" in " ".join(outcome.summary)


def test_progress_is_heard_of_the_run_but_not_of_the_trial(engine: Callable[[], Engine]) -> None:
    made = engine()
    heard: list[Progress] = []
    lay_out(garment().document(), WIDE, Run(no_time, later, heard.append))
    assert [more["on_progress"] is not None for more in made.more] == [True, False, False]


def test_what_the_judge_refuses_is_never_drawn(monkeypatch: pytest.MonkeyPatch) -> None:
    fault = Violation("overlap", ("a", "b"), 1.0, "They overlap.")
    monkeypatch.setattr(running, "check", lambda job, layout: (fault,))
    document = garment().document()
    before = etree.tostring(document.root)
    with pytest.raises(BrokenLayout):
        lay_out(document, WIDE, Run(no_time, at_once))
    assert etree.tostring(document.root) == before


@pytest.mark.parametrize(
    ("is_refused", "untold"),
    [
        (lambda job: not job.fabric.nap, "Without nap"),
        (lambda job: not job.fabric.is_plain, "Folded lengthwise, by a short run"),
    ],
    ids=["without nap", "folded"],
)
def test_a_trial_that_the_judge_refuses_tells_nothing_and_ends_nothing(
    is_refused: Callable[[Job], bool], untold: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    fault = Violation("overlap", ("a", "b"), 1.0, "They overlap.")
    options = replace(WIDE, fabric_width=330.0, rounds=8, advice=True)

    def told() -> bool:
        found = lay_out(garment().document(), options, Run(no_time, later))
        return any(untold in line for line in found.summary)

    assert told()
    monkeypatch.setattr(
        running, "check", lambda job, layout: (fault,) if is_refused(job) else check(job, layout)
    )
    assert not told()


@pytest.mark.parametrize(
    ("options", "kind", "words"),
    [
        (replace(WIDE, fabric_width=100.0), PieceTooWide, "needs fabric at least"),
        (replace(WIDE, material="lining"), DrawingError, "No piece is cut from “lining”"),
        (replace(WIDE, select=("nobody",)), DrawingError, "“nobody”"),
    ],
)
def test_bad_input_is_one_sentence_and_the_tree_is_untouched(
    options: LayOutOptions, kind: type[ThriftlayError], words: str
) -> None:
    document = garment().document()
    before = etree.tostring(document.root)
    with pytest.raises(kind, match=words) as refused:
        lay_out(document, options, Run(no_time, at_once))
    assert "\n" not in str(refused.value)
    assert etree.tostring(document.root) == before
