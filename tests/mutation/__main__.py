# SPDX-License-Identifier: GPL-2.0-or-later
"""Changes modules of ours one thing at a time and sees which changes the tests let pass:

`python -m tests.mutation check bookkeeping`. Each survivor is printed. Those that change nothing a
test could see stand in equivalents.json with the reason. The exit code is 1 with other survivors.
"""

from __future__ import annotations

import argparse
import importlib
import json
import sys
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.helpers.places import PROJECT
from tests.mutation.mutants import mutants_of
from tests.mutation.trials import ENDLESS, KILLED, SURVIVED, verdict

EQUIVALENTS = Path(__file__).with_name("equivalents.json")
ENGINE = ("numpy", "scipy.optimize", "highspy", "shapely.affinity", "hypothesis.extra.numpy")
DRAWING = (*ENGINE, "lxml.etree", "tinycss2", "cssselect", "pyclipper", "numba")


@dataclass(frozen=True, slots=True)
class Campaign:
    """A module and the tests that answer for it; `before`: what is loaded once for all trials."""

    module: str
    tests: tuple[str, ...]
    before: tuple[str, ...] = ENGINE


CAMPAIGNS = {
    "outlines": Campaign(
        "nesting.judge.outlines",
        (
            "tests/nesting/judge/test_judge_limits.py",
            "tests/nesting/judge/test_judge_outlines.py",
            "tests/nesting/judge/test_zones.py",
            "tests/nesting/judge/test_unfolding.py",
            "tests/nesting/judge/test_check.py",
        ),
    ),
    "bookkeeping": Campaign(
        "nesting.judge.bookkeeping",
        ("tests/nesting/judge/test_bookkeeping.py", "tests/nesting/judge/test_unfolding.py"),
    ),
    "unfolding": Campaign(
        "nesting.judge.unfolding",
        (
            "tests/nesting/judge/test_unfolding.py",
            "tests/nesting/judge/test_handless.py",
            "tests/nesting/judge/test_zones.py",
        ),
    ),
    "zones": Campaign(
        "nesting.judge.zones",
        ("tests/nesting/judge/test_zones.py", "tests/nesting/judge/test_unfolding.py"),
    ),
    "verdict": Campaign(
        "nesting.judge.verdict",
        ("tests/nesting/judge/test_judge_limits.py", "tests/nesting/judge/test_bookkeeping.py"),
    ),
    "compaction": Campaign(
        "nesting.press.compaction",
        ("tests/nesting/press/test_compaction_limits.py", "tests/nesting/press/test_compaction.py"),
        (
            *ENGINE,
            "nesting.press.contacts",
            "nesting.press.programs",
            "nesting.geometry.convex",
            "nesting.geometry.shapes",
        ),
    ),
    "verdicts": Campaign(
        "extension.layouts.verdicts",
        (
            "tests/extension/layouts/test_verdicts.py",
            "tests/extension/layouts/test_ways_of_lying.py",
            "tests/extension/layouts/test_new_rule.py",
            "tests/extension/layouts/test_troubles.py",
        ),
        DRAWING,
    ),
    "troubles": Campaign(
        "extension.layouts.troubles",
        ("tests/extension/layouts/test_troubles.py",),
        DRAWING,
    ),
    "situation": Campaign(
        "extension.layouts.situation",
        (
            "tests/extension/layouts/test_situation.py",
            "tests/extension/layouts/test_verdicts.py",
            "tests/extension/layouts/test_troubles.py",
        ),
        DRAWING,
    ),
    "sides": Campaign(
        "extension.layouts.sides",
        ("tests/extension/layouts/test_ways_of_lying.py",),
        DRAWING,
    ),
    "wrecks": Campaign(
        "extension.layouts.wrecks",
        (
            "tests/extension/layouts/test_situation.py",
            "tests/extension/layouts/test_verdicts.py",
            "tests/extension/layouts/test_wrecks.py",
        ),
        DRAWING,
    ),
    "recognise": Campaign(
        "extension.layouts.recognise",
        (
            "tests/extension/layouts/test_recognise.py",
            "tests/extension/layouts/test_sources.py",
            "tests/extension/layouts/test_wrecks.py",
            "tests/extension/layouts/test_troubles.py",
            "tests/extension/layouts/test_verdicts.py",
        ),
        DRAWING,
    ),
    "copies": Campaign(
        "extension.layouts.copies",
        (
            "tests/extension/layouts/test_copies.py",
            "tests/extension/layouts/test_tally.py",
            "tests/extension/layouts/test_verdicts.py",
            "tests/extension/layouts/test_ways_of_lying.py",
        ),
        DRAWING,
    ),
}


def run(name: str, seconds: float, words: Sequence[str]) -> Counter[str]:
    """Try every mutant of a campaign whose name holds the words; print survivors and a sum."""
    campaign = CAMPAIGNS[name]
    file = PROJECT / Path(*campaign.module.split(".")).with_suffix(".py")
    excused = json.loads(EQUIVALENTS.read_text(encoding="utf-8")).get(name, {})
    for library in campaign.before:
        importlib.import_module(library)
    text = file.read_text(encoding="utf-8")
    plain = compile(text, file, "exec")
    started = time.monotonic()
    if verdict(campaign.module, plain, file, campaign.tests, seconds) != SURVIVED:
        sys.exit(f"{name}: the tests fail without any mutant, or take longer than {seconds} s")
    count: Counter[str] = Counter()
    met = set()
    for mutant in mutants_of(text):
        if not all(word in mutant.name for word in words):
            continue
        met.add(mutant.name)
        code = compile(mutant.tree, file, "exec")
        came = verdict(campaign.module, code, file, campaign.tests, seconds)
        if came == SURVIVED and mutant.name in excused:
            came = "equivalent"
        elif came in (SURVIVED, ENDLESS):
            print(f"{name}:{mutant.line}: {came}: {mutant.name}", flush=True)
        count[came] += 1
    if not words:
        for gone in sorted(set(excused) - met):
            print(f"{name}: no mutant is called “{gone}” any more", flush=True)
    took = time.monotonic() - started
    print(
        f"{name}: {count.total()} mutants, {count[KILLED]} killed, {count[ENDLESS]} endless, "
        f"{count['equivalent']} equivalent, {count[SURVIVED]} survived; {took:.0f} s",
        flush=True,
    )
    return count


def main() -> int:
    """Run the campaigns that are named; return 1 when a mutant survived that is not excused."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help=f"of {', '.join(CAMPAIGNS)}")
    parser.add_argument("--seconds", type=float, default=60.0, help="for one mutant")
    parser.add_argument("--only", nargs="*", default=[], help="words a mutant's name must hold")
    options = parser.parse_args()
    for name in options.names:
        if name not in CAMPAIGNS:
            parser.error(f"no campaign is called {name}; there are {', '.join(CAMPAIGNS)}")
    # One module is mutated at a time, and each must be fresh: the names given are run in order,
    # each before anything of ours that it is part of has been loaded.
    counts = [run(name, options.seconds, options.only) for name in options.names or CAMPAIGNS]
    return 1 if any(count[SURVIVED] for count in counts) else 0


if __name__ == "__main__":
    sys.exit(main())
