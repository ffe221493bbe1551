# SPDX-License-Identifier: GPL-2.0-or-later
"""What is done with folded cloth, in words."""

from __future__ import annotations

import pytest

from extension.language.working_order import OPEN_CLOTH, fold_cautions, lay_text, lies_text
from nesting.model import OPEN, LaidSection, Section

FOLDED, REST = LaidSection(700.0, length=952.2), LaidSection(length=400.0)


@pytest.mark.parametrize(
    ("section", "is_rest", "order"),
    [
        (
            FOLDED,
            False,
            "Fold the cloth lengthwise, selvedge to selvedge, right sides together, for 95.3 cm",
        ),
        (REST, True, "Open out the rest, 40.0 cm, right side up"),
        (REST, False, "Lay 40.0 cm of it open, right side up"),
        (
            LaidSection(350.0, length=952.2),
            False,
            "Fold the cloth in by 35 cm from the lower selvedge, right sides together, for 95.3 cm",
        ),
        (
            LaidSection(200.0, 300.0, length=952.2),
            True,
            "Fold the rest in by 20 cm from the lower selvedge and by 30 cm from the upper "
            "selvedge, right sides together, for 95.3 cm",
        ),
        (
            LaidSection(350.0, 350.0, length=952.2),
            False,
            "Fold both selvedges of the cloth to the middle, so that their inner edges meet there, "
            "right sides together, for 95.3 cm",
        ),
        (
            LaidSection(crosswise=True, length=952.2),
            False,
            "Fold 95.3 cm of the cloth crosswise, to 47.7 cm, right sides together",
        ),
        (
            LaidSection(crosswise=True, turned=True, length=952.0),
            False,
            "Fold 95.2 cm of the cloth crosswise, to 47.6 cm, cut it along the fold and turn the "
            "upper layer round, so that the nap of both layers runs one way, right sides together",
        ),
    ],
)
def test_each_section_has_its_order(section: LaidSection, is_rest: bool, order: str) -> None:
    assert lay_text(section, 1400.0, "together", "metric", is_rest=is_rest) == order


def test_how_cloth_lies_counts_the_sections_on_which_something_lies() -> None:
    def lies(*sections: Section) -> str:
        return lies_text(sections, 1400.0, "apart", "metric")

    both = "Cloth folded lengthwise, right sides apart; then open, right side up."
    assert lies(FOLDED, REST) == both == lies(Section(700.0), OPEN)
    assert lies(FOLDED, LaidSection()) == "Cloth folded lengthwise, right sides apart."
    assert lies(LaidSection(700.0), REST) == OPEN_CLOTH == lies() == lies(OPEN)


def test_what_is_folded_has_cautions_of_its_own() -> None:
    assert fold_cautions(()) == () == fold_cautions((LaidSection(700.0), REST))
    assert len(fold_cautions((FOLDED, REST))) == 2
    crosswise = fold_cautions((LaidSection(crosswise=True, length=9.0),))
    assert "along both selvedges" in crosswise[-1]
