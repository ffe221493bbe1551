# SPDX-License-Identifier: GPL-2.0-or-later
"""A layout rebuilt from the words of a cutting diagram, as a person lays it with a tape.

It knows the pattern (the paper in her hand: outline, fold, grainline) and what is printed, and
shares no code with what works out the table.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import shapely
from lxml import etree
from shapely import affinity

from extension.pieces.model import DrawnPiece

UNITS = {"cm": 10.0, "mm": 1.0, "in": 25.4, "m": 1000.0, "yd": 914.4}
"""mm; 1 in = 25.4 mm and 1 yd = 36 in exactly (agreement of 1959)."""

APART = 1.3
"""mm by which two distances may disagree: each is half a millimetre off at most, and the angle."""

UNSEEN = 0.1
"""mm by which a step in the paper's edge is no corner to her eye."""
ON_FOLD = 0.01
"""mm beside the fold within which a point of the paper lies on it: rounding."""


@dataclass(frozen=True)
class Ground:
    """Cloth as it lies on the table: heights of its edges, mm, up from the lower selvedge of the
    cloth spread out, and what the table calls them."""

    low: float
    high: float
    lower: str = "lower"
    upper: str = "upper"


@dataclass(frozen=True, eq=False)
class Rebuilt:
    """A part that was laid by its row: mm from the cut end, and up from the lower selvedge."""

    number: str
    id: str
    """Of the piece in the drawing."""
    paper: shapely.Polygon
    cut: shapely.Polygon
    grain: tuple[float, float]
    """Which way the top lies."""
    down: bool
    on_fold: bool
    through_both: bool


def ground_of(words: str, width: float) -> Ground:
    """Return how cloth of a width, mm, lies after the order that a page gives for a section."""
    if "selvedge to selvedge" in words:
        return Ground(width / 2.0, width, "fold", "selvedges")
    if re.search(r"Fold both selvedges of the (cloth|rest) to the middle", words):
        return Ground(width / 4.0, 0.75 * width, "lower fold", "upper fold")
    depths = {
        side: length_of(depth)
        for depth, side in re.findall(r"by ([\d. /]+ (?:cm|mm|in)) from the (lower|upper)", words)
    }
    low, high = depths.get("lower", 0.0), width - depths.get("upper", 0.0)
    if len(depths) == 2:
        return Ground(low, high, "lower fold", "upper fold")
    names = {side: "fold" if side in depths else side for side in ("lower", "upper")}
    return Ground(low, high, names["lower"], names["upper"])


def figure_of(text: str) -> float:
    """Return a printed figure: `12.3`, `4 7/8`, `15/32`."""
    found = re.fullmatch(r"(\d+(?:\.\d+)?)?(?:\s*(?<![\d.])(\d+)/(\d+))?", text.strip())
    assert found is not None, text
    assert text.strip()
    return float(found[1] or 0) + (int(found[2]) / int(found[3]) if found[2] else 0.0)


def length_of(text: str) -> float:
    """Return a printed length in mm: `15 mm`, `140 cm`, `5/8 in`."""
    figure, unit = text.strip().rsplit(" ", 1)
    return figure_of(figure) * UNITS[unit]


def table_of(page: etree._Element, title: str, nth: int = 0) -> list[dict[str, str]]:
    """Return the rows of the table under a heading of a page, by the words of their heads."""
    headings = [one for one in page.iter("{*}h2") if _said(one).startswith(title)]
    name = headings[nth].get("id")
    (box,) = [one for one in page.iter("{*}div") if one.get("aria-labelledby") == name]
    heads = [_said(one) for one in box.iter("{*}th")]
    return [
        dict(zip(heads, [_said(cell) for cell in row], strict=True))
        for row in box.iterfind(".//{*}tbody/{*}tr")
    ]


def width_of(page: etree._Element, nth: int = 0) -> float:
    """Return the printed width of the cloth, mm."""
    words: list[str] = re.findall(r"([\d ./]+ (?:cm|mm|in)) between the selvedges", _said(page))
    return length_of(words[nth])


