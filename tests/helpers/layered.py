# SPDX-License-Identifier: GPL-2.0-or-later
"""A drawing with layers as a PDF that has them too: optional content, one group a layer.

The editor writes what is on each layer, and pypdf puts that together (ISO 32000-1, section 8.11).
"""

from __future__ import annotations

import copy
import math
from collections.abc import Collection, Iterator
from pathlib import Path

from lxml import etree
from pypdf import PageObject, PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    ContentStream,
    DictionaryObject,
    NameObject,
    PdfObject,
    StreamObject,
    TextStringObject,
)

from tests.helpers.paged import Paging
from tests.helpers.pdf import MM_PER_POINT
from tests.helpers.printed import editor
from tests.helpers.svg_builder import INKSCAPE

LABEL = f"{{{INKSCAPE}}}label"


def by_layers(
    drawing: bytes, pdf: Path, paging: Paging | None = None, off: Collection[str] = ()
) -> int:
    """Write a drawing so that each of its layers is an optional content group; return the pages.

    It is one page, or as many as a paging needs: each holds all of it behind the clip of its
    window, with a frame and its number. Layers that are `off` are not shown unless asked for.
    """
    root = etree.fromstring(drawing)
    layers = [layer for layer in root if layer.get(LABEL) is not None]
    writer = PdfWriter()
    groups, named, resources = ArrayObject(), DictionaryObject(), DictionaryObject()
    content, page = b"", PageObject()
    for number, layer in enumerate(layers):
        page = _alone(root, layer, pdf.with_suffix(f".{number}.pdf"))
        group = DictionaryObject({_name("Type"): _name("OCG")})
        group[_name("Name")] = TextStringObject(layer.get(LABEL, ""))
        groups.append(_added(writer, group))
        named[_name(f"Layer{number}")] = groups[-1]
        drawn = _renamed(page, f"_{number}", resources, writer)
        content += f"/OC /Layer{number} BDC q\n".encode() + drawn + b"\nQ EMC\n"
    resources[_name("Properties")] = named
    whole = float(page.mediabox.width), float(page.mediabox.height)
    pages = [(whole, content)] if paging is None else list(_windows(whole, content, paging))
    font = {"Type": "Font", "Subtype": "Type1", "BaseFont": "Helvetica"}
    resources.setdefault(_name("Font"), DictionaryObject())[_name("Number")] = DictionaryObject(
        {_name(key): _name(value) for key, value in font.items()}
    )
    for (width, height), drawn in pages:
        sheet = writer.add_blank_page(width, height)
        stream = StreamObject()
        stream.set_data(drawn)
        sheet[_name("Contents")] = _added(writer, stream)
        sheet[_name("Resources")] = resources
    hidden = [
        group for group, layer in zip(groups, layers, strict=True) if layer.get(LABEL, "") in off
    ]
    order = DictionaryObject({_name("Order"): groups, _name("OFF"): ArrayObject(hidden)})
    writer.root_object[_name("OCProperties")] = DictionaryObject(
        {_name("OCGs"): groups, _name("D"): order}
    )
    writer.write(pdf)
    return len(pages)


def _windows(
    whole: tuple[float, float], content: bytes, paging: Paging
) -> Iterator[tuple[tuple[float, float], bytes]]:
    """Yield the size, pt, and the content of each page that shows its window of a whole."""
    point = 1.0 / MM_PER_POINT
    width, height = (side * point for side in paging.paper)
    low = paging.margin * point
    across, down = (side * point for side in paging.window)
    step_x, step_y = (side * point for side in paging.step)
    columns, rows = (
        max(1, math.ceil((side - lap * point - 1e-6) / step))
        for side, lap, step in zip(whole, paging.overlap, (step_x, step_y), strict=True)
    )
    for number in range(rows * columns):
        row, column = divmod(number, columns)
        x, y = low - column * step_x, height - low + row * step_y - whole[1]
        frame = f"{low:.4f} {low:.4f} {across:.4f} {down:.4f} re"
        words = f"{number + 1}/{rows * columns}"
        yield (
            (width, height),
            f"q {frame} W n 1 0 0 1 {x:.4f} {y:.4f} cm\n".encode()
            + content
            + f"Q q 0.5 w {frame} S BT /Number 8 Tf {low + 9.0:.4f} {low / 3.0:.4f} Td "
            f"({words}) Tj ET Q\n".encode(),
        )


def _alone(root: etree._Element, layer: etree._Element, pdf: Path) -> PageObject:
    """Return the page that the editor writes of one layer."""
    alone = copy.deepcopy(root)
    for other in list(alone):
        if other.get(LABEL) not in (None, layer.get(LABEL)):
            alone.remove(other)
    drawing = pdf.with_suffix(".svg")
    drawing.write_bytes(etree.tostring(alone))
    editor("--export-type=pdf", "--export-area-page", "-o", pdf, drawing)
    return PdfReader(pdf).pages[0]


def _renamed(
    page: PageObject, ending: str, resources: DictionaryObject, writer: PdfWriter
) -> bytes:
    """Return what a page draws; what it refers to goes among `resources` under other names."""
    contents = page.get_contents()
    known_here = page["/Resources"].get_object()
    if contents is None or not isinstance(known_here, DictionaryObject):
        return b""
    for kind, things in known_here.items():
        if isinstance(known := things.get_object(), DictionaryObject):
            home = resources.setdefault(_name(kind[1:]), DictionaryObject())
            for name, thing in known.items():
                copied = thing.get_object().clone(writer)
                home[_name(name[1:] + ending)] = _added(writer, copied)
    drawn = ContentStream(contents, writer)
    drawn.operations = [
        ([_name(o[1:] + ending) if op in _REFERS and o is got[0] else o for o in got], op)
        for got, op in drawn.operations
    ]
    return drawn.get_data()


_REFERS = (b"gs", b"Tf", b"Do", b"sh")
"""Operators whose first operand names a resource."""


def _name(text: str) -> NameObject:
    return NameObject(f"/{text}")


def _added(writer: PdfWriter, thing: PdfObject) -> PdfObject:
    """Return a reference to an object of a file, which pypdf has no public way to add."""
    add = writer._add_object
    return add(thing)
