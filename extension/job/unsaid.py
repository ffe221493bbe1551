# SPDX-License-Identifier: GPL-2.0-or-later
"""What a drawing says of its pieces and a layout would not do: asked, never passed over.

A piece that is said to lie on the fold is not laid as the half it is drawn as, and one whose label
says that no seam allowance is included is not cut without one. Of a piece without a count that its
label has, or that the label leaves unclear, it is told that it is cut once.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from extension.language.errors import DrawingError
from extension.language.units import MM_PER_INCH
from extension.language.words import listed
from extension.markings.remembering import by_hand
from extension.markings.told import Told, name_tells_fold, sayings
from extension.pieces.drafts import Draft, added_allowance
from extension.pieces.structure import Structure
from extension.svg.model import Group, Leaf

SAME = 0.1 * MM_PER_INCH
"""mm by which an allowance may differ from the one on the label: 5/8 in is printed as 1.5 cm."""
MOST = 8
"""Pieces that a sentence names."""
COUNTS_OTHERWISE = "is cut once, though its label counts otherwise"
"""What is told of a piece without a count whose label has one."""
NOT_CLEAR = "though its label is not clear"
"""What is told of one whose label leaves a question, and whose count was not set by hand."""


@dataclass(frozen=True, slots=True)
class Unsaid:
    """What must be asked before pieces are laid, notes, and how much allowance is in outlines.

    `notes`, which begin with what a piece is called, and `included`, the mm that labels name, are
    by the id of the piece.
    """

    faults: list[DrawingError]
    notes: Mapping[str, list[str]]
    included: Mapping[str, float]


def unsaid(
    drafts: Mapping[int, Draft],
    leaves: Sequence[Leaf],
    structure: Structure,
    owners: Mapping[int, tuple[int, ...]],
    default_allowance: float,
) -> Unsaid:
    """Return what must be asked before pieces are laid, and what else is said.

    `drafts` are the pieces by the index of their outline, `default_allowance` mm is added to those
    that do not say otherwise.
    """
    unfolded = [
        index
        for index, draft in drafts.items()
        if draft.lines.fold is None and not draft.details.drawn_whole
    ]
    said = sayings(leaves, structure, owners, drafts, unfolded)
    halves = {index: _fold_words(drafts[index], said.of[index]) for index in unfolded}
    faults = _halves([(drafts[index], words) for index, words in halves.items() if words])
    speaking = {
        index: told if (told := said.of[index]).allowance else said.of_all for index in drafts
    }
    added = {index: added_allowance(draft, default_allowance) for index, draft in drafts.items()}
    bare = [
        (drafts[index], told)
        for index, told in speaking.items()
        if _lacks(drafts[index], told, added[index])
    ]
    notes = {
        draft.id: [
            *_count(draft, said.of[index], _is_counted_by_hand(structure, index)),
            *(_perhaps(draft, said.of[index]) if not halves.get(index) else ()),
            *_differs(draft, speaking[index], added[index]),
        ]
        for index, draft in drafts.items()
    }
    included = {
        drafts[index].id: told.allowance.included
        for index, told in speaking.items()
        if told.allowance is not None and told.allowance.included is not None
    }
    return Unsaid([*faults, *_without_allowance(bare)], notes, included)


def _fold_words(draft: Draft, told: Told) -> str:
    """Return what says that a piece is on the fold: drawn on it, or its name."""
    return told.on_fold or (f"“{draft.name}”" if name_tells_fold(draft.name) else "")


def _halves(found: Sequence[tuple[Draft, str]]) -> list[DrawingError]:
    """Return the fault of pieces that would be laid as halves."""
    if not found:
        return []
    names = listed([draft.label for draft, _ in found], MOST)
    words = listed(list(dict.fromkeys(words for _, words in found)), 3)
    are = _numbered(found, "is", "are")
    halves = _numbered(found, "only half of it", "only halves of them")
    return [
        DrawingError(
            f"{names} {are} said to be cut on the fold by {words}, but no edge is marked as the "
            f"fold, so {halves} would be cut: use Read Pattern Markings, or set Fold in Set "
            "Cutting Details (lay:fold) to left, right, up or down, or to none where the whole "
            "piece is drawn.",
            found[0][0].id,
        )
    ]


def _numbered(found: Sequence[object], one: str, several: str) -> str:
    return one if len(found) == 1 else several


def _lacks(draft: Draft, told: Told, added: float) -> bool:
    """Return whether a piece would be cut without the allowance that it is drawn without."""
    if told.allowance is None or draft.details.allowance is not None:
        return False
    return told.allowance.lacks_allowance and added == 0.0


def _without_allowance(found: Sequence[tuple[Draft, Told]]) -> list[DrawingError]:
    """Return the fault of pieces that would be cut too small."""
    if not found:
        return []
    names = listed([draft.label for draft, _ in found], MOST)
    words = listed(list(dict.fromkeys(told.label for _, told in found)), 3)
    are, they = _numbered(found, "is", "are"), _numbered(found, "it", "they")
    return [
        DrawingError(
            f"{names} {are} drawn without seam allowance by {words}, but none is added, so "
            f"{they} would be cut too small: choose how much to add to all (--allowance), or set "
            "Seam allowance to add in Set Cutting Details (lay:allowance), 0 mm where the outline "
            "is what is cut.",
            found[0][0].id,
        )
    ]


def _is_counted_by_hand(structure: Structure, index: int) -> bool:
    """Return whether the count of a piece was set, and not by reading its markings."""
    leaf = structure.shapes[index].leaf
    things: list[Leaf | Group] = [*structure.own_groups(index), leaf]
    return any("cut" in by_hand(thing.attributes) for thing in things)


def _count(draft: Draft, told: Told, is_by_hand: bool) -> Iterator[str]:
    """Yield that a piece is cut once, or as it was read, where its label does not just say so."""
    if is_by_hand:
        return
    is_set = draft.details.cut is not None
    if not is_set and told.counts == "otherwise":
        yield (
            f"{draft.label} {COUNTS_OTHERWISE}: use Read Pattern Markings, or set the count in Set "
            "Cutting Details (lay:cut)."
        )
    elif told.open:
        how = "as it was read" if is_set else "once"
        yield f"{draft.label} is cut {how}, {NOT_CLEAR}: {told.open}"
    elif not is_set and not told.counts:
        yield f"{draft.label} is cut once, since no count was read."


def _perhaps(draft: Draft, told: Told) -> Iterator[str]:
    """Yield a note on what may say fold, but may as well be another line."""
    if told.perhaps_fold:
        yield (
            f"{draft.label} is laid as it is drawn: {told.perhaps_fold} was taken for another "
            "line than the fold of the cloth."
        )


def _differs(draft: Draft, told: Told, added: float) -> Iterator[str]:
    """Yield a note where the label and what is added do not agree."""
    reading = told.allowance
    if reading is None or reading.allowance is None:
        return
    if reading.allowance == "included":
        own = [edge for edge in draft.edges if edge.allowance]
        if own and not added:
            yield (
                f"{draft.label} has {own[0].allowance:g} mm added at {own[0].called}, but "
                f"{told.label} says that seam allowance is included."
            )
        elif added:
            yield (
                f"{draft.label} has {added:g} mm seam allowance added, but {told.label} says that "
                "it is included."
            )
        return
    if not reading.lacks_allowance and not added and draft.details.allowance is None:
        yield (
            f"{draft.label} is laid as if its seam allowance were included, which {told.label} "
            "does not say."
        )
    named = reading.allowance
    if isinstance(named, float) and added and abs(named - added) > SAME:
        yield (
            f"{draft.label} has {added:g} mm seam allowance added, but {told.label} names "
            f"{named:g} mm."
        )
