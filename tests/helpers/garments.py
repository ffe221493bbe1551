# SPDX-License-Identifier: GPL-2.0-or-later
"""Small drawings of pieces for tests of planning and writing, on any page."""

from __future__ import annotations

from tests.helpers.svg_builder import SvgBuilder, set_lay

MILLIMETRES = ("600mm", "400mm", (0.0, 0.0, 600.0, 400.0), None)
Page = tuple[str | None, str | None, tuple[float, float, float, float] | None, str | None]

PAGES: dict[str, Page] = {
    "millimetres": MILLIMETRES,
    "half millimetres": ("60cm", "40cm", (0.0, 0.0, 1200.0, 800.0), None),
    "inches, moved": ("24in", "16in", (-4.0, -2.0, 600.0, 400.0), None),
    "points": ("1700pt", "1100pt", (0.0, 0.0, 600.0, 400.0), "xMaxYMin meet"),
    "pixels": (None, None, (0.0, 0.0, 900.0, 700.0), None),
    "no viewBox": ("2000px", "1500px", None, None),
    "stretched": ("600mm", "800mm", (0.0, 0.0, 600.0, 400.0), "none"),
}
"""Every kind of page: unit, viewBox with another scale or origin, none, and unequal scales."""

LOOKS = {"fill": "none", "stroke": "#204080", "stroke_width": 0.8}


def garment(page: Page = MILLIMETRES, transform: str = "") -> SvgBuilder:
    """Return a drawing of three pieces: a pair, a half on the fold, and a small tab.

    The front has a notch, a grainline and a text; the back a one-sided mark, a mark on the fold,
    and a curved edge of every kind. `transform` is that of the layer round them.
    """
    drawing = SvgBuilder(page[0], page[1], page[2], page[3])
    layer = drawing.add_layer("Pieces", id="pieces")
    if transform:
        layer.set("transform", transform)
    front = drawing.add_group(layer, id="front", lay={"name": "Front", "cut": "2"})
    drawing.add_path(
        "M 10 20 H 120 C 150 60 150 100 130 200 H 10 Z",
        front,
        id="front-outline",
        lay={"role": "outline"},
        **LOOKS,
    )
    drawing.add_line((60, 180), (60, 40), front, id="front-grain", lay={"role": "grainline"})
    drawing.add_line((10, 90), (18, 90), front, id="front-notch", stroke="#000000")
    drawing.add_text("Front", 70, 120, front, id="front-text", font_size=10)
    back = drawing.add_group(layer, id="back", lay={"name": "Back", "cut": "1"})
    drawing.add_path(
        "M 200 20 H 240 Q 260 80 300 90 A 60 80 0 0 1 320 180 L 310 220 H 200 Z",
        back,
        id="back-outline",
        lay={"role": "outline"},
        **LOOKS,
    )
    drawing.add_line((200, 220), (200, 20), back, id="back-fold", lay={"role": "fold"})
    drawing.add_line((240, 200), (240, 60), back, id="back-grain", lay={"role": "grainline"})
    drawing.add("circle", back, id="back-dot", cx=270, cy=160, r=3, lay={"role": "mark"})
    drawing.add("circle", back, id="back-middle", cx=200, cy=100, r=4, lay={"role": "mark"})
    drawing.add(
        "circle", back, id="back-left", cx=280, cy=190, r=2, lay={"role": "mark", "one-side": "yes"}
    )
    drawing.add_text("Back", 215, 120, back, id="back-text", font_size=10)
    tab = drawing.add_group(layer, id="tab", lay={"name": "Tab", "cut": "2"})
    drawing.add_rect(360, 20, 16, 30, tab, id="tab-outline", lay={"role": "outline"}, **LOOKS)
    drawing.add_line((368, 45), (368, 25), tab, id="tab-grain", lay={"role": "grainline"})
    return drawing


def garment_of_materials() -> SvgBuilder:
    """Return the same garment cut from three materials, the tab from interfacing alone.

    The front is cut from main cloth and lining, the back from main cloth alone, a pocket from
    lining alone.
    """
    drawing = garment()
    for id_, cut in (("front", "2 main; 2 lining"), ("tab", "2 interfacing")):
        piece = next(one for one in drawing.root.iter("{*}g") if one.get("id") == id_)
        set_lay(piece, cut=cut)
    pocket = drawing.add_group(id="pocket", lay={"name": "Pocket", "cut": "2 lining"})
    drawing.add_path("M 420 20 h 90 v 120 h -80 Z", pocket, id="pocket-outline", **LOOKS)
    drawing.add_line((460, 120), (460, 40), pocket, id="pocket-grain", lay={"role": "grainline"})
    return drawing
