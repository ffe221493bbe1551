# SPDX-License-Identifier: GPL-2.0-or-later
"""A layout that nothing was searched for says that it is a first draft, and no other does."""

from __future__ import annotations

from dataclasses import replace

import pytest
from lxml import etree

from extension.job.options import LayOutOptions
from extension.job.summary import FIRST_DRAFT, FIRST_DRAFT_OF_SOME
from extension.language.names import lay
from extension.operations.check import check_layouts
from extension.operations.lay_out import Outcome, lay_out
from extension.operations.progress import progress_text
from extension.operations.running import Run
from extension.svg.document import parse
from nesting.search.keeper import Progress
from nesting.stop import StopRule
from tests.helpers.cloth import between_selvedges
from tests.helpers.garments import garment
from tests.helpers.laid import read_layouts
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder

WIDE = between_selvedges(1400.0)


def after(rounds: int) -> StopRule:
    return lambda done: done >= rounds


def laid(rounds: int, drawing: SvgBuilder, options: LayOutOptions = WIDE) -> Outcome:
    return lay_out(drawing.document(), options, Run(no_time, after(rounds)))


def words_on(drawing: bytes) -> str:
    """Return all words on the layout of a drawing, broken lines put together."""
    layers = [
        one
        for one in etree.fromstring(drawing).iter(etree.Element)
        if one.get("{urn:thriftlay:1}layout")
    ]
    return " ".join(span.text or "" for span in layers[-1].iter("{*}tspan"))


def test_a_layout_without_a_round_is_called_a_first_draft_everywhere() -> None:
    outcome = laid(0, garment())
    assert outcome.summary[1] == FIRST_DRAFT
    assert outcome.report["first_draft"] is True
    assert FIRST_DRAFT in outcome.report["summary"]
    assert FIRST_DRAFT in words_on(outcome.drawing)


def test_a_searched_layout_is_none() -> None:
    outcome = laid(1, garment())
    assert outcome.report["first_draft"] is False
    assert FIRST_DRAFT not in outcome.summary
    assert "First draft" not in words_on(outcome.drawing)


def strips(count: int, width: float) -> SvgBuilder:
    """Return a drawing of strips across the cloth."""
    drawing = SvgBuilder("2000mm", "2000mm", (0, 0, 2000, 2000))
    for number in range(count):
        drawing.add_rect(
            0, 120 * number, width, 100, id=f"strip-{number}", lay={"turns": "one-way"}
        )
    return drawing


@pytest.mark.parametrize(("count", "width"), [(1, 400.0), (2, 1400.0)])
def test_what_cannot_become_shorter_is_no_draft(count: int, width: float) -> None:
    """One part, or a layout as short as its bound: more time would not shorten either."""
    outcome = laid(0, strips(count, width), replace(WIDE, gap=0.0))
    assert outcome.report["rounds"] == 0
    assert outcome.report["first_draft"] is False
    assert FIRST_DRAFT not in outcome.summary


def test_where_not_all_fit_more_time_may_lay_more() -> None:
    outcome = laid(0, garment(), replace(WIDE, fabric_width=300.0, fabric_length=300.0))
    assert outcome.report["left_over"]
    assert FIRST_DRAFT_OF_SOME in outcome.summary
    assert FIRST_DRAFT not in outcome.summary


def test_check_keeps_saying_so_until_a_part_was_moved() -> None:
    drawing = laid(0, garment()).drawing
    checked = check_layouts(parse(drawing)).drawing
    assert FIRST_DRAFT in words_on(checked)
    assert FIRST_DRAFT in words_on(check_layouts(parse(checked)).drawing)
    root = parse(checked).root
    (one,) = read_layouts(checked)
    last = max(one.parts, key=lambda part: float(part.shape.bounds[2]))
    (group,) = (
        group
        for group in root.iter("{*}g")
        if (group.get(lay("of")), group.get(lay("copy"))) == (last.of, last.copy)
    )
    group.set("transform", f"translate(60 0) {group.get('transform', '')}".strip())
    moved = check_layouts(parse(etree.tostring(root))).drawing
    assert "First draft" not in words_on(moved)


def test_progress_says_so_until_the_first_round_is_done() -> None:
    now = Progress(4.2, 0, 1837.2, 0.8123, 1500.0)
    assert progress_text(now) == "4 s: 1.837 m, 81.2% of the cloth used, a first draft"
    assert "draft" not in progress_text(replace(now, rounds=1))
