# SPDX-License-Identifier: GPL-2.0-or-later
"""A remnant that was changed in the drawing after it was laid on is told by every command."""

from __future__ import annotations

import pytest

from extension.layouts.layers import chosen_layers
from extension.operations.again import orders_again
from extension.operations.check import check_layouts
from extension.operations.lay_out import Outcome, lay_out_again
from extension.operations.running import Run
from extension.operations.tighten import tighten_layout
from extension.svg.document import Document, parse, serialise
from nesting.stop import AfterRounds
from tests.helpers.layouts import no_time
from tests.helpers.remnants import drawing_of, laid, never, strips

CLOTH = (
    '<g id="rest" lay:role="cloth" lay:name="Blue linen" transform="translate(0,200)">'
    '<path id="shape" d="M0,0 H400 V300 H0 Z M50,200 H80 V230 H50 Z" fill-rule="evenodd"/>'
    '<rect id="hole" lay:role="flaw" x="300" y="20" width="20" height="20"/></g>'
)
TOLD = "was changed in the drawing since this was laid"
FLAW = '<rect id="new" lay:role="flaw" x="150" y="150" width="20" height="20"/>'


@pytest.fixture(scope="module")
def outcome() -> Outcome:
    """Return two strips laid on a remnant with a hole and a flaw."""
    return laid(drawing_of(CLOTH, strips(100, 150)), "Blue linen")


def edited(outcome: Outcome, old: str, new: str) -> Document:
    """Return the drawing with a layout, something of it written in another way."""
    text = outcome.drawing.decode()
    assert old in text
    return parse(text.replace(old, new, 1).encode())


def told(document: Document) -> list[bool]:
    """Return whether check, laying out again and tightening tell of the change."""
    (layer,) = chosen_layers(document, [])
    check = check_layouts(document).summary
    tight = tighten_layout(parse_again(document), layer.id, Run(no_time, AfterRounds(1))).summary
    (order,) = orders_again(document, [layer], {})
    again = lay_out_again(document, [order], Run(no_time, never)).summary
    return [any(TOLD in line for line in lines) for lines in (check, again, tight)]


def parse_again(document: Document) -> Document:
    """Return a copy of a drawing."""
    return parse(serialise(document))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("M0,0 H400 V300", "M0,0 H380 V300"),
        ("translate(0,200)", "translate(0,200) scale(0.9)"),
        ("M50,200 H80", "M50,200 H90"),
        ('<rect id="hole"', FLAW + '<rect id="hole"'),
        ("M0,0 H400 V300 H0 Z", "M0,0 H400 L0,300 H400 Z"),
    ],
    ids=["shorter", "scaled", "larger hole", "new flaw", "crossed"],
)  # fmt: skip
def test_a_remnant_that_was_changed_since_is_told(outcome: Outcome, old: str, new: str) -> None:
    assert told(edited(outcome, old, new)) == [True, True, True]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("translate(0,200)", "translate(400,300)"),
        ("M0,0 H400 V300 H0 Z", "M400,0 V300 H200 H0 V0.0001 Z"),
        ('<rect id="hole" lay:role="flaw"', '<rect id="hole" lay:role="mark"'),
        ('id="rest"', 'id="rest" style="display:none"'),
    ],
    ids=["moved", "other nodes", "a flaw less", "hidden"],
)  # fmt: skip
def test_what_is_as_it_was_where_it_matters_is_not_told(
    outcome: Outcome, old: str, new: str
) -> None:
    assert told(edited(outcome, old, new)) == [False, False, False]


def test_a_fresh_layout_tells_nothing_of_the_kind(outcome: Outcome) -> None:
    assert not any(TOLD in line for line in outcome.summary)
