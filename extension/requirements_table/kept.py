# SPDX-License-Identifier: GPL-2.0-or-later
"""Finished cells kept in a folder, so that an interrupted table goes on where it was.

One file per cell, named after all that its result depends on: job, seed, rounds and engine. So a
folder may serve many patterns, and nothing in it is ever taken for what it is not.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from pathlib import Path

from extension.language.errors import OptionError
from extension.svg.document import write_atomically
from nesting import ENGINE
from nesting.errors import ThriftlayError
from nesting.jobs.jobfile import job_to_json, layout_from_json, layout_to_json
from nesting.judge.check import check
from nesting.model import Job, Layout

_DIGITS = 32


class Shelf:
    """A folder of finished cells; without a folder nothing is kept and nothing is found."""

    def __init__(self, folder: Path | None) -> None:
        self._folder = folder
        if folder is None:
            return
        try:
            folder.mkdir(exist_ok=True)
        except OSError as error:
            raise OptionError(
                f"Finished work cannot be kept in “{folder}”: name a folder, whose parent is there "
                "and that may be written to."
            ) from error

    def find(self, job: Job, seed: int, rounds: int) -> Layout | None:
        """Return the kept layout of a valid job, if there is one and the judge passes it."""
        text = self._read(_cell_name(job, seed, rounds))
        if text is None:
            return None
        try:
            layout = layout_from_json(text)
            return layout if not check(job, layout) and not layout.left_over else None
        except (ThriftlayError, KeyError):
            return None  # damaged: it is laid out anew

    def keep(self, job: Job, seed: int, rounds: int, layout: Layout) -> None:
        """Keep a layout that took so many rounds. Raises DrawingError when it cannot be written."""
        self._write(_cell_name(job, seed, rounds), layout_to_json(layout))

    def find_rounds(self, jobs: Sequence[Job], seed: int) -> list[int] | None:
        """Return how many rounds each cell of a table has had, or was to have, when it was left."""
        text = self._read(_table_name(jobs, seed))
        try:
            rounds = list(json.loads(text or "{}")["rounds"])
        except (ValueError, KeyError, TypeError):
            return None
        fits = len(rounds) == len(jobs) and all(type(one) is int and one > 0 for one in rounds)
        return rounds if fits else None

    def keep_rounds(self, jobs: Sequence[Job], seed: int, rounds: Sequence[int]) -> None:
        """Keep the numbers of rounds of a table."""
        self._write(_table_name(jobs, seed), json.dumps({"rounds": list(rounds)}))

    def _read(self, name: str) -> str | None:
        if self._folder is None:
            return None
        try:
            return (self._folder / name).read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError):
            return None

    def _write(self, name: str, text: str) -> None:
        if self._folder is not None:
            write_atomically(text.encode(), self._folder / name)


def _cell_name(job: Job, seed: int, rounds: int) -> str:
    return f"cell-{_digest(job_to_json(job), str(seed), str(rounds))}.json"


def _table_name(jobs: Sequence[Job], seed: int) -> str:
    return f"rounds-{_digest(*map(job_to_json, jobs), str(seed))}.json"


def _digest(*words: str) -> str:
    text = "\n".join((*words, ENGINE))
    return hashlib.sha256(text.encode()).hexdigest()[:_DIGITS]
