# SPDX-License-Identifier: GPL-2.0-or-later
"""Kinds of drawing whose numbers, paths, pages or bytes are odd; most of it is anybody's guess."""

from __future__ import annotations

from random import Random

from lxml import etree

from tests.fuzzing.shapes import (
    ODD_NUMBERS,
    moved,
    outline,
    spelled,
    spoiled,
)
from tests.fuzzing.sheets import LINE, Drawn, Sheet
from tests.helpers.garments import PAGES
from tests.helpers.svg_builder import INKSCAPE, SODIPODI, SvgBuilder


def transforms(random: Random) -> Drawn:
    """Every transform, singular and nearly singular ones as well."""
    sheet = Sheet(random)
    for _ in range(random.randrange(1, 4)):
        made = sheet.piece(is_known=False)
        number = random.choice(("1e-12", "1e-6", "0", "1e12", "0.5", "-1", "3", "nan", "1e308"))
        made.set(
            "transform",
            random.choice(
                (
                    "rotate(30)",
                    "rotate(90 50 50)",
                    "scale(-1 1)",
                    "scale(1 -1) translate(0 -300)",
                    "skewX(20)",
                    "skewY(-40)",
                    "skewX(90)",
                    f"scale({number})",
                    f"scale(1 {number})",
                    f"matrix(1 0 {number} 1 0 0)",
                    "matrix(1 1 1 1 0 0)",
                    f"matrix(1 0 0 {number} 5 5)",
                    "matrix(1 0 0 1.0000001 1e6 -1e6)",
                    "translate(1e7)",
                    f"translate({number})",
                    "rotate(3 4)",
                    "matrix(1 2 3)",
                    "rotate(1)rotate(2),rotate(3)",
                    "none",
                    "foo(1)",
                    "matrix(1 1 1 1.0000000001 0 0)",
                    "translate(10px 5mm)",
                    "scale(1e-5) scale(1e5)",
                )
            ),
        )
    sheet.piece()
    return sheet.done(is_known=False)


def pages(random: Random) -> Drawn:
    """Pages in every unit, with viewBoxes of any scale and origin."""
    odd = [
        ("100%", "100%", (0, 0, 900, 700), None),
        ("210mm", None, (0, 0, 900, 700), None),
        ("9e2mm", "700MM", (0, 0, 900, 700), "xMidYMid slice"),
        ("900pc", "20q", (-500, -500, 3000, 3000), None),
        ("0", "0", (0, 0, 0, 0), None),
        ("-5mm", "5mm", None, None),
        ("900mm", "700mm", (0, 0, 1e-9, 1e9), "none"),
        ("1e9mm", "1mm", (0, 0, 900, 700), None),
    ]
    name = random.choice([*PAGES, *PAGES, "odd"])
    page = random.choice(odd) if name == "odd" else PAGES[name]
    drawing = SvgBuilder(page[0], page[1], page[2], page[3])  # type: ignore[arg-type]
    per_mm = {
        "millimetres": 1.0, "half millimetres": 2.0, "pixels": 96 / 25.4, "no viewBox": 96 / 25.4,
    }.get(name)  # fmt: skip
    sheet = Sheet(random, drawing, per_mm or 1.0)
    for _ in range(random.randrange(1, 4)):
        sheet.piece()
    return sheet.done(is_known=per_mm is not None)


def odd_paths(random: Random) -> Drawn:
    """Path data with something missing, doubled, out of range, or in a rare spelling."""
    sheet = Sheet(random)
    sheet.piece()
    for _ in range(random.randrange(1, 4)):
        data = spelled(random, moved(outline(random), *sheet.place()))
        sheet.piece(data=spoiled(random, data) if random.random() < 0.7 else data)
    if random.random() < 0.5:
        x, y = sheet.place()
        odd = random.choice((
            f"M {x} {y} h 80 v 80 h -40 l 0 1e5 l 0 -1e5 h -40 z",
            f"M {x} {y} l 80 80 v -80 l -80 80 z",
            f"M {x} {y} h 80 h -80 z",
            f"M {x} {y} h 80 v 80 h -80 z m 20 20 h 20 v 20 h -20 z",
            f"M {x} {y} h 80 v 80 h -80 v -80 h 80 v 80 h -80 z",
            f"M {x} {y} h 50 v 1e-7 h -50 z",
            f"M {x} {y} S 90 0 80 80 T 20 60 T {x} {y} z",
            f"M {x} {y}",
            "",
            f"M {x} {y} h 60 v 60 m -10 -10 h 1e300 z",
        ))  # fmt: skip
        sheet.piece(data=odd)
    return sheet.done(is_known=False)


