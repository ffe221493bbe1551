# SPDX-License-Identifier: GPL-2.0-or-later
"""Private environments: their keys, what pip says, and what goes wrong, with a package of our own.

Nothing here reaches a network: pip is pointed at a folder, or at a port where nobody listens.
"""

from __future__ import annotations

import base64
import hashlib
import importlib.util
import shutil
import subprocess
import zipfile
from pathlib import Path

import pytest

from extension.installer import environment
from extension.installer.environment import (
    PLUGIN,
    READY,
    TESTS,
    Kind,
    ensure,
    explain,
    is_ready,
    key_of,
    outer_environment,
    progress_line,
    remove_others,
)
from extension.installer.report import SetupError

SHUT = "http://127.0.0.1:9/simple"
"""The discard port of this computer, where no index answers."""


def wheel(folder: Path) -> Path:
    """Build a tiny package; return its file."""
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / "tinyparcel-1.0-py3-none-any.whl"
    about = "tinyparcel-1.0.dist-info"
    members = {
        "tinyparcel.py": "ANSWER = 42\n",
        f"{about}/METADATA": "Metadata-Version: 2.1\nName: tinyparcel\nVersion: 1.0\n",
        f"{about}/WHEEL": "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
    }
    record = f"{about}/RECORD"
    rows = []
    with zipfile.ZipFile(file, "w") as archive:
        for name, text in members.items():
            archive.writestr(name, text)
            digest = hashlib.sha256(text.encode()).digest()
            code = base64.urlsafe_b64encode(digest).rstrip(b"=").decode()
            rows.append(f"{name},sha256={code},{len(text)}\n")
        archive.writestr(record, "".join(rows) + f"{record},,\n")
    return file


def locked(folder: Path, digest: str) -> Kind:
    lock = folder / "lock.txt"
    lock.write_text(f"tinyparcel==1.0 \\\n    --hash=sha256:{digest}\n", encoding="utf-8")
    return Kind("trial", (lock,))


