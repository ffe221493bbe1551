# SPDX-License-Identifier: GPL-2.0-or-later
"""What people do by hand to a layout between Lay Out and Check, and what Check must say to it."""

from __future__ import annotations

import copy
from collections.abc import Callable, Mapping
from random import Random

import svgelements
from lxml import etree

from tests.fuzzing.mutation import changed
from tests.fuzzing.reading import LAY, SVG, layers_of, matrix_of, outlines_of, parts_of, points_of

CLEAN, BROKEN, OPEN = "clean", "broken", "open"
"""What Check must find in a layout that was clean before the edit: it depends, when open."""

Edit = Callable[[Random, etree._Element, etree._Element], str | None]
"""Takes a random source, the layer of a layout and a part's group; None when it cannot be done."""


def edited(random: Random, data: bytes, times: int) -> tuple[bytes, list[str], str]:
    """Return a drawing with its last layout changed, what was done, and what Check must find."""
    root = etree.fromstring(data)
    done, expected = [], CLEAN
    for _ in range(times):
        layer = layers_of(root)[-1]
        parts = parts_of(layer)
        if not parts:
            break
        name = random.choice(list(EDITS))
        came = EDITS[name](random, layer, random.choice(parts))
        if came is not None:
            done.append(name)
            # A second change may undo or hide the first.
            expected = came if expected == CLEAN else OPEN
        if not layers_of(root):
            break
    if len(done) > 1 and expected != CLEAN:
        expected = OPEN
    return etree.tostring(root, encoding="UTF-8", xml_declaration=True), done, expected


def _before(part: etree._Element, text: str) -> None:
    part.set("transform", f"{text} {part.get('transform', '')}".strip())


def _middle(part: etree._Element) -> tuple[float, float]:
    """Return the middle of a part's outline in the frame its group lies in."""
    outline = outlines_of(part)[0]
    upto = matrix_of(outline, part.getparent())
    points = [upto.point_in_matrix_space(svgelements.Point(*p)) for p in points_of(outline)]
    xs, ys = [float(p.x) for p in points], [float(p.y) for p in points]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def moved_off(random: Random, layer: etree._Element, part: etree._Element) -> str:
    """Move a part across, off the cloth."""
    _before(part, f"translate(0 {random.choice((-1, 1)) * 5000})")
    return BROKEN


def moved_along(random: Random, layer: etree._Element, part: etree._Element) -> str:
    """Move a part far along the cloth, where there is room."""
    _before(part, f"translate({random.choice((3000, 4567.891))} 0)")
    # On folded cloth the end may lie in another number of layers, on a given length there is one.
    is_folded = any(one.get(f"{LAY}section") for one in parts_of(layer))
    has_end = '"fabric_length_mm": null' not in layer.get(f"{LAY}settings", "")
    return OPEN if is_folded or has_end else CLEAN


def moved_onto(random: Random, layer: etree._Element, part: etree._Element) -> str | None:
    """Move a part onto another."""
    others = [one for one in parts_of(layer) if one is not part and outlines_of(one)]
    if not others or not outlines_of(part):
        return None
    (ax, ay), (bx, by) = _middle(part), _middle(random.choice(others))
    _before(part, f"translate({bx - ax} {by - ay})")
    return OPEN


def nudged(random: Random, layer: etree._Element, part: etree._Element) -> str:
    """Move a part a little."""
    _before(part, f"translate({random.uniform(-5, 5)} {random.uniform(-5, 5)})")
    return OPEN


def turned(random: Random, layer: etree._Element, part: etree._Element) -> str | None:
    """Turn a part."""
    if not outlines_of(part):
        return None
    x, y = _middle(part)
    _before(part, f"rotate({random.choice((180, 90, 7, 360))} {x} {y})")
    return OPEN


def flipped(random: Random, layer: etree._Element, part: etree._Element) -> str | None:
    """Turn a part over."""
    if not outlines_of(part):
        return None
    x, y = _middle(part)
    _before(part, f"translate({x} {y}) scale(1 -1) translate({-x} {-y})")
    return OPEN


