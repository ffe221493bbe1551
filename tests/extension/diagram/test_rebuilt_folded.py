# SPDX-License-Identifier: GPL-2.0-or-later
"""Who lays the pattern on folded cloth by the words of the page alone has the layout."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
import shapely
from lxml import etree

from extension.diagram.cloth import BOTH, FOLD, Cloth, cloths_of
from extension.diagram.page import page
from extension.diagram.places import Place, places
from extension.diagram.section import sections
from extension.diagram.telling import grain_text
from extension.drawn.sheet import Sheet
from extension.job.options import LayOutOptions
from extension.layouts.checked import examined, options_now
from extension.layouts.layers import chosen_layers
from extension.operations.lay_out import lay_out
from extension.operations.running import Run
from extension.svg.document import Document, parse, serialise
from extension.svg.leaves import read_leaves
from nesting.model import OPEN, LaidSection, Placement, Section
from tests.extension.diagram.test_rebuilt import WITHIN, pattern_of
from tests.helpers.cloth import typed_between_selvedges
from tests.helpers.diagrams import SAMPLES
from tests.helpers.folded_by_hand import (
    SPREADS,
    drawn_folded,
    open_behind,
    whole_ring,
    with_a_single,
)
from tests.helpers.layouts import no_time
from tests.helpers.rebuilt import apart, ground_of, length_of, rebuilt, table_of, width_of


def typed(width: str, **more: str) -> LayOutOptions:
    """Return options for cloth of a width."""
    return typed_between_selvedges({"fabric_width": width, **more})


def page_of(document: Document) -> etree._Element:
    """Return the page of the last layout of a drawing, as a reader has it."""
    layer = chosen_layers(document, ())[-1]
    return etree.fromstring(page(sections(document, [layer], "a4", "fit")).encode())


def seen(sheet: Sheet, spot: Placement) -> shapely.Polygon:
    """Return what is cut round of a placement, as it is seen from above on its section."""
    whole = shapely.Polygon(whole_ring(sheet.plan.cuts[spot.piece].piece, spot))
    if not spot.on_fold:
        return whole
    section = sheet.layout.sections[spot.section - 1]
    low, high = section.lower or 0.0, sheet.width - (section.upper or 0.0)
    half = whole & shapely.box(-1e6, low, 1e6, high)
    assert half.area == pytest.approx(whole.area / 2.0)
    return half


def check(document: Document, sheet: Sheet) -> None:
    """See that the words of the page put every part where it lies, section by section."""
    shown = page_of(document)
    width, pattern = width_of(shown), pattern_of(document, "")
    used = [number for number, one in enumerate(sheet.layout.sections, 1) if one.length > 0.0]
    told = [" ".join("".join(one.itertext()).split()) for one in shown.iter("{*}section")]
    assert len(told) == len(used)
    for nth, number in enumerate(used):
        section = sheet.layout.sections[number - 1]
        ground = ground_of(told[nth], width)
        assert ground.low == pytest.approx(section.lower or 0.0, abs=0.06)
        check_length(told[nth], section)
        left = [one for one in sheet.layout.placements if one.section == number]
        for part in rebuilt(table_of(shown, "Placing table", nth), width, pattern, ground):
            own = [one for one in left if sheet.plan.cuts[one.piece].drawn.id == part.id]
            spot = min(own, key=lambda one: apart(part.cut, seen(sheet, one)))
            assert apart(part.cut, seen(sheet, spot)) <= WITHIN, (part.number, part.id)
            assert (part.on_fold, part.through_both) == (spot.on_fold, spot.layers == 2)
            left.remove(spot)
        assert left == []


def check_length(words: str, section: LaidSection) -> None:
    """See that a section is told as long as it is, to the millimetre, and never shorter."""
    patterns = r"for ([\d./ ]+ (?:cm|in)); lay", r"(?:rest,|Lay|Fold) ([\d./ ]+ (?:cm|in))"
    found = next(match for one in patterns if (match := re.search(one, words)))
    assert -0.01 <= length_of(found[1]) - section.length <= 1.6


@pytest.mark.parametrize("spread", SPREADS)
@pytest.mark.parametrize("sides", ["together", "apart"])
@pytest.mark.parametrize("width", ["90cm", "36in"])
def test_the_page_alone_rebuilds_the_layout_on_every_spread(
    spread: str, sides: str, width: str
) -> None:
    sections = SPREADS[spread]
    if spread in ("lengthwise", "twice") and width == "36in":
        share = {"lengthwise": 2.0, "twice": 4.0}[spread]
        depths = [36 * 25.4 / share if depth else 0.0 for depth in sections.depths]
        sections = type(sections)(*depths)
    document = with_a_single().document()
    added = {"allowance": "1cm"} if sides == "apart" else {}
    # A crosswise fold that is not cut open lays one layer against the nap.
    options = typed(width, nap="no" if spread == "crosswise" else "yes", gap="1mm", **added)
    sheet, _ = drawn_folded(document, *open_behind(sections), options=options, sides=sides)  # type: ignore[arg-type]
    check(parse(serialise(document)), sheet)


@pytest.mark.parametrize("sample", ["wrap-skirt", "first-apron", "lined-jacket"])
@pytest.mark.parametrize("spread", ["lengthwise", "to a depth from the upper selvedge"])
def test_samples_are_rebuilt_from_their_pages(sample: str, spread: str) -> None:
    document = parse((SAMPLES / f"{sample}.svg").read_bytes())
    options = typed("150cm", allowance="15mm")
    scale = 1500.0 / 900.0
    depths = [scale * (depth or 0.0) for depth in SPREADS[spread].depths]
    folded = type(SPREADS[spread])(*depths)
    sheet, _ = drawn_folded(document, *open_behind(folded), options=options)
    check(parse(serialise(document)), sheet)


def test_a_run_on_folded_cloth_is_published_with_the_order_of_its_sections() -> None:
    options = typed("150cm", spread="lengthwise", rounds="4")
    document = parse((SAMPLES / "wrap-skirt.svg").read_bytes())
    outcome = lay_out(document, options, Run(no_time, lambda rounds: False))
    shown = page_of(parse(outcome.drawing))
    told = [" ".join("".join(one.itertext()).split()) for one in shown.iter("{*}section")]
    orders = [re.sub("; lay and cut.*", "", line) for line in outcome.report["working_order"]]
    assert len(told) == len(orders) >= 1
    assert all(order in words for order, words in zip(orders, told, strict=True))


@pytest.mark.parametrize("depths", [(450.0, 0.0), (0.0, 450.0)], ids=["from below", "from above"])
def test_where_both_selvedges_lie_sentences_say_so(depths: tuple[float, float]) -> None:
    document = with_a_single().document()
    drawn_folded(document, Section(*depths), OPEN, options=typed("90cm"))
    words = " ".join(" ".join(map(str, page_of(document).itertext())).split())
    above, below = ("both selvedges", "the fold of the cloth")
    is_towards = "the fold of the cloth is towards you"
    if depths[1]:
        above, below = below, above
        is_towards = "both selvedges are towards you"
    assert f"The cut end is at the left, {above} above and {below} below." in words
    assert f"With the cut end at your left, {is_towards}." in words
    assert "the both" not in words


@pytest.mark.parametrize("end", ["both selvedges", "the fold of the cloth"])
def test_a_top_that_lies_across_folded_cloth_points_to_an_edge_in_words(end: str) -> None:
    cloth = Cloth(500.0, 450.0, nap=False, system="metric", lower=FOLD, upper=BOTH)
    turn = 90.0 if end == "both selvedges" else 270.0
    assert grain_text(replace(a_place(), cloth=cloth, turn=turn)) == f"across, top to {end}"


def a_place() -> Place:
    """Return where a part lies on some layout."""
    document = with_a_single().document()
    drawn_folded(document, Section(450.0, 0.0), OPEN, options=typed("90cm"))
    leaves = read_leaves(document, include_layouts=True)
    checked = examined(document, leaves, chosen_layers(document, ())[-1])
    return places(checked, cloths_of(options_now(checked), checked.situation.layout))[0]
