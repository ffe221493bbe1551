# SPDX-License-Identifier: GPL-2.0-or-later
"""How the cloth lies, as it is typed: every word, and a sentence for all that is none."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.job.options import LayOutOptions, changed_options, options_from_text
from extension.job.plan import fabric_of
from extension.job.settings import options_of, settings_text
from extension.job.spread import sections_of, spread_by_material, spread_text
from extension.language.errors import OptionError
from nesting.jobs.fabric import fabric_faults
from nesting.model import OPEN, Section
from tests.helpers.cloth import between_selvedges

INCH = 25.4


def told(text: str, *, nap: bool = True) -> tuple[Section, ...]:
    """Return the sections of cloth 1.4 m wide."""
    return sections_of(text, width=1400.0, nap=nap, system="metric")


@pytest.mark.parametrize(
    ("text", "section"),
    [
        ("lengthwise", Section(700.0)),
        (" Lengthwise ", Section(700.0)),
        ("depth", Section(None)),
        ("depth=35cm", Section(350.0)),
        ("DEPTH = 35 cm", Section(350.0)),
        ("depth 12,5cm", Section(125.0)),
        ("depth=13 1/2 in", Section(13.5 * INCH)),
        ("depth=70cm", Section(700.0)),
        ("twice", Section(350.0, 350.0)),
        ("twice=20cm,30cm", Section(200.0, 300.0)),
        ("twice=20cm, 30,5cm", Section(200.0, 305.0)),
        ("twice 8in 10 1/2 in", Section(8.0 * INCH, 10.5 * INCH)),
        ("crosswise", Section(crosswise=True, turned=True)),
    ],
)
def test_a_fold_is_followed_by_open_cloth_for_what_cannot_be_cut_on_it(
    text: str, section: Section
) -> None:
    assert told(text) == (section, OPEN)
    assert told(spread_text(text)) == told(text)


@pytest.mark.parametrize("text", ["open", "compare"])
def test_cloth_is_open_unless_it_is_folded(text: str) -> None:
    assert told(text) == (OPEN,)


def test_without_nap_nothing_is_turned_round() -> None:
    assert told("crosswise", nap=False) == (Section(crosswise=True), OPEN)


@pytest.mark.parametrize(("width", "half"), [(60.0, 30.0), (54.0, 27.0), (45.0, 22.5)])
def test_cloth_folded_lengthwise_is_half_as_wide(width: float, half: float) -> None:
    """The fold lines of common widths: half of 60, 54 and 45 in (arithmetic)."""
    first, _ = sections_of("lengthwise", width=width * INCH, nap=True, system="imperial")
    assert first.lower == pytest.approx(half * INCH)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("folded", "choose open, lengthwise, depth, twice, crosswise or compare"),
        ("", "choose open"),
        ("depth=35", "“35” has no unit"),
        ("depth=deep", "“deep” is not a length"),
        ("depth=0cm", "cannot be folded in by “0cm”"),
        ("depth=-5cm", "cannot be folded in by “-5cm”"),
        ("depth=70.1cm", "140 cm between the selvedges leave 70 cm in all"),
        ("twice=40cm,31cm", "cannot be folded in by 40 cm and 31 cm"),
        ("twice=20cm", "“twice” has 2 or none"),
        ("depth=20cm,30cm", "“depth” has 1 or none"),
        ("lengthwise 70cm", "“70cm” behind “lengthwise” says nothing"),
    ],
)
def test_what_is_no_way_to_lie_is_answered_with_the_remedy(text: str, words: str) -> None:
    with pytest.raises(OptionError, match=re.escape(words)) as caught:
        told(text)
    assert str(caught.value).endswith(".")


@given(st.text(max_size=30) | st.from_regex(r"(depth|twice)[= ]*[0-9.,/ ]*(cm|in)?.{0,8}"))
def test_any_text_is_a_spread_that_the_engine_takes_or_one_sentence(text: str) -> None:
    try:
        options = LayOutOptions(1400.0, width_is="usable", spread=spread_text(text))
    except OptionError as error:
        told = str(error)
    else:
        assert list(fabric_faults(fabric_of(options))) == []
        told = "."
    assert told.endswith(".")
    assert "\n" not in told.replace(text.strip(), "")


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("lengthwise", {"": "lengthwise"}),
        ("depth=35cm", {"": "depth 35cm"}),
        ("main=lengthwise, lining=open", {"main": "lengthwise", "lining": "open"}),
        (
            "main=depth=35cm,lining=twice=20cm,30cm; interfacing = open",
            {"main": "depth 35cm", "lining": "twice 20cm, 30cm", "interfacing": "open"},
        ),
        ("twice=20cm,30cm, lining=open", {"": "twice 20cm, 30cm", "lining": "open"}),
    ],
)
def test_each_material_may_lie_its_own_way(text: str, found: dict[str, str]) -> None:
    assert spread_by_material(text) == found
    for one in found.values():
        assert told(one) == told(spread_text(one))


def test_the_settings_of_a_layout_keep_how_it_lies() -> None:
    typed = {"fabric_width": "140cm", "spread": "Twice=20cm,30cm", "sides": "Apart"}
    options = options_from_text(typed)
    assert (options.spread, options.sides) == ("twice 20cm, 30cm", "apart")
    assert options_of(settings_text(options, {})) == options
    again = changed_options(options, {"spread": "lengthwise"})
    assert again.sections == (Section(687.5), OPEN)
    assert again.sides == "apart"
    narrow = changed_options(options, {"spread": "twice", "fabric_width": "100cm"})
    assert narrow.sections[0] == Section(243.75, 243.75)


def test_the_cloth_of_the_engine_lies_as_it_is_told() -> None:
    fabric = fabric_of(between_selvedges(1400.0, spread="depth 30cm", sides="apart"))
    assert fabric.sections == (Section(300.0), OPEN)
    assert fabric.sides == "apart"
    assert fabric_of(between_selvedges(1400.0)).is_plain


def test_sides_are_together_or_apart() -> None:
    with pytest.raises(OptionError, match="choose together or apart"):
        options_from_text({"fabric_width": "140cm", "sides": "inside"})
