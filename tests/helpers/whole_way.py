# SPDX-License-Identifier: GPL-2.0-or-later
"""The whole way of a known sheet: pages of a PDF, opened, put together, joined and read."""

from __future__ import annotations

import random
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import shapely

from extension.language.errors import DrawingError
from extension.markings.proposals import Proposals
from extension.markings.proposing import propose
from extension.operations.join_lines import JoinOptions, join_lines
from extension.operations.put_together import pages_options, put_together
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from tests.helpers import printed
from tests.helpers.paged import A4, LETTER, Paging, cut
from tests.helpers.pattern_sheets import PatternSheet

WRITERS = ("editor", "plotter", "browser")
WAYS = ("at once", "one by one")
ALIKE = 0.5
"""mm by which the box of an outline may differ from the true one for the two to be one."""


@dataclass(frozen=True)
class Walked:
    """What came of a sheet: `drawing` is the one that was read, `seconds` of the processor.

    `shift` leads from the sheet as it was drawn to where it lies now, mm; `asked` are the words
    with which pages were refused, before rows, columns and overlap were typed; `warned` says
    whether something of the pages needs a look.
    """

    drawing: bytes
    read: Proposals
    pages: int
    shift: tuple[float, float]
    seconds: tuple[float, float, float]
    asked: str
    warned: bool


def paging_of(number: int) -> Paging:
    """Return how the sheet of a number is cut into pages."""
    chance = random.Random(number)
    return Paging(
        chance.choice([A4, LETTER]),
        chance.choice([6.35, 10.0, 15.0]),
        chance.choice([(0.0, 0.0), (10.0, 10.0), (12.7, 15.0)]),
        chance.choice(["", "rect", "lines"]),
        chance.choice(["n/total", "page n of total", "cell", "row column"]),
        chance.choice(["", "triangles", "diamonds", "letters", "crosses"]),
        inside=chance.random() < 0.3,
        by_columns=chance.random() < 0.2,
        empty=chance.random() < 0.7,
    )


def walked(
    sheet: PatternSheet, paging: Paging, folder: Path, writer: str = "editor", way: str = "at once"
) -> Walked:
    """Send a sheet the whole way; its drawing gains a test square. Raises ThriftlayError."""
    truth = printed.whole(sheet)
    sheets = cut(truth, paging)
    pdf = folder / "pages.pdf"
    if writer == "plotter":
        printed.by_plotter(truth, sheets, paging, pdf)
    elif writer == "browser":
        printed.by_browser(sheets, paging, pdf)
    else:
        printed.by_editor(sheets, paging, pdf)
    at_once = way == "at once"
    files = printed.opened_at_once(pdf) if at_once else printed.opened_one_by_one(pdf, len(sheets))
    asked = ""
    times = [time.process_time()]
    try:
        put = put_together([parse(file) for file in files], pages_options("", "", ""))
    except DrawingError as error:
        asked = str(error)
        rows, columns = paging.grid(truth)
        known = pages_options(
            f"{rows}", f"{columns}", f"{paging.overlap[0]}mm x {paging.overlap[1]}mm"
        )
        put = put_together([parse(file) for file in files], known)
    times.append(time.process_time())
    joined = join_lines(parse(put.drawing), JoinOptions()).drawing or put.drawing
    times.append(time.process_time())
    read = propose(parse(joined))
    times.append(time.process_time())
    seconds = (times[1] - times[0], times[2] - times[1], times[3] - times[2])
    outlines = [piece.shape.polygon for piece in read.pieces]
    shift, warned = shift_of(sheet, outlines), bool(put.warnings)
    return Walked(joined, read, len(sheets), shift, seconds, asked, warned)


def shift_of(sheet: PatternSheet, found: Sequence[shapely.Polygon]) -> tuple[float, float]:
    """Return how far a sheet has moved, by what most of its outlines say whose boxes are alike."""
    leaves = read_leaves(sheet.drawing.document(), tolerance_mm=0.01)
    rings = [ring.points for leaf in leaves for ring in leaf.rings if ring.closed]
    true = np.array([shapely.Polygon(points).bounds for points in rings])
    put = np.array([polygon.bounds for polygon in found]).reshape(-1, 4)
    apart = put[None, :, :] - true[:, None, :]
    same = np.abs(apart[..., 2:] - apart[..., :2]).max(axis=2) <= ALIKE
    votes = apart[same][:, :2]
    if not len(votes):
        return 0.0, 0.0
    near = np.abs(votes[:, None, :] - votes[None, :, :]).max(axis=2) <= ALIKE
    x, y = np.median(votes[near[int(near.sum(axis=1).argmax())]], axis=0).tolist()
    return x, y
