# SPDX-License-Identifier: GPL-2.0-or-later
"""What a label says of the seam allowance: in the outline or not, and how wide."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from extension.labels.measures import Measure, measure_at
from extension.labels.phrases import Phrase, Text

Allowance = Literal["included", "none"] | float | None

ASKS_IF_INCLUDED = "Is the seam allowance included in the outline?"
"""Asked of a label that names a width and does not say whether it is in the outline or to add."""
SAME_LENGTH = 1.0
"""mm by which one length may differ in two units: 5/8 in is printed as 1.5 cm."""
WIDEST_INCLUDED = 40.0
"""mm: a length beyond this is not that of a seam allowance (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class OfAllowance:
    """What a label says of the seam allowance, and what is to be asked.

    `allowance` is a number, mm, where it names one and does not say that it is included; `included`
    the mm that it names where it does.
    """

    allowance: Allowance = None
    included: float | None = None
    questions: tuple[str, ...] = ()


def read_allowance(text: Text) -> OfAllowance:
    """Return what a label says of the seam allowance."""
    found: list[Allowance] = []
    amounts: list[float] = []
    questions: list[str] = []
    for phrase in list(text.find("allowance")):
        allowance, amount, is_said = _allowance_of(text, phrase)
        if allowance is None:
            continue
        found.append(allowance)
        if amount is not None and amount.mm <= WIDEST_INCLUDED and _is_beside(text, amount, phrase):
            amounts.append(amount.mm)
        if not is_said:
            questions.append(ASKS_IF_INCLUDED)
    if not found:
        return OfAllowance(questions=tuple(_about_added(text)))
    if len(set(found)) > 1:
        return OfAllowance(questions=("The label says two things about the seam allowance.",))
    is_one = bool(amounts) and max(amounts) - min(amounts) <= SAME_LENGTH
    included = amounts[0] if is_one and found[0] == "included" else None
    return OfAllowance(found[0], included, tuple(questions))


def _about_added(text: Text) -> Iterator[str]:
    """Ask about a length behind a plus that no other one stands before: `CUT 2 + 1 cm`."""
    ends = set[int]()
    for index in range(len(text.tokens)):
        measure = measure_at(text, index)
        if measure is None:
            continue
        ends.add(measure.end)
        plus = index - 1
        is_added = plus > 0 and text.tokens[plus].text == "+" and plus not in ends
        if is_added and measure.mm <= WIDEST_INCLUDED:
            yield f"“{text.slice(plus, measure.end)}”: is it a seam allowance to add?"


def _allowance_of(text: Text, phrase: Phrase) -> tuple[Allowance, Measure | None, bool]:
    """Return what one mention of it says, the length, and whether it says included or add."""
    item, line = text.item(phrase.start), _with_rest(text, text.line(phrase.start))
    amount = _nearest_measure(text, item, phrase) or _nearest_measure(text, line, phrase)
    for stretch in (item, line):
        said = _said_of(text, phrase, stretch)
        if said or (amount is not None and stretch is line):
            again = [one for one in text.find("allowance") if one.start in line]
            text.read(phrase, *said.values(), *(again if said else ()))
            if amount is not None:
                _read_amounts(text, line, amount.mm)
            return _meaning(said, amount), amount, bool(said)
    return None, None, False


def _with_rest(text: Text, line: range) -> range:
    """Return a line with the next one where that only says how wide it is, and whether included."""
    if line.stop + 1 >= len(text.tokens) or text.tokens[line.stop].kind != "line":
        return line
    rest = text.line(line.stop + 1)
    widths = [one for index in rest if (one := measure_at(text, index)) is not None]
    told = {index for one in widths for index in range(one.start, one.end)}
    words = [index for index in text.words(rest) if index not in told]
    says = ("included", "excluded", "add")
    is_rest = all(
        text.is_free(index) and text.means(index, "filler", "not", *says) for index in words
    )
    is_said = any(text.means(index, *says) for index in words)
    return range(line.start, rest.stop) if is_rest and is_said else line


def _is_beside(text: Text, amount: Measure, phrase: Phrase) -> bool:
    """Return whether a length is that of an allowance itself: `1 cm seam allowance`.

    In `4 cm wide including seam allowance` it is another one.
    """
    is_before = amount.start < phrase.start
    low, high = (amount.end, phrase.start) if is_before else (phrase.end, amount.start)
    if any(text.tokens[index].text == "," for index in range(low, high)):
        return False
    ideas = () if is_before else ("filler", "included")
    return all(text.means(index, *ideas) for index in text.words(range(low, high)))


def _read_amounts(text: Text, line: range, mm: float) -> None:
    """Mark a length as read, and the same one in another unit: `5/8 in (1.5 cm)`."""
    for index in line:
        measure = measure_at(text, index)
        if measure is not None and abs(measure.mm - mm) <= SAME_LENGTH:
            text.read(range(measure.start, measure.end))


def _said_of(text: Text, phrase: Phrase, stretch: range) -> dict[str, Phrase]:
    """Return the words for included, excluded and add that are said of an allowance."""
    said: dict[str, Phrase] = {}
    for idea in ("included", "excluded", "add"):
        for one in text.find(idea):
            if one.start in stretch and (idea != "excluded" or _excludes(text, one, phrase)):
                said.setdefault(idea, one)
    if "included" in said and "excluded" not in said:
        denials = (one for one in text.find("not", "excluded") if one.start in stretch)
        denial = next((one for one in denials if _denies(text, one, said["included"])), None)
        return said if denial is None else {"excluded": denial, **said}
    return said


def _denies(text: Text, denial: Phrase, included: Phrase) -> bool:
    """Return whether a *no* or *not* is said of *included*: `does not include`, `none included`.

    It stands before, in the same sentence, and is said of nothing else: no cut, fold or number.
    """
    between = range(denial.end, included.start)
    if denial.start >= included.start:
        return False
    following = text.after(denial.end - 1)
    if following is not None and text.tokens[following].kind == "number":
        return False  # No. 5
    return not any(
        text.means(index, "cut", "place", "fold", "on fold", "another allowance")
        or _ends_sentence(text, index)
        for index in between
    )


def _ends_sentence(text: Text, index: int) -> bool:
    token, behind = text.tokens[index], text.tokens[index + 1]
    return token.text in (".", "!", "?") and behind.start > token.end


def _meaning(said: dict[str, Phrase], amount: Measure | None) -> Allowance:
    if set(said) == {"included"}:
        return "included"
    return "none" if amount is None else amount.mm


def _excludes(text: Text, excluded: Phrase, allowance: Phrase) -> bool:
    """Return whether *no* or *without* is said of the allowance: right before it, or behind it."""
    if len(text.words(range(excluded.start, excluded.end))) > 1:
        return True  # not included
    following = text.after(excluded.end - 1)
    while following is not None and text.means(following, "filler"):
        following = text.after(following)
    if excluded.start >= allowance.end:  # *costura en el centro, no doblar* is of something else
        ends = following is None or following not in text.item(excluded.start)
        return ends or text.means(following, "included", "allowance", "add")
    return following == allowance.start and not _is_of_one_edge(text, allowance)


def _is_of_one_edge(text: Text, allowance: Phrase) -> bool:
    """Return whether an allowance is that of a fold or hem alone: `no seam allowance at fold`."""
    behind = range(allowance.end, text.item(allowance.start).stop)
    named = any(
        text.means(index, "fold", "on fold", "another fold", "another allowance")
        for index in behind
    )
    return named and not any(text.means(index, "and", "included") for index in behind)


def _nearest_measure(text: Text, stretch: range, phrase: Phrase) -> Measure | None:
    """Return the length in a stretch that is nearest to a phrase, none beside a hem's allowance."""
    measures = [
        measure
        for index in stretch
        if (measure := measure_at(text, index)) is not None
        and not _is_of_hem(text, measure, stretch)
    ]
    return min(
        measures,
        key=lambda one: min(abs(one.start - phrase.end), abs(phrase.start - one.end)),
        default=None,
    )


def _is_of_hem(text: Text, measure: Measure, stretch: range) -> bool:
    beside = (text.before(measure.start), text.after(measure.end - 1))
    return any(
        index in stretch and text.means(index, "another allowance")
        for index in beside
        if index is not None
    )
