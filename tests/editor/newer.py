# SPDX-License-Identifier: GPL-2.0-or-later
"""Runs the tests of the editor in the next release of this system, which has a newer editor.

    sudo python3 -m tests.editor.newer ROOT [words for pytest]

ROOT is a folder for that system: made with debootstrap when it is empty or not there, from the
mirror that apt uses here, and used again as it is when it was finished before. Nothing of this
computer is changed: mounts are made in a name space of their own, which is gone with the last
process in it, however that ends; and so are the processes when this one is ended.

Uses the standard library alone. pip's own configuration, and what it refers to, is shared.
"""

from __future__ import annotations

import os
import platform
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from tests.helpers.places import PROJECT

NEXT = {"debian": "trixie", "ubuntu": "resolute"}
"""The first release of each system that has Inkscape 1.4."""
COMPONENTS = {"debian": "main", "ubuntu": "main,universe"}
NEWER = (1, 4)
PACKAGES = (
    "ca-certificates", "fonts-dejavu-core", "gir1.2-gtk-3.0", "inkscape", "poppler-utils",
    "python3-gi", "python3-tk", "python3-venv", "xdotool", "xvfb",
)  # fmt: skip
TOOLS = ("debootstrap", "unshare", "setpriv", "mount", "chroot", "apt-get")
BROWSER = {"debian": ("chromium",), "ubuntu": ()}
"""What prints pages there; Ubuntu has it as a snap alone, which cannot run in a folder."""
READY = "thriftlay-ready.txt"
"""Written into a root as the last step: without it, it is half made."""
INSIDE = "--inside"
"""First word of the process within the name space; never typed by a person."""
LEAN = """force-unsafe-io
path-exclude=/usr/share/doc/*
path-exclude=/usr/share/man/*
"""
"""How dpkg unpacks: nobody reads manuals in there, and nothing has to outlive a power cut."""
PIP_FILES = ("/etc/pip.conf", "/etc/xdg/pip/pip.conf", "~/.config/pip/pip.conf", "~/.pip/pip.conf")
PASSED_ON = re.compile(r"PIP_|.*_PROXY$|SSL_|.*_CA_BUNDLE$|THRIFTLAY_", re.IGNORECASE)
"""Names of variables that hold for the tests in there, too."""


class Trouble(Exception):
    """It cannot be done: one sentence that tells why."""


def main(words: Sequence[str]) -> int:
    """Make the root if need be and run the tests in it; return the exit code of pytest."""
    if words[:1] == [INSIDE]:
        return inside(Path(words[1]), words[2:])
    if not words or words[0].startswith("-"):
        sys.stderr.write(f"{__doc__}\n")
        return 2
    try:
        look_for_tools()
        own = [sys.executable, "-m", "tests.editor.newer", INSIDE]
        return in_a_name_space([*own, str(Path(words[0]).absolute()), *words[1:]])
    except Trouble as trouble:
        sys.stderr.write(f"The tests in the newer editor cannot run: {trouble}\n")
        return 1


def look_for_tools() -> None:
    """Raise Trouble unless such a root can be made here."""
    if platform.system() != "Linux" or system_of().get("ID") not in NEXT:
        raise Trouble(f"this takes a computer with one of {', '.join(sorted(NEXT))}.")
    if os.geteuid() != 0:
        raise Trouble("making a system in a folder takes the rights of root: use sudo.")
    missing = [tool for tool in TOOLS if shutil.which(tool) is None]
    if missing:
        raise Trouble(f"not on this computer: {', '.join(missing)}.")


def in_a_name_space(command: Sequence[str]) -> int:
    """Run a command where its mounts are seen by nobody else; return its exit code."""
    # However a process of this chain ends, the next one is killed, and the last is the first of
    # its name space: nothing in there outlives it, no process and no mount.
    chain = ["setpriv", "--pdeathsig", "KILL"]
    chain += ["unshare", "--mount", "--pid", "--fork", "--kill-child", "--mount-proc"]
    process = subprocess.Popen([*chain, *command], cwd=PROJECT, stdin=subprocess.DEVNULL)

    def end(number: int, _: object) -> None:
        process.kill()
        raise SystemExit(128 + number)

    for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(number, end)
    return process.wait()


