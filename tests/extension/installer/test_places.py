# SPDX-License-Identifier: GPL-2.0-or-later
"""Where things are found, on computers of every kind."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from extension.host.launcher import KEPT
from extension.installer.places import Home, find_editor, running_editor
from extension.installer.report import SetupError

posix_only = pytest.mark.skipif(sys.platform == "win32", reason="the stand-in editor is a script")


def stand_in(folder: Path, answer: str) -> Path:
    """Put an editor into a folder that answers both questions."""
    folder.mkdir(parents=True, exist_ok=True)
    program = folder / "inkscape"
    lines = (
        f'if [ "$1" = --version ]; then echo "Inkscape 9.9"; else echo noise; echo "{answer}"; fi'
    )
    program.write_text(f"#!/bin/sh\n{lines}\n", encoding="utf-8")
    program.chmod(0o755)
    return program


def home(tmp_path: Path, platform: str = "linux", **environ: str) -> Home:
    return Home(platform, {"PATH": str(tmp_path / "bin"), **environ}, tmp_path / "home")


@pytest.mark.parametrize(
    ("platform", "environ", "expected"),
    [
        # XDG Base Directory Specification 0.8: unset or relative falls back to ~/.local/share.
        ("linux", {}, "home/.local/share/thriftlay"),
        ("linux", {"XDG_DATA_HOME": "some/where"}, "home/.local/share/thriftlay"),
        ("linux", {"XDG_DATA_HOME": "/else/where"}, "/else/where/thriftlay"),
        ("darwin", {}, "home/Library/Application Support/Thriftlay"),
        ("win32", {"LOCALAPPDATA": "/users/a/Local"}, "/users/a/Local/Thriftlay"),
        ("win32", {}, "home/AppData/Local/Thriftlay"),
    ],
)
def test_our_own_folder(
    tmp_path: Path, platform: str, environ: dict[str, str], expected: str
) -> None:
    assert home(tmp_path, platform, **environ).data() == tmp_path / expected


@posix_only
def test_the_editor_on_the_path_is_asked(tmp_path: Path) -> None:
    program = stand_in(tmp_path / "bin", "/users/ä b/inkscape")
    found = find_editor(home(tmp_path))
    assert found.folder == Path("/users/ä b/inkscape/extensions/thriftlay")
    assert (found.program, found.version) == (str(program), "Inkscape 9.9")


@posix_only
def test_a_profile_of_her_own_comes_before_the_editors_word(tmp_path: Path) -> None:
    stand_in(tmp_path / "bin", "/users/a/inkscape")
    found = find_editor(home(tmp_path, INKSCAPE_PROFILE_DIR="/profile"))
    assert found.extensions == Path("/profile/extensions")


@posix_only
def test_a_folder_that_she_names_comes_first_even_without_an_editor(tmp_path: Path) -> None:
    named = home(tmp_path, INKSCAPE_PROFILE_DIR="/profile")
    assert find_editor(named, Path("/mine")).folder == Path("/mine/thriftlay")
    assert find_editor(named, Path("/mine")).program == ""


@posix_only
@pytest.mark.parametrize("answer", ["", "relative/folder"])
def test_an_editor_that_does_not_answer_is_told_with_a_remedy(tmp_path: Path, answer: str) -> None:
    stand_in(tmp_path / "bin", answer)
    with pytest.raises(SetupError, match="--extensions-dir"):
        find_editor(home(tmp_path))


@pytest.mark.parametrize(
    ("there", "expected"),
    [
        ("", "was not found"),
        (".var/app/org.inkscape.Inkscape", "Flatpak package"),
        ("snap/inkscape", "Snap package"),
    ],
)
def test_no_usable_editor_is_told_plainly(tmp_path: Path, there: str, expected: str) -> None:
    (tmp_path / "home" / there).mkdir(parents=True)
    with pytest.raises(SetupError, match=expected):
        find_editor(home(tmp_path))


@posix_only
def test_an_editor_from_a_snap_is_not_taken(tmp_path: Path) -> None:
    stand_in(tmp_path / "snap/bin", "/users/a/inkscape")
    boxed = Home("linux", {"PATH": str(tmp_path / "snap/bin")}, tmp_path)
    with pytest.raises(SetupError, match="was not found"):
        find_editor(boxed)


@posix_only
def test_windows_programs_are_looked_up_where_windows_keeps_them(tmp_path: Path) -> None:
    program = stand_in(tmp_path / "Inkscape/bin", "/users/a/inkscape")
    program.rename(program.with_suffix(".com"))
    found = find_editor(home(tmp_path, "win32", ProgramFiles=str(tmp_path)))
    assert found.program == str(program.with_suffix(".com"))


@posix_only
@pytest.mark.parametrize(
    ("platform", "root", "data", "program"),
    [
        ("linux", "portable", "share/inkscape/extensions", "portable/bin/inkscape"),
        ("linux", "snap/inkscape/7", "share/inkscape/extensions", "snap/inkscape/7/bin/inkscape"),
        ("win32", "Inkscape", "share/inkscape/extensions", "Inkscape/bin/inkscape.com"),
        (
            "darwin",
            "Inkscape.app/Contents/Resources",
            "share/inkscape/extensions",
            "Inkscape.app/Contents/MacOS/inkscape",
        ),
    ],
)
def test_the_editor_that_this_runs_in_is_found_beside_its_extensions(
    tmp_path: Path, platform: str, root: str, data: str, program: str
) -> None:
    file = tmp_path / program
    file.parent.mkdir(parents=True)
    file.touch()
    own, separator = str(tmp_path / root / data), ";" if platform == "win32" else ":"
    path = separator.join(["/users/a/extensions", own, f"{own}/inkex"])
    assert running_editor(home(tmp_path, platform, **{f"{KEPT}PYTHONPATH": path})) == str(file)
    words = str(tmp_path / root / "share/locale")
    assert running_editor(home(tmp_path, platform, INKEX_GETTEXT_DIRECTORY=words)) == str(file)
    assert running_editor(home(tmp_path, platform, PYTHONPATH=path)) == ""
    file.unlink()
    assert running_editor(home(tmp_path, platform, INKEX_GETTEXT_DIRECTORY=words)) == ""


@posix_only
def test_an_app_image_is_asked_as_a_whole(tmp_path: Path) -> None:
    """APPDIR and APPIMAGE are set by an AppImage's runtime (its documentation, "Environment")."""
    mount, image = tmp_path / "mount", tmp_path / "Inkscape.AppImage"
    stand_in(mount / "usr/bin", "")
    (mount / "AppRun").touch()
    image.touch()
    told = {
        f"{KEPT}PYTHONPATH": str(mount / "usr/share/inkscape/extensions"),
        "APPDIR": str(mount),
        "APPIMAGE": str(image),
    }
    assert running_editor(home(tmp_path, **told)) == str(image)
    image.unlink()  # taken apart into a folder
    assert running_editor(home(tmp_path, **told)) == str(mount / "AppRun")
    # Another program's AppImage, from which the editor was started, is not taken for it.
    told["APPDIR"] = str(tmp_path / "files")
    assert running_editor(home(tmp_path, **told)) == str(mount / "usr/bin/inkscape")
