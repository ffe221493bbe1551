# SPDX-License-Identifier: GPL-2.0-or-later
"""A layout as a picture (PNG), drawn from the report of a run with matplotlib alone.

For the demonstration and for a quick look; the drawing in the editor is the real thing.
"""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import matplotlib as mpl
import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from extension.language.words import letter_of
from nesting.geometry.inscribed import widest_disc
from nesting.geometry.shapes import Points, oriented

CLOTH, EDGE, PART, FLIPPED, INK, SOFT = (
    "#fbf3e2", "#8a7a5c", "#ffffff", "#d9d9d9", "#1a1a1a", "#6b6b6b",
)  # fmt: skip
"""Warm cloth, white parts, grey where the printed side is down: told apart in black and white."""

INCHES = 13.0
"""The longer side of the picture."""
DOTS = 150
LEAST_TEXT = 5.5
"""Points below which a label is replaced by a letter with a legend."""


@dataclass(frozen=True, eq=False, slots=True)
class LaidPart:
    """One part as it lies on the cloth, and what to call it."""

    points: Points
    title: str
    number: str
    """Which copy of how many, such as "1 of 2"; empty for a single one."""
    flipped: bool
    top: tuple[float, float]
    """Unit vector to the top of the piece."""


def laid_parts(report: Mapping[str, Any]) -> list[LaidPart]:
    """Return the parts of a report in the order of its placements."""
    pieces = {piece["id"]: piece for piece in report["pieces"]}
    parts = []
    for placement in report["placements"]:
        piece = pieces[placement["piece"]]
        outline = np.asarray(report["outlines"][placement["piece"]], dtype=np.float64)
        turn, flip = placement["turn"], placement["flip"]
        points = oriented(outline, piece["grain"], turn, flip)
        copies = ", ".join(map(str, placement["copies"]))
        parts.append(
            LaidPart(
                points + np.array([placement["x"], placement["y"]]),
                piece["name"] or piece["id"],
                f"{copies} of {piece['copies']}" if piece["copies"] > 1 else "",
                flip,
                (float(np.cos(np.radians(turn))), float(np.sin(np.radians(turn)))),
            )
        )
    return parts


def draw_picture(report: Mapping[str, Any], file: Path, title: str) -> None:
    """Write the layout of a report as PNG. `title` stands above it."""
    length, width = report["length"], report["width"]
    margin = 0.07 * max(length, width)
    across, along = length + 2 * margin, width + 2.4 * margin
    scale = INCHES / max(across, along)
    with mpl.rc_context({"font.family": "DejaVu Sans", "text.parse_math": False}):
        figure = Figure(figsize=(scale * across, scale * along), dpi=DOTS)
        FigureCanvasAgg(figure)
        axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
        axes.set_axis_off()
        axes.set_xlim(-margin, length + margin)
        axes.set_ylim(-1.3 * margin, width + 1.1 * margin)
        _draw_cloth(axes, report, margin, title)
        _draw_parts(axes, laid_parts(report), 72.0 * scale)
        figure.savefig(file)


def _draw_cloth(axes: Axes, report: Mapping[str, Any], margin: float, title: str) -> None:
    """Draw the cloth, its selvedges, the arrow of the nap and the length."""
    length, width = report["length"], report["width"]
    axes.fill([0, length, length, 0], [0, 0, width, width], color=CLOTH, zorder=0)
    for y, outward in ((0.0, -1.0), (width, 1.0)):
        for offset in (0.0, 0.07 * margin):
            axes.plot([0, length], [y + outward * offset] * 2, color=EDGE, linewidth=0.8)
    axes.plot([0, 0], [0, width], color=EDGE, linewidth=0.8, linestyle=(0, (6, 4)))
    axes.plot([length, length], [0, width], color=EDGE, linewidth=0.8, linestyle=(0, (6, 4)))
    _say(axes, (0.0, width + 0.2 * margin), f"selvedge · width {width / 10:.1f} cm", 8.0, "left")
    _say(axes, (length / 2, width + 0.75 * margin), title, 13.0, "center")
    is_one_way = all(one["turn"] % 360.0 == 0.0 for one in report["placements"])
    tops = "all" if is_one_way else "not all"
    nap = f"nap: {tops} tops this way" if report["options"]["nap"] else "no nap"
    axes.text(-0.5 * margin, width / 2, nap, rotation=90, ha="center", va="center", color=SOFT)
    if report["options"]["nap"]:
        _arrow(axes, (-0.75 * margin, 0.36 * width), (-0.25 * margin, 0.36 * width), "-|>", INK)
    low = -0.55 * margin
    _arrow(axes, (0.0, low), (length, low), "<|-|>", INK)
    _say(axes, (length / 2, low - 0.32 * margin), length_line(report), 11.0, "center")


