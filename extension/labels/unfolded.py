# SPDX-License-Identifier: GPL-2.0-or-later
"""Which letters of a label put the piece on the fold: on a part that is opened out none should."""

from __future__ import annotations

from collections.abc import Iterator

from extension.labels.phrases import Text
from extension.labels.reading import words_of_fold

_JOINING = frozenset(" \t,;:·•|/–—-‐+&\N{NO-BREAK SPACE}")
"""Signs that join words, and say nothing where no word is left on one side of them."""
_LINE_ENDS = frozenset("\n\r\v\f\u2028\u2029")
_BRACKETS = {"(": ")", "[": "]"}


def says_on_fold(words: str) -> bool:
    """Return whether words that read as a fold say more than *fold*, which may be any fold."""
    text = Text(words)
    says_on = any(phrase.means("on fold", "cut", "place") for phrase in text.phrases)
    return says_on or any(token.kind == "number" for token in text.tokens)


def fold_letters(label: str) -> frozenset[int]:
    """Return which letters of a label put the piece on the fold, and the signs that join them.

    A count beside them stays: without these letters, `cut 1 on the fold` is `cut 1`.
    """
    gone: set[int] = set()
    for low, high in _merged(label, words_of_fold(label)):
        gone.update(_with_signs(label, low, high))
    return frozenset(gone)


def _merged(label: str, spans: tuple[tuple[int, int], ...]) -> Iterator[tuple[int, int]]:
    """Yield stretches of letters, those as one between which there are only signs that join."""
    waiting: tuple[int, int] | None = None
    for low, high in sorted(spans):
        if waiting is None:
            waiting = low, high
        elif set(label[waiting[1] : low]) <= _JOINING:
            waiting = waiting[0], high
        else:
            yield waiting
            waiting = low, high
    if waiting is not None:
        yield waiting


def _with_signs(label: str, low: int, high: int) -> range:
    """Return a stretch of letters with the signs and brackets that nothing needs without them."""
    first, last = low, high
    while first > 0 and label[first - 1] in _JOINING:
        first -= 1
    while last < len(label) and label[last] in _JOINING:
        last += 1
    before, after = label[first - 1 : first] or "\n", label[last : last + 1] or "\n"
    if _BRACKETS.get(before) == after:
        return _with_signs(label, first - 1, last + 1)
    begins = before in _LINE_ENDS or before in _BRACKETS
    ends = after in _LINE_ENDS or after in _BRACKETS.values()
    # Between words, what joins those that are left stands behind.
    return range(first, last if begins or ends else high)
