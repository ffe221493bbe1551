# SPDX-License-Identifier: GPL-2.0-or-later
"""The choices of a lay-out run, each checked with one plain sentence."""

from __future__ import annotations

import math
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal, get_args

from extension.job.border import bands_of, border_text, check_border
from extension.job.design import check_design, one_way_up, repeat_of, repeat_text
from extension.job.flaws import check_flaws, flaws_of
from extension.job.folded_design import on_design
from extension.job.limits import check_seconds, check_shrinkage, time_limit, typed_share
from extension.job.portions import LOTS, USUAL_LOT, Portion
from extension.job.remnant import Remnant, check_remnant
from extension.job.spread import COMPARE, USUAL_SIDES, USUAL_SPREAD, sections_of, spread_text
from extension.language.errors import OptionError
from extension.language.prices import Cost, parse_price
from extension.language.rounding import END_ALLOWANCE, Purchase, RoundUp, default_rounding, purchase
from extension.language.units import MM_PER_INCH, System, parse_length, typed_system
from nesting.model import Band, Outline, Repeat, Section, Sides

WidthIs = Literal["usable", "booked"]
USUAL_WIDTH_IS: WidthIs = "booked"
"""What a width is unless told, for one layout and a table alike: cloth that is laid out narrower
than it is can be cut, wider never."""
NoGrain = Literal["lay", "leave-out"]

SELVEDGE: dict[System, float] = {"metric": 12.5, "imperial": MM_PER_INCH / 2}
"""mm that come off each side of a booked width unless told: half an inch, or its metric neighbour
(what teaching pages on cuttable width take off; some cutters take an inch)."""

COUNT_LIMIT = 999
SEED_LIMIT = 2**31 - 1
_WIDTH_LIMITS = (10.0, 10_000.0)

_LIMITS: dict[str, tuple[str, float]] = {
    "fabric_length": ("The length of the cloth", 1_000_000.0),
    "selvedge": ("The selvedge", 200.0),
    "gap": ("The gap between parts", 500.0),
    "end_allowance": ("The end allowance", 10_000.0),
    "first_line": ("The first line of the design", 10_000.0),
    "allowance": ("The seam allowance to add", 200.0),
}
"""What messages call a length, and the most it may be, mm."""
_COUNTS: dict[str, tuple[str, int, int]] = {
    "garments": ("The number of garments", 1, COUNT_LIMIT),
    "rounds": ("The number of rounds", 1, 1_000_000),
    "seed": ("The seed", 0, SEED_LIMIT),
    "workers": ("The number of workers", 1, 64),
}
"""What messages call a whole number, the least and the most it may be."""
_WORDS: dict[str, tuple[str, tuple[str, ...]]] = {
    "width_is": ("what the width is", get_args(WidthIs)),
    "round_up": ("the step of rounding up", get_args(RoundUp)),
    "no_grain": ("what to do without a grainline", get_args(NoGrain)),
    "system": ("the system of units", get_args(System)),
    "sides": ("how the right sides of folded cloth face", get_args(Sides)),
    "one_lot": ("what is cut from one remnant", tuple(LOTS)),
}
_READ = {
    "spread": spread_text,
    "repeat": repeat_text,
    "flaws": flaws_of,
    "border": border_text,
}
_YES, _NO = ("true", "yes", "1", "with"), ("false", "no", "0", "without")
YES_OR_NO = dict.fromkeys(_YES, True) | dict.fromkeys(_NO, False)
"""What a typed answer means."""
_QUESTIONS = {
    "nap": "Whether the fabric has a nap",
    "advice": "Whether to look for what would save cloth",
    "uneven": "Whether the design is uneven",
    "half_drop": "Whether the design is a half-drop",
}
"""What messages call what is answered by yes or no."""


def usual_workers() -> int:
    """Return how many chains search side by side unless told: one per core, at most four."""
    return min(os.cpu_count() or 1, 4)


