# SPDX-License-Identifier: GPL-2.0-or-later
"""The design of the cloth of a table: which materials have one, and in which cells it is laid."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from extension.job.design import repeat_of, runs_one_way
from extension.job.options import options_from_text
from extension.job.wishes import DESIGN, design_for
from nesting.model import Repeat


@dataclass(frozen=True, slots=True)
class TypedDesign:
    """The design of one cloth, its fields as `LayOutOptions` has them; `first_line` in mm."""

    repeat: str
    uneven: bool = False
    half_drop: bool = False
    first_line: float = 0.0

    @property
    def of_cloth(self) -> Repeat:
        """The repeat of the cloth."""
        found = repeat_of(
            self.repeat, self.first_line, uneven=self.uneven, half_drop=self.half_drop
        )
        assert found is not None
        return found

    @property
    def has_one_way_up(self) -> bool:
        """Whether all tops lie one way on it, as on cloth with a nap."""
        return runs_one_way(self.of_cloth)

    @property
    def fields(self) -> dict[str, Any]:
        """Its fields by name, for options of a layout."""
        return asdict(self)


def design_of(
    typed: Mapping[str, str], name: str, laid: Sequence[str], usable: float
) -> TypedDesign | None:
    """Return the design of a material, None where it has none; the fields are as typed.

    `laid` are the materials of the table: linings and interfacings beside other cloth have none
    unless it is typed for them. `usable` is the width of the cloth between the selvedges, mm.
    Raises OptionError where it cannot be.
    """
    own = design_for(typed, name, laid)
    if not own:
        return None
    judged = options_from_text({"fabric_width": f"{usable!r}mm", "width_is": "usable", **own})
    if judged.design is None:
        return None
    return TypedDesign(**{field: getattr(judged, field) for field in DESIGN})


def naps_with(design: TypedDesign | None, naps: Sequence[bool]) -> tuple[bool, ...]:
    """Return with and without nap as far as a design lets both be; all where that leaves none."""
    if design is None or not design.has_one_way_up:
        return tuple(naps)
    return tuple(nap for nap in naps if nap) or tuple(naps)


def spreads_with(design: TypedDesign | None, spreads: Sequence[str]) -> tuple[str, ...]:
    """Return the ways for cloth to lie; of several an uneven design has those that are open.

    Nobody folds it: on the upper layer it would run the other way.
    """
    if design is None or not design.uneven or len(spreads) == 1:
        return tuple(spreads)
    return tuple(spread for spread in spreads if spread == "open")
