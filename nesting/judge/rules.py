# SPDX-License-Identifier: GPL-2.0-or-later
"""The table of the judge's rules: the name of each, the unit, when it is broken, the words.

Whoever lists rules takes them from here: the judge itself, Check Layout, Tighten Layout and the
reports. To add a rule, write its function and its row.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from nesting.judge.bookkeeping import (
    COUNT,
    HAND,
    HELD_MOVED,
    NAP,
    TURN,
    against_the_nap,
    moved_though_held,
    wrong_counts,
    wrong_hands,
    wrong_turns,
)
from nesting.judge.borders import BORDER, off_borders
from nesting.judge.flaws import FLAW, over_flaws
from nesting.judge.matching import MATCH, unmatched
from nesting.judge.outlines import (
    FIGURES,
    GAP,
    OFF_THE_CLOTH,
    OVERLAP,
    Laid,
    nowhere,
    off_the_cloth,
    overlaps,
    too_near,
    untrue_figures,
)
from nesting.judge.remnants import REMNANT, off_the_remnant
from nesting.judge.several import LOT, parted_lots, untrue_cloths
from nesting.judge.unfolding import Cut, Unfolded, unfold
from nesting.judge.verdict import Violation
from nesting.judge.zones import ZONE, sections_of, untrue_sections
from nesting.model import Fabric, Job, Layout, Piece, Placement

Of = Literal["outlines", "parts", "layout"]
"""What a rule is about: outlines as they lie, whatever they are; parts of pieces, each by itself;
the layout as a whole, with all its parts."""
Unit = Literal["mm²", "mm", "°", "copies"]


@dataclass(frozen=True, eq=False, slots=True)
class Case:
    """What rules are asked about.

    `laid` are the outlines as they lie on flat cloth, `placements` those of pieces that are known.
    `job` and `layout` are there when the layout as a whole is asked about. `unfolded` is what the
    placements cut, where that has been found out already; of several `cloths`, on each of them.
    """

    fabric: Fabric
    laid: Sequence[Laid]
    pieces: dict[str, Piece]
    placements: Sequence[Placement] = ()
    job: Job | None = None
    layout: Layout | None = None
    unfolded: Unfolded | None = None
    cloths: Mapping[int, Unfolded] = field(default_factory=dict)

    @property
    def flat(self) -> Unfolded:
        """What the placements cut on flat cloth."""
        if self.unfolded is not None:
            return self.unfolded
        sections = sections_of(self.fabric, self.layout)
        return unfold(self.fabric, self.pieces, self.placements, sections)

    @property
    def cut(self) -> list[Placement]:
        """What is cut of each copy, as plain placements on flat cloth."""
        return [cut.spot for cut in self.flat.cuts]

    @property
    def whole(self) -> tuple[Job, Layout]:
        """The job and the layout, for the rules about the layout as a whole."""
        assert self.job is not None
        assert self.layout is not None
        return self.job, self.layout


@dataclass(frozen=True, slots=True)
class Rule:
    """A row: its name, the unit of a violation's amount, when it is broken, and words to count it.

    `words` are for one and for several; None where a count of them says nothing to a person.
    """

    name: str
    unit: Unit
    of: Of
    broken: Callable[[Case], Sequence[Violation]]
    words: tuple[str, str] | None


def _against_the_nap(
    fabric: Fabric, pieces: dict[str, Piece], cuts: Sequence[Cut]
) -> list[Violation]:
    """Return the copies that lie against the nap; turning back what a fold reversed is no help."""
    lying = [cut.spot for cut in cuts if not cut.is_reversed]
    end_for_end = [cut.spot for cut in cuts if cut.is_reversed]
    remedy = "cut the upper layer off along the fold and turn it round"
    return [
        *against_the_nap(fabric, pieces, lying),
        *against_the_nap(fabric, pieces, end_for_end, remedy),
    ]


def _untrue(case: Case) -> Sequence[Violation]:
    """Return the figures that are not what the parts say."""
    job, layout = case.whole
    if job.fabrics:
        return tuple(untrue_cloths(job, layout, case.cloths))
    untrue = untrue_figures(case.fabric, layout, case.laid, case.flat.lengths)
    return (*untrue, *untrue_sections(case.fabric, layout))


RULES = (
    Rule(
        OVERLAP,
        "mm²",
        "outlines",
        lambda case: overlaps(case.laid),
        ("overlap", "overlaps"),
    ),
    Rule(
        GAP,
        "mm",
        "outlines",
        lambda case: too_near(case.laid, case.fabric.gap),
        ("pair too close", "pairs too close"),
    ),
    Rule(
        OFF_THE_CLOTH,
        "mm",
        "outlines",
        lambda case: (*off_the_cloth(case.laid, case.fabric), *nowhere(case.placements)),
        ("part off the cloth", "parts off the cloth"),
    ),
    Rule(
        REMNANT,
        "mm²",
        "outlines",
        lambda case: off_the_remnant(case.laid, case.fabric),
        ("part off the remnant", "parts off the remnant"),
    ),
    Rule(
        FLAW,
        "mm²",
        "outlines",
        lambda case: over_flaws(case.laid, case.fabric),
        ("part over a flaw", "parts over a flaw"),
    ),
    Rule(
        ZONE,
        "mm",
        "parts",
        lambda case: case.flat.strays,
        ("part across a fold or a single edge", "parts across a fold or a single edge"),
    ),
    Rule(
        COUNT,
        "copies",
        "layout",
        lambda case: wrong_counts(case.whole[0], case.whole[1].placements, case.whole[1].left_over),
        None,  # how many parts of how many are there is told first of all
    ),
    Rule(
        HAND,
        "copies",
        "layout",
        lambda case: wrong_hands(case.pieces, [cut.spot for cut in case.flat.cuts if cut.has_hand]),
        ("wrong hand", "wrong hands"),
    ),
    Rule(
        TURN,
        "°",
        "parts",
        lambda case: wrong_turns(case.pieces, case.cut),
        ("part off the grain", "parts off the grain"),
    ),
    Rule(
        NAP,
        "°",
        "parts",
        lambda case: _against_the_nap(case.fabric, case.pieces, case.flat.cuts),
        ("part against the nap", "parts against the nap"),
    ),
    Rule(
        BORDER,
        "mm",
        "parts",
        lambda case: off_borders(case.fabric, case.pieces, case.flat),
        ("part off the border", "parts off the border"),
    ),
    Rule(
        MATCH,
        "mm",
        "parts",
        lambda case: unmatched(
            case.fabric, case.pieces, case.placements, sections_of(case.fabric, case.layout)
        ),
        ("part off the design", "parts off the design"),
    ),
    Rule(
        HELD_MOVED,
        "mm",
        "layout",
        lambda case: moved_though_held(case.whole[0].held, case.whole[1].placements),
        None,  # this and those that follow can be broken by a program alone
    ),
    Rule(
        LOT,
        "copies",
        "layout",
        lambda case: tuple(parted_lots(case.whole[0], case.placements)),
        None,
    ),
    Rule(FIGURES, "mm", "layout", lambda case: _untrue(case), None),
)
"""Every rule of the judge, in the order in which they are asked and told."""


def named(*of: Of, units: Sequence[Unit] = ("mm²", "mm", "°", "copies")) -> tuple[str, ...]:
    """Return the names of the rules that are about something, with an amount in some units."""
    return tuple(rule.name for rule in RULES if rule.of in of and rule.unit in units)