@dataclass(frozen=True, slots=True)
class LayOutOptions:
    """Everything a run needs besides the drawing. Lengths in mm.

    `system` is that of the unit in which the width was typed; `selvedge` is what comes off each
    side of a booked width, None: as usual in that system; `fabric_length` is that of the piece of
    cloth that is there, None when as much as needed is bought; `allowance` None means that the seam
    allowance is included in the drawing. `sizes` pairs each chosen size with its number of
    garments; `garments` is the number where no sizes are chosen. `select` holds ids, none for
    every piece. `shrinkage` is the share lost in the wash along the cloth, `shrinkage_across` that
    across it, by which less of its width can be used. `price` is what a metre or yard costs, as
    typed, "" where it is not told. `spread` is how the cloth lies, as `job.spread.spread_text` has
    it, `sides` how its right sides face where it is folded. `repeat` is that of the design, as
    `job.design.repeat_text` has it, `first_line` how far behind the lower selvedge a dominant line
    runs; an uneven one has one way up, as a nap has. `flaws` are outlines on the cloth over which
    nothing is to lie, `border` is as `job.border.border_text` has it. `advice`:
    what would save cloth is looked for behind the layout. A `remnant` that is laid on gives width
    and length; of several `one_lot` is what is cut from one, as `job.portions.LOTS` has it, and
    `portions` are those of pieces that are cut from several. A run stops after `rounds` when given,
    else after `seconds`.
    Raises OptionError with one sentence when a value cannot be used.
    """

    fabric_width: float
    system: System = "metric"
    width_is: WidthIs = USUAL_WIDTH_IS
    selvedge: float | None = None
    nap: bool = True
    gap: float = 3.0
    round_up: RoundUp = "10cm"
    end_allowance: float = END_ALLOWANCE["metric"]
    shrinkage: float = 0.0
    fabric_length: float | None = None
    allowance: float | None = None
    material: str = "main"
    sizes: tuple[tuple[str, int], ...] = ()
    garments: int = 1
    no_grain: NoGrain = "leave-out"
    select: tuple[str, ...] = ()
    seconds: float = 20.0
    rounds: int | None = None
    seed: int = 0
    workers: int = 1
    spread: str = USUAL_SPREAD
    sides: Sides = USUAL_SIDES
    price: str = ""
    repeat: str = ""
    uneven: bool = False
    half_drop: bool = False
    first_line: float = 0.0
    flaws: tuple[Outline, ...] = ()
    border: str = ""
    advice: bool = False
    shrinkage_across: float = 0.0
    remnant: Remnant | None = None
    portions: tuple[Portion, ...] = ()
    one_lot: str = USUAL_LOT

    def __post_init__(self) -> None:
        for name in _WORDS:
            _check_word(name, getattr(self, name))
        for name in _LIMITS:
            _check_length(name, getattr(self, name))
        _check_width(self)
        _check_spread(self)
        check_design(self.design, width=self.usable_width, nap=self.nap)
        for name, limits in _COUNTS.items():
            _check_count(*limits, getattr(self, name))
        if self.fabric_length == 0.0:
            raise OptionError("The length of the cloth must be more than nothing: type 1.2m, say.")
        for size, count in self.sizes:
            _check_count(f"The number of garments in size {size}", 1, COUNT_LIMIT, count)
        shares = (self.shrinkage, self.shrinkage_across)
        check_shrinkage(shares, is_there=self.fabric_length is not None)
        check_seconds(self.seconds)
        if self.price:
            parse_price(self.price)
        if not self.material.strip():
            raise OptionError("No material is named: type the one to lay out, such as “main”.")

    def bought(self, needed: float) -> Purchase:
        """Return what to buy for a layout that needs a length, mm, under these choices.

        A repeat along the cloth is added once: common practice, since a cut end may fall anywhere
        in it. On a piece of cloth that is there nothing is bought, and nothing is added to it.
        """
        if self.fabric_length is not None:
            there = purchase(needed, system=self.system, rounding="none")
            return replace(there, cloth=self.fabric_length)
        return purchase(
            needed,
            system=self.system,
            rounding=self.round_up,
            end_allowance=self.end_allowance,
            shrinkage=self.shrinkage,
            repeat=0.0 if self.design is None else self.design.along,
        )

    def cost(self, bought: Purchase) -> Cost | None:
        """Return what a purchase comes to; None without a price, and for cloth that is there."""
        return parse_price(self.price).of(bought) if self.price else None

    @property
    def kept_off(self) -> float:
        """What is kept off each side of the width as typed, mm."""
        if self.width_is == "usable":
            return 0.0
        return SELVEDGE[self.system] if self.selvedge is None else self.selvedge

    @property
    def usable_width(self) -> float:
        """The width between the selvedges, mm, after the wash."""
        width = self.fabric_width - 2.0 * self.kept_off
        return width * (1.0 - self.shrinkage_across) if self.shrinkage_across else width

    @property
    def sections(self) -> tuple[Section, ...]:
        """How the cloth lies; open where several ways are still to be compared."""
        told = sections_of(self.spread, width=self.usable_width, nap=self.nap, system=self.system)
        return on_design(told, self.design, self.usable_width)

    @property
    def design(self) -> Repeat | None:
        """The repeat of the cloth, None where it has none."""
        return repeat_of(self.repeat, self.first_line, uneven=self.uneven, half_drop=self.half_drop)

    @property
    def bands(self) -> tuple[Band, ...]:
        """The borders of the cloth."""
        return bands_of(self.border, self.usable_width)

    @property
    def compares(self) -> bool:
        """Whether several ways to lay the cloth are tried."""
        return self.spread == COMPARE

    @property
    def garments_in_all(self) -> int:
        """How many garments are cut, over all sizes."""
        return sum(count for _, count in self.sizes) or self.garments


