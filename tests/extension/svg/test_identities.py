# SPDX-License-Identifier: GPL-2.0-or-later
"""Objects keep their names, and those without one get the same one every time."""

from __future__ import annotations

import pytest
from lxml import etree

from extension.svg.identities import (
    Identities,
    described,
    is_layer,
    is_locked,
    kind_of,
    label_of,
    lay_attributes,
)
from tests.helpers.svg_builder import INKSCAPE, SvgBuilder


def test_kinds_are_those_of_svg_alone() -> None:
    root = etree.fromstring(
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:o="urn:o"><path/><o:path/><!-- c --></svg>'
    )
    assert [kind_of(node) for node in root] == ["path", "", ""]


def test_what_stands_on_an_object_is_read() -> None:
    drawing = SvgBuilder()
    layer = drawing.add_layer(" Größe 38 ", lay={"cut": "2", "leave-out": "yes"})
    group = drawing.add_group(fill="none")
    drawing.lock(layer)
    assert (is_layer(layer), is_layer(group)) == (True, False)
    assert (is_locked(layer), is_locked(group)) == (True, False)
    assert (label_of(layer), label_of(group)) == ("Größe 38", "")
    assert lay_attributes(layer) == {"cut": "2", "leave-out": "yes"}
    assert lay_attributes(group) == {}


@pytest.mark.parametrize("value", ["false", "0", ""])
def test_an_unlocked_object_is_not_locked(value: str) -> None:
    group = SvgBuilder().add_group(
        attributes={"{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}insensitive": value}
    )
    assert not is_locked(group)


def test_objects_are_called_by_label_and_id() -> None:
    assert described("path1", "", "the line at the left") == "the line at the left (path1)"
    assert described("path1", "Front", "the line at the left") == "“Front” (path1)"
    assert described("Front", "Front", "the line at the left") == "“Front”"


def test_made_ids_count_every_object_of_a_kind() -> None:
    drawing = SvgBuilder()
    paths = [drawing.add_path("", id=name) for name in ("", "kept", "", "path-1")]
    rect = drawing.add_rect(0, 0, 1, 1, id="")
    identities = Identities(drawing.root)
    # “path-1” is taken, so the first path is called otherwise.
    made = [identities.id_of(path) for path in paths]
    assert made == ["path-1+", "kept", "path-3", "path-1"]
    assert identities.id_of(rect) == "rect-1"
    assert [identities.find(name) for name in made] == paths
    assert identities.find("nothing") is None


def test_made_ids_do_not_change_when_something_is_added_at_the_end() -> None:
    drawing = SvgBuilder()
    layer = drawing.add_layer("Pieces")
    paths = [drawing.add_path("", layer, id="") for _ in range(3)]
    before = [Identities(drawing.root).id_of(path) for path in paths]
    drawing.add_path("", drawing.add_layer("Layout"), id="")
    assert [Identities(drawing.root).id_of(path) for path in paths] == before


def test_of_two_objects_with_one_id_the_first_is_meant() -> None:
    drawing = SvgBuilder()
    first, _ = drawing.add_path("", id="a"), drawing.add_rect(0, 0, 1, 1, id="a")
    identities = Identities(drawing.root)
    assert identities.find("a") is first
    assert identities.shown_by(drawing.add_use("a")) is first


def test_a_clone_refers_by_the_new_name_before_the_old_one() -> None:
    drawing = SvgBuilder()
    one, two = drawing.add_path("", id="Ä 1"), drawing.add_path("", id="two")
    use = drawing.add_use("Ä 1")
    identities = Identities(drawing.root)
    assert identities.shown_by(use) is one
    use.set("href", "#two")
    assert identities.shown_by(use) is two


def test_a_clone_of_nothing_shows_nothing_and_one_of_another_file_is_an_error() -> None:
    drawing = SvgBuilder()
    identities = Identities(drawing.root)
    assert identities.shown_by(drawing.add_use("gone")) is None
    assert identities.shown_by(drawing.add("use")) is None
    assert label_of(drawing.add("use", attributes={f"{{{INKSCAPE}}}label": "x"})) == "x"
    with pytest.raises(ValueError, match=r"other.svg#a"):
        identities.shown_by(drawing.add("use", href="other.svg#a"))
