# SPDX-License-Identifier: GPL-2.0-or-later
"""Remnants that are drawn: read, laid on, drawn with the layout, kept, checked and tightened."""

from __future__ import annotations

import io
import json
from pathlib import Path

import numpy as np
import pytest
import shapely

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.diagram.full_size import full_size
from extension.diagram.page import page
from extension.job.reading import ReadRequest, read_pieces
from extension.job.settings import options_of
from extension.language.errors import DrawingError, OptionError
from extension.language.names import lay
from extension.layouts.layers import chosen_layers
from extension.markings.proposing import propose
from extension.operations.again import orders_again
from extension.operations.check import check_layouts
from extension.operations.details import changes_from, set_details
from extension.operations.lay_out import Outcome, lay_out_again
from extension.operations.running import Run
from extension.operations.tighten import tighten_layout
from extension.operations.untold import NOT_LAID_ON, UNTOLD, width_typed
from extension.pieces.remnants import chosen_cloths, cloths_drawn
from extension.svg.document import Document, parse, serialise
from extension.svg.leaves import read_leaves
from nesting.stop import AfterRounds
from tests.helpers.diagrams import sections_of
from tests.helpers.layouts import no_time
from tests.helpers.remnants import UP, cloths, drawing_of, laid, never

ANGLE = '<path id="shape" d="M400,400 V100 H500 V200 H700 V400 Z"/>'
"""300 by 300 mm as drawn, without the upper right."""
SMALL = '<rect id="in" x="450" y="250" width="99" height="99"/>'
PATCH = (
    '<g id="patch"><rect id="square" x="10" y="10" width="100" height="100" lay:name="Patch" '
    f'lay:cut="7 same"/>{UP.format("p", "60,100", 30)}</g>'
)


def drawing(cloth: str, pieces: str = PATCH) -> Document:
    """Return a drawing of a piece of cloth and pieces."""
    return drawing_of(cloth, pieces)


def cloth(shapes: str = ANGLE) -> str:
    return f'<g id="rest" lay:role="cloth" lay:name="Blue linen">{shapes}</g>'


@pytest.fixture(scope="module")
def angle() -> Outcome:
    """Return seven squares on an angle that seven squares fill."""
    return laid(drawing(cloth()), "blue LINEN")


def test_an_angle_is_filled_and_the_figures_are_its_own(angle: Outcome) -> None:
    assert angle.all_fit
    assert angle.report["length"] == pytest.approx(300.0, abs=1e-3)
    assert angle.report["utilisation"] == pytest.approx(1.0)
    assert angle.summary[0] == "Uses 0.30 m of 0.30 m in hand (no end allowance is kept)."
    assert angle.summary[1].startswith(
        "On remnant “Blue linen”, 0.30 m long and 0.30 m wide at most, 0.07 m² of cloth."
    )
    assert any(line.startswith("Parts cover 100.0% of the remnant") for line in angle.summary)
    assert not any("selvedge" in line for line in angle.summary)


def test_the_layout_lies_on_the_shape_of_the_remnant(angle: Outcome) -> None:
    document = parse(angle.drawing)
    leaves = read_leaves(document, include_layouts=True)
    (shape,) = (leaf for leaf in leaves if leaf.label == "usable cloth")
    area = shapely.Polygon(shape.rings[0].points)
    assert area.area == pytest.approx(7e4, abs=1.0)
    parts = [leaf for leaf in leaves if leaf.attributes.get("of") == "square" and leaf.rings]
    assert len(parts) == 7
    for part in parts:
        assert area.buffer(0.01).contains(shapely.Polygon(part.rings[0].points))
    (layer,) = chosen_layers(document, [angle.report["layer"]])
    assert layer.label == "Layout 1 – remnant “Blue linen”, main"


def test_the_remnant_is_kept_with_the_layout(angle: Outcome) -> None:
    document = parse(angle.drawing)
    (layer,) = document.root.xpath(f"//*[@id='{angle.report['layer']}']")
    options = options_of(layer.get(lay("settings")))
    assert options.remnant is not None
    assert options.remnant.area == pytest.approx(7e4)
    assert (options.usable_width, options.fabric_length) == (300.0, 300.0)
    (order,) = orders_again(document, chosen_layers(document, []), {"gap": "1mm"})
    again = lay_out_again(document, [order], Run(no_time, never))
    assert not again.all_fit
    assert any(line.startswith("What did not fit measures") for line in again.summary)
    with pytest.raises(OptionError, match="lies on a remnant, which has a width"):
        orders_again(document, chosen_layers(document, []), {"fabric_width": "1m"})


