# SPDX-License-Identifier: GPL-2.0-or-later
"""Private virtual environments, each keyed by what is locked into it.

All packages are pinned with hashes and installed without resolving: inkex, which the menu commands
stand on, asks for packages that cannot be built on a bare machine and that it never imports.
"""

from __future__ import annotations

import hashlib
import importlib.util
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from extension.host.launcher import KEPT, clean_environment
from extension.installer.places import PROJECT
from extension.installer.report import Say, SetupError, writing_to

READY = "thriftlay-ready.txt"
"""Written into an environment as the last step: without it, it is half made and begun anew."""

_ELSEWHERE = ("PIP_USER", "PIP_TARGET", "PIP_PREFIX", "PIP_ROOT", "PIP_NO_BINARY", "PIP_DRY_RUN")
"""Settings of pip's that would put packages elsewhere than into the environment, or build them."""

_TAIL = 60
"""Lines of pip's that are kept to explain a failure."""

NO_VENV = (
    "This Python cannot make virtual environments, because its module {module} is missing: on "
    "Debian or Ubuntu run: sudo apt install python3-venv; then run this again."
)
_FAULTS = (
    (
        ("No space left on device", "Disk quota exceeded"),
        "There is no room left on the disk: free about 1 GB and run this again.",
    ),
    (
        ("Permission denied", "Read-only file system", "Access is denied"),
        "pip may not write where it has to: check that your own folders are writable for you, "
        "and run this again.",
    ),
    (
        ("CERTIFICATE_VERIFY_FAILED", "SSLError", "certificate verify failed"),
        "The package index was reached, but its certificate was not trusted: if your network has "
        "a proxy of its own, set SSL_CERT_FILE or PIP_CERT to its certificate and run this again.",
    ),
    (
        (
            "Failed to establish a new connection",
            "Connection refused",
            "Temporary failure in name resolution",
            "ConnectTimeoutError",
            "ReadTimeoutError",
            "Read timed out",
            "ProxyError",
            "Connection broken",
            "ConnectionResetError",
            "RemoteDisconnected",
            "Network is unreachable",
        ),
        "The packages could not be fetched, because the network did not answer: connect to the "
        "internet (behind a proxy, set HTTPS_PROXY) and run this again; what was fetched is kept.",
    ),
    (
        ("DO NOT MATCH THE HASHES",),
        "A package that was fetched is not the one that was checked for Thriftlay, so nothing was "
        "installed: run this again, and report it if it happens twice.",
    ),
    (
        ("(from versions: none)",),
        "The packages could not be fetched: either the network does not answer (connect to the "
        "internet; behind a proxy, set HTTPS_PROXY), or they are not made for this kind of "
        "computer or Python (64-bit Python 3.11 to 3.13 is the safest). Then run this again.",
    ),
    (
        ("No matching distribution found",),
        "A package is not available for this kind of computer or this Python: use Python 3.11 to "
        "3.13 on a 64-bit system, and run this again.",
    ),
)
_WHEEL = re.compile(
    r"\s*(?P<source>Downloading|Using cached|Processing) (?:\S*[/\\])?"
    r"(?P<name>[\w.]+)-(?P<version>[\w.]+)-\S*\.whl(?!\.)(?P<size> \(.*B\))?"
)
"""A line of pip's about one package."""
_SOURCES = {
    "Downloading": "fetched",
    "Using cached": "kept from before",
    "Processing": "on this computer",
}


@dataclass(frozen=True, slots=True)
class Kind:
    """What an environment is for, and the files that lock its packages."""

    name: str
    locks: tuple[Path, ...]


PLUGIN = Kind("plugin", (PROJECT / "extension/requirements.txt",))
TESTS = Kind("tests", (*PLUGIN.locks, PROJECT / "extension/requirements-test.txt"))


def key_of(kind: Kind) -> str:
    """Return the name of the environment's folder: another lock, or Python, is another folder."""
    digest = hashlib.sha256(repr(sys.version_info[:2]).encode())
    for lock in kind.locks:
        # Line ends depend on how the project was fetched, the packages do not.
        digest.update(lock.read_bytes().replace(b"\r\n", b"\n"))
    return f"{kind.name}-{digest.hexdigest()[:12]}"


