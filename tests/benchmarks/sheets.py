# SPDX-License-Identifier: GPL-2.0-or-later
"""How the pieces of known pattern sheets are read: right, asked about, or silently wrong.

`python -m tests.benchmarks.sheets --sheets 60 --seed 0` draws the sheets, reads their markings and
compares. What is silently wrong is named with its sheet; `--asked` names the others as well.

With `--pdf editor` (or `browser`, `plotter`) each sheet goes the whole way: cut into pages, written
as a PDF, opened by the editor, put together, joined and read; `--way "one by one"` takes the
editor's other reader.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np
import shapely

from extension.language.errors import ThriftlayError
from extension.markings.proposals import Proposal, Proposals
from extension.markings.proposing import propose
from tests.helpers.pattern_sheets import PatternSheet, TruePiece, drawn
from tests.helpers.whole_way import WAYS, WRITERS, paging_of, walked

DEGREES = 1.0
"""By which a grainline may be off."""
SAME, WITHIN = 0.1, 0.2
"""mm from a corner of a piece to its outline, at most; the same when it was put together."""
Row = tuple[str, str]
"""What came of a piece, and its story."""


def compared(
    sheet: PatternSheet,
    read: Proposals,
    shift: tuple[float, float] = (0.0, 0.0),
    same: float = SAME,
) -> Iterator[Row]:
    """Yield what came of every piece of a sheet, and of everything taken for one.

    A piece is asked about where something is said of it, or where it is missing and something is
    asked of the sheet, or of an outline that it lies in. `shift` leads from the sheet to what was
    read, mm; `same` mm.
    """
    left = list(read.pieces)
    general = [each for each in read.questions if each not in read.of_pieces]
    for piece in sheet.pieces:
        found = _best(piece, left, shift, same)
        if found is None:
            asked = general + [want for each in _round(piece, read, shift) for want in each.wants]
            yield ("asked" if asked else "silently wrong"), f"{piece}: missing, {asked}"
            continue
        left.remove(found)
        wrong = list(differences(piece, found))
        asked = list(found.wants) or (general if any("size" in each for each in wrong) else [])
        if asked:
            yield "asked", f"{piece}: {wrong}, {asked}"
        else:
            yield ("silently wrong" if wrong else "right"), f"{piece}: {wrong}"
    for found in left:
        story = f"no piece: {found.name} {found.size} {found.demands} {found.wants}"
        yield ("extra, asked" if found.wants else "silently wrong"), story


def _round(piece: TruePiece, read: Proposals, shift: tuple[float, float]) -> list[Proposal]:
    """Return what was read of outlines that a piece lies in, as in another size."""
    middle = shapely.MultiPoint(np.array(piece.points) + shift).centroid
    return [each for each in read.pieces if each.shape.polygon.contains(middle)]


def _best(
    piece: TruePiece, left: Sequence[Proposal], shift: tuple[float, float], same: float
) -> Proposal | None:
    """Return what was read of the outline of a piece."""
    corners = shapely.points(np.array(piece.points) + shift)
    for each in left:
        gaps = shapely.distance(each.shape.polygon.exterior, corners)
        if float(gaps.max()) <= same:
            return each
    return None


def differences(piece: TruePiece, found: Proposal) -> Iterator[str]:
    """Yield what was read otherwise than it is."""
    if found.name != piece.name:
        yield f"name {found.name}"
    if found.size != piece.size:
        yield f"size {found.size}"
    cut = {demand.material: demand.cut for demand in found.demands}
    if cut != dict(piece.cut):
        yield f"cut {cut}"
    if found.fold != piece.fold:
        yield f"fold {found.fold}"
    off = None if found.grain is None else abs((found.grain - piece.grain + 90.0) % 180.0 - 90.0)
    if off is None or off > DEGREES:
        yield f"grain {found.grain}"


def through_pdf(sheet: PatternSheet, number: int, writer: str, way: str) -> list[Row]:
    """Return what came of a sheet that went the whole way, and tell of the way itself."""
    with tempfile.TemporaryDirectory() as folder:
        try:
            walk = walked(sheet, paging_of(number), Path(folder), writer, way)
        except ThriftlayError as error:
            sys.stdout.write(f"{number}: refused: {error}\n")
            return [("asked", f"{piece}: {error}") for piece in sheet.pieces]
    seconds = ", ".join(f"{each:.1f}" for each in walk.seconds)
    sys.stdout.write(f"{number}: {walk.pages} pages, {seconds} s {walk.asked}\n")
    rows = compared(sheet, walk.read, walk.shift, WITHIN)
    if not walk.warned:
        return list(rows)
    # What is wrong of pages that she is told to look at is not wrong without a word.
    return [("asked" if kind == "silently wrong" else kind, story) for kind, story in rows]


def main(arguments: list[str]) -> None:
    """Run the benchmark and print its table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sheets", type=int, default=60)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--asked", action="store_true")
    parser.add_argument("--keep", type=Path, help="folder to write the drawings into")
    parser.add_argument("--pdf", choices=WRITERS, help="what writes the pages of each sheet")
    parser.add_argument("--way", choices=WAYS, default=WAYS[0])
    given = parser.parse_args(arguments)
    counts: Counter[str] = Counter()
    by_style: dict[tuple[str, str], Counter[str]] = {}
    perfect = 0
    for number in range(given.seed, given.seed + given.sheets):
        sheet = drawn(number)
        if given.keep is not None:
            sheet.drawing.write(given.keep / f"sheet-{number:03d}.svg")
        if given.pdf is None:
            rows = list(compared(sheet, propose(sheet.drawing.document())))
        else:
            rows = through_pdf(sheet, number, given.pdf, given.way)
        perfect += all(kind == "right" for kind, _ in rows)
        for kind, story in rows:
            counts[kind] += 1
            for style in sheet.styles.items():
                by_style.setdefault(style, Counter())[kind] += 1
            if kind == "silently wrong" or (given.asked and kind != "right"):
                sys.stdout.write(f"{number}: {kind}: {story}\n")
    kinds = ("right", "asked", "silently wrong", "extra, asked")
    sys.stdout.write(f"{'':58}" + "".join(f"{kind:>16}" for kind in kinds) + "\n")
    for (what, style), each in sorted(by_style.items()):
        told = "".join(f"{each[kind]:>16}" for kind in kinds)
        sys.stdout.write(f"{what + ': ' + style:58}{told}\n")
    told = ", ".join(f"{counts[kind]} {kind}" for kind in kinds)
    sys.stdout.write(f"{given.sheets} sheets, {perfect} of them all right; pieces: {told}\n")


if __name__ == "__main__":
    main(sys.argv[1:])
