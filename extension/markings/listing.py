# SPDX-License-Identifier: GPL-2.0-or-later
"""What was read, in plain sentences: for the list beside the drawing, and for the report."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from extension.language.rounding import small_text
from extension.language.words import NAMELESS, begun, listed, listed_pieces, rising
from extension.markings.proposals import Proposal, Proposals, ProposedMatch
from extension.pieces.cutlist import Demand

FORMAT, VERSION = "thriftlay-read-markings", 1
CHECK = (
    "This is what was read, not what is true: compare it with the pattern before you lay anything "
    "out. Hide or delete this layer when you are done."
)
MATCHES_OPEN = (
    "For stripes and checks. Nothing of this is set: where they meet indeed, read once more with "
    "“Set match points where notches seem to meet”, or set them by hand (command 4)."
)
MATCHES_SET = (
    "For stripes and checks. Take away what does not meet: select the notch and type “-” as its "
    "match point (command 4)."
)
_WAYS = {"both": "", "along": ", along the piece", "across": ", across the piece"}
MOST_SOURCES = 6
"""Things that a piece was read from, as they are named; what is beyond is counted."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A paragraph of the list; sizes in font sizes."""

    words: str
    indent: float = 0.0
    scale: float = 1.0
    bold: bool = False
    space: float = 0.0


def entries(proposals: Proposals) -> Iterator[Entry]:
    """Yield the paragraphs of the list of what was read."""
    complete = sum(piece.is_complete for piece in proposals.pieces)
    count = len(proposals.pieces)
    yield Entry("Read from the drawing", scale=1.5, bold=True)
    yield Entry(f"{_pieces(count)}: {complete} complete, {count - complete} to look at.")
    yield Entry(CHECK)
    for alike in _grouped(proposals.pieces):
        yield Entry(title(alike), bold=True, space=0.8)
        yield Entry(facts(alike[0]), indent=1.5)
        seen = list(dict.fromkeys(source.seen for piece in alike for source in piece.sources))
        if seen:
            yield Entry(f"read from {listed(seen, MOST_SOURCES)}", indent=1.5, scale=0.85)
        for want in alike[0].wants:
            yield Entry(f"Look: {want}", indent=1.5, bold=True)
    questions = [one for one in proposals.questions if one not in proposals.of_pieces]
    if questions:
        yield Entry("Only you can say", bold=True, space=1.2)
    for question in questions:
        yield Entry(f"· {question}", indent=1.5)
    yield from _match_entries(proposals)
    if proposals.unread:
        yield Entry("Words that nothing was made of", bold=True, space=1.2)
    for words in proposals.unread:
        yield Entry(f"· {words}", indent=1.5)


def _match_entries(proposals: Proposals) -> Iterator[Entry]:
    """Yield what notches suggest for stripes and checks; on the pieces each has an open circle."""
    if not (proposals.matches or proposals.of_notches):
        return
    is_set = proposals.sets_matches
    heading = "Match points set from notches" if is_set else "Match points that notches suggest"
    yield Entry(heading, bold=True, space=1.2)
    if proposals.matches:
        yield Entry(MATCHES_SET if is_set else MATCHES_OPEN)
    for words in match_texts(proposals.matches):
        yield Entry(f"· {words}", indent=1.5)
    for words in proposals.of_notches:
        yield Entry(f"· {words}", indent=1.5)


def match_texts(matches: Sequence[ProposedMatch]) -> list[str]:
    """Return what is said of each match point, of those of several sizes that are alike once."""
    alike: dict[tuple[tuple[str, str], str, str], list[str]] = {}
    for one in matches:
        groups = alike.setdefault((one.pieces, one.axes, one.why), [])
        groups += [one.group] if one.group not in groups else []
    return [
        f"{listed(groups, 12)}: {listed(list(pieces))}{_WAYS[axes]} – {why}"
        for (pieces, axes, why), groups in alike.items()
    ]


def _pieces(count: int) -> str:
    return "1 piece" if count == 1 else f"{count} pieces"


