# SPDX-License-Identifier: GPL-2.0-or-later
"""How cloth lies on the table, in words alike on layers, pages and the terminal.

The fold of the cloth is always called that, so that nobody takes it for the fold edge of a piece.
"""

from __future__ import annotations

from fractions import Fraction

from extension.language.rounding import INCH, mixed, round_up, small_text
from extension.language.units import System
from nesting.model import LaidSection, Section, Sides

FOLD_OF_CLOTH = "fold of the cloth"
BOTH_SELVEDGES = "both selvedges"
"""What lies along the edge of cloth that is folded lengthwise in half."""
EDGE_OF_UPPER = "selvedge, upper layer ends"
"""What lies along the middle of cloth that is folded in to a depth: the edge of two layers."""
SELVEDGE = "selvedge"
ONE_LAYER, TWO_LAYERS = "one layer", "two layers"
CUT_ACROSS = "cut across"
"""What is done at the end of a section when another one follows."""
ON_FOLD = "on the fold of the cloth"
"""How a half lies that is drawn on the fold."""
THROUGH_BOTH = "through both layers"
"""How a part lies that is cut twice at once."""

NOISE = 1e-6
"""mm within which two depths are the same."""


def spread_name(section: Section, width: float, system: System) -> str:
    """Return how a section of cloth lies, `width` mm between its selvedges: `folded lengthwise`."""
    if section.crosswise:
        turned = ", the upper layer turned round" if section.turned else ""
        return f"folded crosswise{turned}"
    if section.is_open:
        return "open"
    lower, upper = section.depths
    if lower is None or upper is None:
        return "folded to the best depth"
    if lower and upper:
        if abs(lower - upper) < NOISE and abs(2.0 * (lower + upper) - width) < 4.0 * NOISE:
            return "folded twice"
        both = f"{depth_text(lower, system)} and {depth_text(upper, system)}"
        return f"folded twice, {both} deep"
    if abs(2.0 * (lower + upper) - width) < NOISE:
        return "folded lengthwise"
    return f"folded to a depth of {depth_text(lower + upper, system)}"


def sides_text(section: Section, sides: Sides) -> str:
    """Return which side of a section is seen: `right sides together`."""
    return "right side up" if section.is_open else f"right sides {sides}"


def section_text(section: LaidSection, width: float, sides: Sides, system: System) -> str:
    """Return how a section lies, and for how long: `folded lengthwise, ..., for 95.3 cm`.

    Of a crosswise fold the length is that of each layer, as it is measured on the table.
    """
    words = f"{spread_name(section, width, system)}, {sides_text(section, sides)}"
    if section.crosswise:
        return f"{words}, {exact_text(section.length / 2.0, system)} to each layer"
    return f"{words}, for {exact_text(section.length, system)}"


def depth_text(depth: float, system: System) -> str:
    """Return how deep cloth is folded in, mm: as it was typed, or as a tape measure tells it.

    A depth that was searched for has no end of figures; it is rounded up, since what lies double
    needs all of it.
    """
    is_plain = abs(depth - round(depth)) < NOISE
    is_sixteenth = system == "imperial" and abs(depth - float(round_up(depth, INCH / 16))) < NOISE
    return small_text(depth, system) if is_plain or is_sixteenth else exact_text(depth, system)


def across_text(height: float, system: System) -> str:
    """Return how much of folded cloth is seen across, mm, to the nearest a tape measure tells."""
    step = Fraction(1) if system == "metric" else INCH / 16
    return small_text(float(round(Fraction(height) / step) * step), system)


def exact_text(length: float, system: System) -> str:
    """Return how long a section is, mm, as a tape measure tells where it ends: `95.3 cm`, `37 in`.

    Rounded up, and finely: another section begins there, and all of them come to what is needed.
    """
    if system == "metric":
        return f"{float(round_up(length, Fraction(1)) / 10):.1f} cm"
    return f"{mixed(round_up(length, INCH / 16) / INCH)} in"
