# SPDX-License-Identifier: GPL-2.0-or-later
"""Plain facts on a label: number of the piece, grain, nap, stretch."""

from __future__ import annotations

from typing import Literal

from extension.labels.phrases import Phrase, Text
from extension.labels.sizes import begins_count

Grain = Literal["straight", "cross", "bias"]


def read_number(text: Text) -> str | None:
    """Return the number of the piece: `Piece 2`, `2 of 15`, `#3`."""
    number = _number_of_many(text) or _leading_number(text)
    for phrase in list(text.find("piece")):
        value = text.after(phrase.end - 1)
        if value is None or not _names_piece(text, phrase, value):
            continue
        if number is None:
            text.read(phrase, value)
            number = text.tokens[value].text
        else:
            text.bar(phrase, value)
    for index, token in enumerate(text.tokens[:-1]):
        if token.text in "#№" and text.tokens[index + 1].kind == "number":
            if number is None:
                text.read(index, index + 1)
                number = text.tokens[index + 1].text
            text.bar(index + 1)
    return number


def _leading_number(text: Text) -> str | None:
    """Return the number that a label begins with like an entry of a list: `1. Front`."""
    starts = [token.text for token in text.tokens[:2]]
    if len(text.tokens) < 3 or text.tokens[2].kind != "word" or starts[1] not in (".", ")"):
        return None
    if text.tokens[0].count is None or not text.is_free(0):
        return None
    text.read(0)
    return starts[0]


def _names_piece(text: Text, phrase: Phrase, value: int) -> bool:
    token = text.tokens[value]
    if not text.is_free(value):
        return False
    is_last = text.words(text.item(value))[-1] == value
    # A letter only at the end: in many languages one is also a small word.
    return token.count is not None or (len(token.key) == 1 and is_last and not phrase.means("not"))


def _number_of_many(text: Text) -> str | None:
    """Return n of `n of m`, unless a word for cutting stands before it."""
    for phrase in list(text.find("of")):
        first, last = phrase.start - 1, text.after(phrase.end - 1)
        if first < 0 or last != phrase.end or not text.is_free(first):
            continue
        numbers = (text.tokens[first], text.tokens[last])
        if any(token.count is None for token in numbers) or not text.is_free(last):
            continue
        before = text.before(first)
        if text.means(before, "cut", "quantity") or begins_count(text, last, last + 1):
            continue
        text.read(range(first, last + 1))
        if text.means(before, "piece") and text.is_free(before):
            text.read(*(index for index in (before,) if index is not None))
        return numbers[0].text
    return None


def read_grain(text: Text) -> tuple[Grain | None, list[str]]:
    """Return the grain a label names; the bias before the cross grain before the straight one."""
    for phrase in text.find("not a grain"):
        if not phrase.means("part"):
            text.bar(phrase)
    found: list[Grain] = []
    names_straight = False
    kinds: tuple[Grain, ...] = ("bias", "cross", "straight")
    for kind in kinds:
        for phrase in list(text.find(kind)):
            if phrase.means("not a grain"):
                continue
            before = text.before(phrase.start)
            while before is not None and text.means(before, "filler"):
                before = text.before(before)
            place = [one for one in text.find("place") if one.end - 1 == before]
            text.read(phrase, *place)
            found.append(kind)
            # A word like *grainline* only names the arrow, which on a bias piece may lean.
            names_straight |= kind == "straight" and not phrase.means("names the line")
    questions = []
    if {"bias", "cross"} <= set(found):
        questions = ["The label names the bias and the cross grain: which is meant?"]
    elif names_straight and len(set(found)) > 1:
        other = "bias" if found[0] == "bias" else "cross grain"
        questions = [f"The label names the {other} and the straight grain: which is meant?"]
    return (found[0] if found else None), questions


def read_nap(text: Text) -> tuple[bool | None, list[str]]:
    """Return True for cloth with nap, one way; False for without; None when nothing is said."""
    said = set()
    for idea, value in (("no nap", False), ("nap", True)):
        for phrase in list(text.find(idea)):
            text.read(phrase)
            said.add(value)
    if len(said) > 1:
        return None, ["The label says both with and without nap."]
    return (said.pop() if said else None), []


def read_stretch(text: Text) -> bool:
    """Return whether the label marks the direction of greatest stretch."""
    phrases = list(text.find("stretch"))
    text.read(*phrases)
    return bool(phrases)
