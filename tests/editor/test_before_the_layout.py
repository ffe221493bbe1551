# SPDX-License-Identifier: GPL-2.0-or-later
"""The commands that come before a layout, run from the real editor's menu."""

from __future__ import annotations

from pathlib import Path

import pytest

from extension.job.reading import ReadRequest, read_pieces
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from tests.helpers.editor import Profile

pytestmark = [pytest.mark.editor, pytest.mark.timeout(400)]

JOIN = "org.thriftlay.join-lines.noprefs"
READ = "org.thriftlay.read-markings.noprefs"
DETAILS = "org.thriftlay.details"


def test_a_german_sheet_is_read_from_the_menu(profile: Profile, samples: Path) -> None:
    saved = profile.run(samples / "to_read/apron-german.svg", [READ])
    pieces = read_pieces(read_leaves(parse(saved)), ReadRequest()).pieces
    counts = {piece.name: piece.demands[0].cut for piece in pieces}
    assert counts == {"Schürze": 1, "Tasche": 2, "Nackenband": 1, "Bindeband": 2}
    assert [piece.fold is not None for piece in pieces] == [True, False, False, False]


def test_broken_lines_are_joined_and_then_read_from_the_menu(
    profile: Profile, samples: Path
) -> None:
    saved = profile.run(samples / "rain-jacket-sizes.svg", [JOIN, READ])
    request = ReadRequest(sizes=("110", "116", "122"))
    pieces = read_pieces(read_leaves(parse(saved)), request).pieces
    assert len(pieces) == 45
    assert {piece.size for piece in pieces} == {"110", "116", "122"}


def test_details_of_a_selected_piece_are_set_from_the_menu(profile: Profile, samples: Path) -> None:
    told = f'<group id="extensions" {DETAILS}.cut="3 lining" {DETAILS}.name="Left back"/>'
    (profile.folder / "preferences.xml").write_text(
        f'<inkscape version="1">{told}</inkscape>', encoding="utf-8"
    )
    before = read_pieces(read_leaves(parse(samples / "first-apron.svg")), ReadRequest()).pieces
    chosen = before[1].id
    saved = profile.run(
        samples / "first-apron.svg", [f"select-by-id:{chosen}", f"{DETAILS}.noprefs"]
    )
    after = {one.id: one for one in read_pieces(read_leaves(parse(saved)), ReadRequest()).pieces}
    assert after[chosen].name == "Left back"
    assert [(d.cut, d.material) for d in after[chosen].demands] == [(3, "lining")]
    for piece in before:
        if piece.id != chosen:
            assert after[piece.id].demands == piece.demands
