# SPDX-License-Identifier: GPL-2.0-or-later
"""The picture of a layout: where parts and labels go, and that it shows what it should."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from matplotlib.image import imread

from extension.picture import (
    CLOTH,
    FLIPPED,
    LaidPart,
    draw_picture,
    label_of,
    laid_parts,
    length_line,
    room_for_label,
    text_size,
)


@pytest.fixture
def report() -> dict[str, Any]:
    """Return the report of a pair on cloth 1 m long and 0.5 m wide."""
    placement = {"piece": "a", "garment": 1, "turn": 0.0}
    return {
        "length": 1000.0,
        "width": 500.0,
        "utilisation": 0.32,
        "buy": {"sentence": "needs 1.01 m + 5 cm end allowance – buy 1.10 m / 1 1/4 yd"},
        "options": {"nap": True},
        "outlines": {"a": [[0, 0], [200, 0], [200, 400], [0, 400]]},
        "pieces": [{"id": "a", "name": "Yoke", "grain": 90.0, "copies": 2}],
        "placements": [
            {**placement, "copies": [1], "flip": False, "x": 0.0, "y": 250.0},
            {**placement, "copies": [2], "flip": True, "x": 500.0, "y": 50.0},
        ],
    }


def test_parts_lie_where_the_placements_say(report: dict[str, Any]) -> None:
    first, second = laid_parts(report)
    # Grain up: the piece is turned a quarter clockwise, so its height lies along the cloth.
    assert first.points.min(axis=0) == pytest.approx([0.0, 50.0])
    assert first.points.max(axis=0) == pytest.approx([400.0, 250.0])
    assert second.points.min(axis=0) == pytest.approx([500.0, 50.0])
    assert (first.number, first.flipped) == ("1 of 2", False)
    assert (second.number, second.flipped) == ("2 of 2", True)


def test_labels_say_name_number_and_hand() -> None:
    points = np.zeros((3, 2))
    long = LaidPart(points, "Left front facing of the coat", "2 of 2", True, (1.0, 0.0))
    assert label_of(long).split("\n")[-3:] == ["2 of 2", "printed", "side down"]
    assert max(map(len, label_of(long).split("\n"))) <= 14
    assert label_of(LaidPart(points, "Back", "", False, (1.0, 0.0))) == "Back"


def test_a_label_goes_to_the_widest_place() -> None:
    # An L: the greatest circle lies in the corner between its arms, radius by Pythagoras.
    arms = np.array([[0, 0], [9, 0], [9, 2], [2, 2], [2, 9], [0, 9]], dtype=float)
    (x, y), radius = room_for_label(arms)
    # Centre (r, r) touches both outer edges and the inner corner: r = 2 / (1 + 1 / sqrt 2).
    assert radius == pytest.approx(2.0 / (1.0 + 2.0**-0.5), rel=0.02)
    assert (x, y) == pytest.approx((radius, radius), abs=0.1)


def test_text_grows_with_its_room_up_to_a_limit() -> None:
    assert text_size("Pocket", 10.0) < text_size("Pocket", 20.0)
    assert text_size("Pocket", 1e6) == text_size("P", 1e6)
    assert text_size("Pocket\n1 of 2", 10.0) < text_size("Pocket", 10.0)


def test_the_line_is_that_of_the_report(report: dict[str, Any]) -> None:
    assert length_line(report) == (
        "needs 1.01 m + 5 cm end allowance – buy 1.10 m / 1 1/4 yd – 32.0 % of the cloth used"
    )


def rgb(colour: str) -> list[float]:
    return [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]


def share_of(picture: np.ndarray, colour: str) -> float:
    return float((np.abs(picture[..., :3] - rgb(colour)).max(axis=-1) < 0.01).mean())


def test_the_picture_shows_cloth_and_parts_in_their_proportions(
    report: dict[str, Any], tmp_path: Path
) -> None:
    file = tmp_path / "bild ä.png"
    draw_picture(report, file, "A yoke")
    picture = imread(file)
    cloth, flipped = share_of(picture, CLOTH), share_of(picture, FLIPPED)
    # 0.5 m2 of cloth less two parts of 0.08 m2; the labels and edges take a little.
    assert flipped / cloth == pytest.approx(0.08 / 0.34, rel=0.06)
    assert 0.1 < flipped / (flipped + cloth) < 0.3


def test_small_parts_get_a_number_and_a_legend(report: dict[str, Any], tmp_path: Path) -> None:
    report["outlines"] = {"a": [[0, 0], [12, 0], [12, 12], [0, 12]]}
    draw_picture(report, tmp_path / "small.png", "Tiny")
    corner = imread(tmp_path / "small.png")[-60:, :600, :3]
    assert corner.min() < 0.7  # the legend stands in the lower left corner