def _grouped(pieces: Sequence[Proposal]) -> list[list[Proposal]]:
    """Return the pieces, put together about which the same was read.

    Those are the sizes of one, and many that have no name.
    """
    told = [(facts(piece), piece.wants) for piece in pieces]
    nameless = Counter(of for piece, of in zip(pieces, told, strict=True) if _is_nobody(piece))
    found: dict[tuple[object, ...], list[Proposal]] = {}
    for number, (piece, of) in enumerate(zip(pieces, told, strict=True)):
        one: tuple[object, ...] = (number,)
        if piece.size:
            one = (piece.listed, of)
        elif _is_nobody(piece) and nameless[of] > NAMELESS:
            one = (None, of)
        found.setdefault(one, []).append(piece)
    return list(found.values())


def _is_nobody(piece: Proposal) -> bool:
    return not piece.is_named and not piece.size


def title(alike: Sequence[Proposal]) -> str:
    """Return what a piece, or those that are told together, are called in the list, with the state.

    These are the sizes of one, or pieces without a name.
    """
    piece, sizes = alike[0], rising(one.size for one in alike if one.size)
    size = f", {'sizes' if len(sizes) > 1 else 'size'} {listed(sizes, 12)}" if sizes else ""
    state = "complete" if piece.is_complete else "to look at"
    called = piece.listed
    if len(alike) > 1 and not sizes:
        called = listed_pieces([], [one.listed for one in alike], len(alike))
    return f"{begun(called)}{size}: {state}"


def facts(piece: Proposal) -> str:
    """Return what is known of a piece in a sentence."""
    cuts = listed([_demand(demand, piece.fold) for demand in piece.demands])
    grain = "no grain"
    if piece.grain is not None:
        grain = (
            f"grain at {piece.grain:.4g}°, top {'certain' if piece.top_certain else 'not certain'}"
        )
    turns = "" if piece.details.turns_word == "two-way" else f", {piece.details.turns_word}"
    added = piece.attributes.get("allowance", "0mm")
    allowance = "" if added == "0mm" else f"; {added} seam allowance to add"
    seam = (
        ""
        if piece.seam is None
        else f"; stitching line {small_text(round(piece.seam, 1), 'metric')} inside"
    )
    return f"cut {cuts}; {grain}{turns}{allowance}{seam}"


def _demand(demand: Demand, fold: bool) -> str:
    hand = " on the fold" if fold else ""
    if not fold and demand.cut > 1:
        hand = " all alike" if demand.hand == "same" else " mirrored"
    return f"{demand.cut} {demand.material}{hand}"


def report_of(proposals: Proposals) -> dict[str, Any]:
    """Return what was read as plain values for JSON."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "pieces": [_piece(piece) for piece in proposals.pieces],
        "unread": list(proposals.unread),
        "questions": list(proposals.questions),
        "matches": [
            {
                "group": one.value,
                "pieces": list(one.pieces),
                "notches": [leaf.id for leaf in one.leaves],
                "why": one.why,
                "set": proposals.sets_matches,
            }
            for one in proposals.matches
        ],
        "of_notches": list(proposals.of_notches),
    }


def _piece(piece: Proposal) -> dict[str, Any]:
    return {
        "id": piece.id,
        "name": piece.name,
        "size": piece.size,
        "grain": piece.grain,
        "fold": piece.fold,
        "top": "certain" if piece.top_certain else "not certain",
        "turns": piece.details.turns_word,
        "stitching_mm": None if piece.seam is None else round(piece.seam, 1),
        "demands": [
            {"cut": demand.cut, "hand": demand.hand, "material": demand.material}
            for demand in piece.demands
        ],
        "from": list(dict.fromkeys(source.named for source in piece.sources)),
    }


def summary_of(proposals: Proposals) -> Sequence[str]:
    """Return what to say of a reading on a terminal or in a message."""
    complete = sum(piece.is_complete for piece in proposals.pieces)
    count = len(proposals.pieces)
    return (
        f"Read {_pieces(count)}: {complete} complete, {count - complete} to look at.",
        *proposals.questions,
    )


def matches_of(proposals: Proposals) -> Sequence[str]:
    """Return what to say on a terminal of the match points that notches suggest."""
    if not proposals.matches:
        return proposals.of_notches
    count = len(proposals.matches)
    points = "1 match point" if count == 1 else f"{count} match points"
    head = (
        f"Set {points} where notches seem to meet:"
        if proposals.sets_matches
        else f"Notches suggest {points} for stripes and checks; --match-notches sets "
        f"{'it' if count == 1 else 'them'}:"
    )
    return (head, *match_texts(proposals.matches), *proposals.of_notches)
