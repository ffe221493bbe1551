# SPDX-License-Identifier: GPL-2.0-or-later
"""Drawings with layouts to be published, small enough to be made in every test."""

from __future__ import annotations

from datetime import date
from functools import cache

from extension.diagram.paper import Paper
from extension.diagram.section import Pattern, Section, sections
from extension.diagram.section import sections_of as sections_of_layout
from extension.layouts.checked import Checked, examined
from extension.layouts.layers import chosen_layers
from extension.svg.document import Document, parse, serialise
from extension.svg.leaves import read_leaves
from tests.helpers.cloth import typed_between_selvedges
from tests.helpers.garments import garment
from tests.helpers.layouts import drawn_into
from tests.helpers.places import PROJECT

SAMPLES = PROJECT / "sample_svgs"

LAYOUTS: dict[str, tuple[tuple[str, dict[str, str]], ...]] = {
    "short": (("garment", {"fabric_width": "90cm"}),),
    "without nap, in inches": (("garment", {"fabric_width": "36in", "nap": "no"}),),
    "jacket": (("lined-jacket", {"fabric_width": "140cm"}),),
    "many small parts": (("lined-jacket", {"fabric_width": "140cm", "garments": "3"}),),
    "skirts, in stretches": (("wrap-skirt", {"fabric_width": "120cm", "garments": "3"}),),
    "trousers in inches": (("inch-trousers", {"fabric_width": "58in"}),),
    "skirt, allowance added": (("wrap-skirt", {"fabric_width": "140cm", "allowance": "15mm"}),),
    "apron, allowance in inches": (
        ("first-apron", {"fabric_width": "45in", "allowance": "5/8in", "nap": "no"}),
    ),
    "skirt, folded lengthwise": (
        ("wrap-skirt", {"fabric_width": "140cm", "spread": "lengthwise", "allowance": "15mm"}),
    ),
    "apron in inches, folded to a depth": (
        ("first-apron", {"fabric_width": "55in", "spread": "depth=23in", "sides": "apart"}),
    ),
    "two materials": (
        ("lined-jacket", {"fabric_width": "90cm"}),
        ("lined-jacket", {"fabric_width": "150cm", "material": "lining"}),
    ),
}
"""The first layouts of samples (invented patterns) and of the small garment, by name."""


@cache
def _laid(name: str) -> bytes:
    """Return the drawing of a name."""
    source = LAYOUTS[name][0][0]
    path = SAMPLES / f"{source}.svg"
    document = garment().document() if source == "garment" else parse(path.read_bytes())
    for _, typed in LAYOUTS[name]:
        drawn_into(document, typed_between_selvedges(typed))
    return serialise(document)


def laid(name: str) -> Document:
    """Return a drawing of `LAYOUTS` as it is read from a file."""
    return parse(_laid(name))


def sections_of(
    document: Document, paper: Paper = "a4", scale: str = "fit", layout: str = ""
) -> list[Section]:
    """Return what is published of a drawing's layouts."""
    return sections(document, chosen_layers(document, [layout] if layout else []), paper, scale)


@cache
def _checked(name: str) -> tuple[Checked, ...]:
    """Return the layouts of a drawing of `LAYOUTS`, judged once, for that takes a while."""
    document = laid(name)
    leaves = read_leaves(document, include_layouts=True)
    return tuple(examined(document, leaves, layer) for layer in chosen_layers(document, []))


@cache
def published(name: str, paper: Paper = "a4", scale: str = "fit") -> tuple[Section, ...]:
    """Return what is published of a drawing of `LAYOUTS`."""
    made = Pattern(name.capitalize(), date(2026, 11, 30))
    found = [sections_of_layout(checked, paper, scale, made) for checked in _checked(name)]
    return tuple(section for one in found for section in one)
