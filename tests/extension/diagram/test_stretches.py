# SPDX-License-Identifier: GPL-2.0-or-later
"""A layout too long for one picture is shown in stretches; one too wide is refused."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
import shapely

from extension.diagram.cloth import Cloth, cloths_of
from extension.diagram.distances import Distance, distances
from extension.diagram.lettered import lettered
from extension.diagram.paper import SCALES, leaves_of
from extension.diagram.places import Place, places
from extension.diagram.shapes import Picture, picture_of
from extension.diagram.stretches import pictures_of
from extension.language.errors import OptionError
from extension.layouts.checked import examined, layout_now
from extension.layouts.layers import one_layer
from extension.svg.leaves import read_leaves
from tests.helpers.diagrams import published
from tests.helpers.edited import Edited

A4 = leaves_of("a4", lambda width: 40.0)


@pytest.fixture(scope="module")
def laid() -> tuple[Place, ...]:
    """Return five parts, the longest of them 20 cm long, between 0 and 46 cm from the cut end."""
    document = Edited().document
    leaves = read_leaves(document, include_layouts=True)
    checked = examined(document, leaves, one_layer(document, ""))
    return places(checked, cloths_of(checked.layer.options, layout_now(checked)))


def row_of(laid: tuple[Place, ...], copies: int) -> tuple[Place, ...]:
    """Return the parts again and again, each time half a metre farther along the cloth."""
    return tuple(moved(place, 500.0 * n) for n in range(copies) for place in laid)


def moved(place: Place, by: float) -> Place:
    """Return a place farther from the cut end."""
    (x0, y0), (x1, y1) = place.grain
    return replace(
        place,
        polygon=shapely.affinity.translate(place.polygon, by, 0.0),
        paper=shapely.affinity.translate(place.paper, by, 0.0),
        grain=((x0 + by, y0), (x1 + by, y1)),
        ends=tuple(replace(end, at=(end.at[0] + by, end.at[1])) for end in place.ends),
    )


def test_a_layout_that_fits_is_one_picture(laid: tuple[Place, ...]) -> None:
    for scale in SCALES:
        _, pictures = pictures_of(laid, Cloth(500.0, 900.0, True, "metric"), A4, scale, "A")
        (picture,) = pictures
        assert not picture.goes_on
        assert picture.others == ()


@pytest.mark.parametrize(("copies", "scale"), [(24, "fit"), (24, "1:20"), (9, "1:10")])
def test_every_part_is_told_once_and_whole(
    laid: tuple[Place, ...], copies: int, scale: str
) -> None:
    many = row_of(laid, copies)
    cloth = Cloth(500.0 * copies, 900.0, True, "metric")
    leaf, pictures = pictures_of(many, cloth, A4, scale, "A")
    assert len(pictures) > 1
    told = [shape.place for picture in pictures for shape in picture.shapes]
    assert sorted(map(id, told)) == sorted(map(id, many))
    for picture in pictures:
        seen = shapely.box(0.0, 0.0, *picture.size).buffer(1e-6)
        assert all(seen.contains(shape.outline) for shape in picture.shapes)
        assert picture.extent[0] <= leaf.room[0] + 1e-6
        assert picture.extent[1] <= leaf.room[1] + 1e-6
        assert picture.scale == pictures[0].scale
    wanted = SCALES[scale]
    assert pictures[0].scale == 1.0 / wanted if wanted else pictures[0].scale >= 1.0 / 20.0


def test_stretches_are_as_large_as_they_can_be(laid: tuple[Place, ...]) -> None:
    many, cloth = row_of(laid, 12), Cloth(6000.0, 900.0, True, "metric")
    leaf, pictures = pictures_of(many, cloth, A4, "fit", "A")
    _, small = pictures_of(many, cloth, A4, "1:20", "A")
    assert len(small) == 2 < len(pictures) == 3  # for the distances
    # A third of it on each: only a part that is whole on one of them keeps them from being larger.
    assert max(one.extent[0] for one in pictures) == pytest.approx(leaf.room[0], abs=0.2)
    assert pictures[0].scale > 1.4 / 20.0


@pytest.mark.parametrize("name", ["apart", "skirts, in stretches"])
def test_every_stretch_has_distances_from_the_cut_end(laid: tuple[Place, ...], name: str) -> None:
    many, cloth = row_of(laid, 24), Cloth(12_000.0, 900.0, True, "metric")
    _, pictures = pictures_of(many, cloth, A4, "1:10", "A")
    if name == "skirts, in stretches":
        (section,) = published(name)
        pictures = section.pictures
    assert len(pictures) > 1
    for picture in pictures:
        level = [one for one in shown_on(picture) if one.is_level]
        assert level
        for one in level:
            told = picture.start + one.end[0] / picture.scale
            assert float(one.text) * 10.0 == pytest.approx(told, abs=0.5 + 1e-6)
            assert one.from_before == (picture.start > 0.0)
            # From the edge of the picture, or pointing back at the nearest edge from the part.
            assert one.start[0] == 0.0 or one.start[0] > one.end[0]


def test_a_part_close_to_the_edge_of_a_stretch_has_its_distance_in_itself(
    laid: tuple[Place, ...],
) -> None:
    largest = max(laid, key=lambda place: place.polygon.area)
    cloth, near = Cloth(12_000.0, 900.0, True, "metric"), moved(largest, 3000.0 - largest.leading)
    picture = picture_of([near], cloth, 0.1, (2980.0, 5000.0))
    (one,) = [one for one in distances(picture) if one.is_level]
    assert one.text == "300.0"
    assert picture.shapes[0].outline.buffer(0.2).contains(one.line)
    assert one.start[0] > one.end[0] == pytest.approx(2.0)
    # Where the stretch itself begins at the part, the words beside the cloth say it.
    at_edge = picture_of([near], cloth, 0.1, (3000.0, 5000.0))
    assert not [one for one in distances(at_edge) if one.is_level]


def shown_on(picture: Picture) -> list[Distance]:
    """Return the distances that have room for their figures."""
    return [one.distance for one in lettered(picture).figures]


def test_no_cloth_is_left_out_between_stretches(laid: tuple[Place, ...]) -> None:
    cloth = Cloth(12_000.0, 900.0, True, "metric")
    many = row_of(laid, 24)
    _, pictures = pictures_of(many, cloth, A4, "1:20", "A")
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
        pictures_of(laid, cloth, A4, "1:10", "A")


def test_cloth_too_wide_for_stretches_is_one_small_picture(laid: tuple[Place, ...]) -> None:
    cloth = Cloth(9000.0, 6000.0, True, "metric")
    _, (picture,) = pictures_of(laid, cloth, A4, "fit", "A")
    assert picture.scale < 1.0 / 20.0