def inside(root: Path, words: Sequence[str]) -> int:
    """Make the root ready, share with it what the tests need, run them; return the exit code."""
    try:
        if not (root / READY).is_file():
            make(root)
        share_devices(root)
        share_project(root)
        share_pip(root)
        version = editor_in(root)
        say(f"The tests of the editor, in {version}:")
        return run_tests(root, words)
    except Trouble as trouble:
        sys.stderr.write(f"The tests in the newer editor cannot run: {trouble}\n")
        return 1


def say(line: str) -> None:
    """Write one line at once."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


# --- the system in a folder ---------------------------------------------------------------------


def system_of(file: Path = Path("/etc/os-release")) -> dict[str, str]:
    """Return what a system says of itself: ID, VERSION_CODENAME and more; nothing without it."""
    if not file.is_file():
        return {}
    lines = file.read_text(encoding="utf-8").splitlines()
    return {
        name: value.strip("\"'")
        for name, equals, value in (x.partition("=") for x in lines)
        if equals
    }


def mirror_of(targets: str, codename: str) -> str:
    """Return the address of the system's own archive among apt's targets, "" without one.

    A line of `targets` is `ADDRESS|RELEASE|COMPONENT`.
    """
    rows = [line.split("|") for line in targets.splitlines()]
    fitting = (row[0] for row in rows if len(row) == 3 and row[1:] == [codename, "main"])
    return next(fitting, "")


def make(root: Path) -> None:
    """Make the root from nothing. Raises Trouble."""
    if root.is_dir() and any(root.iterdir()):
        raise Trouble(f"{root} holds something else, or was begun and not finished: remove it.")
    system = system_of()
    codename, kind = system.get("VERSION_CODENAME", ""), system["ID"]
    form = "$(REPO_URI)|$(RELEASE)|$(COMPONENT)"
    targets = output_of(["apt-get", "indextargets", "--format", form, "Created-By: Packages"])
    mirror = mirror_of(targets, codename)
    if not mirror:
        raise Trouble(f"apt names no mirror of {kind} {codename}: look at its list of sources.")
    say(f"Making {kind} {NEXT[kind]} in {root} (a few minutes)")
    root.mkdir(parents=True, exist_ok=True)
    command = ["debootstrap", "--variant=minbase", f"--components={COMPONENTS[kind]}"]
    command += ["--include=ca-certificates", NEXT[kind], str(root), mirror]
    scripts = Path("/usr/share/debootstrap/scripts")
    if not (scripts / NEXT[kind]).exists():  # an older one does not know it by name yet
        command.append(str(scripts / codename))
    quietly(command)
    (root / "etc/dpkg/dpkg.cfg.d/lean").write_text(LEAN, encoding="utf-8")
    (root / "usr/sbin/policy-rc.d").write_text("#!/bin/sh\nexit 101\n", encoding="utf-8")
    (root / "usr/sbin/policy-rc.d").chmod(0o755)
    # Proxies and certificates that apt needs here, it needs there.
    told = output_of(["apt-config", "dump", "Acquire::http", "Acquire::https"])
    (root / "etc/apt/apt.conf.d/90shared").write_text(told, encoding="utf-8")
    share_devices(root)
    quietly(["chroot", str(root), "apt-get", "update"])
    install = ["apt-get", "install", "--yes", "--no-install-recommends", *PACKAGES]
    install += BROWSER[kind]
    quietly(["chroot", str(root), *install])
    quietly(["chroot", str(root), "apt-get", "clean"])
    (root / READY).write_text("complete\n", encoding="utf-8")


def editor_in(root: Path) -> str:
    """Return which editor a root has. Raises Trouble when it is none of the newer ones."""
    version = output_of(["chroot", str(root), "inkscape", "--version"]).strip()
    found = re.search(r"Inkscape (\d+)\.(\d+)", version)
    if found is None or (int(found[1]), int(found[2])) < NEWER:
        raise Trouble(f"its editor is not 1.4 or newer, but says: {version or 'nothing'}.")
    return version.splitlines()[-1]


def quietly(command: Sequence[str]) -> None:
    """Run a command; raise Trouble with its last lines when it fails."""
    done = subprocess.run(
        command,
        env={**os.environ, "DEBIAN_FRONTEND": "noninteractive", "LC_ALL": "C.UTF-8"},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
    )
    if done.returncode != 0:
        tail = done.stdout.decode("utf-8", "replace").splitlines()[-25:]
        raise Trouble("\n".join([f"{' '.join(command)} failed:", *tail]))


def output_of(command: Sequence[str]) -> str:
    """Return what a command writes on stdout, whether it fails or not."""
    done = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, check=False)
    return done.stdout.decode("utf-8", "replace")


# --- what is shared with it ---------------------------------------------------------------------


def share_devices(root: Path) -> None:
    """Mount processes and devices where the root looks for them, and name its servers."""
    if not (root / "proc/self").exists():
        quietly(["mount", "-t", "proc", "proc", str(root / "proc")])
        quietly(["mount", "--rbind", "/dev", str(root / "dev")])
    shutil.copyfile("/etc/resolv.conf", root / "etc/resolv.conf")


def share_project(root: Path) -> None:
    """Show the project in the root, for reading only."""
    share(root, PROJECT, Path("/project"))


def share(root: Path, path: Path, there: Path | None = None) -> None:
    """Show a file or folder in the root, at its own path or another, for reading only."""
    target = root / str(there or path).lstrip("/")
    if path.is_dir():
        target.mkdir(parents=True, exist_ok=True)
    else:
        target.parent.mkdir(parents=True, exist_ok=True)
        target.touch()
    quietly(["mount", "--bind", str(path), str(target)])
    quietly(["mount", "-o", "remount,bind,ro", str(target)])


def share_pip(root: Path) -> None:
    """Show pip's configuration in the root, with the files and folders that it names."""
    configured = [file for file in pip_files() if file.is_file()]
    for file in configured:
        # Below root's own home in there, whoever's home it is here.
        parts = file.parts
        below = next((n for n, part in enumerate(parts) if part in (".config", ".pip")), None)
        share(root, file, Path("/root", *parts[below:]) if below is not None else None)
    texts = [file.read_text(encoding="utf-8") for file in configured]
    for path in places_in([*texts, *passed_on(os.environ).values()]):
        share(root, path)


