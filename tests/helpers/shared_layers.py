# SPDX-License-Identifier: GPL-2.0-or-later
"""Pages of a known sheet on layers that all of them share, as Inkscape 1.4 opens a PDF with layers.

Each page holds all lines of the sheet. Ids count on from page to page, and a page has the
number of what was made last; a clip is an object of its
own for each line, and the first page's alone come over when the PDF clips whole groups (seen in
Inkscape 1.4, e7c3feb100).
"""

from __future__ import annotations

from collections.abc import Sequence

from lxml import etree

from tests.helpers.paged import GAP, INKSCAPE, SODIPODI, SVG, Paging
from tests.helpers.truths import Truth


def on_shared_layers(
    truth: Truth, names: Sequence[str], paging: Paging, clips: str = "first"
) -> bytes:
    """Return a drawing of all pages; lines are on layers of these names in turn.

    `clips` says on which pages lines have theirs: "first", "all" or "none".
    """
    number = 0
    width, height = paging.paper
    nsmap = {None: SVG, "inkscape": INKSCAPE, "sodipodi": SODIPODI}
    root = etree.Element(f"{{{SVG}}}svg", nsmap=nsmap)  # type: ignore[arg-type]
    root.set("width", f"{width}mm")
    root.set("height", f"{height}mm")
    root.set("viewBox", f"0 0 {width} {height}")
    defs = etree.SubElement(root, f"{{{SVG}}}defs")
    view = etree.SubElement(root, f"{{{SODIPODI}}}namedview")
    layers = []
    for n, name in enumerate(names):
        layers.append(etree.SubElement(root, f"{{{SVG}}}g", id=f"layer-Layer{n}"))
        layers[-1].set(f"{{{INKSCAPE}}}groupmode", "layer")
        layers[-1].set(f"{{{INKSCAPE}}}label", name)
    rows, columns = paging.grid(truth)
    low, (across, down) = paging.margin, paging.window
    frame = f"M {low},{low} h {across} v {down} h {-across} Z"
    for page in range(rows * columns):
        row, column = divmod(page, columns)
        at = page * (width + GAP)
        box = {"x": at, "y": 0.0, "width": width, "height": height}
        made = {name: f"{value:.6f}" for name, value in box.items()}
        etree.SubElement(view, f"{{{INKSCAPE}}}page", made, id=f"page{max(number, 1)}")
        x, y = at + low - column * paging.step[0], low - row * paging.step[1]
        for n, line in enumerate(truth.lines):
            path = etree.SubElement(layers[n % len(layers)], f"{{{SVG}}}path")
            path.set("transform", f"translate({x:.6f},{y:.6f})")
            points = " L ".join(f"{u:.6f},{v:.6f}" for u, v in line.points)
            number += 1
            path.set("d", f"M {points}" + (" Z" if line.closed else ""))
            path.set("id", f"path{number}")
            path.set("style", "fill:none;stroke:#000000;stroke-width:0.4")
            if clips == "all" or (clips == "first" and page == 0):
                number += 1
                clip = etree.SubElement(defs, f"{{{SVG}}}clipPath", id=f"clipPath{number}")
                shift = f"translate({at - x:.6f},{-y:.6f})"
                etree.SubElement(clip, f"{{{SVG}}}path", d=frame, transform=shift)
                path.set("clip-path", f"url(#{clip.get('id')})")
        if paging.frame:
            look = "fill:none;stroke:#000000;stroke-width:0.2"
            number += 1
            border = etree.SubElement(root, f"{{{SVG}}}path", d=frame, style=look)
            border.set("transform", f"translate({at})")
            border.set("id", f"path{number}")
    data: bytes = etree.tostring(root, encoding="UTF-8", xml_declaration=True)
    return data
