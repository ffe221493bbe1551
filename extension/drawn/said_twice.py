# SPDX-License-Identifier: GPL-2.0-or-later
"""Whether the designer's label says nothing that the label of a part leaves to be said."""

from __future__ import annotations

import re
from collections.abc import Sequence

from extension.job.plan import titled
from extension.labels.reading import read_label
from extension.pieces.model import DrawnPiece
from extension.svg.model import Leaf

_NUMBERING = frozenset({"no", "nr", "n", "num", "to", "bis", "of", "von", "de", "sur", "à"})
"""Small words round the numbers of patterns, pieces and sizes."""
_WORD = re.compile(r"[^\W\d_]+")


def says_the_same(label: Sequence[Leaf], drawn: DrawnPiece) -> bool:
    """Return whether a label has the name of its piece, and else what a cutter need not read.

    That is how often and from what it is cut, and numbers of pattern, piece and size: the part lies
    there as often, on that cloth. A label with any other word (where to ease, what to line, how
    wide an allowance is) says more, and so does one of which a word is not understood.
    """
    lines = [line for leaf in label for line in leaf.text.splitlines() if line.strip()]
    names = {_plain(drawn.name), _plain(titled(drawn))}
    others = [line for line in lines if _plain(line) not in names]
    return len(others) < len(lines) and all(_is_counting(line) for line in others)


def _is_counting(line: str) -> bool:
    """Return whether a line of a label has nothing but counts, materials, sizes and numbers."""
    read = read_label(line)
    says_more = (read.unknown, read.name, read.nap, read.stretch, read.allowance, read.questions)
    if any(says_more) or read.included is not None:
        return False
    words = (word for run in read.unread for word in _WORD.findall(run.casefold()))
    return all(word in _NUMBERING for word in words)


def _plain(words: str) -> str:
    return " ".join(words.split()).casefold()