def resized(random: Random, layer: etree._Element, part: etree._Element) -> str | None:
    """Make a part larger or smaller, or nothing at all."""
    if not outlines_of(part):
        return None
    x, y = _middle(part)
    share = random.choice(("0.5", "1.3", "0.98", "0", "1e-9", "1e9"))
    _before(part, f"translate({x} {y}) scale({share}) translate({-x} {-y})")
    return BROKEN


def deleted(random: Random, layer: etree._Element, part: etree._Element) -> str:
    """Delete a part."""
    _parent(part).remove(part)
    return BROKEN


def outline_deleted(random: Random, layer: etree._Element, part: etree._Element) -> str | None:
    """Delete the outline of a part and leave the rest of it."""
    for outline in outlines_of(part):
        _parent(outline).remove(outline)
        return BROKEN
    return None


def doubled(random: Random, layer: etree._Element, part: etree._Element) -> str:
    """Duplicate a part and move the duplicate away."""
    twin = copy.deepcopy(part)
    for number, node in enumerate(twin.iter(etree.Element)):
        node.set("id", f"twin-{random.randrange(10**6)}-{number}")
    part.addnext(twin)
    _before(twin, random.choice(("", "translate(3000 0)", "translate(20 20)")))
    return BROKEN


def combined(random: Random, layer: etree._Element, part: etree._Element) -> str | None:
    """Combine the outlines of two parts into one path."""
    others = [one for one in parts_of(layer) if one is not part and outlines_of(one)]
    if not others or not outlines_of(part):
        return None
    one, two = outlines_of(part)[0], outlines_of(random.choice(others))[0]
    if one.get("d") is None or two.get("d") is None:
        return None
    one.set("d", f"{one.get('d')} {two.get('d')}")
    _parent(two).remove(two)
    return BROKEN


def to_a_sublayer(random: Random, layer: etree._Element, part: etree._Element) -> str | None:
    """Raise or lower a part into another layer of the layout."""
    groups = [one for one in layer if one.tag == f"{SVG}g" and one is not part.getparent()]
    if not groups:
        return None
    random.choice(groups).append(part)
    return OPEN if _parent(part).get(f"{LAY}of") else CLEAN


def to_the_drawing(random: Random, layer: etree._Element, part: etree._Element) -> str:
    """Cut a part and paste it in place on the drawing's own level."""
    root = part.getroottree().getroot()
    own = matrix_of(_parent(part), root)
    part.set("transform", f"{_text(own)} {part.get('transform', '')}")
    root.append(part)
    return OPEN


def ungrouped(random: Random, layer: etree._Element, part: etree._Element) -> str | None:
    """Take a part's group away and leave what it held."""
    if part.tag != f"{SVG}g":
        return None
    for child in reversed(list(part)):
        if isinstance(child.tag, str):
            _before(child, part.get("transform", ""))
        part.addnext(child)
    _parent(part).remove(part)
    return CLEAN


def layer_moved(random: Random, layer: etree._Element, part: etree._Element) -> str:
    """Move the layer as a whole."""
    layer.set("transform", f"translate(30 -40) {layer.get('transform', '')}")
    return CLEAN


def layer_transformed(random: Random, layer: etree._Element, part: etree._Element) -> str:
    """Turn, mirror, enlarge or squash the layer as a whole."""
    way = random.choice(("rotate(90)", "scale(-1 1)", "scale(2)", "scale(1 0)", "skewX(10)"))
    layer.set("transform", f"{way} {layer.get('transform', '')}")
    return OPEN


def renamed(random: Random, layer: etree._Element, part: etree._Element) -> str:
    """Give what lies on the layer other ids and labels."""
    for number, node in enumerate(layer.iter(etree.Element)):
        node.set("id", f"hers{number}" if number else "my-layout")
        if random.random() < 0.5:
            node.attrib.pop("{http://www.inkscape.org/namespaces/inkscape}label", None)
    return CLEAN


