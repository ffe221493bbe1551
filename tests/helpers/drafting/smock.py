# SPDX-License-Identifier: GPL-2.0-or-later
"""Ottervane No. 5, a toddler's raglan smock: the pieces that lie about on the untidy worktable.

Measures (invented child, height 92): chest 530, length 400, sleeve to the elbow. Seams included.
"""

from __future__ import annotations

from functools import cache

from tests.helpers.drafting.curves import (
    Chain,
    length,
    line,
    moved,
    named,
    polyline,
    smooth,
    sweep,
    trued,
)
from tests.helpers.drafting.draft import Draft, Notch

LENGTH = 400.0
PLACKET = 30.0


@cache
def body_seam() -> Chain:
    """Half a body, its centre at x = 0 on the fold."""
    neck, underarm, hem = 74 + 18j, 172 + 150j, complex(226, LENGTH - 12)
    return (
        sweep("neck", 46j, 0.0, neck, 298.0),
        sweep("raglan", neck, 58.0, underarm, 32.0, 0.9),
        sweep("side", underarm, 84.0, hem, 79.0),
        sweep("hem", hem, 170.0, complex(0, LENGTH), 180.0),
        line("fold", complex(0, LENGTH), 46j),
    )


@cache
def front() -> Draft:
    """Front on the fold, with the lines of three pleats below the neck."""
    pleats = tuple((line("pleat", complex(x, 76), complex(x, 140)),) for x in (28.0, 44.0, 60.0))
    return _piece(
        "Smock front", "cut 1 on fold", "1", body_seam(),
        grain=(46 + 360j, 46 + 175j), fold="fold", lines=pleats,
        notches=(Notch("raglan", 80), Notch("side", 120)),
    )  # fmt: skip


@cache
def back_seam() -> Chain:
    """A back with its placket beyond the centre: the rest as the front."""
    neck, *rest = body_seam()
    edge = complex(-PLACKET, 46)
    foot = complex(-PLACKET, LENGTH)
    return (
        line("neck", edge, neck.start),
        neck,
        *rest[:-1],
        line("hem", rest[-1].start, foot),
        line("edge", foot, edge),
    )


@cache
def back() -> Draft:
    """Back with placket."""
    return _piece(
        "Smock back", "cut 2", "2", back_seam(),
        grain=(10 + 360j, 10 + 110j),
        notches=(Notch("raglan", 80, double=True), Notch("side", 120)),
    )  # fmt: skip


@cache
def sleeve_seam() -> Chain:
    """A raglan sleeve, its raglan seams trued to those of the body."""
    wanted = length(named(body_seam(), "raglan"))

    def raglan(depth: float) -> Chain:
        return (sweep("raglan", 24 + 0j, 62.0, complex(140, depth), 28.0, 0.9),)

    right = raglan(trued(lambda depth: length(raglan(depth)), wanted, 60.0, wanted))
    left = moved(right, lambda point: -point.conjugate())
    underarm = right[0].end
    hem = underarm + complex(-14, 96)
    return (
        sweep("neck", left[0].start, 12.0, right[0].start, 348.0),
        *right,
        line("underarm", underarm, hem),
        sweep("hem", hem, 184.0, -hem.conjugate(), 176.0),
        line("underarm", -hem.conjugate(), -underarm.conjugate()),
        sweep("raglan", left[0].end, 332.0, left[0].start, 298.0, 0.9),
    )


@cache
def sleeve() -> Draft:
    """Raglan sleeve."""
    whole = length(named(sleeve_seam(), "raglan")) / 2.0
    return _piece(
        "Raglan sleeve", "cut 2", "2", sleeve_seam(),
        grain=(0 + 192j, 0 + 112j),
        notches=(Notch("raglan", 80), Notch("raglan", 2.0 * whole - 80, double=True)),
    )  # fmt: skip


@cache
def pocket() -> Draft:
    """Half-round patch pocket."""
    seam = (
        line("opening", 0j, 120 + 0j),
        *smooth("edge", (120 + 0j, 60 + 112j, 0j), 95.0, 265.0),
    )
    return _piece(
        "Pocket", "cut 1", "1", seam, text_size=11, grain=(60 + 92j, 60 + 56j)
    )  # fmt: skip


@cache
def strap() -> Draft:
    """Shoulder strap, drawn along its grain."""
    seam = polyline(
        ("end", "side", "end", "side"), (0j, 54 + 0j, 54 + 300j, 300j, 0j)
    )  # fmt: skip
    return _piece("Strap", "cut 2", "2", seam, text_size=12)


@cache
def binding() -> Draft:
    """Neck binding, which has no grainline: its label forgot it."""
    seam = (
        *smooth("edge", (0 + 30j, 110 + 0j, 220 + 30j), 330.0, 30.0),
        line("end", 220 + 30j, 205 + 62j),
        *smooth("edge", (205 + 62j, 110 + 36j, 15 + 62j), 210.0, 150.0),
        line("end", 15 + 62j, 0 + 30j),
    )
    return _piece("Neck binding", "cut 1", "1", seam, text_size=9)


@cache
def collar() -> Draft:
    """An earlier idea of a collar, given up."""
    seam = (
        sweep("neck", 0j, 40.0, 120 + 0j, 320.0),
        sweep("outer", 120 + 0j, 80.0, 60 + 78j, 180.0),
        sweep("outer", 60 + 78j, 180.0, 0j, 280.0),
    )
    return _piece("Old collar", "cut 2", "2", seam, text_size=10)


def _piece(name: str, words: str, cut: str, seam: Chain, **more: object) -> Draft:
    return Draft(
        id=name.lower().replace(" ", "-"),
        name=name,
        cut=cut,
        seam=seam,
        words=(name, words),
        **more,  # type: ignore[arg-type]
    )
