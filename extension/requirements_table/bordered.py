# SPDX-License-Identifier: GPL-2.0-or-later
"""What a table says of the borders of its cloth."""

from __future__ import annotations

from extension.job.bordered import border_lines
from extension.language.words import begun
from extension.requirements_table.table import Table

OPEN_ALONE = "Every length of cloth with a border is for cloth that lies open."


def border_notes(table: Table) -> list[str]:
    """Return where the borders of the cloth run, and what lies on them; none on other cloth."""
    found: list[str] = []
    for name in table.materials:
        entry = next(entry for entry in table.every if entry.cell.material == name)
        whose = f"{begun(name)}: " if len(table.materials) > 1 else ""
        lines = border_lines(entry.planned.job, entry.cell.width.system)
        found += [f"{whose}{line}" for line in lines]
    lies_open = all(entry.planned.job.fabric.is_plain for entry in table.every)
    return [*found, OPEN_ALONE] if found and lies_open else found
