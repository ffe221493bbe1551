# SPDX-License-Identifier: GPL-2.0-or-later
"""A drawing with layers as a PDF that has them too: optional content, one group a layer.

The editor writes what is on each layer, and pypdf puts that together (ISO 32000-1, section 8.11).
"""

from __future__ import annotations

import copy
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

from tests.helpers.printed import editor
from tests.helpers.svg_builder import INKSCAPE

LABEL = f"{{{INKSCAPE}}}label"


def by_layers(drawing: bytes, pdf: Path) -> None:
    """Write a drawing as one page on which each of its layers is an optional content group."""
    root = etree.fromstring(drawing)
    layers = [layer for layer in root if layer.get(LABEL) is not None]
    writer = PdfWriter()
    groups, named, resources = ArrayObject(), DictionaryObject(), DictionaryObject()
    content = b""
    for number, layer in enumerate(layers):
        page = _alone(root, layer, pdf.with_suffix(f".{number}.pdf"))
        group = DictionaryObject({_name("Type"): _name("OCG")})
        group[_name("Name")] = TextStringObject(layer.get(LABEL, ""))
        groups.append(_added(writer, group))
        named[_name(f"Layer{number}")] = groups[-1]
        drawn = _renamed(page, f"_{number}", resources, writer)
        content += f"/OC /Layer{number} BDC q\n".encode() + drawn + b"\nQ EMC\n"
    sheet = writer.add_blank_page(page.mediabox.width, page.mediabox.height)
    stream = StreamObject()
    stream.set_data(content)
    resources[_name("Properties")] = named
    sheet[_name("Contents")] = _added(writer, stream)
    sheet[_name("Resources")] = resources
    order = DictionaryObject({_name("Order"): groups})
    writer.root_object[_name("OCProperties")] = DictionaryObject(
        {_name("OCGs"): groups, _name("D"): order}
    )
    writer.write(pdf)


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
