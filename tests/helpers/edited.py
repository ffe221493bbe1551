# SPDX-License-Identifier: GPL-2.0-or-later
"""A drawing with a layout that is then changed by hand, as the editor writes it."""

from __future__ import annotations

import copy
from functools import lru_cache
from typing import Any

from lxml import etree

from extension.job.options import LayOutOptions
from extension.job.plan import Plan
from extension.language.names import lay
from extension.operations.check import Outcome, check_layouts
from extension.operations.lay_out import lay_out
from extension.operations.running import Run
from extension.svg.document import Document, parse, serialise
from nesting.geometry.shapes import oriented, whole_outline
from nesting.model import Placement
from tests.helpers.cloth import between_selvedges
from tests.helpers.garments import garment
from tests.helpers.layouts import drawn_into, layout_of, no_time, plan_of
from tests.helpers.svg_builder import SvgBuilder

INKSCAPE = "{http://www.inkscape.org/namespaces/inkscape}"
CLOTH = between_selvedges(900.0)
LENGTH = 460.0
"""mm that the parts of the garment reach, rounded up."""
SPOTS = (
    ("front", 1, 5.0, 30.0),
    ("front", 2, 245.0, 180.0),
    ("back", 1, 255.0, 600.0),
    ("tab", 1, 265.0, 390.0),
    ("tab", 2, 305.0, 430.0),
)
"""Where the parts of the garment lie, far from each other: piece, copy, low corner of its box."""


class Edited:
    """A garment on cloth 90 cm wide (or another drawing, laid by the engine), to be changed."""

    def __init__(self, drawing: SvgBuilder | None = None, options: LayOutOptions = CLOTH) -> None:
        data = _spread_garment() if drawing is None else _laid(drawing, options)
        self.root = parse(data).root

    @property
    def document(self) -> Document:
        """The drawing as it is read from a file."""
        return parse(self.data)

    @property
    def data(self) -> bytes:
        """The drawing as a file's bytes."""
        return etree.tostring(self.root)

    def find(self, id_: str) -> etree._Element:
        """Return the element of an id."""
        return next(one for one in self.root.iter(etree.Element) if one.get("id") == id_)

    @property
    def layer(self) -> etree._Element:
        """The last layout's layer."""
        return [one for one in self.root.iter(etree.Element) if one.get(lay("layout"))][-1]

    def part(self, of: str, number: int | str = 1) -> etree._Element:
        """Return the group of a part."""
        return next(
            one
            for one in self.layer.iter("{*}g")
            if one.get(lay("of")) == of and one.get(lay("copy")) == str(number)
        )

    def outline(self, of: str, number: int | str = 1) -> etree._Element:
        """Return the outline of a part."""
        group = self.part(of, number)
        return next(one for one in group.iterdescendants(etree.Element) if one.get(lay("of")) == of)

    def transform(self, of: str, number: int | str, text: str) -> None:
        """Transform a part: `matrix(…)`, `rotate(a, x, y)`, as the editor writes it."""
        group = self.part(of, number)
        group.set("transform", f"{text} {group.get('transform', '')}".strip())

    def duplicate(self, of: str, number: int | str, text: str, id_: str = "g900") -> etree._Element:
        """Duplicate a part and move the duplicate."""
        group = self.part(of, number)
        twin = copy.deepcopy(group)
        for place, node in enumerate(twin.iter(etree.Element)):
            node.set("id", f"{id_}-{place}" if place else id_)
        twin.set("transform", text)
        group.addnext(twin)
        return twin

    def ungroup(self, of: str, number: int | str) -> etree._Element:
        """Take a part's group away and leave what it held; return the outline."""
        group, outline = self.part(of, number), self.outline(of, number)
        for child in reversed(list(group)):
            own = child.get("transform", "")
            child.set("transform", f"{group.get('transform', '')} {own}".strip())
            group.addnext(child)
        parent = group.getparent()
        assert parent is not None
        parent.remove(group)
        return outline

    def delete(self, element: etree._Element) -> None:
        """Delete an element."""
        parent = element.getparent()
        assert parent is not None
        parent.remove(element)

    def check(self, *ids: str) -> Outcome:
        """Check the layouts as they lie now."""
        return check_layouts(self.document, ids)

    def found(self, *ids: str) -> list[tuple[str, tuple[str, ...]]]:
        """Return the kinds of all violations with their parts."""
        return [(one["kind"], tuple(one["parts"])) for one in self.violations(*ids)]

    def violations(self, *ids: str) -> list[dict[str, Any]]:
        """Return the violations as they are reported."""
        report = self.check(*ids).report
        violations: list[dict[str, Any]] = report["violations"]
        return violations


@lru_cache(maxsize=1)
def _spread_garment() -> bytes:
    """Return the garment with its parts at `SPOTS`."""
    document = garment().document()
    plan = plan_of(document, CLOTH)
    drawn_into(document, CLOTH, layout_of(plan, spread(plan), LENGTH))
    return serialise(document)


def _laid(drawing: SvgBuilder, options: LayOutOptions) -> bytes:
    """Return a drawing with the engine's first layout."""
    document = drawing.document()
    drawn_into(document, options)
    return serialise(document)


def spread(plan: Plan) -> list[Placement]:
    """Return the placements of `SPOTS`."""
    placements = []
    for name, number, x, y in SPOTS:
        piece = plan.cuts[name].piece
        flip = piece.hand == "mirrored" and number == 2
        low_x, low_y = oriented(whole_outline(piece), piece.grain, 0.0, flip).min(axis=0)
        spot = Placement(name, (number,), 1, 0.0, flip, x - float(low_x), y - float(low_y))
        placements.append(spot)
    return placements


def two_layouts() -> Edited:
    """Return a garment laid twice: by hand, and by the engine on cloth 70 cm wide."""
    edited = Edited()
    second = lay_out(
        edited.document, between_selvedges(700.0, nap=False), Run(no_time, lambda rounds: True)
    )
    edited.root = parse(second.drawing).root
    return edited
