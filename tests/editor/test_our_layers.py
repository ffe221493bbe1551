# SPDX-License-Identifier: GPL-2.0-or-later
"""Our layers after the real editor has dropped its own attributes, or moved parts between them."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest
from lxml import etree

from extension.language.names import lay
from extension.svg.document import parse
from tests.helpers.edited import Edited
from tests.helpers.editor import Profile, saved, xdotool
from tests.helpers.screen import need, virtual_screen

pytestmark = [pytest.mark.editor, pytest.mark.timeout(400)]


def longer() -> Edited:
    edited = Edited()
    edited.transform("back", 1, "translate(400,0)")
    return edited


def read(data: bytes) -> Edited:
    again = Edited()
    again.root = parse(data).root
    return again


def words(edited: Edited) -> str:
    sublayer = next(one for one in edited.layer if one.get(lay("holds")) == "measures")
    return " ".join(span.text or "" for span in sublayer.iter("{*}tspan"))


def test_a_drawing_saved_as_plain_svg_is_checked_and_renewed_like_any_other(
    profile: Profile, tmp_path: Path
) -> None:
    need("inkscape")
    source, plain = tmp_path / "laid.svg", tmp_path / "plain.svg"
    source.write_bytes(longer().data)
    with virtual_screen() as screen:
        subprocess.run(
            ["inkscape", "--export-plain-svg", f"--export-filename={plain}", str(source)],
            env=profile.environment(screen, window=False),
            capture_output=True,
            timeout=120,
            check=True,
        )
    saved = read(plain.read_bytes())
    assert b"inkscape:label" not in plain.read_bytes()
    outcome, usual = saved.check(), longer().check()
    assert outcome.summary == usual.summary
    again = read(outcome.drawing)
    assert words(again) == words(read(usual.drawing))
    assert [len(one) for one in again.layer] == [len(one) for one in read(usual.drawing).layer]


@pytest.mark.parametrize(("key", "place"), [("shift+Prior", "measures"), ("shift+Next", "cloth")])
def test_a_part_raised_or_lowered_by_a_key_is_counted_and_still_there_after_a_check(
    profile: Profile, tmp_path: Path, key: str, place: str
) -> None:
    drawing = tmp_path / "raised.svg"
    drawing.write_bytes(longer().data)
    part = "thriftlay-1-part-3"
    select = [f"select-by-id:{part}"]
    with virtual_screen() as screen, profile.shown(drawing, screen, select) as window:
        xdotool(screen, "key", key)
        after = read(saved(drawing, window, screen))
    assert _lies_on(after, part) == place
    outcome = after.check()
    assert outcome.summary[0] == "5 of 5 parts, no overlap, 0.86 m."
    assert _lies_on(read(outcome.drawing), part) == place


def _lies_on(edited: Edited, id_: str) -> str:
    parent = edited.find(id_).getparent()
    assert isinstance(parent, etree._Element)
    return str(parent.get(lay("holds")))