def test_check_finds_what_left_the_remnant_and_tighten_brings_it_back(angle: Outcome) -> None:
    assert not check_layouts(parse(angle.drawing)).report["violations"]
    document = parse(angle.drawing)
    parts = [node for node in document.root.iter("{*}g") if node.get(lay("of")) == "square"]
    part = parts[-1]
    part.set("transform", f"translate(60,-40) {part.get('transform', '')}")
    moved = parse(serialise(document))
    found = check_layouts(moved)
    kinds = {one["kind"] for one in found.report["violations"]}
    assert "off the remnant" in kinds
    assert kinds <= {"off the remnant", "overlap"}
    assert any("off the remnant" in line for line in found.summary)
    layer = angle.report["layer"]
    tight = tighten_layout(moved, layer, Run(no_time, AfterRounds(20)))
    assert tight.drawing is not None
    checked = check_layouts(parse(tight.drawing), [tight.report["layer"]])
    assert not checked.report["violations"]
    assert checked.report["utilisation"] == pytest.approx(1.0)


def test_diagram_and_full_size_show_the_remnant(angle: Outcome) -> None:
    document = parse(angle.drawing)
    made = page(sections_of(document))
    assert made.count('class="cloth" fill-rule="evenodd"') == 1
    assert "left end to the nearest edge of the piece" in made
    assert "the frame that the remnant just fits in" in made
    assert "selvedge" not in made.partition("Before you cut")[0]
    (layer,) = chosen_layers(document, [])
    sheet = full_size(document, layer).decode()
    assert "left end – nap: all tops to the right end" in sheet
    assert "selvedge" not in sheet


def test_the_grain_of_the_group_lies_along_the_cloth() -> None:
    upright = drawing(cloth(ANGLE + UP.format("c", "420,380", 150)))
    (plain,), (turned,) = (cloths_drawn(read_leaves(one)) for one in (drawing(cloth()), upright))
    area = shapely.Polygon(plain.outline)
    assert area.bounds == shapely.Polygon(turned.outline).bounds == (0.0, 0.0, 300.0, 300.0)
    assert not area.contains(shapely.Point(250.0, 250.0))
    # What was at the right and above is at the end and below.
    rest = shapely.Polygon(turned.outline)
    assert rest.contains(shapely.Point(250.0, 250.0))
    assert not rest.contains(shapely.Point(250.0, 50.0))
    assert rest.area == pytest.approx(area.area)


@pytest.mark.parametrize(
    ("spot", "count"),
    [
        ('<circle id="spot" lay:role="flaw" cx="600" cy="300" r="5"/>', 1),
        ('<circle id="spot" inkscape:label="Flaw" cx="600" cy="300" r="5"/>', 1),
        ('<g inkscape:label="flaw"><circle id="spot" cx="600" cy="300" r="5"/></g>', 1),
        ('<circle id="spot" inkscape:label="a flaw?" cx="600" cy="300" r="5"/>', 0),
    ],
)
def test_what_is_called_a_flaw_beside_the_cloth_is_one(spot: str, count: int) -> None:
    document = drawing(cloth() + spot)
    assert [len(found.flaws) for found in cloths_drawn(read_leaves(document))] == [count]
    outcome = laid(document, "rest")
    assert any("1 flaw of the cloth" in line for line in outcome.summary) == bool(count)
    assert any("Not laid: 1 unmarked" in line for line in outcome.summary) != bool(count)


def test_more_time_is_advised_where_nothing_says_that_it_cannot_help() -> None:
    two = PATCH.replace("100", "150").replace("7 same", "2 same")
    holed = '<path d="M400,100 H700 V400 H400 Z M480,180 h140 v140 h-140 Z"/>'
    outcome = laid(drawing(cloth(holed), two), "rest")
    (line,) = (line for line in outcome.summary if line.startswith("What did not fit measures"))
    assert line.endswith("lay it on other cloth, or run it again with more time.")


def test_a_flaw_that_is_open_is_refused() -> None:
    line = '<path inkscape:label="flaw" id="spot" d="M590,290 L610,290 L610,310"/>'
    with pytest.raises(DrawingError, match="said to be a flaw of the cloth, but is open"):
        laid(drawing(cloth() + line), "rest")


