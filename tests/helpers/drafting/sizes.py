# SPDX-License-Identifier: GPL-2.0-or-later
"""Ottervane No. 9, a child's rain jacket in three sizes, one line style each, drawn in dashes.

The pieces are those of the lined jacket, the two larger sizes `STEP` mm outside one another; a
real grading would differ from edge to edge. The styles are drawn dash by dash, as many programs
write them into a PDF. A fold edge is common to all sizes and drawn once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import numpy as np
from lxml import etree
from numpy.typing import NDArray
from shapely.geometry import Polygon

from tests.helpers.chopping import dashed
from tests.helpers.drafting import jacket
from tests.helpers.drafting.curves import line, ring
from tests.helpers.drafting.draft import Draft, Label
from tests.helpers.drafting.place import rows, settled
from tests.helpers.drafting.sheet import FOLD, INK, Page, Sheet

Points = NDArray[np.float64]

STEP = 6.0
"""mm from one size to the next, on every edge but a fold."""
STYLES: dict[str, tuple[float, ...]] = {
    "110": (12.0, 3.0),
    "116": (7.0, 2.0, 1.0, 2.0),
    "122": (2.5, 2.0),
}
"""Dash, gap, dash, gap ... in mm of each size, the smallest first."""
FOLD_STYLE = (10.0, 2.0, 2.0, 2.0)
SCATTERED = ("back-belt", "pocket", "pocket-flap", "top-collar", "under-collar", "neck-facing")
"""Pieces of which every dash is an object of its own; of the others a size is one object."""


@cache
def drafts() -> tuple[Draft, ...]:
    """The pieces of the smallest size, in the order of their numbers, labelled for all sizes."""
    found = []
    for number, draft in enumerate(jacket.drafts(), start=1):
        cut = draft.words[1]
        words = (draft.name, cut, f"No. 9 · 110 to 122 · {number} of 15")
        found.append(replace(draft, words=words))
    return tuple(found)


def outline(draft: Draft, size: str) -> Points:
    """Return the outline of a piece in a size, (N, 2) mm, in the frame of its draft."""
    base = Polygon([(point.real, point.imag) for point in ring(draft.cutting)])
    grown = STEP * list(STYLES).index(size)
    shape = base.buffer(grown, join_style="mitre", mitre_limit=5.0) if grown else base
    if draft.fold_line is not None:
        shape = shape.intersection(_beside_fold(*draft.fold_line))
    points: Points = np.asarray(shape.exterior.coords[:-1], dtype=float)
    return points


def fold_edge(draft: Draft) -> Points | None:
    """Return the two ends of the common fold edge: as long as that of the largest size."""
    if draft.fold_line is None:
        return None
    largest = outline(draft, list(STYLES)[-1])
    on_fold = largest[_distance_to_fold(draft, largest) < 1e-6]
    order = np.lexsort(on_fold.T)
    ends: Points = on_fold[[order[0], order[-1]]]
    return ends


def strokes(draft: Draft, size: str) -> list[Points]:
    """Return the dashes of a piece in a size, without those of its fold edge."""
    points = outline(draft, size)
    if draft.fold_line is None:
        return dashed(points, STYLES[size])
    on_fold = _distance_to_fold(draft, points) < 1e-6
    # The ring is turned so that it begins where it leaves the fold.
    first = next(i for i in range(len(points)) if on_fold[i] and not on_fold[(i + 1) % len(points)])
    turned, kept = np.roll(points, -first, axis=0), np.roll(on_fold, -first)
    last = 1 + int(np.flatnonzero(kept[1:])[0])
    return dashed(turned[: last + 1], STYLES[size], closed=False)


def sheet() -> Sheet:
    """The rain jacket on one sheet, in the order of the lined jacket."""
    page = Sheet(Page(1250, 1380), "Ottervane No. 9 · Rain jacket", "Sizes 110, 116 and 122")
    heading = page.layer("Sheet heading")
    page.heading(
        heading, 40 + 60j, 26,
        (
            "No. 9 · Rain jacket, sizes 110, 116, 122",
            "Ottervane, an invented label. Seam allowance 1 cm is included.",
        ),
    )  # fmt: skip
    _legend(page, heading, 900 + 40j)
    layer = page.layer("Pieces")
    for draft, at in placed():
        _draw(page, layer, draft, at)
    return page


def placed() -> tuple[tuple[Draft, complex], ...]:
    """Return each piece with the place of its origin on the sheet, mm."""
    one = {draft.id: draft for draft in drafts()}
    table = [[one[name] for name in row] for row in jacket.ROWS]
    return rows(table, 50 + 150j, 26.0 + 4.0 * STEP)


def _draw(page: Sheet, layer: etree._Element, draft: Draft, at: complex) -> None:
    group = page.add(layer, "g", id=draft.id, transform=f"translate({page.point(at)})")
    for size in STYLES:
        parts = strokes(draft, size)
        each = [[part] for part in parts] if draft.id in SCATTERED else [parts]
        for number, some in enumerate(each, start=1):
            _path(page, group, f"{draft.id}-{size}-{number}", some, INK, 0.7)
    edge = fold_edge(draft)
    if edge is not None:
        parts = dashed(edge, FOLD_STYLE, closed=False)
        _path(page, group, f"{draft.id}-fold", parts, FOLD, 1.2)
        bracket = tuple(
            line("bracket", a, b) for a, b in zip(draft.bracket, draft.bracket[1:], strict=False)
        )
        drawn = page.stroke(group, f"{draft.id}-bracket", bracket, 0.8, colour=FOLD)
        heads = "marker-start:url(#fold-head);marker-end:url(#fold-head)"
        drawn.set("style", f"{drawn.get('style')};{heads}")
    for number, (outer, inner) in enumerate(draft.notch_lines(), start=1):
        page.stroke(group, f"{draft.id}-notch-{number}", (line("notch", outer, inner),), 0.7)
    if draft.grain is not None:
        page.grainline(group, f"{draft.id}-grain", *draft.grain)
    page.text(group, f"{draft.id}-label", settled(draft))


def _path(
    page: Sheet,
    parent: etree._Element,
    name: str,
    parts: Sequence[Points],
    colour: str,
    width: float,
) -> None:
    """Add lines as one path."""
    words = []
    for part in parts:
        pairs = [page.point(complex(x, y)) for x, y in part]
        words.append(f"M {' L '.join(pairs)}")
    style = f"fill:none;stroke:{colour};stroke-width:{page.number(width)};stroke-linecap:butt"
    page.add(parent, "path", id=name, d=" ".join(words), style=style)


def _legend(page: Sheet, parent: etree._Element, at: complex) -> None:
    """Add a sample of each line style with its size."""
    for number, (size, pattern) in enumerate(STYLES.items()):
        y = at.imag + 22.0 * number
        sample = np.array([[at.real, y], [at.real + 90.0, y]])
        _path(page, parent, f"style-{size}", dashed(sample, pattern, closed=False), INK, 0.7)
        label = Label(complex(at.real + 100.0, y), (f"Size {size}",), 12.0)
        page.text(parent, f"style-{size}-label", label, anchor="start")


def _distance_to_fold(draft: Draft, points: Points) -> Points:
    assert draft.fold_line is not None
    (start, end) = draft.fold_line
    along = (end - start) / abs(end - start)
    offset = (points[:, 0] - start.real) + 1j * (points[:, 1] - start.imag)
    distance: Points = np.abs((offset * along.conjugate()).imag)
    return distance


def _beside_fold(start: complex, end: complex) -> Polygon:
    """Return the side of the fold that the piece lies on, as a large rectangle."""
    along = (end - start) / abs(end - start)
    far = 5000.0 * along
    corners = (start - far, end + far, end + far + far * 1j, start - far + far * 1j)
    return Polygon([(corner.real, corner.imag) for corner in corners])
