# SPDX-License-Identifier: GPL-2.0-or-later
"""Writes drafts as a drawing the way the editor itself would: layers, named groups, metadata."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise

from lxml import etree

from extension.language.names import NAMESPACE
from tests.helpers.drafting.curves import Chain, Edge, line
from tests.helpers.drafting.draft import Draft, Label
from tests.helpers.drafting.place import line_heights, line_sizes, settled

SVG = "http://www.w3.org/2000/svg"
XLINK = "http://www.w3.org/1999/xlink"
INKSCAPE = "http://www.inkscape.org/namespaces/inkscape"
SODIPODI = "http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd"
RDF = "http://www.w3.org/1999/02/22-rdf-syntax-ns#"
CC = "http://creativecommons.org/ns#"
DC = "http://purl.org/dc/elements/1.1/"
NAMESPACES = {
    None: SVG,
    "svg": SVG,
    "xlink": XLINK,
    "inkscape": INKSCAPE,
    "sodipodi": SODIPODI,
    "rdf": RDF,
    "cc": CC,
    "dc": DC,
    "lay": NAMESPACE,
}

INVENTED = (
    "Invented sample: the pattern label Ottervane, its garments and its measures were made up to "
    "try Thriftlay with. Not a pattern to sew from without a trial garment."
)

INK = "#22252b"
SOFT = "#7d8794"
FOLD = "#7a3b69"


@dataclass(frozen=True, slots=True)
class Page:
    """Size of the page in mm, and how many user units of the drawing make one mm.

    `unit` is what width and height are written in; `display` what the editor's rulers show.
    """

    width: float
    height: float
    per_mm: float = 1.0
    unit: str = "mm"
    unit_mm: float = 1.0


class Sheet:
    """One drawing in the making; every number given is mm, every number written is user units."""

    def __init__(self, page: Page, title: str, subtitle: str) -> None:
        self.page = page
        self.title = title
        self.root = etree.Element(f"{{{SVG}}}svg", nsmap=NAMESPACES)  # type: ignore[arg-type]  # the stubs forget the default namespace
        self._size()
        self._metadata(title, subtitle)
        self._named_view()
        self._markers()

    def text_file(self) -> str:
        """Return the drawing as the text of a file."""
        etree.indent(self.root, space="  ")
        for text in self.root.iter(f"{{{SVG}}}text"):
            # The editor shows white space between lines of a text: it may not be indented.
            text.text = None
            for span in text:
                span.tail = None
        head = '<?xml version="1.0" encoding="UTF-8" standalone="no"?>\n'
        return head + etree.tostring(self.root, encoding="unicode") + "\n"

    def number(self, mm: float) -> str:
        """Return a length as it is written: user units, two decimals in mm, no idle zeros."""
        decimals = 2 if self.page.per_mm < 2 else 3
        text = f"{mm * self.page.per_mm:.{decimals}f}".rstrip("0").rstrip(".")
        return "0" if text == "-0" else text

    def point(self, point: complex) -> str:
        """Return a point as it is written in path data."""
        return f"{self.number(point.real)},{self.number(point.imag)}"

    def path_data(self, chain: Chain, closed: bool) -> str:
        """Return the path data of a chain."""
        words = [f"M {self.point(chain[0].start)}"]
        last = len(chain) - 1
        for index, edge in enumerate(chain):
            if not edge.is_line:
                words.append("C " + " ".join(map(self.point, edge.points[1:])))
            elif not (closed and index == last):
                words.append(f"L {self.point(edge.end)}")
        return " ".join(words) + (" Z" if closed else "")

    def add(self, parent: etree._Element, tag: str, **attributes: str) -> etree._Element:
        """Add an element; `_` in an attribute's name stands for `-`, `lay__x` for `lay:x`."""
        element = etree.SubElement(parent, f"{{{SVG}}}{tag}")
        for name, value in attributes.items():
            element.set(_qualified(name), value)
        return element

    def layer(
        self, label: str, parent: etree._Element | None = None, **more: str
    ) -> etree._Element:
        """Add a layer on top of the others."""
        name = more.pop("id", "layer-" + label.lower().replace(" ", "-"))
        home = self.root if parent is None else parent
        return self.add(
            home, "g", id=name, inkscape__groupmode="layer", inkscape__label=label, **more
        )

    def text(
        self, parent: etree._Element, name: str, label: Label, anchor: str = "middle", **more: str
    ) -> etree._Element:
        """Add a text of several lines, centred on its point, the first line bold."""
        height = sum(line_heights(label))
        element = self.add(parent, "text", id=name, **more)
        element.set(
            "style",
            f"font-size:{self.number(line_sizes(label)[-1])}px;line-height:1.25;font-family:sans-serif;"
            f"text-anchor:{anchor};fill:{INK};stroke:none",
        )
        element.set("{http://www.w3.org/XML/1998/namespace}space", "preserve")
        y = label.at.imag - height / 2.0
        # The editor lays lines out from the text's own place and ignores that of its tspans.
        element.set("x", self.number(label.at.real))
        element.set("y", self.number(y + 0.75 * line_heights(label)[0]))
        for index, (words, tall) in enumerate(zip(label.lines, line_heights(label), strict=True)):
            y += tall
            span = self.add(element, "tspan", id=f"{name}-{index + 1}", sodipodi__role="line")
            span.set("x", self.number(label.at.real))
            span.set("y", self.number(y - 0.25 * tall))
            size = self.number(line_sizes(label)[index])
            span.set("style", f"font-size:{size}px" + ("" if index else ";font-weight:bold"))
            span.text = words
        return element

    def draw(
        self,
        parent: etree._Element,
        draft: Draft,
        at: complex = 0j,
        transform: str | None = None,
        mirrored: bool = False,
    ) -> etree._Element:
        """Add a piece as a group, moved to `at` mm or by a transform of one's own.

        `mirrored`: the group is seen in a mirror, so its label is turned back to be readable.
        """
        group = self.add(parent, "g", id=draft.id, inkscape__label=draft.name)
        if transform is not None:
            group.set("transform", transform)
        elif at != 0j:
            group.set("transform", f"translate({self.point(at)})")
        describe(group, name=draft.name, cut=draft.cut, **draft.more)
        label = self.draw_lines(group, draft)
        if mirrored:
            across = self.number(2.0 * float(label.get("x", "0")) / self.page.per_mm)
            label.set("transform", f"matrix(-1,0,0,1,{across},0)")
        return group

    def draw_lines(self, group: etree._Element, draft: Draft) -> etree._Element:
        """Add the outline of a piece and all that is drawn on it; return its label."""
        self.stroke(group, f"{draft.id}-outline", draft.cutting, 1.0, closed=True, role="outline")
        if draft.has_allowance:
            self.stroke(
                group, f"{draft.id}-seam", draft.seam, 0.5, closed=True, dash=(4, 2),
                role="stitching", colour=SOFT,
            )  # fmt: skip
        if draft.fold_line is not None:
            self._fold(group, draft, draft.fold_line)
        for index, inner in enumerate(draft.lines):
            self.stroke(group, f"{draft.id}-line-{index + 1}", inner, 0.5, role="mark")
        for index, (leg, apex, other) in enumerate(draft.darts):
            dart = (line("dart", leg, apex), line("dart", apex, other))
            self.stroke(group, f"{draft.id}-dart-{index + 1}", dart, 0.5, role="mark")
        for index, centre in enumerate(draft.drills):
            self._drill(group, f"{draft.id}-dot-{index + 1}", centre)
        for index, (outer, inner_end) in enumerate(draft.notch_lines()):
            notch = (line("notch", outer, inner_end),)
            self.stroke(group, f"{draft.id}-notch-{index + 1}", notch, 1.0, role="notch")
        if draft.grain is not None:
            self.grainline(group, f"{draft.id}-grain", *draft.grain)
        for mark in group:
            said = draft.match.get(str(mark.get("id")).removeprefix(f"{draft.id}-"))
            if said is not None:
                describe(mark, match=said)
        return self.text(group, f"{draft.id}-label", settled(draft), lay__role="label")

    def stroke(
        self,
        parent: etree._Element,
        name: str,
        chain: Chain,
        width: float,
        *,
        closed: bool = False,
        dash: Iterable[float] = (),
        role: str | None = None,
        colour: str = INK,
        fill: str | None = None,
    ) -> etree._Element:
        """Add a path; `role` is its `lay:role`, `dash` its dash pattern in mm."""
        paint = fill or ("#ffffff" if role == "outline" else "none")
        style = (
            f"fill:{paint};stroke:{colour};stroke-width:{self.number(width)};"
            "stroke-linejoin:round;stroke-linecap:butt"
        )
        pattern = ",".join(map(self.number, dash))
        if pattern:
            style += f";stroke-dasharray:{pattern}"
        path = self.add(parent, "path", id=name, style=style, d=self.path_data(chain, closed))
        if role is not None:
            describe(path, role=role)
        return path

    def grainline(self, parent: etree._Element, name: str, foot: complex, top: complex) -> None:
        """Add a grainline from foot to top with a head at both ends."""
        path = self.stroke(parent, name, (line("grain", foot, top),), 0.8, role="grainline")
        heads = "marker-start:url(#arrow-head);marker-end:url(#arrow-head)"
        path.set("style", f"{path.get('style')};{heads}")

    def _fold(self, group: etree._Element, draft: Draft, ends: tuple[complex, complex]) -> None:
        """Add the fold edge as a line, and beside it the bracket that points to it."""
        name, (start, end) = draft.id, ends
        self.stroke(
            group, f"{name}-fold", (line("fold", start, end),), 2.0,
            dash=(12, 3, 1.5, 3), role="fold", colour=FOLD,
        )  # fmt: skip
        bracket = tuple(line("bracket", a, b) for a, b in pairwise(draft.bracket))
        path = self.stroke(group, f"{name}-bracket", bracket, 0.8, role="mark", colour=FOLD)
        heads = "marker-start:url(#fold-head);marker-end:url(#fold-head)"
        path.set("style", f"{path.get('style')};{heads}")

    def _drill(self, group: etree._Element, name: str, centre: complex) -> None:
        circle = self.add(group, "circle", id=name, r=self.number(2.5), lay__role="mark")
        circle.set("cx", self.number(centre.real))
        circle.set("cy", self.number(centre.imag))
        circle.set("style", f"fill:none;stroke:{INK};stroke-width:{self.number(0.5)}")

    def _size(self) -> None:
        page = self.page
        self.root.set("width", f"{page.width / page.unit_mm:g}{page.unit}")
        self.root.set("height", f"{page.height / page.unit_mm:g}{page.unit}")
        width, height = self.number(page.width), self.number(page.height)
        self.root.set("viewBox", f"0 0 {width} {height}")
        self.root.set("version", "1.1")
        self.root.set("id", "drawing")

    def _metadata(self, title: str, subtitle: str) -> None:
        self.add(self.root, "title", id="drawing-title").text = f"{title} (invented sample)"
        self.add(self.root, "desc", id="drawing-notes").text = f"{subtitle}. {INVENTED}"
        work = etree.SubElement(
            etree.SubElement(self.add(self.root, "metadata", id="metadata"), f"{{{RDF}}}RDF"),
            f"{{{CC}}}Work",
        )
        work.set(f"{{{RDF}}}about", "")
        etree.SubElement(work, f"{{{DC}}}format").text = "image/svg+xml"
        etree.SubElement(work, f"{{{DC}}}title").text = f"{title} (invented sample)"
        etree.SubElement(work, f"{{{DC}}}description").text = INVENTED

    def _named_view(self) -> None:
        view = etree.SubElement(self.root, f"{{{SODIPODI}}}namedview", id="view")
        settings = {
            "pagecolor": "#ffffff",
            "bordercolor": "#8d9aa8",
            "borderopacity": "1",
            "inkscape__document_units": self.page.unit,
            "inkscape__pagecheckerboard": "0",
            "inkscape__showpageshadow": "2",
            "showgrid": "false",
        }
        for name, value in settings.items():
            view.set(_qualified(name), value)

    def _markers(self) -> None:
        defs = self.add(self.root, "defs", id="definitions")
        self._head(defs, "arrow-head", INK)
        self._head(defs, "fold-head", FOLD)

    def _head(self, defs: etree._Element, name: str, colour: str) -> None:
        """Add an arrow head whose tip lies on the end of the line, sized in line widths."""
        marker = self.add(
            defs, "marker", id=name, orient="auto-start-reverse", markerWidth="12",
            markerHeight="12", refX="0", refY="0", style="overflow:visible",
        )  # fmt: skip
        self.add(
            marker, "path", id=f"{name}-shape", d="M 0,0 L -12,3.6 L -9.6,0 L -12,-3.6 Z",
            style=f"fill:{colour};stroke:none",
        )  # fmt: skip

    def heading(
        self, parent: etree._Element, at: complex, size: float, lines: Iterable[str]
    ) -> None:
        """Add the heading of the sheet, left-aligned, the first line bold."""
        label = Label(at, tuple(lines), size)
        self.text(parent, "sheet-heading", label, anchor="start")


def describe(element: etree._Element, **attributes: str) -> None:
    """Set `lay:` attributes on an element; `_` in a name stands for `-`."""
    for name, value in attributes.items():
        element.set(_qualified(f"lay__{name}"), value)


def rectangle(low: complex, high: complex) -> Chain:
    """Return a clockwise rectangle."""
    corners = (low, complex(high.real, low.imag), high, complex(low.real, high.imag))
    return tuple(
        Edge("side", (a, b)) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)
    )


_SPACES: Mapping[str, str] = {
    "inkscape": INKSCAPE,
    "sodipodi": SODIPODI,
    "lay": NAMESPACE,
    "xlink": XLINK,
}


def _qualified(name: str) -> str:
    """Return `inkscape__label` as `{namespace}label`, and `_` as `-`, for use as an attribute."""
    space, _, local = name.rpartition("__")
    local = local.replace("_", "-")
    return f"{{{_SPACES[space]}}}{local}" if space else local
