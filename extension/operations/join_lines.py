# SPDX-License-Identifier: GPL-2.0-or-later
"""Join broken lines: from a drawing to the drawing with closed outlines on a new layer.

Files, clocks and windows are the caller's.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import shapely

from extension.drawn.joined import JoinedShape, draw_joined
from extension.joining.join import TOLERANCE, Joined, OpenLine, join_segments
from extension.joining.open_lines import OpenLines, open_lines
from extension.joining.outlines import Outline
from extension.joining.passes import Unclear
from extension.joining.patterns import pattern_of
from extension.language.errors import DrawingError, OptionError
from extension.language.units import parse_length
from extension.language.words import listed
from extension.markings.standing import standing_brackets
from extension.pieces.objects import all_called
from extension.pieces.outlines import closed_shape
from extension.pieces.scope import Scope
from extension.svg.document import Document, serialise
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf

FORMAT, VERSION = "thriftlay-join-lines", 1
FINE = 0.01
"""mm by which the segments may leave what is drawn."""
MOST_TOLERANCE = 20.0
"""mm; lines farther apart than this were never one."""
SAME = 0.98
"""Share of two outlines that is common to both when they are one and the same."""
TOO_FAR = "reaches more than 1 km from the page, where no place is exact any more"
WORTH_TELLING = 100.0
"""mm of line that came together and yet stays open."""


@dataclass(frozen=True, slots=True)
class JoinOptions:
    """`tolerance` in mm; `selected` ids of lines, groups or layers, none for the whole drawing."""

    tolerance: float = TOLERANCE
    selected: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class JoinOutcome:
    """The drawing with its new layer, None when nothing was joined.

    `summary` says in lines what was done and what was not; `warnings` is the part of it that needs
    a look; `report` holds all of it as plain values.
    """

    drawing: bytes | None
    summary: tuple[str, ...]
    warnings: tuple[str, ...]
    report: dict[str, Any]


def join_options(tolerance: str, selected: Sequence[str]) -> JoinOptions:
    """Return the options as typed; "" is the usual tolerance. Raises OptionError."""
    length = parse_length(tolerance, "mm") if tolerance.strip() else TOLERANCE
    if not 0.0 < length <= MOST_TOLERANCE:
        raise OptionError(
            f"A tolerance of “{tolerance.strip()}” makes no sense here: give more than 0 and up to "
            f"{MOST_TOLERANCE:g} mm, such as 1mm."
        )
    return JoinOptions(length, tuple(selected))


def join_lines(document: Document, options: JoinOptions) -> JoinOutcome:
    """Return the document with the outlines that its open lines make on a new layer.

    The document's tree gains that layer and is otherwise as before; it gains none when nothing is
    joined. Raises a ThriftlayError with one sentence when the drawing or a selected id cannot be
    used.
    """
    leaves = read_leaves(document, tolerance_mm=FINE)
    lines, brackets = _without_brackets(open_lines(leaves, options.selected), leaves, options)
    joined = join_segments(lines.segments, options.tolerance)
    joined, before = _without_doubles(lines, joined)
    left = left_over(lines, joined)
    ids: tuple[str, ...] = ()
    if joined.outlines:
        ids = draw_joined(document, _shapes(lines, joined, left), _places(joined))
    warnings = tuple(_warnings(lines, joined))
    summary = (*_done(lines, joined, before), *warnings, *_left_lines(lines, left), *brackets)
    report = _report(ids, lines, joined, left)
    return JoinOutcome(serialise(document) if ids else None, summary, warnings, report)


def _without_brackets(
    lines: OpenLines, leaves: Sequence[Leaf], options: JoinOptions
) -> tuple[OpenLines, list[str]]:
    """Return the lines without fold brackets, which would close with their edge; and which."""
    scope = Scope(leaves, options.selected)
    found = standing_brackets([leaf for leaf in leaves if scope.holds(leaf)])
    taken = {leaf for stroke in found for leaf in stroke.leaves} & set(lines.leaves)
    if not taken:
        return lines, []
    segments = tuple(one for one in lines.segments if lines.leaves[one.source] not in taken)
    names = all_called([leaf for leaf in lines.leaves if leaf in taken], 6)
    return replace(lines, segments=segments), [
        f"Taken for fold brackets and left as they are: {names}. Select such lines alone to have "
        "them joined all the same."
    ]


def _without_doubles(lines: OpenLines, joined: Joined) -> tuple[Joined, list[Leaf]]:
    """Return what was joined without outlines that were joined before, and those.

    Lines that are only in part used up by an outline, or serve several, are looked at each time.
    """
    shapes = [shape for leaf in lines.outlines if (shape := closed_shape(leaf)) is not None]
    tree = shapely.STRtree([shape.polygon for shape in shapes])
    fresh, before = [], {outline.id: outline for outline in lines.used}
    for outline in joined.outlines:
        area = shapely.Polygon(outline.points)
        near = [shapes[int(hit)] for hit in sorted(tree.query(area, "intersects"))]
        same = {one.leaf.id: one.leaf for one in near if _is_same(area, one.polygon)}
        before = {**same, **before}
        fresh += [] if same else [outline]
    return replace(joined, outlines=tuple(fresh)), list(before.values())


def _is_same(one: shapely.Polygon, other: shapely.Polygon) -> bool:
    """Return whether two outlines enclose the same area, but for how the gaps were closed."""
    return bool(one.intersection(other).area >= SAME * max(one.area, other.area))


def nothing_joined(outcome: JoinOutcome) -> DrawingError:
    """Return the refusal for a run that joined nothing: why, and what helps."""
    return DrawingError(" ".join(outcome.summary))


def left_over(lines: OpenLines, joined: Joined) -> dict[str, str]:
    """Return why lines are in no outline, by their ids in document order."""
    sources = [segment.source for segment in lines.segments]
    whole = Counter(sources)
    reasons: dict[int, str] = {}
    missing: Counter[int] = Counter()
    for line in joined.open:
        own = Counter(sources[number] for number in line.segments)
        missing.update(own)
        for source in own:
            reasons.setdefault(source, _why(line, joined))
    left = {}
    for source in sorted(reasons):
        leaf, count = lines.leaves[source], missing[source]
        part = f"{count} of its {whole[source]} strokes: " if count < whole[source] else ""
        left[leaf.id] = part + reasons[source]
    for leaf in lines.empty:
        why = "has a stroke of no length, which shows nothing"
        left.setdefault(leaf.id, TOO_FAR if leaf.far else why)
    return left


def _why(line: OpenLine, joined: Joined) -> str:
    """Return why a line is in no outline, as the rest of a sentence."""
    if line.fault == "crosses itself":
        return f"closes, but crosses itself near {_at(line.ends[0])}"
    if line.fault is not None:
        return "encloses less than 1 cm², too little for a piece"
    own = set(line.segments)
    for one in joined.unclear:
        if not one.decided and own & set(one.segments):
            return f"could be joined in more than one way near {_at(one.place)}"
    if len(line.segments) == 1:
        return "nothing within reach clearly continues it"
    return (
        f"stays open together with others: its ends, near {_at(line.ends[0])} and "
        f"{_at(line.ends[1])}, are {line.gap:.1f} mm apart"
    )


def _at(place: tuple[float, float]) -> str:
    return f"x {place[0]:.0f} mm, y {place[1]:.0f} mm"


def _shapes(lines: OpenLines, joined: Joined, left: dict[str, str]) -> list[JoinedShape]:
    return [_shape(lines, outline, left) for outline in joined.outlines]


def _shape(lines: OpenLines, outline: Outline, left: dict[str, str]) -> JoinedShape:
    """Return an outline as it is drawn, with the lines that are used up by it.

    A line of another look, such as a fold edge that closes it, says more than that and is not.
    """
    line = outline.line
    pattern = pattern_of(line.dashes, line.gaps)
    dashes = line.look.dashes or (pattern.as_drawn() if pattern else ())
    own = (lines.segments[number] for number in line.members)
    sources = sorted({segment.source for segment in own if segment.look == line.look})
    leaves = [lines.leaves[source] for source in sources]
    used_up = tuple(
        leaf.id
        for leaf in leaves
        if leaf.id not in left and not any(ring.closed for ring in leaf.rings)
    )
    points = tuple((float(x), float(y)) for x, y in outline.points)
    return JoinedShape(points, line.look, dashes, tuple(dict.fromkeys(used_up)))


def _places(joined: Joined) -> list[tuple[float, float]]:
    return [one.place for one in joined.unclear]


def _ids(lines: OpenLines, unclear: Unclear) -> list[str]:
    """Return the ids of the lines that meet at an unclear place, in document order."""
    sources = sorted({lines.segments[number].source for number in unclear.segments})
    return list(dict.fromkeys(lines.leaves[source].id for source in sources))


def _done(lines: OpenLines, joined: Joined, before: Sequence[Leaf]) -> list[str]:
    """Return what was done, in plain words; `before` are outlines that were joined earlier."""
    already = _already(before) if before else []
    if already and not joined.outlines:
        return already
    if not lines.segments:
        return ["There is no open line to join: every line that takes part is closed already."]
    if not joined.outlines:
        strays = _counted(len(lines.segments), "open stroke")
        return [
            f"No outline could be closed from {strays}: select the lines of one pattern, or allow "
            "a larger tolerance."
        ]
    gaps = [gap for outline in joined.outlines for gap in outline.line.gaps]
    # A fold edge that serves every size is one stroke of the drawing.
    strokes = len({number for outline in joined.outlines for number in outline.line.members})
    said = [_counted(len(joined.outlines), "outline") + f" joined from {strokes:,} strokes."]
    if gaps:
        said.append(f"{_counted(len(gaps), 'gap')} closed, the longest {max(gaps):.1f} mm.")
    if joined.duplicates:
        said.append(f"{_counted(joined.duplicates, 'stroke')} drawn twice, and used once.")
    return [*said, *already]


def _already(outlines: Sequence[Leaf]) -> list[str]:
    """Return that some outlines are joined already, and how to have that done once more."""
    names = all_called(outlines, 4)
    return [
        f"Already joined, and not joined again: {names}. To have lines joined once more, delete "
        "the outline that was made of them first."
    ]


def _warnings(lines: OpenLines, joined: Joined) -> list[str]:
    """Return what needs a look: unclear places, and long lines that stay open."""
    said = []
    for decided, what in ((False, "not joined there"), (True, "joined the way that closes")):
        places = [one for one in joined.unclear if one.decided == decided]
        if places:
            where = listed(
                [f"{_at(one.place)} ({listed(_ids(lines, one), 3)})" for one in places], 4
            )
            said.append(f"Lines could be joined in more than one way, and were {what}: {where}.")
    long = [line for line in joined.open if len(line.segments) > 3 and _length(lines, line)]
    if long:
        where = listed([f"{_at(line.ends[0])} and {_at(line.ends[1])}" for line in long], 4)
        said.append(f"{_counted(len(long), 'long line')} still open, with ends near {where}.")
    return said


def _length(lines: OpenLines, line: OpenLine) -> bool:
    """Return whether the strokes of an open line are long enough in all to be told."""
    total = 0.0
    for number in line.segments:
        (x, y), (last_x, last_y) = lines.segments[number].points[[0, -1]].tolist()
        total += abs(last_x - x) + abs(last_y - y)
    return total >= WORTH_TELLING


def _left_lines(lines: OpenLines, left: dict[str, str]) -> list[str]:
    leaves = {leaf.id: leaf for leaf in (*lines.empty, *lines.leaves)}
    return [f"Not part of an outline: {all_called([leaves[one] for one in left], 6)}."] * bool(left)


def _counted(count: int, what: str) -> str:
    return f"{count:,} {what}{'' if count == 1 else 's'}"


def _report(
    ids: Sequence[str], lines: OpenLines, joined: Joined, left: dict[str, str]
) -> dict[str, Any]:
    """Return everything as plain values; lengths and places in mm on the page."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "outlines": [
            {
                "id": name,
                "segments": len(outline.line.members),
                "gaps_closed": len(outline.line.gaps),
                "longest_gap_mm": round(max(outline.line.gaps, default=0.0), 3),
            }
            for name, outline in zip(ids, joined.outlines, strict=True)
        ],
        "ambiguous": [
            {
                "place_mm": [round(value, 2) for value in one.place],
                "ids": _ids(lines, one),
                "decided": one.decided,
            }
            for one in joined.unclear
        ],
        "left": [{"id": one, "reason": reason} for one, reason in left.items()],
        "duplicates": joined.duplicates,
    }