def rebuilt(
    rows: Sequence[Mapping[str, str]],
    width: float,
    pattern: Mapping[str, DrawnPiece],
    ground: Ground | None = None,
) -> list[Rebuilt]:
    """Return the parts laid by the rows of a placing table; `pattern` by name and size.

    `ground` is what they are laid on, None for cloth of the width that lies open.
    """
    on = ground or Ground(0.0, width)
    return [_laid(row, on, pattern[row["piece"]]) for row in rows]


def _laid(row: Mapping[str, str], ground: Ground, drawn: DrawnPiece) -> Rebuilt:
    """Return one part, laid as its row says."""
    lead = next(head for head in row if head.startswith("cut end to"))
    side = next(head for head in row if re.match("nearer (fold or )?selvedge to", head))
    unit = UNITS[lead.rsplit(" ", 1)[1]]
    assert side.endswith(lead.rsplit(",", 1)[1])
    down = row["lay"].startswith("printed side down")
    assert down != row["lay"].startswith("printed side up")
    top = _top(row["grainline"])
    opened, on_fold = "opened out" in row["lay"], "on the fold of the cloth" in row["lay"]
    assert opened + on_fold == (drawn.fold is not None)
    paper = shapely.Polygon(drawn.outline) if on_fold else _paper(drawn)
    points = {"paper": paper, **_lines(drawn, _paper(drawn))}

    def turned(shape: shapely.Geometry) -> shapely.Geometry:
        upright = affinity.rotate(shape, -drawn.grain, origin=(0, 0))
        seen = affinity.scale(upright, 1.0, -1.0 if down else 1.0, origin=(0, 0))
        return affinity.rotate(seen, top, origin=(0, 0))

    ways = {name: turned(shape) for name, shape in points.items()}
    low_x = ways["paper"].bounds[0]
    dx = figure_of(row[lead]) * unit - low_x
    dy = _across(row[side], unit, ground, ways)
    laid = affinity.translate(ways["paper"], dx, dy)
    told = row.get("cut all round", "along the paper’s edge")
    grown = laid
    if told != "along the paper’s edge":
        amount = re.fullmatch(r"(.+) outside the paper", told)
        assert amount is not None, told
        seen = laid.simplify(UNSEEN)
        if on_fold:  # there it has no allowance: both halves grow, and one is folded away again
            y = ways["centre"].centroid.y + dy
            seen = shapely.union_all([seen, affinity.scale(seen, 1.0, -1.0, origin=(0.0, y))])
        grown = seen.buffer(length_of(amount[1]), join_style="mitre", mitre_limit=3.0)
        if on_fold:
            grown = grown & shapely.box(-1e6, ground.low, 1e6, ground.high)
    cut = shapely.Polygon(grown.exterior)
    direction = (math.cos(math.radians(top)), math.sin(math.radians(top)))
    through = "through both layers" in row["lay"]
    return Rebuilt(row["number"], drawn.id, laid, cut, direction, down, on_fold, through)


def _top(words: str) -> float:
    """Return which way the top lies, degrees from the way to the far end, counter-clockwise."""
    plain = {
        "along, top to the far end": 0.0,
        "across, top to the upper selvedge": 90.0,
        "along, top to the cut end": 180.0,
        "across, top to the lower selvedge": 270.0,
    }
    if words in plain:
        return plain[words]
    found = re.fullmatch(
        r"slanting ([\d.]+)° to the selvedge, top to the (far|cut) end and the (upper|lower) "
        r"selvedge",
        words,
    )
    assert found is not None, words
    off = float(found[1])
    assert 0.0 < off < 90.0
    ahead = off if found[2] == "far" else 180.0 - off
    return ahead if found[3] == "upper" else -ahead


