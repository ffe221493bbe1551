# SPDX-License-Identifier: GPL-2.0-or-later
"""What is to be drawn, and the sizes that follow from the cloth."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from extension.drawn.kept import Kept
from extension.job.options import SELVEDGE, LayOutOptions
from extension.job.plan import Plan
from extension.language.rounding import Purchase, small_text
from nesting.model import Layout

Copies = tuple[str, tuple[int, ...]]
"""A piece of the job, and the copies of it that a placement cuts."""


@dataclass(frozen=True, eq=False, slots=True)
class Sheet:
    """One layout with all that its drawing says. `number` counts the layouts of the document."""

    number: int
    plan: Plan
    layout: Layout
    options: LayOutOptions
    bought: Purchase
    summary: tuple[str, ...]
    settings: str
    title: str = ""
    """What the layer is called after its number; nothing: by width and material."""
    kept: Mapping[Copies, Kept] = field(default_factory=dict)
    """The drawn elements of parts that stay where they are, by piece and copies."""
    numbers: Mapping[Copies, str] = field(default_factory=dict)
    """What a cutting diagram calls the parts, where they are drawn for one."""

    @property
    def label(self) -> str:
        """What the editor calls the layer: `Layout 1 – 140 cm, main`."""
        width = small_text(self.options.fabric_width, self.options.system)
        return f"Layout {self.number} – {self.title or f'{width}, {self.plan.material}'}"

    @property
    def width(self) -> float:
        """Usable width of the cloth, mm."""
        return self.layout.width

    @property
    def cloth_length(self) -> float:
        """How much cloth is drawn, mm: what is bought."""
        return max(self.bought.length, self.layout.length)

    @property
    def selvedge(self) -> float:
        """Width of each drawn selvedge, mm: what was taken off, or else its usual width."""
        return self.options.kept_off or SELVEDGE[self.options.system]

    @property
    def letters(self) -> float:
        """Font size of the measures, mm: 25 on cloth 140 cm wide, in proportion, 10 to 25."""
        return min(max(self.width / 56.0, 10.0), 25.0)
