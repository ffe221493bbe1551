# SPDX-License-Identifier: GPL-2.0-or-later
"""Where things are on this computer: our own folder, and the editor's folder for extensions."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from extension.host.launcher import KEPT
from extension.installer.report import SetupError

FOLDER = "thriftlay"
"""Name of our folder among the user's extensions."""
PROJECT = Path(__file__).resolve().parent.parent.parent

_MAC_APP = "/Applications/Inkscape.app/Contents/MacOS/inkscape"
_WINDOWS_PROGRAMS = ("ProgramFiles", "ProgramW6432", "LOCALAPPDATA")
_FLATPAK = ".var/app/org.inkscape.Inkscape"
_SNAP = "snap/inkscape"

_DATA = (("share", "inkscape", "extensions"), ("share", "locale"))
"""How folders of the editor's own data end."""

_BY_HAND = (
    "look up the user extensions folder in the editor under Edit > Preferences > System, and run "
    "this again with --extensions-dir FOLDER"
)
NOT_FOUND = f"The editor (Inkscape) was not found: install Inkscape 1.2 or later, or {_BY_HAND}."
BOXED = (
    "The only Inkscape found here is a {kind} package, which may not start programs outside its "
    "own box, so Thriftlay cannot run in it: install Inkscape from your system's packages "
    "or from its AppImage instead."
)


@dataclass(frozen=True, slots=True)
class Editor:
    """The editor that was found. `program` and `version` are "" when only its folder is known."""

    extensions: Path
    program: str = ""
    version: str = ""

    @property
    def folder(self) -> Path:
        """Our own folder among the user's extensions."""
        return self.extensions / FOLDER


@dataclass(frozen=True, slots=True)
class Home:
    """What tells one computer, and one person on it, from another."""

    platform: str
    """As sys.platform has it: linux, darwin, win32."""
    environ: Mapping[str, str]
    folder: Path

    def data(self) -> Path:
        """Return the folder that is wholly ours: Python, program, kernels."""
        if self.platform == "win32":
            local = self.environ.get("LOCALAPPDATA", "")
            return (Path(local) if local else self.folder / "AppData/Local") / "Thriftlay"
        if self.platform == "darwin":
            return self.folder / "Library/Application Support/Thriftlay"
        given = Path(self.environ.get("XDG_DATA_HOME", ""))
        # The XDG base directory specification: a relative path is to be ignored.
        return (given if given.is_absolute() else self.folder / ".local/share") / FOLDER


def find_editor(home: Home, given: Path | None = None) -> Editor:
    """Return the editor of this person.

    `given` is a user extensions folder that she named herself. Raises SetupError.
    """
    program = editor_program(home)
    version = _ask(program, "--version") if program else ""
    if given is not None:
        return Editor(given.expanduser().absolute(), program, version)
    profile = home.environ.get("INKSCAPE_PROFILE_DIR", "")
    if profile:
        return Editor(Path(profile).absolute() / "extensions", program, version)
    if not program:
        raise SetupError(_why_not(home))
    folder = _ask(program, "--user-data-directory")
    if not folder or not Path(folder).is_absolute():
        raise SetupError(
            f"Inkscape ({program}) does not say where its extensions belong: {_BY_HAND}."
        )
    return Editor(Path(folder) / "extensions", program, version)


def editor_program(home: Home) -> str:
    """Return the editor's program, or "" when there is none that may run other programs."""
    found = shutil.which("inkscape", path=home.environ.get("PATH"))
    if found and "/snap/" not in found:
        return found
    known = [Path(_MAC_APP)] if home.platform == "darwin" else []
    if home.platform == "win32":
        roots = [home.environ[name] for name in _WINDOWS_PROGRAMS if home.environ.get(name)]
        # inkscape.com is the one that waits and answers on a console.
        known = [Path(root) / "Inkscape/bin/inkscape.com" for root in roots]
    return next((str(path) for path in known if path.is_file()), "")


def running_editor(home: Home) -> str:
    """Return the program of the editor that this runs in, or "" when there is none.

    The editor has its own folder of extensions in PYTHONPATH and that of its words in
    INKEX_GETTEXT_DIRECTORY (seen in 1.2.2); the launcher passes on what it keeps from the program.
    An AppImage is asked as a whole, for only that way it finds its own libraries.
    """
    separator = ";" if home.platform == "win32" else ":"
    folders = home.environ.get(f"{KEPT}PYTHONPATH", "").split(separator)
    folders.append(home.environ.get("INKEX_GETTEXT_DIRECTORY", ""))
    found = (program for folder in folders for program in _programs_for(Path(folder), home))
    return next((str(program) for program in found if program.is_file()), "")


def _programs_for(folder: Path, home: Home) -> Iterator[Path]:
    """Yield where the program of the editor may be that one of its data folders belongs to."""
    depth = next((len(end) for end in _DATA if folder.parts[-len(end) :] == end), 0)
    if not depth:
        return
    root = folder.parents[depth - 1]
    box, image = home.environ.get("APPDIR", ""), home.environ.get("APPIMAGE", "")
    if box and folder.is_relative_to(box):
        yield from (Path(image), Path(box) / "AppRun")
    if home.platform == "win32":
        yield root / "bin/inkscape.com"
    yield from (root / "bin/inkscape", root.parent / "MacOS/inkscape")


def _why_not(home: Home) -> str:
    """Return the sentence for a computer where no usable editor was found."""
    kind = boxed_kind(home)
    return BOXED.format(kind=kind) if kind else NOT_FOUND


def boxed_kind(home: Home) -> str:
    """Return the kind of package that keeps an editor in a box of its own, "" without one."""
    if (home.folder / _FLATPAK).is_dir():
        return "Flatpak"
    if (home.folder / _SNAP).is_dir() or Path("/snap/bin/inkscape").exists():
        return "Snap"
    return ""


def _ask(program: str, question: str) -> str:
    """Return the editor's answer to a question on the command line: its last line, or ""."""
    try:
        answer = subprocess.run(
            [program, question],
            stdin=subprocess.DEVNULL,
            capture_output=True,
            timeout=120,
            check=False,
        )
    except (OSError, subprocess.TimeoutExpired):
        return ""
    lines = answer.stdout.decode("utf-8", "replace").strip().splitlines()
    return lines[-1].strip() if lines else ""
