# SPDX-License-Identifier: GPL-2.0-or-later
"""Tables made at once from first layouts, or from lengths chosen by hand, for tests of writing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from extension.requirements_table.cells import Question, ask
from extension.requirements_table.options import TableOptions, table_options
from extension.requirements_table.table import Table, table_of
from extension.requirements_table.work import Worked
from extension.svg.leaves import read_leaves
from nesting.model import Layout
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers.graded import tunic
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder

Change = Callable[[int, Layout], "Layout | None"]


def question_of(drawing: SvgBuilder, **typed: str) -> tuple[Question, TableOptions]:
    """Return the cells of a drawing, and the options as typed; on open cloth unless told."""
    options = table_options({"widths": "main=90cm,115cm,140cm", "spread": "open", **typed})
    return ask(read_leaves(drawing.document()), options), options


def table_from(
    drawing: SvgBuilder | None = None,
    change: Change | None = None,
    rounds: int = 200,
    **typed: str,
) -> Table:
    """Return the table of first layouts; `change` may put others in their place, by number.

    They are said to have had so many `rounds`.
    """
    question, options = question_of(drawing or tunic(), **typed)
    layouts: list[Layout | None] = []
    for number, one in enumerate(question.possible):
        first = solve(one.job, stop=AfterRounds(0), clock=no_time)
        layouts.append(change(number, first) if change else first)
    count = len(layouts)
    return table_of(
        "Tunic", question, Worked(layouts, [True] * count, [""] * count, [rounds] * count), options
    )


def pulled_apart(layout: Layout, to: float) -> Layout:
    """Return a layout with one part put so far out that it needs `to` mm; still a layout."""
    by = to - layout.length
    last = max(range(len(layout.placements)), key=lambda i: layout.placements[i].x)
    spots = list(layout.placements)
    reach = replace(spots[last], x=spots[last].x + by)
    spots[last] = reach
    share = layout.utilisation * layout.length / to
    return replace(layout, placements=tuple(spots), length=to, utilisation=share)
