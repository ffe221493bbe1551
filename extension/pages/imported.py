# SPDX-License-Identifier: GPL-2.0-or-later
"""Which page of a PDF each thing came in with, where what is on all pages shares its layers.

The editor gives what it makes of a PDF numbers as ids, page after page: `page173`, then `path174`
and so on until `page256` (seen in Inkscape 1.2.2 and 1.4). The newer one makes a layer of each
optional content group, on which things of all pages lie, and what reaches beyond its page lies on
its neighbours as well. Of a clip round such a group it hands over that of the first page alone.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections import Counter
from collections.abc import Sequence
from itertools import pairwise
from operator import itemgetter

import numpy as np

from extension.pages.clips import Regions
from extension.pages.model import Box, meets
from extension.svg.model import Leaf

SAME_CLIP = 0.01
"""mm by which the clips of one page may differ."""


def came_with(
    pages: Sequence[tuple[str, Box]], leaves: Sequence[Leaf], regions: Regions
) -> dict[Leaf, int]:
    """Return the pages that leaves came with, by the numbers of ids; none where they tell nothing.

    `pages` are the ids of the editor's pages and their boxes, mm. What does not show on the page
    that its number tells, and has no like on another one, may have been drawn since.
    """
    begins = [_number(name) for name, _ in pages]
    if len(pages) < 2 or any(one >= two for one, two in pairwise(begins)) or begins[0] < 0:
        return {}
    told: dict[Leaf, int] = {}
    unclear: list[tuple[Leaf, int]] = []
    likes: dict[str, Counter[int]] = {}
    for leaf in leaves:
        number = _number(leaf.id)
        page = bisect_right(begins, number) - 1
        if page > 0 and number == begins[page]:
            unclear.append((leaf, page))
        elif page >= 0:
            told[leaf] = page
            likes.setdefault(_drawn(leaf), Counter())[page] += 1
    # A page has the number of what was made just before it, and what comes next may have it, too:
    # so it is on the one of the two that lacks what the others have.
    for leaf, page in sorted(unclear, key=itemgetter(1)):
        known = likes.setdefault(_drawn(leaf), Counter())
        told[leaf] = page if known[page] < known[page - 1] else page - 1
        known[told[leaf]] += 1
    return {
        leaf: page
        for leaf, page in told.items()
        if len(+likes[_drawn(leaf)]) > 1 or leaf.hidden or _shows(leaf, pages[page][1], regions)
    }


def _number(name: str) -> int:
    """Return the number of an id that the editor made, -1 for any other."""
    found = re.fullmatch(r"[A-Za-z]+(\d+)", name)
    return int(found[1]) if found else -1


def _drawn(leaf: Leaf) -> str:
    """Return what a leaf is like, wherever it lies."""
    return leaf.element.get("d") or leaf.text or leaf.id


def _shows(leaf: Leaf, frame: Box, regions: Regions) -> bool:
    return meets(regions.of(leaf.clips).within(leaf.box).box, frame)


def windows_lost(
    pages: Sequence[Box], held: Sequence[Sequence[Leaf]], regions: Regions
) -> dict[Leaf, Box]:
    """Return what the clip of the first page would leave of what has none on all the others, mm.

    `held` are the leaves of each page on layers of several pages. Nothing is told unless one
    rectangle clips all that the first page has on a layer, and nothing on the other pages.
    """
    if not held or any(leaf.clips for own in held[1:] for leaf in own):
        return {}
    clipped = [leaf for leaf in held[0] if leaf.clips]
    found = [regions.of(leaf.clips) for leaf in clipped]
    boxes = np.array([region.box for region in found]).reshape(-1, 4)
    if not clipped or any(region.shape is not None for region in found):
        return {}
    if not np.isfinite(boxes).all() or np.ptp(boxes, axis=0).max() > SAME_CLIP:
        return {}
    open_layers = {_layer(leaf) for leaf in held[0] if not leaf.clips}
    windows: dict[Leaf, Box] = {}
    for page, own in zip(pages[1:], held[1:], strict=True):
        x, y = page[0] - pages[0][0], page[1] - pages[0][1]
        left, top, right, bottom = boxes[0].tolist()
        window = (left + x, top + y, right + x, bottom + y)
        windows |= {leaf: window for leaf in own if _layer(leaf) not in open_layers}
    return windows


def _layer(leaf: Leaf) -> str:
    return leaf.groups[0].id if leaf.groups else ""
