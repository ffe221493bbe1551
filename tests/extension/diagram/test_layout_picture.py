# SPDX-License-Identifier: GPL-2.0-or-later
"""A picture of one layout from the terminal, made by the editor."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import matplotlib.colors
import matplotlib.image
import numpy as np
import pytest

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.diagram import editor
from extension.diagram.layout_picture import Resolution
from extension.language.errors import OptionError
from extension.operations import diagram as publishing
from extension.svg.building import element
from tests.helpers.edited import Edited, two_layouts
from tests.helpers.layouts import no_time
from tests.helpers.screen import need

MAGENTA = (1.0, 0.0, 1.0)


def said(edited: Edited, file: Path, *more: str) -> tuple[int, str]:
    """Return the exit code and what is said when a picture of a drawing is wanted."""
    drawing = file.with_name("drawing.svg")
    drawing.write_bytes(edited.data)
    out = io.StringIO()
    code = run(["diagram", str(drawing), "--png", str(file), *more], Terminal(out, out), no_time)
    return code, out.getvalue()


@pytest.mark.editor
def test_a_picture_shows_one_layout_alone_even_one_that_nobody_should_cut_by(
    tmp_path: Path,
) -> None:
    need("inkscape")
    edited = Edited()
    edited.transform("front", 1, "translate(230, -140)")  # over another part
    everywhere = {"x": -9000, "y": -9000, "width": 20000, "height": 20000}
    edited.root.insert(0, element("rect", {**everywhere, "style": "fill:#ff00ff"}))
    edited.layer.set("style", "display:none")
    code, told = said(edited, tmp_path / "made", "--png-width", "300")
    assert code == 0
    assert "do not cut by it" in told
    assert "1 overlap" in told
    picture = matplotlib.image.imread(tmp_path / "made.png")[:, :, :3]
    assert picture.shape[1] == 300
    assert not (np.abs(picture - MAGENTA).max(axis=2) < 0.2).any()
    assert (picture[0] == 1.0).all()
    assert (picture[:, 0] == 1.0).all()
    cloth = picture - matplotlib.colors.to_rgb("#fbf4e6")
    assert 0.05 < (np.abs(cloth).max(axis=2) < 0.02).mean() < 0.8


def test_of_several_layouts_the_one_that_is_meant_has_to_be_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(publishing, "editor_here", lambda _: "no editor is asked")
    code, told = said(two_layouts(), tmp_path / "made.png")
    assert code == 2
    assert "say which one is meant" in told


def test_without_an_editor_a_picture_is_refused_in_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(editor.sys, "platform", "linux")
    code, told = said(Edited(), tmp_path / "made.png")
    assert (code, told.count("\n")) == (2, 1)
    assert told.endswith("install Inkscape 1.2 or later.\n")
    assert not (tmp_path / "made.png").exists()


STANDS_IN = """
import pathlib, struct, sys
told = dict(word[2:].partition("=")[::2] for word in sys.argv[1:] if word.startswith("--"))
if "query-all" in told:
    print("thriftlay-picture-of-layout,10,20,1000,500")
else:
    size = struct.pack(">II", int(told["export-width"]), 9)
    data = b"\\x89PNG\\r\\n\\x1a\\n" + bytes(8) + size + END
    pathlib.Path(told["export-filename"]).write_bytes(data)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="the stand-in editor is a script")
@pytest.mark.parametrize("end", ["b'IEND\\xaeB`\\x82'", "b'IDA'"], ids=["whole", "broken off"])
def test_only_a_whole_picture_is_put_in_the_place_of_an_older_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, end: str
) -> None:
    program, file = tmp_path / "stand-in", tmp_path / "made.png"
    program.write_text(f"#!{sys.executable}\nEND = {end}\n{STANDS_IN}")
    program.chmod(0o755)
    file.write_bytes(b"older")
    monkeypatch.setattr(publishing, "editor_here", lambda _: str(program))
    code, told = said(Edited(), file)
    if "IEND" in end:
        assert (code, told) == (0, f"The picture of the layout is in “{file}”.\n")
        assert file.read_bytes().startswith(b"\x89PNG")
    else:
        assert code == 2
        assert "only a part of it was written" in told
        assert file.read_bytes() == b"older"


def test_how_wide_a_picture_is_in_pixels_or_by_the_inch() -> None:
    assert Resolution().pixels(508.0, 254.0) == 2000
    assert Resolution(dpi=100.0).pixels(508.0, 254.0) == 2000  # 20 in
    for size, why in (
        (Resolution(49), "at least 50"),
        (Resolution(dpi=1.0), "20 pixels wide shows nothing"),
        (Resolution(20_000), "20000 × 10000 pixels"),
        (Resolution(dpi=float("nan")), "must be a number"),
    ):
        with pytest.raises(OptionError, match=why):
            size.pixels(508.0, 254.0)
