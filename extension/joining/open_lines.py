# SPDX-License-Identifier: GPL-2.0-or-later
"""Which lines of a drawing may be parts of broken outlines, as segments in page mm."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass

import numpy as np
import tinycss2.color3

from extension.joining.segments import Look, Segment
from extension.language.errors import DrawingError
from extension.language.units import user_units
from extension.pieces.attributes import says_leave_out
from extension.pieces.objects import Calling, carriers
from extension.pieces.scope import Scope
from extension.pieces.stand_ins import joined_already, joined_outlines
from extension.pieces.structure import has_mark_role
from extension.svg.basic_shapes import shape_subpaths
from extension.svg.identities import kind_of
from extension.svg.model import Leaf, Matrix
from extension.svg.pathdata import Subpath
from extension.svg.scales import scale_of
from extension.svg.transforms import apply

NO_PAINT = "none"
"""The colour of a line without any."""

_ROUNDED = 0.01
"""mm to which widths and dashes are compared..."""
_OFF_STEP = 0.0037
"""...off the round figures that drawings use, so that noise in the last digit decides nothing."""
_OURS = ("joined", "of", "layout", "review")
"""Attributes on what we drew: never joined again."""


@dataclass(frozen=True, eq=False, slots=True)
class OpenLines:
    """The segments to join, and the leaf that each is of: `segments[i].source` counts `leaves`.

    `empty` are leaves with strokes of no length that show nothing, or too far away. `used` are the
    joined outlines that other lines of these are part of already, `outlines` all that were ever
    joined.
    """

    segments: tuple[Segment, ...]
    leaves: tuple[Leaf, ...]
    empty: tuple[Leaf, ...]
    used: tuple[Leaf, ...] = ()
    outlines: tuple[Leaf, ...] = ()


def open_lines(leaves: Sequence[Leaf], selected: Collection[str]) -> OpenLines:
    """Return the open lines among leaves, those that are selected if any are.

    Hidden lines take no part, nor those marked to leave out or as a mark of a piece, nor what we
    drew ourselves, nor what is joined already. Raises DrawingError when nothing has a selected id.
    """
    scope = Scope(leaves, selected)
    if scope.unknown:
        raise DrawingError(
            f"Nothing that is drawn is called “{scope.unknown[0]}”: select the broken lines, or "
            "nothing for all of them.",
            scope.unknown[0],
        )
    segments: list[Segment] = []
    sources: list[Leaf] = []
    empty: list[Leaf] = []
    already = joined_already(leaves)
    used = dict.fromkeys(
        outline for line, outline in already.items() if scope.holds(line) or scope.holds(outline)
    )
    for leaf in leaves:
        if leaf in already or not scope.holds(leaf) or not _takes_part(leaf):
            continue
        if leaf.far:
            empty.append(leaf)
            continue
        look = look_of(leaf.style, leaf.matrix)
        strokes = [np.array(ring.points) for ring in leaf.rings if not ring.closed]
        dots = _dots(leaf)
        if dots and _draws_dots(leaf.style):
            strokes += [np.array([dot]) for dot in dots]
        elif dots:
            empty.append(leaf)
        if strokes:
            segments += [Segment(points, look, len(sources)) for points in strokes]
            sources.append(leaf)
    outlines = joined_outlines(leaves)
    return OpenLines(tuple(segments), tuple(sources), tuple(empty), tuple(used), outlines)


def look_of(style: Mapping[str, str], matrix: Matrix) -> Look:
    """Return how a line is drawn, in mm on the page."""
    scale = scale_of(matrix)
    width = _length(style.get("stroke-width", "1"), scale)
    words = style.get("stroke-dasharray", NO_PAINT).replace(",", " ").split()
    dashes = () if words == [NO_PAINT] else tuple(_length(word, scale) for word in words)
    return Look(_colour(style.get("stroke", NO_PAINT)), width, dashes if any(dashes) else ())


def _takes_part(leaf: Leaf) -> bool:
    """Return whether a leaf is a visible shape that is nothing but a line, as far as we know."""
    if leaf.hidden or leaf.text or has_mark_role(leaf):
        return False
    for carrier in carriers(leaf):
        if any(name in carrier.attributes for name in _OURS):
            return False
        with suppress(DrawingError):  # what is written wrong is told when it is laid out
            if says_leave_out(carrier.attributes, Calling(carrier), carrier.id):
                return False
    return True


def _dots(leaf: Leaf) -> list[tuple[float, float]]:
    """Return where a leaf has strokes of no length, which are no rings.

    There are none where it shows nothing at all: then its path need not be one either.
    """
    kind = kind_of(leaf.element)
    if kind not in ("path", "line", "polyline"):
        return []
    attributes = {str(name): str(value) for name, value in leaf.element.attrib.items()}
    try:
        subpaths = shape_subpaths(kind, attributes, leaf.measures)
    except ValueError:
        return []
    if len(subpaths) == len(leaf.rings):
        return []
    return [apply(leaf.matrix, one.start) for one in subpaths if _has_no_length(one)]


def _has_no_length(subpath: Subpath) -> bool:
    """Return whether a subpath stays where it starts."""
    points = {
        segment[index : index + 2]
        for segment in subpath.segments
        for index in range(len(segment) % 2 and 5, len(segment), 2)
    }
    return points == {subpath.start}


def _draws_dots(style: Mapping[str, str]) -> bool:
    """Return whether strokes of no length show: as dots, by their round or square caps."""
    return style.get("stroke-linecap", "butt") != "butt"


def _length(text: str, scale: float) -> float:
    """Return a length of a style in mm, rounded for comparing; one beyond numbers is none."""
    try:
        steps = (user_units(text) * scale + _OFF_STEP) / _ROUNDED
    except ValueError:
        return 0.0
    return round(round(steps) * _ROUNDED, 4) if math.isfinite(steps) else 0.0


def _colour(text: str) -> str:
    """Return a colour as `#rrggbb`, whichever way it is written; other paint as it is."""
    try:
        red, green, blue, _ = tinycss2.color3.parse_color(text)
    except (TypeError, ValueError):
        return text.strip().lower()
    return "#" + "".join(f"{round(255 * channel):02x}" for channel in (red, green, blue))
