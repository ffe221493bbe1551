# SPDX-License-Identifier: GPL-2.0-or-later
"""The page is valid to a parser that follows the HTML standard and forgives nothing (html5lib)."""

from __future__ import annotations

import html5lib
import pytest

from extension.diagram.page import page
from tests.helpers.diagrams import LAYOUTS, published, sections_of
from tests.helpers.edited import Edited

LABEL = "{http://www.inkscape.org/namespaces/inkscape}label"


def parse(text: str) -> None:
    """Parse a page; raises ParseError where the standard knows an error."""
    html5lib.HTMLParser(strict=True).parse(text)


@pytest.mark.parametrize("name", LAYOUTS)
def test_the_page_is_valid(name: str) -> None:
    parse(page(published(name)))


@pytest.mark.parametrize(
    "label", ['<b>Coat & hat</b> "it\'s"', "Ünïcode – 袖 🧵", "&amp; ]]> <!--"]
)
def test_whatever_a_layout_is_called_the_page_is_valid(label: str) -> None:
    edited = Edited()
    edited.layer.set(LABEL, label)
    told = page(sections_of(edited.document))
    parse(told)
    tree = html5lib.parse(told, namespaceHTMLElements=False)
    assert tree.findtext(".//h1") == f"Cutting diagram: {label}"


def test_the_parser_does_refuse_what_is_wrong() -> None:
    right = page(published("short"))
    for wrong in (right.replace("</figure>", ""), right.replace("<!DOCTYPE html>", "")):
        with pytest.raises(html5lib.html5parser.ParseError):
            parse(wrong)


def test_every_id_is_used_once_and_every_reference_has_its_aim() -> None:
    tree = html5lib.parse(page(published("two materials")), namespaceHTMLElements=False)
    ids = [one.get("id") for one in tree.iter() if one.get("id")]
    assert len(ids) == len(set(ids))
    told = [word for one in tree.iter() for word in one.get("aria-labelledby", "").split()]
    assert told
    assert set(told) <= set(ids)
