# SPDX-License-Identifier: GPL-2.0-or-later
"""Several remnants as one question: which copies lie on which, drawn, told, checked, tightened."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import pytest

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.diagram.page import page
from extension.job.compared import Compared
from extension.job.plan import make_plan
from extension.job.wishes import on_remnant, wishes_from_text
from extension.language.errors import DrawingError, OptionError
from extension.language.names import lay
from extension.layouts.holding import HoldRequest
from extension.layouts.layers import chosen_layers
from extension.operations.again import orders_again
from extension.operations.check import check_layouts
from extension.operations.drawing import Drawing
from extension.operations.lay_out import lay_out_again, lay_out_materials
from extension.operations.running import Run, find
from extension.operations.several_remnants import not_less
from extension.operations.tighten import tighten_layout
from extension.pieces.remnants import chosen_cloths
from extension.svg.document import parse, serialise
from nesting.stop import AfterRounds
from tests.helpers.diagrams import sections_of
from tests.helpers.layouts import no_time
from tests.helpers.remnants import cloths, drawing_of, laid, never, strips


def test_pieces_are_shared_out_among_two_remnants_that_they_just_fill() -> None:
    document = drawing_of(cloths(500, 400), strips(300, 250, 200, 150))
    outcome = laid(document, select=["c500", "c400"], rounds="8")
    assert outcome.all_fit
    assert outcome.to_buy == (
        "Remnant “Rest 500”: Strip 300 and Strip 200.",
        "Remnant “Rest 400”: Strip 250 and Strip 150.",
        f"Pieces of one garment are cut from different remnants: {LOOK}.",
    )
    layouts = outcome.report["layouts"]
    assert [one["utilisation"] for one in layouts] == [pytest.approx(1.0)] * 2
    checked = check_layouts(parse(outcome.drawing))
    assert checked.is_clean
    assert [one["parts"] for one in checked.report["layouts"]] == [2, 2]


def test_the_smallest_remnant_that_holds_all_is_used_and_the_others_are_named() -> None:
    document = drawing_of(cloths(900, 400, 500), strips(300, 150))
    outcome = laid(document, "Rest 900", "Rest 400", "Rest 500")
    assert outcome.report["options"]["remnant"]["name"] == "Rest 500"
    assert "Remnant “Rest 500”: Strip 300 and Strip 150." in outcome.summary
    assert outcome.summary[-1] == "Not needed: remnant “Rest 900” and remnant “Rest 400”."


def test_what_fits_on_no_remnant_is_told_where_most_room_is_left() -> None:
    document = drawing_of(cloths(400, 200), strips(350, 300, 150))
    outcome = laid(document, "Rest 400", "Rest 200")
    assert not outcome.all_fit
    assert "Not all of this was found to fit: Strip 300." in outcome.to_buy
    assert any(line == "Did not fit: Strip 300 × 1." for line in outcome.summary)
    wishes = wishes_from_text({"fabric_width": "1m"})
    hold = HoldRequest("", ("p350",))
    with pytest.raises(DrawingError, match="cannot be shared out among several remnants"):
        lay_out_materials(document, wishes, Run(no_time, never), hold, ["c400", "c200"])


def test_what_the_whole_run_left_out_is_told_once() -> None:
    circle = '<circle id="spot" cx="600" cy="500" r="50"/>'
    outcome = laid(drawing_of(cloths(400, 200) + circle, strips(350, 150)), "c400", "c200")
    told = [line for line in outcome.summary if line.startswith("Not laid: ")]
    assert told == [
        "Not laid: 1 unmarked (the circle of 10 × 10 cm at the right of the drawing (spot))."
    ]


@pytest.mark.parametrize("lengths", [(350, 60), (133, 132, 131)], ids=["area", "gaps"])
def test_more_time_is_not_advised_where_it_cannot_help(lengths: tuple[int, ...]) -> None:
    outcome = laid(drawing_of(cloths(400, 30), strips(*lengths)), "c400", "c30", gap="3mm")
    (line,) = (line for line in outcome.summary if line.startswith("What did not fit measures"))
    assert line.endswith("lay it on other cloth, since no layout can hold all of it here.")


LOOK = (
    "lay the remnants side by side in daylight before you cut, since cloth of another dye lot "
    "differs in shade"
)


def pairs(cut: str) -> str:
    """Return a piece 100 by 100 mm that is not its own mirror image."""
    shape = "M10,10 H110 V110 H20 Z"
    grain = '<path id="g" lay:role="grainline" d="M60,100 V20"/>'
    return f'<g lay:name="Flap" lay:cut="{cut}"><path id="flap" d="{shape}"/>{grain}</g>'


def test_copies_of_a_piece_are_parted_and_each_layout_knows_its_own() -> None:
    document = drawing_of(cloths(500, 400), strips(100).replace("/>", ' lay:cut="9 same"/>', 1))
    outcome = laid(document, "Rest 500", "Rest 400", rounds="8")
    assert outcome.all_fit
    first, second, told = outcome.to_buy
    assert first == "Remnant “Rest 500”: Strip 100 (1, 2, 3, 4 and 5 of 9)."
    assert second == "Remnant “Rest 400”: Strip 100 (6, 7, 8 and 9 of 9)."
    assert told.startswith("Copies for one garment are cut from different remnants (Strip 100): ")
    assert LOOK in told
    assert [one["options"]["portions"] for one in outcome.report["layouts"]] == [
        ({"piece": "p100", "of": 9, "copies": (1, 2, 3, 4, 5)},),
        ({"piece": "p100", "of": 9, "copies": (6, 7, 8, 9)},),
    ]
    made = parse(outcome.drawing)
    checked = check_layouts(made)
    assert checked.is_clean
    assert [one["parts"] for one in checked.report["layouts"]] == [5, 4]
    pages = page(sections_of(made))
    assert "<td>5 of 9</td>" in pages
    assert "<td>4 of 9</td>" in pages
    labels = [text for text in made.root.itertext() if text.strip().endswith("of 9")]
    assert sorted(label.strip() for label in labels) == [f"{k} of 9" for k in range(1, 10)]


def test_one_that_is_lost_is_missing_on_its_own_remnant_and_laid_again_there() -> None:
    document = drawing_of(cloths(500, 400), strips(100).replace("/>", ' lay:cut="9 same"/>', 1))
    made = parse(laid(document, "Rest 500", "Rest 400", rounds="8").drawing)
    parts = [node for node in made.root.iter("{*}g") if node.get(lay("of")) == "p100"]
    (lost,) = (part for part in parts if part.get(lay("copy")) == "7")
    lost.getparent().remove(lost)
    checked = check_layouts(parse(serialise(made)))
    (fault,) = checked.report["violations"]
    assert (fault["kind"], fault["sentence"]) == ("count", "Strip 100: 7 of 9 is missing")
    layers = chosen_layers(made, [])
    tight = tighten_layout(parse(serialise(made)), layers[0].id, Run(no_time, AfterRounds(4)))
    assert not tight.report["violations_before"]
    (order,) = orders_again(made, [layers[1]], {})
    again = lay_out_again(made, [order], Run(no_time, never))
    assert again.all_fit
    assert check_layouts(parse(again.drawing), [again.report["layer"]]).report["parts"] == 4


def test_a_piece_that_is_cut_otherwise_now_is_shared_out_anew() -> None:
    document = drawing_of(cloths(500, 400), strips(100).replace("/>", ' lay:cut="9 same"/>', 1))
    made = laid(document, "Rest 500", "Rest 400", rounds="8").drawing
    more = parse(made.replace(b'lay:cut="9 same"', b'lay:cut="8 same"'))
    (order, _) = orders_again(more, chosen_layers(more, []), {})
    with pytest.raises(OptionError, match="Strip 100 is cut 8 times now, but its copies were shar"):
        lay_out_again(more, [order], Run(no_time, never))


def test_a_pair_is_parted_only_where_it_may_be() -> None:
    document = drawing_of(cloths(110, 105), pairs("2"))
    parted = laid(document, "Rest 110", "Rest 105", rounds="8")
    assert parted.all_fit
    assert check_layouts(parse(parted.drawing)).is_clean
    assert parted.report["layouts"][0]["options"]["portions"][0]["copies"] == (1,)
    kept = laid(document, "Rest 110", "Rest 105", rounds="8", one_lot="piece")
    assert not kept.all_fit
    assert "Not all of this was found to fit: Flap (2 of 2)." in kept.summary
    assert any(line.startswith("Flap is NOT complete: ") for line in kept.summary)
    both = laid(drawing_of(cloths(210, 110), pairs("2")), "c210", "c110", one_lot="piece")
    assert both.all_fit
    assert both.summary[-1] == "Not needed: remnant “Rest 110”."


def test_of_two_garments_each_is_cut_from_one_remnant_where_that_is_asked() -> None:
    document = drawing_of(cloths(310, 300), strips(100, 150))
    outcome = laid(document, "Rest 310", "Rest 300", rounds="8", one_lot="garment", garments="2")
    assert outcome.all_fit
    assert outcome.to_buy == (
        "Remnant “Rest 310”: Strip 100 (1 of 2) and Strip 150 (1 of 2).",
        "Remnant “Rest 300”: Strip 100 (2 of 2) and Strip 150 (2 of 2).",
    )
    assert outcome.report["layouts"][0]["options"]["one_lot"] == "garment"


def test_a_garment_that_is_whole_on_no_remnant_is_said_to_be_not_complete() -> None:
    document = drawing_of(cloths(310, 120), strips(100, 150))
    kept = {"one_lot": "garment", "rounds": "2"}
    outcome = laid(document, "Rest 310", "Rest 120", garments="2", **kept)
    assert outcome.to_buy[:4] == (
        "Remnant “Rest 310”: Strip 100 (1 of 2) and Strip 150 (1 of 2).",
        "Remnant “Rest 120”: Strip 100 (2 of 2).",
        "Not all of this was found to fit: Strip 150 (2 of 2).",
        "Garment 2 is NOT complete: no remnant was found to hold all of it, so only a part lies on "
        "remnant “Rest 120”, without Strip 150 (2 of 2). Cut nothing of it before you have cloth "
        "of the same dye lot for the rest.",
    )
    document = drawing_of(cloths(120, 90), strips(100, 150))
    outcome = laid(document, "Rest 120", "Rest 90", **kept)
    assert any(line.startswith("The garment is NOT complete: no rem") for line in outcome.summary)


def test_copies_that_are_whole_on_no_remnant_are_said_to_be_not_complete() -> None:
    strip = strips(100).replace("/>", ' lay:cut="3 same"/>', 1)
    document = drawing_of(cloths(210, 120), strip)
    outcome = laid(document, "Rest 210", "Rest 120", one_lot="piece", rounds="2")
    assert any(
        line.startswith("Strip 100 is NOT complete: no remnant was found to hold all its copies")
        and line.endswith(
            "so only a part lies on remnant “Rest 210”, without Strip 100 (3 of 3). Cut nothing of "
            "it before you have cloth of the same dye lot for the rest."
        )
        for line in outcome.summary
    ), outcome.summary


def test_where_all_may_be_parted_no_garment_is_said_to_be_not_complete() -> None:
    document = drawing_of(cloths(310, 120), strips(100, 150))
    outcome = laid(document, "Rest 310", "Rest 120", garments="2", rounds="2")
    assert not outcome.all_fit
    assert not any("NOT complete" in line for line in outcome.to_buy)


def test_what_cannot_be_kept_together_is_one_sentence(tmp_path: Path) -> None:
    document = drawing_of(cloths(500, 400), strips(100))
    with pytest.raises(OptionError, match="is not known for what is cut from one remnant: choose"):
        laid(document, "Rest 500", "Rest 400", one_lot="bolt")
    sized = strips(100, 150).replace("Strip 1", 'Strip" lay:size="1')
    of_sizes = drawing_of(cloths(500, 400), sized)
    sizes = {"one_lot": "garment", "sizes": "100=1,150=1"}
    with pytest.raises(OptionError, match="lay one size at a time"):
        laid(of_sizes, "Rest 500", "Rest 400", **sizes)
    source = tmp_path / "in.svg"
    source.write_bytes(serialise(document))
    words = ["lay-out", str(source), "--cloth", "Rest 500", "--cloth", "Rest 400"]
    words += ["--one-lot", "piece", "--rounds", "1", "--output", str(tmp_path / "out.svg")]
    assert run(words, Terminal(io.StringIO(), io.StringIO()), no_time) == 0


def test_a_run_that_finds_less_than_was_known_gives_what_was_known() -> None:
    angle = "M1000,400 V100 H1100 V200 H1300 V400 Z"
    cloth = f'<path id="rest" lay:role="cloth" d="{angle}"/>'
    document = drawing_of(cloth, strips(100).replace("/>", ' lay:cut="7 same"/>', 1))
    drawing = Drawing(document)
    remnants, select = chosen_cloths(drawing.drawn, ["rest"], ())
    values = {"fabric_width": "1m", "gap": "0mm", "rounds": "8", "workers": "1"}
    (options,) = on_remnant([replace(wishes_from_text(values).base, select=select)], remnants)
    plan = make_plan(drawing.reading(options), options)
    short = find([plan], [options], 20.0, Run(no_time, lambda _: True))[0]
    long = find([plan], [options], 20.0, Run(no_time, never))[0]
    assert short.layout.left_over
    assert not_less(short, long.layout).layout.placements == long.layout.placements
    assert not_less(short, long.layout).layout.left_over == ()
    assert not_less(long, short.layout) is long
    assert not_less(short, None) is short


def test_a_garment_that_was_known_to_be_whole_is_not_broken_for_more_area() -> None:
    """Where that was asked for, a layout without a copy that was known to lie there is none."""
    document = drawing_of(cloths(250), strips(150, 120, 90).replace("/>", ' lay:cut="1"/>', 1))
    drawing = Drawing(document)
    remnants, select = chosen_cloths(drawing.drawn, ["c250"], ())
    values = {"fabric_width": "1m", "gap": "0mm", "rounds": "4", "workers": "1"}
    base = replace(wishes_from_text(values).base, select=select, one_lot="garment")
    (options,) = on_remnant([base], remnants)
    plan = make_plan(drawing.reading(options), options)
    best = find([plan], [options], 20.0, Run(no_time, never))[0]
    spots = best.layout.placements
    small = replace(best.layout, placements=spots[:1])
    assert not_less(best, small) is best
    other = replace(best.layout, placements=(replace(spots[0], piece="other"), *spots[1:]))
    parted = replace(best, taken=replace(best.taken, laid=(Compared(options, other),)))
    assert not_less(parted, best.layout).layout.placements == spots
