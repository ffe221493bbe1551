# SPDX-License-Identifier: GPL-2.0-or-later
"""What is to be drawn, and the sizes that follow from the cloth."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from extension.drawn.kept import Kept
from extension.drawn.lettering import letters_of
from extension.drawn.lying import Lying, lying_of
from extension.job.options import SELVEDGE, LayOutOptions
from extension.job.plan import Plan
from extension.language.rounding import Purchase, small_text
from nesting.model import LaidSection, Layout

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
    starts: Mapping[int, float] = field(default_factory=dict)
    """Where sections begin that are drawn already, by their numbers: x on the sheet, mm."""

    @property
    def label(self) -> str:
        """What the editor calls the layer: `Layout 1 – 140 cm, main`."""
        remnant, options = self.options.remnant, self.options
        cloth = small_text(options.fabric_width, options.system)
        if remnant is not None:
            cloth = remnant.title
        return f"Layout {self.number} – {self.title or f'{cloth}, {self.plan.material}'}"

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
        """Font size of the measures, mm."""
        return letters_of(self.width)

    @property
    def is_folded(self) -> bool:
        """Whether the cloth is folded anywhere, or lies in several sections."""
        return bool(self.layout.sections)

    @property
    def lying(self) -> tuple[Lying, ...]:
        """The sections as they lie on the table; plain cloth is one of them."""
        sections = self.layout.sections or (LaidSection(length=self.layout.length),)
        rest = self.cloth_length - self.layout.length
        return lying_of(sections, self.width, self.letters, rest, self.starts, self.starts)

    @property
    def reach(self) -> float:
        """Where the cloth ends that is drawn, mm on the sheet."""
        return max((one.end for one in self.lying), default=self.cloth_length)

    @property
    def top(self) -> float:
        """The upper edge of the cloth on the sheet, mm: 0 unless it is folded there."""
        return self.width - max((one.high for one in self.lying), default=self.width)

    @property
    def bottom(self) -> float:
        """The lower edge of the cloth on the sheet, mm: its width unless it is folded there."""
        return self.width - min((one.low for one in self.lying), default=0.0)

    def start_of(self, section: int) -> float:
        """Return where a section, counted from 1, begins on the sheet, mm."""
        return next((one.start for one in self.lying if one.number == section), 0.0)
