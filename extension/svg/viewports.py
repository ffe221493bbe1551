# SPDX-License-Identifier: GPL-2.0-or-later
"""How a viewBox is fitted into a viewport: for the page, drawings inside it, and symbols."""

from __future__ import annotations

import re

from extension.svg.model import Matrix
from extension.svg.transforms import multiply, scaling, translation

ViewBox = tuple[float, float, float, float]
"""x, y, width, height in the user units inside."""

_ALIGN = re.compile(r"x(Min|Mid|Max)Y(Min|Mid|Max)")
_SHARE = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}


def parse_view_box(text: str | None) -> ViewBox | None:
    """Return the four numbers of a viewBox, or None when there is none.

    Raises ValueError when it is not four finite numbers or has no area.
    """
    if text is None or not text.strip():
        return None
    x, y, width, height = (float(number) for number in re.split(r"\s*,\s*|\s+", text.strip()))
    if not (0.0 < width < 1e9 and 0.0 < height < 1e9 and abs(x) < 1e9 and abs(y) < 1e9):
        raise ValueError(text)
    return x, y, width, height


def fit_view_box(
    view_box: ViewBox, width: float, height: float, preserve: str | None = None
) -> Matrix:
    """Return the map from the viewBox to a viewport of the given size at the origin.

    `preserve` is a preserveAspectRatio value; None, and what cannot be read, is "xMidYMid meet".
    Source: SVG 1.1, section 7.8.
    """
    words = [word for word in (preserve or "").split() if word != "defer"]
    across, down = width / view_box[2], height / view_box[3]
    if words[:1] == ["none"]:
        return multiply(scaling(across, down), translation(-view_box[0], -view_box[1]))
    align = _ALIGN.fullmatch(words[0]) if words else None
    share_x, share_y = (_SHARE[align[1]], _SHARE[align[2]]) if align else (0.5, 0.5)
    scale = max(across, down) if words[1:2] == ["slice"] else min(across, down)
    moved = translation(
        share_x * (width - scale * view_box[2]), share_y * (height - scale * view_box[3])
    )
    inside = multiply(scaling(scale, scale), translation(-view_box[0], -view_box[1]))
    return multiply(moved, inside)
