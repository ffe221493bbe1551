# SPDX-License-Identifier: GPL-2.0-or-later
"""The judge's rules about several pieces of cloth: what lies on which, and figures of each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import shapely

from nesting.judge.outlines import FIGURES, usable
from nesting.judge.unfolding import Unfolded
from nesting.judge.verdict import Violation, figure, keys_of
from nesting.model import Fabric, Job, Layout, Placement

LOT = "one lot"
"""Name of the rule; its row is in `rules`."""
LENGTH_SLACK, SHARE_SLACK = 1e-5, 1e-6
"""mm, and share of the cloth, by which a figure may be off: rounding."""


def parted_lots(job: Job, placements: Sequence[Placement]) -> Iterator[Violation]:
    """Rule "one lot": what has to be cut from one piece of cloth lies on one."""
    if not job.one_lot:
        return
    cuts = {piece.id: piece.cut for piece in job.pieces}
    labels = {piece.id: piece.label for piece in job.pieces}
    lots: dict[tuple[str, int], list[Placement]] = {}
    for spot in placements:
        of = spot.piece if job.one_lot == "piece" else ""
        for copy in spot.copies:
            lots.setdefault((of, (copy - 1) // cuts[spot.piece] + 1), []).append(spot)
    for (of, garment), spots in lots.items():
        on = sorted({spot.fabric for spot in spots})
        if len(on) > 1:
            what = f"{labels[of]} in garment {garment}" if of else f"garment {garment}"
            sentence = (
                f"The parts of {what} lie on cloths {', '.join(map(str, on))}, but are to be of "
                "one dye lot: lay them on one."
            )
            keys = tuple(key for spot in spots for key in keys_of(spot))
            yield Violation(LOT, keys, float(len(spots)), sentence)


def untrue_cloths(
    job: Job, layout: Layout, unfolded: Mapping[int, Unfolded]
) -> Iterator[Violation]:
    """Rule "length" on several pieces of cloth: what is stated of each, and of all, is true.

    `unfolded` is what lies on each, by its number.
    """
    true = {
        number: _figures(job.fabrics[number - 1], flat)
        for number, flat in unfolded.items()
        if any(spot.fabric == number for spot in layout.placements)
    }
    if [one.fabric for one in layout.fabrics] != sorted(true):
        used = ", ".join(map(str, sorted(true))) or "none"
        sentence = f"The layout does not state the figures of the cloths that it uses: {used}."
        yield Violation(FIGURES, (), 1.0, sentence)
        return
    for one in layout.fabrics:
        length, cloth, area = true[one.fabric]
        stated = (
            ("width", one.width, job.fabrics[one.fabric - 1].width, LENGTH_SLACK),
            ("length", one.length, length, LENGTH_SLACK),
            ("utilisation", one.utilisation, area / cloth if cloth else 0.0, SHARE_SLACK),
        )
        for what, said, is_so, slack in stated:
            yield from _untrue(f"{what} of cloth {one.fabric}", said, is_so, slack)
    cloth = sum(figures[1] for figures in true.values())
    area = sum(figures[2] for figures in true.values())
    length = sum(figures[0] for figures in true.values())
    widest = max(fabric.width for fabric in job.fabrics)
    yield from _untrue("width", layout.width, widest, LENGTH_SLACK)
    yield from _untrue("length", layout.length, length, LENGTH_SLACK * len(job.fabrics))
    yield from _untrue("utilisation", layout.utilisation, area / cloth if cloth else 0.0, 1e-6)
    yield from _untrue("lower bound", layout.lower_bound, 0.0, LENGTH_SLACK)


def _figures(fabric: Fabric, flat: Unfolded) -> tuple[float, float, float]:
    """Return the length that parts need, the area of the cloth and that of the parts; mm, mm2."""
    length = sum(flat.lengths)
    cloth = float(usable(fabric).area) if fabric.outline else fabric.width * length
    return length, cloth, float(sum(shapely.area(part.polygon) for part in flat.laid))


def _untrue(what: str, said: float, true: float, slack: float) -> Iterator[Violation]:
    """Yield that a figure is not what the parts say."""
    if not abs(said - true) <= slack + 1e-9 * abs(true):
        sentence = f"The layout states a {what} of {figure(said)}, but it is {figure(true)}."
        yield Violation(FIGURES, (), abs(said - true), sentence)
