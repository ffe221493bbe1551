# SPDX-License-Identifier: GPL-2.0-or-later
"""Several ways to lay the same cloth in one run, and what folding would need beside a plain run."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from extension.job.options import LayOutOptions
from extension.job.settings import options_of
from extension.job.spread import COMPARED
from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.layouts.holding import HoldRequest
from extension.operations.lay_out import Outcome, lay_out
from extension.operations.running import Run
from extension.svg.document import parse
from tests.helpers.cloth import between_selvedges
from tests.helpers.garments import garment
from tests.helpers.layouts import no_time


def never(rounds: int) -> bool:
    """A stop rule that leaves it to the rounds."""
    return False


def run(options: LayOutOptions) -> Outcome:
    """Return the small garment laid out."""
    return lay_out(garment().document(), options, Run(no_time, never))


def places(outcome: Outcome) -> Any:
    """Return where the parts lie."""
    return outcome.report["placements"], outcome.report.get("sections")


COMPARE = between_selvedges(900.0, spread="compare", rounds=4)


@pytest.fixture(scope="module")
def compared() -> Outcome:
    """Return a run that compares."""
    return run(COMPARE)


def test_every_way_is_laid_and_the_least_to_buy_is_drawn(compared: Outcome) -> None:
    ways = compared.report["compared"]
    assert [way["spread"] for way in ways] == list(COMPARED)
    (taken,) = (way for way in ways if way["drawn"])
    assert taken["buy_mm"] == min(way["buy_mm"] for way in ways)
    assert taken["length_mm"] == pytest.approx(compared.report["length"])
    assert taken["outlines"] == len(compared.report["placements"])
    lines = [line for line in compared.summary if "to cut" in line or "Drawn" in line]
    assert len([line for line in lines if "needs" in line]) == len(COMPARED)
    assert compared.summary.index("Compared, the same pieces in one run:") > 1


def test_the_layer_is_laid_again_as_the_way_that_was_taken(compared: Outcome) -> None:
    (layer,) = parse(compared.drawing).root.xpath(f"//*[@id='{compared.report['layer']}']")
    again = options_of(layer.get(lay("settings")))
    (taken,) = (way for way in compared.report["compared"] if way["drawn"])
    assert again.spread == taken["spread"]
    assert again.rounds == 1
    assert not again.compares
    assert places(run(again)) == places(compared)


def test_each_way_is_as_it_is_when_it_is_laid_alone(compared: Outcome) -> None:
    for way in compared.report["compared"]:
        alone = run(replace(COMPARE, spread=way["spread"], rounds=1))
        assert alone.report["length"] == pytest.approx(way["length_mm"])


def test_a_plain_run_tells_what_folding_lengthwise_would_need() -> None:
    outcome = run(between_selvedges(900.0, rounds=2))
    plain, folded = outcome.report["compared"]
    assert (plain["spread"], folded["spread"]) == ("open", "lengthwise")
    assert plain["drawn"]
    assert any(line.startswith("Folded lengthwise, by a short run: ") for line in outcome.summary)
    assert folded["outlines"] < plain["outlines"]


def test_held_parts_lie_in_one_way_only(compared: Outcome) -> None:
    document = parse(compared.drawing)
    layer = compared.report["layer"]
    with pytest.raises(DrawingError, match="release"):
        lay_out(document, COMPARE, Run(no_time, never), HoldRequest(layer, (layer,)))
