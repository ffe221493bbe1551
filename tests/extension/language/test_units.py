# SPDX-License-Identifier: GPL-2.0-or-later
"""What a person types is the length she means, or it is refused by name."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.language import units
from extension.language.errors import OptionError
from extension.language.units import parse_angle, parse_length, typed_system, user_units

# Exact by definition: international yard and pound agreement of 1959.
INCH, YARD = 25.4, 914.4


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("15mm", 15),
        ("15 mm", 15),
        ("1.5 cm", 15),
        ("1,5cm", 15),
        ("0.5m", 500),
        (",5 m", 500),
        ("5/8in", 15.875),
        ('5/8"', 15.875),
        ("5/8 ″", 15.875),
        ("⅝ in", 15.875),
        ("1 1/2 in", 38.1),
        ("1-1/2 in", 38.1),
        ("1 - 1/2 inches", 38.1),
        ("1½ in", 38.1),
        ("1 ½ in.", 38.1),
        ("1⁄2 in", 12.7),
        ("1/8yd", 114.3),
        ("2 yd", 1828.8),
        ("2 1/8 yards", 1943.1),
        ("1 ft", 304.8),
        ("72pt", INCH),
        ("6pc", INCH),
        ("96px", INCH),
        ("140\u00a0cm", 1400),
        (" 140CM ", 1400),
        ("-5mm", -5),
        ("−5mm", -5),
        ("+5mm", 5),
        ("-1 1/2 in", -38.1),
        ("0mm", 0),
        ("1.400 mm", 1.4),
        ("0,125 in", 3.175),
        ("60,25 in", 1530.35),
    ],
)
def test_a_typed_length_is_the_length_she_means(text: str, mm: float) -> None:
    assert parse_length(text) == pytest.approx(mm, rel=1e-15, abs=0)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "mm",
        "abc",
        "nan mm",
        "inf mm",
        "1e3mm",
        "1..5mm",
        "1/0in",
        "5/8/2 in",
        "1 2 in",
        "٣mm",
        "15 furlongs",
        "1.5/2 in",
        "--5mm",
        "5 5/8",
        "1½",
        "15",
        "15%",
        "mm 15",
        "1 yd 4 in",
        "½½in",
    ],
)
def test_what_is_no_length_is_refused_by_name_with_an_example(text: str) -> None:
    with pytest.raises(OptionError) as refusal:
        parse_length(text)
    assert f"“{text}”" in str(refusal.value)
    assert "15mm" in str(refusal.value)


@pytest.mark.parametrize("text", ["1,400 mm", "12,000mm", "-1,500 m"])
def test_a_comma_that_can_mean_two_things_is_not_guessed(text: str) -> None:
    with pytest.raises(OptionError, match="two ways"):
        parse_length(text)


def test_a_bare_number_has_the_default_unit() -> None:
    assert parse_length("15", "cm") == 150
    assert parse_length("5/8", "in") == 15.875
    assert parse_length("15mm", "in") == 15


@pytest.mark.parametrize(
    ("text", "system"),
    [
        ("140cm", "metric"),
        ("15 mm", "metric"),
        ("1/8 yd", "imperial"),
        ("45″", "imperial"),
        ("3 ft", "imperial"),
        ("10pt", "metric"),
    ],
)
def test_the_system_is_the_one_she_typed(text: str, system: str) -> None:
    assert typed_system(text) == system
    assert typed_system("15", "in") == "imperial"


def test_constants_are_those_of_the_definitions() -> None:
    # CSS Values and Units 3, section 6.2: 1 px is exactly 1/96 of 1 in.
    assert units.MM_PER_INCH == INCH
    assert units.parse_length("1yd") == YARD == 36 * INCH
    assert units.MM_PER_PX * 96 == INCH
    assert pytest.approx(3.7795275591, abs=5e-11) == units.PX_PER_MM
    assert pytest.approx(377.9527559, abs=5e-8) == units.PX_PER_MM * 100
    assert parse_length("1 yd") == parse_length("3456 px")
    assert parse_length("45 in") == pytest.approx(parse_length("4320 px"), rel=1e-15)


@pytest.mark.parametrize(
    ("yards", "inches", "cm"),
    # A shop's table of yards in inches and centimetres (the latter rounded to 0.01 there).
    [
        ("1/8", 4.5, 11.43),
        ("1/4", 9, 22.86),
        ("3/8", 13.5, 34.29),
        ("1/2", 18, 45.72),
        ("5/8", 22.5, 57.15),
        ("3/4", 27, 68.58),
        ("7/8", 31.5, 80.01),
        ("1", 36, 91.44),
    ],
)
def test_the_printed_table_of_eighths_of_a_yard(yards: str, inches: float, cm: float) -> None:
    length = parse_length(f"{yards} yd")
    assert length == pytest.approx(inches * INCH, rel=1e-15)
    assert round(length / 10, 2) == cm


@given(st.integers(0, 500), st.integers(0, 63), st.sampled_from(["in", "yd", "ft"]))
def test_every_way_of_writing_a_fraction_is_the_same_length(
    whole: int, over: int, unit: str
) -> None:
    decimal = parse_length(f"{float(whole + Fraction(over, 64))}{unit}")
    for text in (f"{whole} {over}/64 {unit}", f"{whole}-{over}/64{unit}"):
        assert parse_length(text) == decimal
    assert parse_length(f"{64 * whole + over}/64 {unit}") == decimal


@given(st.decimals(0, 99, places=2), st.sampled_from(["mm", "cm", "m", "in", "yd"]))
def test_point_and_comma_mean_the_same(number: object, unit: str) -> None:
    text = f"{number}{unit}"
    assert parse_length(text) == parse_length(text.replace(".", ","))


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("2deg", 2),
        ("45°", 45),
        ("45", 45),
        ("-30", -30),
        ("22,5 °", 22.5),
        ("+.5deg", 0.5),
        ("−90°", -90),
        ("1 degree", 1),
        ("1.", 1),
    ],
)
def test_a_typed_angle(text: str, degrees: float) -> None:
    assert parse_angle(text) == degrees


@pytest.mark.parametrize("text", ["", "up", "45 rad", "4 5", "nan", "1e3", "9" * 400])
def test_what_is_no_angle_is_refused_by_name(text: str) -> None:
    with pytest.raises(OptionError, match="45°"):
        parse_angle(text)


@pytest.mark.parametrize(
    ("text", "px"),
    [
        ("10", 10),
        ("10px", 10),
        ("1in", 96),
        ("2.54cm", 96),
        ("25.4mm", 96),
        ("72pt", 96),
        ("6pc", 96),
        ("101.6Q", 96),
        ("2em", 40),
        ("2ex", 20),
        ("1e2", 100),
        (" .5in ", 48),
        ("-3", -3),
        ("10MM", 10 * 96 / 25.4),
    ],
)
def test_a_length_in_a_drawing(text: str, px: float) -> None:
    assert user_units(text, font_size=20) == pytest.approx(px, rel=1e-15)


def test_percentages_are_of_width_height_or_their_root_mean_square() -> None:
    assert user_units("10%", (200, 100), "x") == 20
    assert user_units("10%", (200, 100), "y") == 10
    # The editor shows a circle of r = 10 % on a page of 200 by 100 as 15.8114.
    assert user_units("10%", (200, 100)) == pytest.approx(15.8114, abs=5e-5)
    assert user_units("10%", (3, 3)) == pytest.approx(0.3)


@pytest.mark.parametrize("text", ["", "px", "1,5", "10 20", "1e999", "10yd", "10m", "0x10", "nan"])
def test_what_is_no_length_in_a_drawing_is_an_error(text: str) -> None:
    with pytest.raises(ValueError, match=r".*"):
        user_units(text)


@given(st.floats(-1e6, 1e6, allow_nan=False))
def test_full_precision_is_kept(number: float) -> None:
    assert user_units(repr(number)) == number
    assert math.isclose(user_units(f"{number!r}mm") * units.MM_PER_PX, number, rel_tol=1e-15)
