# SPDX-License-Identifier: GPL-2.0-or-later
"""Cutting diagrams as one HTML page that needs no other file."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Literal, get_args

from extension.checking.check_layout import Checked, examined
from extension.checking.layers import chosen_layers
from extension.diagram.figure import Cloth, figure, scale_for
from extension.diagram.places import Place, ends_text, places, tape_text
from extension.document import Document
from extension.leaves import read_leaves
from extension.rounding import purchase_text, small_text
from extension.summary import CAUTIONS

Paper = Literal["a4", "letter"]
PAPERS: tuple[Paper, ...] = get_args(Paper)
SCALES: dict[str, float | None] = {"fit": None, "1:10": 10.0, "1:20": 20.0}
_SHEETS: dict[Paper, tuple[str, float, float]] = {
    "a4": ("A4", 297.0, 210.0),
    "letter": ("letter", 279.4, 215.9),
}
"""Name in CSS, width and height lying, mm: ISO 216, and ANSI/ASME Y14.1 size A."""
_MARGIN, _HEAD = 12.0, 44.0
"""mm: border of the paper, and what heading and notes take beside the picture."""

_STYLE = """
@page { size: %s landscape; margin: 12mm; }
body { font: 11pt/1.4 system-ui, sans-serif; color: #111; background: #fff; margin: 1rem; }
h1 { font-size: 15pt; margin: 0 0 1mm; } h2 { font-size: 12pt; margin: 4mm 0 1mm; }
p { margin: 0 0 1mm; } figure { margin: 0; overflow-x: auto; }
table { border-collapse: collapse; font-size: 10pt; max-width: 99%%; }
thead { display: table-header-group; }
th, td { border: 0.2mm solid #777; padding: 0.6mm 2mm; text-align: left; vertical-align: top; }
tr, figure, .cautions { break-inside: avoid; }
td.figure { text-align: right; font-variant-numeric: tabular-nums; }
.cautions { border: 0.4mm solid #111; padding: 1mm 3mm; margin-top: 4mm; }
.tables { break-before: page; } .next { break-before: page; }
svg { font-family: system-ui, sans-serif; }
svg text { text-anchor: middle; fill: #111; }
.cloth { fill: #fbf6ea; stroke: #777; stroke-width: 0.2; }
.line, .grain { fill: none; stroke: #444; stroke-width: 0.25; } .grain { stroke-width: 0.18; }
.up, .down { stroke: #111; stroke-width: 0.35; stroke-linejoin: round; }
.up { fill: #fff; } .down { fill: #cfcfcf; }
.on-up, .on-down { paint-order: stroke; stroke-width: 0.3em; stroke-linejoin: round; }
.on-up { stroke: #fff; } .on-down { stroke: #cfcfcf; }
@media print { body { margin: 0; } figure { overflow: visible; }
.cloth, .up, .down { print-color-adjust: exact; -webkit-print-color-adjust: exact; } }
"""


def diagram(document: Document, layouts: Sequence[str], paper: Paper, scale: str) -> str:
    """Return the page of the layouts of a drawing; `layouts` are ids, none stands for all.

    Raises DrawingError when there is no such layout or one breaks a rule, and OptionError when a
    layout does not fit on the paper at the scale (one of `SCALES`).
    """
    leaves = read_leaves(document, include_layouts=True)
    layers = chosen_layers(document, layouts)
    bodies = [
        _section(examined(document, leaves, layer), f"layout{count}", paper, scale)
        for count, layer in enumerate(layers, start=1)
    ]
    return "\n".join(
        [
            '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8"/>',
            '<meta name="viewport" content="width=device-width, initial-scale=1"/>',
            f"<title>Cutting diagram: {escape(layers[0].label or layers[0].id)}</title>",
            f"<style>{_STYLE % _SHEETS[paper][0]}</style>\n</head>\n<body>",
            *bodies,
            "</body>\n</html>\n",
        ]
    )


def _section(checked: Checked, name: str, paper: Paper, scale: str) -> str:
    """Return one layout: the picture on its own sheet of paper, the tables on the next."""
    options, laid = checked.layer.options, places(checked)
    _, across, along = _SHEETS[paper]
    room = (across - 2.0 * _MARGIN, along - 2.0 * _MARGIN - _HEAD)
    length = checked.situation.length
    bought = options.bought(length)
    width = checked.situation.frame.width
    cloth = Cloth(max(bought.length, length), width, options.nap, options.system)
    size = scale_for(cloth, room, SCALES[scale])
    title = f"Cutting diagram: {checked.layer.label or checked.layer.id}"
    unit = "cm" if options.system == "metric" else "in"
    start = ' class="next"' if name != "layout1" else ""
    return "\n".join(
        [
            f"<section{start}>\n<h1>{escape(title)}</h1>",
            f"<p><strong>{escape(purchase_text(bought))}</strong>, {escape(options.material)}, "
            f"{small_text(width, options.system)} between the selvedges. "
            "Single layer, cloth open, right side up.</p>",
            f"<figure>{figure(laid, cloth, size, name, title)}</figure>",
            f"<p>White: printed side up. Shaded: printed side down. * Open out before laying. "
            f"Scale 1:{1.0 / size:.3g}. Distances in {unit}; “selvedge” is the lower one, to the "
            "grainline. Arrows point to the top of the piece.</p>",
            f'<div class="tables">{_legend(laid)}{_placing(laid, cloth, unit)}</div>',
            f'<div class="cautions"><h2>Before you cut</h2>{_paragraphs()}</div>\n</section>',
        ]
    )


def _paragraphs() -> str:
    """Return the cautions."""
    return "".join(f"<p>{escape(line)}</p>" for line in CAUTIONS)


def _legend(laid: Sequence[Place]) -> str:
    """Return the table of the pieces."""
    rows = []
    for cut in dict.fromkeys(place.cut for place in laid):
        own = [place for place in laid if place.cut is cut]
        drawn = cut.drawn
        count = f"{len(own)}, opened out" if drawn.fold else f"{len(own)}"
        number = own[0].number.partition("-")[0]
        cells = (number, drawn.name or drawn.id, drawn.size or "", count, cut.demand.material)
        rows.append(_row(cells))
    return _table("Pieces", ("number", "piece", "size", "cut", "material"), rows)


def _placing(laid: Sequence[Place], cloth: Cloth, unit: str) -> str:
    """Return the placing table, in cutting order."""
    head = (
        "number",
        "piece",
        "lay",
        f"cut end to leading edge, {unit}",
        f"lower selvedge to the ends of the grainline, {unit}",
    )
    rows = [
        _row(
            (
                place.number,
                place.cut.title,
                place.side + (", opened out" if place.is_opened else ""),
                tape_text(place.leading, cloth.system),
                ends_text(place, cloth.system),
            ),
            figures=2,
        )
        for place in laid
    ]
    return _table("Placing table, in cutting order", head, rows)


def _row(cells: Sequence[str], figures: int = 0) -> str:
    """Return a row; its last `figures` cells are set to the right."""
    plain = len(cells) - figures
    made = [f"<td>{escape(cell)}</td>" for cell in cells[:plain]]
    made += [f'<td class="figure">{escape(cell)}</td>' for cell in cells[plain:]]
    return f"<tr>{''.join(made)}</tr>"


def _table(title: str, head: Sequence[str], rows: Sequence[str]) -> str:
    """Return a table under its heading."""
    heads = "".join(f'<th scope="col">{escape(text)}</th>' for text in head)
    body = "\n".join(rows)
    return (
        f"<h2>{escape(title)}</h2>\n<table><thead><tr>{heads}</tr></thead>"
        f"<tbody>\n{body}\n</tbody></table>\n"
    )
