# SPDX-License-Identifier: GPL-2.0-or-later
"""A difference that is printed is that of the lengths printed beside it."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from types import SimpleNamespace
from typing import Any, cast

from hypothesis import given
from hypothesis import strategies as st

from extension.job.plan import Plan
from extension.job.summary import summary
from extension.language.rounding import INCH, YARD
from extension.operations.tighten import _what_was_done
from nesting.model import Layout
from tests.helpers.cloth import between_selvedges, typed_between_selvedges
from tests.helpers.garments import garment
from tests.helpers.layouts import layout_of, plan_of

UNITS = {"m": Fraction(1000), "cm": Fraction(10), "mm": Fraction(1), "in": INCH, "yd": YARD}
LENGTH = r"((?:\d+ )?\d+(?:/\d+|\.\d+)? (?:m|cm|mm|in|yd))"
CLOTH = {
    "metric": between_selvedges(1400.0),
    "imperial": typed_between_selvedges({"fabric_width": "54in"}),
}
PLANS: dict[str, Plan] = {
    name: plan_of(garment().document(), options) for name, options in CLOTH.items()
}
systems = st.sampled_from(sorted(CLOTH))
lengths = st.floats(400.0, 3000.0)
differences = st.one_of(st.floats(0.0, 60.0), st.floats(-60.0, 60.0))


def printed(text: str) -> Fraction:
    """Return a printed length in mm, exact."""
    *figures, unit = text.split()
    return sum(map(Fraction, figures), Fraction()) * UNITS[unit]


def layout(name: str, length: float) -> Layout:
    return replace(layout_of(PLANS[name], (), 1.0), length=length, lower_bound=0.0)


@given(systems, lengths, differences)
def test_what_no_nap_saves_follows_from_what_is_printed(
    name: str, length: float, saved: float
) -> None:
    options = CLOTH[name]
    bought = options.bought(length)
    lines = summary(PLANS[name], options, layout(name, length), bought, length - saved)
    needs = re.match(f"Needs {LENGTH}", lines[0])
    assert needs is not None, lines[0]
    less = re.search(f"Without nap {LENGTH} would do, {LENGTH} less", " ".join(lines))
    if less is not None:
        assert printed(needs[1]) - printed(less[1]) == printed(less[2]) > 0
    else:
        # Nothing that a tape would tell: a length step at most.
        step = Fraction(10) if name == "metric" else INCH / 8
        assert Fraction(saved) <= step + Fraction(1, 50)


@given(systems, lengths, differences, st.booleans())
def test_what_tightening_gained_follows_from_what_is_printed(
    name: str, length: float, saved: float, was_early: bool
) -> None:
    before = SimpleNamespace(
        layer=SimpleNamespace(options=CLOTH[name]),
        situation=SimpleNamespace(length=length),
        findings=[SimpleNamespace(kind="overlap")],
    )
    said = " ".join(_what_was_done(cast(Any, before), layout(name, length - saved), (), was_early))
    shorter = re.search(f"from {LENGTH} to {LENGTH}: {LENGTH} shorter", said)
    if shorter is not None:
        assert printed(shorter[1]) - printed(shorter[2]) == printed(shorter[3]) > 0
    longer = re.search(f"Now {LENGTH}, {LENGTH} longer", said)
    assert longer is None or printed(longer[2]) > 0
