# SPDX-License-Identifier: GPL-2.0-or-later
"""What is ours says so, each element by itself; all else stays where it is."""

from __future__ import annotations

import copy

import pytest
from lxml import etree

from extension.drawn.lettering import text
from extension.language.names import lay
from extension.svg.building import element, group, layer
from extension.svg.decoration import (
    DECORATION,
    declare,
    declare_part,
    decoration_of,
    lies_on_ours,
    take_away,
    take_layer_away,
)


def ids(within: etree._Element) -> list[str]:
    return [str(one.get("id")) for one in within.iterdescendants(etree.Element) if one.get("id")]


def line(**attributes: str) -> etree._Element:
    return element("path", {"d": "M 0,0 L 1,1", **attributes})


def drawn() -> etree._Element:
    """A layer with a line, and a group of a line and a text, all ours."""
    inner = group("", "list", [line(), text(["needs 0.46 m", "buy 0.50 m"], 0.0, 0.0, 8.0)])
    made = layer("l", "measures", [line(), inner])
    declare(made, "measures", "m")
    return made


def test_every_element_says_what_it_is_but_the_lines_of_a_text() -> None:
    made = drawn()
    told = [one.get(DECORATION, "").split()[:2] for one in made.iterdescendants(etree.Element)]
    assert told == [["measures", str(n)] if n else [] for n in (1, 2, 3, 4, 0, 0)]
    assert ids(made) == ["m-1", "m-2", "m-3", "m-4"]


def test_all_of_a_kind_is_taken_away_and_nothing_of_another() -> None:
    made = drawn()
    marks = group("marks", "marks", [line(id="mark")])
    declare([marks], "check")
    made.append(marks)
    take_away(made, "measures")
    assert ids(made) == ["marks", "mark"]


def test_ids_tell_nothing() -> None:
    made = drawn()
    made.append(line(id="thriftlay-1-measures-7"))
    made[0].set("id", "her-own-name")
    take_away(made, "measures")
    assert ids(made) == ["thriftlay-1-measures-7"]


def test_what_lies_in_a_group_of_ours_stays_where_it_is_seen() -> None:
    made = drawn()
    made[1].set("transform", "translate(5,5)")
    made[1].append(line(id="hers"))
    take_away(made, "measures")
    assert ids(made) == ["m-2", "hers"]
    assert made[0].get("transform") == "translate(5,5)"


def test_a_text_with_other_words_is_hers_and_other_line_breaks_are_none() -> None:
    made = drawn()
    words = made[1][1]
    assert decoration_of(words) == "measures"
    words[0].text, words[1].text = "needs 0.46", "m buy 0.50 m"
    assert decoration_of(words) == "measures"
    words[1].text = "buy 0.50 m, and thread"
    assert decoration_of(words) == ""
    take_away(made, "measures")
    assert ids(made) == ["m-2", "m-4"]


@pytest.mark.parametrize("place", [1, 4])
def test_a_copy_is_hers_and_the_original_goes(place: int) -> None:
    made = drawn()
    twin = copy.deepcopy(made[0])
    twin.set("id", "m-1-5")
    made.insert(place, twin)
    take_away(made, "measures")
    assert ids(made) == ["m-1-5"]


def test_a_copy_of_a_text_that_was_written_anew_stays_beside_it() -> None:
    made = drawn()
    words = made[1][1]
    words.addnext(copy.deepcopy(words))
    words[0].text = "her own words"
    take_away(made, "measures")
    assert [one.get("id") for one in made[0]] == ["m-4", "m-4"]


def test_another_layer_of_ours_within_is_left_alone() -> None:
    made, other = drawn(), drawn()
    other.set(lay("layout"), "2")
    made.append(other)
    take_away(made, "measures")
    assert len(made) == 1
    assert len(ids(made)) == 5


def test_a_layer_of_marks_goes_unless_something_of_hers_lies_on_it() -> None:
    root = element("svg", {})
    for number in (1, 2):
        marks = layer(f"check-{number}", "Check", [line(id=f"mark-{number}")])
        declare([marks], "check")
        root.append(marks)
    root[1].append(line(id="hers"))
    for marks in list(root):
        take_layer_away(marks, "check")
    assert ids(root) == ["check-2", "hers"]


def test_what_is_drawn_on_a_part_is_never_taken_away() -> None:
    made = layer("l", "parts", [group("p", "Front", [line(id="notch")])])
    declare_part([made[0][0]])
    take_away(made, "cloth")
    take_away(made, "measures")
    assert ids(made) == ["p", "notch"]


@pytest.mark.parametrize(("name", "is_ours"), [("layout", True), ("review", True), ("table", True)])
def test_what_lies_on_a_layer_of_ours_is_known(name: str, is_ours: bool) -> None:
    made = drawn()
    assert not lies_on_ours(made[1][0])
    made.set(lay(name), "1")
    assert lies_on_ours(made[1][0]) is is_ours
