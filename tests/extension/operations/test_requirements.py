# SPDX-License-Identifier: GPL-2.0-or-later
"""The whole way from a drawing to the table, and what is known of lengths outside."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from lxml import etree

from extension.job.options import options_from_text
from extension.language.names import lay
from extension.language.rounding import YARD, purchase_text
from extension.operations import lay_out, requirements
from extension.operations.check import check_layouts
from extension.operations.requirements import Outcome, fabric_requirements
from extension.requirements_table import work
from extension.requirements_table.crews import crew_of
from extension.requirements_table.kept import Shelf
from extension.requirements_table.options import table_options
from extension.requirements_table.work import Run
from extension.svg.document import Document, parse, title_of
from extension.svg.leaves import read_leaves
from nesting.errors import JobError
from nesting.judge.check import check_laid
from nesting.model import Fabric
from nesting.stop import StopRule
from tests.helpers.diagrams import SAMPLES
from tests.helpers.graded import tunic
from tests.helpers.layouts import no_time, read_back
from tests.helpers.svg_builder import SvgBuilder

INCH = 25.4


def made(document: Document, **typed: str) -> Outcome:
    options = table_options({"rounds": "1", "spread": "open", **typed})
    with crew_of(1, "") as crew:
        return fabric_requirements(
            document, options, Run(no_time, lambda rounds: False), crew, Shelf(None)
        )


def buys(nodes: Iterable[etree._Element]) -> list[str]:
    """Return what is said about the length to buy in the texts of drawn elements."""
    said = ["".join(node.itertext()) for node in nodes if isinstance(node.tag, str)]
    return sorted({text for text in said if re.fullmatch(r"needs [^\n]* – buy [^\n]*", text)})


@pytest.mark.parametrize(
    "extra", [{}, {"shrinkage": "4 %", "shrinkage_across": "3 %", "end_allowance": "0cm"}]
)
@pytest.mark.parametrize("width", ["90cm", "36in"])
def test_for_one_cloth_there_is_one_length_to_buy(width: str, extra: dict[str, str]) -> None:
    drawing = parse(SAMPLES / "first-apron.svg")
    table = made(drawing, widths=width, nap="with", write_layouts="yes", **extra).table
    (entry,) = table.entries
    assert entry.bought is not None
    wanted = {"fabric_width": width, "rounds": "1", "workers": "1"}
    run = lay_out.Run(no_time, lambda rounds: False)
    options = options_from_text({**wanted, **extra})
    outcome = lay_out.lay_out(parse(SAMPLES / "first-apron.svg"), options, run)
    sentence = outcome.report["buy"]["sentence"]
    assert sentence == purchase_text(entry.bought)
    # The layer that the table draws, and what Check Layout writes on either, tell the same.
    assert buys(drawing.root.iter()) == [sentence]
    check_layouts(drawing)
    assert buys(drawing.root.iter()) == [sentence]


def test_trials_on_narrower_cloth_end_with_the_stated_time(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    now, said = [0.0], []

    def tries(
        _: object, layouts: Sequence[object], __: object, stop: StopRule, *more: object
    ) -> Any:
        for now[0] in (90.0, 99.5):
            said.append(stop(0))
        return list(layouts), set()

    monkeypatch.setattr(requirements, "tried_narrower", tries)
    monkeypatch.setattr(work, "slices", lambda *_: {})
    options = table_options({"widths": "90cm", "nap": "with", "seconds": "100", "workers": "1"})
    with crew_of(1, "") as crew:
        run = Run(lambda: now[0], lambda rounds: False)
        fabric_requirements(parse(SAMPLES / "first-apron.svg"), options, run, crew, Shelf(None))
    assert said == [False, True]


def squares(side: float, count: int) -> Document:
    """Return a drawing of one square, `side` inches long, that is cut so many times."""
    drawing = SvgBuilder("3000mm", "1000mm", (0, 0, 3000, 1000))
    mm = side * INCH
    drawing.add_rect(10, 10, mm, mm, id="square", lay={"cut": f"{count} same"})
    return drawing.document()


# Squares of cloth: their number per width and length has a proven optimum,
# ceil(N / floor(W / w)) * h. Charts: quiltingboard.com 6228687 (63 squares of 9 1/2 in on 42 in,
# 152 in = 4.222 yd); quilterscache.com MathChartsPage (fat quarter, 18 x 22 in; 44 x 36 in);
# allcottonandlinen.com (9 napkins of 12 in from a yard of 45 in, so 12 need 4 rows).
@pytest.mark.parametrize(
    ("side", "count", "usable", "needed", "yards"),
    [
        (9.5, 63, 42, 152.0, Fraction(17, 4)),
        (12.0, 9, 45, 36.0, Fraction(1)),
        (12.0, 12, 45, 48.0, Fraction(11, 8)),
        (4.0, 20, 22, 16.0, Fraction(1, 2)),
        (9.0, 16, 44, 36.0, Fraction(1)),
        (7.0, 30, 44, 35.0, Fraction(1)),
    ],
)
def test_published_squares_per_yard(
    side: float, count: int, usable: int, needed: float, yards: Fraction
) -> None:
    outcome = made(
        squares(side, count),
        widths=f"{usable + 1}in",  # half an inch of selvedge on each side
        nap="with",
        gap="0mm",
        end_allowance="0in",
    )
    (entry,) = outcome.table.entries
    assert entry.layout is not None
    assert entry.bought is not None
    assert math.ceil(count / (usable // side)) * side == needed
    assert entry.layout.length == pytest.approx(needed * INCH, abs=0.01)
    assert entry.bought.yards == yards * YARD


# Fabric width conversion chart, yards, printed on sewwithsarah.com and greenspun.com (they agree);
# commonly credited to a state extension service, from memory. Columns 35-36, 44-45, 58-60 in.
CHART = (
    ("1 3/4", "1 3/8", "1"),
    ("2", "1 5/8", "1 1/4"),
    ("2 1/4", "1 3/4", "1 3/8"),
    ("2 1/2", "2 1/8", "1 5/8"),
    ("2 7/8", "2 1/4", "1 3/4"),
    ("3 1/8", "2 1/2", "1 7/8"),
    ("3 3/8", "2 3/4", "2"),
    ("3 3/4", "2 7/8", "2 1/4"),
    ("4 1/4", "3 1/8", "2 3/8"),
    ("4 1/2", "3 3/8", "2 5/8"),
    ("4 3/4", "3 5/8", "2 3/4"),
    ("5", "3 7/8", "2 7/8"),
)
SPREAD = 0.2
"""How far a garment may leave the chart: it holds for no pattern in particular."""


def yards(text: str) -> float:
    return float(sum(Fraction(word) for word in text.split()))


def test_lengths_on_other_widths_are_plausible_by_the_conversion_chart(samples: Path) -> None:
    # No oracle: only that lengths fall with the width about as the chart has them fall.
    outcome = made(
        parse(samples / "inch-trousers.svg"),
        widths="main=36in,45in,60in",
        nap="without",
        rounds="4",
    )
    lengths = [entry.layout.length for entry in outcome.table.entries if entry.layout]
    assert len(lengths) == 3
    assert lengths == sorted(lengths, reverse=True)
    for column in (0, 1):
        chart = [yards(row[column]) / yards(row[2]) for row in CHART]
        ratio = lengths[column] / lengths[2]
        assert min(chart) * (1 - SPREAD) <= ratio <= max(chart) * (1 + SPREAD)


def test_the_originals_stay_and_one_layer_is_added() -> None:
    drawing = tunic()
    before, outcome = (
        drawing.document(),
        made(drawing.document(), widths="main=140cm", nap="with", sizes="S"),
    )
    after = parse(outcome.drawing)
    assert len(after.root) == len(before.root) + 1
    for old, new in zip(before.root, after.root, strict=False):
        assert etree.tostring(old, method="c14n") == etree.tostring(new, method="c14n")
    assert after.root[-1].get(lay("table")) == "1"


def test_the_same_run_gives_the_same_three_results() -> None:
    typed = {"widths": "main=90cm,140cm", "sizes": "S,M"}
    one, other = (made(tunic().document(), **typed) for _ in range(2))
    assert (one.drawing, one.page, one.csv) == (other.drawing, other.page, other.csv)


def test_the_layout_behind_every_length_can_be_drawn() -> None:
    outcome = made(
        tunic().document(), widths="main=90cm,140cm", sizes="S", nap="with", write_layouts="yes"
    )
    document = parse(outcome.drawing)
    layers = [node for node in document.root if node.get(lay("layout"))]
    assert len(layers) == 2
    label = "{http://www.inkscape.org/namespaces/inkscape}label"
    assert layers[0].get(label) == "Layout 1 – S, main, 90 cm, with nap"
    for number, usable in ((1, 875.0), (2, 1375.0)):
        parts = read_back(document, number).laid()
        assert len(parts) == 8
        assert check_laid(parts, Fabric(usable, gap=2.8, edge_margin=-0.1)) == ()
    assert {leaf.id for leaf in read_leaves(document)} == {
        leaf.id for leaf in read_leaves(tunic().document())
    }


def test_what_cannot_be_laid_leaves_the_tree_as_it_was() -> None:
    document = tunic().document()
    before = etree.tostring(document.root)
    with pytest.raises(JobError, match="needs fabric at least"):
        made(document, widths="main=20cm")
    assert etree.tostring(document.root) == before


def test_a_drawing_is_called_by_its_title_or_its_file(tmp_path: Path) -> None:
    drawing = tunic()
    file = drawing.write(tmp_path / "Tunic No. 6.svg")
    assert title_of(parse(file)) == "Tunic No. 6"
    name = "{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}docname"
    drawing.root.set(name, "from the editor.svg")
    assert title_of(drawing.document()) == "from the editor"
    drawing.add("title").text = " A  tunic "
    assert title_of(drawing.document()) == "A tunic"
    assert title_of(SvgBuilder().document()) == ""
