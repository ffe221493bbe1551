# SPDX-License-Identifier: GPL-2.0-or-later
"""Fifteen kinds of drawing, each with what is known of the pieces in it.

A kind for each thing that has been trouble, or could be. Names and patterns are invented.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from random import Random

from lxml import etree

from tests.fuzzing.shapes import (
    ODD_NUMBERS,
    Points,
    area,
    box,
    moved,
    outline,
    spelled,
    spoiled,
)
from tests.helpers.garments import PAGES
from tests.helpers.svg_builder import INKSCAPE, SODIPODI, SvgBuilder

LINE = {"fill": "none", "stroke": "#204080", "stroke_width": 0.8}
PITCH = 160.0
"""mm from one piece's place to the next."""


@dataclass(slots=True)
class Drawn:
    """A drawing, what lay-out is asked beside the width, and the pieces that are known.

    `pieces`: by the ids a part may name as its source, how many copies there are and their area,
    mm2; `total`: whether nothing else may be laid. None when what is drawn is anybody's guess.
    """

    data: bytes
    words: list[str] = field(default_factory=list)
    pieces: list[tuple[frozenset[str], int, float]] | None = None


class Sheet:
    """A sheet that pieces are drawn on one after the other, each in a place of its own."""

    def __init__(self, random: Random, drawing: SvgBuilder | None = None, unit: float = 1.0):
        self.random = random
        self.drawing = drawing or SvgBuilder("900mm", "700mm", (0, 0, 900, 700))
        self.unit = unit
        self.pieces: list[tuple[frozenset[str], int, float]] = []
        self._count = 0

    def place(self) -> tuple[float, float]:
        """Return the next free place."""
        column, row = self._count % 5, self._count // 5
        self._count += 1
        return 10.0 + PITCH * column, 10.0 + PITCH * row

    def piece(
        self,
        parent: etree._Element | None = None,
        *,
        points: Points | None = None,
        data: str | None = None,
        cut: int | None = None,
        grain: bool = True,
        fold: bool = False,
        is_known: bool = True,
        **lay: str,
    ) -> etree._Element:
        """Draw a piece as a group with its outline and grainline; return the group."""
        random, number = self.random, self._count
        points = moved(points or outline(random), *self.place())
        scaled = [(x * self.unit, y * self.unit) for x, y in points]
        cut = random.choice((1, 1, 2, 2, 3)) if cut is None else cut
        name = f"p{number}"
        details = {"name": f"Piece {number}", "cut": str(cut), **lay}
        made = self.drawing.add_group(parent, id=name, lay=details)
        d = data or spelled(random, scaled)
        self.drawing.add_path(d, made, id=f"{name}-o", lay={"role": "outline"}, **LINE)
        low_x, low_y, high_x, high_y = box(scaled)
        middle = (low_x + high_x) / 2
        if grain:
            ends = (middle, high_y - 5 * self.unit), (middle, low_y + 5 * self.unit)
            self.drawing.add_line(*ends, made, id=f"{name}-g", lay={"role": "grainline"}, **LINE)
        if fold:
            self.drawing.add_line(
                (low_x, low_y), (low_x, high_y), made, id=f"{name}-f", lay={"role": "fold"}, **LINE
            )
        if is_known and data is None:
            whole = area(points) * (2 if fold else 1)
            self.pieces.append((frozenset((name, f"{name}-o")), cut, whole))
        return made

    def done(self, *words: str, is_known: bool = True) -> Drawn:
        """Return the drawing."""
        return Drawn(self.drawing.data(), list(words), self.pieces if is_known else None)


Kind = Callable[[Random], Drawn]


def plain_pieces(random: Random) -> Drawn:
    """Closed outlines of every tag, cut once or in pairs, with a grainline."""
    sheet = Sheet(random)
    for _ in range(random.randrange(1, 5)):
        lay = {}
        if random.random() < 0.3:
            lay["hand"] = random.choice(("same", "mirrored"))
        if random.random() < 0.3:
            lay["turns"] = random.choice(("one-way", "two-way", "four-way", "free"))
        if random.random() < 0.2:
            lay["side-up"] = random.choice(("face", "either"))
        sheet.piece(**lay)
    x, y = sheet.place()
    side = random.uniform(20, 90)
    tag, values = random.choice((
        ("rect", {"x": x, "y": y, "width": side, "height": side}),
        ("rect", {"x": x, "y": y, "width": side, "height": side, "rx": side, "ry": 3}),
        ("circle", {"cx": x + 50, "cy": y + 50, "r": side / 2}),
        ("ellipse", {"cx": x + 50, "cy": y + 50, "rx": side / 2, "ry": side / 3}),
        ("polygon", {"points": f"{x},{y} {x + side},{y} {x},{y + side}"}),
    ))  # fmt: skip
    sheet.drawing.add(tag, id="bare", lay={"cut": "1", "grain": "up"}, **LINE, **values)
    return sheet.done(*random.choice(([], ["--no-nap"], ["--gap", "0mm"], ["--gap", "12mm"])))


