# SPDX-License-Identifier: GPL-2.0-or-later
"""Where the borders of a cloth lie on the table in a section of it, and in which layer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from nesting.model import Band, Section, Sides

Layer = Literal["", "lower", "upper", "both"]
HAIR = 1e-6
"""mm within which borders of two layers lie over each other."""


@dataclass(frozen=True, slots=True)
class LyingBand:
    """A border, y as the table has it; `layer` is "" where all of its cloth lies single."""

    band: Band
    layer: Layer


def bands_lying(
    bands: Sequence[Band], section: Section, width: float, sides: Sides
) -> list[LyingBand]:
    """Return the borders that are seen on a section whose depths are known, mm.

    What lies on the lower layer, below an upper one, is seen as if through it. Where both layers
    have the same border it is one.
    """
    if sides == "apart" and not section.is_open:
        bands = [_over(band, width) for band in bands]
    found: list[LyingBand] = []
    for one in _every(bands, section, width):
        alike = [other for other in found if _are_alike(one.band, other.band)]
        if alike:
            found[found.index(alike[0])] = replace(alike[0], layer="both")
        else:
            found.append(one)
    return found


def _every(bands: Sequence[Band], section: Section, width: float) -> Iterator[LyingBand]:
    """Yield what is seen of each border, layer by layer."""
    if section.crosswise:
        for band in bands:
            yield LyingBand(band, "lower")
            yield LyingBand(_over(band, width) if section.turned else band, "upper")
        return
    lower, upper = section.lower or 0.0, section.upper or 0.0
    inner, outer, fold = 2.0 * lower, width - 2.0 * upper, width - upper
    for band in bands:
        seen = _within(band, lower, fold)
        if seen is not None:
            middle = (seen.line + seen.to) / 2.0
            yield LyingBand(seen, "" if inner <= middle <= outer else "lower")
        for low, high, over in ((0.0, lower, lower), (fold, width, fold)):
            seen = _within(band, low, high)
            if seen is not None:
                yield LyingBand(_over(seen, 2.0 * over), "upper")


def _within(band: Band, low: float, high: float) -> Band | None:
    """Return what of a border lies from `low` to `high`, None when nothing does."""
    line, to = (min(max(end, low), high) for end in (band.line, band.to))
    return replace(band, line=line, to=to) if abs(line - to) > HAIR else None


def _over(band: Band, twice: float) -> Band:
    """Return a border turned over about y = twice / 2."""
    return replace(band, line=twice - band.line, to=twice - band.to)


def _are_alike(one: Band, other: Band) -> bool:
    """Return whether two borders lie over each other."""
    return max(abs(one.line - other.line), abs(one.to - other.to)) <= HAIR
