# SPDX-License-Identifier: GPL-2.0-or-later
"""Flaws of the cloth: typed, kept with the layout, drawn, told, and found again by Check."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.diagram.page import page
from extension.job.flaws import flaws_by_material, flaws_of
from extension.job.options import LayOutOptions, changed_options, options_from_text
from extension.job.settings import options_of, settings_text
from extension.job.wishes import wishes_from_text
from extension.language.errors import OptionError
from extension.language.names import lay
from extension.layouts.layers import chosen_layers, layout_layers
from extension.operations.again import orders_again
from extension.operations.check import check_layouts
from extension.operations.lay_out import Outcome, lay_out, lay_out_again
from extension.operations.running import Run
from extension.operations.tighten import tighten_layout
from extension.svg.building import element, inkscape
from extension.svg.document import Document, parse, serialise
from nesting.errors import ThriftlayError
from nesting.stop import AfterRounds
from tests.helpers.cloth import between_selvedges
from tests.helpers.diagrams import sections_of
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder

BOX = ((90.0, 140.0), (110.0, 140.0), (110.0, 160.0), (90.0, 160.0))


def never(rounds: int) -> bool:
    """A stop rule that leaves it to the rounds."""
    return False


def squares() -> SvgBuilder:
    """Return a square of 100 mm, cut six times."""
    made = SvgBuilder("600mm", "600mm", (0, 0, 600, 600))
    given = {"name": "Patch", "cut": "6", "grain": "up", "hand": "same"}
    made.add_rect(10, 10, 100, 100, id="patch", lay=given)
    return made


def cloth(**values: Any) -> LayOutOptions:
    return between_selvedges(300.0, rounds=4, **{"gap": 0.0, "flaws": (BOX,), **values})


@pytest.fixture(scope="module")
def flawed() -> Outcome:
    """Return squares laid round a flaw."""
    return lay_out(squares().document(), cloth(), Run(no_time, never))


def test_the_layout_goes_round_the_flaw_and_says_so(flawed: Outcome) -> None:
    assert flawed.report["length"] == pytest.approx(300.0, abs=1e-3)
    assert "1 flaw of the cloth, hatched on it: no part lies over it." in flawed.summary
    sound = lay_out(squares().document(), cloth(flaws=()), Run(no_time, never))
    assert sound.report["length"] == pytest.approx(200.0)
    assert not [line for line in sound.summary if "flaw" in line]


def test_the_flaw_is_drawn_where_it_lies(flawed: Outcome) -> None:
    (drawn,) = [
        node
        for node in parse(flawed.drawing).root.iter("{*}path")
        if node.get("{http://www.inkscape.org/namespaces/inkscape}label") == "flaw"
    ]
    # From the upper selvedge down, as the sheet counts.
    assert drawn.get("d", "").replace(",", " ").split()[1:3] == ["110", "160"]
    assert drawn.get(lay("decoration"), "").startswith("cloth ")


def test_the_flaw_is_kept_with_the_layout_and_can_be_taken_away(flawed: Outcome) -> None:
    (layer,) = parse(flawed.drawing).root.xpath(f"//*[@id='{flawed.report['layer']}']")
    options = options_of(layer.get(lay("settings")))
    assert options.flaws == (BOX,)
    assert changed_options(options, {"flaws": "none"}).flaws == ()
    assert changed_options(options, {"gap": "2mm"}).flaws == (BOX,)
    assert "flaws" not in settings_text(cloth(flaws=()), {})


def test_check_finds_the_parts_that_lie_over_a_flaw(flawed: Outcome) -> None:
    assert not check_layouts(parse(flawed.drawing)).report["violations"]
    document = parse(flawed.drawing)
    (layer,) = document.root.xpath(f"//*[@id='{flawed.report['layer']}']")
    stored = json.loads(layer.get(lay("settings")))
    stored["options"]["flaws"] = [[[-5, -5], [400, -5], [400, 305], [-5, 305]]]
    layer.set(lay("settings"), json.dumps(stored))
    checked = check_layouts(document)
    assert [one["kind"] for one in checked.report["violations"]] == ["flaw"] * 6
    assert checked.report["violations"][0]["amount"] == pytest.approx(1e4, rel=1e-3)
    assert "6 parts over a flaw" in checked.summary[0]
    assert any("lies over a flaw of the cloth by" in line for line in checked.summary)


def test_the_diagram_shows_the_flaw(flawed: Outcome) -> None:
    made = page(sections_of(parse(flawed.drawing)))
    assert made.count('class="flaw"') == 1
    assert "Dark grey: flaws of the cloth, over which nothing is laid." in made


@pytest.mark.parametrize("says", [{lay("role"): "flaw"}, {inkscape("label"): "Flaw"}], ids=str)
def test_a_shape_drawn_on_the_cloth_is_a_flaw_for_check_and_the_next_layout(
    says: dict[str, str],
) -> None:
    sound = lay_out(squares().document(), cloth(flaws=()), Run(no_time, never))
    document = parse(sound.drawing)
    (layer,) = layout_layers(document)
    # The sheet counts from the upper selvedge: 300 - 160 mm.
    box = {"x": "90", "y": "140", "width": "20", "height": "20", "id": "hole"}
    layer.element.append(element("rect", {**box, **says}))
    found = check_layouts(document)
    assert {one["kind"] for one in found.report["violations"]} == {"flaw"}
    assert not [line for line in found.summary if "hole" in line]

    document = parse(serialise(document))
    (order,) = orders_again(document, chosen_layers(document, ["hole"]), {})
    (drawn,) = order.options.flaws
    assert np.allclose(sorted(drawn), sorted(BOX), atol=1e-4)
    again = lay_out_again(document, [order], Run(no_time, never))
    assert again.report["length"] == pytest.approx(300.0, abs=1e-3)


@pytest.mark.parametrize(
    ("x", "y", "is_on"),
    [(90, 140, True), (90, -21, False), (90, 301, False), (-21, 140, False), (-10, 290, True)],
    ids=["on it", "above", "below", "before the cut end", "over two edges"],
)
def test_a_flaw_that_is_drawn_beside_the_cloth_is_told_and_none(
    x: int, y: int, is_on: bool
) -> None:
    document = parse(lay_out(squares().document(), cloth(flaws=()), Run(no_time, never)).drawing)
    (layer,) = layout_layers(document)
    box = {"x": x, "y": y, "width": 20, "height": 20, "id": "hole", lay("role"): "flaw"}
    layer.element.append(element("rect", box))
    told = [line for line in check_layouts(document).summary if "beside the cloth" in line]
    document = parse(serialise(document))
    (order,) = orders_again(document, chosen_layers(document, ["hole"]), {})
    again = lay_out_again(document, [order], Run(no_time, never)).summary
    said = [line for line in again if "beside the cloth" in line]
    assert (len(order.options.flaws), len(told), len(said)) == ((1, 0, 0) if is_on else (0, 1, 1))
    assert any("hatched on it" in line for line in again) is is_on


@pytest.mark.parametrize(
    ("flaw", "told"),
    [
        (((9, 320), (29, 320), (29, 340), (9, 340)), "it begins at 9 mm, 32 cm"),
        (((900, 20), (920, 20), (920, 40), (900, 40)), "it begins at 90 cm, 2 cm"),
        (((9, -40), (29, -40), (29, -20), (9, -20)), "it begins at 9 mm, -4 cm"),
    ],
    ids=["above", "behind", "below"],
)
def test_a_typed_flaw_beyond_the_cloth_is_not_said_to_be_hatched_on_it(
    flaw: tuple[tuple[float, float], ...], told: str
) -> None:
    """Two lengths typed the wrong way round would go without a word."""
    alone = lay_out(squares().document(), cloth(flaws=(flaw,)), Run(no_time, never)).summary
    (line,) = [line for line in alone if "flaw" in line]
    assert line.startswith("1 flaw lies beyond this cloth, so nothing was kept off it: ")
    assert told in line
    both = lay_out(squares().document(), cloth(flaws=(BOX, flaw)), Run(no_time, never)).summary
    assert "1 flaw of the cloth, hatched on it: no part lies over it." in both
    assert line in both


def test_a_typed_flaw_is_a_box_from_the_cut_end_and_the_lower_selvedge() -> None:
    assert flaws_of("9cm,14cm,2cm,2cm") == (BOX,)
    assert flaws_of("90mm 140mm 20mm 2cm; 9cm,14cm,2cm,2cm") == (BOX, BOX)
    assert flaws_of("0,5m, 1.5cm, 1in, 1/2in")[0][2] == pytest.approx((525.4, 27.7))
    assert flaws_of("none") == ()


def test_each_material_has_its_own_flaws() -> None:
    typed = "main=9cm,14cm,2cm,2cm; lining=1cm,1cm,1cm,1cm; main=0cm,0cm,1cm,1cm"
    assert flaws_by_material(typed)["main"] == "9cm,14cm,2cm,2cm; 0cm,0cm,1cm,1cm"
    wishes = wishes_from_text({"fabric_width": "140cm", "flaws": typed})
    main, lining, contrast = wishes.options({"main": 1, "lining": 1, "contrast": 1})
    assert [len(one.flaws) for one in (main, lining, contrast)] == [2, 1, 0]


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"flaws": "9cm,14cm,2cm"}, "tells 3 lengths instead of four"),
        ({"flaws": "9cm,14cm,2cm,big"}, "The flaw “9cm,14cm,2cm,big”: “big” is not a length"),
        ({"flaws": "9cm,14cm,2cm,0cm"}, "is without extent"),
        ({"flaws": "=9cm,14cm,2cm,2cm"}, "A material has no name"),
        (
            {"flaws": "9cm,14cm,2cm,2cm", "spread": "crosswise"},
            "depends on where the fold will be: choose “open” or “lengthwise” for how the cloth",
        ),
    ],
)
def test_a_flaw_that_cannot_be_used_is_one_sentence(typed: dict[str, str], words: str) -> None:
    with pytest.raises(OptionError, match=words):
        wishes_from_text({"fabric_width": "140cm", **typed})


def test_a_flaw_on_the_cloth_of_nobody_knows_which_material_is_refused() -> None:
    wishes = wishes_from_text({"fabric_width": "140cm", "flaws": "9cm,14cm,2cm,2cm"})
    with pytest.raises(OptionError, match="a flaw lies on the cloth of one: name it"):
        wishes.options({"main": 1, "lining": 1})
    assert len(wishes.options({"main": 1})[0].flaws) == 1


def test_stored_flaws_come_back_as_they_were() -> None:
    options = options_from_text({"fabric_width": "140cm", "flaws": "9cm,14cm,2cm,2cm"})
    assert options_of(settings_text(options, {})) == options


def test_the_terminal_takes_several_flaws(tmp_path: Path) -> None:
    source = tmp_path / "in.svg"
    source.write_bytes(serialise(squares().document()))
    words = ["lay-out", str(source), "--fabric-width", "30cm", "--width-is", "usable"]
    words += ["--rounds", "2", "--gap", "0mm", "--output", str(tmp_path / "out.svg")]
    words += ["--flaw", "9cm,14cm,2cm,2cm", "--flaw", "0cm,0cm,10cm,1cm"]
    words += ["--report", str(tmp_path / "r.json")]
    told = io.StringIO()
    assert run(words, Terminal(told, io.StringIO()), no_time) == 0
    assert "2 flaws of the cloth, hatched on it: no part lies over them." in told.getvalue()
    report = json.loads((tmp_path / "r.json").read_text())
    assert len(report["options"]["flaws"]) == 2


# --- hidden pieces, and flaws that are drawn afterwards -----------------------------------------


def test_what_is_hidden_lies_over_a_flaw_and_is_named() -> None:
    made = squares()
    for node in made.root.iter("{*}rect"):
        node.set(lay("hidden"), "yes")
    outcome = lay_out(made.document(), cloth(), Run(no_time, never))
    assert outcome.report["length"] == pytest.approx(200.0, abs=1e-3)
    (line,) = [line for line in outcome.summary if "hatched on it" in line]
    assert line.startswith("1 flaw of the cloth, hatched on it: ")
    assert "of 6), " in line
    assert line.endswith("over it; no other part does.")
    assert any(said.startswith("By consent ") and "over a flaw" in said for said in outcome.summary)
    assert not check_layouts(parse(outcome.drawing)).report["violations"]


def with_flaw(outcome: Outcome, x: float, y: float, wide: float, high: float) -> Document:
    """Return the drawing with a flaw drawn on its cloth, mm from the cut end and upper selvedge."""
    document = parse(outcome.drawing)
    (layer,) = layout_layers(document)
    sides = {"x": f"{x:g}", "y": f"{y:g}", "width": f"{wide:g}", "height": f"{high:g}"}
    layer.element.append(element("rect", {**sides, "id": "stain", lay("role"): "flaw"}))
    return parse(serialise(document))


@pytest.fixture(scope="module")
def sound() -> Outcome:
    """Return six squares in two rows of three on sound cloth."""
    return lay_out(squares().document(), cloth(flaws=()), Run(no_time, never))


def test_tighten_moves_parts_off_a_flaw_that_was_drawn_since_and_keeps_it(sound: Outcome) -> None:
    document = with_flaw(sound, 120.0, 10.0, 30.0, 30.0)
    (broken,) = check_layouts(document).report["violations"]
    assert (broken["kind"], len(broken["parts"])) == ("flaw", 1)
    made = tighten_layout(document, layout_layers(document)[0].id, Run(no_time, AfterRounds(5)))
    assert made.report["length"] == pytest.approx(250.0, abs=0.01)
    assert any("1 part over a flaw had to be put right" in line for line in made.summary)
    assert made.drawing is not None
    after = parse(made.drawing)
    (new,) = [layer for layer in layout_layers(after) if layer.id == made.report["layer"]]
    assert len(new.options.flaws) == 1
    checked = check_layouts(after, [new.id]).report
    assert not checked["violations"]


def test_tighten_refuses_a_held_part_over_a_flaw_in_one_sentence(sound: Outcome) -> None:
    document = with_flaw(sound, 20.0, 10.0, 3.0, 3.0)
    (broken,) = check_layouts(document).report["violations"]
    for id_ in broken["objects"]:
        (group,) = document.root.xpath(f"//*[@id='{id_}']")
        group.set(lay("held"), "yes")
    with pytest.raises(ThriftlayError, match=r"lies over a flaw of the cloth"):
        tighten_layout(document, layout_layers(document)[0].id, Run(no_time, AfterRounds(5)))
