# SPDX-License-Identifier: GPL-2.0-or-later
"""One pass over segments: put end to end, linked along regular gaps and through corners."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from extension.joining.bridges import Way, straight_over, way, ways_over
from extension.joining.dots import point_dots
from extension.joining.junctions import junctions
from extension.joining.lines import Ends, Line, ends_of
from extension.joining.outlines import COMPACT, compactness
from extension.joining.patterns import Pattern, fits_in, pattern_of, unlikeness
from extension.joining.runs import Pairs, links_of_runs, pairs_within
from extension.joining.segments import FloatArray, Segment
from extension.joining.settling import settle
from extension.joining.touching import NOWHERE, put_end_to_end
from extension.joining.weaving import weave
from nesting.model import Point

AT_CORNERS = 3.0
"""Times the usual gap that a dash pattern may leave out round a corner: up to one on each side."""
ONWARD = 2.6
"""Times the usual gap that a line may leave out going on: a dot was lost where lines cross..."""
TO_THE_NEXT = 1.6
"""...and times the usual gap within which its next dash is."""
NEAR_FREE = 6.0
"""mm, beside the tolerance, within which a free end may belong to two segments that touch."""
RIVAL = 2.0
"""Times its own gap up to which another way casts doubt on a regular link..."""
RIVAL_MM = 0.5
"""...and so many mm more."""
NO_FIT = 0.6
"""How much a line is unlike a pattern that has no such long dashes (0 to 1)."""
TWO_PATTERNS = 0.5
"""How much two known patterns are unlike (0 to 1) from which they are two lines."""
OTHER_LOOK = 0.5
"""How much lines of another colour or width are unlike (0 to 1)."""


@dataclass(frozen=True, eq=False, slots=True)
class Unclear:
    """A place (mm on the page) where segments could be joined in more than one way.

    `decided`: the one that closes was taken; otherwise nothing was joined there.
    """

    place: Point
    segments: tuple[int, ...]
    decided: bool


@dataclass(frozen=True, eq=False, slots=True)
class Pass:
    """What one pass over segments made of them."""

    open: Sequence[Line]
    closed: Sequence[Line]
    unclear: Sequence[Unclear]


def one_pass(
    segments: Sequence[Segment], order: Sequence[int], tolerance: float, free: FloatArray = NOWHERE
) -> Pass:
    """Return the segments of the numbers in `order` joined within each look.

    Segments that touch near one of the `free` places are not put together beforehand.
    """
    touched = put_end_to_end(segments, order, free, NEAR_FREE + tolerance)
    lines, closed = _runs(touched.open, tolerance)
    lines, more, unclear = corners(lines, tolerance, across=False)
    return Pass(lines, (*touched.closed, *closed, *more), unclear)


def members_of(lines: Sequence[Line]) -> set[int]:
    """Return the numbers of the segments that lines are made of."""
    return {member for line in lines for member in line.members}


def free_places(lines: Sequence[Line]) -> FloatArray:
    """Return the ends of lines, (2 n, 2) mm."""
    return np.array([line.points[i] for line in lines for i in (0, -1)]).reshape(-1, 2)


def _runs(lines: Sequence[Line], tolerance: float) -> tuple[Sequence[Line], Sequence[Line]]:
    """Return the lines linked where they follow each other at regular gaps, beyond any doubt."""
    ends = point_dots(ends_of(lines))
    partner, longest = links_of_runs(ends)
    usual = np.array([longest.get(look, 0.0) for look in ends.look.tolist()])
    # Not past the next dash: a dot is no rival to the one before it.
    rivals = _ways(lines, ends, usual, tolerance, onward=TO_THE_NEXT)
    best = _without_rivals(partner, rivals, ends)
    woven = weave(lines, ends, best)
    return woven.open, woven.closed


def _without_rivals(partner: Sequence[int], ways: Sequence[Way], ends: Ends) -> list[Way]:
    """Return the links that no other way from either end comes near."""
    linked = [straight_over(ends, end, other) for end, other in enumerate(partner) if end < other]
    limit = {end: RIVAL * way.gap + RIVAL_MM for way in linked for end in (way.one, way.two)}
    doubtful = {
        end
        for one in ways
        if partner[one.one] != one.two
        for end in (one.one, one.two)
        if one.cost <= limit.get(end, -1.0)
    }
    return [way for way in linked if not doubtful & {way.one, way.two}]


def corners(
    lines: Sequence[Line], tolerance: float, *, across: bool
) -> tuple[Sequence[Line], Sequence[Line], list[Unclear]]:
    """Return the lines linked at corners and other places; `across` looks, or within each look.

    Lines of two dash patterns are taken for two looks. Across looks only what closes an outline is
    linked, and no strip: that is what two sizes side by side enclose between them.
    """
    if not lines:
        return lines, (), []
    ends = point_dots(ends_of(lines))
    usual = _usual_gaps(lines, ends)
    ways = _ways(lines, ends, usual, tolerance, across=across)
    if not across:
        patterns = [pattern_of(line.dashes, line.gaps) for line in lines]
        ways = [one for one in ways if _one_pattern(patterns[one.one // 2], patterns[one.two // 2])]
    settled = settle(lines, ends, junctions(ways, _free_costs(lines, usual, tolerance)))
    woven = weave(lines, ends, settled.ways)
    if across:
        good = [line for line in woven.closed if compactness(line) >= COMPACT]
        closing = members_of(good)
        return [line for line in lines if not closing.issuperset(line.members)], good, []
    doubts = [
        Unclear(_middle(ends, doubt.ends), _members(lines, doubt.ends), doubt.decided)
        for doubt in settled.doubts
    ]
    return woven.open, woven.closed, doubts


def _free_costs(lines: Sequence[Line], usual: FloatArray, tolerance: float) -> dict[int, float]:
    """Return what it costs to leave each end unlinked, mm.

    As much as the longest way over where a dash pattern must go on; little where a single stroke
    ends, which may be a notch.
    """
    return {
        end: 2.0 * tolerance + AT_CORNERS * float(gap) * (len(lines[end // 2].dashes) > 1)
        for end, gap in enumerate(usual)
    }


def _one_pattern(one: Pattern | None, other: Pattern | None) -> bool:
    return unlikeness(one, other) < TWO_PATTERNS


def reach_of(lines: Sequence[Line], tolerance: float) -> list[float]:
    """Return how far each line may go on through a corner, mm."""
    usual = _usual_gaps(lines, ends_of(lines)) if lines else np.empty(0)
    return [2.0 * tolerance + AT_CORNERS * float(gap) for gap in usual[::2]]


def _usual_gaps(lines: Sequence[Line], ends: Ends) -> FloatArray:
    """Return the usual gap at each end, mm: of its line, or else the longest usual of its look."""
    own = [float(np.median(line.gaps)) if len(line.gaps) > 3 else 0.0 for line in lines]
    by_look: dict[int, float] = {}
    for number, gap in enumerate(own):
        look = int(ends.look[2 * number])
        by_look[look] = max(by_look.get(look, 0.0), gap)
    usual = [gap or by_look[int(ends.look[2 * n])] for n, gap in enumerate(own)]
    return np.repeat(np.array(usual), 2)


def _ways(
    lines: Sequence[Line],
    ends: Ends,
    usual: FloatArray,
    tolerance: float,
    *,
    across: bool = False,
    onward: float = ONWARD,
) -> list[Way]:
    """Return every way over a gap between two ends, up to `onward` usual gaps straight on."""
    far = 2.0 * tolerance + AT_CORNERS * float(usual.max(initial=0.0))
    pairs = pairs_within(ends, far, across=across)
    gap = np.maximum(usual[pairs.one], usual[pairs.two])
    unlike = _unlike(lines, pairs)
    unlike = np.maximum(unlike, OTHER_LOOK * (ends.look[pairs.one] != ends.look[pairs.two]))
    found = ways_over(
        pairs,
        ends,
        2.0 * tolerance + AT_CORNERS * gap,
        gap,
        np.maximum(tolerance, onward * gap),
        unlike,
        tolerance,
    )
    return [way(found, index) for index in np.flatnonzero(np.isfinite(found.cost)).tolist()]


def _unlike(lines: Sequence[Line], pairs: Pairs) -> FloatArray:
    """Return for each pair how much the dash patterns of its lines differ, 0 to 1."""
    patterns = [pattern_of(line.dashes, line.gaps) for line in lines]

    def of(one: int, two: int) -> float:
        fit = fits_in(patterns[one], lines[two].dashes) and fits_in(
            patterns[two], lines[one].dashes
        )
        return max(unlikeness(patterns[one], patterns[two]), 0.0 if fit else NO_FIT)

    couples = zip((pairs.one // 2).tolist(), (pairs.two // 2).tolist(), strict=True)
    return np.array([of(one, two) for one, two in couples])


def _middle(ends: Ends, chosen: Sequence[int]) -> Point:
    x, y = ends.place[list(chosen)].mean(axis=0)
    return float(x), float(y)


def _members(lines: Sequence[Line], chosen: Sequence[int]) -> tuple[int, ...]:
    """Return the segments that some ends belong to."""
    return tuple(lines[end // 2].members[-1 if end % 2 else 0] for end in chosen)
