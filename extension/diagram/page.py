# SPDX-License-Identifier: GPL-2.0-or-later
"""Cutting diagrams as one HTML page that needs no other file."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from html import escape

from extension.diagram.figure import LOOK, figure
from extension.diagram.paper import MARGIN, Leaf
from extension.diagram.section import Section, Table
from extension.language.cautions import SCALED_CAUTIONS

_NAMES = {"a4": "A4", "letter": "letter"}
"""What CSS calls the papers (CSS Paged Media Module Level 3, section 7.1)."""

_LAST = ' class="figure"'

_STYLE = """
html { color-scheme: light; }
body { font: 1rem/1.4 system-ui, sans-serif; color: #111; background: #fff; margin: 1rem; }
h1 { font-size: 1.4rem; line-height: 1.2; margin: 0 0 1mm; }
h2 { font-size: 1.1rem; margin: 4mm 0 1mm; break-after: avoid; }
p { margin: 0 0 1mm; } h2 + p { break-after: avoid; } figure { margin: 0 0 1mm; }
figure, .across { overflow-x: auto; } .across { padding-right: 0.4mm; }
table { border-collapse: collapse; }
thead { display: table-header-group; }
th, td { border: 0.2mm solid #777; padding: 0.6mm 2mm; text-align: left; vertical-align: top; }
tr, figure, .cautions { break-inside: avoid; }
th.figure { width: 25mm; } td.tick { text-align: center; }
input { appearance: none; width: 3.6mm; height: 3.6mm; border: 0.3mm solid #111; margin: 0; }
input:checked { background: #111; }
td.figure { text-align: right; font-variant-numeric: tabular-nums; }
.cautions { border: 0.4mm solid #111; padding: 1mm 3mm; margin: 0 1mm 0 0; }
.cautions h2 { margin-top: 0; }
section + section { margin-top: 3rem; }
svg { display: block; font-family: system-ui, sans-serif; }
@media print {
  html { font-size: 10.2pt; } body { margin: 0; } table { font-size: 1rem; }
  .leaf + .leaf, section, .tables { break-before: page; } .leaf { break-inside: avoid; }
  section:first-of-type { break-before: auto; }
  section + section { margin-top: 0; }
  figure, .across { overflow: visible; }
  .cloth, .double, .up, .down, .other, .flaw {
    print-color-adjust: exact; -webkit-print-color-adjust: exact; }
}
"""


def page(sections: Sequence[Section]) -> str:
    """Return the page of some layouts; it is well-formed XML as well as HTML."""
    first = sections[0]
    return "\n".join(
        [
            '<!DOCTYPE html>\n<html lang="en" xmlns="http://www.w3.org/1999/xhtml">\n<head>',
            '<meta charset="utf-8" />',
            '<meta name="viewport" content="width=device-width, initial-scale=1" />',
            f"<title>{escape(first.title)}</title>",
            f"<style>{_papers([section.leaf for section in sections])}{_STYLE}{LOOK}</style>",
            "</head>\n<body>\n<main>",
            *(_section(section, f"layout{n}") for n, section in enumerate(sections, start=1)),
            "</main>\n</body>\n</html>\n",
        ]
    )


def _papers(leaves: Sequence[Leaf]) -> str:
    """Return the rules that say on what every layout is printed.

    The first one's paper is also that of browsers that know of one kind alone.
    """
    rules = [f"@page {{ size: {_css(leaves[0])}; margin: {MARGIN:g}mm; }}"]
    for leaf in {_css(leaf): leaf for leaf in leaves}.values():
        rules.append(f"@page {leaf.standing} {{ size: {_css(leaf)}; }}")
        rules.append(f".{leaf.standing} {{ page: {leaf.standing}; }}")
    return "\n".join(rules)


def _css(leaf: Leaf) -> str:
    """Return a paper as CSS has it."""
    return f"{_NAMES[leaf.paper]} {leaf.standing}"


def _section(section: Section, name: str) -> str:
    """Return one layout: the picture on its own leaf of paper, the tables on the next."""
    lines = (*section.cautions, *SCALED_CAUTIONS)
    cautions = "".join(f"<p>{escape(line)}</p>" for line in lines)
    tables = "".join(
        _table(table, f"{name}-table{n}") for n, table in enumerate(section.tables, start=1)
    )
    return "\n".join(
        [
            f'<section class="{section.leaf.standing}" aria-labelledby="{name}">',
            f'<h1 id="{name}">{escape(section.title)}</h1>',
            f"<p>{escape(section.about)}</p>",
            f"<p><strong>{escape(section.bought)}</strong>, {escape(section.cloth)}</p>",
            f"<p><strong>{escape(section.lacking)}</strong></p>" if section.lacking else "",
            *_leaves(section, name),
            # Above the tables: behind them it may stand alone on a last page.
            '<div class="tables">'
            f'<div class="cautions"><h2>Before you cut</h2>{cautions}</div>{tables}</div>',
            "</section>",
        ]
    )


def _leaves(section: Section, name: str) -> Iterator[str]:
    """Yield the pictures, leaf by leaf of paper, each with what the signs mean."""
    numbers, count = itertools.count(1), len(section.leaves)
    for leaf, pictures in enumerate(section.leaves, start=1):
        goes_on = f"<p>{escape(section.title)} – {leaf} of {count}</p>" if leaf > 1 else ""
        # What scrolls must be reachable by keyboard.
        shown = "".join(
            f'<figure tabindex="0">{figure(picture, f"{name}-{next(numbers)}", section.title)}'
            "</figure>"
            for picture in pictures
        )
        yield f'<div class="leaf">{goes_on}{shown}<p>{escape(section.notes)}</p></div>'


def _table(table: Table, name: str) -> str:
    """Return a table under its heading."""
    plain = len(table.head) - table.figures
    heads = "".join(
        f'<th scope="col"{_LAST if place >= plain else ""}>{escape(text)}</th>'
        for place, text in enumerate(table.head)
    )
    heads += f'<th scope="col">{escape(table.ticked)}</th>' if table.ticked else ""
    rows = "\n".join(_row(row, table) for row in table.rows)
    note = f"<p>{escape(table.note)}</p>\n" if table.note else ""
    return (
        f'<h2 id="{name}">{escape(table.title)}</h2>\n{note}'
        f'<div class="across" role="region" aria-labelledby="{name}" tabindex="0">\n'
        f"<table><thead><tr>{heads}</tr></thead><tbody>\n{rows}\n</tbody></table>\n</div>\n"
    )


def _row(cells: Sequence[str], table: Table) -> str:
    """Return a row of a table; its figures are set to the right, its box to tick is a real one."""
    plain = len(cells) - table.figures
    made = [f"<td>{escape(cell)}</td>" for cell in cells[:plain]]
    made += [f"<td{_LAST}>{escape(cell)}</td>" for cell in cells[plain:]]
    if table.ticked:
        name = escape(f"{table.ticked}: {' '.join(cells[:2])}", quote=True)
        made.append(f'<td class="tick"><input type="checkbox" aria-label="{name}" /></td>')
    return f"<tr>{''.join(made)}</tr>"
