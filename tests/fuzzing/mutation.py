# SPDX-License-Identifier: GPL-2.0-or-later
"""Small changes to a drawing's elements, attributes and bytes, as programs and disks make them."""

from __future__ import annotations

import copy
import re
from random import Random

from lxml import etree

from tests.fuzzing.shapes import ODD_NUMBERS, spoiled

_NUMBER = re.compile(r"-?\d+\.?\d*(?:e-?\d+)?")


def changed(random: Random, data: bytes) -> bytes:
    """Return a drawing with one to four things changed, a byte where the bytes are no XML."""
    try:
        root = etree.fromstring(data, etree.XMLParser(resolve_entities=False))
    except etree.XMLSyntaxError:
        return _byte_changed(random, data)
    for _ in range(random.randrange(1, 5)):
        nodes = list(root.iterdescendants(etree.Element))
        if nodes:
            random.choice(_CHANGES)(random, random.choice(nodes))
    data = etree.tostring(root, encoding="UTF-8", xml_declaration=True)
    return _byte_changed(random, data) if random.random() < 0.03 else data


def _byte_changed(random: Random, data: bytes) -> bytes:
    at = random.randrange(len(data) + 1)
    return data[:at] + bytes([random.randrange(256)]) + data[at + random.randrange(2) :]


def _number(random: Random, node: etree._Element) -> None:
    """Put an odd number in the place of one."""
    for name, value in random.sample(sorted(node.attrib.items()), len(node.attrib)):
        found = list(_NUMBER.finditer(str(value)))
        if found and not str(name).endswith("}settings"):
            one = random.choice(found)
            text = str(value)[: one.start()] + random.choice(ODD_NUMBERS) + str(value)[one.end() :]
            node.set(name, text)
            return


def _attribute_gone(random: Random, node: etree._Element) -> None:
    if node.attrib:
        del node.attrib[random.choice(sorted(map(str, node.attrib)))]


def _attribute_of_another(random: Random, node: etree._Element) -> None:
    every = [one for one in node.getroottree().getroot().iter(etree.Element) if one.attrib]
    other = random.choice(every)
    name = random.choice(sorted(map(str, other.attrib)))
    node.set(name, other.attrib[name])


def _gone(random: Random, node: etree._Element) -> None:
    parent = node.getparent()
    if parent is not None:
        parent.remove(node)


def _twice(random: Random, node: etree._Element) -> None:
    """Put a copy beside an element: with the same id, with another, or with none."""
    twin = copy.deepcopy(node)
    way = random.randrange(3)
    for one in twin.iter(etree.Element):
        if way == 1 and one.get("id"):
            one.set("id", f"{one.get('id')}-2")
        elif way == 2:
            one.attrib.pop("id", None)
    node.addnext(twin)


def _elsewhere(random: Random, node: etree._Element) -> None:
    """Move an element into another one."""
    root = node.getroottree().getroot()
    groups = [one for one in root.iter("{*}g", "{*}svg", "{*}defs") if node not in _line(one)]
    if groups:
        random.choice(groups).append(node)


def _line(node: etree._Element) -> list[etree._Element]:
    return [node, *node.iterancestors()]


def _data(random: Random, node: etree._Element) -> None:
    data = node.get("d")
    if data:
        node.set("d", spoiled(random, data))


def _transform(random: Random, node: etree._Element) -> None:
    node.set(
        "transform",
        random.choice(
            (
                "scale(-1,1)",
                "rotate(45)",
                "scale(0)",
                "matrix(1e-9 0 0 1e9 0 0)",
                "skewX(89.9999)",
                "translate(1e8)",
                "matrix(1 0 0 1 nan 0)",
                "scale(3)",
                "matrix(0 1 1 0 0 0)",
            )
        ),
    )


def _style(random: Random, node: etree._Element) -> None:
    node.set(
        "style",
        random.choice(
            (
                "display:none",
                "visibility:collapse",
                "stroke-width:nan",
                "fill:none;stroke:none",
                "stroke-dasharray:1e-9",
                "font-size:1e308px",
                "opacity:0",
                "display:inline;display:none",
                "stroke-dasharray:3 2 1;stroke:#f00",
                "transform:rotate(3deg)",
                "d:path('M0 0')",
            )
        ),
    )


def _tag(random: Random, node: etree._Element) -> None:
    svg = "{http://www.w3.org/2000/svg}"
    node.tag = svg + random.choice(
        (
            "g",
            "path",
            "rect",
            "use",
            "text",
            "symbol",
            "a",
            "switch",
            "svg",
            "tspan",
            "marker",
            "defs",
        )
    )


def _clone(random: Random, node: etree._Element) -> None:
    root = node.getroottree().getroot()
    ids = [one.get("id") for one in root.iter(etree.Element) if one.get("id")]
    use = etree.SubElement(random.choice((root, node)), "{http://www.w3.org/2000/svg}use")
    use.set("{http://www.w3.org/1999/xlink}href", f"#{random.choice(ids or ['x'])}")


_CHANGES = (
    _number, _number, _number, _attribute_gone, _attribute_of_another, _gone, _twice, _elsewhere,
    _data, _data, _transform, _style, _tag, _clone,
)  # fmt: skip
