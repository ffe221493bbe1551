# SPDX-License-Identifier: GPL-2.0-or-later
"""Unfolds the cloth: from placements on folded sections to what they cut on flat sheets.

The judge asks its plain rules of these sheets, seen from their right side, so that no rule needs
to know how cloth is folded; where on the table a part may lie is asked by `zones`.

Frame of a section, as it lies on the table: x from its start, y on the lower layer as if that were
spread out, so that the table reaches from `lower` to width - `upper`, where the cloth is folded.
The upper layer shows the mirror image about the fold. With right sides together the lower layer
lies right side up; apart it lies wrong side up, and its right side shows everything mirrored.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from nesting.judge.matching import to_lines
from nesting.judge.outlines import Laid, Sheet, is_finite, lay, lies_upright
from nesting.judge.verdict import Violation, part_key
from nesting.judge.zones import Zone, is_known, off_section, stray, zone_of
from nesting.model import Fabric, Piece, Placement, Section

OWN_MIRROR = 0.1
"""mm within which an outline is its own mirror image: then no copy of it has a hand."""
MIRROR_SLACK = 5e-3
"""mm by which that may be passed: rounding, and arcs that are made of chords."""


@dataclass(frozen=True, slots=True)
class Cut:
    """What is cut on one layer: copies, hand and turn as on flat cloth, and if the hand matters.

    Copies that are cut through two layers at once have no hand when their outline is its own
    mirror image. `is_reversed`: on the upper layer of a crosswise fold, which lies end for end.
    `part` counts the placements from 0.
    """

    spot: Placement
    has_hand: bool = True
    is_reversed: bool = False
    part: int = 0


@dataclass(frozen=True, eq=False, slots=True)
class Unfolded:
    """Everything that placements cut on flat sheets.

    `laid` are the outlines of the cuts that lie somewhere; each says in `part` by which placement
    it is cut. `lengths` are the mm of flat cloth that each section needs; `strays` are the parts
    that leave their zone (rule "zone").
    """

    cuts: Sequence[Cut]
    laid: Sequence[Laid]
    lengths: tuple[float, ...]
    strays: Sequence[Violation]


def unfold(
    fabric: Fabric,
    pieces: Mapping[str, Piece],
    placements: Sequence[Placement],
    sections: Sequence[Section] = (),
    on_table: Sequence[Laid] | None = None,
) -> Unfolded:
    """Return what placements cut on flat cloth.

    `sections` are how the cloth lies with its depths known, else those of the fabric: where a
    depth is not known the upper layer cannot be judged. `on_table` are the outlines of the
    placements, one each, as they lie on the table, where they are measured on a drawing instead of
    coming from the pieces. A placement that is nowhere, or in no section, has no outline.
    """
    sections = sections or fabric.sections
    seen = _seen(pieces, placements, sections, on_table)
    needed = [
        _needed(fabric, section, [laid for k, laid in seen.items() if placements[k].section == n])
        for n, section in enumerate(sections, 1)
    ]
    lengths = to_lines(fabric.repeat, pieces, placements, needed)
    spreads = [_Spread(fabric, sections, lengths, k) for k in range(len(sections))]
    handless: dict[str, bool] = {}
    cuts: list[Cut] = []
    flat: list[Laid] = []
    strays: list[Violation] = []
    for k, spot in enumerate(placements):
        piece = pieces.get(spot.piece)
        layers = _layers(piece, spot, fabric, sections, handless)
        cuts += [replace(cut, part=k) for cut in layers]
        if not 1 <= spot.section <= len(sections):
            strays.append(off_section(spot, len(sections)))
        if k not in seen:
            continue
        spread = spreads[spot.section - 1]
        fault = stray(spread.section, fabric.width, piece, spot, seen[k])
        strays += [fault] if fault else []
        flat += [
            replace(laid, part=k, is_stray=fault is not None)
            for laid in spread.spread_out(spot, seen[k], layers, piece)
        ]
    return Unfolded(cuts, flat, lengths, strays)


def _seen(
    pieces: Mapping[str, Piece],
    placements: Sequence[Placement],
    sections: Sequence[Section],
    on_table: Sequence[Laid] | None,
) -> dict[int, Laid]:
    """Return the outlines on the table of the placements that lie in a section, by their index."""
    there = [
        k
        for k, spot in enumerate(placements)
        if is_finite(spot) and 1 <= spot.section <= len(sections)
    ]
    if on_table is not None:
        return {k: on_table[k] for k in there}
    return dict(zip(there, lay(pieces, [placements[k] for k in there]), strict=True))


def _needed(fabric: Fabric, section: Section, laid: Sequence[Laid]) -> float:
    """Return the mm of flat cloth that the parts on a section need; a fold is no edge of it."""
    if not laid:
        return 0.0
    end = max(float(part.polygon.bounds[2]) for part in laid)
    if section.crosswise and not section.turned:
        return 2.0 * (end + fabric.gap / 2.0)
    return (end + fabric.edge_margin) * (2.0 if section.crosswise else 1.0)


# --- layers -------------------------------------------------------------------------------------


def _layers(
    piece: Piece | None,
    spot: Placement,
    fabric: Fabric,
    sections: Sequence[Section],
    handless: dict[str, bool],
) -> list[Cut]:
    """Return what a placement cuts, from the lower layer up; `handless` remembers pieces."""
    section = sections[spot.section - 1] if 1 <= spot.section <= len(sections) else None
    if section is None or section.is_open:
        lower = spot
    else:
        # A half on the fold is its own mirror image there, so it lies as it is said to.
        lower = _over(spot) if fabric.sides == "apart" and not spot.on_fold else spot
    if spot.layers != 2 or section is None:
        return [Cut(lower)]
    about_x = section.crosswise and not section.turned
    upper = replace(lower, turn=_mirrored_turn(lower.turn, about_x), flip=not lower.flip)
    if piece is None:
        return [Cut(lower), Cut(upper, is_reversed=about_x)]
    if piece.id not in handless:
        handless[piece.id] = not piece.handed and is_own_mirror(piece)
    below, above = _told_apart(piece, spot.copies, lower.flip)
    return [
        Cut(_one(piece, lower, below), not handless[piece.id]),
        Cut(_one(piece, upper, above), not handless[piece.id], about_x),
    ]


def _over(spot: Placement) -> Placement:
    """Return a placement as the other side of the cloth shows it, its place aside."""
    return replace(spot, turn=_mirrored_turn(spot.turn, False), flip=not spot.flip)


def _mirrored_turn(turn: float, about_x: bool) -> float:
    """Return the turn of a mirror image, its left and right changed or its up and down."""
    return (180.0 - turn if about_x else -turn) % 360.0


def _one(piece: Piece, spot: Placement, copies: tuple[int, ...]) -> Placement:
    """Return a placement that cuts these copies alone."""
    garment = (copies[0] - 1) // piece.cut + 1 if copies else spot.garment
    return replace(spot, copies=copies, garment=garment)


def _told_apart(
    piece: Piece, copies: tuple[int, ...], is_flipped: bool
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Return which of two copies lies on the lower layer and which on the upper.

    That is a matter of their numbers alone: every second one of a garment is a mirrored one.
    """
    below, above = copies[:1], copies[1:]
    odd = [(copy - 1) % piece.cut % 2 == 1 for copy in copies]
    if len(odd) == 2 and odd[0] != odd[1] and odd[0] != is_flipped:
        return above, below
    return below, above


