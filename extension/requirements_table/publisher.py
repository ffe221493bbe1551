# SPDX-License-Identifier: GPL-2.0-or-later
"""What a table says to whoever publishes it, and not to who buys by it: how it was made."""

from __future__ import annotations

from collections.abc import Sequence

from extension.language.words import counted
from extension.requirements_table.options import replay_text
from extension.requirements_table.table import Entry, Table
from extension.requirements_table.trust import told_seconds
from nesting import ENGINE

FOR_PUBLISHER = "For the publisher"
"""Heads what is not for the customer."""


def publisher_notes(table: Table) -> tuple[str, ...]:
    """Return what is for whoever makes the table and not for who buys by it: how it was made."""
    return (*about_rough(table), run_note(table))


def about_rough(table: Table) -> tuple[str, ...]:
    """Return that lengths are rough and how much time would be right; nothing where none is."""
    rough = [one for one in table.entries if one.layout is not None and one.is_rough]
    return (_remedy(table, rough),) if rough else ()


def _remedy(table: Table, rough: Sequence[Entry]) -> str:
    """Return how much more time, or how many rounds, would be right."""
    short = "The search was so short that lengths are rough."
    if table.options.base.rounds is None and table.right is not None:
        seconds = told_seconds(table.right.seconds)
        about = "at least" if table.right.at_least else "about"
        return (
            f"{short} For this table, on this computer as busy as it was, {about} "
            f"{counted(seconds // 60, 'minute')} would be right: set the time to {seconds} seconds."
        )
    rounds = max(entry.wanted for entry in rough)
    return f"{short} As many as {rounds} rounds for each would be right."


def run_note(table: Table) -> str:
    """Return how the table was made, and what makes the same one again."""
    base = table.options.base
    had = [entry.rounds for entry in table.every if not entry.planned.why_not]
    unfinished = sum(not entry.finished for entry in table.every if entry.layout is not None)
    rest = f" {_unfinished(unfinished)}" if unfinished else ""
    least, most = min(had), max(had)
    rounds = counted(most, "round") if least == most else f"{least} to {most} rounds"
    return (
        f"Every length: {rounds}, one worker, seed {base.seed}, engine {ENGINE}. The same again "
        f"with: --rounds {replay_text(had)} --seed {base.seed}.{rest}"
    )


def _unfinished(count: int) -> str:
    are = "length was" if count == 1 else "lengths were"
    return f"{count} {are} stopped before that and may be longer than need be."
