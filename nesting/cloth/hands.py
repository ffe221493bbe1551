# SPDX-License-Identifier: GPL-2.0-or-later
"""The hands of copies: which is the mirrored one of a pair, and which two may be cut at once."""

from __future__ import annotations

from nesting.geometry.shapes import oriented, whole_outline
from nesting.model import Fabric, Piece, Placement


def hands_of(piece: Piece, copy: int) -> tuple[bool, ...]:
    """Return whether copy number `copy` (from 1, over all garments) lies flipped, the usual first.

    Hands are decided within each garment: every second copy is the mirrored one of a pair, so an
    odd count leaves one as drawn. A copy that is no half of a pair may be both where its piece may
    lie with either side up.
    """
    number = (copy - 1) % piece.cut
    if piece.hand == "mirrored" and piece.fold is None and number < piece.cut // 2 * 2:
        return (number % 2 == 1,)
    return (False, True) if piece.either_side else (False,)


def has_no_hand(piece: Piece) -> bool:
    """Return whether any copy of a piece serves as well as its mirror image.

    So does what is opened out from a fold along the grainline.
    """
    from nesting.geometry.symmetry import (
        is_own_mirror,
    )  # a library that a first layout can wait for

    if piece.handed:
        return False
    return is_own_mirror(oriented(whole_outline(piece), piece.grain, 0.0, False))


def may_go_double(piece: Piece, copies: tuple[int, int]) -> bool:
    """Return whether two copies may be cut at once through two layers that mirror each other."""
    one, other = (hands_of(piece, copy) for copy in copies)
    if (False in one and True in other) or (True in one and False in other):
        return True
    return has_no_hand(piece)


def cut_flipped(fabric: Fabric, spot: Placement) -> bool:
    """Return whether what a placement cuts on a single layer is the mirror image of the piece.

    Where right sides lie apart the lower layer of a folded section lies wrong side up. A half on
    the fold of the cloth lies on both layers, and is the same from either side.
    """
    if spot.on_fold:
        return spot.flip
    wrong_side_up = fabric.sides == "apart" and not fabric.sections[spot.section - 1].is_open
    return spot.flip != wrong_side_up
