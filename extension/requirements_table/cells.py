# SPDX-License-Identifier: GPL-2.0-or-later
"""Which cells a table has, and the job behind each of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from extension.job.border import border_by_material
from extension.job.changes import may_be_cut_double
from extension.job.materials import check_materials, materials_in
from extension.job.options import LayOutOptions
from extension.job.plan import Plan, make_plan, request_of
from extension.job.reading import ReadRequest, read_pieces
from extension.job.wishes import materials_with_design
from extension.language.by_material import REST
from extension.language.errors import OptionError
from extension.pieces.model import Reading
from extension.pieces.scope import Scope, sizes_in
from extension.requirements_table.designs import TypedDesign, naps_with, spreads_with
from extension.requirements_table.options import TableOptions, Width
from extension.requirements_table.sizes import SizeSet, size_areas, size_sets, smallest_first
from extension.svg.model import Leaf
from nesting.cloth.problem import build_problem
from nesting.cloth.repeats import Design, has_match
from nesting.errors import JobError
from nesting.jobs.validation import validated
from nesting.model import Job

NO_BORDER = (
    "A border is typed, but no cloth of the table has it: linings and interfacings have one only "
    "where they are named, like “lining=0cm, 12cm”."
)
MOST_CELLS = 2000
"""More than any pattern has: a slip of the pen, not a table."""


@dataclass(frozen=True, slots=True)
class Cell:
    """What one figure of the table is about."""

    sizes: SizeSet
    material: str
    width: Width
    nap: bool
    spread: str = "open"
    """How the cloth lies, as `LayOutOptions` has it."""
    design: TypedDesign | None = None
    """The design that is matched; None for plain cloth."""


def nap_text(nap: bool) -> str:
    """Return `with nap` or `without nap`."""
    return "with nap" if nap else "without nap"


@dataclass(frozen=True, eq=False, slots=True)
class Planned:
    """A cell with its valid job; `why_not` says in a sentence why it cannot be laid, or is ""."""

    cell: Cell
    options: LayOutOptions
    plan: Plan
    job: Job
    why_not: str = ""


@dataclass(frozen=True, eq=False, slots=True)
class Question:
    """All that a table asks: its cells in order, and what was read for each of its rows.

    `areas` are the areas of the sizes (see `sizes`); `missing` the materials that are cut but
    have no width.
    """

    cells: tuple[Planned, ...]
    readings: Mapping[SizeSet, Reading]
    areas: Mapping[str, float]
    missing: tuple[str, ...]

    @property
    def possible(self) -> tuple[Planned, ...]:
        """The cells that can be laid."""
        return tuple(one for one in self.cells if not one.why_not)


def ask(leaves: Sequence[Leaf], options: TableOptions) -> Question:
    """Return the cells of a table of everything that is drawn.

    Raises DrawingError when the pieces of a size cannot be read, OptionError when what was asked
    for is not in the drawing, and JobError when not one cell can be laid.
    """
    drawn = sizes_in(leaves, Scope(leaves, options.base.select))
    single = {SizeSet(((size, 1),)): _read(leaves, options, (size,)) for size in drawn}
    areas = size_areas((p for reading in single.values() for p in reading.pieces), drawn)
    rows = size_sets(options.sizes, smallest_first(drawn, areas))
    readings = {
        row: single.get(row) or _read(leaves, options, tuple(size for size, _ in row.garments))
        for row in rows
    }
    present = materials_in(readings.values())
    designed = materials_with_design(options.design)
    bordered = border_by_material(options.border) if options.border else {}
    priced = options.prices
    typed = (*options.widths, *options.naps, *options.spreads, *designed, *bordered, *priced)
    named = (name for name in typed if name != REST)
    check_materials(named, present)
    if bordered and not any(map(options.border_of, present)):
        raise OptionError(NO_BORDER)
    cells = _cells(readings, tuple(present), options)
    every = [_planned(cell, readings[cell.sizes], options) for cell in cells]
    planned = tuple(one for one in every if not _is_the_same(one, options))
    if all(one.why_not for one in planned):
        raise JobError(planned[0].why_not)
    missing = tuple(name for name in present if not options.widths_of(name))
    return Question(planned, readings, areas, missing)


def _read(leaves: Sequence[Leaf], options: TableOptions, sizes: tuple[str, ...]) -> Reading:
    """Return the pieces of one row."""
    wanted = request_of(options.base)
    return read_pieces(
        leaves,
        ReadRequest(wanted.selected, sizes or None, wanted.no_grain, wanted.default_allowance_mm),
    )


def _cells(
    readings: Mapping[SizeSet, Reading], present: Sequence[str], options: TableOptions
) -> list[Cell]:
    """Return every cell of which some piece is cut, by material, size, nap and width."""
    laid = [name for name in present if options.widths_of(name)]
    designs = {name: options.design_of(name, laid) for name in laid}
    cells = [
        Cell(row, name, width, nap, spread, design)
        for name in laid
        for row, reading in readings.items()
        if name in materials_in([reading])
        for nap in options.naps_of(name)
        for design in dict.fromkeys((None, designs[name]))
        if nap in naps_with(design, options.naps_of(name))
        for spread in spreads_with(design, options.spreads_of(name))
        for width in options.widths_of(name)
    ]
    if len(cells) > MOST_CELLS:
        raise OptionError(
            f"The table would have {len(cells):,} figures: leave out some sizes or widths, so that "
            f"there are at most {MOST_CELLS:,}."
        )
    return cells


def _is_the_same(one: Planned, options: TableOptions) -> bool:
    """Return whether a cell is on folded cloth beside one on open cloth, and nothing folds."""
    is_beside = options.spreads_of(one.cell.material)[0] != one.cell.spread
    return is_beside and not may_be_cut_double(one.job)


def _planned(cell: Cell, reading: Reading, options: TableOptions) -> Planned:
    """Return a cell with its job, and why it cannot be laid: a piece is wider than this cloth.

    Raises JobError for faults that no other cloth would mend.
    """
    own = options.cell(cell.sizes, cell.material, cell.width, cell.nap, cell.spread, cell.design)
    plan = make_plan(reading, own)
    job = validated(plan.job)
    try:
        build_problem(job)
        if has_match(job.fabric, job.pieces):
            Design(job)  # points that contradict each other
    except JobError as error:
        return Planned(cell, own, plan, job, str(error))
    return Planned(cell, own, plan, job)