def length_line(report: Mapping[str, Any]) -> str:
    """Return what the layout needs and what to buy."""
    used = f"{100.0 * report['utilisation']:.1f} % of the cloth used"
    return f"{report['buy']['sentence']} – {used}"


def _draw_parts(axes: Axes, parts: Sequence[LaidPart], scale: float) -> None:
    """Draw the parts with labels that fit; what is too small gets a letter and a legend."""
    legend: list[str] = []
    for part in parts:
        fill = FLIPPED if part.flipped else PART
        axes.fill(*part.points.T, facecolor=fill, edgecolor=INK, linewidth=0.9, joinstyle="round")
        text = label_of(part)
        (x, y), radius = room_for_label(part.points)
        size = text_size(text, radius * scale)
        if size < LEAST_TEXT:
            entry = text.replace("\n", " ")
            if entry not in legend:
                legend.append(entry)
            text, size = letter_of(legend.index(entry)), 8.0
        _say(axes, (x, y), text, size, "center")
        _draw_top(axes, part, (x, y), radius)
    if legend:
        key = "   ".join(f"{letter_of(place)} {entry}" for place, entry in enumerate(legend))
        axes.text(0.01, 0.01, key, transform=axes.transAxes, fontsize=7.5, color=SOFT)


def _draw_top(axes: Axes, part: LaidPart, middle: tuple[float, float], radius: float) -> None:
    """Draw a small arrow that points to the top of the piece, beside its label."""
    x, y = middle[0], middle[1] - 0.72 * radius
    reach = 0.3 * radius
    ahead = (reach * part.top[0], reach * part.top[1])
    _arrow(axes, (x - ahead[0], y - ahead[1]), (x + ahead[0], y + ahead[1]), "->", SOFT)


def _arrow(
    axes: Axes, start: tuple[float, float], end: tuple[float, float], style: str, colour: str
) -> None:
    look = {"arrowstyle": style, "color": colour, "linewidth": 0.9, "shrinkA": 0, "shrinkB": 0}
    axes.annotate("", end, start, arrowprops=look)


def label_of(part: LaidPart) -> str:
    """Return the lines of a part's label."""
    lines = [*textwrap.wrap(part.title, 14), part.number]
    if part.flipped:
        lines += ["printed", "side down"]
    return "\n".join(line for line in lines if line)


def room_for_label(points: Points) -> tuple[tuple[float, float], float]:
    """Return the middle and radius of the greatest circle inside an outline."""
    middle, radius = widest_disc(shapely.Polygon(points))
    return (middle.x, middle.y), radius


def text_size(text: str, radius: float) -> float:
    """Return the size, in points, at which a text fits into a circle of so many points' radius."""
    lines = text.splitlines()
    # A letter of this face is about 0.6 em wide, a line 1.2 em high.
    corner = float(np.hypot(0.6 * max(map(len, lines)), 1.2 * len(lines))) / 2.0
    return min(0.95 * radius / corner, 11.0)


def _say(axes: Axes, at: tuple[float, float], text: str, size: float, align: str) -> None:
    axes.text(*at, text, fontsize=size, ha=align, va="center", color=INK, linespacing=1.1)
