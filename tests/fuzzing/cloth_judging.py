# SPDX-License-Identifier: GPL-2.0-or-later
"""What must hold of parts on cloth with flaws or a border, read off the drawing alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import shapely
from lxml import etree

from tests.fuzzing.reading import LAY, Part

XLINK = "{http://www.w3.org/1999/xlink}href"
DEEP = 0.12
"""mm: a part lies over a flaw, for this reader's chords, when a disc of it fits in both."""
EXACT = 0.06
"""mm by which an edge may miss the line of a border."""


def on_its_cloth(
    root: etree._Element, parts: Iterable[Part], report: Mapping[str, Any]
) -> Iterator[str]:
    """Yield parts over a flaw without leave, and parts that miss the border they ask for."""
    options, width = report["options"], float(report["width"])
    parts = list(parts)
    for flaw in options.get("flaws", ()):
        # Lengths across are told from the lower selvedge, which is drawn below.
        place = shapely.Polygon([(x, width - y) for x, y in flaw])
        for part in parts:
            common = part.shape.intersection(place)
            if not common.buffer(-DEEP / 2).is_empty and _says(root, part.of, "hidden") is False:
                yield "a part lies over a flaw"
    border = str(options.get("border", "") or "")
    if border:
        where, _, strip = border.partition(" ")
        begins = _mm(strip.split(",")[0])
        for part in parts:
            if not _says(root, part.of, "border"):
                continue
            _, low, _, high = part.shape.bounds
            missed = {"lower": abs(width - begins - high), "upper": abs(low - begins)}
            missed["both"] = min(missed.values())
            if missed[where] > EXACT:
                yield f"a part misses the border by {missed[where]:.3f} mm"


def _says(root: etree._Element, source: str, name: str) -> bool | None:
    """Return whether a source, what it lies in, or what it shows says something of an attribute.

    None for a clone that the drawing gives no id: which one is meant is not told.
    """
    by_id = {one.get("id"): one for one in root.iter(etree.Element)}
    if source not in by_id:
        return None
    seen: set[str] = set()
    while source in by_id and source not in seen:
        seen.add(source)
        found = by_id[source]
        if any(one.get(f"{LAY}{name}") for one in [found, *found.iterancestors(), *found]):
            return True
        source = (found.get(XLINK) or found.get("href") or "").removeprefix("#")
    return False


def _mm(text: str) -> float:
    """Return a length as it is stored."""
    text = text.strip()
    for unit, size in (("mm", 1.0), ("cm", 10.0), ("in", 25.4)):
        if text.endswith(unit):
            return float(text.removesuffix(unit)) * size
    raise ValueError(f"{text} is no length")
