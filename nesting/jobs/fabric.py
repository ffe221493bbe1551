# SPDX-License-Identifier: GPL-2.0-or-later
"""Whether the cloth of a job can be: its sizes, and how its sections are folded."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from nesting.cloth.rooms import FIT_TOLERANCE
from nesting.jobs.matches import clean_repeat, repeat_faults
from nesting.jobs.outlines import clean_outline, points_faults, shape_faults
from nesting.jobs.remnants import end_of, remnant_faults
from nesting.jobs.values import flag_faults, is_list, number_faults, said, text_faults
from nesting.judge.verdict import capital
from nesting.model import Band, Fabric, Repeat, Section

WIDTHS = (10.0, 10_000.0)
"""Narrowest and widest fabric, mm."""
LONGEST = 1_000_000.0
"""Longest piece of cloth, mm."""
WIDEST_GAP = 1_000.0
"""mm."""
MOST_SECTIONS = 4
MOST_FLAWS = 200


def fabric_faults(fabric: Fabric) -> Iterator[str]:
    """Yield what is wrong with the cloth."""
    sizes = [
        *number_faults("The width of the fabric", fabric.width, *WIDTHS, " mm"),
        *number_faults("The edge margin of the fabric", fabric.edge_margin, 0, WIDTHS[1], " mm"),
        *number_faults("The gap between parts", fabric.gap, 0, WIDEST_GAP, " mm"),
    ]
    if fabric.length is not None:
        sizes += number_faults("The length of the fabric", fabric.length, 0.001, LONGEST, " mm")
    yield from sizes
    yield from flag_faults("The nap of the fabric", fabric.nap)
    if fabric.sides not in ("together", "apart"):
        yield f"The right sides must lie “together” or “apart”, not {said(fabric.sides)}."
    sections = list(_sections_faults(fabric.sections, None if sizes else fabric.width))
    yield from sections
    yield from _flaws_faults(fabric.flaws)
    lies_open = bool(sections) or fabric.is_plain
    is_crosswise = not sections and any(one.crosswise for one in fabric.sections)
    if is_crosswise and is_list(fabric.flaws) and len(fabric.flaws):
        yield (
            "Which parts of a crosswise fold a flaw spoils depends on where the fold will be: fold "
            "the cloth lengthwise, lay it open, or leave the flaws out."
        )
    yield from _bands_faults(fabric, width=None if sizes else fabric.width)
    is_plain = lies_open and fabric.repeat is None
    yield from remnant_faults(fabric, is_plain=is_plain, is_sized=not sizes)
    yield from repeat_faults(fabric)
    if not sizes:
        sides = {"width": fabric.width, "length": fabric.length}
        for name, size in sides.items():
            if size is not None and 2 * fabric.edge_margin >= size:
                yield (
                    f"The edge margin of {fabric.edge_margin:g} mm leaves nothing of the "
                    f"fabric's {name} of {size:g} mm: make it smaller."
                )


def _sections_faults(sections: Any, width: float | None) -> Iterator[str]:
    """Yield what is wrong with how the cloth lies; its width is None when that is wrong."""
    if not is_list(sections) or not 1 <= len(sections) <= MOST_SECTIONS:
        yield f"The sections of the cloth must be a list of 1 to {MOST_SECTIONS}."
        return
    for number, section in enumerate(sections, 1):
        what = f"Section {number} of the cloth"
        if not isinstance(section, Section):
            yield f"{what} must say how it is folded, not {said(section)}."
            continue
        depths = [depth for depth in (section.lower, section.upper) if depth is not None]
        wrong = [
            sentence
            for depth in depths
            for sentence in number_faults(f"A depth of {what}", depth, 0.0, WIDTHS[1], " mm")
        ]
        yield from wrong
        yield from flag_faults(f"“crosswise” of {what}", section.crosswise)
        yield from flag_faults(f"“turned” of {what}", section.turned)
        if wrong:
            continue
        folded = len(depths) < 2 or sum(depths) > 0.0
        if section.crosswise and folded:
            yield f"{what} is folded crosswise and lengthwise at once: choose one of the two."
        if section.turned and not section.crosswise:
            yield f"{what} has an upper layer turned round, but is not folded crosswise."
        if width is not None and 2.0 * sum(depths) > width + FIT_TOLERANCE:
            yield (
                f"{what} is folded in by {sum(depths):g} mm in all, but at most half of the "
                f"width of {width:g} mm can be: fold it less deep."
            )


def _flaws_faults(flaws: Any) -> Iterator[str]:
    """Yield what keeps flaws from being outlines on the cloth."""
    if not is_list(flaws) or len(flaws) > MOST_FLAWS:
        yield f"The flaws of the cloth must be a list of at most {MOST_FLAWS} outlines."
        return
    for number, flaw in enumerate(flaws, 1):
        what = f"the outline of flaw {number}"
        wrong = list(points_faults(what, flaw, 3))
        yield from wrong or shape_faults(capital(what), clean_outline(flaw), "flaw")


def _bands_faults(fabric: Fabric, *, width: float | None) -> Iterator[str]:
    """Yield what keeps bands from being borders of cloth; its width is None when that is wrong."""
    bands: Any = fabric.bands
    if not is_list(bands) or not all(isinstance(band, Band) for band in bands):
        yield "The bands of the cloth must be a list of borders."
        return
    wrong: list[str] = []
    for number, band in enumerate(bands, 1):
        what = f"border {number}"
        wrong += text_faults(f"The name of {what}", band.name)
        for end, at in (("beginning", band.line), ("end", band.to)):
            most = WIDTHS[1] if width is None else width
            wrong += number_faults(f"The {end} of {what}", at, 0.0, most, " mm")
    yield from wrong
    if wrong or not bands:
        return
    if any(band.line == band.to for band in bands):
        yield "A border of the cloth is without extent: say where it begins and where it ends."
    elif len({band.is_lower for band in bands}) < len(bands):
        yield "Cloth has one border at each selvedge at most: leave the others out."
    if isinstance(fabric.repeat, Repeat) and fabric.repeat.across:
        yield (
            "A border says where a piece lies across the cloth, and so would its repeat across: "
            "leave out the repeat across, or the borders."
        )


def clean_fabric(fabric: Fabric) -> Fabric:
    """Return the fabric with plain floats."""
    return replace(
        fabric,
        width=float(fabric.width),
        length=end_of(fabric),
        edge_margin=float(fabric.edge_margin),
        gap=float(fabric.gap),
        sections=tuple(_clean_section(section) for section in fabric.sections),
        repeat=clean_repeat(fabric.repeat),
        flaws=tuple(clean_outline(flaw) for flaw in fabric.flaws),
        bands=tuple(Band(band.name, float(band.line), float(band.to)) for band in fabric.bands),
        outline=clean_outline(fabric.outline),
        holes=tuple(clean_outline(hole) for hole in fabric.holes),
    )


def _clean_section(section: Section) -> Section:
    """Return the section with plain floats."""
    lower, upper = (None if depth is None else float(depth) for depth in section.depths)
    return replace(section, lower=lower, upper=upper)
