# SPDX-License-Identifier: GPL-2.0-or-later
"""From the length a layout needs to the length to buy, in metres and in yards.

The one place where that is done, for a layout, its diagram and the table alike. The order is
fixed: layout, end allowance, shrinkage, then rounded up once. Metres and yards are each rounded
from what is printed before them, exactly, never one from the other: whoever adds up the printed
figures never comes to more than is bought.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from extension.language.units import System

RoundUp = Literal["1/8yd", "5cm", "10cm", "none"]

INCH = Fraction(254, 10)
YARD = 36 * INCH
"""1 in = 25.4 mm and 1 yd = 914.4 mm exactly (international yard and pound agreement, 1959)."""

END_ALLOWANCE: dict[System, float] = {"metric": 50.0, "imperial": 2 * float(INCH)}
"""mm in all that are added for uneven ends, unless told (common practice, no source)."""

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
    "none": YARD / 100,
}
_READING_STEP: dict[System, Fraction] = {"metric": Fraction(10), "imperial": INCH / 8}
"""How finely a needed length is told: what a tape measure shows, and always upwards."""
_SIXTEENTH = INCH / 16
_DIGITS = 6
"""Significant digits of a small length and of a share, as they are told."""


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
    cloth: float | None = None
    """Length of the piece of cloth that is there, of which nothing is bought; None: it is."""
    repeat: float = 0.0
    """What is added because a cut end may fall anywhere in the repeat of the design, mm."""

    @property
    def length(self) -> float:
        """The length to buy, or that is there, in mm, in the system the person works in."""
        if self.cloth is not None:
            return self.cloth
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
    repeat: float = 0.0,
) -> Purchase:
    """Return what to buy for a layout that needs `needed` mm.

    `end_allowance` mm are added in all, and `repeat` mm to trim to a line of the design.
    `shrinkage` is the share lost in the wash (0.05 for 5 %), and what is bought is the length
    divided by what remains, so that enough is left afterwards.
    """
    kept = 1 - _told_share(shrinkage)
    more = _told_small(end_allowance, system) + _told_small(repeat, system)
    exact = (told(needed, system) + more) / kept
    yards = _least_multiple(exact, _YARD_STEP[rounding])
    return Purchase(
        needed,
        end_allowance,
        shrinkage,
        system,
        rounding,
        _least_multiple(exact, _METRIC_STEP[rounding]),
        # Cloth is sold by the eighth: no step must not come to more than one.
        min(yards, _least_multiple(exact, YARD / 8)),
        repeat=repeat,
    )


def told(length: float | Fraction, system: System) -> Fraction:
    """Return what a needed length, mm, comes to as it is printed: rounded up, exact."""
    return round_up(length, _READING_STEP[system])


def _least_multiple(length: Fraction, step: Fraction) -> Fraction:
    """Return the least multiple of a step that is not below an exact length."""
    return math.ceil(length / step) * step


def _told_small(length: float, system: System) -> Fraction:
    """Return what a small length, mm, comes to as `small_text` prints it."""
    sixteenths = round(Fraction(length) / _SIXTEENTH) * _SIXTEENTH
    if system == "imperial" and abs(sixteenths - Fraction(length)) < NOISE:
        return sixteenths
    return Fraction(f"{length:.{_DIGITS}g}")


def _told_share(share: float) -> Fraction:
    """Return what a share comes to as `share_text` prints it."""
    return Fraction(f"{100.0 * share:.{_DIGITS}g}") / 100


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
    return f"{float(_least_multiple(yards, Fraction(1, 100))):.2f} yd"


def mixed(value: Fraction) -> str:
    """Return a fraction as a whole number and a proper fraction: 17/8 is `2 1/8`."""
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    fraction = f"{rest.numerator}/{rest.denominator}"
    return f"{whole} {fraction}" if whole else fraction


def length_text(length: float | Fraction, system: System) -> str:
    """Return a length in mm as the person's tape measure reads it, rounded up."""
    return metric_text(length) if system == "metric" else inch_text(length)


def buy_text(bought: Purchase) -> str:
    """Return both lengths to buy, the person's own system first: `1.90 m / 2 1/8 yd`.

    Of cloth that is there its length alone: `1.20 m in hand`.
    """
    if bought.cloth is not None:
        return f"{_cloth_text(bought.cloth, bought.system)} in hand"
    both = [metric_text(bought.metric), yard_text(bought.yards)]
    return " / ".join(both if bought.system == "metric" else both[::-1])


def _cloth_text(length: float, system: System) -> str:
    """Return the length of cloth that is there as it was measured, never more."""
    text = length_text(length, system)
    whole = abs(float(round_up(length, _READING_STEP[system])) - length) < NOISE
    # What was measured on a drawing has more digits than cloth: down to a tenth of a millimetre.
    exact = abs(float(_told_small(length, system)) - length) < NOISE
    return text if whole else small_text(length if exact else math.floor(length * 10) / 10, system)


def purchase_text(bought: Purchase) -> str:
    """Return the line on the drawing: `needs 1.84 m – buy 1.90 m / 2 1/8 yd`."""
    if bought.cloth is not None:
        return f"uses {length_text(bought.needed, bought.system)} of {buy_text(bought)}"
    needs = f"needs {length_text(bought.needed, bought.system)}"
    if bought.end_allowance:
        needs += f" + {small_text(bought.end_allowance, bought.system)} end allowance"
    else:
        needs += ", no end allowance"
    if bought.repeat:
        needs += f" + {small_text(bought.repeat, bought.system)} for one repeat"
    if bought.shrinkage:
        needs += f", {share_text(bought.shrinkage)} lost in the wash"
    return f"{needs} – buy {buy_text(bought)}"


def share_text(share: float) -> str:
    """Return a share, 0 to 1, as a percentage: `5 %`."""
    return f"{100.0 * share:.{_DIGITS}g} %"


def at_least_text(length: float, system: System) -> str:
    """Return a length in mm that no layout falls below, rounded down: it must not say too much."""
    step = _READING_STEP[system]
    return length_text(math.floor((Fraction(length) + NOISE) / step) * step, system)


def less_text(long: float, short: float, system: System) -> str:
    """Return by how much a length, mm, is less than another as both are printed; "" for nothing."""
    less = told(long, system) - told(short, system)
    return small_text(float(less), system) if less > 0 else ""


def least_text(system: System) -> str:
    """Return the least difference of two needed lengths that shows: `10 mm`, `1/8 in`."""
    return small_text(float(_READING_STEP[system]), system)


def figures(value: float, digits: int) -> str:
    """Return a number in so many significant digits, never in powers of ten: `2780`, `0.00012`."""
    return format(Decimal(f"{value:.{digits}g}"), "f")


def small_text(length: float, system: System) -> str:
    """Return a width, gap or allowance in mm in its everyday unit: `140 cm`, `3 mm`, `1/2 in`.

    What is no sixteenth of an inch stays metric: a gap of 3 mm has no better name in inches.
    """
    exact = _told_small(length, system)
    if system == "imperial" and (exact / _SIXTEENTH).denominator == 1:
        return f"{mixed(exact / INCH)} in"
    if abs(exact) < 20:
        return f"{float(exact):.{_DIGITS}g} mm"
    return f"{float(exact / 10):.{_DIGITS}g} cm"
