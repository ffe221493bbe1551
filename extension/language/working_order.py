# SPDX-License-Identifier: GPL-2.0-or-later
"""What is done with folded cloth, section by section, in words, and what to mind about it."""

from __future__ import annotations

from collections.abc import Sequence

from extension.language.edges import LOWER_SELVEDGE, UPPER_SELVEDGE
from extension.language.spreads import depth_text, exact_text, sides_text, spread_name
from extension.language.units import System
from nesting.model import LaidSection, Section, Sides

OPEN_CLOTH = "Single layer, cloth open, right side up."
"""How plain cloth lies, wherever a layout is told of."""

_FOLD_CAUTIONS = (
    "A fold of the cloth must run true to the grain: straighten the end, and measure at both ends "
    "of the fold before you pin.",
    "Of what is cut through two layers at once, one copy is the mirror image of the other: cut "
    "single parts on one layer only, as shown.",
)
"""The fold and the grain: common practice, no source. The other follows from how cloth lies."""
_CROSSWISE_CAUTION = "The two layers of a crosswise fold lie edge to edge along both selvedges."


def lies_text(sections: Sequence[Section], width: float, sides: Sides, system: System) -> str:
    """Return how the cloth of a layout lies, in a sentence.

    Of a layout, sections without a part do not count; none at all is plain cloth.
    """
    used = [one for one in sections if not isinstance(one, LaidSection) or one.length > 0.0]
    if all(one.is_open for one in used):
        return OPEN_CLOTH
    told = [f"{spread_name(one, width, system)}, {sides_text(one, sides)}" for one in used]
    return f"Cloth {'; then '.join(told)}."


def lay_text(
    section: LaidSection,
    width: float,
    sides: Sides,
    system: System,
    *,
    is_rest: bool,
    on_line: bool = False,
) -> str:
    """Return what to do with the cloth before the parts of a section are laid, as an order.

    `is_rest`: another section lies before it. `on_line`: its parts lie by the design along the
    cloth. Without its full stop.
    """
    order = _lay(section, width, sides, system, is_rest=is_rest)
    return f"{order}, beginning on a dominant line" if is_rest and on_line else order


def _lay(section: LaidSection, width: float, sides: Sides, system: System, *, is_rest: bool) -> str:
    """Return what to do with the cloth, whatever its design."""
    long, face = exact_text(section.length, system), sides_text(section, sides)
    cloth = "the rest" if is_rest else "the cloth"
    if section.is_open:
        return f"Open out the rest, {long}, {face}" if is_rest else f"Lay {long} of it open, {face}"
    if section.crosswise:
        half = exact_text(section.length / 2.0, system)
        turned = (
            ", cut it along the fold and turn the upper layer round, so that the nap of both "
            "layers runs one way"
        )
        how = f"Fold {long} of {cloth} crosswise, to {half}{turned if section.turned else ''}"
        return f"{how}, {face}"
    name = spread_name(section, width, system)
    if name == "folded lengthwise":
        return f"Fold {cloth} lengthwise, selvedge to selvedge, {face}, for {long}"
    if name == "folded twice":
        # The selvedges themselves lie over each other there: nothing is laid on them.
        middle = "the middle, so that their inner edges meet there"
        return f"Fold both selvedges of {cloth} to {middle}, {face}, for {long}"
    edges = zip(section.depths, (LOWER_SELVEDGE, UPPER_SELVEDGE), strict=True)
    depths = [f"{depth_text(depth, system)} from the {edge}" for depth, edge in edges if depth]
    return f"Fold {cloth} in by {' and by '.join(depths)}, {face}, for {long}"


def fold_cautions(sections: Sequence[LaidSection]) -> tuple[str, ...]:
    """Return the cautions of folded cloth; none for a layout on cloth that lies open."""
    folded = [one for one in sections if one.length > 0.0 and not one.is_open]
    if not folded:
        return ()
    crosswise = any(one.crosswise for one in folded)
    return (*_FOLD_CAUTIONS, _CROSSWISE_CAUTION) if crosswise else _FOLD_CAUTIONS
