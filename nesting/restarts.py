# SPDX-License-Identifier: GPL-2.0-or-later
"""How long to go on before each new beginning, when nobody knows how long success takes.

Mostly short, now and then long: every length comes up so often that about as much time is spent on
it as on any other. Source: Luby, Sinclair, Zuckerman, "Optimal speedup of Las Vegas algorithms",
Information Processing Letters 47(4), 1993.
"""

from __future__ import annotations


def units(beginning: int) -> int:
    """Return for how many units of time beginning 1, 2, 3, ... lasts: 1, 1, 2, 1, 1, 2, 4, 1, ...

    A beginning that ends a block of 2^k - 1 lasts half of 2^k; the next block begins as all before
    it did. Raises ValueError below 1.
    """
    if beginning < 1:
        raise ValueError(f"beginnings are counted from 1, not {beginning}")
    while beginning & (beginning + 1):
        beginning -= (1 << (beginning.bit_length() - 1)) - 1
    return (beginning + 1) >> 1
