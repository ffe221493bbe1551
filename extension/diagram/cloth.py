# SPDX-License-Identifier: GPL-2.0-or-later
"""Cloth as it lies on the table: what parts are laid on, and the edges that they are measured from.

Folded cloth is several of these, a section each. Lengths in mm; x from the cut end of the section,
y up from the lower selvedge of the cloth spread out, so that a fold may lie above 0.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from extension.job.lying_bands import bands_lying
from extension.job.lying_flaws import flaws_lying, rings_of
from extension.job.options import LayOutOptions
from extension.job.remnant import Remnant
from extension.language.edges import (
    CUT_END,
    FAR_END,
    LEFT_END,
    LOWER_EDGE,
    LOWER_SELVEDGE,
    RIGHT_END,
    UPPER_EDGE,
    UPPER_SELVEDGE,
)
from extension.language.spreads import BOTH_SELVEDGES, CUT_ACROSS, FOLD_OF_CLOTH, NOISE
from extension.language.units import System
from nesting.model import Band, LaidSection, Layout, Outline


@dataclass(frozen=True, slots=True)
class Rim:
    """An edge along the cloth as it lies: its name, and what the placing table calls it."""

    name: str
    short: str
    is_fold: bool = False

    @property
    def told(self) -> str:
        """What sentences call it: `the fold of the cloth`, `both selvedges`."""
        return self.name if self.name == BOTH_SELVEDGES else f"the {self.name}"

    @property
    def verb(self) -> str:
        """How a sentence about it goes on."""
        return "are" if self.name == BOTH_SELVEDGES else "is"


LOWER, UPPER = Rim(LOWER_SELVEDGE, "lower"), Rim(UPPER_SELVEDGE, "upper")
LOWER_OF_REMNANT, UPPER_OF_REMNANT = Rim(LOWER_EDGE, "lower"), Rim(UPPER_EDGE, "upper")
BOTH = Rim(BOTH_SELVEDGES, "selvedges")
FOLD = Rim(FOLD_OF_CLOTH, "fold", is_fold=True)
LOWER_FOLD, UPPER_FOLD = (
    Rim(f"{side} {FOLD_OF_CLOTH}", f"{side} fold", is_fold=True) for side in ("lower", "upper")
)


@dataclass(frozen=True, slots=True)
class Cloth:
    """The cloth of a picture: `length` and `width` in mm, as it lies on the table.

    `lower` and `upper` are its edges, of which the lower lies at y = `low`. Strips of it, from low
    to high, have two layers (`double`). `section` counts from 1, 0 is plain cloth; `laid` is how it
    is folded, with the length that is needed.
    """

    length: float
    width: float
    nap: bool
    system: System
    section: int = 0
    laid: LaidSection | None = None
    low: float = 0.0
    lower: Rim = LOWER
    upper: Rim = UPPER
    double: tuple[tuple[float, float], ...] = ()
    is_rest: bool = False
    """Whether another section was cut off before it."""
    goes_on: bool = False
    """Whether another section follows, so that the cloth is cut across at its end."""
    flaws: tuple[Outline, ...] = ()
    """Outlines over which nothing lies, mm; of cloth in two layers those of the upper one."""
    flaws_below: tuple[Outline, ...] = ()
    """The same of the lower layer."""
    bands: tuple[Band, ...] = ()
    """Its borders."""
    bands_below: tuple[Band, ...] = ()
    """Those of them that the lower layer alone has."""
    remnant: Remnant | None = None
    """The piece of cloth that it is, where it has an outline of its own."""

    @property
    def begin(self) -> str:
        """What is called where lengths are measured from."""
        return CUT_END if self.remnant is None else LEFT_END

    @property
    def end(self) -> str:
        """What the other end is called."""
        return FAR_END if self.remnant is None else RIGHT_END

    @property
    def high(self) -> float:
        """Where its upper edge lies, mm."""
        return self.low + self.width

    @property
    def is_folded(self) -> bool:
        """Whether any of it lies in two layers."""
        return bool(self.double)

    @property
    def ends_in_fold(self) -> bool:
        """Whether its far end is the fold of the cloth."""
        return self.laid is not None and self.laid.crosswise and not self.laid.turned


def end_text(cloth: Cloth) -> str:
    """Return what the far end of a cloth is called."""
    if cloth.ends_in_fold:
        return FOLD_OF_CLOTH
    return f"{FAR_END}: {CUT_ACROSS}" if cloth.goes_on else cloth.end


def cloths_of(options: LayOutOptions, layout: Layout) -> tuple[Cloth, ...]:
    """Return the cloth of a layout, as long as it is bought: each section on which parts lie.

    What is bought above what is needed stays at the last one, unless that ends in a fold.
    """
    remnant = options.remnant
    if remnant is not None:
        cloth = Cloth(remnant.length, layout.width, options.nap, options.system)
        cloth = replace(cloth, lower=LOWER_OF_REMNANT, upper=UPPER_OF_REMNANT)
        return (replace(cloth, flaws=options.flaws, bands=options.bands, remnant=remnant),)
    bought = max(options.bought(layout.length).length, layout.length)
    if not layout.sections:
        plain = Cloth(bought, layout.width, options.nap, options.system)
        return (replace(plain, flaws=options.flaws, bands=options.bands),)
    used = [
        (number, one) for number, one in enumerate(layout.sections, start=1) if one.length > 0.0
    ]
    found = []
    for place, (number, one) in enumerate(used):
        is_last = place == len(used) - 1
        cloth = _flawed(_section(options, layout.width, number, one), options, layout)
        more = bought - layout.length if is_last and not one.crosswise else 0.0
        long = cloth.length + more
        found.append(replace(cloth, length=long, is_rest=place > 0, goes_on=not is_last))
    return tuple(found)


def _flawed(cloth: Cloth, options: LayOutOptions, layout: Layout) -> Cloth:
    """Return the cloth of a section with the flaws and the borders that lie in it."""
    lying = flaws_lying(options.flaws, layout.sections, cloth.section, layout.width, options.sides)
    lying_bands = bands_lying(
        options.bands, layout.sections[cloth.section - 1], layout.width, options.sides
    )
    above = [ring for one in lying if one.layer != "lower" for ring in rings_of(one.area)]
    below = [ring for one in lying if one.layer == "lower" for ring in rings_of(one.area)]
    bands = tuple(one.band for one in lying_bands)
    hidden = tuple(one.band for one in lying_bands if one.layer == "lower")
    return replace(
        cloth, flaws=tuple(above), flaws_below=tuple(below), bands=bands, bands_below=hidden
    )


def _section(options: LayOutOptions, width: float, number: int, one: LaidSection) -> Cloth:
    """Return one section as it lies, as long as is needed."""
    lower, upper = one.lower or 0.0, one.upper or 0.0
    halved = abs(2.0 * (lower + upper) - width) <= NOISE and not (lower and upper)
    folds = (LOWER_FOLD, UPPER_FOLD) if lower and upper else (FOLD, FOLD)
    outer = (BOTH, BOTH) if halved else (LOWER, UPPER)
    return Cloth(
        length=one.length / 2.0 if one.crosswise else one.length,
        width=width - lower - upper,
        nap=options.nap,
        system=options.system,
        section=number,
        laid=one,
        low=lower,
        lower=folds[0] if lower else outer[0],
        upper=folds[1] if upper else outer[1],
        double=tuple(_double(one, width)),
    )


def _double(one: LaidSection, width: float) -> Iterator[tuple[float, float]]:
    """Yield the strips of a section that have two layers."""
    lower, upper = one.lower or 0.0, one.upper or 0.0
    if one.crosswise:
        yield 0.0, width
    if lower:
        yield lower, 2.0 * lower
    if upper:
        yield width - 2.0 * upper, width - upper
