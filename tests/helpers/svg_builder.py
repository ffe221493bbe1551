# SPDX-License-Identifier: GPL-2.0-or-later
"""Builds drawings for tests, element by element, instead of strings of SVG.

drawing = SvgBuilder(width="20cm", height="10cm", view_box=(0, 0, 400, 200))
layer = drawing.add_layer("Pieces")
front = drawing.add_path("M 0 0 H 50 V 80 H 0 Z", parent=layer, id="front", lay={"cut": "2"})
drawing.add_use("front", transform="translate(60 0)")
document = drawing.document()
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from lxml import etree

from extension.language.names import NAMESPACE, PREFIX, lay
from extension.svg.document import Document, parse, serialise

SVG = "http://www.w3.org/2000/svg"
XLINK = "http://www.w3.org/1999/xlink"
INKSCAPE = "http://www.inkscape.org/namespaces/inkscape"
SODIPODI = "http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd"

_NAMESPACES = {
    None: SVG,
    "xlink": XLINK,
    "inkscape": INKSCAPE,
    "sodipodi": SODIPODI,
    PREFIX: NAMESPACE,
}


class SvgBuilder:
    """A drawing that grows. Every `add_…` returns the element; `parent` None is the root.

    Keywords are attributes, an underscore stands for a hyphen (`stroke_width=2`); what needs a
    namespace or a colon goes in `attributes` by its full lxml name, and `lay` holds attributes of
    ours by their bare names. Without `id` an element is called by its tag and number, `path3`;
    `id=""` leaves it without one.
    """

    def __init__(
        self,
        width: str | None = "200mm",
        height: str | None = "100mm",
        view_box: tuple[float, float, float, float] | None = (0, 0, 200, 100),
        preserve: str | None = None,
    ) -> None:
        self.root = etree.Element(f"{{{SVG}}}svg", nsmap=_NAMESPACES)  # type: ignore[arg-type]
        self._numbers: dict[str, int] = {}
        self._defs: etree._Element | None = None
        box = None if view_box is None else " ".join(_text(number) for number in view_box)
        page = {"width": width, "height": height, "viewBox": box, "preserveAspectRatio": preserve}
        for name, value in page.items():
            if value is not None:
                self.root.set(name, value)

    def add(
        self,
        tag: str,
        parent: etree._Element | None = None,
        *,
        id: str | None = None,
        label: str | None = None,
        lay: Mapping[str, str] | None = None,
        attributes: Mapping[str, str] | None = None,
        **plain: object,
    ) -> etree._Element:
        """Add any SVG element."""
        element = etree.SubElement(self.root if parent is None else parent, f"{{{SVG}}}{tag}")
        self._numbers[tag] = self._numbers.get(tag, 0) + 1
        name = f"{tag}{self._numbers[tag]}" if id is None else id
        if name:
            element.set("id", name)
        if label is not None:
            element.set(f"{{{INKSCAPE}}}label", label)
        for key, value in plain.items():
            element.set(key.replace("_", "-"), _text(value))
        for key, text in (attributes or {}).items():
            element.set(key, text)
        set_lay(element, **(lay or {}))
        return element

    def add_layer(
        self, label: str, parent: etree._Element | None = None, **rest: object
    ) -> etree._Element:
        """Add a layer of the editor."""
        layer = self.add_group(parent, label=label, **rest)
        layer.set(f"{{{INKSCAPE}}}groupmode", "layer")
        return layer

    def add_group(self, parent: etree._Element | None = None, **rest: object) -> etree._Element:
        """Add a group."""
        return self.add("g", parent, **rest)  # type: ignore[arg-type]

    def add_path(
        self, d: str, parent: etree._Element | None = None, **rest: object
    ) -> etree._Element:
        """Add a path."""
        return self.add("path", parent, d=d, **rest)  # type: ignore[arg-type]

    def add_rect(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        parent: etree._Element | None = None,
        **rest: object,
    ) -> etree._Element:
        """Add a rectangle."""
        sides = {"x": x, "y": y, "width": width, "height": height}
        return self.add("rect", parent, **sides, **rest)  # type: ignore[arg-type]

    def add_line(
        self,
        start: tuple[float, float],
        end: tuple[float, float],
        parent: etree._Element | None = None,
        **rest: object,
    ) -> etree._Element:
        """Add a line."""
        ends = {"x1": start[0], "y1": start[1], "x2": end[0], "y2": end[1]}
        return self.add("line", parent, **ends, **rest)  # type: ignore[arg-type]

    def add_use(
        self, shown: str | etree._Element, parent: etree._Element | None = None, **rest: object
    ) -> etree._Element:
        """Add a clone of an element, given by itself or by its id."""
        target = shown if isinstance(shown, str) else shown.get("id", "")
        use = self.add("use", parent, **rest)  # type: ignore[arg-type]
        use.set(f"{{{XLINK}}}href", f"#{target}")
        return use

    def add_text(
        self,
        text: str,
        x: float = 0.0,
        y: float = 0.0,
        parent: etree._Element | None = None,
        **rest: object,
    ) -> etree._Element:
        """Add a text as the editor saves it: one `tspan` per line, 1.25 font sizes apart."""
        element = self.add("text", parent, x=x, y=y, **rest)  # type: ignore[arg-type]
        size = float(str(rest.get("font_size", 16)).removesuffix("px"))
        for number, line in enumerate(text.split("\n")):
            span = self.add("tspan", element, x=x, y=y + 1.25 * size * number)
            span.set(f"{{{SODIPODI}}}role", "line")
            span.text = line
        return element

    def add_symbol(self, view_box: str | None = None, **rest: object) -> etree._Element:
        """Add a symbol to the definitions."""
        symbol = self.add("symbol", self.defs, **rest)  # type: ignore[arg-type]
        if view_box is not None:
            symbol.set("viewBox", view_box)
        return symbol

    def add_style(self, sheet: str) -> etree._Element:
        """Add a style sheet to the definitions."""
        style = self.add("style", self.defs)
        style.text = sheet
        return style

    @property
    def defs(self) -> etree._Element:
        """The definitions, made when first asked for."""
        if self._defs is None:
            self._defs = self.add("defs")
        return self._defs

    def hide(self, element: etree._Element) -> None:
        """Hide an element as the editor does."""
        element.set("style", f"display:none;{element.get('style', '')}")

    def lock(self, element: etree._Element) -> None:
        """Lock an element as the editor does."""
        element.set(f"{{{SODIPODI}}}insensitive", "true")

    def data(self) -> bytes:
        """Return the drawing as a file's bytes."""
        return etree.tostring(self.root, encoding="UTF-8", xml_declaration=True)

    def document(self) -> Document:
        """Return the drawing as it is read from its bytes."""
        return parse(self.data())

    def write(self, path: Path) -> Path:
        """Write the drawing to a file and return its path."""
        path.write_bytes(serialise(self.document()))
        return path


def set_lay(element: etree._Element, **attributes: str) -> None:
    """Set attributes of ours by their bare names; an underscore stands for a hyphen."""
    for name, value in attributes.items():
        element.set(lay(name.replace("_", "-")), value)


def _text(value: object) -> str:
    """Return an attribute value; numbers in full precision."""
    return repr(float(value)) if isinstance(value, float) else str(value)
