# SPDX-License-Identifier: GPL-2.0-or-later
"""Read Pattern Markings: from a drawing to the drawing with details on its pieces, and a review.

The one place that wires reading, writing and the review together, for the command line and the
editor alike.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from extension.drawn.proposed import write_reading
from extension.drawn.review import draw_review
from extension.job.hindrances import with_hindrances
from extension.markings.listing import matches_of, report_of, summary_of
from extension.markings.proposing import propose
from extension.markings.taken_over import with_taken_over
from extension.svg.document import Document, serialise
from extension.svg.leaves import read_leaves


@dataclass(frozen=True, slots=True)
class ReadOutcome:
    """The drawing with what was read written on it, what to say, and the report."""

    drawing: bytes
    summary: tuple[str, ...]
    report: dict[str, Any]
    matches: tuple[str, ...] = ()
    """What notches suggest for stripes and checks."""


def read_markings(
    document: Document, *, overwrite: bool = False, match_notches: bool = False
) -> ReadOutcome:
    """Return a drawing with the details that are drawn on it written on its pieces.

    The document's tree is changed: attributes of ours, lines for folds and grainlines that only a
    bracket or broken line shows, and a review layer in the place of an earlier one. What she set
    by hand is kept unless `overwrite`. Match points that notches suggest are set with
    `match_notches`, and else shown alone. Raises DrawingError when the drawing cannot be read.
    """
    proposals = propose(document, overwrite=overwrite, match_notches=match_notches)
    write_reading(document, proposals)
    leaves = read_leaves(document)
    proposals = with_hindrances(with_taken_over(proposals, leaves), leaves)
    draw_review(document, leaves, proposals)
    return ReadOutcome(
        serialise(document),
        tuple(summary_of(proposals)),
        report_of(proposals),
        tuple(matches_of(proposals)),
    )
