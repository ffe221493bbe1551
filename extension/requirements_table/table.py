# SPDX-License-Identifier: GPL-2.0-or-later
"""The table itself: what each cell needs, what is to be bought, and where the length jumps."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from extension.language.rounding import Purchase
from extension.pieces.model import Reading
from extension.requirements_table.cells import Cell, Planned, Question
from extension.requirements_table.designs import TypedDesign
from extension.requirements_table.laws import needed_width, raised, shortest
from extension.requirements_table.options import TableOptions, Width
from extension.requirements_table.sizes import SizeSet, is_larger
from extension.requirements_table.trust import (
    RightTime,
    are_neighbours,
    is_much_less,
    is_proven,
    right_time,
    rounds_wanted,
)
from extension.requirements_table.work import Worked
from nesting.model import Layout


@dataclass(frozen=True, eq=False, slots=True)
class Entry:
    """One cell with its answer.

    `layout` and `bought` are None where nothing can be laid or nothing was worked out: `why_not`
    says why. `raised_from` is the smaller size whose length is shown because it was longer.
    `finished`: all rounds were done that were asked for; `rounds` are those the cell has had and
    `wanted` those it should have had. `jumps`: much less than on the next narrower cloth.
    """

    planned: Planned
    layout: Layout | None
    bought: Purchase | None
    why_not: str = ""
    raised_from: SizeSet | None = None
    finished: bool = True
    rounds: int = 0
    wanted: int = 0
    jumps: bool = False
    ways: tuple[Entry, ...] = ()
    """The same cell with the cloth in each of several ways; this is then the longest of them."""

    @property
    def cell(self) -> Cell:
        """What the entry is about."""
        return self.planned.cell

    @property
    def is_rough(self) -> bool:
        """Whether the search was so short that the length is rough (see `trust`)."""
        return self.rounds < self.wanted


@dataclass(frozen=True, slots=True)
class Jump:
    """Where the length of a row falls between two neighbouring widths.

    On cloth from `enough_from` mm on, no wider than that of `cell`, `after` is enough; on cloth as
    wide as `narrow` it is `before`. `proven`: there so little can never be enough; else it was
    tried.
    """

    cell: Cell
    narrow: Width
    enough_from: float
    before: Purchase
    after: Purchase
    proven: bool


@dataclass(frozen=True, eq=False, slots=True)
class Table:
    """All entries in the order of their cells, and what else a table says.

    `entries` are those that are shown; `every` has each way for the cloth to lie by itself.
    `missing` are materials that are cut but have no width; `right` is the time in which no
    length would be rough, None where none is.
    """

    title: str
    entries: tuple[Entry, ...]
    jumps: tuple[Jump, ...]
    options: TableOptions
    readings: Mapping[SizeSet, Reading]
    missing: tuple[str, ...]
    right: RightTime | None
    every: tuple[Entry, ...]

    @property
    def materials(self) -> tuple[str, ...]:
        """The materials of the table, in order."""
        return tuple(dict.fromkeys(entry.cell.material for entry in self.entries))

    def of(self, material: str) -> tuple[Entry, ...]:
        """Return the entries of one material."""
        return tuple(entry for entry in self.entries if entry.cell.material == material)


_Cloth = tuple[Width, bool, str, TypedDesign | None]

NOT_WORKED_OUT = "Not worked out: the time was too short."


def table_of(title: str, question: Question, worked: Worked, options: TableOptions) -> Table:
    """Return the table of what was worked out, without contradictions (see `laws`).

    `worked` belongs to the cells that can be laid, in their order.
    """
    cells = question.cells
    best = shortest([one.job for one in question.possible], worked.layouts)
    wanted = [
        0 if number in worked.ended else rounds_wanted(own, one)
        for number, (own, one) in enumerate(zip(worked.layouts, best, strict=True))
    ]
    answers = iter(zip(best, worked.finished, worked.faults, worked.rounds, wanted, strict=True))
    found = [(None, True, one.why_not, 0, 0) if one.why_not else next(answers) for one in cells]
    lengths = [None if layout is None else layout.length for layout, *_ in found]
    smaller = _smaller(question, lengths) if options.raise_sizes else [()] * len(cells)
    shown = raised(lengths, smaller)
    entries = [
        Entry(
            one,
            layout,
            None if length is None else one.options.bought(length),
            (why_not or NOT_WORKED_OUT) if layout is None else "",
            None if length == own else _raised_from(cells, lengths, length, others),
            finished,
            had,
            asked,
        )
        for one, (layout, finished, why_not, had, asked), own, length, others in zip(
            cells, found, lengths, shown, smaller, strict=True
        )
    ]
    possible = [one for one in cells if not one.why_not]
    tried = {possible[number].cell for number in worked.tried}
    jumps = [
        jump
        for narrow, wide in pairwise(entries)
        if (jump := _jump(narrow, wide, entries, tried)) is not None
    ]
    is_rough = any(entry.is_rough for entry in entries)
    costs = worked.costs or [None] * len(best)
    every = tuple(_marked(entries, jumps))
    return Table(
        title,
        longest_ways(every, options),
        tuple(jumps),
        options,
        question.readings,
        question.missing,
        right_time(costs, worked.rounds, wanted, worked.workers) if is_rough else None,
        every,
    )


def longest_ways(every: Sequence[Entry], options: TableOptions) -> tuple[Entry, ...]:
    """Return one entry for each cell, however the cloth lies: that which needs most.

    Where one of the ways was not worked out, what is enough for all of them is not known. Of
    materials of which each way is to be shown, all are returned.
    """
    ways: dict[Cell, list[Entry]] = {}
    for entry in every:
        cell = entry.cell
        key = cell if options.shows_each(cell.material) else replace(cell, spread="")
        ways.setdefault(key, []).append(entry)
    return tuple(
        replace(max(own, key=_needs), ways=tuple(own)) if len(own) > 1 else own[0]
        for own in ways.values()
    )


def _needs(entry: Entry) -> float:
    """Return what a cell needs, mm; endless where it is not known."""
    return math.inf if entry.bought is None else entry.bought.needed


def _smaller(question: Question, lengths: Sequence[float | None]) -> list[tuple[int, ...]]:
    """Return for every cell those of smaller sizes on the same cloth.

    A size that cannot be laid everywhere where the larger one can lifts it nowhere: else the
    larger one would seem to need more on wider cloth.
    """
    cells = [one.cell for one in question.cells]
    laid: dict[tuple[SizeSet, str], set[_Cloth]] = {}
    on_cloth: dict[tuple[str, _Cloth], list[int]] = {}
    for index, cell in enumerate(cells):
        on_cloth.setdefault((cell.material, _cloth(cell)), []).append(index)
        if lengths[index] is not None:
            laid.setdefault((cell.sizes, cell.material), set()).add(_cloth(cell))

    def lifts(low: Cell, high: Cell) -> bool:
        everywhere = laid.get((high.sizes, high.material), set()) <= laid.get(
            (low.sizes, low.material), set()
        )
        return everywhere and is_larger(high.sizes, low.sizes, question.areas)

    return [
        tuple(other for other in on_cloth[cell.material, _cloth(cell)] if lifts(cells[other], cell))
        for cell in cells
    ]


def _cloth(cell: Cell) -> _Cloth:
    """Return the cloth of a cell, whatever is cut of it."""
    return cell.width, cell.nap, cell.spread, cell.design


def _raised_from(
    cells: Sequence[Planned],
    lengths: Sequence[float | None],
    shown: float | None,
    smaller: Sequence[int],
) -> SizeSet | None:
    """Return the smaller size whose length is shown for a cell."""
    lifting = next((index for index in smaller if lengths[index] == shown), None)
    return None if lifting is None else cells[lifting].cell.sizes


def _jump(
    narrow: Entry, wide: Entry, entries: Sequence[Entry], tried: Collection[Cell]
) -> Jump | None:
    """Return the jump between two neighbours of a row, if there is one beyond doubt.

    The narrower cell can never be as short, or it has `tried` the wider one's arrangement.
    """
    if not are_neighbours(narrow.planned, wide.planned) or not wide.planned.job.fabric.is_plain:
        return None
    if wide.planned.options.border:
        return None  # what lies on a border along the upper selvedge moves with that
    if wide.cell.design is not None:
        return None  # what lies by the design cannot be moved to where narrower cloth has room
    if narrow.bought is None or wide.bought is None:
        return None
    if narrow.layout is None or wide.layout is None or wide.raised_from is not None:
        return None
    if not is_much_less(narrow.layout, wide.layout) or wide.bought.metric >= narrow.bought.metric:
        return None
    proven = is_proven(narrow.layout, wide.layout)
    if not proven and narrow.cell not in tried:
        return None
    usable = min(
        needed_width(entry.planned.job, entry.layout)
        for entry in entries
        if _row(entry) == _row(wide)
        and entry.layout is not None
        and entry.layout.length <= wide.bought.needed
    )
    options = wide.planned.options
    typed = usable / (1.0 - options.shrinkage_across) + 2.0 * options.kept_off
    return Jump(wide.cell, narrow.cell.width, typed, narrow.bought, wide.bought, proven)


def _row(entry: Entry) -> tuple[str, SizeSet, bool, str, TypedDesign | None]:
    """Return what neighbours have in common: all but the width."""
    cell = entry.cell
    return cell.material, cell.sizes, cell.nap, cell.spread, cell.design


def _marked(entries: Sequence[Entry], jumps: Sequence[Jump]) -> list[Entry]:
    """Return the entries with those marked at which the length jumps."""
    at = {jump.cell for jump in jumps}
    return [replace(entry, jumps=entry.cell in at) for entry in entries]