def test_holes_and_flaws_of_the_cloth_are_kept_free() -> None:
    holed = ANGLE.replace("Z", "Z M420,320 h40 v40 h-40 Z")
    flaw = '<circle id="spot" lay:role="flaw" cx="600" cy="300" r="5"/>'
    document = drawing(cloth(holed) + flaw)
    (found,) = cloths_drawn(read_leaves(document))
    assert np.ptp(np.array(found.holes[0]), axis=0) == pytest.approx((40.0, 40.0))
    assert np.mean(np.array(found.flaws[0]), axis=0) == pytest.approx((200.0, 100.0), abs=0.5)
    outcome = laid(document, "rest")
    assert not outcome.all_fit
    assert "1 flaw of the cloth, hatched on it: no part lies over it." in outcome.summary
    assert not [
        one
        for one in check_layouts(parse(outcome.drawing)).report["violations"]
        if one["kind"] != "count"
    ]


def test_cloth_is_chosen_by_selecting_it_and_is_never_a_piece() -> None:
    document = drawing(cloth(ANGLE + UP.format("c", "420,380", 150)))
    leaves = read_leaves(document)
    for select in (["shape"], ["rest"], ["shape", "patch"], ["grain-c"]):
        (found,), rest = chosen_cloths(leaves, (), select)
        assert found.id == "rest"
        assert rest == tuple(one for one in select if one == "patch")
    assert chosen_cloths(leaves, (), ["patch"]) == ((), ("patch",))
    reading = read_pieces(leaves, ReadRequest())
    assert [piece.id for piece in reading.pieces] == ["square"]
    assert reading.left_out == ()
    assert len(propose(document).pieces) == 1
    plain = laid(drawing(cloth()))
    assert plain.report["length"] == pytest.approx(100.0)


@pytest.mark.parametrize("select", [["around"], ["around", "patch"], ["all"], ["all", "shape"]])
def test_a_group_that_is_selected_means_the_cloth_in_it(select: list[str]) -> None:
    """A click on a shape with its grainline in one group selects the group, whoever is cloth."""
    line = UP.format("c", "420,380", 150)
    own = ANGLE.replace("<path", '<path lay:role="cloth" lay:name="Blue linen"')
    whole = f'<g id="all"><g id="around">{own}{line}</g>{PATCH}</g>'
    leaves = read_leaves(drawing(whole, ""))
    (found,), rest = chosen_cloths(leaves, (), select)
    assert found.id == "shape"
    assert rest == tuple(one for one in select if one in ("patch", "all"))
    assert chosen_cloths(leaves, ["around"], ()) == ((found,), ())
    plain = laid(drawing(whole, ""), select=select)
    assert plain.report["length"] == pytest.approx(300.0, abs=1e-3)
    assert not any("Nothing that is drawn" in line for line in plain.summary)


@pytest.mark.parametrize(
    ("shapes", "named", "typed", "words"),
    [
        (ANGLE, ["red"], {}, "No piece of cloth is called “red”: choose from “Blue linen”"),
        (ANGLE, ["rest"], {"fabric_length": "1m"}, "A remnant has its own length"),
        (ANGLE, ["rest"], {"spread": "lengthwise"}, "A remnant is laid open"),
        (ANGLE, ["rest"], {"repeat": "along=10cm"}, "A remnant is laid open"),
        (ANGLE, ["rest"], {"shrinkage": "5%"}, "Shrinkage is for cloth that is bought"),
        (ANGLE.replace("Z", ""), ["rest"], {}, "No piece of cloth is called “rest”"),
        (ANGLE + SMALL, ["rest"], {}, r"in “Blue linen” \(rest\), which is cloth: give it lay"),
        ('<rect id="s" x="9" y="9" width="99" height="5"/>', ["rest"], {}, "less than 10 mm long"),
        (
            ANGLE + '<path lay:role="grainline" d="M420,380 q99,0 99,-99"/>',
            ["rest"],
            {},
            "is not straight: draw it as one straight line",
        ),
    ],
)  # fmt: skip
def test_cloth_that_cannot_be_is_one_sentence(
    shapes: str, named: list[str], typed: dict[str, str], words: str
) -> None:
    with pytest.raises((DrawingError, OptionError), match=words):
        laid(drawing(cloth(shapes)), *named, **typed)


def test_several_materials_are_refused() -> None:
    lined = PATCH.replace("7 same", "1 main; 1 lining")
    with pytest.raises(OptionError, match="cloth of one material, but main and lining are to be"):
        laid(drawing(cloth(), lined), "rest", fabric_width="100cm")
    assert laid(drawing(cloth(), lined), "rest", material="lining").all_fit


