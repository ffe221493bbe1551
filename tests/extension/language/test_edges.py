# SPDX-License-Identifier: GPL-2.0-or-later
"""The edges of the cloth are called alike wherever they are drawn or told."""

from __future__ import annotations

import pytest
from lxml import etree

from extension.diagram.full_size import full_size
from extension.diagram.page import page
from extension.diagram.sheets import sheets
from extension.language.edges import CUT_END, FAR_END, LOWER_SELVEDGE, UPPER_SELVEDGE
from extension.layouts.layers import one_layer
from tests.helpers.diagrams import laid, published
from tests.helpers.places import PROJECT

README = PROJECT / "README.md"


def texts(data: bytes | str) -> list[str]:
    """Return the words of every text element."""
    root = etree.fromstring(data.encode() if isinstance(data, str) else data)
    return [" ".join("".join(one.itertext()).split()) for one in root.iter("{*}text")]


def drawn_layer() -> list[str]:
    (layer,) = [
        one for one in laid("short").root.iter("{*}g") if one.get("{urn:thriftlay:1}layout")
    ]
    return [" ".join("".join(one.itertext()).split()) for one in layer.iter("{*}text")]


def before_the_tables(words: list[str]) -> list[str]:
    """Return the words of the picture: a row of a table may break so that an edge is a line."""
    return words[: words.index("Pieces")]


SHOWN = {
    "drawn layer": drawn_layer,
    "web page": lambda: texts(page(published("short"))),
    "sheets": lambda: before_the_tables(texts(sheets(published("short")))),
    "full size": lambda: texts(full_size(laid("short"), one_layer(laid("short"), ""))),
}


@pytest.mark.parametrize("where", SHOWN)
def test_each_edge_has_a_name_of_its_own_and_the_same_everywhere(where: str) -> None:
    words = SHOWN[where]()
    for edge in (FAR_END, UPPER_SELVEDGE, LOWER_SELVEDGE):
        assert words.count(edge) == 1, edge
    # Beside the cut end may stand which way the tops lie.
    assert sum(one.split(" – ")[0] == CUT_END for one in words) == 1


def test_the_guide_calls_the_ends_as_the_pictures_do() -> None:
    said = " ".join(README.read_text(encoding="utf-8").split())
    assert f"from the *{CUT_END}* of the cloth" in said
    assert f"the *{FAR_END}*" in said
