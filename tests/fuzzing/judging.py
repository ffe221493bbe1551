# SPDX-License-Identifier: GPL-2.0-or-later
"""What must hold of a drawing that a command wrote, judged from the file alone."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from itertools import combinations
from typing import Any

import shapely
import svgelements
from lxml import etree

from tests.fuzzing.cloth_judging import on_its_cloth
from tests.fuzzing.reading import LAY, SVG, Part, drawn_parts, layers_of, matrix_of, page_of
from tests.fuzzing.sheets import Drawn

EXACT = 0.06
"""mm by which a drawn length may miss the one that is told: curves are laid in chords."""
DEEP = 0.12
"""mm: parts drawn with curves overlap, for this reader's chords, when a disc of it fits in both."""
OURS = ("layout", "review", "table", "joined", "sign", "legend")
"""Attributes of layers and decorations that commands may renew."""


def same_originals(before: bytes, after: bytes) -> Iterator[str]:
    """Yield what was in a drawing, is no layer or decoration of ours, and is not there any more.

    Attributes of ours may be set and new elements may be added anywhere; nothing else may change.
    """
    old, new = _tree(before), _tree(after)
    yield from _kept(old, new)
    there = Counter(_canonical(node) for node in new.iter(etree.Element))
    for layer in layers_of(old):
        for node in layer.iterdescendants(etree.Element):
            is_part = node.get(f"{LAY}of") and node.tag not in (f"{SVG}g", f"{SVG}use")
            is_hers = node.get("data-hers") is not None
            if (is_part or is_hers) and not there[_canonical(node)]:
                yield f"{'a part' if is_part else 'a thing of hers'} on a layout is gone or changed"


def _tree(data: bytes) -> etree._Element:
    return etree.fromstring(data, etree.XMLParser(resolve_entities=False, huge_tree=True))


def _is_ours(node: etree._Element) -> bool:
    return any(node.get(f"{LAY}{name}") is not None for name in OURS)


def _kept(old: etree._Element, new: etree._Element) -> Iterator[str]:
    """Yield what an element had and its later self has not."""
    if _facts(old) != _facts(new, but=() if old.get("id") else ("id",)):
        yield f"<{_tag(old)}> has other attributes or words"
        return
    rest = iter(_later(old, new))
    for child in old:
        if isinstance(child.tag, str) and _is_ours(child):
            continue
        # The first later child that is the same by tag and id is it.
        found = next((one for one in rest if _is_later_self(child, one)), None)
        if found is None:
            yield f"<{_tag(child)}> is gone or has changed its place"
            return
        if isinstance(child.tag, str):
            yield from _kept(child, found)


def _is_later_self(old: etree._Element, new: etree._Element) -> bool:
    """Return whether one may be what another has become; what had no id may have been given it."""
    if isinstance(old.tag, str) and not old.get("id"):
        # A line of ours that was put in before it has the same tag, perhaps, but another look.
        return bool(new.tag == old.tag) and _facts(old) == _facts(new, but=("id",))
    return _name(old) == _name(new)


def _later(old: etree._Element, new: etree._Element) -> list[etree._Element]:
    """Return what lies in an element now; a group that was put round something is looked into."""
    known = {_name(child) for child in old}
    found: list[etree._Element] = []
    for child in new:
        is_round = child.tag == f"{SVG}g" and _name(child) not in known and not _is_ours(child)
        found += [child, *child] if is_round else [child]
    return found


def _name(node: etree._Element) -> tuple[str, str]:
    if not isinstance(node.tag, str):
        return "", str(node.text)
    return node.tag, node.get("id", "")


def _tag(node: etree._Element) -> str:
    return str(node.tag).rpartition("}")[2]


def _facts(node: etree._Element, but: tuple[str, ...] = ()) -> tuple[Any, ...]:
    attributes = {
        k: v for k, v in node.attrib.items() if not str(k).startswith(LAY) and k not in but
    }
    return node.tag, attributes, (node.text or "").strip()


def _canonical(node: etree._Element) -> tuple[Any, ...]:
    """Return what an element looks like, whatever its group and its notes of ours."""
    facts = _facts(node)
    return facts[0], tuple(sorted(facts[1].items())), facts[2]


# --- a layout as drawn --------------------------------------------------------------------------


def fresh_layout(drawn: Drawn | None, data: bytes, report: Mapping[str, Any]) -> Iterator[str]:
    """Yield what is wrong with the layouts that were just written, as they are drawn."""
    root = _tree(data)
    if "layouts" in report:
        # A piece may be on one of them, on several, or named by each that has no use for it.
        for one in report["layouts"]:
            yield from (f"{one['material']}: {fault}" for fault in _fresh(None, root, one))
        return
    yield from _fresh(drawn, root, report)


