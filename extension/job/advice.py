# SPDX-License-Identifier: GPL-2.0-or-later
"""What would save cloth: single changes as short runs measured them, ranked by what they save.

Only what was measured is offered, with what it gives up. A saving no larger than what runs of the
unchanged pieces differ by may be luck, and is not offered.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Any

from extension.job.changes import Change
from extension.job.options import LayOutOptions
from extension.language.prices import Money
from extension.language.rounding import buy_text, length_text, less_text, small_text, told
from extension.language.words import listed
from nesting.judge.verdict import capital

LUCK = 0.01
"""Share of a length that is never told as saved, however well a few short runs agree: with so few
rounds they often end at the same layout, where longer ones do not."""
LEAST = 5.0
"""mm below which nothing is told as saved, though rounded lengths may differ: no tape shows it."""
HEAD = "What would save cloth, one change at a time, each by a short run:"
DRAFT = "What would save cloth was not looked for: this layout is a first draft itself."
NOT_ALL_FIT = (
    "What would save cloth was not looked for, since not all parts fit on this cloth; what would "
    "make them fit is told instead."
)


@dataclass(frozen=True, eq=False, slots=True)
class Measured:
    """A change, and the length, mm, on which a short run laid all that it lays; None: not tried.

    `used` are the pieces that made use of a consent, or the one that alone gave it. Where not
    `is_possible` parts cannot be laid so.
    """

    change: Change
    length: float | None = None
    used: tuple[str, ...] = ()
    is_possible: bool = True

    @property
    def each(self) -> float:
        """The length for as much as before, mm."""
        assert self.length is not None
        return self.length / self.change.times

    @property
    def name(self) -> str:
        """What is changed, for those pieces."""
        return self.change.named(self.used)


@dataclass(frozen=True, eq=False, slots=True)
class Advice:
    """What was measured beside a layout that needs `drawn` mm.

    `seeds` are the lengths to which short runs with other seeds came, nothing changed; `unchanged`
    those of short runs with a change that made no use of it. `refused`: why nothing was tried.
    """

    options: LayOutOptions
    drawn: float
    seeds: tuple[float, ...] = ()
    unchanged: tuple[float, ...] = ()
    measured: tuple[Measured, ...] = ()
    refused: str = ""
    is_shortest: bool = False
    """Whether no layout of the unchanged pieces can be shorter than the one drawn."""

    @property
    def best(self) -> float:
        """The least length that is known with nothing changed, mm."""
        return min(self.drawn, *self.seeds, *self.unchanged, self.drawn)

    @property
    def scatter(self) -> float | None:
        """What may be luck, mm: by so much short runs with nothing changed differ, or `LUCK`.

        None where it is not known.
        """
        if self.is_shortest:
            return 0.0
        if len(self.seeds) < 2:
            return None
        return max(max(self.seeds) - min(self.seeds), LUCK * self.best)

    def saved_by(self, one: Measured) -> float:
        """Return what a change saves, mm, as lengths are printed."""
        if one.length is None:
            return 0.0
        system = self.options.system
        return float(told(self.best, system) - told(one.each, system))

    @property
    def offers(self) -> list[Measured]:
        """The changes that save more than what runs differ by, what saves most first."""
        saving = self._saving
        kept = [one for one in saving if not self._is_said_by_one(one, saving)]
        order = {id(one): place for place, one in enumerate(kept)}
        return sorted(
            kept, key=lambda one: (-self.bought_less(one), -self.saved_by(one), order[id(one)])
        )

    @property
    def others(self) -> list[Measured]:
        """The changes that are not offered: they save nothing to speak of, or were not tried."""
        saving = self._saving
        return [one for one in self.measured if one not in (*saving, *self.narrower)]

    @property
    def narrower(self) -> list[Measured]:
        """What was measured on narrower cloth, which is no saving: how much more it takes."""
        tried = (one for one in self.measured if one.change.is_narrower)
        return [one for one in tried if one.length is not None or not one.is_possible]

    @property
    def _saving(self) -> list[Measured]:
        scatter = self.scatter
        return [
            one
            for one in self.measured
            if scatter is not None
            and one.length is not None
            and self.best - one.each > max(scatter, LEAST)
            and self.saved_by(one) > 0.0
        ]

    def _is_said_by_one(self, one: Measured, saving: Sequence[Measured]) -> bool:
        """Return whether a single piece saves as much as several that give the same consent."""
        if len(one.used) < 2:
            return False
        scatter = self.scatter or 0.0
        return any(
            other.change.words == one.change.words
            and len(other.used) == 1
            and other.each <= one.each + scatter
            for other in saving
        )

    def bought_less(self, one: Measured) -> float:
        """Return how much less is bought with a change, mm for as much as before."""
        if self.options.fabric_length is not None or one.length is None:
            return 0.0
        now = self.options.bought(self.best).length
        return now - one.change.options.bought(one.length).length / one.change.times


def advice_text(advice: Advice | None) -> tuple[str, ...]:
    """Return what is told of the changes that were tried; nothing where none were asked for."""
    if advice is None:
        return ()
    if advice.refused:
        return (advice.refused,)
    offers = advice.offers
    told = _worth_telling(advice, offers)
    said = [HEAD, *_ranked(advice, told)] if told else []
    return (
        *said,
        *_narrower(advice),
        *_no_less_to_buy(advice, [one for one in offers if one not in told]),
        *_others(advice, offers),
        *_of_seeds(advice),
    )


def _worth_telling(advice: Advice, offers: Sequence[Measured]) -> list[Measured]:
    """Return the offers by which less is bought, or all where that is said of none."""
    less = [one for one in offers if advice.bought_less(one) > 0.0]
    return less or list(offers)


def _ranked(advice: Advice, offers: Sequence[Measured]) -> list[str]:
    """Return what is told of each offer; what was given up already is not told again."""
    said, given_up = [], dict[str, int]()
    for number, one in enumerate(offers, start=1):
        first = given_up.setdefault(one.change.gives_up, number)
        what = one.change.gives_up if first == number else f"the same as in {first}"
        said.append(f"{number}. {capital(one.name)}: {_offer(advice, one)}; given up: {what}.")
    return said


def _no_less_to_buy(advice: Advice, offers: Sequence[Measured]) -> list[str]:
    """Return in short what takes less cloth, but as much to buy."""
    if not offers:
        return []
    system = advice.options.system
    names = [f"{one.change.short_of(one.used)} {length_text(one.each, system)}" for one in offers]
    return [f"Shorter, but no less to buy: {listed(names, len(names))}."]


def _offer(advice: Advice, one: Measured) -> str:
    """Return what a change saves."""
    options = advice.options
    system, times = options.system, one.change.times
    each = " each" if times > 1 else ""
    less = small_text(advice.saved_by(one), system)
    words = f"{length_text(one.each, system)}{each} would do, {less} less"
    bought = advice.bought_less(one)
    if bought > 0.0:
        words += f" ({_length(bought, options)} less to buy{each}{_money(advice, one)})"
    elif options.fabric_length is None:
        words += " (but no less to buy)" if bought == 0.0 else " (but more to buy)"
    return words


def _narrower(advice: Advice) -> list[str]:
    """Return how much more narrower cloth takes, which may be what the shop has, or cost less."""
    system, said = advice.options.system, []
    for one in advice.narrower:
        if one.length is None:
            said.append(f"{capital(one.change.short)} is too narrow for some parts.")
            continue
        more = less_text(one.length, advice.best, system)
        words = (
            f"{length_text(one.length, system)} would do, {f'{more} more' if more else 'no more'}"
        )
        bought = buy_text(one.change.options.bought(one.length))
        said.append(
            f"{capital(one.name)}, by a short run: {words} (buy {bought}); given up: nothing, if "
            "it is sold so wide."
        )
    return said


def _length(length: float, options: LayOutOptions) -> str:
    return small_text(round(length, 3), options.system)


def _saved_money(advice: Advice, one: Measured) -> Money | None:
    """Return what a change saves in money for as much as before, None without a price."""
    assert one.length is not None
    change = one.change
    now = advice.options.cost(advice.options.bought(advice.best))
    then = change.options.cost(change.options.bought(one.length))
    if now is None or then is None:
        return None
    return replace(now.money, amount=now.money.amount - then.money.amount / change.times)


def _money(advice: Advice, one: Measured) -> str:
    saved = _saved_money(advice, one)
    return f", {saved.text} saved" if saved is not None and saved.amount > 0 else ""


def _of_seeds(advice: Advice) -> list[str]:
    """Return how far short runs with nothing changed differ."""
    system = advice.options.system
    if advice.is_shortest or not advice.seeds:
        return []
    lengths = [length_text(one, system) for one in advice.seeds]
    said = []
    if advice.scatter is not None:
        luck = small_text(float(math.ceil(advice.scatter)), system)
        if system == "imperial":
            luck = length_text(advice.scatter, system)
        said.append(
            f"With nothing changed, short runs with other seeds came to {listed(lengths, 3)}: what "
            f"saves {luck} or less may be luck, and is not offered."
        )
    if less_text(advice.drawn, advice.best, system):
        said.append(
            f"One that changed nothing came to {length_text(advice.best, system)}, less than the "
            "layout drawn: give it more time, or another seed. Savings are counted from that."
        )
    return said


def _others(advice: Advice, offers: Sequence[Measured]) -> list[str]:
    """Return in short what was tried and is not offered, and what was not tried."""
    helpful = {one.change.short for one in offers}
    rest = advice.others
    tried = [one for one in rest if one.length is not None or not one.is_possible]
    untried = [one for one in rest if one.length is None and one.is_possible]
    said = []
    if tried and advice.scatter is None:
        said.append(f"Tried too briefly to tell a saving from luck: {_short(tried, helpful)}.")
    elif tried and offers:
        said.append(f"No saving, or no more than luck: {_short(tried, helpful)}.")
    elif tried:
        said.append(f"Nothing that was tried in the time saves cloth: {_short(tried, helpful)}.")
    if untried:
        said.append(f"Not tried, for want of time: {_short(untried, helpful)}.")
    if not advice.measured:
        said.append("What would save cloth: there is no single change to try.")
    return said


def _short(rest: Sequence[Measured], helpful: Collection[str]) -> str:
    """Return the short names of changes; of a consent by which some pieces help, the others."""
    names = (
        f"other pieces {name}" if (name := one.change.short) in helpful else name for one in rest
    )
    return listed(list(dict.fromkeys(names)), len(rest))


def advice_values(advice: Advice | None) -> dict[str, Any] | None:
    """Return what was measured as plain values, for the report; None where it was not asked for."""
    if advice is None:
        return None
    offers = advice.offers
    rest = [one for one in advice.measured if one not in offers]
    return {
        "counted_from_mm": advice.best,
        "seeds_mm": list(advice.seeds),
        "may_be_luck_mm": advice.scatter,
        "changes": [_values(advice, one, is_offered=one in offers) for one in (*offers, *rest)],
    }


def _values(advice: Advice, one: Measured, *, is_offered: bool) -> dict[str, Any]:
    """Return one change as plain values."""
    values: dict[str, Any] = {
        "change": one.name,
        "gives_up": one.change.gives_up,
        "pieces": list(one.used),
        "offered": is_offered,
        "possible": one.is_possible,
        "length_mm": None,
        "saves_mm": None,
        "buys_less_mm": None,
        "saves_cost": None,
    }
    if one.length is not None:
        money = _saved_money(advice, one)
        bought = None if advice.options.fabric_length is not None else advice.bought_less(one)
        values["length_mm"] = one.each
        values["saves_mm"] = advice.best - one.each
        values["buys_less_mm"] = bought
        values["saves_cost"] = None if money is None else float(money.amount)
    return values
