# SPDX-License-Identifier: GPL-2.0-or-later
"""Edges with an allowance of their own: read, set, laid, told and drawn, or refused by name."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest
from shapely.geometry import Polygon

from extension.commands.command_line import run as run_command
from extension.commands.terminal import Terminal
from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.operations.check import check_layouts
from extension.operations.details import set_details
from extension.operations.lay_out import Outcome, lay_out
from extension.operations.running import Run
from extension.svg.document import Document, parse, serialise
from tests.helpers.cloth import between_selvedges
from tests.helpers.drawn import read
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder

HEM = {"role": "edge", "allowance": "40mm"}


def skirt(
    line: str = "M 60 360 H 300", hem: dict[str, str] | None = None, fold: str = "", label: str = ""
) -> SvgBuilder:
    """Return a skirt, 200 to 240 mm wide and 320 mm long, and a line along its hem."""
    made = SvgBuilder("900mm", "600mm", (0, 0, 900, 600))
    group = made.add_group(id="skirt-group")
    details = {"name": "Skirt", "cut": "1", "grain": "up", **({"fold": fold} if fold else {})}
    made.add_path("M 60 40 H 260 L 300 360 H 60 Z", group, id="skirt", lay=details)
    made.add_path(line, group, id="hem", label="hem", lay=HEM if hem is None else hem)
    if label:
        made.add_text(label, 90, 150, group, font_size=10)
    return made


def laid(made: SvgBuilder, **values: object) -> Outcome:
    options = between_selvedges(1000.0, rounds=1, **values)
    return lay_out(made.document(), options, Run(no_time, lambda rounds: True))


def refused(made: SvgBuilder) -> str:
    with pytest.raises(DrawingError) as found:
        laid(made)
    return str(found.value)


def test_a_hem_is_cut_where_it_is_told_and_every_line_says_so() -> None:
    (piece,) = read(skirt()).pieces
    assert [(edge.name, edge.allowance) for edge in piece.edges] == [("hem", 40.0)]
    low_x, low_y, high_x, high_y = Polygon(piece.cutting).bounds
    assert (low_x, low_y, high_x, high_y) == pytest.approx((60.0, -400.0, 305.0, -40.0))
    outcome = laid(skirt(), allowance=15.0)
    assert (
        "Seam allowance: 15 mm added on every edge but the fold; 4 cm at “hem” of Skirt (dashed: "
        "stitching line)." in outcome.summary
    )
    (told,) = outcome.report["pieces"]
    assert told["edges"] == [{"name": "hem", "allowance_mm": 40.0}]
    alone = laid(skirt())
    assert (
        "Seam allowance: included in the drawing, but added: 4 cm at “hem” of Skirt (dashed: "
        "outline as drawn)." in alone.summary
    )


def test_what_is_drawn_and_published_tells_it_and_the_check_finds_nothing(tmp_path: Path) -> None:
    outcome = laid(skirt(fold="left"), allowance=15.0)
    target = tmp_path / "laid.svg"
    target.write_bytes(outcome.drawing)
    drawn = outcome.drawing.decode()
    assert drawn.count("stroke-dasharray:6") >= 1
    assert check_layouts(parse(target)).is_clean
    page = tmp_path / "page.html"
    words = ["diagram", str(target), "--output", str(page)]
    assert run_command(words, Terminal(io.StringIO(), io.StringIO()), lambda: 0.0) == 0
    html = page.read_text(encoding="utf-8")
    assert "15 mm outside the paper, 4 cm at “hem”" in html
    assert (
        "Seam allowance: cut 15 mm outside the paper, all round but not at a fold; 4 cm at" in html
    )
    assert "Dashed: edge of the paper. Solid: cut here." in html


def test_the_table_of_lengths_to_buy_tells_it_as_well(tmp_path: Path) -> None:
    source = skirt().write(tmp_path / "skirt.svg")
    words = ["requirements", str(source), "--widths", "100cm", "--nap", "with", "--spread", "open"]
    out = io.StringIO()
    more = ["--rounds", "1", "--workers", "1", "--csv", str(tmp_path / "table.csv")]
    assert run_command([*words, *more], Terminal(out, io.StringIO()), lambda: 0.0) == 0
    told = "Seam allowance: included in the drawing, but added: 4 cm at “hem” of Skirt."
    assert told in out.getvalue()


def test_the_fold_gets_nothing_but_the_hem_runs_to_it() -> None:
    (piece,) = read(skirt(fold="left")).pieces
    assert piece.fold is not None
    assert sorted(y for _, y in piece.fold) == [-400.0, -40.0]
    assert min(x for x, _ in piece.cutting) == pytest.approx(60.0)


def test_a_match_point_on_a_grown_edge_is_on_the_stitching_line() -> None:
    made = skirt()
    match = {"match": "hem", "role": "notch"}
    made.add_path("M 120 360 v -6", id="below", lay=match)
    made.add_path("M 60 200 h 6", id="beside", lay={**match, "match": "side"})
    points = read(made).pieces[0].matched
    assert [(one.match.group, one.lies) for one in points] == [
        ("hem", "stitching"),
        ("side", "cutting"),
    ]


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (skirt("M 60 350 H 300"), "“hem” does not lie on the outline of “Skirt”"),
        (skirt("M 60 375 H 300"), "“hem” does not lie on the outline of “Skirt”"),
        (skirt("M 60 360 L 300 350"), "does not lie on the outline"),
        (skirt(hem={"role": "edge"}), "how much is to be added there is not said"),
        (skirt(hem={"role": "edge", "allowance": "much"}), "has lay:allowance=“much”"),
        (skirt(hem={"role": "edge", "allowance": "-4cm"}), "has lay:allowance=“-4cm”"),
        (skirt("M 60 40 V 360", fold="left"), "runs along the fold of “Skirt”"),
        (skirt("M 60 40 H 260 L 300 360 H 60 Z"), "is no open line"),
    ],
)
def test_a_line_that_cannot_be_an_edge_is_refused_by_name(made: SvgBuilder, words: str) -> None:
    assert words in refused(made)


def test_two_lines_on_one_edge_that_differ_are_refused_and_alike_are_one() -> None:
    made = skirt()
    again = {"role": "edge", "allowance": "3cm"}
    made.add_path("M 100 360 H 300", id="other", lay=again)
    assert "run along the same edge of “Skirt” (skirt) with 40 mm and 30 mm" in refused(made)
    made = skirt()
    made.add_path("M 100 360 H 300", id="other", lay=HEM)
    assert Polygon(read(made).pieces[0].cutting).equals(Polygon(read(skirt()).pieces[0].cutting))


def test_an_edge_beside_every_outline_is_refused() -> None:
    made = skirt()
    made.add_path("M 320 40 V 300", id="lost", lay=HEM)
    assert (
        "(lost) is to be an edge of a piece (lay:role=“edge”), but lies on no outline"
        in refused(made)
    )


def test_a_label_that_says_included_is_not_contradicted_in_silence() -> None:
    outcome = laid(skirt(label="seam allowance included"))
    (note,) = [one for one in outcome.report["notes"] if "“hem”" in one]
    assert "has 40 mm added at “hem”, but" in note
    assert note.endswith("says that seam allowance is included.")


def test_a_selected_line_becomes_an_edge_and_is_none_again() -> None:
    made = skirt(hem={})
    document: Document = made.document()
    done = set_details(document, ["hem", "skirt"], {"edge": "4 cm", "cut": "2"})
    assert done.summary[-1] == "“hem”: an edge with 4 cm of allowance."
    (line,) = [node for node in document.root.iter("{*}path") if node.get("id") == "hem"]
    assert (line.get(lay("role")), line.get(lay("allowance"))) == ("edge", "4 cm")
    set_details(document, ["hem"], {"edge": "-"})
    assert (line.get(lay("role")), line.get(lay("allowance"))) == (None, None)


@pytest.mark.parametrize(
    ("line", "value", "words"),
    [
        ("M 60 300 H 250", "4cm", "does not lie on the outline of a piece"),
        ("M 60 360 H 300", "much", "has lay:allowance=“much”"),
    ],
)
def test_a_line_that_cannot_be_one_is_refused_and_nothing_is_written(
    line: str, value: str, words: str
) -> None:
    document = skirt(line, hem={}).document()
    with pytest.raises(DrawingError, match=re.escape(words)):
        set_details(document, ["hem"], {"edge": value})
    assert b"lay:role" not in serialise(document)
    with pytest.raises(DrawingError, match="No line along an edge is selected"):
        set_details(document, ["skirt"], {"edge": "4cm"})
