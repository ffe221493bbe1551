# SPDX-License-Identifier: GPL-2.0-or-later
"""Check Layout in the editor, which asks nothing."""

from __future__ import annotations

from extension.dialogs.menu_command import MenuCommand
from extension.operations.check import check_layouts


class Check(MenuCommand):
    """Judges and marks the selected layouts: all with none selected."""

    def act(self) -> bytes:
        """Return the drawing with the layouts judged and marked."""
        return check_layouts(self.drawing, self.selected_layouts()).drawing
