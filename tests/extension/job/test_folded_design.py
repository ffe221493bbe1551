# SPDX-License-Identifier: GPL-2.0-or-later
"""Folds of cloth with a design lie on a dominant line or midway, near where it is asked.

That is common practice in laying out checks: folded so, the lines of both layers meet.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.job.folded_design import moved_text, not_double_text, on_design
from extension.job.options import options_from_text
from nesting.cloth.repeats import Design
from nesting.model import OPEN, Fabric, Job, Match, Piece, Repeat, Section

WIDTH = 1100.0
CHECKS = Repeat(80.0, 60.0, first=20.0)


@pytest.mark.parametrize(
    ("asked", "lies"),
    [
        (Section(550.0), Section(530.0)),  # 20 + 17 x 30: beyond half of it nothing can lie
        (Section(350.0), Section(350.0)),  # 20 + 11 x 30
        (Section(340.0), Section(350.0)),
        (Section(330.0), Section(320.0)),
        (Section(0.0, 340.0), Section(0.0, 330.0)),  # 1100 - 330 = 770 = 20 + 25 x 30
        (Section(275.0, 275.0), Section(260.0, 270.0)),
        (Section(None), Section(None)),
        (Section(crosswise=True), Section(crosswise=True)),
        (OPEN, OPEN),
    ],
)
def test_a_fold_goes_to_the_nearest_line_or_midway(asked: Section, lies: Section) -> None:
    assert on_design([asked], CHECKS, WIDTH) == (lies,)


def test_in_a_half_drop_a_fold_lies_on_a_line_alone() -> None:
    design = Repeat(80.0, 60.0, first=20.0, half_drop=True)
    assert on_design([Section(340.0)], design, WIDTH) == (Section(320.0),)


@pytest.mark.parametrize(
    "design", [None, Repeat(along=80.0), Repeat(80.0, 60.0, even=False), Repeat(0.0, 3000.0)]
)
def test_other_cloth_is_folded_as_it_is_asked(design: Repeat | None) -> None:
    assert on_design([Section(345.0), OPEN], design, WIDTH) == (Section(345.0), OPEN)


@given(
    st.floats(20.0, 275.0),
    st.floats(20.0, 275.0),
    st.floats(5.0, 400.0),
    st.floats(0.0, 400.0),
)
def test_both_layers_are_there_and_show_the_design_alike(
    lower: float, upper: float, across: float, first: float
) -> None:
    design = Repeat(0.0, across, first=first)
    (found,) = on_design([Section(lower, upper)], design, WIDTH)
    assert found.lower is not None
    assert found.upper is not None
    assert found.lower + found.upper <= WIDTH / 2.0 + 1e-6
    asked = {found.lower: lower, found.upper: upper}
    for fold, depth in ((found.lower, found.lower), (WIDTH - found.upper, found.upper)):
        mirrored = (2.0 * (fold - first)) / across
        right = abs(mirrored - round(mirrored)) * across <= 1.0 + 1e-6
        assert right or depth == asked[depth]


def test_that_a_fold_was_moved_is_told() -> None:
    typed = {"fabric_width": "110cm", "width_is": "usable", "spread": "lengthwise"}
    options = options_from_text({**typed, "repeat": "across=6cm", "first_line": "2cm"})
    assert options.sections == (Section(530.0), OPEN)
    (said,) = moved_text((Section(550.0), OPEN), options.sections, "metric", options.design)
    assert said.startswith("Folded in 53 cm deep instead of 55 cm, so that the fold of the cloth")
    assert moved_text(options.sections, options.sections, "metric", options.design) == ()
    assert not_double_text(options.sections, options.design, WIDTH) == ()


@given(st.floats(20.0, 550.0), st.floats(5.0, 400.0), st.floats(0.0, 400.0), st.booleans())
def test_the_engine_cuts_double_wherever_nothing_else_is_said(
    depth: float, across: float, first: float, half_drop: bool
) -> None:
    """The same fold, seen by the words for it and by the search."""
    repeat = Repeat(40.0, across, first=first, half_drop=half_drop)
    sections = on_design([Section(depth), OPEN], repeat, WIDTH)
    outline = ((0.0, 0.0), (100.0, 0.0), (0.0, 80.0))
    piece = Piece("piece", outline, cut=2, match=(Match((10.0, 20.0), "side"),))
    design = Design(Job(Fabric(WIDTH, repeat=repeat, sections=sections), (piece,)))
    said = not_double_text(sections, repeat, WIDTH)
    assert design.goes_double(piece, sections[0].lower) == (not said)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"half_drop": "yes"}, "on a dominant line (midway the rows of a half-drop change places)"),
        ({"uneven": "yes", "spread": "lengthwise"}, "An uneven design runs the other way"),
        ({"spread": "crosswise"}, "Folded crosswise, the two layers of a design need not meet"),
        (
            {"repeat": "along=4cm,across=100cm", "first_line": "90cm", "half_drop": "yes"},
            "No dominant line is where the cloth could be folded so",
        ),
        (
            {"repeat": "along=4cm,across=100cm", "first_line": "60cm", "spread": "depth=5cm"},
            "Folded in 10 cm deep instead of 5 cm",
        ),
    ],
)
def test_what_a_fold_makes_of_a_design_is_one_sentence(typed: dict[str, str], words: str) -> None:
    usual = {"fabric_width": "111cm", "width_is": "usable", "spread": "lengthwise"}
    options = options_from_text({**usual, "repeat": "along=8cm,across=6cm", **typed})
    plain = options_from_text({**usual, **{k: v for k, v in typed.items() if k == "spread"}})
    design, width = options.design, options.usable_width
    said = [
        *moved_text(plain.sections, options.sections, "metric", design),
        *not_double_text(options.sections, design, width),
    ]
    assert sum(words in line for line in said) == 1
    assert len(said) == len(set(said))