def options_from_text(typed: Mapping[str, str], select: Sequence[str] = ()) -> LayOutOptions:
    """Return the options of values as typed; what is missing or blank takes its default.

    Keys are names of fields of `LayOutOptions`; lengths carry a unit; `nap` is yes or no,
    `allowance` is `included` or a length, `fabric_length` a length or `none`, `sizes` is like
    `38=2,40` (a size without a number is cut `garments` times). Raises OptionError.
    """
    given = {name: text.strip() for name, text in typed.items() if text.strip()}
    if "fabric_width" not in given:
        raise OptionError("No fabric width is given: type it with its unit, such as “140cm”.")
    values: dict[str, Any] = {
        name: _typed_value(name, text) for name, text in given.items() if name != "sizes"
    }
    values["sizes"] = _typed_sizes(given.get("sizes", ""), values.get("garments", 1))
    system = typed_system(given["fabric_width"])
    usual: dict[str, Any] = {
        "system": system,
        "round_up": default_rounding(system),
        "end_allowance": END_ALLOWANCE[system],
        "workers": usual_workers(),
    }
    return LayOutOptions(**one_way_up({**usual, **values, "select": tuple(select)}))


def changed_options(
    stored: LayOutOptions, typed: Mapping[str, str], select: Sequence[str] = ()
) -> LayOutOptions:
    """Return stored options with the values that were typed in their place; blank ones stay.

    `select` is added to what was selected then; nothing selected then means everything. A limit
    of one kind takes the place of one of the other. Raises OptionError.
    """
    given = {name: text.strip() for name, text in typed.items() if text.strip()}
    values = {name: _typed_value(name, text) for name, text in given.items() if name != "sizes"}
    if stored.remnant is not None and set(given) & {"fabric_width", "fabric_length", "width_is"}:
        raise OptionError(
            "This layout lies on a remnant, which has a width and a length of its own: leave both "
            "out, or lay the pieces out anew."
        )
    if "sizes" in given:
        garments = values.get("garments", stored.garments)
        values["sizes"] = _typed_sizes(given["sizes"], garments)
    if "fabric_width" in given:
        values["system"] = typed_system(given["fabric_width"])
    if values.get("width_is") == "usable":
        values.setdefault("selvedge", None)
    if "seconds" in given:
        values["rounds"] = None
    if stored.select:
        values["select"] = tuple(dict.fromkeys((*stored.select, *select)))
    kept = {name: getattr(stored, name) for name in ("repeat", "uneven")}
    return replace(stored, **one_way_up({**kept, **values}))


