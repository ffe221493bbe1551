# SPDX-License-Identifier: GPL-2.0-or-later
"""Drawings of broken lines, and what joining makes of them."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from extension.operations.join_lines import JoinOptions, JoinOutcome, join_lines
from extension.svg.building import path_data
from extension.svg.document import Document, parse
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from tests.helpers.broken import Points
from tests.helpers.svg_builder import SvgBuilder

DASHES = (6.0, 3.0)
STROKE = "fill:none;stroke:#1c4587;stroke-width:0.7"


def sheet() -> SvgBuilder:
    """Return a sheet of 700 x 700 mm without anything on it."""
    return SvgBuilder("700mm", "700mm", (0, 0, 700, 700))


def d(parts: Iterable[Points]) -> str:
    """Return the path data of open polylines."""
    return " ".join(path_data(part.tolist(), closed=False) for part in parts)


def joined_leaves(document: Document) -> list[Leaf]:
    """Return what lies on the layers of joined outlines."""
    return [
        leaf
        for leaf in read_leaves(document)
        if any("joined" in group.attributes for group in leaf.groups)
    ]


def outlines(outcome: JoinOutcome) -> list[Points]:
    """Return the outlines that were joined."""
    assert outcome.drawing is not None
    return [np.array(leaf.rings[0].points) for leaf in joined_leaves(parse(outcome.drawing))]


def run(drawing: SvgBuilder, *selected: str, tolerance: float = 1.0) -> JoinOutcome:
    """Join the lines of a drawing."""
    return join_lines(drawing.document(), JoinOptions(tolerance, selected))
