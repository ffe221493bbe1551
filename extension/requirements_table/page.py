# SPDX-License-Identifier: GPL-2.0-or-later
"""The table as a web page of its own: to be read, printed, and put beside a pattern.

It needs nothing but itself, prints on A4 and Letter in black and white, and stays readable when
it is enlarged. It is well-formed XML as well as HTML, so that any tool can read it.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from html import escape

from extension.language.cautions import CAUTIONS
from extension.language.decimals import written
from extension.language.rounding import length_text
from extension.requirements_table.block import block_of
from extension.requirements_table.groups import Group, groups_of
from extension.requirements_table.matching import (
    PLAIN,
    WITH_DESIGN,
    Column,
    cloth_text,
    columns_of,
    has_design,
    more_text,
)
from extension.requirements_table.merging import shown
from extension.requirements_table.options import Width
from extension.requirements_table.prices import cost_text
from extension.requirements_table.publisher import FOR_PUBLISHER, publisher_notes
from extension.requirements_table.sentences import (
    NOTHING,
    bracket_text,
    jump_texts,
    lengths_text,
    lies_text,
    marks_text,
    material_title,
    notes,
    pattern_notes,
    rough_notes,
    usable_text,
    width_text,
)
from extension.requirements_table.sizes import SizeSet
from extension.requirements_table.table import Entry, Table

LEAD = "Lengths of cloth to buy, by size and width."
_PAPERS = {"a4": "A4", "letter": "letter"}
"""What CSS calls the papers (CSS Paged Media Module Level 3, section 7.1)."""
_OPTION, _NO_BREAK = re.compile(r"--[a-z]+"), r'<span class="own">\g<0></span>'
_UNIT, _WITH_IT = re.compile(r"(?<=\d) (?=(?:mm|cm|m|yd|in|%)(?:\W|$))"), "\u00a0"
"""Between a number and its unit no line ends."""
WHOLE = 12
"""Rows of a table, headings among them, that are printed on one page."""
ACROSS = 6
"""Columns beside each other; more go into a further table, so that a page holds them."""

_PAGE = """<!DOCTYPE html>
<html lang="en" xmlns="http://www.w3.org/1999/xhtml">
<head>
<meta charset="utf-8" />
<meta name="viewport" content="width=device-width, initial-scale=1" />
<title>{title}</title>
<style>
html {{ color-scheme: light; }}
body {{ font: 1rem/1.45 system-ui, sans-serif; color: #1a1a1a; background: #fff;
  max-width: 52rem; margin: 1.5rem auto; padding: 0 1rem; }}
