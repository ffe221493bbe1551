# SPDX-License-Identifier: GPL-2.0-or-later
"""Texts that an importer made one of what stands far apart on a page, as the pieces they were.

Inkscape 1.2.2 puts words of one font that follow each other in a PDF into one text, however far
apart they stand (seen).
"""

from __future__ import annotations

import copy
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import shapely
from lxml import etree

from extension.pages.groups import groups_of
from extension.svg.identities import kind_of
from extension.svg.model import Leaf
from extension.svg.styles import font_size, inherit, parse_declarations
from extension.svg.texts import LEAP, leaps
from extension.svg.transforms import apply

NEAR = 1.5
"""Font sizes within which runs of letters are of one text."""
ADVANCE, ASCENT, DESCENT = 0.6, 0.8, 0.25
"""How wide a letter is, how high and how deep it reaches, in font sizes, as `svg.texts` has it."""


def parted(leaf: Leaf, *, by_rows: bool = False) -> list[Leaf]:
    """Return a text as one for each group of its runs that stand near each other.

    `by_rows`: as one for each run.
    """
    leaf = _with_short_runs(leaf)
    runs = list(leaf.element.iterchildren(etree.Element))
    boxes = [_box(leaf, run) for run in runs]
    known = [box for box in boxes if box is not None]
    if len(runs) < 2 or len(known) < len(runs) or (leaf.element.text or "").strip():
        return [leaf]
    shapes = np.array([shapely.Polygon(box) for box in known])
    size = min(np.hypot(*np.subtract(box[1], box[2])) for box in known) / (ASCENT + DESCENT)
    one, two = shapely.STRtree(shapes).query(shapes, "dwithin", NEAR * size)
    count, group = groups_of(one, two, len(runs))
    if by_rows:
        count, group = len(runs), np.arange(len(runs))
    if count < 2:
        return [leaf]
    return [_part(leaf, np.flatnonzero(group == number).tolist(), known) for number in range(count)]


def _with_short_runs(leaf: Leaf) -> Leaf:
    """Return a text with runs that jump from one place to another cut in two there."""
    element = copy.deepcopy(leaf.element)
    for run in list(element.iterchildren(etree.Element)):
        xs, letters = numbers_of(run.get("x", "")), run.text or ""
        if len(run) or kind_of(run) != "tspan" or len(xs) not in (1, len(letters)) or not xs:
            continue
        shifts = numbers_of(run.get("dx", ""))
        places = _places(xs, letters, shifts, size_of(leaf, run))
        starts = [*places, len(letters)]
        for start, end in reversed(list(pairwise(starts))[1:]):
            part = copy.copy(run)
            part.text, part.tail = letters[start:end], None
            part.set("x", places[start])
            if shifts:
                part.set("dx", " ".join(["0", *map(str, shifts[start + 1 : end])]))
            part.attrib.pop("id", "")
            run.addnext(part)
        if len(places) > 1:
            run.text = letters[: starts[1]]
            run.set("x", places[0])
            if shifts:
                run.set("dx", " ".join(map(str, shifts[: starts[1]])))
    return replace(leaf, element=element)


def _places(
    xs: Sequence[float], letters: str, shifts: Sequence[float], size: float
) -> dict[int, str]:
    """Return the letters with which parts of a run begin, with what says where these stand."""
    if len(xs) < len(letters):
        begun = {0: xs[0], **{at: xs[0] + along for at, along in leaps(letters, shifts, size)}}
        return {at: f"{x:.6g}" for at, x in begun.items()}
    steps = np.diff(xs)
    starts = [0, *(np.flatnonzero((steps > LEAP * size) | (steps < 0.0)) + 1).tolist()]
    return {start: " ".join(map(str, xs[start:end])) for start, end in pairwise([*starts, len(xs)])}


def size_of(leaf: Leaf, run: etree._Element) -> float:
    """Return the size of the letters of a run, or of the text itself, in the text's own units.

    Inkscape 1.4 says it of each run alone when it opens a PDF (seen).
    """
    if run is leaf.element or kind_of(run) != "tspan":
        return font_size(leaf.style)
    said = {"font-size": run.get("font-size", "inherit")}
    for declared in parse_declarations(run.get("style", "")):
        said |= {name: value for name, value in declared.items() if name == "font-size"}
    return font_size(inherit(said, leaf.style))


def numbers_of(words: str) -> list[float]:
    """Return a list of positions, none when one of them is no plain number."""
    try:
        return [float(word) for word in words.replace(",", " ").split()]
    except ValueError:
        return []


def _part(leaf: Leaf, kept: Sequence[int], boxes: Sequence[Sequence[tuple[float, float]]]) -> Leaf:
    """Return a text with some of its runs alone."""
    element = copy.deepcopy(leaf.element)
    for number, run in enumerate(list(element.iterchildren(etree.Element))):
        if number not in kept:
            element.remove(run)
    # The editor puts the first line of a text of several where the text says, not where it does.
    first = next(element.iterchildren(etree.Element))
    for axis in "xy":
        if element.get(axis) is not None:
            element.set(axis, first.get(axis, ""))
    lines = [" ".join("".join(map(str, run.itertext())).split()) for run in element]
    lines = [line for line in lines if line]
    corners = np.array([corner for number in kept for corner in boxes[number]])
    (low_x, low_y), (high_x, high_y) = corners.min(axis=0).tolist(), corners.max(axis=0).tolist()
    box = (low_x, low_y, high_x, high_y)
    return replace(leaf, element=element, text="\n".join(lines), box=box)


def _box(leaf: Leaf, run: etree._Element) -> list[tuple[float, float]] | None:
    """Return the corners of a run on the page; None when it does not say where it stands."""
    xs, ys = numbers_of(run.get("x", "")), numbers_of(run.get("y", ""))
    if kind_of(run) != "tspan" or not xs or not ys or (run.tail or "").strip():
        return None
    size, letters = size_of(leaf, run), "".join(map(str, run.itertext()))
    rest = len(letters) - len(xs) + 1
    high_x, y = max(xs) + ADVANCE * size * max(rest, 1), ys[0]
    low, high = y - ASCENT * size, y + DESCENT * size
    return [
        apply(leaf.matrix, at)
        for at in ((xs[0], low), (high_x, low), (high_x, high), (xs[0], high))
    ]
