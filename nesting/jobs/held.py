# SPDX-License-Identifier: GPL-2.0-or-later
"""Whether the placements that a job holds in place can be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from nesting.cloth.hands import cut_flipped, hands_of, may_go_double
from nesting.jobs.fabric import LONGEST
from nesting.jobs.values import flag_faults, is_count, is_list, number_faults, said
from nesting.model import Fabric, Job, Piece, Placement


def held_faults(job: Job) -> Iterator[str]:
    """Yield what is wrong with the placements that stay where they are."""
    pieces = {piece.id: piece for piece in job.pieces}
    taken: set[tuple[str, int]] = set()
    for number, spot in enumerate(job.held, 1):
        what = f"Held placement number {number}"
        piece = pieces.get(spot.piece) if isinstance(spot.piece, str) else None
        if piece is None:
            yield f"{what} is of {said(spot.piece)}, which is no piece of this job."
            continue
        faults = list(_spot_faults(what, piece, spot, job.fabric))
        yield from faults
        for copy in () if faults else spot.copies:
            if (piece.id, copy) in taken:
                yield f"Copy {copy} of {piece.label} is held twice: hold it once."
            taken.add((piece.id, copy))


def _spot_faults(what: str, piece: Piece, spot: Placement, fabric: Fabric) -> Iterator[str]:
    """Yield what is wrong with one held placement of a known piece."""
    yield from number_faults(f"The turn of {what}", spot.turn, -360, 360, "°")
    for value in (spot.x, spot.y):
        yield from number_faults(f"The place of {what}", value, -2 * LONGEST, 2 * LONGEST, " mm")
    yield from flag_faults(f"The flip of {what}", spot.flip)
    yield from _way_faults(what, spot, fabric)
    yield from _copies_faults(what, piece, spot, fabric)


def _way_faults(what: str, spot: Placement, fabric: Fabric) -> Iterator[str]:
    """Yield what is wrong with the section and the layers that a held placement names."""
    if not is_count(spot.section) or not 1 <= spot.section <= len(fabric.sections):
        yield f"{what} lies in section {said(spot.section)}, which the cloth does not have."
    if not is_count(spot.layers) or spot.layers not in (1, 2):
        yield f"{what} must lie on 1 or 2 layers, not {said(spot.layers)}."
    yield from flag_faults(f"“on_fold” of {what}", spot.on_fold)


def _copies_faults(what: str, piece: Piece, spot: Placement, fabric: Fabric) -> Iterator[str]:
    """Yield what is wrong with the copies that a held placement cuts."""
    copies = spot.copies
    layers = spot.layers if is_count(spot.layers) else 1
    if not (is_list(copies) and len(copies) == layers and all(map(is_count, copies))):
        many = "one copy, given by its number" if layers == 1 else "two copies, given by number"
        yield f"{what} must cut {many} in a list, not {said(copies)}."
        return
    for copy in copies:
        if copy not in piece.numbers:
            times = f"which is cut {piece.cut} times per garment"
            times = "which is not laid here" if piece.copies else times
            yield f"{what} is copy {copy} of {piece.label}, {times}."
            return
    if not is_count(spot.garment) or spot.garment != (copies[0] - 1) // piece.cut + 1:
        wrong = said(spot.garment)
        yield f"{what} is copy {copies[0]} of {piece.label}, which is not of garment {wrong}."
    if layers == 2:
        if not may_go_double(piece, (copies[0], copies[1])):
            pair = f"copies {copies[0]} and {copies[1]} of {piece.label}"
            yield f"{what} is {pair}, which are no pair: cut each by itself."
    elif cut_flipped(fabric, spot) not in hands_of(piece, copies[0]):
        hand = "as drawn" if spot.flip else "mirrored"
        yield f"{what} is copy {copies[0]} of {piece.label}, which is cut {hand}: flip it."


def clean_spot(spot: Placement) -> Placement:
    """Return a held placement with plain numbers."""
    return replace(
        spot,
        copies=tuple(int(copy) for copy in spot.copies),
        garment=int(spot.garment),
        turn=float(spot.turn),
        x=float(spot.x),
        y=float(spot.y),
        section=int(spot.section),
        layers=int(spot.layers),
    )
