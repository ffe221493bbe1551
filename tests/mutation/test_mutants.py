# SPDX-License-Identifier: GPL-2.0-or-later
"""Mutants are what they say, and a trial tells those that tests see from those that they do not."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tests.mutation.mutants import mutants_of
from tests.mutation.trials import ENDLESS, KILLED, SURVIVED, verdict

MODULE = '''"""What it holds."""
LIMIT = 2.5

def near(a, b):
    """Say whether."""
    if a is None or b < 0:
        raise ValueError(f"not {a} and {b}")
    return abs(a - b) <= LIMIT
'''


def test_every_kind_of_change_is_made_and_words_are_left_alone() -> None:
    names = [mutant.name for mutant in mutants_of(MODULE)]
    assert names == [
        "module: LIMIT = 2.5 -> pass",
        "module: 2.5 -> 3.125",
        "module: 2.5 -> 2.0",
        "near: if a is None or b < 0: … -> if False: …",
        "near: if a is None or b < 0: … -> if True: …",
        "near: a is None or b < 0 -> a is None and b < 0",
        "near: a is None or b < 0 -> a is None",
        "near: a is None or b < 0 -> b < 0",
        "near: a is None -> a is not None",
        "near: b < 0 -> b <= 0",
        "near: b < 0 -> b > 0",
        "near: 0 -> 1",
        "near: 0 -> -1",
        "near: raise ValueError(f'not {a} and {b}') -> pass",
        "near: return abs(a - b) <= LIMIT -> return None",
        "near: abs(a - b) <= LIMIT -> abs(a - b) < LIMIT",
        "near: abs(a - b) <= LIMIT -> abs(a - b) >= LIMIT",
        "near: a - b -> a + b",
    ]


def test_a_mutant_is_the_module_but_for_one_thing() -> None:
    plain = ast.unparse(ast.parse(MODULE)).splitlines()
    for mutant in mutants_of(MODULE):
        lines = ast.unparse(mutant.tree).splitlines()
        assert sum(one != two for one, two in zip(lines, plain, strict=True)) == 1, mutant.name


@pytest.mark.parametrize(
    ("code", "came"),
    [
        ("def two(): return 2", SURVIVED),
        ("def two(): return 3", KILLED),
        ("while True: pass", ENDLESS),
    ],
)
def test_a_trial_finds_the_mutant_where_the_module_was(
    tmp_path: Path, code: str, came: str
) -> None:
    tests = tmp_path / "test_it.py"
    tests.write_text("from made_up import two\n\ndef test_it(): assert two() == 2\n")
    file = tmp_path / "made_up.py"
    seconds = 2.0 if came == ENDLESS else 60.0
    assert verdict("made_up", compile(code, str(file), "exec"), file, [str(tests)], seconds) == came
