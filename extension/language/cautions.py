# SPDX-License-Identifier: GPL-2.0-or-later
"""The usual cautions, on every result: what is true of each kind of page, and no more."""

from __future__ import annotations

_ESTIMATE = (
    "An estimate, not a guarantee: wash, dry and press the cloth, measure its usable width, and "
    "lay every piece on it before the first cut."
)
_CHECKS = (
    "the number of pieces, left and right hands, grain, nap and seam allowance; do not cut along a "
    "centre line. Keep blades closed when not in use."
)

CAUTIONS = (_ESTIMATE, f"Check the test square of the printed pattern, {_CHECKS}")
"""On the drawing, in reports and in tables: there the test square is the pattern's own, if any."""

FULL_SIZE_CAUTIONS = (_ESTIMATE, f"Check the test square, {_CHECKS}")
"""On a page in full size, which has a test square."""

SCALED_CAUTIONS = (
    _ESTIMATE,
    "The picture is a scaled one, to lay the pieces by: it is no pattern to cut along. "
    f"Check {_CHECKS}",
)
"""On a page with the layout to scale: it has no test square, and nothing is cut by its lines."""
