# SPDX-License-Identifier: GPL-2.0-or-later
"""Text broken into rows that no word can leave, however long it is."""

from __future__ import annotations

from collections.abc import Iterator

from extension.drawn.lettering import line_width

TITLE, TEXT = 5.0, 3.6
"""Font sizes, mm, of the heading and of what stands round a picture (10.2 pt in a web page)."""
_ROW = 1.4
"""From one line of them to the next, in font sizes."""
_BETWEEN = 6.0
"""mm of air between heading, pictures and notes."""


def rows_in(words: str, room: float, size: float, *, bold: bool = False) -> list[str]:
    """Return words broken into rows of at most `room` mm: at spaces, and where a word is longer.

    A character that is wider than the room still has a row of its own.
    """
    rows: list[str] = []
    for word in words.split():
        for part in _parts(word, room, size, bold):
            longer = f"{rows[-1]} {part}" if rows else part
            if rows and line_width(longer, size, bold=bold) <= room:
                rows[-1] = longer
            else:
                rows.append(part)
    return rows or [""]


def _parts(word: str, room: float, size: float, bold: bool) -> Iterator[str]:
    """Yield a word in parts that fit."""
    part = ""
    for letter in word:
        if part and line_width(part + letter, size, bold=bold) > room:
            yield part
            part = ""
        part += letter
    if part:
        yield part


def words_height(title: str, lines: tuple[str, ...], room: float) -> float:
    """Return how high a heading and paragraphs in rows of `room` mm come to at most, mm."""
    heads = len(rows_in(title, room, TITLE, bold=True)) * TITLE
    rows = sum(len(rows_in(line, room, TEXT)) for line in lines)
    return (heads + rows * TEXT) * _ROW + len(lines) + _BETWEEN
