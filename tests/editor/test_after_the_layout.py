# SPDX-License-Identifier: GPL-2.0-or-later
"""Hand edits as the real editor writes them, judged; and the commands run from its menu."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from extension.language.names import lay
from extension.operations.check import check_layouts
from extension.svg.document import parse
from tests.helpers.edited import Edited
from tests.helpers.editor import Profile, has_changes, saved, until, xdotool
from tests.helpers.screen import need, virtual_screen

pytestmark = [pytest.mark.editor, pytest.mark.timeout(400)]

FRONT, OTHER, TAB = "thriftlay-1-part-1", "thriftlay-1-part-2", "thriftlay-1-part-4"
HOLD = "org.thriftlay.hold.noprefs"
CHECK, TIGHTEN = "org.thriftlay.check.noprefs", "org.thriftlay.tighten.noprefs"


def kinds(saved: bytes) -> list[tuple[str, tuple[str, ...]]]:
    report = check_layouts(parse(saved)).report
    return [(one["kind"], tuple(one["parts"])) for one in report["violations"]]


# The editor's actions count in px, 1/96 in.
EDITS: dict[str, tuple[list[str], list[tuple[str, tuple[str, ...]]]]] = {
    "drag": ([f"select-by-id:{FRONT}", "transform-translate:6,-8"], []),
    "rotate": (
        [f"select-by-id:{FRONT}", "transform-translate:120,-120", "transform-rotate:30"],
        [("turn", ("front #1",))],
    ),
    "quarter turn": (
        [f"select-by-id:{TAB}", "object-rotate-90-cw"],
        [("turn", ("tab #1",))],
    ),
    "flip": ([f"select-by-id:{OTHER}", "object-flip-vertical"], [("hand", ("front #2",))]),
    "flip along the grain": (
        [f"select-by-id:{OTHER}", "object-flip-horizontal"],
        [("hand", ("front #2",)), ("nap", ("front #2",))],
    ),
    "group": (
        [f"select-by-id:{FRONT},{OTHER}", "selection-group", "transform-translate:4,-4"],
        [],
    ),
    "turned as a group": (
        [f"select-by-id:{FRONT},{OTHER}", "selection-group", "transform-translate:40,-80",
         "transform-rotate:5"],
        [("turn", ("front #1",)), ("turn", ("front #2",))],
    ),
    "ungroup and bake": (
        [f"select-by-id:{FRONT}", "selection-ungroup", "transform-translate:4,-9"],
        [],
    ),
    "ungroup and bake a turn": (
        [f"select-by-id:{FRONT}", "selection-ungroup", "transform-translate:120,-120",
         "transform-rotate:11"],
        [("turn", ("front #1",))],
    ),
    "to paths": ([f"select-by-id:{TAB}", "object-to-path", "transform-translate:3,3"], []),
    "duplicate": (
        [f"select-by-id:{FRONT}", "duplicate", "transform-translate:0,-870"],
        [("count", ("front #1",))],
    ),
    "clone": (
        [f"select-by-id:{FRONT}", "clone", "transform-translate:0,-870"],
        [("count", ("front #1",))],
    ),
    "delete": ([f"select-by-id:{OTHER}", "delete"], [("count", ("front #2",))]),
    "scale": ([f"select-by-id:{TAB}", "transform-scale:3"], [("edited", ("tab #1",))]),
    "out of its layer": ([f"select-by-id:{FRONT}", "selection-ungroup-pop"], []),
    "lock": ([f"select-by-id:{FRONT}", "selection-lock"], []),
    "whole parts combined": (
        [f"select-by-id:{FRONT},{OTHER}", "path-combine"],
        [("outline", ("front #1", "front #2"))],
    ),
    "whole parts combined and broken apart": (
        [f"select-by-id:{FRONT},{OTHER}", "path-combine", "path-break-apart"],
        [],
    ),
    "original scaled": (
        ["select-by-id:front-outline", "transform-scale:9"],
        [("edited", ("front #1", "front #2"))],
    ),
    "original turned": (["select-by-id:front", "transform-rotate:20"], []),
}  # fmt: skip


@pytest.fixture(scope="module")
def edits(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """Return what the editor makes of the drawing by each edit, all of them in one go."""
    folder = tmp_path_factory.mktemp("edits")
    drawings = {}
    for count, (name, (actions, _)) in enumerate(EDITS.items()):
        file = folder / f"laid {count}.svg"
        file.write_bytes(Edited().data)
        drawings[name] = file, actions
    return Profile(folder).run_each(drawings)


@pytest.mark.parametrize(("name", "found"), [(name, found) for name, (_, found) in EDITS.items()])
def test_what_the_editor_writes_is_judged_right(
    edits: dict[str, bytes], name: str, found: list[tuple[str, tuple[str, ...]]]
) -> None:
    # Without stored sizes a single part that was scaled reads as its original edited, or resized.
    alike = {"resized": "edited"}
    assert [(alike.get(kind, kind), parts) for kind, parts in kinds(edits[name])] == found


def test_the_menu_command_marks_and_renews(profile: Profile, drawing: Path) -> None:
    move = [f"select-by-id:{TAB}", "transform-translate:-38,680", "select-clear"]
    root = parse(profile.run(drawing, [*move, CHECK])).root
    (review,) = (one for one in root if one.get(lay("review")))
    assert review.get("{http://www.inkscape.org/namespaces/inkscape}label") == "Check"
    words = " ".join(span.text or "" for span in root.iter("{*}tspan"))
    assert "Checked: 5 of 5 parts, 1 overlap, 0.46 m." in words
    # Once more: the marks are replaced.
    again = parse(profile.run(drawing, [*move, CHECK, CHECK])).root
    assert len([one for one in again if one.get(lay("review"))]) == 1


def test_one_undo_takes_the_marks_away(profile: Profile, drawing: Path) -> None:
    steps = profile.undo(drawing, CHECK, [f"select-by-id:{TAB}", "transform-translate:-38,680"])
    marks = [
        len([one for one in parse(data).root if one.get(lay("review"))])
        for data in (steps.done, steps.undone, steps.redone)
    ]
    assert marks == [1, 0, 1]


def test_the_menu_command_tightens_on_a_new_layer(profile: Profile, drawing: Path) -> None:
    move = [f"select-by-id:{TAB}", "transform-translate:-38,680", "select-clear"]
    saved = profile.run(drawing, [*move, TIGHTEN])
    report = check_layouts(parse(saved), ["thriftlay-2"]).report
    assert report["violations"] == []
    assert report["length"] < 455.0


def held(saved: bytes) -> dict[str, int]:
    """Return the ids of the groups of held parts, each with the number of its signs."""
    groups = [one for one in parse(saved).root.iter("{*}g") if one.get(lay("held")) == "yes"]
    return {
        str(one.get("id")): len([node for node in one.iter("{*}g") if node.get(lay("sign"))])
        for one in groups
    }


def test_the_menu_command_holds_and_releases_parts(profile: Profile, drawing: Path) -> None:
    both = [f"select-by-id:{FRONT},{TAB}", HOLD]
    assert held(profile.run(drawing, both)) == {FRONT: 1, TAB: 1}
    # Moved by hand, turned, checked: the sign is with its part and there once.
    moved = [
        "select-clear",
        f"select-by-id:{TAB}",
        "transform-translate:3,3",
        "select-clear",
        CHECK,
    ]
    saved = profile.run(drawing, [*both, *moved])
    assert held(saved) == {FRONT: 1, TAB: 1}
    assert kinds(saved) == []
    assert held(profile.run(drawing, [*both, "select-clear", f"select-by-id:{TAB}", HOLD])) == {
        FRONT: 1
    }


def test_one_undo_releases_what_was_held(profile: Profile, drawing: Path) -> None:
    steps = profile.undo(drawing, HOLD, [f"select-by-id:{FRONT},{TAB}"])
    both = {FRONT: 1, TAB: 1}
    assert [held(one) for one in (steps.done, steps.undone, steps.redone)] == [both, {}, both]


@pytest.fixture
def screen() -> Iterator[str]:
    need("inkscape", "Xvfb", "xdotool")
    with virtual_screen() as name:
        yield name


def test_a_part_cut_and_pasted_is_counted_where_it_lands(
    profile: Profile, drawing: Path, screen: str
) -> None:
    with profile.shown(drawing, screen, [f"select-by-id:{FRONT}"]) as window:
        xdotool(screen, "key", "ctrl+x")
        assert until(lambda: has_changes(window, screen))
        xdotool(screen, "key", "ctrl+alt+v")
        data = saved(drawing, window, screen)
    outcome = check_layouts(parse(data))
    assert outcome.report["parts"] == 5
    assert outcome.is_clean, outcome.summary
