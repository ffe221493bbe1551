# SPDX-License-Identifier: GPL-2.0-or-later
"""A document, and what was read of it for a run: each way of reading it once."""

from __future__ import annotations

from collections.abc import Sequence

from lxml import etree

from extension.job.options import LayOutOptions
from extension.job.plan import request_of
from extension.job.reading import ReadRequest, read_pieces
from extension.pieces.model import Reading
from extension.svg.document import Document
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf


class Drawing:
    """A document, and what was read of it: each way of reading it once."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self._everything: Sequence[Leaf] | None = None
        self._drawn: Sequence[Leaf] | None = None
        self._readings: dict[ReadRequest, Reading] = {}

    @property
    def everything(self) -> Sequence[Leaf]:
        """All that is drawn now, layouts included."""
        if self._everything is None:
            self._everything = read_leaves(self.document, include_layouts=True)
        return self._everything

    @property
    def drawn(self) -> Sequence[Leaf]:
        """What is drawn, without layouts."""
        if self._drawn is None:
            self._drawn = read_leaves(self.document)
        return self._drawn

    def added(self, layer: etree._Element) -> None:
        """Take note of a new layer, the last: what was there before is not read again."""
        own = read_leaves(self.document, include_layouts=True, within=layer)
        self._everything = (*self.everything, *own)

    def reading(self, options: LayOutOptions) -> Reading:
        """Return the pieces that options ask for."""
        request = request_of(options)
        if request not in self._readings:
            self._readings[request] = read_pieces(self.drawn, request)
        return self._readings[request]