h1 {{ font-size: 1.6rem; line-height: 1.2; margin: 0 0 .3rem; }}
h2 {{ font-size: 1.2rem; margin: 1.6rem 0 .4rem; break-after: avoid; }}
.lead {{ margin: 0 0 1rem; }}
.across {{ overflow-x: auto; margin-bottom: 1.2rem; }}
@media screen {{ .across {{ /* a shadow at an edge beyond which there is more */
  background: linear-gradient(to right, #fff 40%, #fff0) 0 0 / 3rem 100% no-repeat local,
    linear-gradient(to left, #fff 40%, #fff0) 100% 0 / 3rem 100% no-repeat local,
    linear-gradient(to right, #0004, #0000) 0 0 / .9rem 100% no-repeat scroll,
    linear-gradient(to left, #0004, #0000) 100% 0 / .9rem 100% no-repeat scroll; }}
  th[scope="row"], thead tr:first-child th:first-child {{ position: sticky; left: 0;
    background: #fff; box-shadow: inset -1px 0 #b9b2a3; }}
  th[scope="rowgroup"] span, caption span {{ position: sticky; left: .3rem; }} }}
table {{ border-collapse: collapse; min-width: min(100%, 26rem);
  font-variant-numeric: tabular-nums; }}
caption {{ text-align: left; padding-bottom: .4rem; }}
th, td {{ border-bottom: 1px solid #b9b2a3; padding: .35rem .6rem; text-align: right;
  vertical-align: top; }}
td, thead th {{ min-width: 4.6rem; }}
sup {{ line-height: 0; }}
thead th {{ border-bottom: 2px solid #1a1a1a; }}
thead th.kind {{ font-weight: 400; font-size: .85em; }}
thead th[colspan] {{ border-bottom-width: 1px; text-align: center; }}
thead th[colspan], .begins {{ border-left: 1px solid #b9b2a3; }}
th:first-child, thead th:first-child {{ text-align: left; }}
thead th.kind {{ text-align: right; }}
tbody th[scope="row"] {{ font-weight: 600; }}
th[scope="rowgroup"] {{ background: #f4efe4; font-weight: 600; print-color-adjust: exact; }}
.other {{ display: block; font-size: .85em; font-weight: 400; color: #4a4a4a;
  white-space: nowrap; }}
.own {{ white-space: nowrap; }}
ul {{ padding-left: 1.2rem; margin: .3rem 0; }}
li {{ margin: .2rem 0; }}
.caution {{ border-left: 4px solid #8a7a5c; padding-left: 1rem; break-inside: avoid; }}
.small {{ font-size: .85rem; color: #4a4a4a; }}
.small h2 {{ font-size: 1rem; }}
pre {{ white-space: pre-wrap; tab-size: 12; border: 1px solid #b9b2a3; padding: .6rem; }}
thead {{ display: table-header-group; }}
tr, li, footer, .whole {{ break-inside: avoid; }}
caption, thead, tbody tr:first-child {{ break-after: avoid; }}
ul {{ break-before: avoid; break-inside: avoid; }}
@page {{ size: {paper} portrait; margin: 15mm; }}
@media (max-width: 30rem) {{
  body {{ padding: 0 .6rem; }} table {{ font-size: .92rem; }}
  th, td {{ padding: .35rem .3rem; }} td, thead th {{ min-width: 3.6rem; }}
  thead .own {{ white-space: normal; }}
}}
@media print {{
  body {{ max-width: none; margin: 0; padding: 0; font-size: 10.5pt; }}
  .across {{ overflow: visible; }}
  details {{ display: none; }}
}}
</style>
</head>
<body>
<main>
<h1>{heading}</h1>
<p class="lead">{lead}</p>
{tables}
<h2>How to read the table</h2>
{notes}
{jumps}
<h2>The pattern</h2>
{pattern}
<section class="caution" aria-labelledby="before">
<h2 id="before">Before you cut</h2>
{cautions}
</section>
<footer class="small" aria-labelledby="publisher">
<h2 id="publisher">{for_publisher}</h2>
{publisher}
</footer>
<details>
<summary>Text for the envelope</summary>
<p>To copy and paste; a tab stands between two columns.</p>
<pre tabindex="0">{block}</pre>
</details>
{figures}
</main>
</body>
</html>
"""


def page_of(table: Table) -> str:
    """Return the page of a table."""
    title = f"Fabric requirements: {table.title}" if table.title else "Fabric requirements"
    said_before = (lies_text(table), *rough_notes(table))
    tables = (
        _material(table, material, f"material-{number}")
        for number, material in enumerate(table.materials, start=1)
    )
    parts = {
        "lead": escape(" ".join((LEAD, *said_before))),
        "tables": "\n".join(tables),
        "notes": _list(line for line in notes(table) if line not in said_before),
        "jumps": _jumps(table),
        "pattern": _list(pattern_notes(table)),
        "cautions": "\n".join(f"<p>{escape(line)}</p>" for line in CAUTIONS),
        "block": escape(block_of(table)),
        "figures": _figures(table),
        "for_publisher": FOR_PUBLISHER,
        "publisher": "\n".join(map(_publisher, publisher_notes(table))),
    }
    numbers = {name: written(part, table.options.locale) for name, part in parts.items()}
    paper = _PAPERS[table.options.paper]
    heading = escape(title)
    return _PAGE.format(title=heading, heading=heading, paper=paper, **numbers)


def _list(lines: Iterable[str]) -> str:
    items = "\n".join(f"<li>{_UNIT.sub(_WITH_IT, escape(line))}</li>" for line in lines)
    return f"<ul>\n{items}\n</ul>"


def _publisher(line: str) -> str:
    """Return a paragraph in which no option is broken behind its hyphens."""
    return f"<p>{_OPTION.sub(_NO_BREAK, escape(line))}</p>"


def _jumps(table: Table) -> str:
    if not table.jumps:
        return ""
    return f"<h2>Where the length jumps</h2>\n{_list(jump_texts(table))}"


def _material(table: Table, material: str, name: str) -> str:
    """Return the section of one material: a table for every few widths."""
    entries = shown(table, material)
    columns = columns_of(entries)
    parts = [columns[start : start + ACROSS] for start in range(0, len(columns), ACROSS)]
    tables = "\n".join(
        _table(table, entries, part, (name, f"{name}-{number}"), more=number > 1)
        for number, part in enumerate(parts, start=1)
    )
    heading = f'<h2 id="{name}">{escape(material_title(material))}</h2>'
    return f"<section>\n{heading}\n{tables}\n</section>"


def _table(
    table: Table,
    entries: Sequence[Entry],
    columns: Sequence[Column],
    names: tuple[str, str],
    *,
    more: bool,
) -> str:
    """Return one table of some columns: a group of rows with nap, one without.

    `names` are the ids of the heading above it and of its caption.
    """
    caption = f"Lengths to buy{', more widths' if more else ''}"
    every = groups_of(entries, table.options)
    groups = "\n".join(_group(one, columns) for one in every)
    # What a page holds is not broken.
    is_short = sum(1 + len(group.rows) for group in every) <= WHOLE
    kind = "across whole" if is_short else "across"
    # A region that scrolls must be reachable by keyboard, and say what it is.
    return (
        f'<div class="{kind}" role="region" aria-labelledby="{" ".join(names)}" '
        f'tabindex="0">\n<table>\n<caption id="{names[1]}"><span>{escape(caption)}</span>'
        "</caption>\n"
        f"<thead>\n{_heads(table, columns)}\n</thead>\n{groups}\n"
        "</table>\n</div>"
    )


def _heads(table: Table, columns: Sequence[Column]) -> str:
    """Return the head: the widths, and below them plain or with the design where they have one."""
    if not any(column.has_design for column in columns):
        heads = "".join(_width_head(table, column.width, 1) for column in columns)
        return f'<tr><th scope="col">Size</th>{heads}</tr>'
    counts = Counter(column.width for column in columns)
    heads = "".join(_width_head(table, width, count) for width, count in counts.items())
    kinds = "".join(
        f'<th scope="col" class="kind">{WITH_DESIGN}</th>'
        if column.has_design
        else f'<th scope="col" class="kind begins">{PLAIN}</th>'
        for column in columns
    )
    return f'<tr><th scope="col" rowspan="2">Size</th>{heads}</tr>\n<tr>{kinds}</tr>'


def _width_head(table: Table, width: Width, span: int) -> str:
    usable = escape(bracket_text(width, table.options))
    over = 'scope="col"' if span == 1 else f'scope="colgroup" colspan="{span}"'
    return (
        f'<th {over}><span class="own">{escape(width_text(width))}</span> '
        f'<span class="other">{usable}</span></th>'
    )


def _group(group: Group, columns: Sequence[Column]) -> str:
    """Return a group of rows under its heading."""
    grouped = any(column.has_design for column in columns)
    lines = "\n".join(
        _row(row, [(group.entry(row, one), grouped and not one.has_design) for one in columns])
        for row in group.rows
    )
    over = f'scope="rowgroup" colspan="{len(columns) + 1}"'
    head = f"<tr><th {over}><span>{group.title}</span></th></tr>"
    return f"<tbody>\n{head}\n{lines}\n</tbody>"


def _row(row: SizeSet, entries: Sequence[tuple[Entry | None, bool]]) -> str:
    """Return a row; with each entry comes whether its width begins a group of columns."""
    cells = "".join(
        f'<td class="begins">{_length(entry)}</td>' if begins else f"<td>{_length(entry)}</td>"
        for entry, begins in entries
    )
    return f'<tr><th scope="row">{escape(row.title)}</th>{cells}</tr>'


def _length(entry: Entry | None) -> str:
    """Return what stands in a cell: both lengths and their marks, and the cost where known."""
    if entry is None:
        return NOTHING
    own, other = lengths_text(entry)
    marks = f"<sup>{marks_text(entry)}</sup>" if marks_text(entry) else ""
    below = (other, cost_text(entry))
    more = "".join(f' <span class="other">{escape(line)}</span>' for line in below if line)
    return f'<span class="own">{escape(own)}{marks}</span>{more}'


def _figures(table: Table) -> str:
    """Return every length with what is behind it, folded away until it is asked for."""
    names = ("Size", "Fabric", "Width", "Usable", "Nap", "Cloth lies", "Needed", "Cloth used")
    matched = ("Design", "Matching takes more") if has_design(table) else ()
    heads = "".join(f'<th scope="col">{head}</th>' for head in (*names, *matched))
    rows = "\n".join(_figures_row(table, entry) for entry in table.every if entry.layout)
    return (
        "<details>\n<summary>Every length in figures</summary>\n"
        '<div class="across" role="region" aria-labelledby="figures" tabindex="0">\n<table>\n'
        '<caption id="figures">What each layout needs by itself, nothing added.'
        f"</caption>\n<thead>\n<tr>{heads}</tr>\n</thead>\n<tbody>\n{rows}\n</tbody>\n</table>\n"
        "</div>\n</details>"
    )


def _figures_row(table: Table, entry: Entry) -> str:
    cell, layout = entry.cell, entry.layout
    assert layout is not None
    words = (
        cell.material,
        width_text(cell.width),
        usable_text(cell.width, table.options),
        "with" if cell.nap else "without",
        cell.spread,
        length_text(layout.length, cell.width.system),
        f"{layout.utilisation:.1%}",
        *((cloth_text(table, cell), more_text(table, entry)) if has_design(table) else ()),
    )
    cells = "".join(f"<td>{escape(word)}</td>" for word in words)
    return f'<tr><th scope="row">{escape(cell.sizes.title)}</th>{cells}</tr>'
