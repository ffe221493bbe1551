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
LEFT_END, RIGHT_END = "left end", "right end"
UPPER_EDGE, LOWER_EDGE = "upper edge", "lower edge"
"""The sides of the frame round a remnant, which is measured from them: straight lines through its
outermost points."""
