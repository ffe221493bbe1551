# SPDX-License-Identifier: GPL-2.0-or-later
"""A drafted pattern piece: its seam line, cutting line and everything drawn on it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise

from tests.helpers.drafting.allowance import cutting_line
from tests.helpers.drafting.curves import (
    Chain,
    length,
    named,
    outward,
    position,
    sampled,
    spot_on,
)

NOTCH_LENGTH = 7.0
"""mm that a notch reaches into the piece."""


@dataclass(frozen=True, slots=True)
class Notch:
    """A matching mark `at` mm along the edges of that name; `double` for the back, by custom."""

    edge: str
    at: float
    double: bool = False


@dataclass(frozen=True, slots=True)
class Label:
    """A text centred on a point. `size` is the height of the first line in mm."""

    at: complex
    lines: tuple[str, ...]
    size: float


@dataclass(frozen=True, eq=False)
class Draft:
    """One piece. All points mm, y down, in the piece's own frame.

    `seam` is the stitching line, clockwise; `allowance` mm by edge name, `usual` for the rest.
    `words` are the lines of the label, `text_size` mm its largest size.
    `grain` runs from foot to top. `fold` is the name of the edge that lies on the fold. `darts`
    and `lines` are open lines drawn inside; `drills` are the centres of small circles.
    """

    id: str
    name: str
    cut: str
    seam: Chain
    words: tuple[str, ...]
    text_size: float = 16.0
    grain: tuple[complex, complex] | None = None
    fold: str | None = None
    usual: float = 0.0
    allowance: Mapping[str, float] = field(default_factory=dict)
    notches: tuple[Notch, ...] = ()
    darts: tuple[tuple[complex, complex, complex], ...] = ()
    lines: tuple[Chain, ...] = ()
    drills: tuple[complex, ...] = ()
    more: Mapping[str, str] = field(default_factory=dict)
    """Further attributes of the piece by name without prefix."""
    match: Mapping[str, str] = field(default_factory=dict)
    """`lay:match` of marks, by what their ids have behind that of the piece: `notch-1`, `fold`."""

    @cached_property
    def cutting(self) -> Chain:
        """The outline that is cut."""
        widths = dict(self.allowance)
        if self.fold is not None:
            widths[self.fold] = 0.0
        if self.usual == 0.0 and not any(widths.values()):
            return self.seam
        return cutting_line(self.seam, widths, self.usual)

    @property
    def has_allowance(self) -> bool:
        """Whether the cutting line lies outside the stitching line."""
        return self.cutting is not self.seam

    @cached_property
    def fold_line(self) -> tuple[complex, complex] | None:
        """The two ends of the fold on the cutting line."""
        if self.fold is None:
            return None
        edges = named(self.cutting, self.fold)
        return edges[0].start, edges[-1].end

    @property
    def bracket(self) -> tuple[complex, ...]:
        """The bent line whose two heads point to the fold; empty without a fold."""
        if self.fold_line is None:
            return ()
        start, end = self.fold_line
        inward = (end - start) / abs(end - start) * 1j
        depth = min(16.0, abs(end - start) / 6.0)
        near, far = start + (end - start) * 0.12, end - (end - start) * 0.12
        return (near + inward, near + depth * inward, far + depth * inward, far + inward)

    def seam_length(self, edge: str) -> float:
        """Return the stitched length in mm of the edges of that name."""
        return length(named(self.seam, edge))

    def notch_lines(self) -> tuple[tuple[complex, complex], ...]:
        """Return each notch as a short line from the cutting line inwards."""
        lines: list[tuple[complex, complex]] = []
        for notch in self.notches:
            for at in (notch.at - 3.0, notch.at + 3.0) if notch.double else (notch.at,):
                lines.append(self._notch_line(notch.edge, at))
        return tuple(lines)

    def _notch_line(self, name: str, at: float) -> tuple[complex, complex]:
        edge, share = spot_on(named(self.seam, name), at)
        out = outward(edge, share)
        width = self.allowance.get(name, self.usual)
        outer = nearest(named(self.cutting, name), position(edge, share) + width * out)
        return outer, outer - NOTCH_LENGTH * out


def nearest(chain: Chain, point: complex) -> complex:
    """Return the point of a chain that is nearest to `point`."""
    best = chain[0].start
    for edge in chain:
        points = sampled(edge, 400)
        for a, b in pairwise(points):
            along = (point - a) / (b - a)
            foot = a + (b - a) * min(max(along.real, 0.0), 1.0)
            if abs(foot - point) < abs(best - point):
                best = foot
    return best
