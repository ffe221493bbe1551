# SPDX-License-Identifier: GPL-2.0-or-later
"""A piece of cloth that is there: what does not fit is named, with how much is missing, and why."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.job.options import changed_options
from extension.job.settings import options_of
from extension.language.errors import OptionError
from extension.operations.check import check_layouts
from extension.operations.lay_out import Outcome, lay_out
from extension.operations.running import Run
from extension.svg.document import parse, serialise
from nesting.stop import AfterRounds
from tests.helpers.cloth import between_selvedges, typed_between_selvedges
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder


def drawing(**priorities: str) -> SvgBuilder:
    """Return three strips right across the cloth, 100, 60 and 40 mm long."""
    made = SvgBuilder("600mm", "600mm", (0, 0, 600, 600))
    for number, (name, height) in enumerate({"Body": 100, "Belt": 60, "Cuff": 40}.items()):
        lay = {"name": name, "cut": "1", "grain": "up"}
        if name.lower() in priorities:
            lay["priority"] = priorities[name.lower()]
        made.add_rect(10, 10 + 150 * number, 500, height, id=name.lower(), lay=lay)
    return made


def laid(length: float | None, rounds: int = 3, **priorities: str) -> Outcome:
    options = between_selvedges(500.0, gap=0.0, fabric_length=length, rounds=rounds)
    return lay_out(drawing(**priorities).document(), options, Run(no_time, AfterRounds(rounds + 1)))


def over(outcome: Outcome) -> dict[str, list[int]]:
    return {rest["piece"]: rest["copies"] for rest in outcome.report["left_over"]}


def test_what_does_not_fit_is_named_with_how_much_is_missing() -> None:
    outcome = laid(170.0)
    assert over(outcome) == {"cuff": [1]}
    assert outcome.summary[0] == "Uses 0.16 m of 0.17 m in hand (no end allowance is kept)."
    assert "Did not fit: Cuff × 1." in outcome.summary
    told = "A short run laid all parts on 0.20 m, so 0.03 m more would do; "
    # The strips fill the cloth, so that less is proven to be too little.
    assert f"{told}they cannot lie on less." in outcome.summary
    assert outcome.report["all_need_mm"] == pytest.approx(200.0)


def test_what_is_not_proven_to_be_the_least_may_be_less() -> None:
    made = SvgBuilder("900mm", "600mm", (0, 0, 900, 600))
    for number, size in enumerate((330.0, 200.0, 140.0)):
        x = 10 + 280 * number
        made.add_path(f"M {x} 10 h 260 l -130 {size} Z", id=f"p{number}", lay={"grain": "up"})
    options = between_selvedges(500.0, gap=0.0, fabric_length=300.0, rounds=3)
    outcome = lay_out(made.document(), options, Run(no_time, AfterRounds(4)))
    (line,) = [line for line in outcome.summary if line.startswith("A short run laid all parts")]
    is_least = outcome.report["all_need_mm"] - outcome.report["lower_bound"] < 0.01
    assert line.endswith("they cannot lie on less." if is_least else "a longer one may need less.")
    assert not is_least


@pytest.mark.parametrize("rounds", [1, 3])
def test_what_has_priority_is_laid_first(rounds: int) -> None:
    assert over(laid(110.0, rounds, cuff="1", belt="2")) == {"body": [1]}
    assert over(laid(110.0, rounds, body="1")) == {"belt": [1], "cuff": [1]}
    outcome = laid(70.0, rounds, cuff="1", belt="2")
    assert over(outcome) == {"belt": [1], "body": [1]}
    assert "Did not fit: Belt × 1 (priority 2) and Body × 1." in outcome.summary
    told = "Laid first, by priority: Cuff (1) and Belt (2); of the others as much as found room."
    assert told in outcome.summary


def test_a_priority_that_changed_nothing_is_told() -> None:
    open_ended = laid(None, cuff="1")
    assert any("changes nothing here: Cuff" in line for line in open_ended.summary)
    assert "All parts fit, so priority changes nothing." in laid(200.0, cuff="1").summary
    assert not any("riority" in line for line in (*laid(170.0).summary, *laid(None).summary))


def test_on_cloth_that_is_long_enough_the_layout_is_the_usual_one() -> None:
    enough, usual = laid(500.0), laid(None)
    assert enough.report["placements"] == usual.report["placements"]
    assert "Did not fit" not in " ".join(enough.summary)
    assert "buy" not in enough.summary[0]


def test_the_length_is_kept_with_the_layout_and_can_be_taken_away() -> None:
    document = parse(laid(170.0).drawing)
    (layer,) = [one for one in document.root.iter("{*}g") if one.get("{urn:thriftlay:1}layout")]
    options = options_of(layer.get("{urn:thriftlay:1}settings", ""))
    assert options.fabric_length == 170.0
    assert changed_options(options, {"fabric_length": "none"}).fabric_length is None
    assert changed_options(options, {"fabric_length": "1 yd"}).fabric_length == pytest.approx(914.4)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"fabric_length": "0cm"}, "more than nothing"),
        ({"fabric_length": "-1m"}, "between 0 and"),
        ({"fabric_length": "long"}, "The length of the cloth: “long” is not a length"),
        ({"fabric_length": "2"}, "has no unit"),
        ({"fabric_length": "2m", "shrinkage": "5%"}, "Shrinkage is for cloth that is bought"),
    ],
)
def test_a_length_that_cannot_be_used_is_refused(typed: dict[str, str], words: str) -> None:
    with pytest.raises(OptionError, match=words):
        typed_between_selvedges({"fabric_width": "140cm", **typed})


def test_a_part_moved_beyond_the_end_of_the_cloth_is_found() -> None:
    document = parse(laid(210.0).drawing)
    (part,) = [
        one
        for one in document.root.iter("{*}g")
        if one.get("{urn:thriftlay:1}of") == "cuff" and one.tag.endswith("}g")
    ]
    part.set("transform", f"translate(30 0) {part.get('transform', '')}")
    lines = check_layouts(parse(serialise(document))).summary
    assert any("beyond the end of the cloth" in line for line in lines), lines


def test_the_terminal_writes_the_layout_and_says_3(tmp_path: Path) -> None:
    source, output = tmp_path / "in.svg", tmp_path / "out.svg"
    source.write_bytes(serialise(drawing().document()))
    words = ["lay-out", str(source), "--fabric-width", "50cm", "--width-is", "usable"]
    words += [
        "--rounds",
        "1",
        "--gap",
        "0mm",
        "--output",
        str(output),
        "--report",
        str(tmp_path / "r.json"),
    ]
    page = io.StringIO()
    code = run([*words, "--fabric-length", "170mm"], Terminal(page, io.StringIO()), no_time)
    assert code == 3
    assert "Did not fit: Cuff × 1." in page.getvalue()
    assert output.exists()
    assert json.loads((tmp_path / "r.json").read_text())["left_over"]
    assert (
        run([*words, "--fabric-length", "21cm"], Terminal(io.StringIO(), io.StringIO()), no_time)
        == 0
    )
