# SPDX-License-Identifier: GPL-2.0-or-later
"""Whether a part or its original has changed is told by the sizes stored with the layout."""

from __future__ import annotations

import json

import pytest

from extension.job.settings import result_of
from extension.language.names import lay
from extension.operations.lay_out import lay_out
from extension.operations.running import Run
from extension.svg.document import parse
from tests.helpers.cloth import between_selvedges
from tests.helpers.edited import Edited
from tests.helpers.garments import garment
from tests.helpers.layouts import no_time
from tests.helpers.remnants import never


@pytest.fixture
def laid() -> Edited:
    """Return the garment laid by the engine: its back is cut once, so no copy bears witness."""
    edited = Edited()
    run = Run(no_time, lambda rounds: True)
    outcome = lay_out(garment().document(), between_selvedges(900.0, rounds=1), run)
    edited.root = parse(outcome.drawing).root
    return edited


def kinds(edited: Edited, piece: str) -> list[str]:
    """Return the kinds of fault of one piece's own outline."""
    wanted = ("edited", "resized")
    found = edited.violations()
    return [
        one["kind"] for one in found if one["kind"] in wanted and one["parts"][0].startswith(piece)
    ]


def store(edited: Edited, piece: str, sizes: object) -> None:
    """Store other sizes of a piece's outline than it has."""
    settings = json.loads(edited.layer.get(lay("settings"), ""))
    settings["result"]["outlines"][piece] = sizes
    edited.layer.set(lay("settings"), json.dumps(settings))


def test_the_sizes_of_all_outlines_are_stored(laid: Edited) -> None:
    sizes = result_of(laid.layer.get(lay("settings"), ""))["outlines"]
    assert sizes["tab"] == pytest.approx([480.0, 92.0])
    assert set(sizes) == {"front", "back", "tab"}


def test_a_part_that_was_scaled_is_resized_though_it_is_the_only_copy(laid: Edited) -> None:
    laid.transform("back", 1, "scale(1.02)")
    assert kinds(laid, "back") == ["resized"]
    (told,) = (one for one in laid.violations() if one["kind"] == "resized")
    assert told["amount"] == pytest.approx(2.0, abs=0.01)  # per cent


@pytest.mark.parametrize("transform", ["scale(1.03,1)", "scale(1,0.9)", "skewX(3)"])
def test_a_part_that_was_stretched_is_said_to_be_reshaped(laid: Edited, transform: str) -> None:
    """Its outline is longer by some per cent, but nothing else of it is."""
    laid.transform("back", 1, transform)
    (told,) = (one for one in laid.violations() if one["kind"] == "resized")
    assert "has been reshaped: its outline is" in told["sentence"]


@pytest.mark.parametrize("size", [0.9, 1.03])
def test_a_half_on_the_fold_is_resized_by_what_is_drawn_of_it(size: float) -> None:
    options = between_selvedges(900.0, rounds=1, spread="lengthwise")
    folded = Edited()
    folded.root = parse(lay_out(garment().document(), options, Run(no_time, never)).drawing).root
    folded.transform("back", 1, f"scale({size})")
    (told,) = (one for one in folded.violations() if one["kind"] == "resized")
    assert told["sentence"] == f"Back has been resized to {100.0 * size:g} %"
    assert told["amount"] == pytest.approx(100.0 * (size - 1.0), abs=0.01)


def test_an_original_that_was_scaled_is_edited_though_its_part_is_alike(laid: Edited) -> None:
    laid.find("back").set("transform", "scale(1.02)")
    assert kinds(laid, "back") == ["edited"]


@pytest.mark.parametrize("transform", ["rotate(33)", "scale(-1,1)", "translate(90,-7)"])
def test_an_original_that_was_only_moved_is_neither(laid: Edited, transform: str) -> None:
    laid.find("back").set("transform", transform)
    assert kinds(laid, "back") == []


@pytest.mark.parametrize(
    "stored",
    [
        None,
        "480 92",
        [480.0],
        [0.0, 92.0],
        [480.0, 0.0],
        [-480.0, 92.0],
        ["480", 92.0],
        [480.0, "9"],
    ],
)
def test_a_stored_size_that_is_none_is_passed_over(laid: Edited, stored: object) -> None:
    """Then the other copy bears witness that it is the part that has changed."""
    store(laid, "front", stored)
    laid.transform("front", 1, "scale(1.02)")
    assert kinds(laid, "front") == ["resized"]


@pytest.mark.parametrize("stored", [[1.1, 1.0], [1.0, 1.1], [0.9, 1.0], [1.0, 0.9]])
def test_an_original_of_another_area_or_length_than_is_stored_is_edited(
    laid: Edited, stored: list[float]
) -> None:
    sizes = result_of(laid.layer.get(lay("settings"), ""))["outlines"]["back"]
    store(laid, "back", [one * by for one, by in zip(sizes, stored, strict=True)])
    laid.transform("back", 1, "scale(1.02)")
    assert kinds(laid, "back") == ["edited"]
