# SPDX-License-Identifier: GPL-2.0-or-later
"""From the length a layout needs to the length to buy, in metres and in yards.

The order is fixed: layout, end allowance, shrinkage, then rounded up once. Metres and yards are
each rounded from the exact length, never one from the other.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from extension.units import System

RoundUp = Literal["1/8yd", "5cm", "10cm", "none"]

INCH = Fraction(254, 10)
YARD = 36 * INCH
"""1 in = 25.4 mm and 1 yd = 914.4 mm exactly (international yard and pound agreement, 1959)."""

NOISE = Fraction(1, 100)
"""mm below which a surplus is the computer's rounding and not cloth: 36.0000001 in is a yard."""

_METRIC_STEP: dict[RoundUp, Fraction] = {
    "1/8yd": Fraction(100),
    "5cm": Fraction(50),
    "10cm": Fraction(100),
    "none": Fraction(10),
}
_YARD_STEP: dict[RoundUp, Fraction] = {
    "1/8yd": YARD / 8,
    "5cm": YARD / 8,
    "10cm": YARD / 8,
    "none": YARD / 200,  # of which an eighth is a multiple: no step never gives more than one
}
_READING_STEP: dict[System, Fraction] = {"metric": Fraction(10), "imperial": INCH / 8}
"""How finely a needed length is told: what a tape measure shows, and always upwards."""


@dataclass(frozen=True, slots=True)
class Purchase:
    """What to buy for a layout. Lengths in mm; `metric` and `yards` are rounded up, exact."""

    needed: float
    end_allowance: float
    shrinkage: float
    system: System
    round_up: RoundUp
    metric: Fraction
    yards: Fraction

    @property
    def length(self) -> float:
        """The length to buy in mm, in the system the person works in."""
        return float(self.metric if self.system == "metric" else self.yards)


def round_up(length: float | Fraction, step: Fraction) -> Fraction:
    """Return the least multiple of `step` (mm) that is not below `length` (mm), noise apart."""
    steps = math.ceil((Fraction(length) - NOISE) / step)
    return max(steps, 0) * step


def default_rounding(system: System) -> RoundUp:
    """Return the step cloth is commonly sold by (common practice, no source)."""
    return "10cm" if system == "metric" else "1/8yd"


def purchase(
    needed: float,
    *,
    system: System,
    rounding: RoundUp,
    end_allowance: float = 0.0,
    shrinkage: float = 0.0,
) -> Purchase:
    """Return what to buy for a layout that needs `needed` mm.

    `end_allowance` mm are added in all; `shrinkage` is the share lost in the wash (0.05 for 5 %),
    and what is bought is the length divided by what remains, so that enough is left afterwards.
    """
    exact = (Fraction(needed) + Fraction(end_allowance)) / (1 - Fraction(shrinkage))
    return Purchase(
        needed,
        end_allowance,
        shrinkage,
        system,
        rounding,
        round_up(exact, _METRIC_STEP[rounding]),
        round_up(exact, _YARD_STEP[rounding]),
    )


def metric_text(length: float | Fraction) -> str:
    """Return a length in mm as metres with whole centimetres, rounded up: `1.84 m`."""
    return f"{float(round_up(length, Fraction(10))) / 1000:.2f} m"


def inch_text(length: float | Fraction) -> str:
    """Return a length in mm as inches and eighths, rounded up: `72 1/2 in`."""
    return f"{mixed(round_up(length, _READING_STEP['imperial']) / INCH)} in"


def yard_text(length: Fraction) -> str:
    """Return an exact length in mm as yards: `2 1/8 yd`, or `2.02 yd` when it is no eighth."""
    yards = length / YARD
    if (yards * 8).denominator == 1:
        return f"{mixed(yards)} yd"
    return f"{float(round_up(length, YARD / 100) / YARD):.2f} yd"


def mixed(value: Fraction) -> str:
    """Return a fraction as a whole number and a proper fraction: 17/8 is `2 1/8`."""
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    fraction = f"{rest.numerator}/{rest.denominator}"
    return f"{whole} {fraction}" if whole else fraction


def length_text(length: float, system: System) -> str:
    """Return a length in mm as the person's tape measure reads it, rounded up."""
    return metric_text(length) if system == "metric" else inch_text(length)


def buy_text(bought: Purchase) -> str:
    """Return both lengths to buy, the person's own system first: `1.90 m / 2 1/8 yd`."""
    both = [metric_text(bought.metric), yard_text(bought.yards)]
    return " / ".join(both if bought.system == "metric" else both[::-1])


def purchase_text(bought: Purchase) -> str:
    """Return the line on the drawing: `needs 1.84 m – buy 1.90 m / 2 1/8 yd`."""
    needs = f"needs {length_text(bought.needed, bought.system)}"
    if bought.end_allowance:
        needs += f" + {small_text(bought.end_allowance, bought.system)} end allowance"
    if bought.shrinkage:
        needs += f" + {bought.shrinkage:.1%} shrinkage"
    return f"{needs} – buy {buy_text(bought)}"


def small_text(length: float, system: System) -> str:
    """Return a width, gap or allowance in mm in its everyday unit: `140 cm`, `3 mm`, `1/2 in`.

    What is no sixteenth of an inch stays metric: a gap of 3 mm has no better name in inches.
    """
    sixteenths = Fraction(round(Fraction(length) / INCH * 16), 16)
    if system == "imperial" and abs(sixteenths * INCH - Fraction(length)) < NOISE:
        return f"{mixed(sixteenths)} in"
    return f"{length:.6g} mm" if abs(length) < 20.0 else f"{length / 10.0:.6g} cm"