def python_of(folder: Path) -> Path:
    """Return the Python of an environment."""
    return folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def outer_environment(environ: Mapping[str, str] = os.environ) -> dict[str, str]:
    """Return the environment for pip: proxies and certificates stay, other Pythons do not."""
    clean = clean_environment(environ)
    return {
        name: value
        for name, value in clean.items()
        if name.upper() not in _ELSEWHERE and not name.startswith(KEPT)
    }


def is_ready(folder: Path) -> bool:
    """Return whether an environment was finished and its Python is still there."""
    return (folder / READY).is_file() and python_of(folder).is_file()


def ensure(kind: Kind, data: Path, say: Say) -> Path:
    """Return the Python of the environment of this kind, made when there is none yet.

    Raises SetupError.
    """
    folder = data / "environments" / key_of(kind)
    if is_ready(folder):
        say(f"The packages are here already: {folder}")
        return python_of(folder)
    for module in ("venv", "ensurepip"):
        if importlib.util.find_spec(module) is None:
            raise SetupError(NO_VENV.format(module=module))
    with writing_to(folder):
        if folder.exists():
            shutil.rmtree(folder)
        folder.parent.mkdir(parents=True, exist_ok=True)
    _make(folder, say)
    _install(kind, python_of(folder), say)
    with writing_to(folder):
        (folder / READY).write_text("complete\n", encoding="utf-8")
    return python_of(folder)


def remove_others(kind: Kind, data: Path) -> None:
    """Remove environments of this kind that another version left."""
    for folder in (data / "environments").glob(f"{kind.name}-*"):
        if folder.name != key_of(kind):
            shutil.rmtree(folder, ignore_errors=True)


def _make(folder: Path, say: Say) -> None:
    say(f"Making a Python environment of our own: {folder}")
    made = subprocess.run(
        [sys.executable, "-I", "-m", "venv", str(folder)],
        env=outer_environment(),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
    )
    if made.returncode != 0:
        text = made.stdout.decode("utf-8", "replace")
        if "ensurepip" in text:
            raise SetupError(NO_VENV.format(module="ensurepip"))
        raise SetupError(explain(text.splitlines(), "The Python environment could not be made"))


def _install(kind: Kind, python: Path, say: Say) -> None:
    say("Fetching the packages (about 150 MB the first time, a few minutes):")
    command = [str(python), "-I", "-X", "utf8", "-m", "pip", "install", "--no-deps"]
    command += ["--only-binary", ":all:", "--require-hashes", "--progress-bar", "off"]
    command += ["--disable-pip-version-check", "--no-input"]
    for lock in kind.locks:
        command += ["-r", str(lock)]
    code, tail = run_telling(command, say)
    if code != 0:
        raise SetupError(explain(tail, "The packages could not be installed"))


def run_telling(command: Sequence[str], say: Say) -> tuple[int, list[str]]:
    """Run pip, say how far it is, return its exit code and its last lines."""
    tail: list[str] = []
    with subprocess.Popen(
        command,
        env=outer_environment(),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    ) as process:
        assert process.stdout is not None
        for raw in process.stdout:
            line = raw.decode("utf-8", "replace").rstrip()
            tail = [*tail, line][-_TAIL:]
            news = progress_line(line)
            if news:
                say(news)
    return process.returncode, tail


def progress_line(line: str) -> str:
    """Return our own words for one line of pip's, or "" when it is no news."""
    found = _WHEEL.match(line)
    if found:
        size = found["size"] or ""
        return f"  {found['name']} {found['version']}: {_SOURCES[found['source']]}{size}"
    if line.startswith("Installing collected packages"):
        return "  unpacking them all (about a minute)"
    if "Retrying" in line:
        return "  the network does not answer, trying again"
    return ""


def explain(lines: Iterable[str], doing: str) -> str:
    """Return one sentence, with the remedy, for a failure that pip or venv reported."""
    text = "\n".join(lines)
    for signs, sentence in _FAULTS:
        if any(sign in text for sign in signs):
            return sentence
    last = next((line for line in reversed(text.splitlines()) if line.strip()), "nothing")
    return f"{doing}; the last word was: {last.strip()}"
