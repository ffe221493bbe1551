# SPDX-License-Identifier: GPL-2.0-or-later
"""Check Layout in the editor, which asks nothing."""

from __future__ import annotations

from extension.dialogs.menu_command import MenuCommand
from extension.operations.check import check_layouts


class Check(MenuCommand):
    """Judges and marks the selected layouts: all with none selected."""

    def act(self) -> bytes:
        """Return the drawing with the layouts judged and marked."""
        outcome = check_layouts(self.drawing, self.selected_layouts())
        told = "\n".join(outcome.summary)
        if outcome.is_clean:
            self.done(f"{told}\nThis stands beside the far end of each layout")
        elif not outcome.report["violations"]:
            self.hint(told)
            self.done("what could be judged breaks no rule")
        else:
            self.hint(told)
            self.done("faults are marked on the layout, and listed beside its far end")
        return outcome.drawing
