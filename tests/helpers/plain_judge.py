# SPDX-License-Identifier: GPL-2.0-or-later
"""A second judge of layouts, written from the job format's words with shapely's affine maps alone.

It is looser than `nesting.judge.check` in its tolerances and shares no line with it, so that a
fault of the one would be seen by the other. Folded cloth is unfolded by `plain_unfolding`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import chain, combinations, product

import shapely
from shapely import affinity

from nesting.model import Job, Layout, Piece
from tests.helpers import plain_matching, plain_several
from tests.helpers.plain_unfolding import Copy, copies_of, sections_of

THIN = 5e-3
"""mm: a strip shared by two parts may be as thick on average, and a gap less by as much."""
SHARE = 0.05
"""Of the smaller part's area, what may be common however thin it is."""
EDGE = 2e-5
"""mm by which the cloth's edge may be passed."""
TURN = 1e-5
"""Degrees by which a turn may be off."""
GRID = 1e-6
"""mm: what two parts share is measured on a grid as fine as this."""


def faults(job: Job, layout: Layout) -> list[str]:
    """Return what is wrong with a layout of a job, one sentence each, after the broken rule."""
    if job.fabrics:
        return plain_several.faults(job, layout, faults)
    copies = copies_of(job, layout)
    return [
        *_counts(job, layout),
        *_zones(copies),
        *_turns(job, copies),
        *_hands(job, copies),
        *(f"held moved: {spot} has moved" for spot in set(job.held) - set(layout.placements)),
        *_edges(job, layout, copies),
        *_remnant(job, copies),
        *_flaws(job, layout, copies),
        *_borders(job, copies),
        *_pairs(job, copies),
        *plain_matching.faults(job, layout),
        *_figures(job, layout, copies),
    ]


def rules_of(sentences: Iterable[str]) -> set[str]:
    """Return the names of the rules that sentences say are broken."""
    return {sentence.split(":")[0] for sentence in sentences}


def _counts(job: Job, layout: Layout) -> list[str]:
    """Every copy once, placed or left over; left over only on cloth that has an end."""
    wanted = Counter(
        (piece.id, copy)
        for piece in job.pieces
        for copy in (piece.copies or range(1, piece.cut * piece.garments + 1))
    )
    placed = Counter((spot.piece, copy) for spot in layout.placements for copy in spot.copies)
    left = Counter((rest.piece, copy) for rest in layout.left_over for copy in rest.copies)
    found = []
    if placed + left != wanted:
        found.append(f"count: copies {placed + left} instead of {wanted}")
    if left and job.fabric.length is None:
        found.append(f"count: left over on endless cloth: {left}")
    pieces = {piece.id: piece for piece in job.pieces}
    for spot in layout.placements:
        if len(spot.copies) != spot.layers:
            found.append(f"count: a placement of {spot.layers} layers cuts copies {spot.copies}")
        elif (spot.copies[0] - 1) // pieces[spot.piece].cut + 1 != spot.garment:
            found.append(f"count: copy {spot.copies} of {spot.piece} in garment {spot.garment}")
    return found


def _zones(copies: Iterable[Copy]) -> list[str]:
    """Every part lies on as many layers as it cuts, a half on a fold."""
    strays = {copy.spot: copy.strayed for copy in copies if copy.strayed}
    return [f"zone: {spot}: {why}" for spot, why in strays.items()]


def _turns(job: Job, copies: Iterable[Copy]) -> Iterator[str]:
    """Every copy lies in a turn of its piece, with nap the top of each the same way."""
    for copy in copies:
        for rule, turns in (("turn", copy.piece.turns), ("nap", (0.0,))):
            is_free = not job.fabric.nap or copy.piece.turns_on_nap
            away = min(abs((copy.turn - turn + 180.0) % 360.0 - 180.0) for turn in turns)
            if away > copy.piece.off_grain + TURN and not (rule == "nap" and is_free):
                yield f"{rule}: {copy.piece.id} is turned by {copy.turn}"


