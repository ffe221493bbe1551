# SPDX-License-Identifier: GPL-2.0-or-later
"""Match points whose partners are not laid with them: they are let go, and a sentence says so.

What they meet is cut from another material, was not selected, or was left out. A point that nothing
in the drawing could meet is a slip, and the job is refused for it (`nesting.jobs.matches`).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable
from dataclasses import replace

from extension.language.words import listed
from extension.pieces.model import DrawnPiece, Reading

_MOST = 12
"""Points that a sentence names."""
_PIECES = frozenset({"hidden", "locked", "marked to leave out", "other size", "no grainline"})
"""Why a piece is left out, which might have been a partner."""


def lone_groups(
    laid: Iterable[tuple[DrawnPiece, int]], reading: Reading, *, is_selection: bool
) -> frozenset[str]:
    """Return the groups of which one copy alone is laid, though others may be in the drawing.

    `laid` are pieces with how many copies are cut of each; `is_selection`: others may not have been
    selected.
    """
    counts, ids = Counter[str](), set()
    for drawn, copies in laid:
        ids.add(drawn.id)
        for group in {point.match.group for point in drawn.matched}:
            counts[group] += copies
    elsewhere = {
        point.match.group
        for drawn in reading.pieces
        if drawn.id not in ids
        for point in drawn.matched
    }
    may_be = is_selection or any(left.reason in _PIECES for left in reading.left_out)
    return frozenset(
        group for group, copies in counts.items() if copies == 1 and (may_be or group in elsewhere)
    )


def without_groups(drawn: DrawnPiece, groups: Collection[str]) -> DrawnPiece:
    """Return a piece without its points of some groups, but for those on a line of the design."""
    kept = tuple(
        point for point in drawn.matched if point.match.group not in groups or point.match.on
    )
    return drawn if len(kept) == len(drawn.matched) else replace(drawn, matched=kept)


def lone_note(pieces: Iterable[tuple[str, DrawnPiece]], groups: Collection[str]) -> tuple[str, ...]:
    """Return that points of some groups are not matched; pieces come with their titles."""
    names = [
        f"“{point.match.group}” of {title}"
        for title, drawn in pieces
        for point in drawn.matched
        if point.match.group in groups and not point.match.on
    ]
    if not names:
        return ()
    its, meets = ("its", "it meets") if len(names) == 1 else ("their", "they meet")
    return (
        f"Not matched: {listed(names, _MOST)}, since nothing else of {its} group is laid on this "
        f"cloth. Where what {meets} is cut from a cloth of the same design, match it by hand.",
    )
