# SPDX-License-Identifier: GPL-2.0-or-later
"""Arrays of whole numbers, as loops and searches hand them on."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]
