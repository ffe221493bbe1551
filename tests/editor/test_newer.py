# SPDX-License-Identifier: GPL-2.0-or-later
"""The runner in the next release: what it finds out, what it refuses, what it leaves behind."""

from __future__ import annotations

import contextlib
import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.editor import newer
from tests.helpers.editor import until

TARGETS = """http://one.example/packages/|stable|main
http://mirror.example/system-security/|oldie-security|main
http://mirror.example/system/|oldie|extra
http://mirror.example/system/|oldie|main
"""


def test_the_mirror_is_the_one_that_apt_uses_for_this_very_release() -> None:
    assert newer.mirror_of(TARGETS, "oldie") == "http://mirror.example/system/"
    assert newer.mirror_of(TARGETS, "newbie") == ""
    assert newer.mirror_of("", "oldie") == ""


def test_a_system_says_what_it_is(tmp_path: Path) -> None:
    file = tmp_path / "os-release"
    file.write_text('ID=debian\nVERSION_CODENAME="oldie"\n\n# a note\n', encoding="utf-8")
    assert newer.system_of(file) == {"ID": "debian", "VERSION_CODENAME": "oldie"}
    assert newer.system_of(tmp_path / "none") == {}


def test_what_pips_settings_name_is_shared_once_and_with_what_is_beside_an_index(
    tmp_path: Path,
) -> None:
    index, wheels, bundle = tmp_path / "index/simple", tmp_path / "wheels", tmp_path / "ca.crt"
    index.mkdir(parents=True)
    wheels.mkdir()
    bundle.touch()
    settings = f"[global]\nfind-links = {wheels}\n  file://{index}\ncert={bundle}\n"
    more = f"{wheels} 180 / {tmp_path / 'missing'} https://index.example/simple"
    assert newer.places_in([settings, more]) == [bundle, index.parent, wheels]


def test_proxies_certificates_and_pips_own_go_with_it_and_nothing_else() -> None:
    environ = dict.fromkeys(
        ["PIP_CERT", "https_proxy", "SSL_CERT_FILE", "CURL_CA_BUNDLE", "PYTHONPATH", "DISPLAY"], "x"
    )
    assert set(newer.passed_on(environ)) == {
        "PIP_CERT",
        "https_proxy",
        "SSL_CERT_FILE",
        "CURL_CA_BUNDLE",
    }


def test_without_the_rights_of_root_it_says_so(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    monkeypatch.setattr(newer, "system_of", lambda: {"ID": "debian"})
    monkeypatch.setattr(os, "geteuid", lambda: 1000)
    assert newer.main([str(tmp_path / "root")]) == 1
    assert "use sudo" in capsys.readouterr().err
    assert not (tmp_path / "root").exists()


def test_a_missing_tool_is_named(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    monkeypatch.setattr(newer, "system_of", lambda: {"ID": "debian"})
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    monkeypatch.setattr(newer, "TOOLS", ("sh", "no-such-tool"))
    assert newer.main([str(tmp_path / "root")]) == 1
    assert "not on this computer: no-such-tool." in capsys.readouterr().err


def test_a_folder_that_holds_something_else_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "precious.txt").touch()
    with pytest.raises(newer.Trouble, match="holds something else"):
        newer.make(tmp_path)
    assert [one.name for one in tmp_path.iterdir()] == ["precious.txt"]


def test_without_a_mirror_it_says_so(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(newer, "system_of", lambda: {"ID": "debian", "VERSION_CODENAME": "oldie"})
    monkeypatch.setattr(newer, "output_of", lambda _: "")
    with pytest.raises(newer.Trouble, match="apt names no mirror of debian oldie"):
        newer.make(tmp_path / "root")


def test_an_editor_that_is_no_newer_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(newer, "output_of", lambda _: "Inkscape 1.4 (e7c3feb100, 2024-10-09)\n")
    assert newer.editor_in(Path("/nowhere")).startswith("Inkscape 1.4")
    for said in ("Inkscape 1.2.2 (b0a8486541, 2022-12-01)\n", ""):
        monkeypatch.setattr(newer, "output_of", lambda _, said=said: said)
        with pytest.raises(newer.Trouble, match=r"not 1\.4 or newer"):
            newer.editor_in(Path("/nowhere"))


def test_nothing_in_the_repository_names_a_mirror() -> None:
    text = Path(newer.__file__).read_text(encoding="utf-8")
    assert re.findall(r"https?://[^\s\"'|]+", text) == []


OUTER = "import sys; from tests.editor import newer; sys.exit(newer.in_a_name_space(sys.argv[1:]))"
INNER = """
import subprocess, sys, time
from pathlib import Path
from tests.editor import newer
root = Path(sys.argv[1])
newer.share_devices(root)
newer.share_project(root)
assert (root / "project/README.md").is_file()
subprocess.Popen(["sh", "-c", "sleep 600; true", str(root)], start_new_session=True)
(root / "begun").touch()
time.sleep(600)
"""


def commands() -> str:
    """Return the command lines of all processes."""
    found = []
    for file in Path("/proc").glob("[0-9]*/cmdline"):
        with contextlib.suppress(OSError):  # it has ended meanwhile
            found.append(file.read_bytes().decode("utf-8", "replace"))
    return "\n".join(found)


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
def test_however_it_is_ended_no_mount_and_no_process_is_left(
    tmp_path: Path, number: signal.Signals
) -> None:
    if sys.platform != "linux" or os.geteuid() != 0:
        pytest.skip("mounting takes the rights of root")
    root = tmp_path / "root"
    for name in ("proc", "dev", "etc"):
        (root / name).mkdir(parents=True)
    command = [sys.executable, "-c", OUTER, sys.executable, "-c", INNER, str(root)]
    process = subprocess.Popen(command, cwd=newer.PROJECT)
    try:
        assert until((root / "begun").exists)
        assert str(root) in commands()
        assert str(root) not in Path("/proc/mounts").read_text(encoding="utf-8")
        process.send_signal(number)
        process.wait(timeout=30)
        assert until(lambda: str(root) not in commands(), 30)
    finally:
        process.kill()
    assert str(root) not in Path("/proc/mounts").read_text(encoding="utf-8")
    assert list((root / "project").iterdir()) == []
    assert list((root / "dev").iterdir()) == []
