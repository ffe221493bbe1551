# SPDX-License-Identifier: GPL-2.0-or-later
"""How a part lies, in the words of the placing table: enough to lay it by them alone."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from extension.diagram.cloth import Cloth
from extension.diagram.places import Place
from extension.diagram.tape import UNITS, degrees_text, tape_text
from extension.job.edges import edges_of_pieces, edges_text
from extension.language.edges import CUT_END
from extension.language.rounding import small_text
from extension.language.spreads import ON_FOLD, THROUGH_BOTH
from extension.language.units import System
from extension.language.words import listed

ASTRAY = 0.2
"""mm by which no point of a part lies elsewhere when its angle is laid as it is told."""


def side_text(place: Place) -> str:
    """Return which side of the paper is seen, and how it lies otherwise than on one layer."""
    words = [place.side]
    if place.is_opened:
        words.append("opened out")
    if place.spot.on_fold:
        words.append(ON_FOLD)
    if place.spot.layers > 1:
        words.append(THROUGH_BOTH)
    return ", ".join(words)


def cut_text(place: Place, system: System) -> str:
    """Return where the cloth is cut."""
    all_round = "along the paper’s edge"
    if place.allowance:
        all_round = f"{small_text(place.allowance, system)} outside the paper"
    own = edges_text(place.cut.drawn.edges, system)
    return f"{all_round}, {own}" if own else all_round


def slant_text(place: Place) -> str:
    """Return the angle between grain and selvedges in degrees, 0 to 90."""
    low_x, low_y, high_x, high_y = place.paper.bounds
    reach = math.hypot(high_x - low_x, high_y - low_y)
    off = place.turn % 180.0
    return degrees_text(min(off, 180.0 - off), math.degrees(ASTRAY / reach))


def grain_text(place: Place) -> str:
    """Return how the grainline lies, and at which end of it the top of the piece is."""
    ahead = math.radians(place.turn)
    end = place.cloth.end if math.cos(ahead) > 0.0 else place.cloth.begin
    edge = (place.cloth.upper if math.sin(ahead) > 0.0 else place.cloth.lower).told
    slant = slant_text(place)
    if slant == "0":
        return f"along, top to the {end}"
    if slant == "90":
        return f"across, top to {edge}"
    side = "selvedge" if place.cloth.remnant is None else "grain of the cloth"
    return f"slanting {slant}° to the {side}, top to the {end} and {edge}"


def across_text(place: Place, system: System) -> str:
    """Return what is measured from the nearer edge: `lower: 12.3`, `upper: top 4.0, foot 9.1`.

    On folded cloth the edge may be a fold: `fold: 12.3`, `fold: fold edge on it`. The grainline is
    what is measured to, unless another line is named.
    """
    if place.spot.on_fold:
        return f"{place.rim.short}: {place.line} on it"
    line = "" if place.line == "grainline" else f"{place.line} "
    ends = place.ends
    if slant_text(place) == "0":  # both ends are as far away
        ends = tuple(replace(end, name="") for end in ends[:1])
    told = [f"{line}{end.name}".strip() for end in ends]
    figures = [tape_text(end.distance, system) for end in ends]
    words = [f"{name} {figure}".strip() for name, figure in zip(told, figures, strict=True)]
    return f"{place.rim.short}: {', '.join(words)}"


def nearer_text(cloth: Cloth) -> str:
    """Return what distances across the cloth are measured from."""
    rims = (cloth.lower, cloth.upper)
    if cloth.remnant is not None:
        return "nearer edge"
    return f"nearer {'fold or selvedge' if any(rim.is_fold for rim in rims) else 'selvedge'}"


def allowance_text(laid: Sequence[Place], system: System) -> str:
    """Return what is cut beyond the paper, in a sentence."""
    names: dict[float, list[str]] = {}
    for place in laid:
        names.setdefault(place.allowance, []).append(place.cut.title)
    added = sorted(amount for amount in names if amount)
    edges = edges_of_pieces([place.cut.drawn for place in laid], system)
    if not added and edges:
        return (
            f"Seam allowance: on the paper already, cut along its edge, but outside it by {edges}."
        )
    if not added:
        return "Seam allowance: on the paper already, cut along its edge."
    amounts = []
    for amount in added:
        whose = listed(list(dict.fromkeys(names[amount])), most=12)
        of = "" if len(names) == 1 else f" of {whose}"
        amounts.append(f"{small_text(amount, system)} outside the paper{of}")
    rest = "; the others have it on the paper" if 0.0 in names else ""
    own = f"; {edges}" if edges else ""
    return f"Seam allowance: cut {', '.join(amounts)}, all round but not at a fold{rest}{own}."


def distances_text(laid: Sequence[Place], cloth: Cloth) -> str:
    """Return from where to where distances are measured, the cut end being at the left."""
    of = "paper" if any(one.is_grown for one in laid) else "piece"
    system, near = cloth.system, nearer_text(cloth)
    unit = UNITS[system][1]
    said = [
        f"With the {cloth.begin} at your left, {cloth.lower.told} {cloth.lower.verb} towards you. "
        f"In {unit}: from the {cloth.begin} to the nearest edge of the {of}, and from the {near} "
        "to the grainline, at both ends where it lies across or at a slant."
    ]
    if cloth.remnant is not None:
        said.append(
            f"The {cloth.begin} and both edges are the straight sides of the frame that the "
            "remnant just fits in, along its grain and square to it: where they are no edge of "
            "the cloth itself, lay a yardstick or a thread along them first."
        )
    if cloth.is_rest:
        said.append(f"The {CUT_END} is where this section was cut off the one before.")
    if any(one.spot.on_fold for one in laid):
        said.append(
            "On the fold of the cloth: the fold edge of the paper lies exactly along it, and is "
            "not cut."
        )
    if any(place.is_grown for place in laid):
        opened = "; a fold of the paper is opened out and gets no allowance"
        is_opened = any(place.is_opened for place in laid)
        said.append(
            "The paper is what you measure to, not the line where you cut"
            f"{opened if is_opened else ''}."
        )
    if any(place.line == "centre" for place in laid):
        said.append("Centre: the line along which the paper is opened out.")
    plain = list(dict.fromkeys(one.cut.title for one in laid if one.line == "paper’s edge"))
    if plain:
        said.append(
            f"Measured to the paper’s edge, having no grainline to measure to: "
            f"{listed(plain, most=12)}; arrows on the picture show the grain."
        )
    if system == "imperial":
        said.append("1/32 is half of the step of a tape with sixteenths.")
    return " ".join(said)