def noted(random: Random, layer: etree._Element, part: etree._Element) -> str:
    """Write a note on one of the layout's layers."""
    where = random.choice([layer, part, *layer.iter(f"{SVG}g")])
    note = etree.SubElement(where, f"{SVG}text")
    note.set("id", f"hers-{random.randrange(10**6)}")
    note.set("data-hers", "yes")
    note.set("x", "5")
    note.set("y", "5")
    note.text = "cut this first"
    return CLEAN


def drawn_on(random: Random, layer: etree._Element, part: etree._Element) -> str:
    """Draw a shape of her own on one of the layout's layers, or name one like ours."""
    where = random.choice([layer, *layer.iter(f"{SVG}g")])
    mine = etree.SubElement(where, f"{SVG}rect")
    mine.set("id", random.choice(("hers-rect", "thriftlay-1-item-999", "thriftlay-hers")))
    mine.set("data-hers", "yes")
    for name, value in {"x": "7000", "y": "9", "width": "30", "height": "20"}.items():
        mine.set(name, value)
    return OPEN


def plain_svg(random: Random, layer: etree._Element, part: etree._Element) -> str:
    """Save as plain SVG: what belongs to the editor alone is gone."""
    for node in layer.getroottree().getroot().iter(etree.Element):
        for name in [str(key) for key in node.attrib]:
            if "inkscape" in name or "sodipodi" in name:
                del node.attrib[name]
    return CLEAN


def original_deleted(random: Random, layer: etree._Element, part: etree._Element) -> str | None:
    """Delete what a part was made from."""
    wanted = part.get(f"{LAY}of")
    root = part.getroottree().getroot()
    for node in root.iter(etree.Element):
        if node.get("id") == wanted and layer not in [node, *node.iterancestors()]:
            _parent(node).remove(node)
            return OPEN
    return None


def settings_lost(random: Random, layer: etree._Element, part: etree._Element) -> str:
    """Damage what is stored on the layer."""
    text = layer.get(f"{LAY}settings", "")
    layer.set(
        f"{LAY}settings",
        random.choice(
            ("", "{}", "[]", "null", text[:-9], text.replace("mm", "cm"), '{"options":3}')
        ),
    )
    return OPEN


def facts_changed(random: Random, layer: etree._Element, part: etree._Element) -> str:
    """Change or take away what is noted on a part."""
    name = random.choice(("of", "copy", "turned", "flipped", "held"))
    for node in [part, *outlines_of(part)]:
        value = random.choice((None, "", "1 2", "nan", "999999999999", "yes", "p0"))
        if value is None:
            node.attrib.pop(f"{LAY}{name}", None)
        else:
            node.set(f"{LAY}{name}", value)
    return OPEN


def anything(random: Random, layer: etree._Element, part: etree._Element) -> str:
    """Change the layer as a fuzzer does."""
    data = changed(random, etree.tostring(layer))
    try:
        fresh = etree.fromstring(data)
    except etree.XMLSyntaxError:
        return OPEN
    _parent(layer).replace(layer, fresh)
    return OPEN


def _parent(node: etree._Element) -> etree._Element:
    parent = node.getparent()
    assert parent is not None
    return parent


def _text(matrix: svgelements.Matrix) -> str:
    values = (matrix.a, matrix.b, matrix.c, matrix.d, matrix.e, matrix.f)
    return f"matrix({' '.join(map(repr, values))})"


EDITS: Mapping[str, Edit] = {
    edit.__name__.replace("_", " "): edit
    for edit in (
        moved_off, moved_along, moved_onto, nudged, turned, flipped, resized, deleted,
        outline_deleted, doubled, combined, to_a_sublayer, to_the_drawing, ungrouped, layer_moved,
        layer_transformed, renamed, noted, drawn_on, plain_svg, original_deleted, settings_lost,
        facts_changed, anything,
    )
}  # fmt: skip
"""What people do, by name."""
