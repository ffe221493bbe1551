# SPDX-License-Identifier: GPL-2.0-or-later
"""Lengths and angles: what a person types, and what a drawing says. Millimetres and degrees out.

1 in = 25.4 mm exactly and 1 yd = 36 in = 914.4 mm (international yard and pound agreement, 1959);
1 px = 1/96 in, 1 pt = 1/72 in, 1 pc = 12 pt (CSS Values and Units Level 3, section 6.2).
"""

from __future__ import annotations

import math
import re
import unicodedata
from fractions import Fraction
from typing import Literal

from extension.language.errors import OptionError

MEDIUM = 12.0
"""The font size in user units where a drawing says nothing about it: 16 in a web page, and 12 in
the editor (measured in 1.2 and 1.4), which is what she sees."""
System = Literal["metric", "imperial"]
Viewport = tuple[float, float]
"""Width and height, in user units, that percentages in a drawing are parts of."""

_INCH = Fraction(254, 10)
_UNITS = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": _INCH,
    "ft": 12 * _INCH,
    "yd": 36 * _INCH,
    "pt": _INCH / 72,
    "pc": _INCH / 6,
    "px": _INCH / 96,
}
_OTHER_NAMES = {
    '"': "in",
    "″": "in",
    "”": "in",
    "inch": "in",
    "inches": "in",
    "foot": "ft",
    "feet": "ft",
    "yard": "yd",
    "yards": "yd",
    "yds": "yd",
}
_IMPERIAL = frozenset({"in", "ft", "yd"})

MM_PER_INCH = float(_INCH)
MM_PER_PX = float(_UNITS["px"])
PX_PER_MM = float(1 / _UNITS["px"])

# A fraction (with a whole number before it), or else a whole or decimal number.
_NUMBER = re.compile(
    r"(?P<sign>[-+]?)\s*(?:(?:(?P<whole>\d+)(?:\s+|\s*-\s*))?(?P<over>\d+)\s*/\s*(?P<under>\d+)|"
    r"(?P<decimal>\d+(?:[.,]\d+)?|[.,]\d+))",
    re.ASCII,
)
_THOUSANDS = re.compile(r"[1-9]\d{0,2},\d{3}", re.ASCII)
# A digit can be read in one way only: else a long row of them is tried in all of many ways.
SVG_NUMBER = r"[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?"
_SVG_LENGTH = re.compile(rf"\s*({SVG_NUMBER})\s*([a-zA-Z]*|%)\s*", re.ASCII)
_EXAMPLE = "write it like “15mm”, “1.5 cm”, “5/8in” or “1 1/2 yd”"


def parse_length(text: str, default_unit: str | None = None) -> float:
    """Return a typed length in mm: "15mm", "1,5 cm", "1-1/2 in", "1½ in", "1/8yd".

    `default_unit` is what a bare number means; without one a bare number is refused. The sign is
    kept: whether a negative length makes sense is for the caller to say.
    Raises OptionError naming the text and an example.
    """
    number, unit = _split(text, default_unit)
    return float(number * _UNITS[unit])


def typed_system(text: str, default_unit: str | None = None) -> System:
    """Return whether a typed length is in metric or imperial units. Raises OptionError."""
    return "imperial" if _split(text, default_unit)[1] in _IMPERIAL else "metric"


def parse_angle(text: str) -> float:
    """Return a typed angle in degrees: "2deg", "45°", "-30", "22,5". Raises OptionError."""
    plain = _plain(text)
    match = re.fullmatch(
        r"([-+]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*(?:°|deg|degs|degree|degrees)?", plain, re.ASCII
    )
    if match is None:
        raise OptionError(f"“{text}” is not an angle: write it like “2deg” or “45°”.")
    degrees = float(match[1].replace(",", "."))
    if not math.isfinite(degrees):
        raise OptionError(f"“{text}” is too large for an angle: write it like “45°”.")
    return degrees


def user_units(
    text: str, viewport: Viewport = (100.0, 100.0), axis: str = "", font_size: float = MEDIUM
) -> float:
    """Return a length of a drawing's attribute in user units (px when nothing scales them).

    `axis` is "x", "y" or "" (neither, as for a radius) and says what a percentage is a part of:
    width, height, or their root mean square (SVG 1.1, section 7.10). Raises ValueError.
    """
    match = _SVG_LENGTH.fullmatch(text)
    if match is None:
        raise ValueError(text)
    value, unit = float(match[1]), match[2].lower()
    whole = {"x": viewport[0], "y": viewport[1]}.get(axis, math.hypot(*viewport) / math.sqrt(2.0))
    factors = {"": 1.0, "px": 1.0, "%": whole / 100.0, "em": font_size, "ex": font_size / 2.0}
    if unit == "q":
        factor = PX_PER_MM / 4.0
    elif unit in factors:
        factor = factors[unit]
    elif unit in _UNITS and unit not in ("m", "ft", "yd"):
        factor = float(_UNITS[unit] / _UNITS["px"])
    else:
        raise ValueError(text)
    if not math.isfinite(value * factor):
        raise ValueError(text)
    return value * factor


def _plain(text: str) -> str:
    """Return text with ordinary spaces, signs and fractions: "1½″" becomes "1 1/2″"."""
    spread = "".join(
        f" {unicodedata.normalize('NFKC', sign)}" if unicodedata.category(sign) == "No" else sign
        for sign in text
    )
    plain = spread.replace("\u2044", "/").replace("\u2212", "-").replace("\u2013", "-")
    return " ".join(plain.split()).lower()


def _split(text: str, default_unit: str | None) -> tuple[Fraction, str]:
    """Return the number and the unit of a typed length."""
    plain = _plain(text)
    match = _NUMBER.match(plain)
    if match is None:
        raise OptionError(f"“{text}” is not a length: {_EXAMPLE}.")
    if _THOUSANDS.fullmatch(match["decimal"] or ""):
        raise OptionError(
            f"“{text}” can be read in two ways, with the comma as decimal point or between "
            "thousands: write it without a comma."
        )
    unit = plain[match.end() :].strip().rstrip(".")
    unit = _OTHER_NAMES.get(unit, unit)
    if not unit and default_unit is None:
        raise OptionError(f"“{text}” has no unit: {_EXAMPLE}.")
    unit = unit or default_unit or ""
    if unit not in _UNITS or (match["under"] and int(match["under"]) == 0):
        raise OptionError(f"“{text}” is not a length: {_EXAMPLE}.")
    return _value(match), unit


def _value(match: re.Match[str]) -> Fraction:
    """Return the exact value of a matched number."""
    if match["decimal"]:
        size = Fraction(match["decimal"].replace(",", "."))
    else:
        size = Fraction(int(match["over"]), int(match["under"])) + int(match["whole"] or 0)
    return -size if match["sign"] == "-" else size
