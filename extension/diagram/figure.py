# SPDX-License-Identifier: GPL-2.0-or-later
"""The layout to scale as an inline picture: real geometry, real text, a title and description."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

import shapely

from extension.diagram.places import Place, ends_text, tape_text
from extension.errors import OptionError
from extension.units import System

LEFT, RIGHT, TOP, BOTTOM = 20.0, 5.0, 8.0, 8.0
"""mm of paper round the cloth."""
DETAIL = 1.8
"""mm on paper: letters smaller than this are not used for distances (common practice, 5 pt)."""


@dataclass(frozen=True, slots=True)
class Cloth:
    """The cloth of a picture: `length` and `width` in mm, between the selvedges."""

    length: float
    width: float
    nap: bool
    system: System


def scale_for(cloth: Cloth, room: tuple[float, float], wanted: float | None) -> float:
    """Return mm on paper per mm of cloth; `room` is what the picture may take, mm.

    `wanted` is 10 for 1:10, None for the largest that fits. Raises OptionError when the layout
    would be cut off.
    """
    fitting = min((room[0] - LEFT - RIGHT) / cloth.length, (room[1] - TOP - BOTTOM) / cloth.width)
    if wanted is None:
        return fitting
    if 1.0 / wanted > fitting:
        raise OptionError(
            f"At 1:{wanted:g} the layout is larger than the paper: choose a smaller scale or “fit”."
        )
    return 1.0 / wanted


def figure(places: Sequence[Place], cloth: Cloth, scale: float, name: str, title: str) -> str:
    """Return the picture as SVG; `name` starts its ids, `title` is plain text."""
    across, along = cloth.length * scale, cloth.width * scale
    width, height = across + LEFT + RIGHT, along + TOP + BOTTOM
    nap = "All tops lie one way." if cloth.nap else "The cloth is without nap."
    about = (
        f"{len(places)} parts on a single layer of cloth. The cut end is at the left, "
        f"one selvedge above and one below. {nap} The placing table gives the same as text."
    )
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.2f}mm" height="{height:.2f}mm"'
            f' viewBox="{-LEFT:g} {-TOP:g} {width:.2f} {height:.2f}" role="img"'
            f' aria-labelledby="{name}-title {name}-about">',
            f'<title id="{name}-title">{escape(title)}</title>',
            f'<desc id="{name}-about">{escape(about)}</desc>',
            *_cloth(across, along, cloth.nap),
            *(_part(place, cloth, scale) for place in places),
            "</svg>",
        ]
    )


def _cloth(across: float, along: float, nap: bool) -> list[str]:
    """Return the cloth with both selvedges, the cut end and the nap."""
    made = [f'<rect width="{across:.2f}" height="{along:.2f}" class="cloth"/>']
    for y, outward in ((0.0, -1.0), (along, 1.0)):
        made += [
            f'<path d="M0 {y + off * outward:.2f}H{across:.2f}" class="line"/>' for off in (0, 1)
        ]
        made.append(_text(across / 2.0, y + (-2.2 if outward < 0 else 4.4), "selvedge", 3.0))
    made.append(_text(-2.0, along / 2.0, "cut end", 3.0, turned=True))
    middle = along / 2.0
    if nap:
        made.append(_text(-9.0, middle, "nap: all tops this way", 3.0, turned=True))
        y = min(middle + 24.0, along - 2.0)
        made.append(f'<path d="M-16 {y:.2f}h10m-2.5 -1.5l2.5 1.5l-2.5 1.5" class="line"/>')
    else:
        made.append(_text(-9.0, middle, "no nap", 3.0, turned=True))
    return made


def _part(place: Place, cloth: Cloth, scale: float) -> str:
    """Return one part: outline, grainline with its top, number; distances where there is room."""
    fill = "down" if place.flipped else "up"

    def paper(x: float, y: float) -> tuple[float, float]:
        return x * scale, (cloth.width - y) * scale

    outline = " ".join(
        f"{x:.2f},{y:.2f}" for x, y in (paper(*p) for p in place.polygon.exterior.coords[:-1])
    )
    spoke = shapely.maximum_inscribed_circle(place.polygon)
    x, y = paper(*spoke.coords[0])
    radius = spoke.length * scale
    number = f"{place.number}*" if place.is_opened else place.number
    # A figure is about 0.6 em wide.
    size = min(max(1.7 * radius / (0.6 * len(number)), 1.9), 4.5)
    lines = [(number, size)]
    distances = [
        f"cut end {tape_text(place.leading, cloth.system)}",
        f"selvedge {ends_text(place, cloth.system)}",
    ]
    small = min(1.8 * radius / (0.6 * max(map(len, distances))), 2.5)
    if small >= DETAIL:
        lines += [(text, small) for text in distances]
    step = 1.4 * small
    top = y - (len(lines) - 1) * step / 2.0 + size * 0.35
    texts = [
        _text(x, top + step * row, text, letters, f"on-{fill}")
        for row, (text, letters) in enumerate(lines)
    ]
    first, last = (paper(*end) for end in place.grain)
    return "\n".join([f'<polygon points="{outline}" class="{fill}"/>', _arrow(first, last), *texts])


def _arrow(first: tuple[float, float], last: tuple[float, float]) -> str:
    """Return a grainline with a head at the top of the piece."""
    length = math.dist(first, last)
    reach = min(2.0, length / 3.0) / length if length > 0.0 else 0.0
    dx, dy = (last[0] - first[0]) * reach, (last[1] - first[1]) * reach
    wings = [(last[0] - dx - s * dy / 2, last[1] - dy + s * dx / 2) for s in (1, -1)]
    return (
        f'<path d="M{first[0]:.2f} {first[1]:.2f}L{last[0]:.2f} {last[1]:.2f}'
        f"M{wings[0][0]:.2f} {wings[0][1]:.2f}L{last[0]:.2f} {last[1]:.2f}"
        f'L{wings[1][0]:.2f} {wings[1][1]:.2f}" class="grain"/>'
    )


def _text(
    x: float, y: float, text: str, size: float, look: str = "plain", *, turned: bool = False
) -> str:
    """Return a centred line of text."""
    turn = f' transform="rotate(-90 {x:.2f} {y:.2f})"' if turned else ""
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size:.2f}" class="{look}"{turn}>'
        f"{escape(text)}</text>"
    )
