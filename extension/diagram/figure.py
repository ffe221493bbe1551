# SPDX-License-Identifier: GPL-2.0-or-later
"""The layout to scale as a picture: real geometry, real text, a title and description.

The same elements stand in web pages and on the pages of the editor; `LOOK` is how they look there.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from html import escape

import shapely

from extension.diagram.captions import SMALLEST, Caption
from extension.diagram.cloth import LOWER_OF_REMNANT, UPPER_OF_REMNANT, Rim, end_text
from extension.diagram.distances import LETTERS, Distance, Figure
from extension.diagram.lettered import lettered
from extension.diagram.shapes import MARGINS, Picture, Shape
from extension.diagram.tape import long_tape_text
from extension.job.tops import lies_ahead
from extension.svg.identities import SVG
from nesting.model import Point

LOOK = """
.cloth { fill: #fbf6ea; stroke: #777; stroke-width: 0.2; }
.line, .grain, .leader { fill: none; stroke: #333; stroke-width: 0.25; }
.grain, .leader { stroke-width: 0.18; }
.up, .down { stroke: #111; stroke-width: 0.35; stroke-linejoin: round; }
.up { fill: #fff; } .down { fill: #c8c8c8; }
.back { stroke: none; } .label { fill: #fff; stroke: #333; stroke-width: 0.1; }
.paper { fill: none; stroke: #333; stroke-width: 0.2; stroke-dasharray: 1.4 0.8; }
.double { fill: #eedfbb; stroke: none; }
.inner { fill: none; stroke: #777; stroke-width: 0.2; }
.fold { fill: none; stroke: #111; stroke-width: 0.6; stroke-dasharray: 5 1 0.8 1; }
.other { fill: #f1eee6; stroke: #8a8a8a; stroke-width: 0.2; }
.border { fill: #dce4ec; stroke: none; }
.rim { fill: none; stroke: #4a6785; stroke-width: 0.25; }
.flaw { fill: #666; stroke: #111; stroke-width: 0.25; }
.below { fill: #bbb; stroke-dasharray: 0.9 0.6; }
.distance { fill: none; stroke: #1d5a8c; stroke-width: 0.15; }
.over { stroke-dasharray: 0.5 0.9; }
.head { fill: #1d5a8c; stroke: none; }
.words, .number, .name, .figure { text-anchor: middle; fill: #111; stroke: none; }
.number { font-weight: bold; } .figure { fill: #123f66; }
"""
"""Style sheet of the elements of a picture, lengths in mm on paper.

What areas mean is told by how light they are, so that it is seen in grey print and by everybody.
"""

_EDGE_LETTERS = SMALLEST
"""mm: the words along the edges of the cloth, which tell distances as well."""
_NAP = -8.5
"""mm: the baseline of the words that tell of the nap, left of the cut end."""
BORDER = "border"
_HEAD = 1.6
_HAIR = 0.01
"""mm on paper."""
_AIR, _INSIDE = 1.0, 0.3
"""mm round a number behind which a grainline gives way, but not the outline of the part."""
_SINGLE = "a single layer of cloth"


def figure(picture: Picture, name: str, title: str) -> str:
    """Return the picture as SVG in a web page; `name` starts its ids, `title` is plain text."""
    (width, height), (left, _, above, _) = picture.extent, MARGINS
    nap = "The cloth is without nap."
    if picture.cloth.nap:
        nap = f"{'All' if _is_one_way(picture) else 'Not all'} tops lie one way."
    cloth = picture.cloth
    end = f"The {cloth.begin}" if picture.start == 0.0 else f"The side of the {cloth.begin}"
    layers = "cloth that lies in two layers where it is tinted" if cloth.is_folded else _SINGLE
    about = (
        f"{len(picture.shapes)} parts on {layers}. {end} is at the left, "
        f"{cloth.upper.told} above and {cloth.lower.told} below. {nap} The placing table tells in "
        "words how each part lies."
    )
    return "\n".join(
        [
            f'<svg xmlns="{SVG}" width="{width:.2f}mm" height="{height:.2f}mm"'
            f' viewBox="{-left:g} {-above:g} {width:.2f} {height:.2f}" role="img"'
            f' aria-labelledby="{name}-title {name}-about">',
            f'<title id="{name}-title">{escape(title)}</title>',
            f'<desc id="{name}-about">{escape(about)}</desc>',
            *drawn(picture),
            "</svg>",
        ]
    )


def drawn(picture: Picture) -> list[str]:
    """Return the elements of the picture as text; the cloth's upper corner is at the origin."""
    words, shown = lettered(picture).captions, lettered(picture).figures
    return [
        *_cloth(picture),
        *_borders(picture),
        *_flaws(picture),
        *map(_other, picture.others),
        *(_outline(shape) for shape in picture.shapes),
        *(_paper(shape) for shape in picture.shapes if shape.place.is_grown),
        *(_distance(one.distance) for one in shown),
        *(_grain(shape) for shape in picture.shapes),
        *(line for one in words for line in _caption(one)),
        *map(_figure, shown),
    ]


def _cloth(picture: Picture) -> list[str]:
    """Return the cloth with both selvedges, its ends and the nap."""
    length, width = picture.size
    made = [*_area(picture), *_layers(picture)]
    sides = ((0.0, -1.0, picture.cloth.upper), (width, 1.0, picture.cloth.lower))
    for y, outward, rim in sides:
        made += _along(rim, y, outward, length)
        base = y + (-2.2 if outward < 0 else 4.4)
        made.append(_text((length / 2.0, base), rim.name, _EDGE_LETTERS, "words"))
    middle = width / 2.0
    system = picture.cloth.system
    begin = picture.cloth.begin
    left = f"{long_tape_text(picture.start, system)} from the {begin}"
    right = f"{long_tape_text(picture.end, system)}, goes on"
    if picture.cloth.ends_in_fold and not picture.goes_on:
        made.append(f'<path d="M{length:.2f} 0V{width:.2f}" class="fold"/>')
    edges = (
        (-2.0, left if picture.start > 0.0 else begin),
        (length + 4.5, right if picture.goes_on else end_text(picture.cloth)),
    )
    for x, words in edges:
        made.append(_text((x, middle), words, _EDGE_LETTERS, "words", turned=True))
    words = "no nap"
    if picture.cloth.nap:
        words = f"nap: {'all' if _is_one_way(picture) else 'not all'} tops this way"
    made.append(_text((_NAP, middle), words, _EDGE_LETTERS, "words", turned=True))
    if picture.cloth.nap:
        # Left of its words, so that it stands clear of them on however narrow a cloth.
        made.append(f'<path d="M-19 {middle:.2f}h7m-2 -1.2l2 1.2l-2 1.2" class="line"/>')
    return made


def _is_one_way(picture: Picture) -> bool:
    """Return whether the tops of all parts that are told in a picture lie one way."""
    return all(lies_ahead(one.place.cut.piece, one.place.turn) for one in picture.shapes)


def _borders(picture: Picture) -> list[str]:
    """Return the borders of the cloth, with the line on which edges lie, and their name."""
    cloth, length, scale = picture.cloth, picture.size[0], picture.scale
    made = []
    for band in cloth.bands:
        line, end = ((cloth.high - y) * scale for y in (band.line, band.to))
        top, high = min(line, end), abs(line - end)
        if cloth.remnant is None:
            made.append(
                f'<rect y="{top:.2f}" width="{length:.2f}" height="{high:.2f}" class="border"/>'
            )
        else:
            strip = cloth.remnant.between(min(band.line, band.to), max(band.line, band.to))
            made += [f'<path d="{data}" class="border"/>' for data in _shown(picture, strip)]
        dash = ' stroke-dasharray="1.6 1.2"' if band in cloth.bands_below else ""
        made.append(f'<path d="M0 {line:.2f}H{length:.2f}" class="rim"{dash}/>')
        at = (length + 4.5, top + high / 2.0)
        made.append(_text(at, BORDER, _EDGE_LETTERS, "words", turned=True))
    return made


def _area(picture: Picture) -> list[str]:
    """Return the area of the cloth: all of it, or a remnant in its frame."""
    cloth, (length, width) = picture.cloth, picture.size
    if cloth.remnant is None:
        return [f'<rect width="{length:.2f}" height="{width:.2f}" class="cloth"/>']
    made = [
        f'<rect width="{length:.2f}" height="{width:.2f}" class="inner" '
        'stroke-dasharray="1.6 1.2"/>'
    ]
    for data in _shown(picture, cloth.remnant.cloth):
        made.append(f'<path d="{data}" class="cloth" fill-rule="evenodd"/>')
        made.append(f'<path d="{data}" class="line"/>')
    return made


def _shown(picture: Picture, area: shapely.Geometry) -> Iterator[str]:
    """Yield what is seen of an area of the cloth, each part of it as the data of a path."""
    cloth, (length, _), scale = picture.cloth, picture.size, picture.scale
    there = shapely.box(picture.start, 0.0, picture.start + length / scale, cloth.high)
    for part in shapely.get_parts(shapely.intersection(area, there)):
        if part.geom_type == "Polygon" and part.area > 0.0:
            rings = (
                "L".join(
                    f"{(x - picture.start) * scale:.2f} {(cloth.high - y) * scale:.2f}"
                    for x, y in ring.coords[:-1]
                )
                for ring in (part.exterior, *part.interiors)
            )
            yield "".join(f"M{ring}Z" for ring in rings)


def _flaws(picture: Picture) -> list[str]:
    """Return the flaws of the cloth, as much of each as is in the picture."""
    cloth, (length, width), scale = picture.cloth, picture.size, picture.scale
    paper = shapely.box(0.0, 0.0, length, width)
    made = []
    looks = [(flaw, "flaw below") for flaw in cloth.flaws_below]
    for flaw, look in (*looks, *((flaw, "flaw") for flaw in cloth.flaws)):
        points = [((x - picture.start) * scale, (cloth.high - y) * scale) for x, y in flaw]
        common = shapely.intersection(shapely.make_valid(shapely.Polygon(points)), paper)
        for part in shapely.get_parts(common):
            if part.geom_type == "Polygon" and part.area > 0.0:
                data = "L".join(f"{x:.2f} {y:.2f}" for x, y in part.exterior.coords[:-1])
                made.append(f'<path d="M{data}Z" class="{look}"/>')
    return made


def _layers(picture: Picture) -> list[str]:
    """Return the strips of cloth that have two layers, and where an upper layer ends."""
    cloth, (length, width) = picture.cloth, picture.size
    made = []
    for low, high in cloth.double:
        top, bottom = ((cloth.high - y) * picture.scale for y in (high, low))
        size = f'width="{length:.2f}" height="{bottom - top:.2f}"'
        made.append(f'<rect y="{top:.2f}" {size} class="double"/>')
        made += [
            f'<path d="M0 {y:.2f}H{length:.2f}" class="inner"/>'
            for y in (top, bottom)
            if _HAIR < y < width - _HAIR
        ]
    return made


def _along(rim: Rim, y: float, outward: float, length: float) -> list[str]:
    """Return the line of an edge of the cloth: a selvedge is a double one, a fold a heavy one."""
    if rim in (LOWER_OF_REMNANT, UPPER_OF_REMNANT):
        return []  # the frame round it is drawn as one
    if rim.is_fold:
        return [f'<path d="M0 {y + 0.3 * outward:.2f}H{length:.2f}" class="fold"/>']
    return [f'<path d="M0 {y + off * outward:.2f}H{length:.2f}" class="line"/>' for off in (0, 1)]


def _other(part: shapely.Polygon) -> str:
    """Return what is seen of a part that is told on another stretch."""
    points = " ".join(f"{x:.2f},{y:.2f}" for x, y in part.exterior.coords[:-1])
    return f'<path d="M{points}Z" class="other"/>'


def _outline(shape: Shape) -> str:
    """Return the outline of a part, shaded when its printed side lies down."""
    points = " ".join(f"{x:.2f},{y:.2f}" for x, y in shape.outline.exterior.coords[:-1])
    return f'<polygon points="{points}" class="{_side(shape)}"/>'


def _paper(shape: Shape) -> str:
    """Return the edge of the pattern that is laid."""
    points = " ".join(f"{x:.2f},{y:.2f}" for x, y in shape.laid.exterior.coords[:-1])
    return f'<path d="M{points}Z" class="paper"/>'


def _side(shape: Shape) -> str:
    """Return how a part is filled: by the side of it that is seen."""
    return "down" if shape.place.flipped else "up"


def _grain(shape: Shape) -> str:
    """Return the grainline of a part with a head at the top of the piece."""
    first, last = shape.grain
    length = math.dist(first, last)
    reach = min(2.0, length / 3.0) / length if length > 0.0 else 0.0
    dx, dy = (last[0] - first[0]) * reach, (last[1] - first[1]) * reach
    wings = [(last[0] - dx - s * dy / 2, last[1] - dy + s * dx / 2) for s in (1, -1)]
    return (
        f'<path d="M{_at(first)}L{_at(last)}M{_at(wings[0])}L{_at(last)}L{_at(wings[1])}"'
        ' class="grain"/>'
    )


def _distance(distance: Distance) -> str:
    """Return a dimension line with its heads."""
    start, end = distance.start, distance.end
    free = distance.line.difference(distance.over)
    strokes = [
        f'<path d="{_lines(part)}" class="{look}"/>'
        for part, look in ((free, "distance"), (distance.over, "distance over"))
        if not part.is_empty
    ]
    if distance.from_before:
        x, y = start
        broken = "".join(f"M{_at((x + off, y + 0.9))}l0.7 -1.8" for off in (0.4, 1.1))
        strokes.append(f'<path d="{broken}" class="distance"/>')
    tips = [(end, start)] if distance.from_before else [(start, end), (end, start)]
    heads = "".join(f"M{_head(one, other)}Z" for one, other in tips)
    return "".join([*strokes, f'<path d="{heads}" class="head"/>'])


def _lines(geometry: shapely.Geometry) -> str:
    """Return straight lines as path data."""
    parts = [part for part in shapely.get_parts(geometry) if part.geom_type == "LineString"]
    return "".join(f"M{_at(part.coords[0])}L{_at(part.coords[-1])}" for part in parts)


def _head(tip: Point, tail: Point) -> str:
    """Return the corners of a head at `tip` of a line that comes from `tail`."""
    reach = math.dist(tip, tail)
    ux, uy = (tail[0] - tip[0]) / reach * _HEAD, (tail[1] - tip[1]) / reach * _HEAD
    wings = [(tip[0] + ux - s * uy * 0.25, tip[1] + uy + s * ux * 0.25) for s in (1, -1)]
    return f"{_at(tip)}L{_at(wings[0])}L{_at(wings[1])}"


def _caption(caption: Caption) -> list[str]:
    """Return the words of a part, and the leader to it when they stand outside."""
    made = []
    if caption.leader is not None:
        start, end = caption.leader.coords
        made.append(f'<path d="M{_at(start)}L{_at(end)}" class="leader"/>')
        made.append(f'<circle cx="{end[0]:.2f}" cy="{end[1]:.2f}" r="0.4" class="dot"/>')
    if caption.across:
        # With air, or the rest of the grainline is taken for a dash behind the number.
        air = caption.box.buffer(_AIR, join_style="mitre")
        own = air.intersection(caption.shape.outline.buffer(-_INSIDE)).union(caption.box)
        points = "L".join(_at(point) for point in own.exterior.coords[:-1])
        made.append(f'<path d="M{points}Z" class="{_side(caption.shape)} back"/>')
    if caption.over:
        low_x, low_y, high_x, high_y = caption.box.bounds
        made.append(
            f'<rect x="{low_x:.2f}" y="{low_y:.2f}" width="{high_x - low_x:.2f}"'
            f' height="{high_y - low_y:.2f}" class="label"/>'
        )
    for place, (row, y) in enumerate(caption.baselines()):
        look = "number" if place == 0 else "name"
        made.append(_text((caption.at[0], y), row.text, row.size, look))
    return made


def _figure(one: Figure) -> str:
    """Return the figure of a distance."""
    return _text(one.at, one.distance.text, LETTERS, "figure", turned=not one.level)


def _at(point: Point) -> str:
    """Return a point as path data has it."""
    return f"{point[0]:.2f} {point[1]:.2f}"


def _text(at: Point, text: str, size: float, look: str, *, turned: bool = False) -> str:
    """Return a centred line of text; `turned` text reads upwards."""
    x, y = at
    turn = f' transform="rotate(-90 {x:.2f} {y:.2f})"' if turned else ""
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size:.2f}" class="{look}"{turn}>'
        f"{escape(text)}</text>"
    )
