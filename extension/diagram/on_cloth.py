# SPDX-License-Identifier: GPL-2.0-or-later
"""What the cloth itself shows, in full size: borders, the lines of its repeat, flaws.

On white, to be told apart by the kind of line alone; lengths in mm from the upper corner of the
cloth at its cut end, y down.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely
from lxml import etree

from extension.diagram.cloth import Cloth
from extension.diagram.strong import BLACK
from extension.drawn.border import WORD as BORDER
from extension.drawn.flaws import WORD as FLAW
from extension.drawn.hatching import hatching
from extension.drawn.ink import line_look
from extension.drawn.lettering import ASCENT, line_width, text
from extension.drawn.repeat import repeat_lines
from extension.job.lying_flaws import rings_of
from extension.svg.building import element, path_data, style
from nesting.model import Repeat

SPACING = 8.0
"""mm between two lines of the hatching of a flaw."""
REPEAT = "#8a8a8a"
_LINE, _THIN, _WORDS = 0.8, 0.35, 6.0
_BORDER_DASH = (16.0, 5.0)
_BELOW_DASH = (4.0, 2.0)
_LEFT = 12.0
"""mm from the cut end to the name of a border."""


def on_cloth(cloth: Cloth, design: Repeat | None) -> list[etree._Element]:
    """Return what a cloth shows, under the parts."""
    lines: list[etree._Element] = []
    if design is not None and cloth.remnant is None:
        box = (0.0, 0.0, cloth.length, cloth.width)
        lines = repeat_lines(design, box, cloth.high, REPEAT)
    return [*lines, *_borders(cloth), *_flaws(cloth)]


def signs_text(cloths: Sequence[Cloth], design: Repeat | None) -> str:
    """Return what these signs mean, in sentences; nothing where there are none."""
    said = []
    if design is not None and cloths[0].remnant is None:
        said.append("Thin whole lines on the cloth: the repeat of its design.")
    if any(cloth.bands for cloth in cloths):
        below = ", in short dashes where the lower layer alone has it"
        below = below if any(cloth.bands_below for cloth in cloths) else ""
        said.append(f"Dashed lines along the cloth: its border{below}.")
    if any(cloth.flaws or cloth.flaws_below for cloth in cloths):
        below = ", with a broken edge of the lower layer"
        below = below if any(cloth.flaws_below for cloth in cloths) else ""
        said.append(f"Hatched: flaws of the cloth{below}.")
    return " ".join(said)


def _borders(cloth: Cloth) -> Iterator[etree._Element]:
    """Yield both lines of each border, the heavier that on which edges lie, and its name."""
    for band in cloth.bands:
        line, end = cloth.high - band.line, cloth.high - band.to
        for y, width in ((line, _LINE), (end, _THIN)):
            dash = _BELOW_DASH if band in cloth.bands_below else _BORDER_DASH
            look = style(line_look(BLACK, width, dash=dash))
            data = path_data(((0.0, y), (cloth.length, y)), closed=False)
            yield element("path", {"d": data, "style": look})
        base = (line + end) / 2.0 + 0.5 * ASCENT * _WORDS
        yield text([BORDER], cloth.length - _LEFT, base, _WORDS, anchor="end", colour=BLACK)


def _flaws(cloth: Cloth) -> Iterator[etree._Element]:
    """Yield as much of each flaw as lies on the cloth; those of the lower layer come first."""
    there = shapely.box(0.0, 0.0, cloth.length, cloth.width)
    flaws = [*((flaw, True) for flaw in cloth.flaws_below), *((one, False) for one in cloth.flaws)]
    for flaw, is_below in flaws:
        area = shapely.make_valid(shapely.Polygon([(x, cloth.high - y) for x, y in flaw]))
        for ring in rings_of(shapely.intersection(area, there)):
            yield from _flaw(shapely.Polygon(ring), is_below=is_below)


def _flaw(area: shapely.Polygon, *, is_below: bool) -> Iterator[etree._Element]:
    """Yield one flaw, with its name in it where that has room."""
    thin = style(line_look(BLACK, _THIN))
    for ends in hatching(area, SPACING):
        yield element("path", {"d": path_data(ends, closed=False), "style": thin})
    ring = [(float(x), float(y)) for x, y in area.exterior.coords[:-1]]
    edge = style(line_look(BLACK, _LINE, dash=_BELOW_DASH if is_below else ()))
    yield element("path", {"d": path_data(ring, closed=True), "style": edge})
    name = f"{FLAW}, lower layer" if is_below else FLAW
    middle, wide, high = area.representative_point(), line_width(name, _WORDS), 1.4 * _WORDS
    left, top = middle.x - wide / 2.0, middle.y - high / 2.0
    if area.contains(shapely.box(left, top, left + wide, top + high)):
        box: dict[str, str | float] = {"x": left, "y": top, "width": wide, "height": high}
        yield element("rect", {**box, "style": "fill:#ffffff"})
        base = middle.y + 0.5 * ASCENT * _WORDS
        yield text([name], middle.x, base, _WORDS, anchor="middle", colour=BLACK)
