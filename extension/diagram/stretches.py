# SPDX-License-Identifier: GPL-2.0-or-later
"""The pictures of a layout: one, or several stretches of a layout too long for one picture."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from extension.diagram.cloth import Cloth
from extension.diagram.lettered import lettered
from extension.diagram.paper import SCALES, Leaf, Leaves, leaf_for
from extension.diagram.places import Place
from extension.diagram.shapes import MARGINS, Picture, fitting_scale, picture_of, told_scale
from extension.language.errors import OptionError

LEAST = 1.0 / 20.0
"""mm on paper per mm of cloth: a layout that would be smaller is shown in stretches."""
WORTH = 2
"""Parts whose words must come out clear for a picture more."""
MEASURED = 0.25
"""Parts whose words come out clear that it is worth to have all distances of a part, not none."""

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
    laid: Sequence[Place], cloth: Cloth, leaves: Leaves, scale: str, title: str
) -> tuple[Leaf, tuple[Picture, ...]]:
    """Return the leaf that a layout is printed on, and its pictures from the cut end on.

    `scale` is one of `SCALES`. A picture that would be smaller than 1:20, longer than the paper
    at the scale that is wanted, or too small for the words on it, is shown in stretches; those are
    enlarged as far as they fit. Raises OptionError, which calls the layout `title`, when it is too
    wide for the scale, or a part of it too long.
    """
    wanted = SCALES[scale]
    leaf = leaf_for(cloth, leaves)
    whole = leaf, [_Stretch(0.0, cloth.length, tuple(laid))]
    fitting = fitting_scale(cloth, leaf.room)
    if wanted is None:
        return _legible(laid, cloth, leaves, (told_scale(fitting), whole))
    size = 1.0 / wanted
    found = whole if size <= fitting else _fewest(laid, cloth, leaves, size)
    if found is None:
        raise OptionError(
            f"At {scale} the layout {title} is larger than the paper: choose a smaller scale, "
            "or as large as fits."
        )
    return found[0], _pictures(laid, cloth, size, found[1])


def _pictures(
    laid: Sequence[Place], cloth: Cloth, size: float, stretches: Sequence[_Stretch]
) -> tuple[Picture, ...]:
    """Return the pictures of stretches, or the one of all."""
    if len(stretches) == 1:
        return (picture_of(laid, cloth, size),)
    return tuple(picture_of(one.own, cloth, size, (one.start, one.end), laid) for one in stretches)


def _legible(
    laid: Sequence[Place], cloth: Cloth, leaves: Leaves, one: tuple[float, _Way]
) -> tuple[Leaf, tuple[Picture, ...]]:
    """Return as few pictures, as large as fits, as have room for the words on the parts.

    `one` is the scale and the way for all of it in one. A picture more must be worth it.
    """
    size, (leaf, stretches) = one
    whole = leaf, _pictures(laid, cloth, size, stretches)
    best = whole if size >= LEAST else None
    count = 1
    while best is None or WORTH * (count + 1) < _trouble(best[1]):
        larger = _larger(laid, cloth, leaves, size, count)
        if larger is None:
            break
        size, (leaf, stretches) = larger
        count = max(count + 1, len(stretches))
        way = leaf, _pictures(laid, cloth, size, stretches)
        if best is None or _trouble(way[1]) < _trouble(best[1]):
            best = way
    return best or whole


def _trouble(pictures: Sequence[Picture]) -> float:
    """Return how hard pictures are to read: how many there are, and what found no room on them."""
    words = [lettered(picture) for picture in pictures]
    wanted, shown = sum(one.wanted for one in words), sum(len(one.figures) for one in words)
    parts = sum(len(picture.shapes) for picture in pictures)
    unmeasured = MEASURED * parts * (1.0 - shown / wanted) if wanted else 0.0
    return WORTH * len(pictures) + sum(one.squeezed for one in words) + unmeasured


def _larger(
    laid: Sequence[Place], cloth: Cloth, leaves: Leaves, size: float, count: int
) -> tuple[float, _Way] | None:
    """Return the largest scale with a stretch more than `count`, or with as few as there may be.

    None when the cloth is too wide to be shown larger than at `size`.
    """
    size = max(1.01 * size, LEAST)
    found = _fewest(laid, cloth, leaves, size)
    if found is None:
        return None
    most = max(count + 1, len(found[1]))
    largest = max(fitting_scale(replace(cloth, length=1.0), leaf.room) for leaf in leaves)
    for _ in range(_HALVINGS):
        middle = (size + largest) / 2.0
        way = _fewest(laid, cloth, leaves, middle)
        if way is not None and len(way[1]) <= most:
            size, found = middle, way
        else:
            largest = middle
    return told_scale(size), found


def _fewest(laid: Sequence[Place], cloth: Cloth, leaves: Leaves, size: float) -> _Way | None:
    """Return the leaf on which there are the fewest stretches, None when there is none."""
    left, right, above, below = MARGINS
    ways = []
    for leaf in leaves:
        wide, high = leaf.room
        stretches = _stretches(laid, cloth, (wide - left - right) / size)
        if stretches and cloth.width * size <= high - above - below:
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
