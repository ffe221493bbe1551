# SPDX-License-Identifier: GPL-2.0-or-later
"""How names and keywords are compared: without case, accents, spaces and punctuation."""

from __future__ import annotations

import unicodedata


def folded(text: str) -> str:
    """Return a word as it is compared: `Größe ` and `GROSSE`, `two-way` and `Two way` are equal.

    Letters and digits of every script stay; a text without any (`*`) is kept as it is, trimmed.
    """
    decomposed = unicodedata.normalize("NFKD", text.casefold())
    kept = "".join(sign for sign in decomposed if sign.isalnum())
    return kept or text.strip()


def listed(words: list[str], most: int = 5) -> str:
    """Return a short list for a sentence: `a, b and c`, with the rest counted beyond `most`."""
    if len(words) > most:
        return f"{', '.join(words[:most])} and {len(words) - most} more"
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
