# SPDX-License-Identifier: GPL-2.0-or-later
"""The menu command in the real editor: a drawing is opened, the command run, the file read back."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path

import pytest
from lxml import etree

from extension.job.reading import ReadRequest, read_pieces
from extension.language.errors import DrawingError
from extension.operations.check import check_layouts
from extension.pieces.fingerprint import fingerprint
from extension.pieces.model import Reading
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from tests.helpers.editor import ACTION, TOUCH, Profile
from tests.helpers.hers import call
from tests.helpers.laid import Laid, read_layouts
from tests.helpers.svg_builder import SvgBuilder, set_lay

pytestmark = [pytest.mark.editor, pytest.mark.timeout(400)]

RUN = f"{ACTION}.noprefs"
NEAR = 0.05
"""mm by which a measurement of the drawing may miss: rounding of the file and of the reader."""


@pytest.fixture
def profile(tmp_path: Path) -> Profile:
    made = Profile(tmp_path / "profile ä")
    made.install()
    made.prefer(seconds=1)
    return made


def judge(laid: Laid, width: float, gap: float = 3.0) -> None:
    """Assert that a layout is one: nothing overlaps, keeps the gap, lies on the cloth and grain."""
    assert laid.least_gap() >= gap - NEAR
    assert laid.height <= width + NEAR
    assert json.loads(laid.settings)["result"]["length_mm"] == pytest.approx(laid.length, abs=NEAR)
    for part in laid.parts:
        assert part.grain is None or min(part.grain, 180.0 - part.grain) < 0.01, part.of


def originals(drawing: bytes) -> list[bytes]:
    """Return the canonical XML of everything but layouts of ours and what the editor keeps."""
    root = etree.fromstring(drawing)
    kept = [
        child
        for child in root
        if child.get("{urn:thriftlay:1}layout") is None
        and "sodipodi" not in str(child.tag)
        and isinstance(child.tag, str)
    ]
    return [etree.tostring(child, method="c14n", exclusive=True) for child in kept]


@pytest.mark.parametrize(
    ("sample", "width", "options", "counts"),
    [
        (
            "first-apron.svg",
            1375.0,
            {},
            {"apron-body": 1, "apron-pocket": 2, "apron-strap": 1, "apron-tie": 2},
        ),
        (
            "lined-jacket.svg",
            1115.0,
            {"fabric_width": "114 cm", "material": "lining"},
            None,
        ),
        (
            "inch-trousers.svg",
            45 * 25.4,
            {"fabric_width": "45 in", "width_is": "usable"},
            None,
        ),
    ],
)
def test_the_menu_command_lays_out_a_sample(
    profile: Profile,
    samples: Path,
    sample: str,
    width: float,
    options: dict[str, object],
    counts: dict[str, int] | None,
) -> None:
    profile.prefer(seconds=1, **options)
    saved = profile.run(samples / sample, [RUN])
    (laid,) = read_layouts(saved)
    judge(laid, width)
    assert counts is None or laid.counts == Counter(counts)
    assert sum(laid.counts.values()) == json.loads(laid.settings)["result"]["parts"]
    assert originals(saved) == originals(profile.run(samples / sample, []))


def test_cloth_is_folded_as_the_dialog_says(profile: Profile, samples: Path) -> None:
    profile.prefer(seconds=2, spread="depth", depths="60 cm", sides="apart", fabric_width="140 cm")
    saved = profile.run(samples / "first-apron.svg", [RUN])
    (laid,) = read_layouts(saved)
    stored = json.loads(laid.settings)
    assert (stored["options"]["spread"], stored["options"]["sides"]) == ("depth 60 cm", "apart")
    said = " ".join("".join(map(str, one.itertext())) for one in etree.fromstring(saved).iter())
    assert "Fold the cloth in by 60 cm from the lower selvedge, right sides apart" in said
    assert "fold of the cloth" in said
    assert check_layouts(parse(saved)).is_clean


def test_only_what_is_selected_is_laid(profile: Profile, samples: Path) -> None:
    saved = profile.run(samples / "first-apron.svg", ["select-by-id:apron-pocket", RUN])
    (laid,) = read_layouts(saved)
    assert laid.counts == Counter({"apron-pocket": 2})
    # It is symmetric, so no copy has to be turned over.
    assert [part.flipped for part in laid.parts] == [False, False]


def test_two_of_a_selected_uneven_piece_are_a_mirrored_pair(
    profile: Profile, tmp_path: Path
) -> None:
    drawing = two_pieces().write(tmp_path / "zwei Teile.svg")
    (laid,) = read_layouts(profile.run(drawing, ["select-by-id:front", RUN]))
    assert laid.counts == Counter({"front": 2})
    assert sorted(part.flipped for part in laid.parts) == [False, True]


def test_a_second_run_adds_a_second_layer(profile: Profile, samples: Path) -> None:
    laid = read_layouts(profile.run(samples / "first-apron.svg", [RUN, RUN]))
    assert [one.counts for one in laid] == [laid[0].counts] * 2


def test_the_settings_of_the_selected_layout_are_used_again(
    profile: Profile, samples: Path, tmp_path: Path
) -> None:
    profile.prefer(seconds=1, fabric_width="115 cm", gap="5 mm")
    saved = tmp_path / "laid.svg"
    saved.write_bytes(profile.run(samples / "first-apron.svg", [RUN]))
    profile.prefer(again=1, fabric_width="70 cm")
    first, second = read_layouts(profile.run(saved, ["select-by-id:thriftlay-1-part-2", RUN]))
    judge(second, 1125.0, gap=5.0)
    assert second.counts == first.counts
    assert json.loads(second.settings)["options"] == json.loads(first.settings)["options"]


def test_one_undo_takes_the_run_away(profile: Profile, samples: Path) -> None:
    drawing = samples / "first-apron.svg"
    steps = profile.undo(drawing, RUN)
    assert [len(read_layouts(one)) for one in (steps.done, steps.undone, steps.redone)] == [1, 0, 1]
    assert originals(steps.undone) == originals(profile.run(drawing, TOUCH))


def two_pieces() -> SvgBuilder:
    """Return a drawing of two uneven pieces with grainlines, each in a group."""
    drawing = SvgBuilder("600mm", "400mm", (0, 0, 600, 400))
    drawing.add_path("M 0,0 l 2,1 -2,1 z", drawing.add("marker", drawing.defs, id="head"))
    for name, x in (("front", 50), ("back", 330)):
        group = drawing.add_group(id=name, lay={"cut": "2"})
        drawing.add_path(f"m {x},60 l 140,-20 20,150 -90,110 -70,-60 z", group, id=f"{name}-edge")
        drawing.add_line(
            (x + 60, 90),
            (x + 60, 230),
            group,
            id=f"{name}-grain",
            style="stroke:#000000;marker-end:url(#head)",
            lay={"role": "grainline"},
        )
    return drawing


TURNED = {
    "rotated": ["select-by-id:front", "transform-rotate:37"],
    "flipped": ["select-by-id:front", "object-flip-horizontal"],
    "flipped and rotated": ["select-by-id:back", "object-flip-vertical", "transform-rotate:-110"],
    "scaled": ["select-by-id:front", "transform-scale:1.3"],
    "duplicated": ["select-by-id:front", "duplicate", "transform-translate:600,0"],
    "ungrouped and grouped again": [
        "select-by-id:front", "selection-ungroup", "selection-group", "transform-rotate:21",
    ],
}  # fmt: skip


@pytest.fixture(scope="module")
def turned(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """Return what the editor makes of the drawing by each edit, all of them in one go."""
    folder = tmp_path_factory.mktemp("turned")
    drawings = {}
    for count, (name, actions) in enumerate(TURNED.items()):
        drawings[name] = two_pieces().write(folder / f"zwei Teile {count}.svg"), actions
    return Profile(folder).run_each(drawings)


@pytest.mark.parametrize("edit", TURNED)
def test_grainlines_stay_right_through_the_editors_hands(
    turned: dict[str, bytes], tmp_path: Path, edit: str
) -> None:
    saved, target = tmp_path / "saved.svg", tmp_path / "laid.svg"
    saved.write_bytes(turned[edit])
    code, said = call(
        "lay-out", saved, "--fabric-width", "140cm", "--rounds", 1, "--output", target
    )
    assert code == 0, said
    (laid,) = read_layouts(target.read_bytes())
    judge(laid, 1375.0)
    assert all(part.grain is not None for part in laid.parts)


def typed_grain(*, in_group: bool) -> SvgBuilder:
    """Return a drawing of one piece whose grain is typed, with the fingerprint of its outline."""
    drawing = SvgBuilder("600mm", "400mm", (0, 0, 600, 400))
    parent = drawing.add_group(id="piece") if in_group else None
    path = drawing.add_path("m 50,60 140,-20 20,150 -90,110 -70,-60 z", parent, id="edge")
    (leaf,) = read_leaves(drawing.document())
    set_lay(path, cut="1", grain="up", drawn=fingerprint(leaf))
    return drawing


def reading_after(
    profile: Profile, tmp_path: Path, drawing: SvgBuilder, actions: list[str]
) -> Reading:
    """Return what is read of a drawing after the editor has changed and saved it."""
    saved = profile.run(drawing.write(tmp_path / "drawn.svg"), actions)
    return read_pieces(read_leaves(parse(saved)), ReadRequest())


def test_a_typed_angle_on_an_outline_that_the_editor_baked_is_refused(
    profile: Profile, tmp_path: Path
) -> None:
    turn = ["select-by-id:edge", "transform-rotate:37"]
    with pytest.raises(DrawingError, match="mark it as a line"):
        reading_after(profile, tmp_path, typed_grain(in_group=False), turn)


def test_a_typed_angle_survives_a_move(profile: Profile, tmp_path: Path) -> None:
    move = ["select-by-id:edge", "transform-translate:40,70"]
    (piece,) = reading_after(profile, tmp_path, typed_grain(in_group=False), move).pieces
    assert (piece.grain_from, piece.grain) == ("typed", pytest.approx(90.0))


def test_a_typed_angle_turns_with_the_group(profile: Profile, tmp_path: Path) -> None:
    turn = ["select-by-id:piece", "transform-rotate:37"]
    (piece,) = reading_after(profile, tmp_path, typed_grain(in_group=True), turn).pieces
    # The editor turns clockwise on the screen, where y points down.
    assert (piece.grain_from, piece.grain) == ("typed", pytest.approx(90.0 - 37.0))