def arcs(random: Random) -> Drawn:
    """Arcs with odd radii and flags run together."""
    sheet = Sheet(random)
    for _ in range(random.randrange(1, 4)):
        x, y = sheet.place()
        proper = ("40", "0", "-40", "1e-9", "1e5", "39.99999", "40.0001")
        odd = ("1e16", "1e308", "nan", "1e-308", "")
        radius = random.choice(odd if random.random() < 0.15 else proper)
        other = random.choice(("40", radius, "20"))
        turn = random.choice(("0", "30", "1e9", "-720"))
        flags = random.choice(("0 0 ", "01", "10", "1 1 ", "11", "0,1,", "1,0", "0 1", "2 0 "))
        sheet.piece(data=f"M{x} {y}h80v40a{radius},{other} {turn} {flags}-80 40z")
    if random.random() < 0.5:
        sheet.drawing.add(
            "path", id="pie", d="M700 600L750 600A50 50 0 1 1 700 550Z", lay={"cut": "1"},
            attributes={f"{{{SODIPODI}}}type": "arc", f"{{{SODIPODI}}}rx": "nan"},
        )  # fmt: skip
    return sheet.done(is_known=False)


def stray_numbers(random: Random) -> Drawn:
    """Attributes with numbers that are none, or far out, beside proper pieces."""
    sheet = Sheet(random)
    drawing = sheet.drawing
    for _ in range(random.randrange(1, 3)):
        sheet.piece()
    number = random.choice(ODD_NUMBERS)
    far = random.choice((1e5, 1e7, 1e9, 1e12, 1e16, 1e300, 1e308, -1e16))
    drawing.add_rect(10, 600, 5, 5, id="stray", attributes={
        random.choice(("x", "y", "width", "height", "rx", "transform", "style")): number
    })  # fmt: skip
    if random.random() < 0.5:
        drawing.add_rect(far, random.choice((0.0, far)), 5, 5, id="far", **LINE)
    if random.random() < 0.3:
        drawing.add_text("Far away", far, 10, id="far-text").set("font-size", number)
    if random.random() < 0.3:
        made = sheet.piece(is_known=False)
        name = random.choice(("cut", "grain", "off-grain", "allowance", "priority", "turns", "top"))
        made.set(f"{{urn:thriftlay:1}}{name}", number)
    return sheet.done(is_known=False)


SHEETS = (
    "path{fill:none}", "#p0{display:none}", "*{visibility:hidden}", "p0 > > path{}", "@import 'x';",
    "@media print{#p0{display:none}}" * 3, "{" * 300, "@media x{" * 200 + "}" * 200, "/*", "\\",
    ".a:not(.b):nth-child(2n+1){stroke:red}", "path{stroke-width:1e999mm;font-size:calc(1px*1)}",
    "#p0-o{transform:scale(2)}", "@font-face{src:url(file:///etc/passwd)}", ":is(" * 100,
    "a{b:" + "(" * 500 + "}", "path[d^='M']{stroke:blue}", "p|path{}", "@namespace p 'x';",
    "g{display:none!important}", "#p0{--x:1;stroke:var(--x)}", "\ufeff", "a" * 10_000 + "{}",
)  # fmt: skip


def hostile(random: Random) -> Drawn:
    """Files that are not what they seem: entities, depth, instructions, encodings, style sheets."""
    sheet = Sheet(random)
    made = sheet.piece()
    if random.random() < 0.6:
        sheet.drawing.add_style(random.choice(SHEETS))
    if random.random() < 0.3:
        made.set("style", random.choice(("fill:", ";;;", "fill:url(#x", "display:none;;", "}{")))
    if random.random() < 0.3:
        made.set("class", random.choice(("a b c", "\t", "é" * 50, "p0")))
    for _ in range(random.choice((0, 0, 5, 95, 101, 300))):
        made = sheet.drawing.add_group(made)
    if random.random() < 0.3:
        sheet.drawing.add("foreignObject", id="fo").append(etree.Element("{urn:x}body"))
    if random.random() < 0.3:
        clip = sheet.drawing.add("clipPath", sheet.drawing.defs, id="c")
        sheet.drawing.add_use("c", clip)
        sheet.drawing.root[-1].set("clip-path", "url(#c)")
    if random.random() < 0.3:
        sheet.drawing.root[-1].set(f"{{{INKSCAPE}}}path-effect", "#effect")
    if random.random() < 0.2:
        sheet.drawing.add_path("M 0 0 h 5 v 5 z", id="p0")
    data = sheet.drawing.data()
    kind = random.randrange(12)
    if kind == 0:
        data = data.replace(b"?>", b"?><!DOCTYPE svg [<!ENTITY a 'b'>]>", 1)
    elif kind == 1:
        data = data.decode().replace("UTF-8", "UTF-16").encode("utf-16")
    elif kind == 2:
        data = data[: random.randrange(len(data))]
    elif kind == 3:
        data = data.replace(b"</svg>", b"<?run this?><!-- -- --></svg>")
    elif kind == 4:
        data = data.replace(b"<svg", b"<!-- before --><?xml-stylesheet href='x.css'?><svg", 1)
    elif kind == 5:
        data = b"\xef\xbb\xbf" + data
    elif kind == 6:
        data = data.replace(b"Piece", b"<![CDATA[P]]>&#x10FFFF;&#13;")
    elif kind == 7:
        data = data.replace(b"http://www.w3.org/2000/svg", b"http://www.w3.org/2000/svg#")
    return Drawn(data, [], None)
