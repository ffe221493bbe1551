# SPDX-License-Identifier: GPL-2.0-or-later
"""Put pages together: from the pages of a pattern to its whole sheet, on a new layer.

Files, clocks and windows are the caller's.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from extension.drawn.together import LABEL, draw_sheet
from extension.language.errors import DrawingError, OptionError
from extension.language.units import parse_length
from extension.language.words import listed
from extension.markings.sizing import on_size_layers
from extension.pages.arranging import Arrangement, Wanted, arranged
from extension.pages.clips import Regions
from extension.pages.finding import NO_PAGES, find_pages
from extension.pages.furniture import without_furniture
from extension.pages.labels import labelling
from extension.pages.model import Box, Page
from extension.pages.reading import Found, read_page
from extension.pages.seams import LONGEST_OVERLAP
from extension.pages.together import Together, put_pages
from extension.pages.windows import whole_page, window_of
from extension.pieces.squares import Square, find_squares, told, warned
from extension.svg.document import Document, serialise
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from nesting.model import Outline

FORMAT, VERSION = "thriftlay-put-together", 1
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
    scale_by_square: bool = False
    """Whether the sheet is enlarged so that its test square has the size that it states."""


@dataclass(frozen=True, slots=True)
class PagesOutcome:
    """The drawing with its new layer; `warnings` is the part of `summary` that needs a look."""

    drawing: bytes
    summary: tuple[str, ...]
    warnings: tuple[str, ...]
    report: dict[str, Any]


def pages_options(
    rows: str,
    columns: str,
    overlap: str,
    selected: Sequence[str] = (),
    scale_by_square: bool = False,
) -> PagesOptions:
    """Return the options as typed; "" and "auto": to be found. Raises OptionError."""
    return PagesOptions(
        Wanted(_count(rows, "rows"), _count(columns, "columns"), _overlap(overlap)),
        tuple(selected),
        scale_by_square,
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


def _overlap(text: str) -> tuple[float, float] | None:
    """Return by how much pages overlap across and down, mm: typed once, or `10mm x 15mm`."""
    if text.strip().lower() in AUTO:
        return None
    sides = [parse_length(side, "mm") for side in re.split(r"[x×]", text.lower())]
    if len(sides) > 2 or not all(0.0 <= side <= LONGEST_OVERLAP for side in sides):
        raise OptionError(
            f"Pages cannot overlap by “{text.strip()}”: type 0 to {LONGEST_OVERLAP:g} mm, such as "
            "10mm, or 10mm x 15mm across and down, or “auto”."
        )
    return sides[0], sides[-1]


def put_together(documents: Sequence[Document], options: PagesOptions) -> PagesOutcome:
    """Return the first document with the sheet that the pages of all make on a new layer.

    Its tree gains that layer and is otherwise as before. Raises a ThriftlayError with one sentence
    when there are no pages, or when it cannot be told how they go together.
    """
    drawn = [read_leaves(document, tolerance_mm=FINE) for document in documents]
    drawn = [tuple(leaf for leaf in leaves if not _is_ours(leaf)) for leaves in drawn]
    found = [page for page in find_pages(documents, drawn, options.selected) if page.leaves]
    if len(found) < (1 if options.scale_by_square else 2):
        raise DrawingError(_nothing(documents[0]))
    regions = Regions()
    layers = _size_layers(drawn, found)
    read = [read_page(page, regions, layers) for page in found]
    labels = labelling(read)
    pages, furniture = without_furniture(read, labels)
    window = window_of(pages) if len(pages) > 1 else whole_page(pages[0])
    arrangement = arranged(pages, window, labels, options.wanted)
    sheet = put_pages(pages, window, arrangement)
    squares = find_squares(*_outlines_and_texts(sheet))
    scale = _scale(squares) if options.scale_by_square else 1.0
    own = set(drawn[0])
    stands_for = _stands_for(drawn[0], [leaf for p in found for leaf in p.leaves if leaf in own])
    everything = read_leaves(documents[0], include_layouts=True)
    layer = draw_sheet(documents[0], everything, sheet, stands_for, scale)
    off = () if options.scale_by_square else warned(squares)
    warnings = (*off, *_of_import(found, layers), *_warnings(read, arrangement, sheet))
    return PagesOutcome(
        serialise(documents[0]),
        (*_done(arrangement, sheet, len(found)), *_of_squares(squares, scale), *warnings),
        warnings,
        {
            **_report(layer, found, arrangement, sheet, furniture),
            "test_squares": [
                {"sides_mm": [round(s, 2) for s in one.sides], "stated_mm": one.stated}
                for one in squares
            ],
            "scale": round(scale, 6),
        },
    )


def _size_layers(drawn: Sequence[Sequence[Leaf]], found: Sequence[Found]) -> dict[Leaf, str]:
    """Return the names of layers that are named by sizes, of the leaves on them.

    A layer that holds all of one page, and nothing of another, is that page: its name a number.
    """
    layers = {leaf: name for leaves in drawn for leaf, name in on_size_layers(leaves).items()}
    pages: dict[str, set[int]] = {}
    for number, page in enumerate(found):
        for name in {layers[leaf] for leaf in page.leaves if leaf in layers}:
            pages.setdefault(name, set()).add(number)
    of_pages = {
        group.label or group.id
        for page in found
        for group in page.leaves[0].groups
        if all(group in leaf.groups for leaf in page.leaves)
    }
    own = {name for name in of_pages if len(pages.get(name, ())) == 1}
    return {leaf: name for leaf, name in layers.items() if name not in own}


def _of_import(found: Sequence[Found], layers: Mapping[Leaf, str]) -> list[str]:
    """Return what the editor did not hand over of a PDF, or not as it is seen."""
    said = []
    shown: dict[str, bool] = {}
    for leaf in (leaf for page in found for leaf in page.leaves if leaf in layers):
        shown[layers[leaf]] = shown.get(layers[leaf], False) or not leaf.hidden
    hidden = [f"“{name}”" for name, seen in shown.items() if not seen]
    if hidden:
        which, these = ("layer", "is hidden, so that size is")
        if len(hidden) > 1:
            which, these = ("layers", "are hidden, so those sizes are")
        said.append(
            f"The {which} {listed(hidden)} {these} not on the sheet: undo, show what you need, and "
            "put the pages together again."
        )
    if any(page.windows for page in found):
        said.append(
            "The editor handed over the clip of the first page alone, so every page was cut like "
            "it: compare the sheet with the pattern's own overview."
        )
    return said


def _outlines_and_texts(sheet: Together) -> tuple[list[Outline], list[tuple[str, Box]]]:
    """Return the closed lines of a sheet, and its texts with their boxes."""
    outlines = [
        tuple((x, y) for x, y in line.points.tolist()) for line in sheet.lines if line.closed
    ]
    texts = []
    for words, ((_, _, x), (_, _, y)) in sheet.words:
        low_x, low_y, high_x, high_y = words.leaf.box
        texts.append((words.text, (low_x + x, low_y + y, high_x + x, high_y + y)))
    return outlines, texts


def _scale(squares: Sequence[Square]) -> float:
    """Return by what the sheet has to be enlarged. Raises DrawingError when no square tells."""
    known = [square for square in squares if square.stated is not None]
    if not known:
        raise DrawingError(
            "No test square was found to scale by: it is a square with the words “test square” "
            "and its size, such as 5 cm, beside or in it."
        )
    uneven = [square for square in known if not square.is_even]
    if uneven:
        raise DrawingError(told(uneven[0]))
    return float(np.mean([square.factor for square in known]))


def _of_squares(squares: Sequence[Square], scale: float) -> list[str]:
    """Return what test squares say where they are right, or what was done about it."""
    if scale != 1.0:
        share = abs(scale - 1.0) * 100.0
        way = "enlarged" if scale > 1.0 else "made smaller"
        return [*map(told, squares), f"The sheet was {way} by {share:.1f} %, so that it is right."]
    return [told(square) for square in squares if not square.is_off]


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
    for way, count, known in sides:
        if count > 1 and not known:
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
        "format": FORMAT,
        "version": VERSION,
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
