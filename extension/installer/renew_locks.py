# SPDX-License-Identifier: GPL-2.0-or-later
"""For developers: write the two lock files anew from pyproject.toml (needs `uv` on the path).

    python3 -m extension.installer.renew_locks

One resolution serves every supported Python and system, so that all run the same versions where
wheels exist. inkex is resolved alone, without what it asks for (see `environment`).
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
FORKS = (
    # 0.62 is the last with wheels for older Macs; two requirements make the resolver fork.
    "numba<0.63 ; sys_platform == 'darwin' and platform_machine == 'x86_64'",
    "numba>=0.68 ; sys_platform != 'darwin' or platform_machine != 'x86_64'",
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
    plain = [one for one in declared("dependencies") if name_of(one) != "inkex"] + [*FORKS]
    inkex = [one for one in declared("dependencies") if name_of(one) == "inkex"]
    more = [*declared("demo"), *declared("test")]
    everything = resolve([*plain, *more], "--only-binary", ":all:")
    needed = {name_of(entry) for entry in resolve(plain, "--only-binary", ":all:")}
    plugin = [entry for entry in everything if name_of(entry) in needed]
    tests = [entry for entry in everything if name_of(entry) not in needed]
    if inkex:
        plugin += resolve(inkex, "--no-deps")
    PLUGIN.locks[0].write_text("\n".join(plugin) + "\n", encoding="utf-8")
    TESTS.locks[1].write_text("\n".join(tests) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