def half_on_fold(points: Points) -> Points:
    """Return an outline whose left side is straight from top to bottom."""
    low_x, low_y, high_x, high_y = box(points)
    width, height = high_x - low_x, high_y - low_y
    return [(0, 0), (width * 0.6, 0), (width, height * 0.4), (width * 0.8, height), (0, height)]


def fold_halves(random: Random) -> Drawn:
    """Halves with their fold edge marked, beside whole pieces."""
    sheet = Sheet(random)
    for _ in range(random.randrange(1, 4)):
        sheet.piece(points=half_on_fold(outline(random)), fold=True, grain=random.random() < 0.5)
    sheet.piece()
    return sheet.done()


def nests(random: Random) -> Drawn:
    """Sizes drawn within each other."""
    sheet = Sheet(random)
    sizes = ["S", "M", "L", "XL"][: random.randrange(2, 5)]
    for _ in range(random.randrange(1, 3)):
        base = outline(random, 60)
        x, y = sheet.place()
        for number, size in enumerate(sizes):
            grown = [(px * (1 + 0.15 * number), py * (1 + 0.15 * number)) for px, py in base]
            points = moved(grown, x - 3 * number, y - 3 * number)
            name = f"n{len(sheet.pieces)}"
            lay = {"size": size, "cut": "2", "name": f"Nest {size}", "grain": "up"}
            sheet.drawing.add_path(spelled(random, points), id=name, lay=lay, **LINE)
            sheet.pieces.append((frozenset((name,)), 2, area(points)))
    chosen = random.choice(sizes)
    made = sheet.done("--size", chosen)
    made.pieces = [one for k, one in enumerate(sheet.pieces) if sizes[k % len(sizes)] == chosen]
    return made


def groups_and_clones(random: Random) -> Drawn:
    """Pieces in layers within layers, cloned, as symbols, hidden and locked."""
    sheet = Sheet(random)
    drawing = sheet.drawing
    parent = None
    for depth in range(random.randrange(1, 5)):
        shift = f"translate({random.uniform(-5, 5):.3f} {random.uniform(-5, 5):.3f})"
        parent = drawing.add_layer(f"Layer {depth}", parent, transform=shift)
    first = sheet.piece(parent)
    second = sheet.piece(parent)
    for number in range(random.randrange(1, 4)):
        x, y = sheet.place()
        use = drawing.add_use(random.choice((first, second)), random.choice((parent, None)))
        use.set("id", f"clone{number}")
        use.set("transform", f"translate({x} {y + 200})")
        if random.random() < 0.3:
            drawing.add_use(f"clone{number}", transform="translate(0 330)", id=f"again{number}")
    if random.random() < 0.3:
        symbol = drawing.add_symbol("0 0 50 50", id="sym")
        drawing.add_rect(0, 0, 50, 50, symbol, lay={"cut": "1", "grain": "up"})
        drawing.add_use("sym", x=700, y=500, width=60, height=60)
    if random.random() < 0.3:
        drawing.hide(sheet.piece(is_known=False))
    if random.random() < 0.3:
        drawing.lock(sheet.piece())
    if random.random() < 0.2:
        drawing.add_use(random.choice(("loop", "nowhere", "p0")), id="loop")
    return sheet.done()


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


WORDS = (
    "Front", "Back", "Cut 2", "cut 1 on fold", "Vorderteil 2x zuschneiden", "Sleeve\ncut 2 pairs",
    "Devant couper 1 fois au pli", "Size 38", "38 / 40 / 42", "No seam allowance included",
    "1.5 cm seam allowance", "grain", "FOLD", "Lining: cut 2", "cut 2 self 1 interfacing", "cut 0",
    "cut 99999999999999999999", "cut ½", "", " ", "⌘\u202e\u0000"[:2], "x" * 4000, "cut two cut 3",
    "Stoffbruch", "place on fold", "cut 1 & 2", "<b>", "1" * 300, "(", "cut -2", "2" * 5, "\u00a0",
)  # fmt: skip


def labels(random: Random) -> Drawn:
    """Pieces that say what they are in words, with arrows and brackets."""
    sheet = Sheet(random)
    drawing = sheet.drawing
    for _ in range(random.randrange(1, 5)):
        points = moved(outline(random), *sheet.place())
        drawing.add_path(spelled(random, points), **LINE)
        low_x, low_y, high_x, high_y = box(points)
        x, y = (low_x + high_x) / 2, (low_y + high_y) / 2
        for _ in range(random.randrange(0, 4)):
            size = random.choice((4, 6, 10, 0, 1e-3, 300))
            text = random.choice(WORDS).replace("\x00", "")
            label = drawing.add_text(text, x - 10, y + random.uniform(-20, 20), font_size=size)
            if random.random() < 0.2:
                label.set("transform", random.choice(("rotate(90)", "scale(0)", "scale(-1 1)")))
        if random.random() < 0.6:
            drawing.add_line((x, low_y + 3), (x, high_y - 3), marker_end="url(#a)", stroke="black")
        if random.random() < 0.3:
            drawing.add_path(
                f"M {low_x + 9} {low_y + 9} H {low_x + 3} V {high_y - 9} H {low_x + 9}", **LINE
            )
    return sheet.done("--no-grain", "lay", is_known=False)


