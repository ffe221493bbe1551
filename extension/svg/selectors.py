# SPDX-License-Identifier: GPL-2.0-or-later
"""Which elements a style sheet's selectors mean.

cssselect parses; we match ourselves, because its XPath knows no namespaces and because a table
by class, id and tag keeps a sheet of hundreds of rules quick. As in the editor, selectors of
CSS 2 are known; pseudo-classes, and elder siblings (`~`), match nothing.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator

import cssselect
from cssselect.parser import Attrib, Class, CombinedSelector, Element, Hash
from lxml import etree

_LONGEST = 200
"""Characters of one selector; a longer one is no work of a drawing program and is left alone."""

Memory = dict[tuple[int, etree._Element], bool]  # noqa: SLF001 (lxml's class)


def parse_selectors(text: str) -> list[cssselect.Selector]:
    """Return the selectors of a comma-separated list; none when one of them cannot be read."""
    if max(map(len, text.split(","))) > _LONGEST:
        return []
    try:
        return [selector for selector in cssselect.parse(text) if not selector.pseudo_element]
    except cssselect.SelectorError:
        return []


def key_of(tree: object) -> str:
    """Return what every element that matches has: ".class", "#id", a tag, or "*"."""
    while isinstance(tree, CombinedSelector):
        tree = tree.subselector
    while isinstance(tree, Class | Hash | Attrib):
        if isinstance(tree, Class):
            return f".{tree.class_name}"
        if isinstance(tree, Hash):
            return f"#{tree.id}"
        tree = tree.selector
    return tree.element or "*" if isinstance(tree, Element) else "*"


def keys_of(element: etree._Element) -> Iterator[str]:
    """Yield the keys under which a selector that matches the element may be found."""
    yield "*"
    yield _tag(element)
    if element.get("id"):
        yield f"#{element.get('id')}"
    for name in dict.fromkeys((element.get("class") or "").split()):
        yield f".{name}"


def matches(tree: object, element: etree._Element, memory: Memory) -> bool:
    """Return whether a parsed selector means this element. `memory` spares repeated work."""
    match tree:
        case Element():
            return tree.element in (None, _tag(element))
        case Class():
            names = (element.get("class") or "").split()
            return tree.class_name in names and matches(tree.selector, element, memory)
        case Hash():
            return element.get("id") == tree.id and matches(tree.selector, element, memory)
        case Attrib():
            return _attribute_matches(tree, element) and matches(tree.selector, element, memory)
        case CombinedSelector():
            # Without the memory a long chain of descendants would be tried in every combination.
            key = (id(tree), element)
            if key not in memory:
                memory[key] = matches(tree.subselector, element, memory) and any(
                    matches(tree.selector, other, memory)
                    for other in _related(element, tree.combinator)
                )
            return memory[key]
    return False


def _tag(element: etree._Element) -> str:
    """Return an element's tag without its namespace."""
    return etree.QName(element).localname


def _related(element: etree._Element, combinator: str) -> Iterator[etree._Element]:
    """Yield the elements that stand to this one as a combinator says."""
    if combinator == " ":
        yield from element.iterancestors()
    elif combinator == ">":
        yield from itertools.islice(element.iterancestors(), 1)
    elif combinator == "+":
        yield from itertools.islice(element.itersiblings("{*}*", preceding=True), 1)


def _attribute_matches(tree: Attrib, element: etree._Element) -> bool:
    """Return whether an attribute selector's condition holds."""
    have = element.get(tree.attrib)
    want = tree.value.value if tree.value is not None else ""
    tests: dict[str, Callable[[str], bool]] = {
        "exists": lambda _: True,
        "=": lambda text: text == want,
        "~=": lambda text: want in text.split(),
        "|=": lambda text: text == want or text.startswith(f"{want}-"),
    }
    return have is not None and tree.operator in tests and tests[tree.operator](have)
