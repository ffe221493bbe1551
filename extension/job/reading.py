# SPDX-License-Identifier: GPL-2.0-or-later
"""From what is drawn to the pieces of a run: the whole of reading, step by step."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from extension.job.missing_sizes import about_missing_sizes
from extension.job.unsaid import Unsaid, unsaid
from extension.language.errors import DrawingError, OptionError
from extension.language.words import listed
from extension.pieces.drafts import Draft, finished, piece_id, read_draft
from extension.pieces.grain import Axis
from extension.pieces.lines import LineFinder
from extension.pieces.marks import owners_of
from extension.pieces.model import DrawnPiece, Reading
from extension.pieces.objects import draws, given_name, not_laid, size_of
from extension.pieces.outlines import ClosedShape
from extension.pieces.remnants import without_cloth, without_flaws
from extension.pieces.scope import Scope, Screened, outermost, screen, sizes_in
from extension.pieces.selection import Choice, choose, no_outline
from extension.pieces.squares import Square, warned, without_squares
from extension.pieces.stand_ins import with_stand_ins
from extension.pieces.structure import Structure, has_mark_role, structure_of
from extension.pieces.twice import laid_twice
from extension.svg.identities import is_made_id
from extension.svg.model import Leaf, LeftOut
from nesting.errors import first_and_count

TOO_SMALL, TOO_LARGE = 60.0, 4000.0
"""mm: a drawing whose largest piece is smaller, or larger, may have come in at another scale."""
NO_NAME = "No name"
"""What titles call a piece without a name; several are numbered in document order."""
UPWARD = 90.0
"""The drawing's vertical in piece coordinates, degrees."""


@dataclass(frozen=True, slots=True)
class ReadRequest:
    """What a run wants of a drawing.

    `selected` holds ids of objects, groups, layers or clones, none for the whole drawing;
    `sizes` the chosen sizes, None for none chosen. Pieces without grainline are left out, or
    laid as drawn, where others have one. `default_allowance_mm` is added to pieces that do not
    say otherwise; 0: the seam allowance is included in what is drawn.
    Raises OptionError when the allowance is negative or no number.
    """

    selected: tuple[str, ...] = ()
    sizes: Collection[str] | None = None
    no_grain: Literal["lay", "leave-out"] = "leave-out"
    default_allowance_mm: float = 0.0

    def __post_init__(self) -> None:
        if not 0.0 <= self.default_allowance_mm < math.inf:
            raise OptionError(
                f"A seam allowance of {self.default_allowance_mm:g} mm cannot be added: give 0 or "
                "more, such as 15mm."
            )


def read_pieces(leaves: Sequence[Leaf], request: ReadRequest) -> Reading:
    """Return the pieces of a drawing, what is left out of it, and what is worth saying.

    `leaves` are in document order, and so are the pieces, whatever the order of `selected`.
    Raises DrawingError when anything asked for cannot be read: the first fault in full, the
    others counted.
    """
    read = _read(leaves, request)
    _raise_first(read.faults)
    drafts = list(read.drafts.values())
    left_out = [
        *_taken_out(read.screened, read.structure, read.choice),
        *read.choice.left_out,
        *(not_laid(one, "test square") for one in read.of_squares if read.scope.holds(one)),
        *(not_laid(one, "flaw on no cloth") for one in read.flaws),
    ]
    pieces, without_grain = _finish(drafts, request, read.told)
    twice = laid_twice(pieces)
    pieces = tuple(
        replace(piece, notes=(*piece.notes, twice[piece.id])) if piece.id in twice else piece
        for piece in pieces
    )
    left_out = _in_order(read.leaves, [*left_out, *without_grain])
    if not pieces:
        raise _nothing_to_lay(read.screened, read.scope, left_out)
    return Reading(
        pieces,
        tuple(left_out),
        (
            *warned(read.squares),
            *_strange_size(pieces, read.squares),
            *_unknown(read.scope),
            *_grain_notes(pieces),
            *about_missing_sizes(pieces, read.screened.other_size, request.sizes),
        ),
        read.screened.sizes,
    )


