# SPDX-License-Identifier: GPL-2.0-or-later
"""Which parts of a picture lie with an edge on the border of the cloth; Check has seen to it."""

from __future__ import annotations

from extension.diagram.cloth import Cloth
from extension.diagram.places import Place
from nesting.model import EDGE_WORDS

HEAD = "on the border"
NOTE = "Tinted strip: border of the cloth; the line along it is that on which edges lie."
BELOW = "Where that line is broken, the lower layer alone has the border."


def asks(place: Place, cloth: Cloth) -> bool:
    """Return whether a part lies with an edge on a border that the cloth has."""
    return bool(place.cut.piece.band and cloth.bands)


def edge_text(place: Place, cloth: Cloth) -> str:
    """Return which edge of a part lies on the border."""
    return EDGE_WORDS[place.cut.piece.band] if asks(place, cloth) else "–"
