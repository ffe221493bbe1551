# SPDX-License-Identifier: GPL-2.0-or-later
"""Changes how a drawing is written without changing what it shows.

Texts split into words or letters as PDF imports give them, elements in another order, everything
inside transformed groups: what is read of it must stay the same.
"""

from __future__ import annotations

import random
from typing import Literal

from lxml import etree

from extension.drawn.frames import transform_text
from extension.svg.document import Document
from extension.svg.leaves import read_leaves
from extension.svg.letters import NARROW, letter_width
from extension.svg.styles import Styles, inherit
from extension.svg.texts import placed_runs
from extension.svg.transforms import inverse, multiply, parse_transform

Way = Literal["words", "letters", "x list"]
SVG = "{http://www.w3.org/2000/svg}"


def split_texts(document: Document, way: Way) -> None:
    """Replace every text by one for each word or letter, or by runs with a place per letter."""
    styles = Styles(document.root)
    for leaf in read_leaves(document):
        parent = leaf.element.getparent()
        if not leaf.text or parent is None:
            continue
        runs = placed_runs(
            leaf.element,
            lambda node, style: inherit(styles.own(node), style),
            leaf.style,
            document.viewport,
        )
        for run in runs:
            if not run.text.strip():
                continue
            share = {"middle": 0.5, "end": 1.0}.get(run.anchor, 0.0)
            places = [run.x]
            for letter in run.text:
                places.append(places[-1] + NARROW * letter_width(letter) * run.size)
            moved = [x - share * (places[-1] - places[0]) for x in places]
            for text, at in _parts(run.text, moved, way):
                made = etree.SubElement(parent, f"{SVG}text")
                made.set("style", f"font-size:{run.size}px")
                if leaf.element.get("transform"):
                    made.set("transform", leaf.element.get("transform", ""))
                span = etree.SubElement(made, f"{SVG}tspan")
                span.set("x", " ".join(f"{x:.3f}" for x in at))
                span.set("y", f"{run.y:.3f}")
                span.text = text
        parent.remove(leaf.element)


def _parts(text: str, places: list[float], way: Way) -> list[tuple[str, list[float]]]:
    if way == "x list":
        kept = [(letter, x) for letter, x in zip(text, places, strict=False) if letter != " "]
        return [("".join(letter for letter, _ in kept), [x for _, x in kept])]
    if way == "letters":
        return [(letter, [x]) for letter, x in zip(text, places, strict=False) if letter != " "]
    found, start = [], 0
    for word in text.split(" "):
        if word:
            found.append((word, [places[start]]))
        start += len(word) + 1
    return found


def shuffled(document: Document, seed: int) -> None:
    """Put the drawn elements of every group in another order."""
    chance = random.Random(seed)
    for group in [document.root, *document.root.iter(f"{SVG}g")]:
        drawn = [child for child in group if child.tag != f"{SVG}defs"]
        for child in drawn:
            group.remove(child)
        chance.shuffle(drawn)
        group.extend(drawn)


def nested(document: Document, transform: str) -> None:
    """Put every drawn element into a transformed group, and undo that on the element itself."""
    matrix = parse_transform(transform)
    back = inverse(matrix)
    for child in list(document.root):
        if not isinstance(child.tag, str) or child.tag in (f"{SVG}defs", f"{SVG}metadata"):
            continue
        if child.tag == f"{SVG}g":
            own = parse_transform(child.get("transform"))
            child.set("transform", transform_text(multiply(back, own)))
            group = etree.Element(f"{SVG}g")
            group.set("transform", transform)
            child.addprevious(group)
            group.append(child)
