# SPDX-License-Identifier: GPL-2.0-or-later
"""Hold or Release Parts in the editor, which asks nothing."""

from __future__ import annotations

from extension.dialogs.menu_command import MenuCommand
from extension.operations.hold import hold_parts


class Hold(MenuCommand):
    """Holds the selected parts, or releases them when all of them are held."""

    def act(self) -> bytes:
        """Return the drawing with the selected parts held or released."""
        outcome = hold_parts(self.drawing, self.selected_layouts())
        self.done("\n".join(outcome.summary), may_be_far=False)
        return outcome.drawing