def is_own_mirror(piece: Piece) -> bool:
    """Return whether what is cut of a piece is its own mirror image about its grainline."""
    ring = lies_upright(piece)
    middle = float(ring.imag.min() + ring.imag.max())
    image = ring.conj() + 1j * middle
    lines, mirrored = (
        shapely.linearrings(np.column_stack([one.real, one.imag])) for one in (ring, image)
    )
    band = shapely.buffer(lines, OWN_MIRROR + MIRROR_SLACK, quad_segs=16)
    return bool(shapely.covers(band, mirrored))


# --- sheets -------------------------------------------------------------------------------------


class _Spread:
    """One section of the cloth, and the flat sheets that it is when it is opened out."""

    def __init__(
        self, fabric: Fabric, sections: Sequence[Section], lengths: Sequence[float], index: int
    ) -> None:
        self.section = sections[index]
        self._width, self._length = fabric.width, lengths[index]
        self._over = fabric.sides == "apart" and not self.section.is_open
        shares = 2 if self.section.crosswise and self.section.turned else 1
        before = sum(lengths[:index])
        self._lower = Sheet(2 * index, before, shares, before)
        start = before + self._length * (shares - 1) / 2.0
        self._upper = Sheet(2 * index + shares - 1, before, shares, start)

    def spread_out(
        self, spot: Placement, laid: Laid, layers: Sequence[Cut], piece: Piece | None
    ) -> list[Laid]:
        """Return the outlines that a placement cuts on the flat sheets, from its one on the table.

        The upper one is missing where the cloth has no second layer, or is folded nobody yet knows
        how deep.
        """
        found = [self._flat(laid, laid.polygon, self._lower, layers[0], piece)]
        if len(layers) == 2:
            image = self._mirrored(spot, laid)
            if image is not None:
                found.append(self._flat(laid, image, self._upper, layers[1], piece))
        return found

    def _mirrored(self, spot: Placement, laid: Laid) -> shapely.Geometry | None:
        """Return the outline on the upper layer, in the frame of its flat sheet."""
        section = self.section
        if section.crosswise:
            if section.turned:
                return _image(laid.polygon, self._width, across=True)
            return _image(laid.polygon, self._length, across=False)
        zone: Zone | None = None
        if is_known(section):
            zone = zone_of(section, self._width, laid.polygon.bounds, spot.layers)
        if zone is None or zone.fold is None:
            return None
        return _image(laid.polygon, 2.0 * zone.fold, across=True)

    def _flat(
        self,
        laid: Laid,
        polygon: shapely.Geometry,
        sheet: Sheet,
        cut: Cut,
        piece: Piece | None,
    ) -> Laid:
        """Return an outline as the right side of its sheet shows it, named by its copy."""
        if self._over:
            polygon = _image(polygon, self._width, across=True)
        key, label = laid.key, laid.label
        if piece is not None and cut.spot.layers == 2 and cut.spot.copies:
            copy = cut.spot.copies[0]
            key, label = part_key(piece.id, copy), f"copy {copy} of {piece.label}"
        return replace(laid, key=key, label=label, polygon=polygon, sheet=sheet)


def _image(polygon: shapely.Geometry, twice: float, *, across: bool) -> shapely.Geometry:
    """Return the mirror image about y = twice / 2, or about x = twice / 2."""
    if across:
        return shapely.transform(polygon, lambda xy: np.column_stack([xy[:, 0], twice - xy[:, 1]]))
    return shapely.transform(polygon, lambda xy: np.column_stack([twice - xy[:, 0], xy[:, 1]]))