def _fresh(drawn: Drawn | None, root: etree._Element, report: Mapping[str, Any]) -> Iterator[str]:
    layer = next(one for one in layers_of(root) if one.get("id") == report["layer"])
    parts = drawn_parts(layer)
    yield from _counted(drawn, parts, report)
    if _is_one_strip(report):
        yield from _lengths(parts, report)
        yield from on_its_cloth(root, parts, report)
    yield from clear_faults(parts, float(report["options"]["gap_mm"]))
    page = page_of(root)
    if page is not None:
        onto = matrix_of(layer, None) * page
        corner = [onto.point_in_matrix_space(svgelements.Point(*p)) for p in ((0, 0), (1000, 0))]
        long = abs(complex(corner[1].x, corner[1].y) - complex(corner[0].x, corner[0].y))
        if abs(long - 1000.0) > 0.01:
            yield f"a metre of the layout is {long:.3f} mm on the page"


def _counted(
    drawn: Drawn | None, parts: Iterable[Part], report: Mapping[str, Any]
) -> Iterator[str]:
    """Yield wrong numbers of copies, and parts of another size than what they are cut from."""
    parts = list(parts)
    # A part that lies on two layers of cloth is drawn once, and says which copies it cuts.
    counts = Counter(part.of for part in parts for _ in part.copy.split())
    on_fold = {one["piece"] for one in report["placements"] if one.get("on_fold")}
    told = Counter({one["of"]: one["copies"] for one in report["pieces"]})
    left = sum(len(one["copies"]) for one in report["left_over"])
    if counts.total() + left != told.total():
        yield f"{counts.total()} parts are drawn and {left} left over of {told.total()}"
    if drawn is None or drawn.pieces is None:
        return
    out = {one["id"] for one in report["left_out"]}
    for ids, copies, area in drawn.pieces:
        there = [part for part in parts if part.of in ids]
        cut = sum(counts[one] for one in ids)
        over = sum(len(one["copies"]) for one in report["left_over"] if one["piece"] in ids)
        if not there and not over and not (ids & out):
            yield "a piece is neither laid nor named among what is not laid"
        elif there and cut + over != copies:
            yield f"a piece that is cut {copies} times lies there {cut} times"
        for part in there:
            halves = (1.0, 0.5) if ids & on_fold else (1.0,)
            if all(abs(part.shape.area - k * area) > 0.01 * area + 1.0 for k in halves):
                yield f"a part of {area:.0f} mm2 is drawn with {part.shape.area:.0f} mm2"


def _is_one_strip(report: Mapping[str, Any]) -> bool:
    """Return whether the parts lie in one frame: not section after section, nor on remnants."""
    lengths = [one["length"] for one in report.get("sections", ())]
    is_drawn = bool(report["options"].get("cloth"))
    return sum(length > 0 for length in lengths) < 2 and not is_drawn


def _lengths(parts: Iterable[Part], report: Mapping[str, Any]) -> Iterator[str]:
    """Yield where the parts leave the cloth, or reach another length than the one that is told."""
    boxes = [part.shape.bounds for part in parts]
    if not boxes:
        return
    width, length, kept = report["width"], report["length"], 0.0
    for one in report.get("sections", ()):
        if one["crosswise"] and one["length"] > 0:
            length /= 2  # of the cloth that is told half lies on the other half
            # Off the fold, what is not cut on it; with nap it is cut open and has none.
            kept = 0.0 if one["turned"] else report["options"]["gap_mm"] / 2
    reached = max(box[2] for box in boxes)
    if not length - kept - EXACT <= reached <= length + EXACT:
        yield f"the parts reach {reached:.3f} mm of {length:.3f} mm"
    if min(box[0] for box in boxes) < -EXACT:
        yield "a part begins before the cloth"
    if min(box[1] for box in boxes) < -EXACT or max(box[3] for box in boxes) > width + EXACT:
        yield "a part lies across a selvedge"


def clear_faults(parts: Iterable[Part], gap: float) -> Iterator[str]:
    """Yield overlaps, and gaps too small, that no reader could overlook."""
    for one, two in combinations(list(parts), 2):
        if not one.shape.intersects(two.shape):
            if one.shape.distance(two.shape) < gap - DEEP:
                yield "two parts are nearer than the gap"
            continue
        common = shapely.intersection(one.shape, two.shape, grid_size=1e-6)
        if not common.buffer(-DEEP / 2).is_empty:
            yield "two parts overlap"


def stated_gap(layer: etree._Element) -> float:
    """Return the gap that a layout was laid with, mm."""
    return float(json.loads(layer.get(f"{LAY}settings", ""))["options"]["gap_mm"])


def clean_by_check(data: bytes, layer_id: str, gap: float) -> Iterator[str]:
    """Yield what Check should have seen on a layer that it called clean."""
    layer = next((one for one in layers_of(_tree(data)) if one.get("id") == layer_id), None)
    if layer is None:
        return
    parts = drawn_parts(layer)
    for fault in clear_faults(parts, gap):
        yield f"called clean although {fault}"


def strict_json(text: bytes) -> Any:
    """Return JSON that has no figures that are no numbers; raises ValueError."""

    def refuse(word: str) -> None:
        raise ValueError(f"{word} is no JSON")

    return json.loads(text, parse_constant=refuse)
