# SPDX-License-Identifier: GPL-2.0-or-later
"""Layouts of random garments, of few parts and of many, laid without a search. All are invented."""

from __future__ import annotations

import random
from functools import cache

from extension.diagram.paper import Paper
from extension.diagram.section import Pattern, Section, sections_of
from extension.layouts.checked import Checked, examined
from extension.layouts.layers import chosen_layers
from extension.svg.document import parse, serialise
from extension.svg.leaves import read_leaves
from tests.helpers.cloth import typed_between_selvedges
from tests.helpers.layouts import drawn_into
from tests.helpers.svg_builder import SvgBuilder

FEWEST, MOST, COUNT = 5, 60, 30
"""Parts of the first and the last layout, and how many layouts there are."""

_KINDS = (
    ("Front", (220, 320), (450, 700)),
    ("Back", (220, 330), (450, 720)),
    ("Sleeve", (260, 420), (380, 620)),
    ("Side panel", (120, 200), (350, 600)),
    ("Yoke", (350, 450), (90, 160)),
    ("Collar stand", (380, 460), (35, 50)),
    ("Cuff", (200, 260), (60, 110)),
    ("Pocket", (140, 180), (160, 210)),
    ("Pocket flap", (120, 160), (45, 60)),
    ("Back neck facing", (150, 200), (70, 110)),
    ("Belt loop", (30, 40), (60, 90)),
    ("Tab", (35, 60), (50, 90)),
)
"""Names with widths and heights of pieces, mm, from the large to the small."""
_CLOTHS: tuple[dict[str, str], ...] = (
    {"fabric_width": "140cm"},
    {"fabric_width": "115cm", "nap": "no"},
    {"fabric_width": "58in"},
    {"fabric_width": "150cm", "spread": "lengthwise"},
    {"fabric_width": "140cm", "allowance": "10mm"},
    {"fabric_width": "45in", "nap": "no", "allowance": "5/8in"},
    {"fabric_width": "160cm", "spread": "depth=60cm"},
)


def parts_of(number: int) -> int:
    """Return how many parts the layout of a number has, from 0 to `COUNT` - 1."""
    return round(FEWEST + (MOST - FEWEST) * number / (COUNT - 1))


def random_garment(number: int) -> SvgBuilder:
    """Return a drawing of pieces that come to as many parts as `parts_of` says."""
    chance = random.Random(number)
    drawing, left, x, count = SvgBuilder("6000mm", "900mm", (0.0, 0.0, 6000.0, 900.0)), 0, 10.0, 0
    left = parts_of(number)
    while left:
        name, wide, high = _KINDS[count] if count < 4 else chance.choice(_KINDS)
        # An outline is at most 1,000 mm apart from the next: none lies in another.
        cut = min(left, chance.choice((1, 2, 2, 2, 4)))
        w, h = chance.uniform(*wide), chance.uniform(*high)
        told = name if count < len(_KINDS) else f"{name} {count}"
        piece = drawing.add_group(id=f"p{count}", lay={"name": told, "cut": str(cut)})
        slope = chance.uniform(0.0, 0.25) * w
        drawing.add_path(
            f"M {x:.1f} {h + 20:.1f} L {x + slope:.1f} 20 H {x + w - slope / 2:.1f}"
            f" Q {x + w:.1f} {20 + h / 3:.1f} {x + w:.1f} {h + 20:.1f} Z",
            piece,
            id=f"p{count}-outline",
            lay={"role": "outline"},
            fill="none",
            stroke="#204080",
        )
        middle = x + w / 2.0
        ends = ((middle, 20 + 0.85 * h), (middle, 20 + 0.15 * h))
        drawing.add_line(*ends, piece, id=f"p{count}-grain", lay={"role": "grainline"})
        x, left, count = x + w + 30.0, left - cut, count + 1
    return drawing


@cache
def _checked(number: int) -> tuple[Checked, ...]:
    document = random_garment(number).document()
    drawn_into(document, typed_between_selvedges(_CLOTHS[number % len(_CLOTHS)]))
    document = parse(serialise(document))
    leaves = read_leaves(document, include_layouts=True)
    return tuple(examined(document, leaves, layer) for layer in chosen_layers(document, []))


def random_sections(number: int, paper: Paper) -> list[Section]:
    """Return what is published of the layout of a number."""
    pattern = Pattern(f"Random garment {number}, invented")
    return [
        section for one in _checked(number) for section in sections_of(one, paper, "fit", pattern)
    ]
