# SPDX-License-Identifier: GPL-2.0-or-later
"""Put pages together: from the pages of a pattern to its whole sheet, on a new layer.

Files, clocks and windows are the caller's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from extension.drawn.together import LABEL, draw_sheet
from extension.language.errors import DrawingError, OptionError
from extension.language.units import parse_length
from extension.language.words import listed
from extension.pages.arranging import Arrangement, Wanted, arranged
from extension.pages.clips import Regions
from extension.pages.finding import NO_PAGES, find_pages
from extension.pages.furniture import without_furniture
from extension.pages.labels import labelling
from extension.pages.model import Page
from extension.pages.reading import Found, read_page
from extension.pages.seams import LONGEST_OVERLAP
from extension.pages.together import Together, put_pages
from extension.pages.windows import window_of
from extension.svg.document import Document, serialise
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf

FINE = 0.01
"""mm by which the lines of the sheet may leave what is drawn."""
MOST_SIDE = 60
"""Rows or columns of pages; no pattern has more."""
AUTO = ("", "auto")


@dataclass(frozen=True, slots=True)
class PagesOptions:
    """What is known of how the pages lie, and the ids of what takes part, none for everything."""

    wanted: Wanted = field(default_factory=Wanted)
    selected: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PagesOutcome:
    """The drawing with its new layer; `warnings` is the part of `summary` that needs a look."""

    drawing: bytes
    summary: tuple[str, ...]
    warnings: tuple[str, ...]
    report: dict[str, Any]


def pages_options(
    rows: str, columns: str, overlap: str, selected: Sequence[str] = ()
) -> PagesOptions:
    """Return the options as typed; "" and "auto": to be found. Raises OptionError."""
    return PagesOptions(
        Wanted(_count(rows, "rows"), _count(columns, "columns"), _overlap(overlap)),
        tuple(selected),
    )


def _count(text: str, what: str) -> int | None:
    plain = text.strip().lower()
    if plain in AUTO:
        return None
    if not plain.isascii() or not plain.isdigit() or not 1 <= int(plain[:4]) <= MOST_SIDE:
        raise OptionError(
            f"“{text.strip()}” is no number of {what}: type one from 1 to {MOST_SIDE}, or “auto”."
        )
    return int(plain)


def _overlap(text: str) -> float | None:
    if text.strip().lower() in AUTO:
        return None
    length = parse_length(text, "mm")
    if not 0.0 <= length <= LONGEST_OVERLAP:
        raise OptionError(
            f"Pages cannot overlap by “{text.strip()}”: type 0 to {LONGEST_OVERLAP:g} mm, such as "
            "10mm, or “auto”."
        )
    return length


def put_together(documents: Sequence[Document], options: PagesOptions) -> PagesOutcome:
    """Return the first document with the sheet that the pages of all make on a new layer.

    Its tree gains that layer and is otherwise as before. Raises a ThriftlayError with one sentence
    when there are no pages, or when it cannot be told how they go together.
    """
    drawn = [read_leaves(document, tolerance_mm=FINE) for document in documents]
    drawn = [tuple(leaf for leaf in leaves if not _is_ours(leaf)) for leaves in drawn]
    found = [page for page in find_pages(documents, drawn, options.selected) if page.leaves]
    if len(found) < 2:
        raise DrawingError(_nothing(documents[0]))
    regions = Regions()
    read = [read_page(page, regions) for page in found]
    labels = labelling(read)
    pages, furniture = without_furniture(read, labels)
    window = window_of(pages)
    arrangement = arranged(pages, window, labels, options.wanted)
    sheet = put_pages(pages, window, arrangement)
    own = set(drawn[0])
    stands_for = _stands_for(drawn[0], [leaf for p in found for leaf in p.leaves if leaf in own])
    everything = read_leaves(documents[0], include_layouts=True)
    layer = draw_sheet(documents[0], everything, sheet, stands_for)
    warnings = tuple(_warnings(read, arrangement, sheet))
    return PagesOutcome(
        serialise(documents[0]),
        (*_done(arrangement, sheet, len(found)), *warnings),
        warnings,
        _report(layer, found, arrangement, sheet, furniture),
    )


def _is_ours(leaf: Leaf) -> bool:
    """Return whether a leaf lies on a layer that we drew."""
    return any("sheet" in group.attributes or "joined" in group.attributes for group in leaf.groups)


def _nothing(document: Document) -> str:
    """Return why there is nothing to put together."""
    layers = document.root.iterfind(".//*[@{urn:thriftlay:1}sheet]")
    if any(True for _ in layers):
        return (
            f"These pages were put together already: delete the layer “{LABEL}” to have it done "
            "once more."
        )
    return NO_PAGES


def _stands_for(leaves: Sequence[Leaf], used: Sequence[Leaf]) -> list[str]:
    """Return the ids of what is part of the sheet as a whole: groups, else single leaves.

    What she puts on a layer of a page later is read, since no layer is among them.
    """
    taken = set(used)
    whole: dict[str, bool] = {}
    for leaf in leaves:
        for group in leaf.groups:
            if not group.is_layer:
                whole[group.id] = whole.get(group.id, True) and leaf in taken
    names = (
        next((group.id for group in leaf.groups if whole.get(group.id)), leaf.id) for leaf in used
    )
    return list(dict.fromkeys(names))


def _done(arrangement: Arrangement, sheet: Together, count: int) -> list[str]:
    """Return what was done, in plain words."""
    rows, columns = _counted(arrangement.rows, "row"), _counted(arrangement.columns, "column")
    grid = f" in {rows} and {columns}" if arrangement.parts == 1 else ""
    across, down = arrangement.overlap
    overlaps = "They do not overlap."
    if max(arrangement.overlap) > 0.0:
        overlaps = f"They overlap by {across:.1f} mm across and {down:.1f} mm down."
    return [
        f"{count} pages put together{grid}, by {arrangement.by}.",
        overlaps,
        f"The sheet is {sheet.size[0] / 10.0:.1f} cm wide and {sheet.size[1] / 10.0:.1f} cm high; "
        f"{_counted(sheet.joined // 2, 'line')} went on over an edge.",
    ]


def _warnings(pages: Sequence[Page], arrangement: Arrangement, sheet: Together) -> list[str]:
    """Return what needs a look."""
    said = []
    if arrangement.parts > 1:
        said.append(
            f"No line joins {arrangement.parts} parts of the sheet, so they were put below each "
            "other: type rows and columns to have them beside each other."
        )
    sides = zip(
        ("across", "down"), (arrangement.columns, arrangement.rows), arrangement.told, strict=True
    )
    for way, count, told in sides:
        if count > 1 and not told:
            said.append(
                f"No line tells by how much the pages overlap {way}, so they were put edge to "
                "edge: type the overlap if they do."
            )
    if sheet.open_ends:
        where = listed([f"x {x:.0f} mm, y {y:.0f} mm" for x, y in sheet.open_ends], 4)
        places = _counted(len(sheet.open_ends), "place")
        said.append(
            f"At {places} a line ends at the edge of a page and goes on nowhere ({where} of the "
            "sheet): compare the sheet with the pattern's own overview."
        )
    pictures = sum(page.pictures for page in pages)
    if pictures:
        said.append(
            f"{_counted(pictures, 'picture')} left out: lines in a picture can be traced, not read."
        )
    return said


def _counted(count: int, what: str) -> str:
    return f"{count:,} {what}{'' if count == 1 else 's'}"


def _report(
    layer: str,
    found: Sequence[Found],
    arrangement: Arrangement,
    sheet: Together,
    furniture: int,
) -> dict[str, Any]:
    """Return everything as plain values; lengths and places in mm on the sheet."""
    return {
        "layer": layer,
        "pages": [
            {"name": found[number].name, "row": row + 1, "column": column + 1}
            for number, (row, column) in arrangement.places.items()
        ],
        "rows": arrangement.rows,
        "columns": arrangement.columns,
        "decided_by": arrangement.by,
        "parts": arrangement.parts,
        "overlap_mm": [round(one, 2) for one in arrangement.overlap],
        "size_mm": [round(side, 2) for side in sheet.size],
        "lines": len(sheet.lines),
        "lines_joined": sheet.joined // 2,
        "ends_open": [[round(x, 1), round(y, 1)] for x, y in sheet.open_ends],
        "left_out": furniture + sheet.dropped,
    }