def _typed_value(name: str, text: str) -> Any:
    """Return the value of one typed field."""
    if name in _COUNTS:
        return _typed_count(_COUNTS[name][0], text)
    if name in _QUESTIONS:
        return _typed_yes_or_no(name, text)
    if name == "seconds":
        return time_limit(text)
    if name in ("shrinkage", "shrinkage_across"):
        return typed_share(text)
    if (name, text.casefold()) in (("allowance", "included"), ("fabric_length", "none")):
        return None
    if name in _LIMITS or name == "fabric_width":
        return _typed_length(name, text)
    if name in _READ:
        return _READ[name](text)
    return text.casefold() if name in _WORDS else text


def _typed_length(name: str, text: str) -> float:
    """Return a typed length in mm; the fault says which field it is."""
    try:
        return parse_length(text)
    except OptionError as error:
        subject = _LIMITS[name][0] if name in _LIMITS else "The fabric width"
        raise OptionError(f"{subject}: {error}") from None


def _typed_count(subject: str, text: str) -> int:
    """Return a typed whole number; only plain digits count as one."""
    if not (text.removeprefix("-").isascii() and text.removeprefix("-").isdigit()):
        raise OptionError(f"{subject} must be a whole number, but it is “{text}”.")
    return int(text) if len(text) < 12 else 10**12


def _typed_yes_or_no(name: str, text: str) -> bool:
    """Return a typed answer."""
    answer = YES_OR_NO.get(text.casefold())
    if answer is None:
        raise OptionError(f"{_QUESTIONS[name]} is “{text}”: type yes or no.")
    return answer


def _typed_sizes(text: str, garments: int) -> tuple[tuple[str, int], ...]:
    """Return sizes with their numbers of garments, in the order typed."""
    sizes: dict[str, int] = {}
    for entry in filter(None, (part.strip() for part in text.split(","))):
        size, equals, count = (part.strip() for part in entry.partition("="))
        if not size or size in sizes:
            fault = "is named twice" if size else "has no name"
            raise OptionError(f"A size {fault} in “{text}”: write them like “38=2,40=1”.")
        subject = f"The number of garments in size {size}"
        sizes[size] = _typed_count(subject, count) if equals else garments
    return tuple(sizes.items())


def _check_word(name: str, value: str) -> None:
    """Raise when a choice is not one of its words."""
    subject, words = _WORDS[name]
    if value not in words:
        raise OptionError(f"“{value}” is not known for {subject}: choose {_one_of(words)}.")


def _check_width(options: LayOutOptions) -> None:
    """Raise when the cloth would be narrower or wider than cloth is."""
    width = options.fabric_width
    if not math.isfinite(width) or width <= 0.0:
        raise OptionError("The fabric width must be more than nothing: type it like “140cm”.")
    if options.width_is == "usable" and options.selvedge is not None:
        raise OptionError(
            "Between the selvedges nothing comes off the width: leave the selvedge empty, or say "
            "that the width is as on the bolt."
        )
    least, most = _WIDTH_LIMITS
    if not least <= options.usable_width <= most:
        raise OptionError(
            f"The fabric width leaves {options.usable_width:g} mm between the selvedges, but it "
            "must be between 10 mm and 10 m: check the number and its unit."
        )


def _check_spread(options: LayOutOptions) -> None:
    """Raise when the cloth cannot lie as it is told to; what is stored reads as it is typed."""
    if not isinstance(options.spread, str):
        raise TypeError(options.spread)
    check_flaws(options.flaws, options.spread)
    check_border(options.bands, options.design)
    check_remnant(options.remnant, options.spread == USUAL_SPREAD, options.repeat)
    _ = options.sections


def _check_length(name: str, value: float | None) -> None:
    """Raise when a length is negative, endless, or more than makes sense."""
    subject, most = _LIMITS[name]
    if value is not None and not 0.0 <= value <= most:
        raise OptionError(f"{subject} must be between 0 and {most:g} mm, but it is {value:g} mm.")


def _check_count(subject: str, least: int, most: int, value: object) -> None:
    """Raise when a whole number is none, or out of its bounds."""
    if value is None and subject == _COUNTS["rounds"][0]:
        return
    if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= most:
        raise OptionError(f"{subject} must be a whole number from {least} to {most:,}.")


def _one_of(words: Sequence[str]) -> str:
    """Return words as a choice: `a, b or c`."""
    return f"{', '.join(words[:-1])} or {words[-1]}"
