# SPDX-License-Identifier: GPL-2.0-or-later
"""Drawings for cloth that is more than a plain strip, with the words that lay-out is asked then.

Folded cloth, designs, borders, flaws, remnants, edges with an allowance of their own, and cloth of
a fixed length. Some of the words contradict each other or the drawing; then a sentence is due.
"""

from __future__ import annotations

from random import Random

import shapely

from tests.fuzzing.shapes import box, moved, outline, spelled
from tests.fuzzing.sheets import LINE, Drawn, Sheet, half_on_fold, last_place

SPREADS = (
    "open", "lengthwise", "depth", "depth=8cm", "depth=35cm", "twice", "twice=5cm,6cm",
    "crosswise", "compare", "main=lengthwise,lining=open",
)  # fmt: skip
REPEATS = ("along=8cm", "across=6cm", "along=8cm,across=6cm", "along=2cm,across=2cm", "along=64cm")
ODD_WORDS = (
    ["--spread", "twice=50cm,50cm"], ["--spread", "depth=0cm"], ["--spread", "sideways"],
    ["--repeat", "along=0cm"], ["--repeat", "8cm"], ["--repeat", "along=-3cm,across=1e300cm"],
    ["--border", "12cm,0cm"], ["--border", "0cm,900cm"], ["--border", "upper"],
    ["--flaw", "0cm,0cm,0cm,0cm"], ["--flaw", "1cm,2cm,3cm"], ["--flaw", "-9cm,2cm,1e9cm,4cm"],
    ["--cloth", "nowhere"], ["--cloth", "p0"], ["--fabric-length", "0cm"], ["--sides", "apart"],
    ["--first-line", "1e308mm"], ["--first-line", "3cm"], ["--half-drop"], ["--uneven"],
    ["--shrinkage-across", "99.9"], ["--shrinkage-across", "-4"], ["--shrinkage-across", "x"],
    ["--price", "1e308"], ["--price", "main=12.50,lining=6"], ["--shrinkage", "100"],
)  # fmt: skip
"""What is at the edge of sense, or beyond it."""


def cloth_words(random: Random) -> list[str]:
    """Return words that go with any drawing; now and then they are no sense."""
    words: list[str] = []
    if random.random() < 0.25:
        words += ["--shrinkage-across", random.choice(("0", "3", "12.5"))]
    if random.random() < 0.2:
        words += ["--fabric-length", random.choice(("12cm", "30cm", "1.2m", "1/2yd", "main=40cm"))]
    if random.random() < 0.2:
        words += random.choice((["--advice"], ["--advice", "yes"]))
    if random.random() < 0.15:
        words += random.choice(ODD_WORDS)
    return words


def folded_cloth(random: Random) -> Drawn:
    """Pairs, singles and halves on the fold, on cloth that is folded."""
    sheet = Sheet(random)
    for _ in range(random.randrange(2, 5)):
        lay = {"hand": "same"} if random.random() < 0.2 else {}
        if random.random() < 0.4:
            sheet.piece(
                points=half_on_fold(outline(random)), fold=True, grain=random.random() < 0.5
            )
        else:
            sheet.piece(**lay)
    words = ["--spread", random.choice(SPREADS)]
    if random.random() < 0.4:
        words += ["--sides", random.choice(("together", "apart"))]
    if random.random() < 0.3:
        words += ["--no-nap"]
    if random.random() < 0.15:
        words += ["--repeat", random.choice(REPEATS)]
    return sheet.done(*words, *cloth_words(random))


MATCHES = (
    "side", "side along", "side across", "centre on line", "centre between lines", "hem along",
    "sleeve", "side 2",
)  # fmt: skip
NO_MATCHES = ("", "along", "on line between lines", "⌘")


