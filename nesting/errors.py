# SPDX-License-Identifier: GPL-2.0-or-later
"""One family of errors: fields for the program, one plain sentence for the person."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

_QUOTED = re.compile(r"“([^“”]{201,})”")
_NOISE = 1e-6
"""mm that is the computer's rounding."""


class ThriftlayError(Exception):
    """Root of every error that is meant to be shown: `str(error)` is one plain sentence.

    What it quotes from a drawing is cut short: a path may be as long as a book.
    """

    def __str__(self) -> str:
        """Return the sentence."""
        return _QUOTED.sub(lambda found: f"“{found[1][:60]}…”", super().__str__())


class JobError(ThriftlayError):
    """The job asks for something that cannot be done.

    `piece` is the id of the piece at fault, or None when the fabric or the whole job is.
    """

    def __init__(self, message: str, piece: str | None = None) -> None:
        super().__init__(message)
        self.piece = piece


class PieceTooWide(JobError):
    """A piece does not fit across the fabric in any turn it may take."""

    def __init__(self, piece: str, label: str, needs_mm: float, has_mm: float) -> None:
        super().__init__(
            f"{label} needs fabric at least {_cm(math.ceil(needs_mm - _NOISE))} wide between the "
            f"selvedges, but this fabric has {_cm(math.floor(has_mm + _NOISE))}: choose wider "
            "fabric, or allow the piece another turn.",
            piece,
        )
        self.needs_mm = needs_mm
        self.has_mm = has_mm


class BrokenLayout(ThriftlayError):
    """The judge refused a result and it could not be repaired."""

    def __init__(self, violations: Sequence[object]) -> None:
        first = violations[0] if violations else "unknown fault"
        super().__init__(
            f"The layout failed its own check ({first}) and is not shown: "
            "please run again with another seed, and report this drawing."
        )
        self.violations = tuple(violations)


def _cm(whole: int) -> str:
    """Return whole millimetres in centimetres: `60 cm`, `60.5 cm`."""
    return f"{whole / 10:.10g} cm"


def first_and_count(faults: Sequence[str]) -> str:
    """Return several faults as one line: the first in full, the others counted."""
    more = len(faults) - 1
    return faults[0] if more < 1 else f"{faults[0]} (and {more} more)"


def first_of(faults: Sequence[JobError]) -> JobError:
    """Return the first fault, with the number of the others in its sentence."""
    first = faults[0]
    first.args = (first_and_count([str(fault) for fault in faults]),)
    return first
