# SPDX-License-Identifier: GPL-2.0-or-later
"""The choices of a table, each checked with one plain sentence.

What a table shares with a single layout is judged by the options of a layout: gap, seam allowance,
seed and the like.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby
from typing import Literal, get_args

from extension.job.border import border_text
from extension.job.options import COUNT_LIMIT, LayOutOptions, options_from_text
from extension.job.spread import COMPARE, spread_by_material, spread_text
from extension.job.wishes import BY_MATERIAL, DESIGN, border_for
from extension.language.by_material import REST, by_material, one_by_material, value_for
from extension.language.decimals import locale_text, priced_as_in
from extension.language.errors import OptionError
from extension.language.prices import parse_price
from extension.language.rounding import END_ALLOWANCE, RoundUp, default_rounding
from extension.language.units import System, parse_length, typed_system
from extension.language.words import folded
from extension.requirements_table.designs import TypedDesign, design_of
from extension.requirements_table.sizes import ALL, SizeSet

LONGER, EACH = "longer", "each"
LONGER_OF = ("open", "lengthwise")
"""What is enough in both of these ways, and meant unless told; or each of them by itself."""
NapWish = Literal["both", "with", "without"]

USUAL_SECONDS = 180.0
_WIDTH_EXAMPLE = "write them like “110cm, 140cm” or “main=110cm,140cm; interfacing=90cm”"
_NAP_EXAMPLE = (
    f"choose {', '.join(get_args(NapWish)[:-1])} or {get_args(NapWish)[-1]}, for all materials or "
    "for one of them like “both; lining=without”"
)


@dataclass(frozen=True, slots=True)
class Width:
    """A width as typed, mm, and the system of the unit it was typed in.

    `upto` is the widest of several that are shown in one column, of which this is the narrowest.
    """

    typed: float
    system: System
    upto: float = 0.0


@dataclass(frozen=True, eq=False, slots=True)
class TableOptions:
    """Everything a table needs besides the drawing. Lengths in mm.

    `widths`, `naps` and `spreads` (how the cloth lies; the longest of several counts) are by
    material, under `REST` what holds for all others. `end_allowance`
    is added in all, None: as usual in the system of the first width. `base` holds what is the same
    in every cell, what the widths are and what comes off them as well; its `rounds` None: as many
    as the time allows. `replay` are the rounds of each length, in order, when they differ.
    `design` is what is typed of the design of the cloth, by field, `border` what of its border.
    """

    widths: Mapping[str, tuple[Width, ...]]
    naps: Mapping[str, tuple[bool, ...]]
    base: LayOutOptions
    sizes: str = ALL
    end_allowance: float | None = None
    round_up: RoundUp | None = None
    raise_sizes: bool = True
    write_layouts: bool = False
    replay: tuple[int, ...] = ()
    spreads: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    design: Mapping[str, str] = field(default_factory=dict)
    border: str = ""
    each: Mapping[str, bool] = field(default_factory=dict)
    """Of which materials every way for the cloth to lie is shown, not only the longest."""
    merge_widths: float = 0.0
    """mm up to which widths are near enough to be shown in one column; 0: each has its own."""
    paper: str = "a4"
    locale: str = "en"
    """The paper that the page asks for, and how numbers are written on it (see `decimals`)."""
    prices: Mapping[str, str] = field(default_factory=dict)
    """What a metre or yard costs, by material, with the decimal mark of the locale."""

    def widths_of(self, name: str) -> tuple[Width, ...]:
        """Return the widths for a material, none when it is not to be in the table."""
        return value_for(name, self.widths) or ()

    def naps_of(self, name: str) -> tuple[bool, ...]:
        """Return with and without nap as wanted for a material."""
        return value_for(name, self.naps) or (True, False)

    def spreads_of(self, name: str) -> tuple[str, ...]:
        """Return how the cloth of a material lies, in one way or in several.

        Nobody is told of two ways where the cloth has a border, which folds bring into one layer
        alone, as a rule: that lies open, unless one other way is chosen.
        """
        spreads = value_for(name, self.spreads) or LONGER_OF
        return spreads[:1] if self.border_of(name) else spreads

    def border_of(self, name: str) -> str:
        """Return the border of the cloth of a material, "" for none. Raises OptionError."""
        return border_text(border_for(self.border, name, tuple(self.widths)))

    def design_of(self, name: str, laid: Sequence[str]) -> TypedDesign | None:
        """Return the design of one of the materials laid, None without. Raises OptionError."""
        narrowest = self.widths_of(name)[0]
        return design_of(self.design, name, laid, self.usable_of(narrowest))

    def shows_each(self, name: str) -> bool:
        """Return whether each way for the cloth of a material to lie is shown by itself."""
        return value_for(name, self.each) or False

    def price_of(self, name: str) -> str:
        """Return what a metre or yard of a material costs, as typed, "" where nobody told."""
        return value_for(name, self.prices) or ""

    def selvedge_of(self, width: Width) -> float:
        """Return what comes off each side of a width, mm."""
        return self._on(width).kept_off

    def usable_of(self, width: Width) -> float:
        """Return what is left of a width between the selvedges, mm."""
        return self._on(width).usable_width

    @property
    def system(self) -> System:
        """The system of the first width: small lengths are told in it."""
        return next(iter(self.widths.values()))[0].system

    @property
    def ends(self) -> float:
        """What is added for uneven ends, mm: to every cell the same, whatever its width's unit."""
        return END_ALLOWANCE[self.system] if self.end_allowance is None else self.end_allowance

    def step_of(self, width: Width) -> RoundUp:
        """Return what lengths are rounded up to."""
        return self.round_up or default_rounding(width.system)

    def cell(
        self,
        sizes: SizeSet,
        name: str,
        width: Width,
        nap: bool,
        spread: str,
        design: TypedDesign | None = None,
    ) -> LayOutOptions:
        """Return the options of the layout that stands behind a cell. Raises OptionError."""
        return replace(
            self._on(width),
            nap=nap,
            spread=spread,
            material=name,
            sizes=sizes.garments,
            garments=1,
            round_up=self.step_of(width),
            end_allowance=self.ends,
            workers=1,
            border=self.border_of(name),
            price=self.price_of(name),
            **(design.fields if design else {}),
        )

    def _on(self, width: Width) -> LayOutOptions:
        """Return what is the same in every cell, on cloth of this width. Raises OptionError."""
        return replace(self.base, fabric_width=width.typed, system=width.system)


