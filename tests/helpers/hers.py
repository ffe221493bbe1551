# SPDX-License-Identifier: GPL-2.0-or-later
"""Drawings that hold all our layers at once, what a person puts on them, and what is hers of all.

Nothing here asks the program what is ours: what was put there by hand is noted as it is put.
"""

from __future__ import annotations

import copy
import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory

from lxml import etree

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.svg.document import parse, serialise
from nesting.model import OPEN
from tests.helpers.edited import Edited
from tests.helpers.folded_by_hand import LENGTHWISE, EditedFolded, with_a_single
from tests.helpers.layouts import no_time
from tests.helpers.places import PROJECT

SAMPLES = PROJECT / "sample_svgs"
LAY = "{urn:thriftlay:1}"
SVG = "{http://www.w3.org/2000/svg}"
HREF = "{http://www.w3.org/1999/xlink}href"
LAYERS = ("layout", "holds", "review", "table", "joined", "sheet")
"""Attributes of our layers and sublayers."""
DASHES = "M 0 0 h 40 M 50 0 h 50 v 40 M 100 50 v 50 h -50 M 40 100 h -40 v -50 M 0 40 v -40"
"""A square in strokes with gaps of 10 units."""


def call(*words: object) -> tuple[int, str]:
    """Run a command line; return its exit code and what it said."""
    out = io.StringIO()
    code = run([str(word) for word in words], Terminal(out, out), no_time)
    return code, out.getvalue()


BY_HAND: dict[str, Callable[[], bytes]] = {
    "garment": lambda: Edited().data,
    "garment, folded": lambda: EditedFolded(LENGTHWISE, OPEN, drawing=with_a_single()).data,
}
"""Layouts that no search has made: parts far from each other, and on folded cloth."""


@lru_cache(maxsize=5)
def full(name: str) -> bytes:
    """Return a drawing with broken lines joined, markings read, a layout, a table and a sheet.

    Broken lines and pages are there that nothing was done with yet. `name` is a sample's, or of
    `BY_HAND`. A part is held.
    """
    with TemporaryDirectory() as folder:
        file = Path(folder) / "drawing.svg"
        file.write_bytes(BY_HAND[name]() if name in BY_HAND else (SAMPLES / name).read_bytes())
        _with_broken_lines(file, "broken")
        steps: list[tuple[object, ...]] = [
            ("join-lines", file, "--tolerance", "15mm", "--select", "broken"),
            ("read-markings", file),
        ]
        if name not in BY_HAND:
            steps.append(
                ("lay-out", file, "--fabric-width", "140cm", "--rounds", "1", "--workers", "1")
            )
        steps.append(
            (
                "requirements",
                file,
                "--widths",
                "150cm",
                "--nap",
                "with",
                "--rounds",
                "1",
                "--workers",
                "1",
            )
        )
        for step in steps:
            _run_on(file, step)
        part = parts_of(parse(file).root)[0]
        _run_on(file, ("hold", file, "--select", part.get("id")))
        _run_on(file, ("check", file))
        _with_broken_lines(file, "broken-too")
        _with_pages(file, 1)
        _run_on(file, ("put-together", file, "--select", "page-1", "page-2"))
        _with_pages(file, 3)
        return file.read_bytes()


def _run_on(file: Path, words: tuple[object, ...]) -> None:
    """Run a command and put its drawing in the place of the file."""
    target = file.with_name("after.svg")
    code, said = call(*words, "--output", target)
    assert code in (0, 1), said
    target.replace(file)


def _with_broken_lines(file: Path, id_: str) -> None:
    """Draw a square in strokes on a drawing."""
    document = parse(file)
    (a, _, _), _ = document.page
    line = etree.SubElement(document.root, f"{SVG}path", id=id_, d=DASHES)
    away = -300 if id_ == "broken" else -600
    line.set("transform", f"scale({1 / a}) translate({away},-900)")
    line.set("style", "fill:none;stroke:#a03060;stroke-width:1")
    file.write_bytes(serialise(document))


def _with_pages(file: Path, first: int) -> None:
    """Draw two pages beside a drawing, with three lines that go on from one to the other."""
    document = parse(file)
    (a, _, _), _ = document.page
    for number in (0, 1):
        page = etree.SubElement(document.root, f"{SVG}g", id=f"page-{first + number}")
        place = f"translate({-4000 + 300 * number},{-900 - 400 * first})"
        page.set("transform", f"scale({1 / a}) {place}")
        paper = etree.SubElement(page, f"{SVG}rect", width="200", height="280")
        paper.set("style", "fill:#ffffff;stroke:none")
        for y, slope in ((60, 0.3), (130, -0.2), (210, 0.1)):
            start, end = (120, 200) if number == 0 else (0, 90)
            high = [y + slope * (x - (200 if number == 0 else 0)) for x in (start, end)]
            line = etree.SubElement(page, f"{SVG}path", d=f"M {start},{high[0]} L {end},{high[1]}")
            line.set("style", "fill:none;stroke:#204060;stroke-width:1")
    file.write_bytes(serialise(document))


# --- what a person does -------------------------------------------------------------------------


def ours(root: etree._Element) -> list[etree._Element]:
    """Return our layers and the groups of decoration on them."""
    return [
        one
        for one in root.iter(f"{SVG}g")
        if any(one.get(f"{LAY}{name}") is not None for name in (*LAYERS, "decoration", "sign"))
    ]


