# SPDX-License-Identifier: GPL-2.0-or-later
"""Rules about single values of a job: each yields one sentence for what is wrong with it.

Nothing is taken for granted, not even the type of a value.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from numbers import Integral, Real
from typing import Any

from nesting.model import Limits


def number_faults(what: str, value: Any, low: float, high: float, unit: str) -> Iterator[str]:
    """Yield why a value is no number between two bounds (NaN and infinity are not)."""
    if not is_number(value):
        yield f"{what} must be a number, not {said(value)}."
    elif not low <= value <= high:
        yield f"{what} must be from {low:,g} to {high:,g}{unit}, not {said(value)}."


def count_faults(what: str, value: Any, limits: Limits) -> Iterator[str]:
    """Yield why a value is no count."""
    if not is_count(value) or not limits.low <= value <= limits.high:
        bounds = f"{limits.low:g} to {limits.high:g}"
        yield f"{what} must be a whole number from {bounds}, not {said(value)}."


def flag_faults(what: str, value: Any) -> Iterator[str]:
    """Yield why a value is neither yes nor no."""
    if not isinstance(value, bool):
        yield f"{what} must be true or false, not {said(value)}."


def text_faults(what: str, value: Any, *, blank: bool = True) -> Iterator[str]:
    """Yield why a value is no text that can be printed and written to a file."""
    if not isinstance(value, str):
        yield f"{what} must be text, not {said(value)}."
    elif not blank and not value.strip():
        yield f"{what} must not be empty."
    elif any("\ud800" <= letter <= "\udfff" for letter in value):
        yield f"{what} has characters that cannot be written to a file: {said(value)}."


def is_number(value: Any) -> bool:
    """Return whether a value is a number (True is not)."""
    return isinstance(value, Real) and not isinstance(value, bool)


def is_count(value: Any) -> bool:
    """Return whether a value is a whole number (True and 2.0 are not)."""
    return isinstance(value, Integral) and not isinstance(value, bool)


def is_list(value: Any) -> bool:
    """Return whether a value is a list of some kind (text is not)."""
    return isinstance(value, Sequence) and not isinstance(value, str | bytes)


def said(value: Any) -> str:
    """Return a value as a sentence quotes it, cut short."""
    if value is None or isinstance(value, bool):
        return {None: "nothing", True: "true", False: "false"}[value]
    if is_number(value):
        # Written so that NaN and numbers of hundreds of digits come to the second sentence.
        return f"{value}" if -1e15 < value < 1e15 else "something beyond all measure"
    text = value if isinstance(value, str) else repr(value)
    text = text.encode("utf-8", "replace").decode("utf-8")
    return f"“{text[:37]}…”" if len(text) > 40 else f"“{text}”"