def test_a_shape_is_marked_as_cloth_and_named_by_set_cutting_details() -> None:
    document = drawing(ANGLE)
    told = set_details(document, ["shape"], changes_from(["cloth=yes", "name=Scrap"])).summary
    assert told[0].startswith("Cloth to lay out on: the outline of ")
    assert told[0].endswith(" (shape).")
    (found,) = cloths_drawn(read_leaves(document))
    assert (found.id, found.name) == ("shape", "Scrap")
    set_details(document, ["shape"], {"cloth": "-"})
    assert cloths_drawn(read_leaves(document)) == ()
    for selected, changes, words in (
        (["square"], {"cloth": "yes"}, "has the details of a piece"),
        (["grain-p"], {"cloth": "yes"}, "No closed shape is selected"),
        (["shape"], {"cloth": "yes", "cut": "2"}, "has no cut: set its name with it"),
        (["shape"], {"cloth": "perhaps"}, "type yes, or -"),
    ):
        before = serialise(document)
        with pytest.raises((DrawingError, OptionError), match=words):
            set_details(document, selected, changes)
        assert serialise(document) == before


def test_the_terminal_lays_out_on_a_remnant(tmp_path: Path) -> None:
    source = tmp_path / "in.svg"
    source.write_bytes(serialise(drawing(cloth())))
    words = ["lay-out", str(source), "--cloth", "Blue linen", "--gap", "0mm", "--rounds", "4"]
    words += ["--output", str(tmp_path / "out.svg"), "--report", str(tmp_path / "r.json")]
    out, told = io.StringIO(), io.StringIO()
    assert run(words, Terminal(out, told), no_time) == 0
    report = json.loads((tmp_path / "r.json").read_text())
    assert report["options"]["remnant"]["name"] == "Blue linen"


def test_cloth_that_is_drawn_is_named_where_no_width_is_typed(tmp_path: Path) -> None:
    """In the terminal nobody can select it, in the dialog it may be selected."""
    source = tmp_path / "in.svg"
    for shapes, named in (
        (cloth(), "or lay the pieces on cloth that is drawn, “Blue linen” (rest): select it"),
        (
            cloths(500, 400),
            "is drawn, “Rest 500” (c500) and “Rest 400” (c400): select it with the pieces, or",
        ),
        ("", "cloth that is drawn"),
    ):
        source.write_bytes(serialise(drawing(shapes)))
        out, told = io.StringIO(), io.StringIO()
        words = ["lay-out", str(source), "--output", str(tmp_path / "out.svg")]
        assert run(words, Terminal(out, told), no_time) == 2
        assert told.getvalue().startswith("No fabric width is given: type it like “140cm”")
        assert (named in told.getvalue()) == bool(shapes)
        assert told.getvalue().count("\n") == 1
    document = drawing(cloth())
    assert width_typed(document, "90 cm", ()) == "90 cm"
    assert width_typed(document, " ", ["rest"]) == width_typed(document, "", ["shape"]) == UNTOLD
    with pytest.raises(OptionError, match="in a terminal name it with --cloth"):
        width_typed(document, "", ["patch"])


def test_it_is_told_that_cloth_is_drawn_and_was_not_laid_on() -> None:
    outcome = laid(drawing(cloth()))
    told = (
        "Not laid on cloth that is drawn, “Blue linen” (rest): for that select it with the pieces"
    )
    assert any(line.startswith(told) for line in outcome.summary)
    for other in (laid(drawing(cloth()), "Blue linen"), laid(drawing(""))):
        assert not any(line.startswith(NOT_LAID_ON) for line in other.summary)


@pytest.mark.parametrize("said", ['inkscape:label="flaw"', 'lay:role="flaw"'])
@pytest.mark.parametrize("on", [(), ("Blue linen",)])
def test_a_flaw_that_lies_on_no_cloth_is_no_piece_and_is_told(said: str, on: list[str]) -> None:
    stray = f'<rect id="spot" x="900" y="900" width="30" height="40" {said}/>'
    told = "Not laid: 1 flaw that lies on no cloth, so nothing was kept off it ("
    without, outcome = (laid(drawing(cloth() + more), *on) for more in ("", stray))
    assert any(line.startswith(told) for line in outcome.summary)
    assert not any("no cloth, so" in line for line in without.summary)
    assert outcome.report["placements"] == without.report["placements"]
    document = drawing(stray)
    assert all("spot" not in piece.id for piece in propose(document).pieces)
    with pytest.raises(DrawingError):
        set_details(document, ["spot"], {"cut": "2"})