def pip_files() -> Iterator[Path]:
    """Yield where pip's configuration may be: the system's, and that of the person."""
    named = os.environ.get("PIP_CONFIG_FILE", "")
    home = str(Path(f"~{os.environ.get('SUDO_USER', '')}").expanduser())
    for file in (*PIP_FILES, *([named] if named else [])):
        yield Path(file.replace("~", home, 1))


def places_in(texts: Sequence[str]) -> list[Path]:
    """Return the files and folders that settings name, none within another.

    An index refers to files beside itself, so it is shared with the folder around it.
    """
    found = set()
    for word in re.split(r"[\s=,]+", "\n".join(texts)):
        is_address = word.startswith("file://")
        path = Path(word.removeprefix("file://"))
        if path.is_absolute() and len(path.parts) > 2 and path.exists():
            found.add(path.parent if is_address and len(path.parts) > 3 else path)
    return sorted(path for path in found if not found & set(path.parents))


def passed_on(environ: Mapping[str, str]) -> dict[str, str]:
    """Return the variables that hold in the root, too."""
    return {name: value for name, value in environ.items() if PASSED_ON.match(name)}


def run_tests(root: Path, words: Sequence[str]) -> int:
    """Run the tests of the editor in the root; return pytest's exit code."""
    environ = {
        **passed_on(os.environ),
        "PATH": "/usr/sbin:/usr/bin:/sbin:/bin",
        "HOME": "/root",
        "LC_ALL": "C.UTF-8",
        "PYTHONDONTWRITEBYTECODE": "1",  # the project is not ours to write in
        "THRIFTLAY_REQUIRE_EDITOR": "1",
    }
    test = ["python3", "extension/install.py", "--test", "-m", "editor", "-p", "no:cacheprovider"]
    settings = [f"{name}={value}" for name, value in environ.items()]
    command = ["env", "-i", "-C", "/project", *settings, *test, *words]
    process = subprocess.Popen(["chroot", str(root), *command], stdin=subprocess.DEVNULL)
    while True:  # the first process of a name space has to see off whatever ends in it
        ended, status = os.wait()
        if ended == process.pid:
            return os.waitstatus_to_exitcode(status)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
