# SPDX-License-Identifier: GPL-2.0-or-later
"""Kinds of drawing, each with what is known of the pieces in it.

A kind for each thing that has been trouble, or could be. Names and patterns are invented.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from random import Random

from tests.fuzzing.cloths import borders, designs, edges, flaws, folded_cloth, home_pages, remnants
from tests.fuzzing.odd_files import arcs, hostile, odd_paths, pages, stray_numbers, transforms
from tests.fuzzing.shapes import (
    area,
    box,
    moved,
    outline,
    spelled,
)
from tests.fuzzing.sheets import LINE, Drawn, Kind, Sheet, half_on_fold, last_place


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
        low_x, low_y, high_x, high_y = box(moved(points, *last_place(sheet)))
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


def own_layers(random: Random) -> Drawn:
    """A drawing that has been laid out before, to be changed by hand by the runner."""
    sheet = Sheet(random)
    for _ in range(random.randrange(2, 5)):
        fold = random.random() < 0.3
        sheet.piece(points=half_on_fold(outline(random)) if fold else None, fold=fold)
    return sheet.done()


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
    "folded cloth": folded_cloth,
    "designs": designs,
    "borders": borders,
    "flaws": flaws,
    "remnants": remnants,
    "edges": edges,
    "pages to print": home_pages,
}
"""The kinds of drawing by name."""
