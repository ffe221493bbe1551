# SPDX-License-Identifier: GPL-2.0-or-later
"""For developers: write the two lock files anew from pyproject.toml (needs `uv` on the path).

    python3 -m extension.installer.renew_locks

One resolution serves every supported Python and system, so that all run the same versions where
wheels exist. inkex, for the menu commands, is resolved alone, without what it asks for.
"""

from __future__ import annotations

import ast
import re
import subprocess
import tempfile
from collections.abc import Sequence
from pathlib import Path

from extension.installer.environment import PLUGIN, TESTS
from extension.installer.places import PROJECT

CAPS = (
    "numpy<2.5",  # the last that 3.11 has, so that 3.11 to 3.14 compute with the same one
    "scipy<1.18",
    "contourpy<1.4",
)
OLDER_MAC = "sys_platform == 'darwin' and platform_machine == 'x86_64'"
ELSEWHERE = "(sys_platform != 'darwin' or platform_machine != 'x86_64')"
FORKS = (
    # 0.62 is the last numba with wheels for older Macs, and it wants an older numpy; without the
    # opposite requirements the resolver would choose the old ones for everybody.
    f"numba<0.63 ; {OLDER_MAC}",
    f"numba>=0.68 ; {ELSEWHERE}",
    f"numpy>=2.4 ; python_full_version >= '3.11' and {ELSEWHERE}",
)
_OPTIONS = "--universal --python-version 3.10 --generate-hashes --no-header --no-annotate -q"


def declared(section: str) -> list[str]:
    """Return the requirements that pyproject.toml lists under a key, such as `dependencies`."""
    text = (PROJECT / "pyproject.toml").read_text(encoding="utf-8")
    found = re.search(rf"^{section} = (\[[^\]]*\])", text, re.MULTILINE)
    assert found is not None, section
    return [str(requirement) for requirement in ast.literal_eval(found[1])]


def blocks(lock: str) -> list[str]:
    """Return the entries of a lock file: a requirement with its hashes."""
    return re.findall(r"^\S.*(?:\n[ \t].*)*", lock, re.MULTILINE)


def name_of(requirement: str) -> str:
    """Return the name of the package of a requirement or of an entry of a lock file."""
    return re.split(r"[^\w.-]", requirement, maxsplit=1)[0].lower().replace("_", "-")


def resolve(requirements: Sequence[str], *options: str) -> list[str]:
    """Return the entries that pin these requirements and what they need."""
    with tempfile.TemporaryDirectory() as folder:
        wanted, caps = Path(folder, "wanted.in"), Path(folder, "caps.in")
        wanted.write_text("\n".join(requirements), encoding="utf-8")
        caps.write_text("\n".join(CAPS), encoding="utf-8")
        command = [
            "uv",
            "pip",
            "compile",
            str(wanted),
            "-c",
            str(caps),
            *_OPTIONS.split(),
            *options,
        ]
        done = subprocess.run(command, check=True, stdout=subprocess.PIPE, encoding="utf-8")
    return blocks(done.stdout)


def main() -> None:
    """Write both lock files."""
    runtime, more = declared("dependencies"), [*declared("demo"), *declared("test")]
    everything = resolve([*runtime, *FORKS, *more], "--only-binary", ":all:")
    needed = {name_of(one) for one in resolve([*runtime, *FORKS], "--only-binary", ":all:")}
    tests = [one for one in everything if name_of(one) not in needed]
    plugin = [one for one in everything if name_of(one) in needed]
    write(PLUGIN.locks[0], [*plugin, *resolve(declared("editor"), "--no-deps")])
    write(TESTS.locks[1], tests)


def write(lock: Path, entries: Sequence[str]) -> None:
    """Write a lock file, by name."""
    lock.write_text("\n".join(sorted(entries)) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
