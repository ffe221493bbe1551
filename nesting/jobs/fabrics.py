# SPDX-License-Identifier: GPL-2.0-or-later
"""Whether several pieces of cloth of a job can be laid as one question."""

from __future__ import annotations

from collections.abc import Iterator
from typing import get_args

from nesting.jobs.fabric import fabric_faults
from nesting.jobs.values import is_list, said
from nesting.model import Fabric, Job, Lot

MOST_FABRICS = 12


def fabrics_faults(job: Job) -> Iterator[str]:
    """Yield what is wrong with the pieces of cloth of a job that has several."""
    fabrics = job.fabrics
    if not is_list(fabrics) or not all(isinstance(one, Fabric) for one in fabrics):
        yield "The fabrics of the job must be a list of pieces of cloth."
        return
    if len(fabrics) > MOST_FABRICS:
        yield (
            f"{len(fabrics)} pieces of cloth are given, but parts are shared out among "
            f"{MOST_FABRICS} at most: choose fewer."
        )
        return
    for number, fabric in enumerate(fabrics, 1):
        for sentence in fabric_faults(fabric):
            yield f"Cloth {number}: {sentence}"
        if fabric.length is None and is_list(fabric.outline) and not len(fabric.outline):
            yield (
                f"Cloth {number} has no end: each of several pieces of cloth needs its length, or "
                "an outline of its own."
            )
        if not fabric.is_plain or fabric.repeat is not None:
            yield (
                f"Cloth {number} is folded or has a repeat: several pieces of cloth are laid open, "
                "and without a design."
            )
    if job.one_lot not in get_args(Lot):
        words = " or ".join(f"“{word}”" for word in get_args(Lot) if word)
        yield f"What is of one lot must be {words}, or be left out, not {said(job.one_lot)}."
    if job.held:
        yield (
            "Held parts lie on one piece of cloth, and are not shared out among several: give the "
            "job that fabric alone, or hold nothing."
        )