def table_options(typed: Mapping[str, str], select: Sequence[str] = ()) -> TableOptions:
    """Return the options of values as typed; what is missing or blank takes its default.

    Keys are names of fields of `TableOptions` and, of `LayOutOptions`, `width_is`, `selvedge`,
    `gap`, `allowance`, `shrinkage`, `shrinkage_across`, `no_grain`, `seconds`, `rounds`, `seed`,
    `workers`, `border`, and those of the design: `repeat`, `uneven`, `half_drop`, `first_line`.
    `spread` is like `longer` or `main=lengthwise, lining=open`, `sides` together or apart; `widths`
    is like `110cm,140cm; interfacing=90cm`, `nap` like `both; lining=without`, `shrinkage` like
    `5%`, `merge_widths` like `5cm`, `price` like `main=12.50, lining=6`. Raises OptionError.
    """
    given = {name: text.strip() for name, text in typed.items() if text.strip()}
    widths = _widths(given.get("widths", ""))
    first = next(iter(widths.values()))[0]
    replay = _replay(given.get("rounds", ""))
    if replay:
        given["rounds"] = str(max(1, *replay))
    shared = {name: text for name, text in given.items() if name in _SHARED}
    usual = {"seconds": f"{USUAL_SECONDS:g}", "fabric_width": f"{first.typed!r}mm"}
    base = options_from_text({**usual, **shared}, select)
    locale = locale_text(given.get("locale", "en"))
    return TableOptions(
        widths,
        _naps(given.get("nap", "")),
        base,
        given.get("sizes", ALL),
        base.end_allowance if "end_allowance" in given else None,
        base.round_up if "round_up" in given else None,
        _yes_or_no("Whether larger sizes are raised", given.get("raise_sizes", "yes")),
        _yes_or_no("Whether layouts are written", given.get("write_layouts", "no")),
        replay,
        _spreads(given.get("spread", "")),
        {name: text for name, text in given.items() if name in DESIGN},
        given.get("border", ""),
        _each(given.get("spread", "")),
        _merging(given.get("merge_widths", "")),
        paper_text(given.get("paper", PAPERS[0])),
        locale,
        _prices(given.get("price", ""), widths, locale),
    )


_SHARED = (
    "sides",
    "width_is",
    "selvedge",
    "gap",
    "allowance",
    "no_grain",
    "end_allowance",
    "round_up",
    "shrinkage",
    "shrinkage_across",
    "seconds",
    "rounds",
    "seed",
    "workers",
)
"""What is typed, and judged, as for a single layout."""


def _widths(text: str) -> dict[str, tuple[Width, ...]]:
    """Return the widths by material, the narrowest first."""
    typed = by_material(text, _WIDTH_EXAMPLE)
    if not typed:
        raise OptionError(f"No fabric width is given: {_WIDTH_EXAMPLE}.")
    return {name: _widths_of_one(words) for name, words in typed.items()}


