# SPDX-License-Identifier: GPL-2.0-or-later
"""What is left of parts that are none any more: outline lost, united, or several in one path."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import shapely

from extension.job.plan import Cut

Copy = tuple[str, int]
"""A piece by its id in the job, and which of its copies."""

WreckKind = Literal["lost", "changed", "several"]


@dataclass(frozen=True, eq=False, slots=True)
class Wreck:
    """Something on a layout that was a part. `id` is the object's, `copies` what it is noted as.

    `lost`: a part's group without its outline; `changed`: with another outline in its place;
    `several`: an outline that holds those of several parts, of the pieces in `cuts`. `areas` are
    where it lies, in the engine's frame.
    """

    id: str
    kind: WreckKind
    cuts: tuple[Cut, ...]
    copies: tuple[int, ...]
    areas: tuple[shapely.Geometry, ...]

    @property
    def needs_cloth(self) -> bool:
        """Whether it takes room on the cloth: marks without an outline do not."""
        return self.kind != "lost"


def claimed(
    wrecks: Sequence[Wreck], missing: Mapping[str, Sequence[int]]
) -> tuple[tuple[Copy, ...], ...]:
    """Return which of the missing copies each wreck was: the noted one if it can be.

    A wreck whose part has been replaced was none of them.
    """
    free = {id_: list(copies) for id_, copies in missing.items()}
    claims: dict[int, list[Copy]] = {}
    for wreck in sorted(wrecks, key=lambda wreck: wreck.kind != "several"):
        own = claims.setdefault(id(wreck), [])
        for cut in wreck.cuts:
            left = free.get(cut.piece.id, [])
            if left:
                copy = next((one for one in wreck.copies if one in left), left[0])
                left.remove(copy)
                own.append((cut.piece.id, copy))
    return tuple(tuple(sorted(claims[id(wreck)])) for wreck in wrecks)
