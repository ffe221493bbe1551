# SPDX-License-Identifier: GPL-2.0-or-later
"""What the four edges of the cloth are called, alike on layers, diagrams and full-size pages.

Lengths are measured from the cut end; what is bought ends at the far end.
"""

from __future__ import annotations

from typing import Literal

CUT_END, FAR_END = "cut end", "far end"
Selvedge = Literal["lower", "upper"]
UPPER_SELVEDGE, LOWER_SELVEDGE = "upper selvedge", "lower selvedge"
"""As they are seen with the cut end at the left."""
