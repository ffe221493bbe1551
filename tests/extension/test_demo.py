# SPDX-License-Identifier: GPL-2.0-or-later
"""The demonstration leaves a drawing, a picture and a page that tell the same."""

from __future__ import annotations

import sys
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from matplotlib.image import imread

from extension import demo
from extension.demo import DRAWING, PAGE, PICTURE, demonstrate, main
from extension.job.options import LayOutOptions
from extension.picture import length_line
from extension.svg.flatten import TOLERANCE
from tests.helpers.laid import read_layouts


class Links(HTMLParser):
    """What a page leads to, and what it says."""

    def __init__(self) -> None:
        super().__init__()
        self.targets: list[str] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.targets += [value or "" for name, value in attrs if name in ("href", "src")]

    def handle_data(self, data: str) -> None:
        self.text += data


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, Any]]:
    """Return the folder and the report of a demonstration of one round."""
    folder = tmp_path_factory.mktemp("demo")
    options = LayOutOptions(fabric_width=1400.0, rounds=1)
    return folder, demonstrate(folder, options, lambda: 0.0)


def test_the_drawing_holds_the_layout(shown: tuple[Path, dict[str, Any]]) -> None:
    folder, report = shown
    (laid,) = read_layouts((folder / DRAWING).read_bytes())
    assert len(laid.parts) == len(report["placements"])
    # Both outlines are drawn curves, and each may lie beyond its flattened one by the tolerance.
    assert laid.least_gap() >= 3.0 - 2.0 * TOLERANCE
    assert laid.length == pytest.approx(report["length"], abs=0.05)


def test_the_picture_can_be_looked_at(shown: tuple[Path, dict[str, Any]]) -> None:
    height, width, _ = imread(shown[0] / PICTURE).shape
    assert max(height, width) >= 1600


def test_the_page_shows_picture_figures_and_cautions(shown: tuple[Path, dict[str, Any]]) -> None:
    folder, report = shown
    links = Links()
    links.feed((folder / PAGE).read_text(encoding="utf-8"))
    assert set(links.targets) == {DRAWING, PICTURE}
    for line in (length_line(report), *report["summary"], *report["cautions"], "invented"):
        assert line in links.text


def test_progress_is_told_now_and_then_and_the_files_at_the_end(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    monkeypatch.setattr(sys, "argv", ["demo", str(tmp_path)])
    monkeypatch.setattr(demo, "usual_workers", lambda: 1)
    quick = LayOutOptions(fabric_width=1400.0, rounds=1)
    monkeypatch.setattr(demo, "LayOutOptions", lambda **_: quick)
    assert main() == 0
    said = capsys.readouterr().out
    assert all(str(tmp_path / name) in said for name in (DRAWING, PICTURE, PAGE))


def test_a_fault_is_one_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    monkeypatch.setattr(sys, "argv", ["demo", str(tmp_path)])
    monkeypatch.setattr(demo, "SAMPLE", tmp_path / "no such drawing.svg")
    assert main() == 1
    assert capsys.readouterr().err.count("\n") == 1
