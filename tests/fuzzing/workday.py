# SPDX-License-Identifier: GPL-2.0-or-later
"""A drawing's way through every command, as a person would take it, with hand edits in between."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from random import Random

from lxml import etree

from tests.fuzzing.commands import Came, Fault, judged, run_command
from tests.fuzzing.grammar import KINDS
from tests.fuzzing.hand_edits import BROKEN, CLEAN, edited
from tests.fuzzing.judging import clean_by_check, fresh_layout, stated_gap
from tests.fuzzing.mutation import changed
from tests.fuzzing.reading import LAY, layers_of
from tests.fuzzing.running import Tell
from tests.fuzzing.sheets import Drawn
from tests.fuzzing.words import CHANGES, diagram_words, put_together_words, table_words
from tests.helpers.places import PROJECT

SAMPLES = ("first-apron.svg", "wrap-skirt.svg", "inch-trousers.svg")
"""Samples that are small enough to be changed and run by the thousand."""
MUTATED, FROM_SAMPLES = 0.4, 0.04
"""Shares of the drawings that have things changed in them, and of those that begin as a sample."""
ROUND = ("--rounds", "1", "--workers", "1")


@dataclass(slots=True)
class Day:
    """What came of one drawing: runs by command and exit code, and each fault with its drawing."""

    kind: str
    runs: Counter[tuple[str, int]] = field(default_factory=Counter)
    faults: list[tuple[Fault, bytes, list[str]]] = field(default_factory=list)
    edits: Counter[str] = field(default_factory=Counter)


def drawing_of(seed: int, number: int) -> tuple[str, Drawn, Random]:
    """Return the drawing of a number, the same for the same seed, and what goes on from there."""
    random = Random(f"{seed}/{number}")
    kind = list(KINDS)[number % len(KINDS)]
    drawn = KINDS[kind](random)
    if random.random() < FROM_SAMPLES:
        drawn = Drawn(_sample(random.choice(SAMPLES)), [], None)
        kind = "samples"
    if random.random() < MUTATED and kind != "own layers":
        drawn = Drawn(changed(random, drawn.data), drawn.words, None)
    return kind, drawn, random


@cache
def _sample(name: str) -> bytes:
    return (PROJECT / "sample_svgs" / name).read_bytes()


class _Walk:
    """Runs commands for one drawing and takes down what came of them."""

    def __init__(self, day: Day, folder: Path, told: Tell) -> None:
        self._day, self._folder, self._told = day, folder, told

    def run(
        self,
        command: str,
        data: bytes,
        words: Sequence[str] = (),
        more: Callable[[Came], Iterator[str]] | None = None,
    ) -> Came:
        """Run a command, judge what it wrote, and take it down."""
        self._told(command, words, data)
        came = run_command(command, data, words, self._folder)
        judged(came, data, (lambda: more(came)) if more else None)
        self._day.runs[command, came.code] += 1
        for fault in came.faults:
            self._day.faults.append((fault, data, [command, *words]))
        return came


def workday(seed: int, number: int, folder: Path, told: Tell) -> Day:
    """Take the drawing of a number through every command; return what came of it."""
    kind, drawn, random = drawing_of(seed, number)
    day = Day(kind)
    walk = _Walk(day, folder, told)
    data = drawn.data
    joined = walk.run("join-lines", data).drawing
    read = walk.run("read-markings", joined or data).drawing
    if random.random() < 0.3:
        walk.run("read-markings", joined or data, ["--match-notches"])
    if kind == "pages to print" or random.random() < 0.1:
        together = walk.run("put-together", data, put_together_words(random)).drawing
        read = together or read
    ids = _ids(data)
    if ids:
        chosen = random.sample(ids, min(len(ids), random.randrange(1, 3)))
        change = random.choice(CHANGES)
        walk.run("details", data, ["--select", *chosen, "--set", change])
    width = random.choice(("16cm", "30cm", "90cm", "45in"))
    words = ["--fabric-width", width, *ROUND]
    came = _laid_out(walk, random, drawn, read or joined, words)
    widths = ["--widths", random.choice(("90cm", "90cm,120cm", "36in")), *ROUND]
    walk.run("requirements", read or data, [*widths, *table_words(random)])
    if came.drawing is None:
        for command, more in _WITHOUT_LAYOUT.items():
            walk.run(command, data, more)
        return day
    # What did not fit on the cloth is left over, which is no fault.
    _with_layout(walk, random, came.drawing)
    _after_edits(walk, day, random, came.drawing, words)
    return day


_WITHOUT_LAYOUT = {
    "check": [],
    "tighten": ["--seconds", "0.05"],
    "hold": ["--select", "p0"],
    "diagram": [],
}


def _laid_out(
    walk: _Walk, random: Random, drawn: Drawn, read: bytes | None, words: list[str]
) -> Came:
    """Lay out what is drawn, else what the markings say; return the run that wrote a layout."""

    def judge(drawn: Drawn | None) -> Callable[[Came], Iterator[str]]:
        return lambda came: fresh_layout(drawn, came.drawing or b"", came.report)

    first = walk.run("lay-out", drawn.data, [*words, *drawn.words], judge(drawn))
    if first.drawing is not None:
        return first
    return walk.run("lay-out", read or drawn.data, [*words, "--no-grain", "lay"], judge(None))


def _with_layout(walk: _Walk, random: Random, laid: bytes) -> None:
    """Run what can be done to a layout that nobody has touched."""
    layer = layers_of(etree.fromstring(laid))[-1].get("id", "")

    def is_clean(came: Came) -> Iterator[str]:
        if came.code != 0:
            yield f"a fresh layout breaks a rule: {came.out.strip()[:120]}"

    walk.run("check", laid, ["--layer", layer], is_clean)
    if random.random() < 0.5:
        walk.run("tighten", laid, ["--layer", layer, "--seconds", "0.05"])
    else:
        walk.run("hold", laid, ["--select", layer])
    if random.random() < 0.5:
        walk.run("diagram", laid, diagram_words(random))
    # Our own layers are no drawing: what is there is read as before.
    if random.random() < 0.3:
        walk.run("lay-out", laid, ["--fabric-width", "100cm", "--no-grain", "lay", *ROUND])
        walk.run("read-markings", laid)
        walk.run("join-lines", laid)


def _after_edits(walk: _Walk, day: Day, random: Random, laid: bytes, words: list[str]) -> None:
    """Change the layout by hand, and check it, press it, hold it, lay it out again."""
    gap = stated_gap(layers_of(etree.fromstring(laid))[-1])
    data, done, expected = edited(random, laid, random.choice((1, 1, 1, 2, 3)))
    day.edits.update(done)
    what = " and ".join(done)
    root = etree.fromstring(data)
    layers = layers_of(root)
    layer = layers[-1].get("id", "") if layers else ""

    def answers(came: Came) -> Iterator[str]:
        if expected == BROKEN and came.code == 0:
            yield f"{what}: called clean"
        if expected == CLEAN and came.code == 1:
            yield f"{what}: called broken"
        if came.code == 0 and layer:
            yield from (f"{what}: {fault}" for fault in clean_by_check(data, layer, gap))

    came = walk.run("check", data, [], answers)
    kind = random.randrange(4)
    if kind == 0:
        walk.run("tighten", data, ["--seconds", "0.05"])
    elif kind == 1:
        again = ["--again", layer, *ROUND] if layer else words
        walk.run("lay-out", data, again)
    elif kind == 2:
        some = [node.get("id", "") for node in root.iter(etree.Element) if node.get(f"{LAY}of")]
        walk.run("hold", data, ["--select", random.choice([*some, layer or "x"]) or "x"])
    else:
        walk.run("diagram", data, diagram_words(random))
    if came.drawing is not None and random.random() < 0.3:
        walk.run("check", came.drawing)


def _ids(data: bytes) -> list[str]:
    """Return the ids of a drawing that can be typed."""
    try:
        root = etree.fromstring(data)
    except etree.XMLSyntaxError:
        return []
    ids = [node.get("id", "") for node in root.iterdescendants(etree.Element)]
    return sorted({one for one in ids if one and not one.startswith("-")})
