# SPDX-License-Identifier: GPL-2.0-or-later
"""The plugin in the editor: put there, looked after, taken away without a trace."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

from extension.host.launcher import PLACES_FILE
from extension.installer.environment import (
    PLUGIN,
    ensure,
    is_ready,
    key_of,
    outer_environment,
    python_of,
    remove_others,
)
from extension.installer.inx import default_arguments
from extension.installer.places import PROJECT, Editor
from extension.installer.report import Say, SetupError, writing_to

PACKAGES = ("nesting", "extension")
"""What is copied beside the environment: the program."""
BESIDE = (
    "launcher.py",
    "leftovers.py",
    "editor.py",
    "session.py",
    "pictures.py",
    "window.py",
    "notes.py",
)
"""What goes into the editor's folder beside the dialogs (.inx)."""
UNUSED = 30 * 24 * 3600.0
"""Seconds after which compiled code that no run has used goes."""
RECORD = "installed.json"
"""Which folders we filled or made, kept for taking them away."""

SAMPLE = """<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm"
 viewBox="0 0 200 200"><rect id="front" x="10" y="10" width="60" height="80"/>
<rect id="back" x="80" y="10" width="70" height="80"/></svg>"""
"""Two rectangles for the self-check."""


def install(editor: Editor, data: Path, say: Say) -> None:
    """Put the plugin into the editor. Raises SetupError when it cannot be done or does not run."""
    refuse_foreign_folder(editor.folder)
    with writing_to(data):
        made = make_folder(data)
    python = ensure(PLUGIN, data, say)
    remove_others(PLUGIN, data)
    with writing_to(data):
        copy_program(data)
    prepare(python, data / "program", data, say)
    with writing_to(editor.folder):
        made += make_folder(editor.folder)
        fill(editor.folder, python, data)
    with writing_to(data):
        remember(data, editor.folder, made)
    say(f"Thriftlay is in {editor.folder}")
    trouble = self_check(editor.folder)
    if trouble:
        raise SetupError(f"Thriftlay was put there but does not run: {trouble}")
    say("Self-check: a small drawing was laid out through the same door as the editor's.")


def refuse_foreign_folder(folder: Path) -> None:
    """Raise when a folder of our name holds something that is not ours."""
    if folder.exists() and not is_ours(folder):
        raise SetupError(
            f"{folder} is there already and was not made by Thriftlay: "
            "move it away and run this again."
        )


def is_ours(folder: Path) -> bool:
    """Return whether a folder among the user's extensions was filled by this installer."""
    return (folder / PLACES_FILE).is_file() or (folder.is_dir() and not any(folder.iterdir()))


