# SPDX-License-Identifier: GPL-2.0-or-later
"""Tighten Layout from the menu takes one layout."""

from __future__ import annotations

import copy

import pytest

from extension.dialogs.tighten import Tighten
from extension.language.errors import DrawingError
from extension.language.names import lay
from tests.helpers.edited import Edited
from tests.helpers.menu import opened


def two() -> bytes:
    """Return a drawing with two layouts."""
    edited = Edited()
    twin = copy.deepcopy(edited.layer)
    for number, node in enumerate(twin.iter("{*}*")):
        node.set("id", f"twin-{number}" if number else "twin")
    twin.set(lay("layout"), "2")
    edited.root.append(twin)
    return edited.data


@pytest.mark.parametrize(
    ("words", "told"),
    [((), "2 layouts are in the drawing, "), (("--id=twin", "--id=thriftlay-1"), "are selected, ")],
)
def test_of_several_layouts_all_are_named(words: tuple[str, ...], told: str) -> None:
    with pytest.raises(DrawingError, match=told) as found:
        opened(Tighten, *words, drawing=two()).act()
    for id_ in ("thriftlay-1", "twin"):
        assert f"({id_})" in str(found.value)
