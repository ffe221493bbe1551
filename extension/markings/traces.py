# SPDX-License-Identifier: GPL-2.0-or-later
"""What stands in the way of reading a sheet: letters without text, open lines, nests unnamed."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping, Sequence

from shapely.geometry import Polygon

from extension.language.words import listed
from extension.markings.arrows import arrow_of
from extension.markings.associating import Sheet
from extension.markings.broken import about_unclosed
from extension.pieces.containment import outline_fault
from extension.pieces.objects import called, given_name
from extension.pieces.outlines import OutlineFault, is_same
from extension.pieces.structure import has_mark_role
from extension.svg.identities import described
from extension.svg.model import Leaf
from extension.svg.seen import measures_of, quoted
from nesting.judge.verdict import capital
from nesting.model import Point

LETTER = (0.8, 40.0)
"""mm from the smallest to the largest letter on a pattern."""
LEAST_LETTERS = 4
ROUND = 0.88
"""Compactness from which a small shape is a drill hole or button, and no letter."""
MOST_CROSSING = 8
"""Outlines that cross themselves and are named one by one."""
MANY_STRAYS = 20
"""Open lines on no piece from which on they are likely outlines in pieces."""


def sheet_questions(
    sheet: Sheet,
    leaves: Sequence[Leaf],
    pieces: Collection[int],
    letters: Mapping[tuple[int, ...], Sequence[Leaf]],
) -> list[str]:
    """Return what to say of a sheet as a whole; `pieces` are the outlines that were read.

    `letters` are those that are drawn, as `drawn_letters` tells them.
    """
    return [
        *_nothing_closed(sheet, leaves),
        *about_unclosed(sheet.unclosed),
        *_strays(sheet),
        *_between(sheet),
        *_nested(sheet, pieces),
        *_unmarked(sheet, pieces, {leaf for found in letters.values() for leaf in found}),
        *_about_letters(sheet, letters),
    ]


def _open_lines(sheet: Sheet) -> list[Leaf]:
    return [
        leaf
        for place, leaf in enumerate(sheet.leaves)
        if leaf.rings
        and place not in sheet.owners
        and not any(ring.closed for ring in leaf.rings)
        and not has_mark_role(leaf)
    ]


def _nothing_closed(sheet: Sheet, leaves: Sequence[Leaf]) -> Iterator[str]:
    """Say when there is no outline at all."""
    if sheet.candidates:
        return
    if not leaves:
        yield "The drawing is empty: there is nothing to read."
    else:
        yield (
            "There is no closed outline in the drawing, so there is no piece to read: draw the "
            "outlines, or close them with Join Broken Lines."
        )


def _strays(sheet: Sheet) -> Iterator[str]:
    count = len(_open_lines(sheet))
    if count >= MANY_STRAYS:
        yield (
            f"{count:,} open lines lie on no piece: if they are outlines in pieces, as a PDF may "
            "give them, close them with Join Broken Lines first."
        )


def _between(sheet: Sheet) -> Iterator[str]:
    for block, one, other in sheet.between:
        names = " or ".join(_seen(sheet, index) for index in (one, other))
        yield f"The text “{block.plain}” stands between two pieces: is it of {names}?"


def nested(sheet: Sheet) -> dict[int, list[str]]:
    """Return what to ask about outlines within others that are neither sizes nor lines of them.

    By the index of the outermost one, which the sentences call “it”. What lies exactly on another
    is most likely there twice, or hundreds of times.
    """
    shapes, standings = sheet.structure.shapes, sheet.structure.standings
    first: dict[int, int] = {}
    copies: dict[int, list[int]] = {}
    inside: dict[int, list[int]] = {}
    for index in sheet.candidates:
        owner = standings[index].owner
        if standings[index].kind != "unexplained" or owner is None:
            continue
        if is_same(shapes[index], shapes[owner]):
            first[index] = first.get(owner, owner)
            copies.setdefault(first[index], []).append(index)
        else:
            inside.setdefault(_outermost(sheet, owner), []).append(index)
    asked = {outer: [_about_inside(sheet, found)] for outer, found in inside.items()}
    for index, alike in copies.items():
        outer = _outermost(sheet, index)
        names = listed([shapes[one].leaf.id for one in alike], 2)
        asked.setdefault(outer, []).append(
            f"{'It' if index == outer else capital(_seen(sheet, index))} is there "
            f"{len(alike) + 1:,} times, exactly on itself "
            f"({names}): delete what is there more than once, or say what it is (lay:name for a "
            "piece of its own, lay:role=“stitching” or “mark” for a line)."
        )
    return asked


def _outermost(sheet: Sheet, index: int) -> int:
    """Return the outline that an unexplained one lies in, which lies in no other."""
    standing = sheet.structure.standings[index]
    while standing.kind == "unexplained" and standing.owner is not None:
        index = standing.owner
        standing = sheet.structure.standings[index]
    return index


def _about_inside(sheet: Sheet, found: Sequence[int]) -> str:
    if len(found) == 1:
        return (
            f"{capital(_seen(sheet, found[0]))} lies inside it: is that another size, a piece of "
            "its own, or a line on it? Name the layers by size, or give it lay:size, lay:name or "
            "lay:role=“mark”."
        )
    return (
        f"{len(found):,} outlines lie inside it: are they other sizes, pieces of their own, or "
        "lines on it? Name the layers by size, or give them lay:size, lay:name or "
        "lay:role=“mark”."
    )


def _nested(sheet: Sheet, pieces: Collection[int]) -> Iterator[str]:
    """Ask about outlines within those that were not read as pieces."""
    for index, sentences in nested(sheet).items():
        if index not in pieces:
            what = _seen(sheet, index)
            yield from (f"{capital(what)}: {sentence}" for sentence in sentences)


def _seen(sheet: Sheet, index: int) -> str:
    """Return an outline as she sees it: by the words that stand on it alone, else by the rest."""
    family, shape = sheet.family.get(index), sheet.shape(index)
    blocks = sheet.texts.get(family, ()) if family is not None else ()
    kin = [sheet.shape(other) for other, known in sheet.family.items() if known == family]
    if blocks and all(is_same(other, shape) for other in kin) and not given_name(shape.leaf):
        words = f"the outline with the words {quoted(blocks[0].plain)}"
        return described(shape.leaf.id, "", words)
    return called(shape.leaf)


def _unmarked(sheet: Sheet, pieces: Collection[int], letters: Collection[Leaf]) -> Iterator[str]:
    """Name the outlines that nothing says are pieces; of `letters` something is said already."""
    faults = _faults(sheet, pieces, letters)
    # An arrow or words in one that crosses itself lie in no piece: that is why it is none.
    crossing = [fault for fault in faults.values() if fault is not None and fault.place]
    left = [sheet.shape(index).leaf for index, fault in faults.items() if fault not in crossing]
    small = [leaf for leaf in left if _shapes_of_letters(leaf)]
    alike = small if len(small) > 1 else []
    names = [_found_by(leaf) for leaf in left if leaf not in alike]
    yield from (f"{fault} It is no piece as it is." for fault in crossing[:MOST_CROSSING])
    more = len(crossing) - MOST_CROSSING
    if more > 0:
        do = "outline crosses itself" if more == 1 else "outlines cross themselves"
        yield f"{more:,} more {do}."
    if names:
        yield (
            f"Not read as pieces, for want of a label, a grainline or a fold: {listed(names, 8)}. "
            "Give them a name or a count if they are."
        )
    if alike:
        yield (
            f"{len(alike):,} small filled shapes, such as letters and signs are, were not read as "
            f"pieces, the first of them {_found_by(alike[0])}."
        )


def _faults(
    sheet: Sheet, pieces: Collection[int], letters: Collection[Leaf]
) -> dict[int, OutlineFault | None]:
    """Return the outlines that nothing says are pieces, with what is wrong with each."""
    return {
        index: outline_fault(sheet.shape(index))
        for index in sheet.candidates
        if index not in pieces
        and sheet.structure.standings[index].kind == "piece"
        and sheet.shape(index).leaf not in letters
    }


def crossed(
    sheet: Sheet, pieces: Collection[int], letters: Mapping[tuple[int, ...], Sequence[Leaf]]
) -> Iterator[Point]:
    """Yield where outlines that are no pieces cross themselves, page mm."""
    drawn = {leaf for found in letters.values() for leaf in found}
    for fault in _faults(sheet, pieces, drawn).values():
        if fault is not None and fault.place is not None:
            yield fault.place


def _found_by(leaf: Leaf) -> str:
    """Return an outline with how wide and high it is drawn, by which it is found."""
    what, measures = called(leaf), measures_of(leaf.box)
    return what if measures in what else f"{what} of {measures}"


def drawn_letters(sheet: Sheet) -> dict[tuple[int, ...], list[Leaf]]:
    """Return the shapes that look like letters, by the outlines on which they lie; -1 for none."""
    where: dict[int, list[Leaf]] = {}
    owners: dict[int, set[int]] = {}
    for place, leaf in enumerate(sheet.leaves):
        if _shapes_of_letters(leaf):
            first, *more = sheet.owners.get(place, (-1,))
            where.setdefault(first, []).append(leaf)
            owners.setdefault(first, set()).update(more)
    return {
        (first, *sorted(owners[first] - {first})): found
        for first, found in sorted(where.items())
        if looks_like_letters(found)
    }


def _about_letters(
    sheet: Sheet, letters: Mapping[tuple[int, ...], Sequence[Leaf]]
) -> Iterator[str]:
    """Say where text was converted to outlines, which cannot be read."""
    for owners, leaves in letters.items():
        on = f" on {called(sheet.shape(owners[0]).leaf)}" if owners[0] >= 0 else ""
        yield (
            f"The letters{on}, {len(leaves):,} shapes beginning with {called(leaves[0])}, are "
            "drawn as outlines and cannot be read: type the details, or use a file with real text."
        )


def looks_like_letters(leaves: Sequence[Leaf]) -> bool:
    """Return whether small filled shapes stand in a row as letters do."""
    shapes = [box for leaf in leaves for box in _shapes_of_letters(leaf)]
    in_row = 0
    for index, (x, y, size) in enumerate(shapes):
        in_row += any(
            other != index and abs(v - y) <= 0.8 * max(size, s) and abs(u - x) <= 1.6 * max(size, s)
            for other, (u, v, s) in enumerate(shapes)
        )
        if in_row >= LEAST_LETTERS:  # a sheet may have thousands of them
            return True
    return False


def _shapes_of_letters(leaf: Leaf) -> list[tuple[float, float, float]]:
    """Return middle and size of the small filled shapes of a leaf that may be letters."""
    if leaf.style.get("fill", "black") in ("none", "#ffffff", "white"):
        return []
    found = []
    for ring in leaf.rings:
        if not ring.closed or len(ring.points) < 4:
            continue
        xs, ys = [p[0] for p in ring.points], [p[1] for p in ring.points]
        size = max(max(xs) - min(xs), max(ys) - min(ys))
        if not LETTER[0] <= size <= LETTER[1] or _is_round(ring.points):
            continue
        found.append(((max(xs) + min(xs)) / 2.0, (max(ys) + min(ys)) / 2.0, size))
    if len(leaf.rings) == 1 and found and (arrow := arrow_of(leaf)) is not None and arrow.filled:
        return []
    return found


def _is_round(points: Sequence[tuple[float, float]]) -> bool:
    polygon = Polygon(points)
    return bool(4.0 * math.pi * polygon.area >= ROUND * polygon.length**2)