def refused(leaves: Sequence[Leaf]) -> list[DrawingError]:
    """Return what stands in the way of laying out everything that is drawn, in all its sizes."""
    scope = Scope(leaves, ())
    try:
        read = _read(leaves, ReadRequest(sizes=sizes_in(leaves, scope) or None))
    except DrawingError as fault:
        return [fault]
    faults = list(read.faults)
    for draft in read.drafts.values():
        try:
            finished(draft, draft.lines.axis or Axis(UPWARD, "drawing"), 0.0)
        except DrawingError as fault:
            faults.append(fault)
    return faults


@dataclass(frozen=True, eq=False, slots=True)
class _Read:
    """A drawing as far as its pieces can be read by themselves, and what stands in the way.

    `drafts` are the pieces by the index of their outline, `of_squares` what belongs to the test
    squares, `flaws` those of no cloth.
    """

    leaves: Sequence[Leaf]
    scope: Scope
    screened: Screened
    structure: Structure
    choice: Choice
    drafts: Mapping[int, Draft]
    told: Unsaid
    of_squares: Sequence[Leaf]
    squares: Sequence[Square]
    flaws: Sequence[Leaf]
    faults: Sequence[DrawingError]


def _read(leaves: Sequence[Leaf], request: ReadRequest) -> _Read:
    leaves = without_cloth(with_stand_ins(leaves))
    scope = Scope(leaves, request.selected)
    leaves, flaws = without_flaws(leaves)
    others, of_squares, squares = without_squares(leaves)
    screened = screen(others, scope, request.sizes)
    structure = structure_of(screened.leaves)
    owners = owners_of(screened.leaves, structure)
    choice = choose(screened.leaves, structure, owners, scope, screened.other_size)
    drafts, faults = _drafts(screened.leaves, structure, owners, choice)
    told = unsaid(drafts, screened.leaves, structure, owners, request.default_allowance_mm)
    every = [*screened.faults, *choice.faults, *faults, *told.faults]
    return _Read(
        leaves, scope, screened, structure, choice, drafts, told, of_squares, squares, flaws, every
    )


def _drafts(
    leaves: Sequence[Leaf],
    structure: Structure,
    owners: Mapping[int, tuple[int, ...]],
    choice: Choice,
) -> tuple[dict[int, Draft], list[DrawingError]]:
    """Return the chosen pieces by the index of their outline, and the faults of the rest.

    Each is read as far as it can be by itself.
    """
    marks: dict[int, list[Leaf]] = {}
    for place, indices in sorted(owners.items()):
        for index in indices:
            marks.setdefault(index, []).append(leaves[place])
    finder = LineFinder(leaves)
    drafts: dict[int, Draft] = {}
    faults: list[DrawingError] = []
    taken: set[str] = set()
    for index in choice.pieces:
        piece = piece_id(structure, index, taken)
        taken.add(piece)
        try:
            drafts[index] = read_draft(structure, index, piece, marks.get(index, []), finder)
        except DrawingError as fault:
            faults.append(fault)
    return drafts, faults


def _finish(
    drafts: Sequence[Draft], request: ReadRequest, told: Unsaid
) -> tuple[tuple[DrawnPiece, ...], list[LeftOut]]:
    """Return the finished pieces, with what is `told` of each, and those without a grainline."""
    none_at_all = all(draft.lines.axis is None for draft in drafts)
    pieces: list[DrawnPiece] = []
    left_out: list[LeftOut] = []
    for draft in drafts:
        axis = draft.lines.axis
        if axis is None and none_at_all:
            axis = Axis(UPWARD, "drawing")
        elif axis is None and request.no_grain == "lay":
            axis = Axis(UPWARD, "as drawn")
        if axis is None:
            cut_from = tuple(one.material for one in draft.details.demands)
            left = LeftOut(draft.id, "no grainline", draft.name, draft.label, cut_from)
            left_out.append(left)
            continue
        named = told.included.get(draft.id, 0.0)
        piece = finished(draft, axis, request.default_allowance_mm, named)
        said = [*told.notes[draft.id], *_as_drawn(piece)]
        pieces.append(replace(piece, notes=(*piece.notes, *said)))
    return tuple(_without_made_names(pieces)), left_out


