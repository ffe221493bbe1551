# SPDX-License-Identifier: GPL-2.0-or-later
"""A layout too long for one picture is shown in stretches; one too wide is refused."""

from __future__ import annotations

import itertools

import pytest
import shapely

from extension.checking.check_layout import examined
from extension.checking.layers import one_layer
from extension.diagram.paper import SCALES
from extension.diagram.places import Place, places
from extension.diagram.shapes import Cloth
from extension.diagram.stretches import pictures_of
from extension.errors import OptionError
from extension.leaves import read_leaves
from tests.helpers.edited import Edited


@pytest.fixture(scope="module")
def laid() -> tuple[Place, ...]:
    """Return five parts, the longest of them 20 cm long, between 0 and 46 cm from the cut end."""
    document = Edited().document
    leaves = read_leaves(document, include_layouts=True)
    return places(examined(document, leaves, one_layer(document, "")))


def row_of(laid: tuple[Place, ...], copies: int) -> tuple[Place, ...]:
    """Return the parts again and again, each time half a metre farther along the cloth."""
    return tuple(moved(place, 500.0 * n) for n in range(copies) for place in laid)


def moved(place: Place, by: float) -> Place:
    """Return a place farther from the cut end."""
    (x0, y0), (x1, y1) = place.grain
    return Place(
        place.number,
        place.cut,
        place.copy,
        place.flipped,
        shapely.affinity.translate(place.polygon, by, 0.0),
        ((x0 + by, y0), (x1 + by, y1)),
        place.selvedge,
        place.ends,
    )


def test_a_layout_that_fits_is_one_picture(laid: tuple[Place, ...]) -> None:
    for scale in SCALES:
        _, pictures = pictures_of(laid, Cloth(500.0, 900.0, True, "metric"), "a4", scale, "A")
        (picture,) = pictures
        assert not picture.goes_on
        assert picture.others == ()


@pytest.mark.parametrize(("copies", "scale"), [(24, "fit"), (24, "1:20"), (9, "1:10")])
def test_every_part_is_told_once_and_whole(
    laid: tuple[Place, ...], copies: int, scale: str
) -> None:
    many = row_of(laid, copies)
    cloth = Cloth(500.0 * copies, 900.0, True, "metric")
    leaf, pictures = pictures_of(many, cloth, "a4", scale, "A")
    assert len(pictures) > 1
    told = [shape.place for picture in pictures for shape in picture.shapes]
    assert sorted(map(id, told)) == sorted(map(id, many))
    for picture in pictures:
        seen = shapely.box(0.0, 0.0, *picture.size).buffer(1e-6)
        assert all(seen.contains(shape.outline) for shape in picture.shapes)
        assert picture.extent[0] <= leaf.room[0] + 1e-6
        assert picture.extent[1] <= leaf.room[1] + 1e-6
        assert picture.scale == 1.0 / (SCALES[scale] or 20.0)


def test_no_cloth_is_left_out_between_stretches(laid: tuple[Place, ...]) -> None:
    cloth = Cloth(12_000.0, 900.0, True, "metric")
    many = row_of(laid, 24)
    _, pictures = pictures_of(many, cloth, "a4", "fit", "A")
    assert pictures[0].start == 0.0
    assert pictures[-1].end == cloth.length
    for one, other in itertools.pairwise(pictures):
        assert one.start < other.start <= one.end
    # What is told on the next stretch, or was on the one before, is seen all the same.
    for picture in pictures:
        told = {id(shape.place) for shape in picture.shapes}
        crossing = [
            place
            for place in many
            if id(place) not in told
            and place.leading < picture.end - 1.0
            and place.polygon.bounds[2] > picture.start + 1.0
        ]
        assert len(picture.others) >= len(crossing)
    assert any(picture.others for picture in pictures)


def test_cloth_too_wide_for_the_scale_is_refused(laid: tuple[Place, ...]) -> None:
    cloth = Cloth(3000.0, 2500.0, True, "metric")
    with pytest.raises(OptionError, match="At 1:10 the layout A is larger than the paper"):
        pictures_of(laid, cloth, "a4", "1:10", "A")


def test_cloth_too_wide_for_stretches_is_one_small_picture(laid: tuple[Place, ...]) -> None:
    cloth = Cloth(9000.0, 6000.0, True, "metric")
    _, (picture,) = pictures_of(laid, cloth, "a4", "fit", "A")
    assert picture.scale < 1.0 / 20.0