def designs(random: Random) -> Drawn:
    """Pieces with match points, on stripes and checks."""
    sheet = Sheet(random)
    for _ in range(random.randrange(1, 4)):
        fold = random.random() < 0.2
        points = half_on_fold(outline(random)) if fold else outline(random)
        made = sheet.piece(points=points, fold=fold)
        low_x, low_y, high_x, high_y = box(moved(points, *last_place(sheet)))
        for number in range(random.randrange(0, 3)):
            x, y = random.choice((low_x, high_x, (low_x + high_x) / 2)), (low_y + high_y) / 2
            lay = {"match": random.choice(NO_MATCHES if random.random() < 0.05 else MATCHES)}
            if random.random() < 0.7:
                lay["role"] = random.choice(("notch", "mark"))
            name = f"{made.get('id')}-m{number}"
            if random.random() < 0.5:
                sheet.drawing.add("circle", made, id=name, cx=x, cy=y, r=1.5, lay=lay, **LINE)
            else:
                sheet.drawing.add_line((x, y), (x + 4, y), made, id=name, lay=lay, **LINE)
    words = ["--repeat", random.choice(REPEATS)]
    for word, values in (
        ("--uneven", ("yes", "no")),
        ("--half-drop", ("yes", "no")),
        ("--first-line", ("0cm", "2.5cm", "1in", "99cm")),
        ("--spread", ("lengthwise", "compare")),
    ):
        if random.random() < 0.25:
            words += [word, random.choice(values)]
    return sheet.done(*words, *cloth_words(random))


def borders(random: Random) -> Drawn:
    """Pieces with an edge that lies on a border of the cloth."""
    sheet = Sheet(random)
    for _ in range(random.randrange(1, 4)):
        lay = {}
        if random.random() < 0.7:
            no_edge = random.random() < 0.05
            lay["border"] = random.choice(
                ("middle", "") if no_edge else ("hem", "top", "left", "right")
            )
            lay["turns"] = random.choice(("four-way", "free", "two-way"))
            if random.random() < 0.7:
                lay["turns-on-nap"] = "allow"
        fold = random.random() < 0.2
        points = half_on_fold(outline(random)) if fold else outline(random)
        sheet.piece(points=points, fold=fold, **lay)
    strip = random.choice(("0cm,4cm", "0cm,14cm", "2cm,6cm", "1in,3in"))
    border = random.choice((strip, f"lower {strip}", f"upper {strip}", f"both {strip}"))
    words = ["--border", border, *random.choice(([], ["--no-nap"], ["--spread", "lengthwise"]))]
    return sheet.done(*words, *cloth_words(random))


def flaws(random: Random) -> Drawn:
    """Cloth with flaws, and pieces of which some may lie over them."""
    sheet = Sheet(random)
    for _ in range(random.randrange(1, 4)):
        lay = {"hidden": random.choice(("yes", "yes", "no"))} if random.random() < 0.4 else {}
        sheet.piece(**lay)
    words: list[str] = []
    for _ in range(random.randrange(1, 4)):
        x, y = random.uniform(0, 25), random.uniform(0, 20)
        wide, high = random.uniform(0.2, 8), random.uniform(0.2, 8)
        words += ["--flaw", f"{x:.2f}cm,{y:.2f}cm,{wide:.2f}cm,{high:.2f}cm"]
    return sheet.done(*words, *cloth_words(random))


def remnants(random: Random) -> Drawn:
    """Shapes that say they are cloth, with holes and flaws, and pieces to be laid on them."""
    sheet = Sheet(random)
    for _ in range(random.randrange(1, 4)):
        sheet.piece(points=outline(random, 60), cut=random.choice((1, 2)))
    drawing, names = sheet.drawing, []
    for number in range(random.randrange(1, 3)):
        points = moved(outline(random, random.choice((40, 150, 400))), 20 + 450 * number, 380)
        low_x, low_y, high_x, high_y = box(points)
        data = spelled(random, points)
        if random.random() < 0.3:
            x, y = (low_x + high_x) / 2, (low_y + high_y) / 2
            data += f" M {x} {y} h 6 v 6 h -6 z"
        name = f"r{number}"
        lay = {"role": "cloth"}
        if random.random() < 0.5:
            lay["name"] = random.choice(("Remnant", "Blue twill", "Remnant"))
        if random.random() < 0.15:
            lay["cut"] = "1"
        drawing.add_path(data, id=name, lay=lay, **LINE)
        names.append(lay.get("name", name) if random.random() < 0.3 else name)
        if random.random() < 0.4:
            x, y = random.uniform(low_x - 5, high_x), random.uniform(low_y - 5, high_y)
            drawing.add_rect(x, y, 8, 5, id=f"{name}-f", lay={"role": "flaw"}, **LINE)
    words: list[str] = []
    for name in random.sample(names, random.randrange(1, len(names) + 1)):
        words += ["--cloth", name]
    if random.random() < 0.2:
        words = ["--select", *[node.get("id", "") for node in drawing.root if node.get("id")][:6]]
    return sheet.done(*words, *cloth_words(random))


