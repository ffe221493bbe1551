# SPDX-License-Identifier: GPL-2.0-or-later
"""A small graded pattern for tests: an invented tunic in three sizes, from three materials."""

from __future__ import annotations

from collections.abc import Sequence

from lxml import etree

from tests.helpers.svg_builder import SvgBuilder

GRADES = {"S": 0.0, "M": 18.0, "L": 40.0}
"""mm by which pieces are longer and wider than in the smallest size (invented)."""
LOOKS = {"fill": "none", "stroke": "#204080", "stroke_width": 0.8}


def tunic(
    sizes: Sequence[str] = ("S", "M", "L"), *, pocket: bool = True, match: str = ""
) -> SvgBuilder:
    """Return a drawing with front and back on the fold, sleeves, a yoke and a pocket.

    Sizes are layers beside each other; the pocket belongs to every size. The yoke is cut from
    main cloth and interfacing, the sleeve from main cloth and lining. With `match` the notches in
    the side seams of front and back have it as `lay:match`.
    """
    drawing = SvgBuilder("3000mm", "1200mm", (0, 0, 3000, 1200))
    for number, size in enumerate(sizes):
        layer = drawing.add_layer(f"Size {size}", id=f"size-{size}", lay={"size": size})
        _size(drawing, layer, size, 900.0 * number, match)
    if pocket:
        group = drawing.add_group(id="pocket", lay={"name": "Pocket", "cut": "2"})
        drawing.add_path(
            "M 40 900 H 190 V 1040 L 115 1080 L 40 1040 Z", group, id="pocket-outline", **LOOKS
        )
        _grain(drawing, group, 115.0, 920.0, 1030.0)
    return drawing


def _size(drawing: SvgBuilder, layer: etree._Element, size: str, x: float, match: str = "") -> None:
    """Draw the graded pieces of one size from x on."""
    more = GRADES[size]
    long, wide = 640.0 + 2.0 * more, 230.0 + more
    for name, neck, at in (("Front", 110.0, x + 20.0), ("Back", 40.0, x + 320.0)):
        group = drawing.add_group(
            layer, id=f"{name.lower()}-{size}", lay={"name": name, "cut": "1"}
        )
        drawing.add_path(
            f"M {at} {20 + neck} C {at + 60} {20 + neck} {at + 80} 60 {at + 85} 20 "
            f"L {at + wide - 40} 55 C {at + wide - 55} 130 {at + wide - 30} 190 {at + wide} 205 "
            f"L {at + wide + 15} {20 + long} H {at} Z",
            group,
            lay={"role": "outline"},
            **LOOKS,
        )
        drawing.add_line((at, 20 + long), (at, 20 + neck), group, lay={"role": "fold"})
        _grain(drawing, group, at + 60.0, 220.0, long - 60.0)
        if match:
            seam = at + wide + 15.0 * 195.0 / (long - 185.0)
            said = {"role": "notch", "match": match}
            drawing.add_line((seam, 400.0), (seam - 8.0, 400.0), group, lay=said)
    sleeve = drawing.add_group(
        layer, id=f"sleeve-{size}", lay={"name": "Sleeve", "cut": "2 main; 2 lining"}
    )
    at, wide = x + 620.0, 150.0 + more
    drawing.add_path(
        f"M {at} 160 C {at + 40} 150 {at + 60} 20 {at + wide / 2 + 5} 20 "
        f"C {at + wide - 40} 20 {at + wide - 30} 140 {at + wide} 165 L {at + wide - 15} "
        f"{420 + more} H {at + 20} Z",
        sleeve,
        **LOOKS,
    )
    _grain(drawing, sleeve, at + wide / 2, 80.0, 400.0)
    yoke = drawing.add_group(
        layer, id=f"yoke-{size}", lay={"name": "Yoke", "cut": "2 main; 1 interfacing"}
    )
    drawing.add_path(
        f"M {at} 520 H {at + wide + 60} L {at + wide + 40} {610 + more / 2} H {at + 25} Z",
        yoke,
        **LOOKS,
    )
    _grain(drawing, yoke, at + wide / 2, 530.0, 600.0)
    drawing.add_text(f"Size {size}", at, 760, layer, font_size=12, style="font-family:serif")


def _grain(drawing: SvgBuilder, group: etree._Element, x: float, top: float, bottom: float) -> None:
    drawing.add_line((x, bottom), (x, top), group, lay={"role": "grainline"})
