# SPDX-License-Identifier: GPL-2.0-or-later
"""A picture (PNG) of one layout as it is drawn: its layer by itself, whatever lies beside it."""

from __future__ import annotations

import copy
import math
import struct
from dataclasses import dataclass

from lxml import etree

from extension.diagram.editor import Editor
from extension.drawn.frames import transform_text
from extension.language.errors import OptionError
from extension.language.units import MM_PER_INCH, MM_PER_PX
from extension.layouts.layers import LayoutLayer
from extension.svg.building import NSMAP, element, svg
from extension.svg.document import Document, matrix_of
from extension.svg.transforms import multiply, scaling

USUAL = 2000
"""Pixels that a picture is wide unless told: the words are legible on a screen."""
NARROWEST, MOST = 50, 100_000_000
"""Pixels: the least width, and the most that a whole picture may have (400 MB while it is made)."""
AROUND = 0.02
"""Share of its longer side that stays free round a layout."""
_ID = "thriftlay-picture-of-layout"
_HIDING = ("display", "visibility", "opacity")


@dataclass(frozen=True, slots=True)
class Resolution:
    """How wide a picture is, in pixels; or how many pixels there are to an inch of the drawing."""

    width: int = USUAL
    dpi: float | None = None

    def pixels(self, width: float, height: float) -> int:
        """Return how many pixels a picture of so many mm is wide.

        Raises OptionError when these are too few, or too many for the whole picture.
        """
        if self.dpi is not None and not math.isfinite(self.dpi):
            raise OptionError("The pixels to an inch must be a number, such as 96.")
        wide = self.width if self.dpi is None else round(width / MM_PER_INCH * self.dpi)
        high = math.ceil(wide * height / width)
        if wide < NARROWEST:
            raise OptionError(
                f"A picture {wide} pixels wide shows nothing: let it be at least {NARROWEST} wide."
            )
        if wide * high > MOST:
            raise OptionError(
                f"The picture would be {wide} × {high} pixels: choose fewer, "
                f"{MOST // 1_000_000} million in all at the most."
            )
        return wide


def layout_picture(
    document: Document, layer: LayoutLayer, resolution: Resolution, editor: Editor
) -> bytes:
    """Return a picture of a layout on white paper, as a PNG file.

    It is drawn as it lies there, hidden or not, and nobody judges it. Raises OptionError when the
    editor fails, when the picture would be too large, or when nothing is drawn on the layer.
    """
    drawing = _alone(document, layer)
    told = editor.answer(etree.tostring(drawing), ["--query-all"])
    left, top, width, height = _box(told, layer)
    around = AROUND * max(width, height)
    box = left - around, top - around, width + 2.0 * around, height + 2.0 * around
    drawing.set("viewBox", " ".join(f"{one:.6g}" for one in box))
    drawing.set("width", f"{box[2]:.6g}")
    drawing.set("height", f"{box[3]:.6g}")
    wide = resolution.pixels(box[2] * MM_PER_PX, box[3] * MM_PER_PX)
    wishes = ["--export-type=png", "--export-area-page", f"--export-width={wide}"]
    white = ["--export-background=#ffffff", "--export-background-opacity=1"]
    data = editor.file(etree.tostring(drawing), [*wishes, *white])
    if not data.endswith(b"IEND\xaeB`\x82") or _width(data) != wide:
        raise editor.failure("only a part of it was written")
    return data


def _alone(document: Document, layer: LayoutLayer) -> etree._Element:
    """Return a drawing of a layer alone, in px from the corner of the page.

    The rest stays as definitions: lines may point at what is drawn or defined there.
    """
    rest = copy.deepcopy(document.root)
    twin = rest
    for place in _path(layer.element):
        twin = twin[place]
    parent = twin.getparent()
    if parent is not None:
        parent.remove(twin)
    shown = copy.deepcopy(layer.element)
    for name in ("transform", *_HIDING):
        if name in shown.attrib:
            del shown.attrib[name]
    # The editor hides a layer by its style, where nothing else stands.
    shown.set("style", "display:inline")
    in_px = scaling(1.0 / MM_PER_PX, 1.0 / MM_PER_PX)
    matrix = transform_text(multiply(in_px, matrix_of(document, layer.element)))
    root = etree.Element(svg("svg"), nsmap=NSMAP)
    root.append(element("defs", {}, list(rest)))
    root.append(element("g", {"id": _ID, "transform": matrix}, [shown]))
    root.set("width", "100")
    root.set("height", "100")
    return root


def _path(node: etree._Element) -> list[int]:
    """Return at which place an element stands in its parent, and so on, the outermost first."""
    found: list[int] = []
    parent = node.getparent()
    while parent is not None:
        found.insert(0, parent.index(node))
        node, parent = parent, parent.getparent()
    return found


def _box(told: str, layer: LayoutLayer) -> tuple[float, float, float, float]:
    """Return left, top, width and height, px, of what is drawn, from what the editor told.

    Raises OptionError when that is nothing.
    """
    for line in told.splitlines():
        name, *numbers = line.split(",")
        if name == _ID and len(numbers) == 4:
            left, top, width, height = map(float, numbers)
            if width > 0.0 and height > 0.0:
                return left, top, width, height
    raise OptionError(
        f"Nothing is drawn on the layout {layer.title} that could be shown: lay the pieces out "
        "again."
    )


def _width(data: bytes) -> int:
    """Return how many pixels a PNG is wide: ISO/IEC 15948, section 11.2.2, its header."""
    (wide,) = struct.unpack(">I", data[16:20])
    return int(wide)
