# SPDX-License-Identifier: GPL-2.0-or-later
"""Which page lies where on the sheet: by labels, by the order of the pages, by what goes on."""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from extension.language.errors import DrawingError
from extension.pages.labels import Labelling
from extension.pages.model import Box, Page, Place
from extension.pages.seams import Fit, Seams, lying

COST = 1.5
"""How many lines that go on it takes to make up for one that does not."""
OTHERWISE = (7.3, 4.1, -4.1, -7.3)
"""mm more or less of overlap, with which nothing goes together as well if the overlap is known.

With more of it what goes on may not reach so far into a page, which tells nothing by itself.
"""
LOST = 0.15
"""Share of the lines at edges that may go on nowhere in an arrangement that is believed."""
UNCLEAR = (
    "It cannot be told how the pages go together: {why}. Type how many rows and columns of pages "
    "there are, and by how much they overlap."
)


@dataclass(frozen=True, eq=False, slots=True)
class Arrangement:
    """Where each page lies, by what that was decided, and how the lines at the edges bear it out.

    `overlap` mm across and down. `found` lines go on over an edge, `lost` ends of lines do not.
    """

    places: Mapping[int, Place]
    by: str
    overlap: tuple[float, float]
    found: int
    lost: int
    told: tuple[bool, bool] = (True, True)
    """Whether lines tell of the overlap across and down, or it was typed."""
    is_blind: bool = False
    """Whether lines go on over edges so squarely that they fit any overlap."""
    parts: int = 1
    """Of how many parts that no line joins the sheet is."""

    @property
    def rows(self) -> int:
        """How many rows of pages there are."""
        return 1 + max(row for row, _ in self.places.values())

    @property
    def columns(self) -> int:
        """How many columns of pages there are."""
        return 1 + max(column for _, column in self.places.values())

    @property
    def is_sure(self) -> bool:
        """Whether nearly all lines at the edges go on."""
        return self.lost <= max(1.0, LOST * self.ends)

    @property
    def ends(self) -> int:
        """How many ends of lines there are at the edges."""
        return 2 * self.found + self.lost


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is known beforehand: rows, columns, overlap across and down in mm; None: to be found."""

    rows: int | None = None
    columns: int | None = None
    overlap: tuple[float, float] | None = None


def arranged(
    pages: Sequence[Page], window: Box, labels: Sequence[Labelling], wanted: Wanted
) -> Arrangement:
    """Return where the pages lie. Raises DrawingError when that cannot be decided."""
    if len(pages) == 1:
        return Arrangement({0: (0, 0)}, ORDER, (0.0, 0.0), 0, 0)
    across, down = Seams(pages, window, lying=False), Seams(pages, lying(window), lying=True)
    table = _Table(across, down, wanted.overlap)
    shown = {n for n, page in enumerate(pages) if page.strokes or page.patches or page.words}
    judged = [table.judged(places, by) for by, places in _hypotheses(len(pages), labels, wanted)]
    grown, parts = _grown(shown, table)
    if grown and _fits(grown, wanted):
        judged.append(replace(table.judged(grown, LINES), parts=parts))
    if not judged:
        raise DrawingError(_no_room(len(pages), wanted))
    best = max(judged, key=_worth)  # of equals the first, which is the most trusted
    if wanted.rows is None and wanted.columns is None:
        rivals = [one for one in judged if _worth(one) >= _worth(best) and one.by == best.by]
        _check(best, len({_seen(one.places, shown) for one in rivals}))
    return best


def _seen(places: Mapping[int, Place], shown: Collection[int]) -> tuple[tuple[int, Place], ...]:
    """Return where the pages lie that are not empty, from their own corner."""
    used = {page: place for page, place in places.items() if page in shown}
    return tuple(sorted(_from_corner(used).items())) if used else ()


def _worth(one: Arrangement) -> float:
    return 2.0 * one.found - COST * one.lost


def _no_room(count: int, wanted: Wanted) -> str:
    grid = f"{wanted.rows or 'any number of'} rows and {wanted.columns or 'any number of'} columns"
    return f"{count} pages do not fit into {grid}: count the rows and columns of the pattern again."


def _check(best: Arrangement, ways: int) -> None:
    """Raise when an arrangement is no more than a guess; `ways` are as good as each other."""
    if best.found == 0 and best.by != ROWS:
        raise DrawingError(UNCLEAR.format(why="no line goes on from one page to another"))
    if not best.is_sure:
        why = f"{best.lost} of {best.ends} ends of lines at their edges go on nowhere"
        raise DrawingError(UNCLEAR.format(why=why))
    if best.is_blind:
        why = "the lines that go on cross the edges so squarely that they fit any overlap"
        raise DrawingError(UNCLEAR.format(why=why))
    if ways > 1:
        raise DrawingError(UNCLEAR.format(why=f"there are {ways} ways that fit equally well"))


ROWS = "the rows and columns that the pages name"
CELLS = "the letters and numbers on the pages"
NUMBERS = "the numbers on the pages"
ORDER = "the order of the pages"
LINES = "the lines that go on"
"""By what the place of each page was decided."""


class _Table:
    """How well any two pages go together, beside and below each other."""

    def __init__(self, across: Seams, down: Seams, overlap: tuple[float, float] | None) -> None:
        self.count = across.count
        self._seams = across, down
        self._typed = overlap is not None
        typed = (None, None) if overlap is None else overlap
        chosen = [self._best(*each) for each in zip(self._seams, typed, strict=True)]
        self.overlap = chosen[0][0], chosen[1][0]
        self.fits = chosen[0][1], chosen[1][1]
        self.certain = tuple(
            overlap is not None
            or all(
                self._worth(best) > self._worth(self._all_fits(seams, apart + more))
                for more in OTHERWISE
                if apart + more >= 0.0
            )
            for seams, (apart, best) in zip(self._seams, chosen, strict=True)
        )

    def _best(self, seams: Seams, typed: float | None) -> tuple[float, dict[tuple[int, int], Fit]]:
        """Return the overlap that most pages go together with, and how well they do."""
        best: tuple[float, float, dict[tuple[int, int], Fit]] | None = None
        for overlap in [typed] if typed is not None else seams.overlaps():
            fits = self._all_fits(seams, overlap)
            worth = self._worth(fits)
            if best is None or worth > best[0] + 1e-9:
                best = worth, overlap, fits
        assert best is not None
        return best[1], best[2]

    def _all_fits(self, seams: Seams, overlap: float) -> dict[tuple[int, int], Fit]:
        """Return how well any two pages go together."""
        pairs = itertools.permutations(range(self.count), 2)
        return {(one, two): seams.fit(one, two, overlap) for one, two in pairs}

    def _worth(self, fits: Mapping[tuple[int, int], Fit]) -> float:
        """Return how well every page goes together with the one that suits it best."""
        worths = [0.0] * self.count
        for (one, _), fit in fits.items():
            worths[one] = max(worths[one], fit.found - COST * fit.lost)
        return sum(worths)

    def judged(self, places: Mapping[int, Place], by: str) -> Arrangement:
        """Return an arrangement with how many lines go on in it, counted from both sides."""
        at = {place: page for page, place in places.items()}
        goes_on = [0, 0]
        lost = 0
        for page, (row, column) in places.items():
            for axis, after, before in (
                (0, (row, column + 1), (row, column - 1)),
                (1, (row + 1, column), (row - 1, column)),
            ):
                seams = self._seams[axis]
                if after in at:
                    fit = self.fits[axis][page, at[after]]
                    goes_on[axis] += fit.found
                    lost += fit.lost
                else:
                    lost += 2 * len(seams.at_right(page))
                if before not in at:
                    lost += 2 * len(seams.at_left(page))
        told = [self._typed or (self.certain[a] and goes_on[a] > 0) for a in (0, 1)]
        blind = any(goes_on[a] > 0 and not told[a] for a in (0, 1))
        found = sum(goes_on) // 4
        return Arrangement(
            places, by, self.overlap, found, math.ceil(lost / 2), (told[0], told[1]), blind
        )

    def pairs(self) -> list[tuple[float, int, int, int]]:
        """Return pairs that go together, the best first: worth, axis, page, the one after it."""
        found = []
        for axis in (0, 1):
            for (one, two), fit in self.fits[axis].items():
                worth = fit.found - COST * fit.lost
                if worth > 0.0:
                    found.append((-worth, axis, one, two))
        return [(-worth, axis, one, two) for worth, axis, one, two in sorted(found)]


def _hypotheses(
    count: int, labels: Sequence[Labelling], wanted: Wanted
) -> Iterator[tuple[str, dict[int, Place]]]:
    """Yield ways to arrange the pages, the most trusted first."""
    for labelling in labels:
        if len(labelling.labels) == count:
            for by, places in _by_labels(labelling, wanted):
                if _fits(places, wanted):
                    yield by, places
    for places in _in_order(list(range(count)), wanted):
        yield ORDER, places


def _fits(places: Mapping[int, Place], wanted: Wanted) -> bool:
    """Return whether pages lie in as many rows and columns as there are to be."""
    rows = 1 + max(row for row, _ in places.values())
    columns = 1 + max(column for _, column in places.values())
    return wanted.rows in (None, rows) and wanted.columns in (None, columns)


def _by_labels(labelling: Labelling, wanted: Wanted) -> Iterator[tuple[str, dict[int, Place]]]:
    """Yield the arrangements that labels may mean."""
    labels = labelling.labels
    cells = {page: label.cell for page, label in labels.items() if label.cell is not None}
    if len(cells) == len(labels):
        told = next(iter(labels.values())).rows
        for rows in (0, 1) if told is None else (told,):
            by = CELLS if told is None else ROWS
            yield by, _from_corner({p: (cell[rows], cell[1 - rows]) for p, cell in cells.items()})
        return
    numbers = {page: label.number or 0 for page, label in labels.items()}
    if len(set(numbers.values())) == len(numbers):
        slots = {page: number - min(numbers.values()) for page, number in numbers.items()}
        for places in _numbered(slots, wanted):
            yield NUMBERS, places


def _in_order(pages: Sequence[int], wanted: Wanted) -> Iterator[dict[int, Place]]:
    """Yield the arrangements of pages that come row by row, or column by column."""
    yield from _numbered({page: slot for slot, page in enumerate(pages)}, wanted)


def _numbered(slots: Mapping[int, int], wanted: Wanted) -> Iterator[dict[int, Place]]:
    """Yield the arrangements of numbered pages, some of which may be missing, being empty."""
    count = 1 + max(slots.values())
    for length in range(1, count + 1):
        other = math.ceil(count / length)
        if wanted.columns in (None, length) and wanted.rows in (None, other):
            yield {page: divmod(slot, length) for page, slot in slots.items()}
    for length in range(1, count + 1):
        other = math.ceil(count / length)
        if wanted.rows in (None, length) and wanted.columns in (None, other):
            yield {page: divmod(slot, length)[::-1] for page, slot in slots.items()}


def _from_corner(places: Mapping[int, Place]) -> dict[int, Place]:
    """Return places counted from the first row and column that have a page."""
    top, left = min(row for row, _ in places.values()), min(col for _, col in places.values())
    return {page: (row - top, column - left) for page, (row, column) in places.items()}


def _grown(shown: Collection[int], table: _Table) -> tuple[dict[int, Place], int]:
    """Return the arrangement that grows from the pages that go together best, and its parts.

    Pairs are taken the best first, as trees are grown that span a graph; a pair that would put two
    pages on one place is passed over. Parts that no line joins come below each other, an empty row
    between them; pages that show nothing have no place.
    """
    groups: list[dict[int, Place]] = [{page: (0, 0)} for page in sorted(shown)]
    for _, axis, one, two in table.pairs():
        first = next(group for group in groups if one in group)
        second = next(group for group in groups if two in group)
        if first is second:
            continue
        row, column = first[one]
        row, column = (row, column + 1) if axis == 0 else (row + 1, column)
        shift = row - second[two][0], column - second[two][1]
        moved = {page: (r + shift[0], c + shift[1]) for page, (r, c) in second.items()}
        if not set(moved.values()) & set(first.values()):
            groups.remove(second)
            first.update(moved)
    places: dict[int, Place] = {}
    below = 0
    for group in sorted(groups, key=len, reverse=True):
        own = _from_corner(group)
        places |= {page: (row + below, column) for page, (row, column) in own.items()}
        below = 2 + max(row for row, _ in places.values())
    return places, len(groups)
