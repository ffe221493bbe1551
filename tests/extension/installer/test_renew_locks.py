# SPDX-License-Identifier: GPL-2.0-or-later
"""The locks hold what the project declares, and nothing is locked twice."""

from __future__ import annotations

import re
from pathlib import Path

from extension.installer.environment import PLUGIN, TESTS
from extension.installer.renew_locks import blocks, declared, name_of


def locked(*locks: Path) -> list[str]:
    return [entry for lock in locks for entry in blocks(lock.read_text(encoding="utf-8"))]


def names(entries: list[str]) -> set[str]:
    return {name_of(entry) for entry in entries}


def test_all_that_the_program_needs_is_in_the_plugins_lock() -> None:
    wanted = {name_of(one) for section in ("dependencies", "editor") for one in declared(section)}
    assert wanted <= names(locked(*PLUGIN.locks))
    assert "inkex" in wanted


def test_all_that_demo_and_tests_need_is_in_theirs() -> None:
    wanted = {name_of(one) for section in ("demo", "test") for one in declared(section)}
    assert wanted <= names(locked(*TESTS.locks))


def test_nothing_for_tests_reaches_the_plugin() -> None:
    assert not names(locked(TESTS.locks[1])) & names(locked(*PLUGIN.locks))


def test_no_package_host_is_named() -> None:
    for lock in TESTS.locks:
        assert not re.search(r"https?://|--index", lock.read_text(encoding="utf-8"))


def test_entries_are_split_with_their_hashes() -> None:
    text = "a==1 \\\n    --hash=sha256:0 \\\n    --hash=sha256:1\nb==2 ; x < '3' \\\n    --hash=z\n"
    assert [name_of(entry) for entry in blocks(text)] == ["a", "b"]
    assert "".join(f"{entry}\n" for entry in blocks(text)) == text
