# SPDX-License-Identifier: GPL-2.0-or-later
"""Lines that lie on each other where they go over an edge: each goes on as itself."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from lxml import etree

from extension.operations.put_together import pages_options, put_together
from extension.svg.document import parse
from tests.helpers.paged import INKSCAPE, SVG, Paging, as_drawing, as_files, cut
from tests.helpers.sheets import CLOSE, lines_of, sheet_leaves
from tests.helpers.truths import Points, TrueLine, Truth, corner, farthest, shifted

LEAN = math.radians(17.0)
NEST: tuple[tuple[float, ...], ...] = ((8.0, 2.0), (1.0, 2.0), (3.0, 3.0), (5.0, 2.0, 1.0, 2.0))


def _leaning(points: Points) -> Points:
    cos, sin = math.cos(LEAN), math.sin(LEAN)
    return tuple((300.0 + x * cos - y * sin, 30.0 + x * sin + y * cos) for x, y in points)


def _halves(dashes: tuple[tuple[float, ...], ...]) -> list[TrueLine]:
    """Return halves of a piece in sizes, with the upper part of their fold edge in common."""
    return [
        TrueLine(
            _leaning(
                (
                    (0.0, -9.0 * n),
                    (0.0, 600.0 + 7.0 * n),
                    (150.0 + 9.0 * n, 600.0 + 7.0 * n),
                    (150.0 + 9.0 * n, 80.0 - 5.0 * n),
                    (80.0, -9.0 * n),
                )
            ),
            dashes=pattern,
        )
        for n, pattern in enumerate(dashes)
    ]


def _tiles(columns: int, rows: int) -> list[TrueLine]:
    """Return equal rectangles side by side, each drawn in full."""
    return [
        TrueLine(
            _leaning(
                tuple(
                    (130.0 * (column + u), 210.0 * (row + v))
                    for u, v in ((0, 0), (1, 0), (1, 1), (0, 1))
                )
            )
        )
        for row in range(rows)
        for column in range(columns)
    ]


def _opened(lines: list[TrueLine], first: int = 0) -> list[TrueLine]:
    """Return lines that end where they begin, as some writers draw closed ones."""
    begun = [(*one.points[first:], *one.points[: first + 1]) for one in lines]
    return [replace(one, points=p, closed=False) for one, p in zip(lines, begun, strict=True)]


def _beside_a_frame() -> list[TrueLine]:
    """Return a frame, and a rectangle that lies outside it with one side on one of its sides."""
    frame = ((0.0, 250.0), (190.0, 250.0), (190.0, 530.0), (0.0, 530.0))
    cuff = ((0.0, 50.0), (144.0, 50.0), (144.0, 320.0), (0.0, 320.0))
    return [TrueLine(_leaning(frame)), TrueLine(_leaning(cuff))]


SHEETS = {
    "a frame with a side on it": _beside_a_frame(),
    "the same, begun where they end": _opened(_beside_a_frame(), 2),
    "sizes by their dashes": _halves(NEST),
    "sizes by layers, drawn alike": _halves(((),) * 4),
    "sizes that begin where they end": _opened(_halves(((),) * 4)),
    "the same at the other end": [_opened(_halves(((),) * 4), 1)[n] for n in (1, 3, 0, 2)],
    "two frames": _tiles(2, 1),
    "frames in rows": _tiles(5, 4),
}


@pytest.mark.parametrize("drawn", SHEETS)
@pytest.mark.parametrize("clip", [True, False])
def test_lines_that_lie_on_each_other_over_an_edge_go_on_as_themselves(
    drawn: str, clip: bool
) -> None:
    truth = Truth(1000.0, 1100.0, tuple(SHEETS[drawn]))
    paging = Paging(clip=clip, frame="", numbers="cell", overlap=(10.0, 10.0))
    rows, columns = paging.grid(truth)
    known = pages_options(f"{rows}", f"{columns}", "10mm x 10mm")
    # Every second page draws its lines the other way round, so that no order tells them apart.
    turned = cut(replace(truth, lines=truth.lines[::-1]), paging)
    pages = [each[n % 2] for n, each in enumerate(zip(cut(truth, paging), turned, strict=True))]
    outcome = put_together([parse(as_drawing(pages, paging))], known)
    leaves = [leaf for leaf in sheet_leaves(outcome.drawing) if leaf.rings]
    assert all(ring.closed for leaf in leaves for ring in leaf.rings)
    everything = [ring.points for leaf in leaves for ring in leaf.rings]
    shift = corner([line.points for line in truth.lines]) - corner(everything)
    for dashes in {line.dashes for line in truth.lines}:
        pattern = ",".join(f"{dash:g}" for dash in dashes) or None
        true = [line.points for line in truth.lines if line.dashes == dashes]
        found = [
            ring.points
            for leaf in leaves
            for ring in leaf.rings
            if leaf.style.get("stroke-dasharray") in (pattern, pattern or "none")
        ]
        assert farthest(true, shifted(found, shift), closed=True) < CLOSE


def _on_layers(lines: list[TrueLine], words: str) -> Truth:
    """Return lines on a layer each, with the same words on all of these, as elements."""
    layers = []
    for n, line in enumerate(lines):
        label = {f"{{{INKSCAPE}}}groupmode": "layer", f"{{{INKSCAPE}}}label": f"Size {36 + 2 * n}"}
        layers.append(etree.Element(f"{{{SVG}}}g", label))
        data = "M " + " L ".join(f"{x},{y}" for x, y in line.points) + " Z"
        style = "fill:none;stroke:#000000;stroke-width:0.4"
        layers[-1].append(etree.Element(f"{{{SVG}}}path", {"d": data, "style": style}))
        text = etree.SubElement(layers[-1], f"{{{SVG}}}text", x="230", y="140")
        text.set("style", "font-size:5px;font-family:sans-serif")
        text.text = words
    return Truth(800.0, 900.0, tuple(lines), elements=tuple(layers))


@pytest.mark.parametrize("each", ["all at once", "a drawing for each page"])
def test_what_is_on_layers_named_by_size_stays_so(each: str) -> None:
    lines = _halves(((),) * 4)
    truth = _on_layers(lines, "Front cut 1")
    paging = Paging(frame="", numbers="cell", overlap=(10.0, 10.0))
    rows, columns = paging.grid(truth)
    known = pages_options(f"{rows}", f"{columns}", "10mm x 10mm")
    pages = cut(truth, paging)
    files = as_files(pages, paging) if each != "all at once" else [as_drawing(pages, paging)]
    leaves = sheet_leaves(put_together([parse(file) for file in files], known).drawing)
    shift = corner([line.points for line in lines]) - corner(lines_of(leaves))
    for n, line in enumerate(lines):
        size = f"Size {36 + 2 * n}"
        own = [leaf for leaf in leaves if leaf.rings and leaf.groups[-1].label == size]
        assert farthest([line.points], shifted(lines_of(own), shift), closed=True) < CLOSE
    # What all sizes say at one place is said once, of all of them.
    texts = [(leaf.text, leaf.groups[-1].label) for leaf in leaves if leaf.text]
    assert texts == [("Front cut 1", "Pattern sheet")]


def test_numbers_of_pages_are_no_sizes() -> None:
    """Layers called 1, 2, 3 hold a page each, and lines go on from one to the next."""
    truth = Truth(800.0, 900.0, tuple(_halves(((),))))
    paging = Paging(frame="", numbers="cell", overlap=(10.0, 10.0))
    rows, columns = paging.grid(truth)
    known = pages_options(f"{rows}", f"{columns}", "10mm x 10mm")
    drawing = as_drawing(cut(truth, paging), paging).replace(b'label="Page ', b'label="')
    assert b'label="2"' in drawing
    outcome = put_together([parse(drawing)], known)
    (leaf,) = [leaf for leaf in sheet_leaves(outcome.drawing) if leaf.rings]
    assert leaf.rings[0].closed
    assert leaf.groups[-1].label == "Pattern sheet"
