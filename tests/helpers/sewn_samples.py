# SPDX-License-Identifier: GPL-2.0-or-later
"""The two samples with match points, laid out and sewn.

`python -m tests.helpers.sewn_samples FOLDER` writes a picture of the seams of each, to be looked
at: do the lines run on?
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from extension.svg.document import parse
from nesting.model import Job, Layout
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers.cloth import between_selvedges
from tests.helpers.drafting import shirt, striped_top
from tests.helpers.drafting.draft import Draft
from tests.helpers.drafting.place import origin
from tests.helpers.layouts import no_time, plan_of
from tests.helpers.places import SAMPLES
from tests.helpers.sewn import Design, Joined, Sewn, cut, picture, walked

WIDTH = 1375.0
"""mm between the selvedges."""


@dataclass(frozen=True)
class Garment:
    """A sample as it is laid out: its layout, the design of the cloth, and how to cut a copy."""

    job: Job
    layout: Layout

    @property
    def design(self) -> Design:
        """The lines of the cloth."""
        assert self.job.fabric.repeat is not None
        return Design(self.job.fabric.repeat)

    def cut(self, draft: Draft, copy: int = 1, other_half: bool = False) -> Sewn:
        """Return a copy of a piece as it is cut."""
        page = origin(draft, {**shirt.CORNERS, **striped_top.CORNERS}[draft.id])
        return cut(draft, page, self.layout, self.job.fabric.width, copy, other_half)

    def beside(self, one: Sewn, draft: Draft) -> Sewn:
        """Return that half of a piece on the fold whose side seam is sewn to that of a part."""
        halves = (self.cut(draft, other_half=other) for other in (False, True))
        return next(half for half in halves if half.is_turned_over != one.is_turned_over)


def garment(sample: str, rounds: int = 1, **options: Any) -> Garment:
    """Return a sample laid out on cloth with a design."""
    plan = plan_of(parse(SAMPLES / f"{sample}.svg"), between_selvedges(WIDTH, **options))
    layout = solve(plan.job, stop=AfterRounds(rounds), clock=no_time)
    return Garment(plan.job, layout)


CHECKS: dict[str, Any] = {"repeat": "along 60mm, across 60mm"}
STRIPES: dict[str, Any] = {"repeat": "along 50mm", "uneven": True}


def seams_of_shirt(made: Garment) -> list[Joined]:
    """Return what to look at on the shirt: its side seams, its centre front, its pocket."""
    found = []
    for copy in (1, 2):
        front = made.cut(shirt.front(), copy)
        back = made.beside(front, shirt.back())
        found.append(_sides(front, back, shirt.SIDE_NOTCH, f"Side seam, front {copy} and back"))
    left, right = (made.cut(shirt.front(), copy) for copy in (1, 2))
    ends = shirt.front().drills[4], shirt.front().drills[0]
    found.append(Joined(left, right, ends, ends, "Centre front, one on the other", on_top=True))
    at, dot = shirt.AT_POCKET, shirt.pocket().drills[0]
    whole = made.cut(shirt.pocket())
    found.append(Joined(left, whole, (at, at), (dot, dot), "Pocket on front 1", on_top=True))
    return found


def seams_of_top(made: Garment) -> list[Joined]:
    """Return what to look at on the top: its side seams."""
    found = []
    for other in (False, True):
        front = made.cut(striped_top.front(), other_half=other)
        back = made.beside(front, striped_top.back())
        found.append(_sides(front, back, striped_top.SIDE_NOTCH, "Side seam, front and back"))
    return found


def _sides(front: Sewn, back: Sewn, notch: float, words: str) -> Joined:
    """Return a front and a back at their side seam."""
    line, other = (_straight(part.draft, notch) for part in (front, back))
    return Joined(front, back, line, other, words)


def _straight(draft: Draft, notch: float) -> tuple[complex, complex]:
    """Return the notch of a side seam on the stitching line, and the underarm."""
    return walked(draft.seam, "side", notch), walked(draft.seam, "side", 0.0)


def main(folder: Path) -> None:
    """Write the pictures."""
    folder.mkdir(parents=True, exist_ok=True)
    pictures = {
        "checked-shirt": (garment("checked-shirt", 20, **CHECKS), seams_of_shirt),
        "striped-top": (garment("striped-top", 20, **STRIPES), seams_of_top),
    }
    for name, (made, seams) in pictures.items():
        file = folder / f"{name}-sewn.svg"
        file.write_text(picture(made.design, seams(made), 800.0), encoding="utf-8")
        sys.stdout.write(f"{file}\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
