# SPDX-License-Identifier: GPL-2.0-or-later
"""The small picture: fitted into its box, and made of nothing that was not looked at."""

from __future__ import annotations

import copy
import json
import random
from itertools import pairwise
from typing import Any

import pytest
from lxml import etree

from extension.host import pictures
from extension.host.pictures import Figure, fitted, svg_of

CLOTH: dict[str, Any] = {
    "name": "main",
    "length": 800.0,
    "first": 1000.0,
    "width": 400.0,
    "sections": [[0.0, 0.0, 800.0, 400.0, 1]],
    "parts": [
        {"points": [0, 0, 200, 0, 200, 100], "flipped": 0},
        {"points": [600, 300, 800, 300, 800, 400, 600, 400], "flipped": 1},
    ],
}
WIDTH, HEIGHT = 402, 202


def fit(*cloths: object) -> Figure:
    figure = fitted({"cloths": list(cloths)}, WIDTH, HEIGHT)
    assert figure is not None
    return figure


def test_a_cloth_is_drawn_to_scale_with_what_was_saved_behind_it() -> None:
    figure = fit(CLOTH)
    assert [colours for colours, _ in figure.polygons] == [
        pictures.SAVED,
        pictures.ONE_LAYER,
        pictures.AS_DRAWN,
        pictures.FLIPPED,
    ]
    saved, cloth, part, _ = (points for _, points in figure.polygons)
    assert saved[2] == pytest.approx((401.0, 161.0))  # 1000 mm on 400 px
    assert cloth[2] == pytest.approx((321.0, 161.0))
    assert [pytest.approx(point) for point in part] == [(1.0, 1.0), (81.0, 1.0), (81.0, 41.0)]
    assert (figure.size, figure.words) == ((WIDTH, 162), [])


@pytest.mark.parametrize("lengths", [(1000.0, 900.0), (100.0, 120.0), (2000.0, 40.0, 40.0)])
def test_several_cloths_are_named_and_stay_in_the_box_at_one_scale(
    lengths: tuple[float, ...],
) -> None:
    cloths = [
        {**CLOTH, "name": f"n{i}", "length": x, "first": x, "parts": [], "sections": []}
        for i, x in enumerate(lengths)
    ]
    for i, one in enumerate(cloths):
        one["sections"] = [[0.0, 0.0, lengths[i], 400.0, 1 + i % 2]]
    figure = fit(*cloths)
    boxes = [(min(p), max(p)) for _, p in figure.polygons]
    wide = [high[0] - low[0] for low, high in boxes]
    assert [one / wide[0] for one in wide] == pytest.approx([x / lengths[0] for x in lengths])
    assert [word for _, word in figure.words] == [f"n{i}" for i in range(len(lengths))]
    for low, high in boxes:
        assert low[0] >= 0.0
        assert low[1] >= 0.0
        assert high[0] <= WIDTH
        assert high[1] <= figure.size[1] <= HEIGHT + 1
    for (_, first), (second, _) in pairwise(boxes):
        assert second[0] >= first[0] or second[1] >= first[1]


def test_gtk_gets_svg_that_a_strict_reader_takes() -> None:
    figure = fit({**CLOTH, "name": 'a<b>&"c'}, {**CLOTH, "name": "\ud800\x00 d"})
    root = etree.fromstring(svg_of(figure).encode("utf-8"))
    texts = [one.text for one in root.iter("{*}text")]
    assert texts == ['a<b>&"c', "? d"]
    assert len(list(root.iter("{*}polygon"))) == len(figure.polygons)


@pytest.mark.parametrize(
    "picture",
    [
        None,
        7,
        "picture",
        [],
        {},
        {"cloths": None},
        {"cloths": {}},
        {"cloths": [None, 7, [], "x"]},
        {"cloths": [{**CLOTH, "width": 0.0}]},
        {"cloths": [{**CLOTH, "length": float("nan")}]},
        {"cloths": [{**CLOTH, "first": float("inf")}]},
        {"cloths": [{**CLOTH, "length": 10**400}]},
        {"cloths": [{**CLOTH, "length": True}]},
    ],
)
def test_what_is_no_picture_is_none(picture: object) -> None:
    assert fitted(picture, WIDTH, HEIGHT) is None


def test_a_part_that_is_none_is_left_out_alone() -> None:
    wrong: list[object] = [
        None,
        {"points": [0, 0, 1, 1]},
        {"points": [0, 0, 1, 1, "x", 2]},
        {"points": [0, 0, 1, 1, float("nan"), 2]},
        {"points": None},
        {},
    ]
    figure = fit({**CLOTH, "parts": [*wrong, *CLOTH["parts"]]})
    assert len(figure.polygons) == 4


def test_too_much_of_a_picture_is_left_out() -> None:
    part = {"points": [0, 0, 200, 0, 200, 100] * 100, "flipped": 0}
    figure = fitted({"cloths": [{**CLOTH, "parts": [part] * 500}] * 50}, WIDTH, HEIGHT)
    assert figure is not None
    assert sum(2 * len(points) for _, points in figure.polygons) < pictures.MOST_NUMBERS + 200
    assert len(figure.words) <= pictures.MOST_CLOTHS


def test_no_garbage_makes_it_fail() -> None:
    choose = random.Random(7)
    values = [None, True, -1, 0, 3.5, 1e300, float("nan"), "x", [], {}, [[]], 10**50, "\udfff"]

    def spoilt(one: Any) -> Any:
        if choose.random() < 0.08:
            return choose.choice(values)
        if isinstance(one, dict):
            return {name: spoilt(value) for name, value in one.items()}
        return [spoilt(value) for value in one] if isinstance(one, list) else one

    seen = set()
    for _ in range(800):
        figure = fitted(spoilt({"cloths": [copy.deepcopy(CLOTH)] * 2}), WIDTH, HEIGHT)
        seen.add(figure is None)
        if figure is not None:
            etree.fromstring(svg_of(figure).encode("utf-8"))
            json.dumps(figure.words).encode("ascii")
    assert seen == {True, False}
