# SPDX-License-Identifier: GPL-2.0-or-later
"""`lay:settings`: everything needed to run a layout again, as JSON on its layer."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict, fields
from typing import Any

import shapely

from extension.job.design import one_way_up
from extension.job.flaws import stored_flaws
from extension.job.options import LayOutOptions
from extension.job.portions import USUAL_LOT, stored_portions
from extension.job.remnant import stored_remnant
from extension.job.spread import USUAL_SIDES, USUAL_SPREAD
from extension.language.errors import DrawingError
from nesting import VERSION
from nesting.model import LaidSection, LeftOver, Outline

_MM = (
    "fabric_width",
    "selvedge",
    "fabric_length",
    "gap",
    "end_allowance",
    "allowance",
    "first_line",
)
"""Lengths carry their unit in the key."""
_UNSAID: dict[str, object] = {
    "price": "",
    "spread": USUAL_SPREAD,
    "sides": USUAL_SIDES,
    "repeat": "",
    "uneven": False,
    "half_drop": False,
    "first_line": 0.0,
    "border": "",
    "advice": False,
    "shrinkage_across": 0.0,
    "one_lot": USUAL_LOT,
}
"""Values that are not stored."""
_WIDTH_WAS = "usable"
"""What a stored width is where the settings do not say: so it was before they said."""

WIDTH_NOISE = 0.01
"""mm by which two layers may be wider than the cloth: rounding of what is stored."""


def settings_of(options: LayOutOptions) -> dict[str, Any]:
    """Return options as plain values under the keys of the settings, lengths in mm."""
    values = asdict(options)
    values["sizes"] = dict(options.sizes)
    values["select"] = list(options.select)
    # Layouts without a price or a design, on cloth that lies open, are as they always were.
    for name, usual in _UNSAID.items():
        if not values[name] or values[name] == usual:
            del values[name]
    for name in ("flaws", "remnant", "portions"):
        if not values[name]:
            del values[name]
    return {f"{key}_mm" if key in _MM else key: value for key, value in values.items()}


def settings_text(options: LayOutOptions, result: Mapping[str, Any]) -> str:
    """Return the text of `lay:settings`: the options, and the figures that came out.

    The version is that which wrote them. It is for people who look after a drawing: no reader
    goes by it, so layouts with another one, or with none, are read like all others.
    """
    stored = {"version": VERSION, "options": settings_of(options), "result": dict(result)}
    return json.dumps(stored, ensure_ascii=False)


def outline_sizes(outlines: Mapping[str, Outline]) -> dict[str, list[float]]:
    """Return area (mm2) and length (mm) of the outline of each piece that is laid.

    Kept with a layout, they tell later whether an original has been edited since.
    """
    rings = {name: shapely.Polygon(outline) for name, outline in outlines.items()}
    return {name: [round(ring.area, 4), round(ring.length, 4)] for name, ring in rings.items()}


def stored_sections(sections: Sequence[LaidSection]) -> list[dict[str, Any]]:
    """Return the sections of folded cloth as plain values, lengths in mm.

    Kept with a layout, they tell later how its cloth lies, where a depth was searched for as well.
    """
    return [
        {
            "lower_mm": one.lower,
            "upper_mm": one.upper,
            "crosswise": one.crosswise,
            "turned": one.turned,
            "length_mm": one.length,
        }
        for one in sections
    ]


def laid_sections(result: Mapping[str, Any], width: float) -> tuple[LaidSection, ...]:
    """Return the sections among stored figures, of cloth `width` mm wide; none for plain cloth.

    Raises DrawingError when they were damaged: without them nobody knows how the cloth lies.
    """
    try:
        return tuple(_laid_section(dict(one), width) for one in result.get("sections", ()))
    except (ValueError, TypeError, KeyError) as error:
        raise DrawingError(
            "How the cloth of this layout is folded cannot be read: lay the pieces out again."
        ) from error


def _laid_section(stored: Mapping[str, Any], width: float) -> LaidSection:
    """Return one stored section. Raises ValueError, TypeError or KeyError when it is none."""
    lower, upper, length = (float(stored[name]) for name in ("lower_mm", "upper_mm", "length_mm"))
    could_lie = 2.0 * (lower + upper) <= width + WIDTH_NOISE and 0.0 <= length < math.inf
    if not (could_lie and min(lower, upper) >= 0.0):
        raise ValueError(stored)
    ways = {True: True, False: False}
    return LaidSection(lower, upper, ways[stored["crosswise"]], ways[stored["turned"]], length)


def stored_left_over(left_over: Sequence[LeftOver]) -> dict[str, list[int]]:
    """Return what is left over as plain values: by the id of a piece the numbers of its copies.

    Kept with a layout, it tells later what never lay there from what was lost.
    """
    return {rest.piece: list(rest.copies) for rest in left_over}


def left_over_in(result: Mapping[str, Any]) -> dict[str, tuple[int, ...]] | None:
    """Return what is left over among stored figures; None where they do not say, or are damaged."""
    stored = result.get("left_over")
    lists = list(stored.values()) if isinstance(stored, dict) else [None]
    if not all(isinstance(one, list) and all(type(copy) is int for copy in one) for one in lists):
        return None
    return {str(id_): tuple(copies) for id_, copies in dict(stored or {}).items()}


def result_of(text: str) -> dict[str, Any]:
    """Return the stored figures of a `lay:settings` attribute; none when it was damaged."""
    try:
        return dict(json.loads(text)["result"])
    except (ValueError, TypeError, KeyError):
        return {}


def options_of(text: str) -> LayOutOptions:
    """Return the options stored in the text of a `lay:settings` attribute.

    What is not stored takes its default, so that layouts of earlier versions stay readable.
    Raises DrawingError when it was damaged, and OptionError when a value in it cannot be used.
    """
    try:
        values = dict(json.loads(text)["options"])
        known = {
            f"{one.name}_mm" if one.name in _MM else one.name: one.name
            for one in fields(LayOutOptions)
        }
        plain = {known[key]: value for key, value in values.items()}
        sizes = dict(plain.get("sizes", {}))
        plain["sizes"] = tuple((str(size), count) for size, count in sizes.items())
        plain["select"] = tuple(map(str, plain.get("select", ())))
        plain["flaws"] = stored_flaws(plain.get("flaws", ()))
        plain["remnant"] = stored_remnant(plain.get("remnant"))
        plain["portions"] = stored_portions(plain.get("portions", ()))
        plain.setdefault("width_is", _WIDTH_WAS)
        for name in ("nap", "uneven", "half_drop", "advice"):
            if name in plain:
                plain[name] = {True: True, False: False}[plain[name]]
        return LayOutOptions(**one_way_up(plain))  # earlier versions turned uneven stripes round
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        raise DrawingError(
            "The settings stored on this layout cannot be read: choose the settings anew."
        ) from error