def notes(root: etree._Element) -> set[str]:
    """Put a text and an area, their ids like ours, into every layer and group of ours."""
    made = set()
    for number, place in enumerate(ours(root)):
        text = etree.SubElement(place, f"{SVG}text", id=f"thriftlay-1-item-{9000 + number}")
        text.text = "mind the flaw here"
        area = etree.Element(f"{SVG}rect", id=f"thriftlay-1-measures-{9000 + number}")
        for name in ("width", "height"):
            area.set(name, "300")
        place.insert(0, area)
        made |= {str(text.get("id")), str(area.get("id"))}
    return made


def clones(root: etree._Element) -> set[str]:
    """Put a clone of a part and one of a decoration into every layer of ours."""
    part = parts_of(root)[1]
    words = next(one for one in root.iter(f"{SVG}text") if one.get(f"{LAY}decoration"))
    made = set()
    for number, place in enumerate(_layers(root)):
        for of in (part, words):
            clone = etree.SubElement(
                place, f"{SVG}use", id=f"thriftlay-1-check-{number}-{of.tag[-1]}"
            )
            clone.set(HREF, f"#{of.get('id')}")
            clone.set("transform", "translate(5000,0)")
            made.add(str(clone.get("id")))
    return made


def raised(root: etree._Element) -> set[str]:
    """Put parts, and one that was ungrouped, into every layer of ours but that of the parts."""
    parts = parts_of(root)[1:-1]
    layers = [one for one in _layers(root) if one.get(f"{LAY}holds") != "parts"]
    for place, part in zip(layers, parts, strict=False):
        place.append(part)
    group, around = parts[0], parts[0].getparent()
    assert around is not None
    around.extend(list(group))
    around.remove(group)
    return set()


def copies(root: etree._Element) -> set[str]:
    """Duplicate every decoration, and write some texts of ours anew."""
    made: set[str] = set()
    decoration = [one for one in root.iter(f"{SVG}*") if one.get(f"{LAY}decoration")]
    leaves = [one for one in decoration if one.tag != f"{SVG}g"]
    for number, one in enumerate(leaves):
        twin = copy.deepcopy(one)
        for place, node in enumerate(twin.iter(etree.Element)):
            node.set("id", f"{one.get('id')}-{number}-{place}")
            made.add(str(node.get("id")))
        one.addnext(twin)
    for text in [one for one in leaves if one.tag == f"{SVG}text"][::3]:
        text[0].text = f"{text[0].text}, says Ada"
        made |= {str(node.get("id")) for node in text.iter(etree.Element)}
    return made


def grouped(root: etree._Element) -> set[str]:
    """Group what lies on our layers by twos, as it comes."""
    made = set()
    for number, place in enumerate(_layers(root)):
        if place.get(f"{LAY}layout") or len(place) < 2:
            continue
        group = etree.Element(f"{SVG}g", id=f"g{9000 + number}")
        pair = list(place)[:2]
        place.insert(0, group)
        group.extend(pair)
        made.add(str(group.get("id")))
    return made


EDITS: dict[str, Callable[[etree._Element], set[str]]] = {
    "nothing": lambda root: set(),
    "notes": notes,
    "clones": clones,
    "raised": raised,
    "copies": copies,
    "grouped": grouped,
}
"""What is done by hand; each returns the ids of what it made."""


def parts_of(root: etree._Element) -> list[etree._Element]:
    """Return the groups of the parts on the last layout."""
    layout = [one for one in root.iter(f"{SVG}g") if one.get(f"{LAY}layout")][-1]
    return [one for one in layout.iter(f"{SVG}g") if one.get(f"{LAY}of")]


def _layers(root: etree._Element) -> list[etree._Element]:
    """Return our layers and sublayers."""
    return [one for one in ours(root) if any(one.get(f"{LAY}{name}") for name in LAYERS)]


# --- what is hers -------------------------------------------------------------------------------


@dataclass(frozen=True)
class Thing:
    """An element as it was found: what it lies in, and which things of hers lie in it."""

    tag: str
    attributes: dict[str, str]
    text: str
    inside: str
    holds: tuple[str, ...]


def with_ids(root: etree._Element) -> None:
    """Give every element an id, so that it is known again."""
    for number, node in enumerate(root.iter(etree.Element)):
        if node.get("id") is None:
            node.set("id", f"unnamed-{number}")


def hers(root: etree._Element, made: set[str]) -> dict[str, Thing]:
    """Return all that is not decoration of ours, by id; `made` are ids of what is hers for sure."""
    nodes = {str(one.get("id")): one for one in root.iter(etree.Element)}
    own = {id_: one for id_, one in nodes.items() if id_ in made or not _is_decoration(one, made)}
    return {
        id_: Thing(
            str(one.tag),
            {str(name): str(value) for name, value in one.attrib.items()},
            (one.text or "").strip(),
            "" if (parent := one.getparent()) is None else str(parent.get("id")),
            tuple(str(x.get("id")) for x in one if str(x.get("id")) in own),
        )
        for id_, one in own.items()
    }


def _is_decoration(node: etree._Element, made: set[str]) -> bool:
    """Return whether an element is ours to draw anew, or the line of a text that is."""
    lines: Iterator[etree._Element] = iter((node, *node.iterancestors(f"{SVG}text")))
    return any(
        str(one.get("id")) not in made
        and (one.get(f"{LAY}sign") or one.get(f"{LAY}decoration", "part") != "part")
        for one in lines
    )
