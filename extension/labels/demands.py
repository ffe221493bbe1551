# SPDX-License-Identifier: GPL-2.0-or-later
"""Binds counts to materials: `CUT 2 MAIN + 1 INTERFACING` becomes two demands."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain

from extension.labels.bare import Item, strange_cloths
from extension.labels.cloths import (
    Cloth,
    about_each,
    about_neighbours,
    about_other_piece,
    about_parts_with,
    about_with,
    about_without,
    denied_mirror,
    is_and,
    number_of,
    qualified,
)
from extension.labels.counts import Count, count_at, is_cloth
from extension.labels.phrases import MATERIAL, Phrase, Text
from extension.language.words import folded
from extension.pieces.cutlist import Demand
from nesting.model import Hand


@dataclass(frozen=True, slots=True)
class _Hand:
    phrase: Phrase | range
    hand: Hand


@dataclass(frozen=True, slots=True)
class _Part:
    """What parts the items of a list; `adds` for a plus or an *and*."""

    adds: bool


@dataclass(frozen=True, slots=True)
class _Leads:
    """The colon behind a material that leads its own count: `LINING: 2`."""


Event = Count | Cloth | _Hand | _Part | _Leads
"""What stands in a line, in order."""


@dataclass(frozen=True, slots=True)
class Demands:
    """What is cut; materials named without a count; counts without a material; questions."""

    demands: tuple[Demand, ...]
    loose: tuple[Cloth, ...]
    bare: tuple[int, ...]
    """The tokens behind counts that name no material."""
    counted: tuple[tuple[int, int], ...]
    """Where each count begins, and how many it says."""
    questions: tuple[str, ...]


def read_demands(text: Text) -> Demands:
    """Return what a label says is cut."""
    doubled = _doubled(text)
    gatherer = _Gatherer(text)
    for line in _lines(text):
        gatherer.add(list(_events(text, line)))
    items = _joined_hands(gatherer.items)
    if doubled:
        items = []
    items = _without_totals(items)
    summed, together = strange_cloths(text, items)
    demands, questions = _told(summed, gatherer.hand)
    questions += together
    if not items and not doubled and gatherer.hand == "mirrored":
        demands = _one_pair(text, gatherer)
    if demands:
        text.read(*gatherer.hands)
    cloths = [item.cloths for item in items]
    questions += [
        *about_without(text, demands),
        *about_each(text, demands),
        *about_with(text, cloths),
        *about_parts_with(text, demands, chain.from_iterable(cloths)),
        *about_other_piece(text, chain.from_iterable(cloths)),
        *about_neighbours(text, cloths),
    ]
    if _says_twice(text, gatherer.items):
        questions.append("The label counts the same twice: is it for two pieces?")
    if doubled or _lies_double(text):
        questions.append("“Double” may mean 2, or 1 on doubled cloth: how many?")
    bare = tuple(item.count.end for item in items if not item.cloths)
    counted = tuple((item.count.start, item.count.value) for item in items)
    return Demands(demands, tuple(gatherer.pending), bare, counted, tuple(questions))


def _one_pair(text: Text, gatherer: _Gatherer) -> tuple[Demand, ...]:
    """Return a pair where only the way of cutting is told: `CUT OPPOSITES`."""
    if not any(text.means(phrase.start, "cut") for phrase in text.find("cut")):
        return ()
    text.read(*text.find("cut"))
    names = dict.fromkeys(cloth.name for cloth in gatherer.pending)
    text.read(*(range(cloth.start, cloth.end) for cloth in gatherer.pending))
    return tuple(Demand(2, name, "mirrored") for name in names or ("main",))


class _Gatherer:
    """Takes the lines of a label one after the other and gathers items."""

    def __init__(self, text: Text) -> None:
        self._text = text
        self.items: list[Item] = []
        self.pending: list[Cloth] = []
        """Materials named before any count of theirs."""
        self.hand: Hand | None = None
        self.hands: list[Phrase | range] = []
        """What said so, away from any count."""

    def add(self, events: Sequence[Event]) -> None:
        """Take the events of one line."""
        counts = [event for event in events if isinstance(event, Count)]
        for count in counts:
            self._text.read(range(count.start, count.end))
            self._text.read(*_repeated(self._text, count))
        if not counts:
            self._add_loose(events)
            return
        first = next(event for event in events if isinstance(event, (Count, Cloth)))
        own = _cloth_first(events) if isinstance(first, Cloth) else _count_first(events)
        if self._says_each(counts[0]):
            for item in own:
                if item.hand == "mirrored":
                    item.count = replace(item.count, value=2 * item.count.value)
        if self.pending and not any(item.cloths for item in own):
            for item in own:
                item.cloths = list(self.pending)
            self.pending = []
        for cloth in (cloth for item in own for cloth in item.cloths):
            self._text.read(range(cloth.start, cloth.end))
        self.items.extend(own)
        self._read_words(counts)
        self._text.read(*(event.phrase for event in events if isinstance(event, _Hand)))

    def _says_each(self, count: Count) -> bool:
        """Return whether a line counts each of left and right."""
        line = self._text.line(count.start)
        return any(one.start in line for one in self._text.find("each"))

    def _add_loose(self, events: Sequence[Event]) -> None:
        """Take a line without a count: its material belongs to the count before, else after."""
        cloths = [event for event in events if isinstance(event, Cloth)]
        hands = [event for event in events if isinstance(event, _Hand)]
        for hand in hands:
            self.hand = hand.hand
            self.hands.append(hand.phrase)
        if cloths and self.items and not self.items[-1].cloths:
            self.items[-1].cloths = cloths
            self._text.read(*(range(cloth.start, cloth.end) for cloth in cloths))
        else:
            self.pending.extend(cloths)

    def _read_words(self, counts: Sequence[Count]) -> None:
        """Mark the words that go with a count: for cutting, quantity, each, left and right."""
        line = self._text.line(counts[0].start)
        both = {count.side for count in counts} >= {"left", "right"}
        ideas = ("cut", "quantity", "each", *(("left", "right") if both else ()))
        self._text.read(*(one for one in list(self._text.find(*ideas)) if one.start in line))
        for count in counts:
            before = self._text.before(count.start)
            if before is not None and self._text.means(before, "cut", "quantity"):
                self._text.read(before)


def _repeated(text: Text, count: Count) -> range:
    """Return the tokens that give the number once more: `CUT TWO (2)`."""
    inside = count.end + 1
    if inside + 1 < len(text.tokens) and text.tokens[count.end].text == "(":
        again = text.tokens[inside].count == count.value and text.tokens[inside + 1].text == ")"
        if again and text.is_free(inside):
            return range(inside, inside + 1)
    return range(0)


def _lines(text: Text) -> Iterator[range]:
    start = 0
    while start < len(text.tokens):
        if text.ends_line(start):
            start += 1
            continue
        line = text.line(start)
        yield line
        start = line.stop


def _events(text: Text, line: range) -> Iterator[Event]:
    index = line.start
    while index < line.stop:
        event, end = _event_at(text, index)
        if event is not None:
            yield event
        index = end


def _event_at(text: Text, index: int) -> tuple[Event | None, int]:
    """Return the event at a token and the token behind it."""
    count = count_at(text, index)
    if count is not None:
        return count, count.end
    sign = text.tokens[index].text
    if sign in "+&" or is_and(text, index):
        return _Part(adds=True), index + 1
    if sign in ":=" and index and is_cloth(text, text.before(index)):
        return _Leads(), index + 1
    if sign in ",/()[]":
        return _Part(adds=False), index + 1
    phrase = text.at(index)
    if phrase is None or phrase.start != index or not text.is_free(index):
        return None, index + 1
    for name in phrase.values(MATERIAL):
        if name == "main" and (end := qualified(text, phrase)):
            return None, end
        end, number = number_of(text, phrase)
        return Cloth(index, end, f"{name} {number}".strip()), end
    denied = denied_mirror(text, phrase)
    if denied is not None:
        return _Hand(denied, "same"), denied.stop
    if phrase.means("same"):
        return _Hand(phrase, "same"), phrase.end
    if phrase.means("mirrored"):
        return _Hand(phrase, "mirrored"), phrase.end
    return None, phrase.end


def _count_first(events: Sequence[Event]) -> list[Item]:
    """Bind materials to the count before them; one without a count of its own takes it over."""
    items: list[Item] = []
    leading: list[Cloth] = []
    adds = False
    for place, event in enumerate(events):
        if isinstance(event, Count):
            items.append(Item(event, leading))
            leading, adds = [], False
        elif isinstance(event, Cloth) and items and _leads(events, place, items[-1]):
            leading = [event]
        elif isinstance(event, Cloth) and items:
            last = items[-1]
            if adds and not last.cloths:  # CUT 2 + LINING
                last.cloths.append(Cloth(last.count.start, last.count.end, "main"))
            last.cloths.append(event)
        elif isinstance(event, _Part):
            adds = event.adds
        elif isinstance(event, _Hand) and items:
            items[-1].hand = event.hand
    return items


def _leads(events: Sequence[Event], place: int, last: Item) -> bool:
    """Return whether a material stands before its own count, though one came before it.

    `LINING: 2` does, and what is parted from that count and not from its own: `2x, LINING 1x`.
    """
    before, behind = events[place - 1], [*events[place + 1 : place + 3]]
    if behind and isinstance(behind[0], _Leads):
        return isinstance(behind[-1], Count)
    is_parted = isinstance(before, _Part) and not last.cloths
    return is_parted and bool(behind) and isinstance(behind[0], Count)


def _cloth_first(events: Sequence[Event]) -> list[Item]:
    """Bind materials to the count behind them; what is left at the end, to the last count.

    Right behind a count without anything between, it outweighs what stood before: in
    `FRONT LINING CUT 2 MAIN` the lining is but a name.
    """
    items: list[Item] = []
    waiting: list[Cloth] = []
    parted = False
    for event in events:
        if isinstance(event, Count):
            items.append(Item(event, waiting))
            waiting, parted = [], False
        elif isinstance(event, Cloth):
            waiting.append(event)
        elif isinstance(event, _Hand) and items:
            items[-1].hand = event.hand
        elif isinstance(event, _Part) and not waiting:
            parted = True
    if items and waiting:
        items[-1].cloths = [*items[-1].cloths, *waiting] if parted else waiting
    return items


def _joined_hands(items: Sequence[Item]) -> list[Item]:
    """Return the items with `1 L + 1 R` and `1x + 1x mirrored` made one pair."""
    joined: list[Item] = []
    for item in items:
        before = joined[-1] if joined else None
        pair = None if before is None else _pair_of(before, item)
        if pair is None:
            joined.append(item)
        else:
            joined[-1] = pair
    return joined


def _pair_of(first: Item, second: Item) -> Item | None:
    names = [{cloth.name for cloth in item.cloths} for item in (first, second)]
    if names[0] and names[1] and names[0] != names[1]:
        return None
    sides = {first.count.side, second.count.side} == {"left", "right"}
    mirrors = second.hand == "mirrored" and first.hand is None and first.count.side is None
    values = first.count.value, second.count.value
    turned = first.hand == "mirrored" and second.hand is None and values == (1, 1)
    if not sides and not turned and not (mirrors and values[0] in (values[1], 2 * values[1])):
        return None
    total = sum(values) if sides or values[0] == values[1] else values[0]
    cloths = first.cloths or second.cloths
    counted = values if sides else None
    return Item(replace(first.count, value=total, side=None), cloths, "mirrored", counted)


def _without_totals(items: Sequence[Item]) -> list[Item]:
    """Return the items without a total that the others break down: `CUT 2 (1 MAIN, 1 LINING)`."""
    parts = [item for item in items if item.cloths]
    total = sum(item.count.value * len(item.cloths) for item in parts)
    return [item for item in items if item.cloths or len(parts) < 2 or item.count.value != total]


def _told(items: Sequence[Item], hand: Hand | None) -> tuple[tuple[Demand, ...], list[str]]:
    """Return one demand per material, and questions where the label contradicts itself."""
    found: dict[str, list[Demand]] = {}
    for item in items:
        own = item.hand or item.count.hand or hand or "mirrored"
        for name in [cloth.name for cloth in item.cloths] or ["main"]:
            demand = Demand(item.count.value, name, own)
            if demand not in found.setdefault(name, []):
                found[name].append(demand)
    questions = [
        f"{how_many(name)} {' or '.join(str(demand.cut) for demand in demands)}?"
        for name, demands in found.items()
        if len(demands) > 1
    ]
    questions += [
        "A single copy cannot be a mirrored pair: how many are cut?"
        for item in items
        if item.hand == "mirrored" and item.count.value == 1
    ]
    questions += [
        f"The label counts {item.sides[0]} of one side and {item.sides[1]} of the other: is it so?"
        for item in items
        if item.sides is not None and item.sides[0] != item.sides[1]
    ]
    if {item.count.side for item in items} >= {"left", "right"}:
        questions.append(
            "Left and right are cut from different materials: which is the mirror image of what is "
            "drawn?"
        )
    agreed = tuple(demands[0] for demands in found.values() if len(demands) == 1)
    return agreed, questions


def how_many(material: str) -> str:
    """Return how a question begins about the count of one material."""
    return f"How many of {material}:"


def _says_twice(text: Text, items: Sequence[Item]) -> bool:
    """Return whether two lines with a count have the same words (in two languages is usual)."""
    lines = dict.fromkeys(text.line(item.count.start) for item in items)
    words = [folded(text.slice(line.start, line.stop)) for line in lines]
    return len(set(words)) < len(words)


def _lies_double(text: Text) -> bool:
    """Return whether *double* stands behind a count: `CUT 2 ON DOUBLE FABRIC`."""
    for phrase in text.find("double"):
        before = text.before(phrase.start)
        while before is not None and text.is_free(before) and text.means(before, "filler"):
            before = text.before(before)
        if before is not None and before in text.line(phrase.start) and text.is_read(before):
            text.read(phrase)
            return True
    return False


def _doubled(text: Text) -> bool:
    """Return whether a count is given as *double*, which says too little."""
    for phrase in text.find("double"):
        before, after = text.before(phrase.start), text.after(phrase.end - 1)
        if text.means(before, "cut", "times") or text.means(after, "cut"):
            line = text.line(phrase.start)
            text.read(phrase, *(one for one in text.find("cut") if one.start in line))
            return True
    return False
