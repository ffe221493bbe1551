# SPDX-License-Identifier: GPL-2.0-or-later
"""Selectors mean the elements that an independent reader finds by them."""

from __future__ import annotations

import cssselect
import pytest
from lxml import etree

from extension.svg.selectors import key_of, keys_of, matches, parse_selectors

TREE = etree.fromstring(
    """<svg id="root"><g id="g1" class="layer  main">
    <path id="p1" class="cut bold"/><!-- between --><path id="p2" class="bold" data-side="left up"/>
    <g id="g2" class="inner"><path id="p3" lang="de-AT"/><rect id="r1" class="cut"/></g>
    </g><rect id="r2" data-side="left"/></svg>"""
)

SELECTORS = [
    "path",
    "*",
    ".cut",
    "path.cut",
    ".cut.bold",
    "#p2",
    "path#p2",
    "rect#p2",
    "g path",
    "g > path",
    "svg > path",
    ".layer .inner path",
    "svg > g > g > *",
    "path + path",
    "path + g",
    "rect + path",
    "[data-side]",
    "[data-side=left]",
    "[data-side~=up]",
    "path[lang|=de]",
    "path[lang|=d]",
    ".main > #g2 .cut",
    ".nothing",
    "g g g path",
]


def found(selector: str) -> list[str]:
    (parsed,) = parse_selectors(selector)
    memory: dict[tuple[int, etree._Element], bool] = {}
    return [
        element.get("id", "")
        for element in TREE.iter("*")
        if matches(parsed.parsed_tree, element, memory)
    ]


@pytest.mark.parametrize("selector", SELECTORS)
def test_a_selector_finds_what_xpath_finds(selector: str) -> None:
    # cssselect's translation, run by libxml2 on a drawing without namespaces.
    path = cssselect.GenericTranslator().css_to_xpath(selector)
    assert found(selector) == [element.get("id", "") for element in TREE.xpath(path)]


@pytest.mark.parametrize("selector", SELECTORS)
def test_what_matches_is_found_under_its_key(selector: str) -> None:
    (parsed,) = parse_selectors(selector)
    key = key_of(parsed.parsed_tree)
    for element in TREE.iter("*"):
        if matches(parsed.parsed_tree, element, {}):
            assert key in list(keys_of(element))


def test_a_namespace_is_no_part_of_a_tag() -> None:
    path = etree.fromstring('<path xmlns="http://www.w3.org/2000/svg" class="cut"/>')
    (parsed,) = parse_selectors("path.cut")
    assert matches(parsed.parsed_tree, path, {})
    assert list(keys_of(path)) == ["*", "path", ".cut"]


@pytest.mark.parametrize("selector", ["path:hover", "g ~ rect", ":not(.cut)", "path[id^=p]"])
def test_what_the_editor_does_not_know_matches_nothing(selector: str) -> None:
    assert found(selector) == []


def test_lists_are_taken_apart_and_nonsense_is_left_alone() -> None:
    assert len(parse_selectors("path, .cut,#x")) == 3
    assert parse_selectors("path, ,") == []
    assert parse_selectors("!!") == []
    assert parse_selectors("path::before") == []
    assert parse_selectors("a " * 101) == []


def test_long_chains_take_no_more_than_a_look_at_each_ancestor() -> None:
    root = inside = etree.Element("g")
    for _ in range(99):
        inside = etree.SubElement(inside, "g")
    (parsed,) = parse_selectors("rect " + "g " * 60 + "g")
    memory: dict[tuple[int, etree._Element], bool] = {}
    assert not matches(parsed.parsed_tree, inside, memory)
    # In every combination it would be 10^28 looks; with the memory, one per link and ancestor.
    assert len(memory) <= 61 * 100
    assert root is not inside
