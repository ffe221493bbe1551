# SPDX-License-Identifier: GPL-2.0-or-later
"""Layers that are views of one garment are asked about."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from extension.markings.proposing import propose
from tests.helpers.marked import ARROW, LOOK
from tests.helpers.svg_builder import SvgBuilder


def questions(*layers: str, hide: bool = False, labels: Sequence[str] = ()) -> list[str]:
    """Return what is asked of a drawing with a pocket on each of these layers."""
    drawing = SvgBuilder("800mm", "300mm", (0, 0, 800, 300))
    for number, name in enumerate(layers):
        layer = drawing.add_layer(name)
        x = 20 + 200 * number
        drawing.add_rect(x, 20, 150, 120, layer, style=LOOK)
        label = labels[number] if labels else f"Pocket\ncut {number + 1}"
        drawing.add_text(label, x + 40, 60, layer, font_size=7)
        drawing.add_line((x + 20, 40), (x + 20, 120), layer, style=ARROW)
        if hide and number:
            drawing.hide(layer)
    return list(propose(drawing.document()).questions)


@pytest.mark.parametrize(
    "names",
    [
        ("View A", "View B"),
        ("Ansicht A", "Ansicht B"),
        ("Opción 1", "Opción 2"),
        ("vue a", "Vue B"),
    ],
)
def test_pieces_on_layers_of_two_views_are_asked_about(names: tuple[str, ...]) -> None:
    (question,) = questions(*names)
    assert question.startswith(f"“{names[0]}” and “{names[1]}” seem to be views")


@pytest.mark.parametrize("names", [("View A",), ("Front", "Back"), ("View A", "Viewed")])
def test_other_layers_are_not(names: tuple[str, ...]) -> None:
    assert not questions(*names)


def test_nor_is_a_view_that_is_hidden() -> None:
    assert not questions("View A", "View B", hide=True)


@pytest.mark.parametrize(
    "labels",
    [
        ("Pocket view A\ncut 1", "Pocket view B\ncut 2"),
        ("Pocket\ncut 1\nview A only", "Flap\ncut 2\nview B only"),
        ("Tasche\nAnsicht A\n1x", "Tasche\nAnsicht B\n2x"),
    ],
)
def test_pieces_whose_labels_name_two_views_are_asked_about(labels: tuple[str, ...]) -> None:
    (question,) = (one for one in questions("One", "Two", labels=labels) if "views" in one)
    assert "of all of them are laid" in question


@pytest.mark.parametrize(
    "labels",
    [
        ("Pocket view A\ncut 1", "Flap view A\ncut 2"),
        ("Pocket\ncut 1\nversion 2", "Flap\ncut 2\nversion 2"),
        ("Pocket\ncut 1\nrear view", "Flap\ncut 2\nview from behind"),
    ],
)
def test_one_view_or_none_is_not(labels: tuple[str, ...]) -> None:
    assert not [one for one in questions("One", "Two", labels=labels) if "views" in one]
