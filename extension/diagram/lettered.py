# SPDX-License-Identifier: GPL-2.0-or-later
"""All letters of a picture as they are drawn: captions of parts, figures of distances."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from extension.diagram.captions import Caption, captions
from extension.diagram.distances import Figure, distances, figures
from extension.diagram.shapes import Picture

AT_EDGE = 0.3
"""mm of a leader that may lie on the edge of another part."""


@dataclass(frozen=True, eq=False, slots=True)
class Lettered:
    """What is written on a picture: a caption for each part, and the distances with room.

    `wanted` is how many distances there would be if all had room.
    """

    captions: tuple[Caption, ...]
    figures: tuple[Figure, ...]
    wanted: int

    @property
    def squeezed(self) -> int:
        """How many parts have their words on other parts, or a leader that runs through others."""
        return sum(one.over or _runs_through(one, self.captions) for one in self.captions)


def _runs_through(caption: Caption, every: tuple[Caption, ...]) -> bool:
    """Return whether the leader of a part runs through another part, more than at its edge."""
    if caption.leader is None:
        return False
    others = (one.shape.outline for one in every if one is not caption)
    return any(caption.leader.intersection(outline).length > AT_EDGE for outline in others)


@lru_cache(maxsize=64)
def lettered(picture: Picture) -> Lettered:
    """Return what is written on a picture; asked when it is chosen, and when it is drawn."""
    wanted = distances(picture)
    words = captions(picture, [one.line for one in wanted])
    return Lettered(tuple(words), tuple(figures(picture, wanted, words)), len(wanted))
