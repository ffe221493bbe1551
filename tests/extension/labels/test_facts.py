# SPDX-License-Identifier: GPL-2.0-or-later
"""Allowance, number, grain, nap and stretch, each by itself."""

from __future__ import annotations

import pytest

from extension.labels.allowance import Allowance, OfAllowance, read_allowance
from extension.labels.facts import (
    read_grain,
    read_nap,
    read_number,
    read_stretch,
)
from extension.labels.phrases import Text
from extension.labels.reading import read_label


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("SA INCLUDED", "included"),
        ("includes 1 cm SA", "included"),
        ("no SA", "none"),
        ("SA not included, add 1.5 cm", 15.0),
        ("SA 1 cm, hem 4 cm", 10.0),
        ("4 cm hem, 1 cm SA", 10.0),
        ("add SA", "none"),
        ("SA", None),
        ("hem allowance included", None),
        # US envelope patterns include 5/8 in, metric ones 1.5 cm: 1 in = 25.4 mm.
        ("5/8 SA", 15.875),
    ],
)
def test_allowance(text: str, expected: object) -> None:
    assert read_allowance(Text(text)).allowance == expected


@pytest.mark.parametrize(
    "text",
    [
        "No seam allowance included",
        "No seam allowances are included",
        "Does not include seam allowance",
        "Pattern does not include seam allowance",
        "Not including seam allowances",
        "Seam allowance is not yet included",
        "Seam allowance: none",
        "Seam allowance must be added",
        "keine Nahtzugabe enthalten",
        "Es ist keine Nahtzugabe inbegriffen",
        "Nahtzugabe muss noch zugegeben werden",
        "Aucune valeur de couture comprise",
        "Le patron n'inclut pas les marges de couture",
        "No incluye margen de costura",
        "No incluye los márgenes de costura",
        "Ningún margen de costura incluido",
        "Margen de costura sin incluir",
        "Nessun margine di cucitura compreso",
        "Non include margini di cucitura",
        "Nenhuma margem de costura incluída",
        "Não inclui margem de costura",
        "geen naadtoeslag inbegrepen",
        "Er is geen naadtoeslag inbegrepen",
    ],
)
def test_a_denial_is_never_read_as_included(text: str) -> None:
    reading = read_label(text)
    assert reading.allowance == "none"
    assert reading.questions == ()


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("No. 5 seam allowance included", "included"),
        ("Not for resale. Seam allowance included", "included"),
        ("Do not cut here, seam allowance included", "included"),
        ("No seam allowance at fold", None),
        ("cut 2, no seam allowance at hem", None),
        ("keine Nahtzugabe am Saum", None),
        ("seam allowance included, no hem allowance", "included"),
    ],
)
def test_what_is_denied_of_something_else_denies_no_allowance(text: str, expected: object) -> None:
    assert read_label(text).allowance == expected


def test_an_allowance_that_may_be_included_is_asked_about() -> None:
    assert read_allowance(Text("SA 1 cm")).questions
    assert not read_allowance(Text("add 1 cm SA")).questions
    assert read_allowance(Text("SA included\nno SA")) == OfAllowance(
        questions=("The label says two things about the seam allowance.",)
    )


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("seam allowance 1 cm included", 10.0),
        ("Front\ncut 2\n1 cm seam allowance included", 10.0),
        ("seam allowance included (1 cm)", 10.0),
        ("seam allowance of 1.5 cm is included, hem 4 cm", 15.0),
        ("includes 5/8 in SA (1.5 cm)", 15.875),
        ("Nahtzugabe 1 cm enthalten", 10.0),
        ("marges de couture de 1 cm comprises", 10.0),
        # Another length than that of the allowance, or none, or no word that it is in there.
        ("SA included", None),
        ("SA 1 cm", None),
        ("add 1 cm SA", None),
        ("4 cm wide including seam allowance", None),
        ("strap 4 cm including SA", None),
        ("test square 3 cm, SA included", None),
        ("SA included, finished length 3 cm", None),
        ("hem 3 cm, SA included", None),
        ("seam allowance included, 60 cm", None),
        ("SA 1 cm included\nSA 2 cm included", None),
    ],
)
def test_how_much_is_included(text: str, expected: float | None) -> None:
    assert read_label(text).included == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Piece 2", "2"),
        ("No. 5, 2 of 15", "2"),
        ("1. Front", "1"),
        ("#7", "7"),
        ("Piece A", "A"),
        ("cut 1 of 2", None),
        ("2 pieces", None),
    ],
)
def test_number(text: str, expected: str | None) -> None:
    assert read_number(Text(text)) == expected


def test_the_bias_outweighs_the_grainline_it_is_written_on() -> None:
    assert read_grain(Text("GRAINLINE (BIAS)"))[0] == "bias"
    assert read_grain(Text("bias or cross grain"))[1]


def test_nap_and_stretch() -> None:
    assert read_nap(Text("with nap"))[0] is True
    assert read_nap(Text("two-way"))[0] is False
    assert read_nap(Text("two-way stretch"))[0] is None
    assert read_stretch(Text("two-way stretch"))


@pytest.mark.parametrize(
    ("text", "allowance", "included"),
    [
        ("Marges de couture\nde 1 cm comprises", "included", 10.0),
        ("seam allowance\n1 cm included", "included", 10.0),
        ("1 cm seam allowance\nincluded", "included", 10.0),
        ("Nahtzugabe 1 cm\nenthalten", "included", 10.0),
        ("Margini di cucitura\n1 cm compresi", "included", 10.0),
        ("Seam allowance\nnot included", "none", None),
        ("Marges de couture\nnon comprises", "none", None),
        ("Seam allowance 1 cm\nnot included", 10.0, None),
        ("Seam allowance\ncut 2\nhem included", None, None),
        ("Seam allowance; included", None, None),
    ],
)
def test_what_is_said_of_the_allowance_goes_on_in_the_next_line(
    text: str, allowance: Allowance, included: float | None
) -> None:
    reading = read_label(text)
    assert (reading.allowance, reading.included, reading.questions) == (allowance, included, ())


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        ("Vorderteil 2x +1cm", True),
        ("Front cut 2 + 5/8 in", True),
        ("Front cut 2 (+ 1,5 cm)", True),
        ("Front cut 2 + 1 cm seam allowance included", False),
        ("Front cut 2 main + 2 lining, 1 cm", False),
        ("Strap cut 2, 4 cm + 6 cm", False),
    ],
)
def test_a_length_behind_a_plus_may_be_an_allowance_to_add(text: str, asks: bool) -> None:
    questions = read_label(text).questions
    assert any(one.endswith("is it a seam allowance to add?") for one in questions) is asks