def broken_lines(random: Random) -> Drawn:
    """Outlines chopped into dashes, with gaps, doubled ends, crossings and stubs."""
    sheet = Sheet(random)
    drawing = sheet.drawing
    for _ in range(random.randrange(1, 4)):
        points = moved(outline(random), *sheet.place())
        gap = random.choice((0.0, 0.2, 0.8, 3.0))
        dash = random.choice((3.0, 8.0, 1000.0))
        chopped: list[str] = []
        for (ax, ay), (bx, by) in zip(points, [*points[1:], points[0]], strict=True):
            length = math.dist((ax, ay), (bx, by))
            at = 0.0
            while at < length:
                end = min(at + dash, length)
                a, b = at / length, end / length
                start = f"M {ax + a * (bx - ax):.4f} {ay + a * (by - ay):.4f}"
                chopped.append(f"{start} L {ax + b * (bx - ax):.4f} {ay + b * (by - ay):.4f}")
                at = end + gap
                if len(chopped) > 400:
                    break
        random.shuffle(chopped)
        if random.random() < 0.3:
            chopped += chopped[: random.randrange(3)]
        if random.random() < 0.3:
            x, y = points[0]
            chopped.append(f"M {x} {y} L {x + random.uniform(-30, 30)} {y - 15}")
        if random.random() < 0.5:
            drawing.add_path(" ".join(chopped), **LINE)
        else:
            for data in chopped[:150]:
                drawing.add_path(data, **LINE)
    return sheet.done("--no-grain", "lay", is_known=False)


def materials(random: Random) -> Drawn:
    """Pieces cut of several materials, with synonyms and words that are none."""
    sheet = Sheet(random)
    cuts = (
        "2 main; 1 interfacing", "1 lining", "2 self 1 fusible", "2 main;;", "0", "3 main; 2 main",
        "2 Futter", "1 étoffe; 2 doublure same", "x", "2 main; 1 <>", "1 main mirrored", "40",
    )  # fmt: skip
    for _ in range(random.randrange(1, 4)):
        sheet.piece(is_known=False, cut=1).set("{urn:thriftlay:1}cut", random.choice(cuts))
    sheet.piece()
    material = random.choice(("main", "all", "all", "lining", "interfacing", "Futter", "nothing"))
    return sheet.done("--material", material, is_known=False)


def marks(random: Random) -> Drawn:
    """Notches, drill holes, stitching lines, texts and what lies across outlines."""
    sheet = Sheet(random)
    drawing = sheet.drawing
    for _ in range(random.randrange(1, 4)):
        points = outline(random)
        made = sheet.piece(points=points, is_known=random.random() < 0.0)
        low_x, low_y, high_x, high_y = box(moved(points, *_last_place(sheet)))
        for number in range(random.randrange(0, 5)):
            x, y = random.uniform(low_x, high_x), random.uniform(low_y, high_y)
            role = random.choice(("notch", "mark", "label", "stitching", "nonsense", ""))
            lay = {"role": role} if role else {}
            if random.random() < 0.3:
                lay["one-side"] = "yes"
            kind = random.randrange(4)
            name = f"{made.get('id')}-m{number}"
            if kind == 0:
                drawing.add_line((x, y), (x + 6, y), made, id=name, lay=lay, **LINE)
            elif kind == 1:
                drawing.add("circle", made, id=name, cx=x, cy=y, r=1.5, lay=lay, **LINE)
            elif kind == 2:
                drawing.add_text("o\nx", x, y, made, id=name, font_size=5)
            else:
                drawing.add_path(f"M {x} {y} l 4 4 m 2 2 l 1e-6 0", made, id=name, lay=lay, **LINE)
    return sheet.done(*random.choice(([], ["--allowance", "10mm"])), is_known=False)


def _last_place(sheet: Sheet) -> tuple[float, float]:
    """Return where the last piece was put."""
    sheet._count -= 1
    return sheet.place()


def own_layers(random: Random) -> Drawn:
    """A drawing that has been laid out before, to be changed by hand by the runner."""
    sheet = Sheet(random)
    for _ in range(random.randrange(2, 5)):
        fold = random.random() < 0.3
        sheet.piece(points=half_on_fold(outline(random)) if fold else None, fold=fold)
    return sheet.done()


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


KINDS: Mapping[str, Kind] = {
    "plain pieces": plain_pieces,
    "fold halves": fold_halves,
    "nests of sizes": nests,
    "groups and clones": groups_and_clones,
    "transforms": transforms,
    "pages": pages,
    "odd path data": odd_paths,
    "arcs": arcs,
    "labels": labels,
    "broken lines": broken_lines,
    "materials": materials,
    "marks": marks,
    "own layers": own_layers,
    "stray numbers": stray_numbers,
    "hostile": hostile,
}
"""The kinds of drawing by name."""
