# SPDX-License-Identifier: GPL-2.0-or-later
"""The full size on many leaves: nothing lost between pages, true in size, easy to put together."""

from __future__ import annotations

import io
import itertools
import re
from pathlib import Path

import pytest
import shapely
from lxml import etree

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.diagram.editor import editor_here, pdf_of
from extension.diagram.full_size import Drawn, drawn_full, full_size
from extension.diagram.paper import PAPERS, Paper
from extension.diagram.tiles import AROUND, OVERLAP, Tile, tiled, tiling_of
from extension.drawn.lettering import line_width
from extension.layouts.layers import one_layer
from extension.svg.transforms import parse_transform
from tests.helpers.cloth import typed_between_selvedges
from tests.helpers.edited import Edited
from tests.helpers.garments import garment
from tests.helpers.layouts import no_time
from tests.helpers.pdf import pages_of
from tests.helpers.screen import need

HREF = "{http://www.w3.org/1999/xlink}href"
SIZES = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""mm: ISO 216; ANSI/ASME Y14.1, size A (8 1/2 in by 11 in)."""


def drawn(edited: Edited) -> Drawn:
    return drawn_full(edited.document, one_layer(edited.document, ""))


def pages(edited: Edited, paper: Paper = "a4") -> list[etree._Element]:
    """Return the groups of the pages, without the first, which tells how they lie."""
    root = etree.fromstring(tiled(edited.document, one_layer(edited.document, ""), paper))
    return [one for one in root.iter("{*}g") if (one.get("id") or "").startswith("tile-")]


def fields(edited: Edited, paper: Paper) -> dict[str, shapely.Polygon]:
    """Return what each kept page shows of the drawing, by its name."""
    tiling = tiling_of(drawn(edited), paper)
    wide, high = tiling.field
    kept = {str(one.get("id")).removeprefix("tile-") for one in pages(edited, paper)}
    return {
        one.name: shapely.box(one.x, one.y, one.x + wide, one.y + high)
        for one in tiling.tiles()
        if one.name in kept
    }


@pytest.mark.parametrize("paper", PAPERS)
def test_every_part_is_on_the_pages_whole(paper: Paper) -> None:
    edited = Edited()
    shown = shapely.union_all(list(fields(edited, paper).values()))
    for box in drawn(edited).boxes:
        assert shown.covers(shapely.box(*box))
    parts = {one.get(HREF) for page in pages(edited, paper) for one in page.iter("{*}use")}
    assert {f"#part{number}" for number in range(len(drawn(edited).boxes))} <= parts


@pytest.mark.parametrize("paper", PAPERS)
def test_the_whole_cloth_with_its_words_would_be_covered(paper: Paper) -> None:
    own = drawn(Edited())
    tiling = tiling_of(own, paper)
    wide, high = tiling.field
    every = [shapely.box(one.x, one.y, one.x + wide, one.y + high) for one in tiling.tiles()]
    cloth = shapely.box(-AROUND, -AROUND, own.along + AROUND, own.down + AROUND)
    assert shapely.union_all(every).buffer(1e-6).covers(cloth)
    assert high + 24.0 <= SIZES[paper][1]
    assert wide + 24.0 <= SIZES[paper][0]


def test_pages_beside_each_other_have_crosses_in_common() -> None:
    edited = Edited()
    root = etree.fromstring(tiled(edited.document, one_layer(edited.document, ""), "a4"))
    (group,) = [one for one in root.iter("{*}g") if one.get("id") == "crosses"]
    lines = [re.findall(r"-?[\d.]+", one.get("d", "")) for one in group.iter("{*}path")]
    spots = {((float(a) + float(c)) / 2, (float(b) + float(d)) / 2) for a, b, c, d in lines}
    joined = 0
    for one, other in itertools.combinations(fields(edited, "a4").values(), 2):
        common = one.intersection(other)
        if common.area <= OVERLAP**2 + 1.0:  # they touch at a corner at most
            continue
        joined += 1
        low_x, low_y, high_x, high_y = common.bounds
        assert min(high_x - low_x, high_y - low_y) == pytest.approx(OVERLAP)
        assert sum(common.covers(shapely.Point(spot)) for spot in spots) == 3
    assert joined >= 6


def test_pages_are_in_true_size_and_only_moved() -> None:
    for page in pages(Edited()):
        (field,) = [one for one in page if one.get("clip-path")]
        assert re.fullmatch(r"translate\([-\d. ]+\)", field.get("transform", ""))
        assert all(one.get("transform") is None for one in field.iter("{*}use"))


@pytest.mark.parametrize(("width", "side"), [("90cm", 20.0), ("36in", 25.4)])
def test_every_page_has_a_square_and_a_frame_to_measure(width: str, side: float) -> None:
    edited = Edited(garment(), typed_between_selvedges({"fabric_width": width}))
    own = pages(edited)
    assert own
    for page in own:
        sizes = [(float(r.get("width")), float(r.get("height"))) for r in page.iter("{*}rect")]
        assert (side, side) in [pytest.approx(size) for size in sizes]
        assert tiling_of(drawn(edited), "a4").field in sizes


def test_a_page_names_those_beside_it_and_the_ends_of_the_cloth() -> None:
    said = {str(one.get("id")): "|".join(map(str, one.itertext())) for one in pages(Edited())}
    assert "above: C2" in said["tile-D2"]
    assert "left: D1, right: D3" in said["tile-D2"]
    assert "cut end" in said["tile-D1"]
    assert "cut end" not in said["tile-D2"]


@pytest.mark.parametrize(("row", "name"), [(0, "A1"), (25, "Z1"), (26, "AA1"), (51, "AZ1")])
def test_rows_have_letters_however_many_there_are(row: int, name: str) -> None:
    assert Tile(0, row, 0.0, 0.0).name == name


def test_the_command_writes_pages_instead_of_the_single_one(tmp_path: Path) -> None:
    drawing, file = tmp_path / "laid.svg", tmp_path / "full"
    drawing.write_bytes(Edited().data)
    told = io.StringIO()
    words = ["diagram", str(drawing), "--full-size", str(file), "--tiles", "letter"]
    assert run(words, Terminal(told, io.StringIO()), no_time) == 0
    # The name had no ending that tells what it is.
    root = etree.fromstring((tmp_path / "full.svg").read_bytes())
    assert "full.svg" in told.getvalue()
    assert len(root.findall(".//{*}page")) == 1 + len(pages(Edited(), "letter"))


@pytest.mark.editor
def test_the_editors_pdf_has_every_page(tmp_path: Path) -> None:
    need("inkscape")
    edited, file = Edited(), tmp_path / "tiles.pdf"
    file.write_bytes(
        pdf_of(tiled(edited.document, one_layer(edited.document, ""), "a4"), editor_here())
    )
    made = pages_of(file)
    assert len(made) == 1 + len(pages(edited))
    for page in made:
        assert (page.width, page.height) == pytest.approx(SIZES["a4"], abs=0.5)
        # Words that the frame cuts off are in the file as well, among those of the foot.
        assert {"square", "must", "measure"} <= {word.text for word in page.words}
    told = " ".join(page.text for page in made)
    assert "Back" in told  # of the drawing itself, which the editor finds by reference
    assert "2-2 Front" in told


def test_the_ends_of_the_cloth_are_named_clear_of_the_numbers_of_the_grid() -> None:
    edited = Edited()
    root = etree.fromstring(tiled(edited.document, one_layer(edited.document, ""), "letter"))
    names = [one for one in root.iter("{*}text") if "".join(map(str, one.itertext())) == "cut end"]
    assert names
    numbers = [
        one
        for one in root.iter("{*}text")
        if "".join(map(str, one.itertext())).isdigit() and "text-anchor:end" in one.get("style", "")
    ]
    assert numbers
    reach = min(
        float(one.get("x", "nan")) - line_width("".join(map(str, one.itertext())), 5.0)
        for one in numbers
    )
    for name in names:
        (_, _, x), _ = parse_transform(name.get("transform"))
        assert x < reach


def test_the_cover_tells_once_how_to_print_and_nothing_of_a_projector() -> None:
    edited = Edited()
    layer = one_layer(edited.document, "")
    root = etree.fromstring(tiled(edited.document, layer, "a4"))
    (cover,) = (one for one in root.iter("{*}g") if one.get("id") == "cover")
    told = " ".join(" ".join(cover.itertext()).split())
    assert told.count("100 %") == 1
    assert told.count("fit to page") == 1
    assert "project" not in told
    assert "licence" in told
    large = " ".join(etree.fromstring(full_size(edited.document, layer)).itertext())
    assert large.count("100 %") == 1
    assert "projector" in large
