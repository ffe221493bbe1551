# SPDX-License-Identifier: GPL-2.0-or-later
"""The cutting diagram from the real editor's menu."""

from __future__ import annotations

from pathlib import Path

import pytest
from lxml import etree

from extension.language.names import lay
from tests.helpers.edited import SPOTS
from tests.helpers.editor import Profile
from tests.helpers.pdf import pages_of

pytestmark = [pytest.mark.editor, pytest.mark.timeout(400)]

START = "org.thriftlay.diagram"
RUN = f"{START}.noprefs"


def test_the_menu_command_writes_the_page_and_leaves_the_drawing(
    profile: Profile, drawing: Path, tmp_path: Path
) -> None:
    page, pdf = tmp_path / "Schnittauflage ü.html", tmp_path / "Schnittauflage ü.pdf"
    full = tmp_path / "full size.svg"
    profile.prefer(START, page=page, pdf=pdf, full_size=full, paper="letter", scale="1:10")
    saved = profile.run(drawing, [RUN])
    told = etree.fromstring(page.read_bytes())
    assert len(told.findall(".//{*}polygon")) == len(SPOTS)
    assert "Scale 1:10." in "".join(map(str, told.itertext()))
    picture, tables = pages_of(pdf)
    # ANSI/ASME Y14.1, size A, lying: 11 in by 8 1/2 in; or standing.
    assert sorted((picture.width, picture.height)) == pytest.approx([215.9, 279.4], abs=0.1)
    assert "Scale 1:10." in picture.text
    assert "Placing table" in tables.text
    assert etree.parse(str(full)).getroot().find(".//*[@id='test-square']") is not None
    layers = [one for one in etree.fromstring(saved).iter(etree.Element) if one.get(lay("layout"))]
    assert len(layers) == 1
