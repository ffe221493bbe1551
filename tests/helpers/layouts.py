# SPDX-License-Identifier: GPL-2.0-or-later
"""Layouts made without a search, drawn into documents and read back, for tests of writing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from lxml import etree

from extension.drawn.layer import draw_layout, next_number
from extension.drawn.sheet import Sheet
from extension.job.options import LayOutOptions
from extension.job.plan import Plan, make_plan, request_of
from extension.job.reading import read_pieces
from extension.job.settings import settings_text, stored_left_over, stored_sections
from extension.job.summary import summary
from extension.language.names import lay
from extension.svg.document import Document, parse, serialise
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from nesting.cloth.bounds import utilisation
from nesting.cloth.problem import outline_tuple
from nesting.geometry.shapes import oriented, whole_outline
from nesting.judge.outlines import Laid
from nesting.model import Layout, Outline, Placement
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers.cloth import between_selvedges

WIDE = between_selvedges(1400.0)


def no_time() -> float:
    """A clock that stands still."""
    return 0.0


def plan_of(document: Document, options: LayOutOptions = WIDE) -> Plan:
    """Return the plan of a document."""
    return make_plan(read_pieces(read_leaves(document), request_of(options)), options)


def first_layout_of(plan: Plan) -> Layout:
    """Return the engine's first layout, without any search."""
    return solve(plan.job, stop=AfterRounds(0), clock=no_time)


def layout_of(plan: Plan, placements: Sequence[Placement], length: float) -> Layout:
    """Return a layout with placements chosen by hand, judged by nobody."""
    pieces = {piece.id: piece for piece in plan.job.pieces}
    outlines = {id_: outline_tuple(whole_outline(piece)) for id_, piece in pieces.items()}
    area = sum(shapely.Polygon(outlines[spot.piece]).area for spot in placements)
    width = plan.job.fabric.width
    share = utilisation(area, width, length)
    return Layout(
        width, length, share, area / width, 0.0, 7, 3, 2, "by hand", tuple(placements), (), outlines
    )


def sheet_of(
    document: Document, plan: Plan, layout: Layout, options: LayOutOptions = WIDE
) -> Sheet:
    """Return what is drawn for a layout."""
    bought = options.bought(layout.length)
    lines = summary(plan, options, layout, bought)
    figures: dict[str, object] = {"length_mm": layout.length}
    if layout.sections:
        figures["sections"] = stored_sections(layout.sections)
    if options.fabric_length is not None:
        figures["left_over"] = stored_left_over(layout.left_over)
    settings = settings_text(options, figures)
    return Sheet(next_number(document), plan, layout, options, bought, lines, settings)


def drawn_into(
    document: Document, options: LayOutOptions = WIDE, layout: Layout | None = None
) -> tuple[Sheet, etree._Element]:
    """Draw a layout (the first one unless given) into a document; return the sheet and layer."""
    plan = plan_of(document, options)
    sheet = sheet_of(document, plan, layout or first_layout_of(plan), options)
    leaves = read_leaves(document, include_layouts=True)
    return sheet, draw_layout(document, leaves, sheet)


@dataclass(frozen=True, eq=False)
class ReadBack:
    """A drawn layout as it is read from the file, in the engine's frame, mm."""

    width: float
    outlines: dict[tuple[str, str], Outline]
    """By source id and copy."""
    leaves: tuple[Leaf, ...]
    """All leaves of the layer, in page mm."""
    origin: tuple[float, float]
    """Where on the page the sheet begins."""

    def to_engine(self, points: Outline) -> Outline:
        """Return page points in the engine's frame."""
        x0, y0 = self.origin
        return tuple((x - x0, self.width - (y - y0)) for x, y in points)

    def laid(self) -> list[Laid]:
        """Return the parts for the judge."""
        return [
            Laid(f"{of}#{copy}", f"{of} {copy}", shapely.Polygon(outline))
            for (of, copy), outline in self.outlines.items()
        ]


def read_back(document: Document, number: int = 1) -> ReadBack:
    """Return layout number `number` as it is read from the document's bytes."""
    again = parse(serialise(document))
    leaves = [
        leaf
        for leaf in read_leaves(again, include_layouts=True)
        if any(group.attributes.get("layout") == str(number) for group in leaf.groups)
    ]
    cloth = next(leaf for leaf in leaves if leaf.label == "usable cloth")
    width = cloth.box[3] - cloth.box[1]
    found = ReadBack(width, {}, tuple(leaves), (cloth.box[0], cloth.box[1]))
    for leaf in leaves:
        if "of" in leaf.attributes:
            ring = max(leaf.rings, key=lambda ring: shapely.Polygon(ring.points).area)
            key = (leaf.attributes["of"], leaf.attributes["copy"])
            found.outlines[key] = found.to_engine(ring.points)
    return found


def placed_outline(sheet: Sheet, spot: Placement) -> Outline:
    """Return where the engine says a part lies."""
    piece = sheet.plan.cuts[spot.piece].piece
    whole = whole_outline(piece)
    points = oriented(whole, piece.grain, spot.turn, spot.flip)
    return outline_tuple(points + np.array([spot.x, spot.y]))


def part_groups(layer: etree._Element) -> list[etree._Element]:
    """Return the groups of the parts of a layer."""
    return [node for node in layer.iter("{*}g") if node.get(lay("of")) is not None]


def without(options: LayOutOptions, **changes: object) -> LayOutOptions:
    """Return options with changes."""
    return replace(options, **changes)  # type: ignore[arg-type]
