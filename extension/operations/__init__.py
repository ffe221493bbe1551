# SPDX-License-Identifier: GPL-2.0-or-later
"""What each menu command does, the same for editor and terminal."""

from __future__ import annotations

KEEPS_BEST = frozenset({"lay-out", "requirements", "tighten"})
"""What keeps the best so far when it is stopped; the others leave everything as it was."""