def _without_made_names(pieces: Sequence[DrawnPiece]) -> list[DrawnPiece]:
    """Return pieces with what titles call those that have neither a name nor an id of her own.

    “No name 2” stands on a part better than `path837`, which nobody sees in the drawing.
    """
    nameless = [one for one in pieces if not one.is_named and is_made_id(one.name)]
    names = {
        one: f"{NO_NAME} {number}" if len(nameless) > 1 else NO_NAME
        for number, one in enumerate(nameless, start=1)
    }
    return [replace(one, name=names[one]) if one in names else one for one in pieces]


def _raise_first(faults: Sequence[DrawingError]) -> None:
    if faults:
        sentences = list(dict.fromkeys(str(fault) for fault in faults))
        raise DrawingError(first_and_count(sentences), faults[0].object_id)


def _taken_out(screened: Screened, structure: Structure, choice: Choice) -> list[LeftOut]:
    """Return what took no part: hidden, of another size, marked to leave out."""
    pieces = [structure.shapes[index] for index in choice.pieces]
    return [
        *screened.left_out,
        *(not_laid(s.leaf, "hidden", _label(s)) for s in outermost(screened.hidden, pieces)),
        *(not_laid(s.leaf, "other size", _label(s)) for s in outermost(screened.other_size, [])),
    ]


def _label(shape: ClosedShape) -> str:
    """Return what a shape that was not read is called, with its size."""
    groups = [group for group in shape.leaf.groups if "name" in group.attributes]
    name = given_name(groups[-1] if groups else shape.leaf)
    return " ".join(word for word in (name, size_of(shape.leaf)) if word)


def _in_order(leaves: Sequence[Leaf], left_out: Sequence[LeftOut]) -> list[LeftOut]:
    """Return what is left out in document order."""
    places: dict[str, int] = {}
    for place, leaf in enumerate(leaves):
        for object_id in (leaf.id, *(group.id for group in leaf.groups)):
            places.setdefault(object_id, place)
    return sorted(left_out, key=lambda each: places.get(each.object_id, len(leaves)))


def _nothing_to_lay(screened: Screened, scope: Scope, left_out: Sequence[LeftOut]) -> DrawingError:
    """Return why a run has no piece."""
    for leaf in screened.leaves:
        seen = leaf.rings or not draws(leaf)
        is_line = seen and not any(ring.closed for ring in leaf.rings)
        if is_line and scope.holds(leaf) and not has_mark_role(leaf):
            return no_outline(leaf)
    if scope.unknown and not any(scope.holds(leaf) for leaf in screened.leaves):
        return DrawingError(
            f"Nothing that is drawn is called “{scope.unknown[0]}”: select closed outlines of "
            "pieces, or nothing for all of them."
        )
    reasons = listed([f"{each.seen}, {each.reason}" for each in left_out])
    return DrawingError(
        "There is no piece to lay out: draw closed outlines, or select them"
        + (f"; left out: {reasons}." if reasons else ".")
    )


def _unknown(scope: Scope) -> list[str]:
    if not scope.unknown:
        return []
    return [f"Nothing that is drawn is called {listed([f'“{each}”' for each in scope.unknown])}."]


def _grain_notes(pieces: Sequence[DrawnPiece]) -> list[str]:
    if any(piece.grain_from == "drawing" for piece in pieces):
        return [
            "No piece has a grainline or a fold edge that is set, so the grain runs up the "
            "drawing: check that the pieces are drawn that way, or use Read Pattern Markings first."
        ]
    return []


def _as_drawn(piece: DrawnPiece) -> list[str]:
    """Return a note on a piece that has no grainline where others have one."""
    is_drawn = piece.grain_from == "as drawn"
    return [f"{piece.label} is laid as drawn, without a grainline."] if is_drawn else []


def _strange_size(pieces: Sequence[DrawnPiece], squares: Sequence[Square]) -> list[str]:
    """Return a question where the largest piece is too small or too large for a person.

    A test square of the right size answers it.
    """
    if any(square.stated is not None and not square.is_off for square in squares):
        return []
    sizes = {piece: np.ptp(np.array(piece.outline), axis=0).max() for piece in pieces}
    largest = max(sizes, key=lambda piece: sizes[piece])
    size = sizes[largest]
    if TOO_SMALL <= size <= TOO_LARGE:
        return []
    what = "small" if size < TOO_SMALL else "large"
    return [
        f"Is the drawing in its full size? Its largest piece, {largest.called}, measures "
        f"{size / 10.0:.1f} cm, which is {what} for a person."
    ]