def make_folder(folder: Path) -> list[str]:
    """Make a folder; return which folders had to be made for it, the innermost first."""
    missing = [one for one in (folder, *folder.parents) if not one.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    return [str(one) for one in missing]


def copy_program(data: Path) -> None:
    """Copy the program into our own folder, so that the project's folder may move or go."""
    fresh, program = data / "program.new", data / "program"
    shutil.rmtree(fresh, ignore_errors=True)
    for name in PACKAGES:
        ignored = shutil.ignore_patterns("__pycache__")
        shutil.copytree(PROJECT / name, fresh / name, ignore=ignored)
    if program.exists():
        shutil.rmtree(program)
    fresh.rename(program)


def kernels(data: Path) -> Path:
    """Return the folder of compiled kernels: this person's own, closed to everybody else."""
    folder = data / "kernels"
    folder.mkdir(parents=True, exist_ok=True)
    folder.chmod(0o700)
    return folder


def prepare(python: Path, program: Path, data: Path, say: Say) -> None:
    """Compile the kernels of a program's engine now, so that the first run need not."""
    say("Compiling the engine (up to a minute)")
    with writing_to(data):
        folder = kernels(data)
    done = subprocess.run(
        [str(python), "-s", "-X", "utf8", "-m", "nesting", "--prepare"],
        cwd=program,
        env={**outer_environment(), "NUMBA_CACHE_DIR": str(folder)},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
    )
    remove_unused(folder)
    if done.returncode != 0:
        last = done.stdout.decode("utf-8", "replace").strip().splitlines()[-1:]
        raise SetupError(f"The engine could not be compiled; the last word was: {' '.join(last)}")


def remove_unused(folder: Path) -> None:
    """Remove what other versions of the engine compiled, once nothing has used it for long.

    A run touches the folder of its own engine.
    """
    for kept in folder.iterdir():
        if kept.is_dir() and time.time() - kept.stat().st_mtime > UNUSED:
            shutil.rmtree(kept, ignore_errors=True)


def fill(folder: Path, python: Path, data: Path) -> None:
    """Put the dialogs, the launcher and its directions into the editor's folder."""
    for old in folder.iterdir():
        if old.is_dir():
            shutil.rmtree(old)
        else:
            old.unlink()
    source = data / "program" / "extension"
    beside = [source / "host" / name for name in BESIDE]
    for file in (*sorted((source / "dialogs").glob("*.inx")), *beside):
        shutil.copy(file, folder / file.name)
    places = {
        "python": str(python),
        "program": str(data / "program"),
        "kernels": str(kernels(data)),
    }
    text = json.dumps(places, indent=1, ensure_ascii=False)
    (folder / PLACES_FILE).write_text(text + "\n", encoding="utf-8")


def read_record(data: Path) -> dict[str, list[str]]:
    """Return what was filled and made so far; empty when nothing was, or the record is damaged."""
    empty: dict[str, list[str]] = {"filled": [], "made": []}
    try:
        return {**empty, **json.loads((data / RECORD).read_text(encoding="utf-8"))}
    except (OSError, ValueError, TypeError):
        return empty


def remember(data: Path, folder: Path, made: Sequence[str]) -> None:
    """Add to the record."""
    record = read_record(data)
    record["filled"] = list(dict.fromkeys([*record["filled"], str(folder)]))
    record["made"] = list(dict.fromkeys([*record["made"], *made]))
    (data / RECORD).write_text(json.dumps(record, indent=1), encoding="utf-8")


def uninstall(editor: Editor | None, data: Path, say: Say) -> None:
    """Take away all that was put anywhere. Originals and layouts in drawings stay, of course."""
    record = read_record(data)
    folders = [Path(one) for one in record["filled"]]
    if editor is not None and editor.folder not in folders:
        folders.append(editor.folder)
    removed = [folder for folder in folders if folder.exists() and is_ours(folder)]
    if data.exists():
        removed.append(data)
    for folder in removed:
        with writing_to(folder):
            shutil.rmtree(folder)
        say(f"Removed {folder}")
    for made in sorted(record["made"], key=len, reverse=True):
        remove_if_empty(Path(made))
    if not removed:
        say("Nothing of Thriftlay was found here.")


def remove_if_empty(folder: Path) -> None:
    """Remove a folder that we made, unless somebody else uses it by now."""
    try:
        folder.rmdir()
    except OSError:
        return


def check(editor: Editor, data: Path, say: Say) -> bool:
    """Say what is in order and what is not; return whether all is."""
    folder, program = editor.folder, data / "program"
    found = f"{editor.version} ({editor.program})" if editor.program else "not found on this path"
    say(f"Editor: {found}")
    environment = data / "environments" / key_of(PLUGIN)
    installed = (folder / PLACES_FILE).is_file()
    rows = [
        (is_ready(environment), f"packages in {python_of(environment).parent.parent}"),
        (same_program(program), f"program in {program}, the same as this one"),
        (installed, f"launcher and dialogs in {folder}"),
    ]
    trouble = self_check(folder) if all(good for good, _ in rows) else ""
    if installed:
        rows.append(
            (all(good for good, _ in rows) and not trouble, f"self-check {trouble}".strip())
        )
    for good, text in rows:
        say(f"  {'in order' if good else 'MISSING'}: {text}")
    whole = all(good for good, _ in rows)
    say("All is in order." if whole else "To mend it, run: python3 extension/install.py")
    return whole


def same_program(program: Path) -> bool:
    """Return whether the copied program is the one that this installer belongs to."""
    return all(
        (program / file.relative_to(PROJECT)).is_file()
        and (program / file.relative_to(PROJECT)).read_bytes() == file.read_bytes()
        for name in PACKAGES
        for file in sorted((PROJECT / name).rglob("*"))
        if file.is_file() and file.suffix in (".py", ".inx", ".txt")
    )


def editors_python() -> str:
    """Return the Python that the editor would take: the system's own comes first in its path."""
    search = os.pathsep.join(["/usr/bin", os.environ.get("PATH", "")])
    return shutil.which("python3", path=search) or sys.executable


def launched(folder: Path, arguments: Sequence[str]) -> subprocess.CompletedProcess[bytes]:
    """Run the launcher in the editor's folder as the editor does, without a window."""
    return subprocess.run(
        [editors_python(), "launcher.py", *arguments],
        cwd=folder,
        env={**os.environ, "THRIFTLAY_WINDOW": "none"},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=False,
    )


def self_check(folder: Path) -> str:
    """Run the launcher as the editor does; return "" when a layout came out, else what happened."""
    arguments = default_arguments(folder / "lay_out.inx")
    with tempfile.TemporaryDirectory(prefix="thriftlay-") as temporary:
        drawing = Path(temporary) / "self-check"
        drawing.write_text(SAMPLE, encoding="utf-8")
        done = launched(folder, [*arguments, "--seconds=1", str(drawing)])
    if done.stderr.strip():
        return done.stderr.decode("utf-8", "replace").strip()
    return "" if b"lay:layout" in done.stdout else "no layout came out"
