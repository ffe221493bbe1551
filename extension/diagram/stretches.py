# SPDX-License-Identifier: GPL-2.0-or-later
"""The pictures of a layout: one, or several stretches of a layout too long for one picture."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from extension.diagram.cloth import Cloth
from extension.diagram.paper import LEAVES, SCALES, Leaf, Paper, leaf_for
from extension.diagram.places import Place
from extension.diagram.shapes import MARGINS, Picture, fitting_scale, picture_of, told_scale
from extension.language.errors import OptionError

LEAST = 1.0 / 20.0
"""mm on paper per mm of cloth: a layout that would be smaller is shown in stretches."""


_HALVINGS = 12
"""Steps in which the scale of stretches is found: to 1 in 4,000."""


@dataclass(frozen=True, eq=False, slots=True)
class _Stretch:
    """Part of the length of the cloth, mm from the cut end, and the parts that are told there."""

    start: float
    end: float
    own: tuple[Place, ...]


_Way = tuple[Leaf, list[_Stretch]]
"""A leaf, and the stretches that are shown on such leaves."""


def pictures_of(
    laid: Sequence[Place], cloth: Cloth, paper: Paper, scale: str, title: str
) -> tuple[Leaf, tuple[Picture, ...]]:
    """Return the leaf that a layout is printed on, and its pictures from the cut end on.

    `scale` is one of `SCALES`. A picture that would be smaller than 1:20, or longer than the paper
    at the scale that is wanted, is shown in stretches; those of the former are enlarged again as
    far as they fit. Raises OptionError, which calls the layout `title`, when it is too wide for
    the scale, or a part of it too long.
    """
    wanted = SCALES[scale]
    leaf = leaf_for(cloth, paper)
    fitting = fitting_scale(cloth, leaf.room)
    if wanted is None and fitting >= LEAST:
        return leaf, (picture_of(laid, cloth, told_scale(fitting)),)
    size = LEAST if wanted is None else 1.0 / wanted
    if size <= fitting:
        return leaf, (picture_of(laid, cloth, size),)
    found = _fewest(laid, cloth, paper, size)
    if found is None and wanted is None:
        return leaf, (picture_of(laid, cloth, told_scale(fitting)),)
    if found is not None and wanted is None:
        size, found = _enlarged(laid, cloth, paper, size, found)
    if found is None:
        raise OptionError(
            f"At {scale} the layout {title} is larger than the paper: choose a smaller scale, "
            "or as large as fits."
        )
    leaf, stretches = found
    return leaf, tuple(
        picture_of(one.own, cloth, size, (one.start, one.end), laid) for one in stretches
    )


def _enlarged(
    laid: Sequence[Place], cloth: Cloth, paper: Paper, size: float, found: _Way
) -> tuple[float, _Way]:
    """Return the largest scale at which there are no more stretches than at `size`."""
    largest = 2.0 * size
    for _ in range(_HALVINGS):
        middle = (size + largest) / 2.0
        way = _fewest(laid, cloth, paper, middle)
        if way is not None and len(way[1]) <= len(found[1]):
            size, found = middle, way
        else:
            largest = middle
    return told_scale(size), found


def _fewest(laid: Sequence[Place], cloth: Cloth, paper: Paper, size: float) -> _Way | None:
    """Return the leaf on which there are the fewest stretches, None when there is none."""
    left, right, above, below = MARGINS
    ways = []
    for leaf in (Leaf(paper, standing) for standing in LEAVES):
        wide, high = leaf.room
        stretches = _stretches(laid, cloth, (wide - left - right) / size)
        if stretches and cloth.width * size <= high - above - below - cloth.words_room:
            ways.append((leaf, stretches))
    return min(ways, key=lambda way: len(way[1]), default=None)


def _stretches(laid: Sequence[Place], cloth: Cloth, longest: float) -> list[_Stretch]:
    """Return stretches of at most `longest` mm, each part whole in one; none when one is longer."""
    rest, start = list(laid), 0.0
    found: list[_Stretch] = []
    while rest:
        own = [place for place in rest if place.polygon.bounds[2] <= start + longest]
        if not own:
            return []
        found.append(_Stretch(start, min(start + longest, cloth.length), tuple(own)))
        rest = [place for place in rest if place not in own]
        start = min([found[-1].end, *(place.polygon.bounds[0] for place in rest)])
    if found[-1].end < cloth.length:  # bare cloth that is bought all the same
        found.append(_Stretch(cloth.length - longest, cloth.length, ()))
    return found
