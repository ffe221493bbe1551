# SPDX-License-Identifier: GPL-2.0-or-later
"""A label cut into words, numbers, line breaks and signs."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal, cast

from extension.language.words import folded

Kind = Literal["word", "number", "line", "sign"]

_VULGAR = "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_TOKEN = re.compile(
    rf"""
    (?P<number>
        \d{{1,4}}(?:[./-]\d{{1,4}}){{2,}}               # a date, or sizes: 12.03.2024, 36/38/40
      | \d+[ ]*[{_VULGAR}] | [{_VULGAR}]                # 1½, ½
      | (?:\d+-)?\d+[ ]*[/⁄][ ]*\d+                   # 5/8, 1-1/2
      | \d+[.,]\d+ | (?<!\S)[-−]\d+ | \d+               # 1.5, 1,5, -1, 2
    )
    | (?P<times>(?<=\d)[xX](?=[^\W\d_]{{3}}) | [×✕✖*])  # 2xOberstoff (but 2XL), 2×
    | (?P<word>(?:[^\W\d_][\u0300-\u036f]*)+(?:\((?:s|es|n|en)\))?)  # also marge(s)
    | (?P<line>[\n\r\v\f\u2028\u2029]+)
    | (?P<sign>''|’’|′′|\S)                            # 5/8''
    """,
    re.VERBOSE | re.IGNORECASE,
)
_WHOLE = re.compile(r"[0-9]{1,9}", re.ASCII)


@dataclass(frozen=True, slots=True)
class Token:
    """One word, number, line break or sign of a label, from `start` to `end` of its text.

    `key` is what is compared: without case and accents.
    """

    kind: Kind
    text: str
    key: str
    start: int
    end: int

    @property
    def count(self) -> int | None:
        """The whole number that this is; None for fractions, decimals, dates and words."""
        is_whole = self.kind == "number" and _WHOLE.fullmatch(self.text)
        return int(self.text) if is_whole else None

    @property
    def says_something(self) -> bool:
        """Whether this is more than a sign: it has letters or digits of some script."""
        return any(sign.isalnum() for sign in self.text)


def tokens_of(text: str) -> tuple[Token, ...]:
    """Return the tokens of a label in order: spaces are dropped, line breaks kept."""
    # Spaces that do not break and those of fixed width count as any other.
    text = re.sub(r"[^\S\n\r\v\f\u2028\u2029]", " ", text)
    found: list[Token] = []
    for match in _TOKEN.finditer(text):
        name, own = str(match.lastgroup), match[0]
        kind = cast(Kind, "word" if name == "times" else name)
        key = "x" if name == "times" else folded(own)
        found.append(Token(kind, own, key, match.start(), match.end()))
    return tuple(found)
