# SPDX-License-Identifier: GPL-2.0-or-later
"""The table of fabric requirements from the real editor's menu."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from lxml import etree

from tests.helpers.editor import Profile
from tests.helpers.graded import tunic

pytestmark = [pytest.mark.editor, pytest.mark.timeout(400)]

START = "org.thriftlay.requirements"
RUN = f"{START}.noprefs"
TABLE = "{urn:thriftlay:1}table"


def layers(drawing: bytes, name: str) -> list[etree._Element]:
    return [node for node in etree.fromstring(drawing) if node.get(name) is not None]


def test_the_menu_command_puts_a_table_beside_the_pieces(profile: Profile, tmp_path: Path) -> None:
    page, table = tmp_path / "Tabelle ü.html", tmp_path / "table.csv"
    told = {"widths": "main = 110 cm, 140 cm", "seconds": 4, "page": page, "csv": table}
    profile.prefer(START, **told)
    drawing = tunic(("S", "L")).write(tmp_path / "tunic.svg")
    saved = profile.run(drawing, [RUN])
    (layer,) = layers(saved, TABLE)
    texts = {"".join(each.itertext()) for each in layer.iter("{*}text")}
    assert {"Size", "110 cm", "140 cm", "S", "L", "With nap", "Without nap"} <= texts
    assert "Fabric requirements" in page.read_text(encoding="utf-8")
    with table.open(newline="", encoding="utf-8") as file:
        assert len(list(csv.DictReader(file))) == 2 * 2 * 2


def test_one_undo_takes_the_table_away(profile: Profile, tmp_path: Path) -> None:
    profile.prefer(START, widths="main = 140 cm", seconds=1)
    steps = profile.undo(tunic(("S",)).write(tmp_path / "tunic.svg"), RUN)
    tables = [len(layers(one, TABLE)) for one in (steps.done, steps.undone, steps.redone)]
    assert tables == [1, 0, 1]
