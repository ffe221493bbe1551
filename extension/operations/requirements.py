# SPDX-License-Identifier: GPL-2.0-or-later
"""Fabric requirements: from a drawing and options to the table as drawing, page, CSV and report.

The one place that wires reading, running, laws and writing together, for the command line and the
editor alike. Files, clocks and windows are the caller's.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from extension.drawn.layer import draw_layout, next_number
from extension.drawn.place import where_free
from extension.drawn.sheet import Sheet
from extension.job.settings import settings_text
from extension.job.summary import is_first_draft, summary
from extension.language.cautions import CAUTIONS
from extension.language.decimals import written
from extension.language.errors import OptionError
from extension.operations.figures import figures_of
from extension.requirements_table.block import block_of
from extension.requirements_table.cells import ask, nap_text
from extension.requirements_table.crews import Crew
from extension.requirements_table.drawing import draw_table
from extension.requirements_table.figures import csv_of
from extension.requirements_table.kept import Shelf
from extension.requirements_table.matching import cloth_text
from extension.requirements_table.options import TableOptions
from extension.requirements_table.page import page_of
from extension.requirements_table.publisher import publisher_notes
from extension.requirements_table.report import report_of
from extension.requirements_table.sentences import (
    jump_texts,
    notes,
    pattern_notes,
    rows_text,
    width_text,
)
from extension.requirements_table.table import Entry, Table, table_of
from extension.requirements_table.trust import tried_narrower
from extension.requirements_table.work import Run, Work
from extension.svg.document import Document, serialise, title_of
from extension.svg.leaves import read_leaves
from nesting.stop import AfterSeconds, AnyOf


@dataclass(frozen=True, eq=False, slots=True)
class Outcome:
    """The table, the drawing with it, its files, and what to say in a terminal.

    `where` says in words where the table was put.
    """

    table: Table
    drawing: bytes
    page: str
    csv: str
    block: str
    report: dict[str, Any]
    lines: tuple[str, ...]
    where: str = ""


def fabric_requirements(
    document: Document, options: TableOptions, run: Run, crew: Crew, shelf: Shelf
) -> Outcome:
    """Return the fabric requirements of a drawing.

    The document's tree gains a layer with the table, and one for each layout where they are
    wanted; it is otherwise as before. Raises a ThriftlayError with one sentence when the pieces
    cannot be read or laid; the tree is untouched then.
    """
    question = ask(read_leaves(document), options)
    base = options.base
    jobs = [one.job for one in question.possible]
    rounds = _rounds_of(options, len(jobs))
    work = Work(jobs, base.seed, rounds, base.seconds, crew, run, shelf)
    worked = work.do()
    over = AnyOf(run.stop, AfterSeconds(work.end, run.clock))
    worked.layouts, worked.tried = tried_narrower(
        question.possible, worked.layouts, worked.rounds, over, run.clock
    )
    table = table_of(title_of(document), question, worked, options)
    leaves = read_leaves(document, include_layouts=True)
    draw_table(document, leaves, table)
    if options.write_layouts:
        for entry in table.entries:
            _draw_layout(document, entry, table)
    made = page_of(table), csv_of(table), block_of(table), report_of(table)
    return Outcome(table, serialise(document), *made, _lines(table), where=where_free(leaves))


def _rounds_of(options: TableOptions, count: int) -> list[int] | None:
    """Return the rounds of every length, None when the time limits them. Raises OptionError."""
    if not options.replay:
        return None if options.base.rounds is None else [options.base.rounds] * count
    if len(options.replay) != count:
        raise OptionError(
            f"The numbers of rounds are for {len(options.replay)} lengths, but this table has "
            f"{count}: make it from the same drawing with the same sizes, widths, naps and "
            "ways for the cloth to lie."
        )
    return list(options.replay)


def _draw_layout(document: Document, entry: Entry, table: Table) -> None:
    """Add the layout behind a cell as a layer."""
    planned, layout = entry.planned, entry.layout
    if layout is None:
        return
    options = replace(planned.options, rounds=max(entry.rounds, 1))
    bought = options.bought(layout.length)
    cell = entry.cell
    words = [cell.sizes.title, cell.material, width_text(cell.width), nap_text(cell.nap)]
    if cell.spread != "open":
        words.append(cell.spread)
    words += filter(None, [cloth_text(table, cell)])
    is_draft = is_first_draft(planned.plan, layout)
    sheet = Sheet(
        next_number(document),
        planned.plan,
        layout,
        options,
        bought,
        summary(planned.plan, options, layout, bought, is_draft=is_draft),
        settings_text(options, figures_of(planned.plan, layout, bought, is_draft=is_draft)),
        ", ".join(words),
    )
    draw_layout(document, read_leaves(document, include_layouts=True), sheet)


def _lines(table: Table) -> tuple[str, ...]:
    """Return the table and its notes for a terminal."""
    lines = (
        *rows_text(table),
        *notes(table),
        *jump_texts(table),
        *pattern_notes(table),
        *publisher_notes(table),
        *CAUTIONS,
    )
    return tuple(written(line, table.options.locale) for line in lines)