def _hands(job: Job, copies: list[Copy]) -> Iterator[str]:
    """Each garment has its hands, whichever of two copies that are cut at once belongs to it."""
    for piece in job.pieces:
        mine = [copy for copy in copies if copy.piece.id == piece.id and copy.has_hand]
        options: dict[object, list[list[tuple[int, bool]]]] = {}
        for spot in {copy.spot for copy in mine}:
            cut = [copy for copy in mine if copy.spot == spot]
            flips = [copy.flip for copy in cut for _ in copy.copies]
            numbers = [(number - 1) // piece.cut for copy in cut for number in copy.copies]
            options[spot] = [list(zip(numbers, flips, strict=True))]
            if spot.layers == 2 and len(set(numbers)) == 2:
                options[spot].append(list(zip(numbers[::-1], flips, strict=True)))
        tries = (Counter(chain.from_iterable(one)) for one in product(*options.values()))
        if not any(_is_right(piece, counts) for counts in tries):
            yield f"hand: hands of {piece.id} are wrong"


def _is_right(piece: Piece, counts: Counter[tuple[int, bool]]) -> bool:
    """Return whether no garment has more of one hand than it may have; `count` sees what lacks."""
    pairs = piece.cut // 2 if piece.hand == "mirrored" and piece.fold is None else 0
    spare = piece.cut - 2 * pairs
    for garment in {garment for garment, _ in counts}:
        flipped, upright = counts[garment, True], counts[garment, False]
        most = range(spare + 1) if piece.either_side else (0,)
        if not any(
            flipped <= pairs + more and upright <= piece.cut - pairs - more for more in most
        ):
            return False
    return True


def _edges(job: Job, layout: Layout, copies: Iterable[Copy]) -> Iterator[str]:
    """Every copy is on its sheet of cloth; what leaves its zone is told by that alone."""
    if job.fabric.outline:
        return
    fabric, starts = job.fabric, [0.0]
    for section in layout.sections:
        starts.append(starts[-1] + section.length)
    least, across = fabric.edge_margin - EDGE, fabric.width - fabric.edge_margin + EDGE
    for copy in copies:
        low_x, low_y, high_x, high_y = copy.shape.bounds
        end = float("inf")
        if fabric.length is not None:
            rest = fabric.length - starts[max(copy.sheet[0] - 1, 0)]
            lies = sections_of(job, layout)[max(copy.sheet[0] - 1, 0)]
            end = (rest / 2.0 if lies.turned else rest) - fabric.edge_margin + EDGE
        beyond = not copy.strayed and (low_y < least or high_y > across)
        if low_x < least or high_x > end or beyond:
            yield f"off the cloth: {copy.spot} is off the cloth: {copy.shape.bounds}"


def _cloth(job: Job) -> shapely.Geometry:
    """Return the cloth of a remnant."""
    cloth = shapely.Polygon(job.fabric.outline).buffer(0.0)
    for hole in job.fabric.holes:
        cloth = cloth - shapely.Polygon(hole).buffer(0.0)
    return cloth


def _remnant(job: Job, copies: Iterable[Copy]) -> Iterator[str]:
    """Every copy is on the remnant, its edge margin away from what is none."""
    if not job.fabric.outline:
        return
    cloth, margin = _cloth(job), job.fabric.edge_margin
    for copy in copies:
        off = shapely.difference(copy.shape, cloth, grid_size=GRID)
        thin = off.area <= THIN * off.length / 2.0
        edge = cloth.boundary.distance(copy.shape)
        if not thin or off.area > SHARE * copy.shape.area or edge < margin - THIN:
            yield f"off the remnant: {copy.spot} is off by {off.area} mm2, {edge} mm from an edge"


def _flaws(job: Job, layout: Layout, copies: Iterable[Copy]) -> Iterator[str]:
    """No copy lies over a flaw of the flat cloth, unless its piece is hidden in the garment."""
    for number, outline in enumerate(job.fabric.flaws, 1):
        for copy in (one for one in copies if not one.piece.hidden and one.sheet[0]):
            section, half = copy.sheet
            before = sum(one.length for one in layout.sections[: section - 1])
            before += sum(one.length / 2.0 for one in layout.sections[section - 1 : section] * half)
            # The cloth is moved to where the section begins, instead of the part.
            flaw = affinity.translate(shapely.Polygon(outline), -before).buffer(0.0)
            common = shapely.intersection(copy.shape, flaw, grid_size=GRID)
            thin = common.area <= THIN * common.length / 2.0
            if not thin or common.area > SHARE * min(flaw.area, copy.shape.area):
                yield f"flaw: {copy.spot} covers {common.area} mm2 of flaw {number}"


def _borders(job: Job, copies: Iterable[Copy]) -> Iterator[str]:
    """What asks for a border lies with that edge on the line of one, as found by its rings.

    The edge is where the upright outline is lowest, highest, or farthest to a side; turned back
    upright about the line, it must still be there.
    """
    for copy in copies:
        if not (copy.piece.band and job.fabric.bands):
            continue
        low_x, low_y, high_x, high_y = copy.shape.bounds
        off = []
        for band in job.fabric.bands:
            # Which way the edge must face for the piece to lie over the strip: down, or up.
            away = {"hem": 180.0, "top": 0.0, "left": 90.0, "right": -90.0}[copy.piece.band]
            faces = copy.turn + (-away if copy.flip else away)
            wanted, at = (-90.0, low_y) if band.line < band.to else (90.0, high_y)
            askew = abs((faces - wanted + 180.0) % 360.0 - 180.0)
            size = max(high_x - low_x, high_y - low_y)
            off.append(abs(at - band.line) if askew <= TURN else size)
        if min(off) > EDGE:
            yield f"border: {copy.spot} is {min(off)} mm off it"


def _pairs(job: Job, copies: Iterable[Copy]) -> Iterator[str]:
    """Copies lie apart by the gap."""
    for one, two in combinations(copies, 2):
        if one.sheet != two.sheet or (one.spot == two.spot and one.strayed):
            continue
        # On a grid, because GEOS (seen with 3.14.1) can return the whole of one part as what two
        # have in common that only touch along an edge.
        common = shapely.intersection(one.shape, two.shape, grid_size=GRID)
        smaller = min(one.shape.area, two.shape.area)
        apart = one.shape.distance(two.shape)
        if common.area > THIN * common.length / 2.0 or common.area > SHARE * smaller:
            yield f"overlap: {one.spot} and {two.spot} share {common.area} mm2"
        elif apart < job.fabric.gap - THIN:
            yield f"gap: {one.spot} and {two.spot} are {apart} mm apart"


def _figures(job: Job, layout: Layout, copies: list[Copy]) -> list[str]:
    """Lengths, utilisation and lower bound are what the parts say."""
    fabric, asked = job.fabric, job.fabric.sections
    found, needed = [], []
    if layout.sections or not fabric.is_plain:
        same = [
            (one.crosswise, one.turned) == (two.crosswise, two.turned)
            and all(b is None or a == b for a, b in zip(one.depths, two.depths, strict=True))
            for one, two in zip(layout.sections, asked, strict=False)
        ]
        if len(layout.sections) != len(asked) or not all(same):
            found.append(f"length: the cloth lies as {layout.sections} instead of {asked}")
    for number, section in enumerate(sections_of(job, layout), 1):
        lower = {copy.spot: copy for copy in reversed(copies) if copy.sheet[0] == number}
        ends = [copy.shape.bounds[2] for copy in lower.values()]
        if not ends:
            needed.append(0.0)
        elif section.crosswise:
            end = max(ends) + (fabric.edge_margin if section.turned else fabric.gap / 2.0)
            needed.append(2.0 * end)
        else:
            needed.append(max(ends) + fabric.edge_margin)
        behind = {copy.piece.id: copy.piece for copy in copies if copy.sheet[0] > number}
        needed[-1] = plain_matching.to_a_line(job, behind.values(), needed[-1])
    length = sum(needed)
    stated = [("the layout", layout.length, length)]
    stated += [
        (f"section {number}", laid.length, true)
        for number, (laid, true) in enumerate(zip(layout.sections, needed, strict=False), 1)
    ]
    for what, said, true in stated:
        if abs(said - true) > EDGE + 1e-9 * length:
            found.append(f"length: length {said} of {what} instead of {true}")
    if layout.width != fabric.width:
        found.append(f"length: width {layout.width} instead of {fabric.width}")
    area = sum(copy.shape.area for copy in copies if copy.sheet[0])
    cloth = _cloth(job).area if fabric.outline else length * fabric.width
    share = area / cloth if cloth else 0.0
    if abs(layout.utilisation - share) > 1e-5:
        found.append(f"length: utilisation {layout.utilisation} instead of {share}")
    if not layout.left_over and layout.lower_bound > layout.length + EDGE:
        found.append(f"length: length {layout.length} below the bound {layout.lower_bound}")
    return found
