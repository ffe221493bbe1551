# SPDX-License-Identifier: GPL-2.0-or-later
"""The room that text takes is never reckoned too small."""

from __future__ import annotations

import string
from pathlib import Path

import matplotlib as mpl
import pytest
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import TextPath

from extension.drawn.lettering import ASCENT, DESCENT, block_size, line_width, text, wrapped
from extension.svg.letters import letter_width

# DejaVu Sans is one of the widest sans-serif fonts in common use; matplotlib brings it along.
FONTS = Path(mpl.get_data_path()) / "fonts/ttf"


@pytest.mark.parametrize(
    ("file", "bold"), [("DejaVuSans.ttf", False), ("DejaVuSans-Bold.ttf", True)]
)
@pytest.mark.parametrize(
    "line",
    [
        "Front, 2 of 2, mirrored",
        "printed side down",
        "Layout 1 – 140 cm, main",
        "needs 1.84 m – buy 1.90 m / 2 1/8 yd",
        "WAISTBAND FACING",
        "Ärmelaufschlag groß",
        "illicit fillip",
    ],
)
def test_a_line_takes_no_more_room_than_reckoned(line: str, file: str, bold: bool) -> None:
    drawn = TextPath((0, 0), line, size=100, prop=FontProperties(fname=str(FONTS / file)))
    true = drawn.get_extents().width
    reckoned = line_width(line, 100.0, bold=bold)
    assert true <= reckoned + 2.0
    assert reckoned <= 1.25 * true


def test_letters_reach_no_higher_and_lower_than_reckoned() -> None:
    font = FontProperties(fname=str(FONTS / "DejaVuSans.ttf"))
    drawn = TextPath((0, 0), string.ascii_letters + string.digits, size=1.0, prop=font)
    box = drawn.get_extents()
    assert box.y1 <= ASCENT + 0.02
    assert -box.y0 <= DESCENT


def test_letters_of_every_script_have_a_width() -> None:
    assert letter_width("服") == 1.0
    assert letter_width("é") == letter_width("e")
    assert letter_width("\u0301") == 0.0
    assert letter_width("Ж") > 0.5


def test_a_block_is_as_wide_as_its_widest_line_and_grows_by_its_lines() -> None:
    one, two = block_size(["Front"], 10.0), block_size(["Front", "1 of 2"], 10.0)
    assert two[0] == max(line_width("Front", 10.0), line_width("1 of 2", 10.0))
    assert two[1] - one[1] == pytest.approx(12.5)
    assert one[1] == pytest.approx(10.0)


def test_text_is_written_line_by_line() -> None:
    made = text(["Front", "1 of 2"], 5.0, 20.0, 10.0, anchor="middle", bold=True)
    assert [span.text for span in made] == ["Front", "1 of 2"]
    assert [span.get("y") for span in made] == ["20", "32.5"]
    assert "text-anchor:middle" in made.get("style", "")
    assert "font-weight:bold" in made.get("style", "")


def test_long_lines_are_broken_between_words() -> None:
    line = "An estimate, not a guarantee: lay every piece on the cloth before the first cut."
    rows = wrapped(line, 300.0, 10.0)
    assert len(rows) > 1
    assert " ".join(rows) == line
    assert all(line_width(row, 10.0) < 360.0 for row in rows)
    assert wrapped("", 300.0, 10.0) == [""]


def test_a_number_stays_with_its_unit_and_a_legend_with_its_number() -> None:
    line = "The gap is 3 mm, the width 140 cm, and 1 = Tab, 2 = Band, of 2 1/8 yd in all. " * 6
    for room in range(200, 900, 7):
        rows = wrapped(line.strip(), float(room), 10.0)
        assert " ".join(rows) == line.strip()
        for row in rows:
            assert not row.endswith(("3", "140", "1", "=", "1/8"))
            assert not row.startswith("=")


def test_a_number_stays_with_its_fraction_and_its_unit() -> None:
    rows = wrapped("The rest open, right side up, for 17 1/16 in", 21.0 * 5.5, 10.0)
    assert len(rows) > 1
    assert any("17 1/16 in" in row for row in rows)
