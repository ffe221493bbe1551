# SPDX-License-Identifier: GPL-2.0-or-later
"""What a layout was made of that is no piece of the drawing any more, by what was stored on it."""

from __future__ import annotations

from dataclasses import dataclass

from lxml import etree

from extension.job.plan import Plan
from extension.job.settings import left_over_in
from extension.layouts.layers import LayoutLayer
from extension.layouts.sources import cuts_by_source
from extension.svg.document import Document
from extension.svg.identities import Identities
from extension.svg.model import LeftOut


@dataclass(frozen=True, slots=True)
class Gone:
    """A piece that was laid and is gone. `of` is the id of its original, `copies` how many.

    `left_over` of them were left over when the layout was laid.
    """

    of: str
    title: str
    copies: int
    left_over: int = 0

    @property
    def named(self) -> str:
        """How lists call it: with the number of its copies when there are several."""
        return f"{self.title} × {self.copies}" if self.copies > 1 else self.title


def gone_since(document: Document, plan: Plan | None, layer: LayoutLayer) -> tuple[Gone, ...]:
    """Return the pieces of a layout that the plan lacks though nothing in the drawing says why.

    What is hidden, left out or not cut from this material is named among what is not laid; what
    was deleted, or has lost its outline, would be missed by nobody. With no plan all are gone.
    """
    known = {*cuts_by_source(plan), *(() if plan is None else plan.cuts)}
    identities = Identities(document.root)
    left_out = () if plan is None else plan.left_out
    # A mark that is left over in the group of a piece does not say where the piece is.
    named = {left.object_id for left in left_out if left.reason != "mark of no piece"}
    return tuple(
        piece
        for id_, piece in _laid(layer).items()
        if not known & {id_, piece.of} and not _is_named(identities.find(piece.of), named)
    )


def as_left_out(gone: Gone) -> LeftOut:
    """Return a piece that is gone as one that is not laid."""
    return LeftOut(gone.of, "gone", gone.named)


def _laid(layer: LayoutLayer) -> dict[str, Gone]:
    """Return the pieces that a layout was made of, by their ids in its job.

    Layouts of earlier versions tell no more than the ids.
    """
    asked, outlines = layer.result.get("asked"), layer.result.get("outlines")
    laid, over = {}, left_over_in(layer.result) or {}
    for id_ in outlines if isinstance(outlines, dict) else {}:
        told = asked.get(id_) if isinstance(asked, dict) else None
        if isinstance(told, list) and [type(one) for one in told] == [str, str, int]:
            of, title, copies = told
            laid[id_] = Gone(of, title, copies, min(len(over.get(id_, ())), copies))
        else:
            source = id_.removesuffix(f"/{layer.options.material}")
            laid[id_] = Gone(source, source, 1)
    return laid


def _is_named(original: etree._Element | None, named: set[str]) -> bool:
    """Return whether an original, what it lies in, or what lies in it is named as not laid."""
    if original is None:
        return False
    lines = [original, *original.iterancestors(), *original.iterdescendants(etree.Element)]
    return any(one.get("id") in named for one in lines)