def _widths_of_one(words: Sequence[str]) -> tuple[Width, ...]:
    found: dict[float, Width] = {}
    for word in words:
        try:
            width = Width(parse_length(word), typed_system(word))
        except OptionError as error:
            raise OptionError(f"The fabric width: {error}") from None
        if any(abs(width.typed - other) < 0.01 for other in found):
            text = ", ".join(words)
            raise OptionError(f"The width “{word}” is given twice in “{text}”: give it once.")
        found[width.typed] = width
    return tuple(found[typed] for typed in sorted(found))


def _naps(text: str) -> dict[str, tuple[bool, ...]]:
    """Return with and without nap by material."""
    meant: dict[str, tuple[bool, ...]] = {
        "both": (True, False),
        "with": (True,),
        "without": (False,),
    }
    found = {}
    for name, word in one_by_material(text, _NAP_EXAMPLE).items():
        if folded(word) not in meant:
            raise OptionError(f"“{word}” is not known for the nap: {_NAP_EXAMPLE}.")
        found[name] = meant[folded(word)]
    return found


def _spreads(text: str) -> dict[str, tuple[str, ...]]:
    """Return how the cloth lies, by material."""
    return {
        name: LONGER_OF if folded(word) in (LONGER, EACH) else (_spread(word),)
        for name, word in spread_by_material(text).items()
    }


def _each(text: str) -> dict[str, bool]:
    """Return of which materials each way for the cloth to lie is shown."""
    return {name: folded(word) == EACH for name, word in spread_by_material(text).items()}


def _merging(text: str) -> float:
    """Return up to which difference, mm, widths are merged."""
    try:
        return parse_length(text) if text and folded(text) != "no" else 0.0
    except OptionError as error:
        raise OptionError(f"Widths that are shown as one: {error}") from None


def _prices(text: str, widths: Mapping[str, tuple[Width, ...]], locale: str) -> dict[str, str]:
    """Return what a metre or yard of each material costs, with the decimal mark of the locale.

    A price that does not say of what it is the price is by the unit of the width, so widths in
    both would make one price two.
    """
    prices = one_by_material(text, BY_MATERIAL["price"]) if text else {}
    for name, price in prices.items():
        typed = widths.get(name) if name else [one for own in widths.values() for one in own]
        systems = {one.system for one in typed or widths.get(REST, ())}
        if not parse_price(price).per and len(systems) > 1:
            raise OptionError(
                f"The price “{price}” may be of a metre or of a yard, as some widths are in "
                f"centimetres and some in inches: type “{price} per metre” or “{price} per yard”."
            )
    return {name: priced_as_in(price, locale) for name, price in prices.items()}


PAPERS = ("a4", "letter")


def paper_text(typed: str) -> str:
    """Return a paper as it is known here. Raises OptionError."""
    if folded(typed) not in PAPERS:
        raise OptionError(f"The paper “{typed}” is not known: choose {' or '.join(PAPERS)}.")
    return folded(typed)


def _spread(word: str) -> str:
    """Return one way in which the cloth of all cells lies."""
    spread = spread_text(word)
    if spread == COMPARE:
        raise OptionError(
            f"A table compares nothing: choose {LONGER}, for what is enough open and folded "
            f"lengthwise, {EACH} for the two side by side, or one way for the cloth to lie."
        )
    return spread


def _replay(text: str) -> tuple[int, ...]:
    """Return the rounds of each length as a table tells them, `12*40,30`; one number is no list."""
    if "," not in text and "*" not in text:
        return ()
    rounds: list[int] = []
    for part in text.split(","):
        number, _, times = (word.strip() for word in part.partition("*"))
        plain = [word for word in (number, times or "1") if word.isascii() and word.isdigit()]
        if len(plain) < 2 or not 1 <= int(plain[1][:6]) <= COUNT_LIMIT or len(number) > 7:
            raise OptionError(
                f"“{part.strip()}” is no number of rounds: copy them from the table that is to be "
                "made again, such as “12*40,30”."
            )
        rounds += [int(number)] * int(times or "1")
    return tuple(rounds)


def replay_text(rounds: Sequence[int]) -> str:
    """Return the rounds of each length in short, `12*40,30`, or one number when all are alike.

    None at all for any of them is no number of rounds, but may stand in a list: `0*24`.
    """
    if len(set(rounds)) == 1 and rounds[0] > 0:
        return str(rounds[0])
    runs = [(number, len(list(same))) for number, same in groupby(rounds)]
    words = (f"{one}*{times}" if times > 1 or not one else str(one) for one, times in runs)
    return ",".join(words)


def _yes_or_no(subject: str, text: str) -> bool:
    answer = {"yes": True, "true": True, "no": False, "false": False}.get(folded(text))
    if answer is None:
        raise OptionError(f"{subject} is “{text}”: type yes or no.")
    return answer
