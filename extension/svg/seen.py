# SPDX-License-Identifier: GPL-2.0-or-later
"""How messages call what has no name: by what she sees of it, where, and of what size."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property

import numpy as np
import shapely

from extension.language.rounding import figures
from extension.language.words import counted
from extension.svg.identities import kind_of
from extension.svg.model import Group, Leaf

Box = tuple[float, float, float, float]

WORDS = 30
"""Letters of what is written on a thing, as messages repeat it."""
ENOUGH = 4
"""Letters from which on the words of a thing tell it from others; `2` alone says little."""
ALIKE = 1.02
"""Ratio of areas up to which two outlines round the same words both show these."""
SPREAD = 0.6
"""Share of the drawing from which on a thing is not at one place of it."""
_NOUNS = {
    "circle": "circle",
    "ellipse": "ellipse",
    "image": "picture",
    "line": "straight line",
    "rect": "rectangle",
    "text": "text",
    "flowRoot": "text",
    "use": "clone",
    "g": "group",
    "svg": "group",
    "symbol": "symbol",
    "a": "group",
    "switch": "group",
    "polygon": "outline",
    "polyline": "line",
    "path": "line",
}


def noun_of(kind: str) -> str:
    """Return the word for a kind of SVG element, by its tag, before anything of it is read."""
    return _NOUNS.get(kind, "object")


def quoted(words: str) -> str:
    """Return written words as messages repeat them: in one line, not too many, in quotes."""
    line = " ".join(words.split())
    if len(line) > WORDS:
        cut = line[:WORDS].rsplit(" ", 1)[0]
        line = f"{cut.rstrip(' ,;:-')} …"
    return f"“{line}”"


def measures_of(box: Box) -> str:
    """Return how wide and high something is drawn, by which it is found: `5 × 12.5 cm`."""
    low_x, low_y, high_x, high_y = box
    return f"{figures((high_x - low_x) / 10.0, 3)} × {figures((high_y - low_y) / 10.0, 3)} cm"


class Sight:
    """What is seen in a drawing, `leaves`, which may still be filled while it is read."""

    def __init__(self, leaves: Sequence[Leaf]) -> None:
        self._leaves = leaves

    def of(self, thing: Leaf | Group, noun: str = "") -> str:
        """Return how messages call a thing without a name: `the circle of 0.8 × 0.8 cm on “Front”`.

        By the words that stand on it alone where there are any, else by kind, size and place.
        `noun` is what it is known to be, where that says more than its shape: `bracket`.
        """
        if isinstance(thing, Group):
            return self._group(thing)
        if thing.far:
            return f"the {_noun(thing)}"
        if thing.text:
            return f"the text {quoted(thing.text)}"
        words = self._words.get(_key(thing), "")
        if words:
            return f"the {_noun(thing)} with the words {quoted(words)}"
        inside = None if _is_nothing(thing) else self._round(thing)
        place = self._place(thing.box) if inside is None else f" on {inside}"
        return f"the {noun or _noun(thing)}{_size(thing)}{place}"

    def _group(self, group: Group) -> str:
        """Return how messages call a group, a layer or a clone of a group."""
        inside = [leaf for leaf in self._leaves if any(one is group for one in leaf.groups)]
        noun = "clone" if group.is_clone else "layer" if group.is_layer else "group"
        words = _together(leaf.text for leaf in inside)
        if words:
            return f"the {noun} with the words {quoted(words)}"
        if not inside:
            return f"the empty {noun}"
        box = _round_all([leaf.box for leaf in inside])
        things = counted(len(inside), "object")
        return f"the {noun} of {things}, {measures_of(box)}{self._place(box)}"

    @cached_property
    def _visible(self) -> list[Leaf]:
        return [leaf for leaf in self._leaves if not leaf.hidden and not leaf.far]

    @cached_property
    def _closed(self) -> list[tuple[float, Leaf, shapely.Polygon]]:
        """The closed outlines that are seen, with their areas, the smallest first."""
        found = []
        for leaf in self._visible:
            polygons = [
                shapely.Polygon(ring.points)
                for ring in leaf.rings
                if ring.closed and len(ring.points) > 2
            ]
            if polygons:
                largest = max(polygons, key=lambda polygon: polygon.area)
                found.append((float(largest.area), leaf, largest))
        return sorted(found, key=lambda one: one[0])

    @cached_property
    def _boxes(self) -> np.ndarray:
        return np.array([leaf.box for _, leaf, _ in self._closed]).reshape(-1, 4)

    @cached_property
    def _words(self) -> dict[tuple[str, Box], str]:
        """What is written on an outline and on none within it."""
        texts: dict[tuple[str, Box], list[str]] = {}
        for text in (leaf for leaf in self._visible if leaf.text):
            holding = list(self._holding(_middle(text.box)))
            for area, leaf in holding:
                if area <= ALIKE * holding[0][0]:
                    texts.setdefault(_key(leaf), []).append(text.text)
        return {key: words for key, lines in texts.items() if (words := _together(lines))}

    def _holding(self, point: tuple[float, float]) -> Iterator[tuple[float, Leaf]]:
        """Yield the outlines round a point with their areas, the smallest first."""
        x, y = point
        low_x, low_y, high_x, high_y = self._boxes.T
        for index in np.flatnonzero((low_x <= x) & (x <= high_x) & (low_y <= y) & (y <= high_y)):
            area, leaf, polygon = self._closed[int(index)]
            if polygon.contains(shapely.Point(x, y)):
                yield area, leaf

    def _round(self, thing: Leaf) -> str | None:
        """Return the innermost outline round a thing that has a name or words of its own."""
        low_x, low_y, high_x, high_y = thing.box
        own = (high_x - low_x) * (high_y - low_y)
        for area, leaf in self._holding(_middle(thing.box)):
            if leaf is thing or area <= own:
                continue
            name = _name_of(leaf)
            if name:
                return f"“{name}”"
            if _key(leaf) in self._words:
                return f"the {_noun(leaf)} with the words {quoted(self._words[_key(leaf)])}"
        return None

    @cached_property
    def _whole(self) -> Box:
        boxes = [leaf.box for leaf in self._visible if not _is_nothing(leaf)]
        return _round_all(boxes) if boxes else (0.0, 0.0, 0.0, 0.0)

    def _place(self, box: Box) -> str:
        """Return where on the drawing a box lies, "" for what is most of it."""
        low_x, low_y, high_x, high_y = self._whole
        width, height = high_x - low_x, high_y - low_y
        across = _third(box[0] - low_x, box[2] - low_x, width)
        down = _third(box[1] - low_y, box[3] - low_y, height)
        if across is None and down is None:
            return ""
        name = (
            ("at the upper left", "at the top", "at the upper right"),
            ("at the left", "in the middle", "at the right"),
            ("at the lower left", "at the bottom", "at the lower right"),
        )[1 if down is None else down][1 if across is None else across]
        return f" {name} of the drawing"


def _third(low: float, high: float, whole: float) -> int | None:
    """Return in which third the middle of a span lies, None for most of the whole."""
    if whole <= 0.0 or high - low >= SPREAD * whole:
        return None
    return max(0, min(2, int(3.0 * (low + high) / 2.0 / whole)))


def _key(leaf: Leaf) -> tuple[str, Box]:
    """Return by what a leaf is known again, also once something else of it was changed."""
    return leaf.id, leaf.box


def _noun(leaf: Leaf) -> str:
    """Return what kind of thing a leaf is to the eye."""
    kind = kind_of(leaf.element)
    if leaf.far:
        return f"{noun_of(kind)} far off the page"
    if _is_nothing(leaf):
        return f"empty {noun_of(kind)}"
    if kind in ("circle", "ellipse", "image", "rect"):
        return noun_of(kind)
    dashed = "dashed " if leaf.style.get("stroke-dasharray", "none") not in ("none", "0") else ""
    if any(ring.closed for ring in leaf.rings):
        return f"{dashed}outline"
    return f"{dashed}{'straight' if _is_straight(leaf) else 'open'} line"


def _size(leaf: Leaf) -> str:
    """Return how large a leaf is drawn, as it stands behind its kind."""
    if _is_nothing(leaf):
        return ""
    if _is_straight(leaf):
        start, end = leaf.rings[0].points
        return f" {figures(math.dist(start, end) / 10.0, 3)} cm long"
    return f" of {measures_of(leaf.box)}"


def _is_straight(leaf: Leaf) -> bool:
    return len(leaf.rings) == 1 and len(leaf.rings[0].points) == 2 and not leaf.rings[0].closed


def _is_nothing(leaf: Leaf) -> bool:
    """Return whether nothing is seen of a leaf."""
    low_x, low_y, high_x, high_y = leaf.box
    return not (leaf.rings or leaf.text or (high_x > low_x and high_y > low_y))


def _name_of(leaf: Leaf) -> str:
    """Return the name that was given to an outline, or to a group round it that is no layer."""
    groups = [group for group in reversed(leaf.groups) if not group.is_layer]
    names = (leaf.attributes.get("name"), leaf.label, *(g.attributes.get("name") for g in groups))
    return next((" ".join(name.split()) for name in names if name and name.strip()), "")


def _together(texts: Iterator[str] | Sequence[str]) -> str:
    """Return the first words of several texts: as many as tell a thing from others."""
    words = ""
    for text in texts:
        words = f"{words} {text}".strip() if text else words
        if sum(sign.isalnum() for sign in words) >= ENOUGH:
            break
    return words


def _middle(box: Box) -> tuple[float, float]:
    return (box[0] + box[2]) / 2.0, (box[1] + box[3]) / 2.0


def _round_all(boxes: Sequence[Box]) -> Box:
    """Return the box round several boxes."""
    low_x, low_y, high_x, high_y = zip(*boxes, strict=True)
    return min(low_x), min(low_y), max(high_x), max(high_y)
