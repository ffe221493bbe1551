# SPDX-License-Identifier: GPL-2.0-or-later
"""Drawings of pieces of cloth, and pieces that are laid on them."""

from __future__ import annotations

from collections.abc import Sequence

from extension.job.wishes import wishes_from_text
from extension.operations.lay_out import Outcome, lay_out_materials
from extension.operations.running import Run
from extension.svg.document import Document, parse
from tests.helpers.layouts import no_time

UP = '<path id="grain-{}" lay:role="grainline" d="M{} V{}"/>'


def never(rounds: int) -> bool:
    """A stop rule that leaves it to the rounds."""
    return False


def drawing_of(cloth: str, pieces: str) -> Document:
    """Return a drawing, a unit a millimetre, of a piece of cloth and pieces."""
    names = 'xmlns="http://www.w3.org/2000/svg" xmlns:lay="urn:thriftlay:1"'
    editor = 'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
    size = 'width="900mm" height="600mm" viewBox="0 0 900 600"'
    return parse(f"<svg {names} {editor} {size}>{cloth}{pieces}</svg>".encode())


def laid(document: Document, *cloths: str, select: Sequence[str] = (), **typed: str) -> Outcome:
    """Return pieces laid on cloth in six rounds, with no gap."""
    values = {"fabric_width": "100cm", "gap": "0mm", "rounds": "6", "workers": "1", **typed}
    wishes = wishes_from_text(values, select)
    return lay_out_materials(document, wishes, Run(no_time, never), cloths=cloths)


def strips(*lengths: int) -> str:
    """Return pieces 100 mm wide, their grain along their lengths."""
    return "".join(
        f'<g><rect id="p{long}" x="{10 + 110 * k}" y="10" width="100" height="{long}" '
        f'lay:name="Strip {long}"/>{UP.format(long, f"{60 + 110 * k},{long}", 20)}</g>'
        for k, long in enumerate(lengths)
    )


def cloths(*lengths: int) -> str:
    """Return remnants 100 mm wide."""
    return "".join(
        f'<rect id="c{long}" x="10" y="{1000 + 120 * k}" width="{long}" height="100" '
        f'lay:role="cloth" lay:name="Rest {long}"/>'
        for k, long in enumerate(lengths)
    )