def _across(words: str, unit: float, ground: Ground, ways: Mapping[str, shapely.Geometry]) -> float:
    """Return how far a turned part is moved across the cloth; every distance that is told fits."""
    edge, told = words.split(": ", 1)
    assert edge in (ground.lower, ground.upper)
    from_low = edge == ground.lower
    if told == "fold edge on it":
        assert "fold" in edge
        return (ground.low if from_low else ground.high) - float(ways["centre"].centroid.y)
    moves: list[float] = []
    for part in told.split(", "):
        found = re.fullmatch(
            r"(?:((?:centre )?top|(?:centre )?foot|centre|paper’s edge) )?([\d ./]+)", part
        )
        assert found is not None, part
        distance = figure_of(found[2]) * unit
        want = ground.low + distance if from_low else ground.high - distance
        if found[1] == "paper’s edge":
            _, low, _, high = ways["paper"].bounds
            at = low if from_low else high
        else:
            at = ways[found[1] or "grainline"].centroid.y
        moves.append(want - at)
    assert max(moves) - min(moves) < APART, words
    return sum(moves) / len(moves)


def _paper(drawn: DrawnPiece) -> shapely.Polygon:
    """Return the paper that is laid, opened out; piece coordinates."""
    half, fold = shapely.Polygon(drawn.outline), _fold(drawn)
    if fold is None:
        return half
    (ax, ay), (bx, by) = fold.coords
    dx, dy = bx - ax, by - ay
    length = math.hypot(dx, dy)
    cos, sin = (dx * dx - dy * dy) / length**2, 2.0 * dx * dy / length**2
    matrix = [cos, sin, sin, -cos, ax - cos * ax - sin * ay, ay - sin * ax + cos * ay]
    other = affinity.affine_transform(half, matrix)
    # So that the halves grow together along the fold, and stay what they are elsewhere.
    seam = fold.buffer(1e-4, cap_style="flat")
    return shapely.union_all([half, other, seam])


def _fold(drawn: DrawnPiece) -> shapely.LineString | None:
    """Return the edge at which the paper is opened out: of the fold, what the paper has.

    A piece with an allowance of its own is read with the fold of the cloth that is cut, which
    sticks out of the paper by as much at both ends.
    """
    if drawn.fold is None:
        return None
    line = shapely.LineString(drawn.fold)
    on_line = [point for point in drawn.outline if line.distance(shapely.Point(point)) < ON_FOLD]
    on_line.sort(key=lambda point: line.project(shapely.Point(point)))
    return shapely.LineString([on_line[0], on_line[-1]])


def _lines(drawn: DrawnPiece, paper: shapely.Polygon) -> dict[str, shapely.Geometry]:
    """Return what the paper shows to measure to: the grainline, its ends, the fold.

    What of a grainline sticks out of the paper is cut off with it.
    """
    found: dict[str, shapely.Geometry] = {}
    points = [
        (x, -y)
        for mark in drawn.marks
        if mark.role == "grainline"
        for ring in mark.leaf.rings
        for x, y in ring.points
    ]
    if points:
        cos, sin = math.cos(math.radians(drawn.grain)), math.sin(math.radians(drawn.grain))
        along = [x * cos + y * sin for x, y in points]
        foot, top = points[along.index(min(along))], points[along.index(max(along))]
        line = shapely.LineString([foot, top]).intersection(paper)
        found["foot"], found["top"] = map(shapely.Point, line.coords)
        found["grainline"] = line
    fold = _fold(drawn)
    if fold is not None:
        upright = affinity.rotate(fold, -drawn.grain, origin=(0, 0))
        low, high = sorted((0, 1), key=lambda end: upright.coords[end][0])
        found["centre foot"] = shapely.Point(fold.coords[low])
        found["centre top"], found["centre"] = shapely.Point(fold.coords[high]), fold
    return found


def apart(one: shapely.Polygon, other: shapely.Polygon) -> float:
    """Return how far two outlines are from each other at most, mm."""
    return float(shapely.hausdorff_distance(one.exterior, other.exterior))


def _said(element: etree._Element) -> str:
    """Return the words in an element."""
    return " ".join("".join(map(str, element.itertext())).split())