def edges(random: Random) -> Drawn:
    """Outlines that get an allowance, and lines along them that say another one."""
    sheet = Sheet(random)
    for _ in range(random.randrange(1, 4)):
        fold = random.random() < 0.3
        points = half_on_fold(outline(random)) if fold else outline(random)
        made = sheet.piece(points=points, fold=fold, is_known=False)
        if random.random() < 0.3:
            made.set("{urn:thriftlay:1}allowance", random.choice(("1cm", "0cm", "20mm")))
        placed = moved(points, *last_place(sheet))
        for number in range(random.randrange(0, 3)):
            at = random.randrange(len(placed))
            one, two = placed[at], placed[(at + 1) % len(placed)]
            off = random.choice((0.0, 0.0, 0.3, 8.0))
            said = random.choice(("4cm", "0cm", "2.5cm", "1/2in"))
            if random.random() < 0.05:
                said = random.choice(("90cm", "-1cm", "", "wide"))
            lay = {"role": "edge", "allowance": said}
            ends = (one[0] + off, one[1]), (two[0] + off, two[1])
            name = f"{made.get('id')}-e{number}"
            sheet.drawing.add_line(*ends, made, id=name, lay=lay, **LINE)
    words = random.choice(([], ["--allowance", "10mm"], ["--allowance", "1.5cm"]))
    return sheet.done(*words, *cloth_words(random), is_known=False)


def home_pages(random: Random) -> Drawn:
    """Pages of a pattern to print at home: frames, numbers and lines that go on over the edges."""
    sheet = Sheet(random)
    drawing = sheet.drawing
    columns, rows = random.randrange(1, 4), random.randrange(1, 3)
    wide, high, gap = 180.0, 250.0, random.choice((0.0, 10.0, 25.0))
    is_frameless = random.random() < 0.1
    whole = moved(outline(random, 400), 30, 30)
    for row in range(rows):
        for column in range(columns):
            if random.random() < 0.03:
                continue
            x, y = column * (wide + gap), row * (high + gap)
            page = drawing.add_group(id=f"page{row}{column}")
            if not is_frameless:
                drawing.add_rect(x, y, wide, high, page, **LINE)
            if random.random() < 0.8:
                number = row * columns + column + 1
                text = random.choice(
                    (f"{number}", f"{chr(65 + row)}{column + 1}", f"Page {number}")
                )
                drawing.add_text(text, x + wide / 2, y + high / 2, page, font_size=8)
            shown = [(px - column * wide + x, py - row * high + y) for px, py in whole]
            clipped = _inside(shown, (x, y, x + wide, y + high))
            for number, run in enumerate(clipped):
                drawing.add_path(run, page, id=f"page{row}{column}-{number}", **LINE)
            if random.random() < 0.3:
                drawing.add_rect(x + 20, y + 20, 50, 50, page, lay={}, **LINE)
    return sheet.done("--no-grain", "lay", is_known=False)


def _inside(
    points: list[tuple[float, float]], frame: tuple[float, float, float, float]
) -> list[str]:
    """Return what of a closed line lies in a frame, as path data."""
    ring = shapely.LinearRing(points).intersection(shapely.box(*frame))
    lines = [one for one in getattr(ring, "geoms", [ring]) if one.length > 0]
    return ["M " + " L ".join(f"{x:.4f} {y:.4f}" for x, y in one.coords) for one in lines]
