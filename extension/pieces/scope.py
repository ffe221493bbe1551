# SPDX-License-Identifier: GPL-2.0-or-later
"""What is selected, and what of the drawing is out of the run before anything is judged."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass

from extension.language.errors import DrawingError
from extension.language.names import RESULT_LAYERS
from extension.language.words import folded, listed, rising
from extension.pieces.attributes import (
    check_mark,
    check_names,
    makes_piece,
    mark_details,
    says_leave_out,
)
from extension.pieces.containment import containers
from extension.pieces.objects import (
    Calling,
    called,
    carriers,
    given_name,
    is_original,
    not_laid,
    role_carrier,
    size_of,
)
from extension.pieces.outlines import ClosedShape, closed_shape
from extension.pieces.sizes import any_covered, sizes_drawn, words_join
from extension.pieces.structure import GroupKey, has_mark_role, keyed_groups
from extension.svg.model import REACH, Group, Leaf, LeftOut


class Scope:
    """Which leaves a run is about: all, or those that are selected.

    An id may be that of a leaf, a group, a layer, or a clone.
    """

    def __init__(self, leaves: Sequence[Leaf], selected: Collection[str]) -> None:
        self.everything = not selected
        self._direct: set[Leaf] = set()
        self._by_layer: set[Leaf] = set()
        self.unknown: list[str] = []
        for object_id in dict.fromkeys(selected):
            self._add(leaves, object_id)

    def holds(self, leaf: Leaf) -> bool:
        """Return whether the run is about a leaf."""
        return self.everything or leaf in self._direct or leaf in self._by_layer

    def is_direct(self, leaf: Leaf) -> bool:
        """Return whether a leaf is selected by itself or by a group, not just with a layer."""
        return leaf in self._direct

    def _add(self, leaves: Sequence[Leaf], object_id: str) -> None:
        own = [leaf for leaf in leaves if leaf.id == object_id]
        # What a clone of a group shows has the ids of the originals: those are meant.
        own = [leaf for leaf in own if is_original(leaf)] or own
        self._direct.update(own)
        grouped = False
        for leaf in leaves:
            for group in leaf.groups:
                if group.id == object_id:
                    (self._by_layer if group.is_layer else self._direct).add(leaf)
                    grouped = True
        if not own and not grouped:
            self.unknown.append(object_id)


@dataclass(frozen=True, eq=False, slots=True)
class Screened:
    """The leaves that take part, in document order; what does not; the sizes that are drawn.

    `hidden` and `other_size` hold closed outlines that were taken out; `left_out` names what is
    marked to leave out; `faults` are attributes of ours that are wrong.
    """

    leaves: tuple[Leaf, ...]
    hidden: tuple[ClosedShape, ...]
    other_size: tuple[ClosedShape, ...]
    left_out: tuple[LeftOut, ...]
    faults: tuple[DrawingError, ...]
    sizes: tuple[str, ...]


def screen(leaves: Sequence[Leaf], scope: Scope, chosen: Collection[str] | None) -> Screened:
    """Return what takes part in a run: visible, not left out, and of a chosen size.

    Raises DrawingError when several sizes are drawn and none is chosen, or a chosen one is not
    there.
    """
    drawn = [leaf for leaf in leaves if not _is_result(leaf)]
    far = [leaf for leaf in drawn if leaf.far and not leaf.hidden and scope.holds(leaf)]
    visible = [leaf for leaf in drawn if not leaf.hidden and not leaf.far]
    left_out: dict[GroupKey, LeftOut] = {}
    faults = [fault for leaf in visible if scope.holds(leaf) for fault in _faults(leaf)]
    asked_for = [leaf for leaf in far if _is_asked_for(leaf, scope)]
    faults += [too_far(leaf) for leaf in asked_for]
    chosen = chosen or None
    present = [leaf for leaf in visible if not _is_left_out(leaf, scope, left_out)]
    sizes = _sizes(present)
    _check_written(present, sizes)
    _check_sizes(sizes, _sizes(leaf for leaf in present if scope.holds(leaf)), chosen)
    fitting = [leaf for leaf in present if _fits(leaf, chosen)]
    return Screened(
        tuple(fitting),
        _outlines(leaf for leaf in drawn if leaf.hidden and scope.holds(leaf)),
        _outlines(leaf for leaf in present if not _fits(leaf, chosen) and scope.holds(leaf)),
        (
            *left_out.values(),
            *(not_laid(leaf, "too far away") for leaf in far),
        ),
        tuple(faults),
        sizes,
    )


def too_far(leaf: Leaf) -> DrawingError:
    """Return the fault of something that is to be a piece and lies beyond all numbers."""
    return DrawingError(
        f"{called(leaf)} reaches more than {REACH / 1e6:g} km from the page, where no place is "
        "exact any more: move it to the page, or delete it.",
        leaf.id,
    )


def _is_asked_for(leaf: Leaf, scope: Scope) -> bool:
    """Return whether a leaf is selected by itself, or carries cutting details."""
    return scope.is_direct(leaf) or any(makes_piece(one.attributes) for one in carriers(leaf))


def sizes_in(leaves: Sequence[Leaf], scope: Scope) -> tuple[str, ...]:
    """Return the sizes that a run is about, in document order: visible and not left out."""
    left_out: dict[GroupKey, LeftOut] = {}
    return _sizes(
        leaf
        for leaf in leaves
        if scope.holds(leaf)
        and not (_is_result(leaf) or leaf.hidden or _is_left_out(leaf, scope, left_out))
    )


def outermost(shapes: Sequence[ClosedShape], pieces: Sequence[ClosedShape]) -> list[ClosedShape]:
    """Return the outlines that lie in no other of their size and in no piece: not mere lines."""
    every = (*shapes, *pieces)
    inside = containers(every)
    sizes = [size_of(shape.leaf) for shape in every]
    return [
        shape
        for index, shape in enumerate(shapes)
        if not any(sizes[outer] == sizes[index] for outer in inside[index])
    ]


def _is_result(leaf: Leaf) -> bool:
    """Return whether a leaf lies on a layer of ours: a layout, the review of one, a table."""
    return any(name in group.attributes for group in leaf.groups for name in RESULT_LAYERS)


def _is_left_out(leaf: Leaf, scope: Scope, left_out: dict[GroupKey, LeftOut]) -> bool:
    """Return whether a leaf is marked to leave out; what says so is noted once."""
    keyed: list[tuple[GroupKey, Leaf | Group]] = [*keyed_groups(leaf)]
    keyed.append(((*(group.id for group in leaf.groups), leaf.id), leaf))
    for key, thing in keyed:
        if not _says_leave_out(thing):
            continue
        is_line = isinstance(thing, Leaf) and (closed_shape(thing) is None or has_mark_role(thing))
        if scope.holds(leaf) and not is_line:
            left_out.setdefault(key, _left_out(thing))
        return True
    return False


def _left_out(thing: Leaf | Group) -> LeftOut:
    return LeftOut(thing.id, "marked to leave out", given_name(thing), called(thing))


def _faults(leaf: Leaf) -> Iterator[DrawingError]:
    """Yield what is wrong with the attributes of a leaf and of the groups round it."""
    for carrier in carriers(leaf):
        for check in (check_names, mark_details, says_leave_out):
            try:
                check(carrier.attributes, Calling(carrier), carrier.id)
            except DrawingError as fault:
                yield fault
    mark = role_carrier(leaf)
    if mark is not None and has_mark_role(leaf):
        for thing in (leaf,) if mark is leaf else (leaf, mark):
            try:
                check_mark(thing.attributes, mark.attributes["role"], Calling(thing), thing.id)
            except DrawingError as fault:
                yield fault


def _says_leave_out(thing: Leaf | Group) -> bool:
    with suppress(DrawingError):  # told among the faults
        return says_leave_out(thing.attributes, Calling(thing), thing.id)
    return False


def _sizes(leaves: Iterable[Leaf]) -> tuple[str, ...]:
    """Return the sizes of the closed outlines among leaves, each once, as first written."""
    outlines = (
        leaf
        for leaf in leaves
        if not has_mark_role(leaf) and any(ring.closed for ring in leaf.rings)
    )
    return sizes_drawn(size for leaf in outlines if (size := size_of(leaf)))


def _check_written(leaves: Iterable[Leaf], sizes: Collection[str]) -> None:
    """Raise DrawingError where a size beside others may be a list of them or a range."""
    for leaf in leaves if len(sizes) > 1 else ():
        size = size_of(leaf)
        if size is not None and size in sizes and words_join(size):
            first, *_, last = size.split()
            raise DrawingError(
                f"{called(leaf)} has the size “{size}”, and others have sizes of their own: write "
                f"lay:size=“{first}, {last}” for these two, or “{first}-{last}” for all from one "
                "to the other.",
                leaf.id,
            )


def _check_sizes(
    sizes: Sequence[str], in_scope: Sequence[str], chosen: Collection[str] | None
) -> None:
    if chosen is None:
        if len(in_scope) > 1:
            raise DrawingError(
                f"The pieces are drawn in {len(in_scope)} sizes, {listed(rising(in_scope), 30)}: "
                "choose the size to lay out, or several of them."
            )
        return
    known = {folded(size) for size in sizes}
    missing = [size for size in chosen if folded(size) not in known]
    if missing and sizes:
        raise DrawingError(
            f"There is no size “{missing[0]}” in the drawing: choose from "
            f"{listed(rising(sizes), 30)}."
        )
    if missing:
        raise DrawingError(
            f"No piece in the drawing has a size, so size “{missing[0]}” cannot be chosen: leave "
            "the sizes empty, or give the pieces their size with lay:size."
        )


def _fits(leaf: Leaf, chosen: Collection[str] | None) -> bool:
    return chosen is None or any_covered(size_of(leaf), chosen)


def _outlines(leaves: Iterable[Leaf]) -> tuple[ClosedShape, ...]:
    found = (closed_shape(leaf) for leaf in leaves if not has_mark_role(leaf))
    return tuple(shape for shape in found if shape is not None)