@pytest.fixture(scope="module")
def bare(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return an environment without packages, to be copied: making one takes seconds."""
    folder = tmp_path_factory.mktemp("bare") / "environment"
    environment._make(folder, lambda _: None)
    return folder


@pytest.fixture
def copied(bare: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Copy environments instead of making them."""
    monkeypatch.setattr(
        environment, "_make", lambda folder, say: shutil.copytree(bare, folder, symlinks=True)
    )


@pytest.fixture
def offline(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """Keep pip from every network and every setting of this computer; return its folder."""
    parcels = tmp_path / "parcels"
    parcels.mkdir()
    settings = {
        "PIP_CONFIG_FILE": "/dev/null",
        "PIP_NO_INDEX": "1",
        "PIP_FIND_LINKS": str(parcels),
        "PIP_RETRIES": "0",
        "PIP_NO_CACHE_DIR": "1",
    }
    for name, value in settings.items():
        monkeypatch.setenv(name, value)
    monkeypatch.delenv("PIP_EXTRA_INDEX_URL", raising=False)
    return parcels


@pytest.mark.usefixtures("copied")
def test_an_environment_is_made_once_and_again_when_half_made(
    offline: Path, tmp_path: Path
) -> None:
    kind = locked(tmp_path, hashlib.sha256(wheel(offline).read_bytes()).hexdigest())
    data, said = tmp_path / "ünsere Daten", []
    python = ensure(kind, data, said.append)
    asked = [str(python), "-I", "-c", "import tinyparcel; print(tinyparcel.ANSWER)"]
    assert subprocess.run(asked, capture_output=True, check=True).stdout == b"42\n"
    assert any("tinyparcel 1.0" in line for line in said)

    said.clear()
    assert ensure(kind, data, said.append) == python
    assert len(said) == 1  # nothing was made or fetched

    folder = python.parent.parent
    (folder / READY).unlink()
    (folder / "rubbish").touch()
    assert not is_ready(folder)
    ensure(kind, data, said.append)
    assert not (folder / "rubbish").exists()


@pytest.mark.usefixtures("copied")
def test_a_package_that_is_not_the_checked_one_is_refused(offline: Path, tmp_path: Path) -> None:
    wheel(offline)
    kind = locked(tmp_path, "0" * 64)
    with pytest.raises(SetupError, match="not the one that was checked"):
        ensure(kind, tmp_path / "data", lambda _: None)
    assert not is_ready(tmp_path / "data/environments" / key_of(kind))


@pytest.mark.usefixtures("copied")
def test_no_network_is_told_with_the_remedy(
    offline: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("PIP_NO_INDEX")
    monkeypatch.setenv("PIP_INDEX_URL", SHUT)
    monkeypatch.setenv("PIP_RETRIES", "1")
    with pytest.raises(SetupError, match="connect to the internet"):
        ensure(locked(tmp_path, "0" * 64), tmp_path / "data", lambda _: None)


@pytest.mark.parametrize("missing", ["venv", "ensurepip"])
def test_a_python_without_venv_is_told_with_the_command(
    missing: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = importlib.util.find_spec
    monkeypatch.setattr(
        importlib.util, "find_spec", lambda name: None if name == missing else real(name)
    )
    with pytest.raises(SetupError, match="sudo apt install python3-venv"):
        ensure(locked(tmp_path, "0" * 64), tmp_path / "data", lambda _: None)


def test_a_folder_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / "data").write_text("a file, not a folder", encoding="utf-8")
    with pytest.raises(SetupError, match="make that folder writable"):
        ensure(locked(tmp_path, "0" * 64), tmp_path / "data", lambda _: None)


def test_the_key_follows_the_packages_and_not_the_line_ends(tmp_path: Path) -> None:
    kind = locked(tmp_path, "0" * 64)
    key = key_of(kind)
    lock = kind.locks[0]
    lock.write_bytes(lock.read_bytes().replace(b"\n", b"\r\n"))
    assert key_of(kind) == key
    lock.write_bytes(lock.read_bytes().replace(b"1.0", b"1.1"))
    assert key_of(kind) != key


def test_another_python_has_another_environment(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kind = locked(tmp_path, "0" * 64)
    key = key_of(kind)
    monkeypatch.setattr(environment.sys, "version_info", (3, 99, 0))
    assert key_of(kind) != key


def test_old_environments_of_the_same_kind_go(tmp_path: Path) -> None:
    kind = locked(tmp_path, "0" * 64)
    environments = tmp_path / "environments"
    for name in (key_of(kind), "trial-0123", "tests-0123"):
        (environments / name).mkdir(parents=True)
    remove_others(kind, tmp_path)
    assert {one.name for one in environments.iterdir()} == {key_of(kind), "tests-0123"}


def test_pip_keeps_what_leads_to_packages_and_loses_what_leads_them_astray() -> None:
    kept = {"PIP_INDEX_URL": "a", "HTTPS_PROXY": "b", "SSL_CERT_FILE": "c", "PIP_CERT": "d"}
    lost = {"PYTHONPATH": "1", "PIP_USER": "2", "PIP_TARGET": "3", "PIP_PREFIX": "4"}
    assert outer_environment({**kept, **lost}) == kept


@pytest.mark.parametrize(
    ("line", "news"),
    [
        # Lines as pip 23 and 26 write them.
        (
            "  Downloading numpy-2.3.5-cp311-cp311-manylinux_2_27_x86_64.whl (16.9 MB)",
            "  numpy 2.3.5: fetched (16.9 MB)",
        ),
        (
            "  Using cached shapely-2.2.0-cp311-cp311-win_amd64.whl (1.8 MB)",
            "  shapely 2.2.0: kept from before (1.8 MB)",
        ),
        (
            "Processing /some/where/joblib-1.6.0-py3-none-any.whl (from -r lock.txt (line 10))",
            "  joblib 1.6.0: on this computer",
        ),
        (
            "  Downloading https://example.org/a/lxml_stubs-0.5.1-py3-none-any.whl (13 kB)",
            "  lxml_stubs 0.5.1: fetched (13 kB)",
        ),
        ("Installing collected packages: a, b", "  unpacking them all (about a minute)"),
        ("WARNING: Retrying (Retry(total=4))", "  the network does not answer, trying again"),
        ("Collecting numpy==2.3.5 (from -r lock.txt (line 1))", ""),
        ("  Using cached numpy-2.3.5-cp311-cp311-win_amd64.whl.metadata (62 kB)", ""),
    ],
)
def test_progress_in_our_own_words(line: str, news: str) -> None:
    assert progress_line(line) == news


@pytest.mark.parametrize(
    ("line", "remedy"),
    [
        ("OSError: [Errno 28] No space left on device", "free about 1 GB"),
        ("ERROR: Could not install packages: [Errno 13] Permission denied: '/x'", "writable"),
        ("SSLError(SSLCertVerificationError(1, '[SSL: CERTIFICATE_VERIFY_FAILED]'))", "PIP_CERT"),
        ("NewConnectionError: Failed to establish a new connection: [Errno -3]", "internet"),
        ("ReadTimeoutError: Read timed out.", "internet"),
        ("ERROR: No matching distribution found for numba==0.68.1", "Python 3.11 to 3.13"),
        ("ERROR: Could not find a version of a (from versions: none)", "either the network"),
        ("ERROR: something nobody foresaw", "something nobody foresaw"),
    ],
)
def test_failures_in_our_own_words(line: str, remedy: str) -> None:
    said = explain(["Collecting a", line, ""], "The packages could not be installed")
    assert remedy in said
    assert "\n" not in said


def test_a_network_failure_is_not_taken_for_a_missing_package() -> None:
    lines = [
        "WARNING: Retrying after connection broken by 'NewConnectionError(Failed to establish a "
        "new connection: [Errno 111] Connection refused')",
        "ERROR: No matching distribution found for numpy==2.3.5",
    ]
    assert "internet" in explain(lines, "")


@pytest.mark.parametrize("kind", [PLUGIN, TESTS], ids=lambda kind: kind.name)
def test_every_locked_package_has_a_hash(kind: Kind) -> None:
    for lock in kind.locks:
        entries = lock.read_text(encoding="utf-8").replace("\\\n", "").splitlines()
        assert entries
        assert all("==" in entry and "--hash=sha256:" in entry for entry in entries)
