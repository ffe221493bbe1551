# SPDX-License-Identifier: GPL-2.0-or-later
"""Ottervane No. 4, pyjama trousers in inches, on a sheet full of nested transforms.

Measures (invented): hip 40 in, rise 11 in, length 40 in; 5/8 in seams and 1 1/4 in hems included.
All drafting here is in inches, turned to mm at once by `inches`.
The sheet counts 100 user units to the inch, and its pieces lie in mirrored and turned groups.
"""

from __future__ import annotations

import cmath
import math
from functools import cache

from tests.helpers.drafting.curves import (
    Chain,
    length,
    line,
    named,
    polyline,
    rounded,
    smooth,
    sweep,
    trued,
)
from tests.helpers.drafting.draft import Draft, Notch
from tests.helpers.drafting.sheet import Page, Sheet

INCH = 25.4
SEAM = 0.625 * INCH
HEM = {"hem": 1.25 * INCH}
UNITS = 100.0
"""User units to the inch."""

HIP_LINE = 8.0
CROTCH_LINE = 11.0
HEM_LINE = 40.0


def inches(x: float, y: float) -> complex:
    """Return a point given in inches."""
    return complex(x * INCH, y * INCH)


@cache
def outseam() -> Chain:
    """From hem to waist, the same for front and back."""
    points = (inches(1.2, HEM_LINE), inches(0.35, 22), inches(0, 9), inches(0.3, 0))
    return smooth("outseam", points, 268.0, 275.0)


def leg(centre: Chain, inseam_hem: complex) -> Chain:
    """Return a leg: waist, centre seam down to the fork, inseam, hem, outseam."""
    fork = centre[-1].end
    return (
        line("waist", outseam()[-1].end, centre[0].start),
        *centre,
        sweep("inseam", fork, 107.0, inseam_hem, 93.0),
        line("hem", inseam_hem, outseam()[0].start),
        *outseam(),
    )


def seat(waist: complex, hip: complex, fork: complex, arriving: float) -> Chain:
    """Return the centre seam of a leg: straight to the hip, then a curve to the fork."""
    slant = math.degrees(cmath.phase(hip - waist))
    return (
        line("crotch", waist, hip),
        sweep("crotch", hip, slant, fork, arriving),
    )


@cache
def front_seam() -> Chain:
    """The front leg, outseam at the left."""
    centre = seat(inches(10.2, 0.2), inches(10.5, HIP_LINE - 1), inches(12.9, CROTCH_LINE), 12.0)
    return leg(centre, inches(10.6, HEM_LINE))


@cache
def back_seam() -> Chain:
    """The back leg, outseam at the left: a longer crotch seam, the fork lowered until the
    inseams match.
    """
    wanted = length(named(front_seam(), "inseam"))

    def draw(raised: float) -> Chain:
        fork = inches(15.6, 12.5 - raised)
        centre = seat(inches(9.4, -1.4), inches(10.7, HIP_LINE - 3), fork, 6.0)
        return leg(centre, inches(12.2, HEM_LINE))

    return draw(trued(lambda raised: length(named(draw(raised), "inseam")), wanted, 0.0, 3.0))


def front() -> Draft:
    """Front leg with the pocket's place on the outseam."""
    return _piece(
        1, "Front leg", "cut 2", "2", front_seam(),
        grain=(inches(6, 36), inches(6, 14)), allowance=HEM, text_size=34,
        notches=(Notch("crotch", 5 * INCH), Notch("inseam", 12 * INCH), _outseam_notch()),
    )  # fmt: skip


def back() -> Draft:
    """Back leg."""
    return _piece(
        2, "Back leg", "cut 2", "2", back_seam(),
        grain=(inches(6.4, 36), inches(6.4, 14)), allowance=HEM, text_size=34,
        notches=(
            Notch("crotch", 6 * INCH, double=True),
            Notch("inseam", 12 * INCH, double=True),
            _outseam_notch(),
        ),
    )  # fmt: skip


def _outseam_notch() -> Notch:
    return Notch("outseam", length(outseam()) - 9 * INCH)


def waistband() -> Draft:
    """Casing for the elastic, half of it, on the fold: as long as the waist of both legs."""
    long = (length(named(front_seam(), "waist")) + length(named(back_seam(), "waist"))) / INCH
    width = 3.25
    corners = (inches(0, 0), inches(width, 0), inches(width, long), inches(0, long), inches(0, 0))
    return _piece(
        3, "Waistband", "cut 1 on fold", "1", polyline(("fold", "waist", "end", "edge"), corners),
        grain=(inches(width / 2, long - 1), inches(width / 2, 8)), fold="fold", text_size=13,
    )  # fmt: skip


def pocket() -> Draft:
    """Pocket bag."""
    points = (inches(0, 0), inches(4, 0.8), inches(6.4, 5.4), inches(4.4, 10.2), inches(0, 9))
    seam = (*smooth("bag", points, 8.0, 200.0), line("outseam", points[-1], points[0]))
    return _piece(
        4, "Pocket bag", "cut 4", "4", seam,
        grain=(inches(1, 8), inches(1, 1.6)), text_size=20,
        notches=(Notch("outseam", 1.5 * INCH), Notch("outseam", 7.5 * INCH)),
    )  # fmt: skip


def patch() -> Draft:
    """Back patch pocket, a single one, pointed below."""
    seam = polyline(
        ("top", "side", "point", "point", "side"),
        (
            inches(0, 0), inches(5.5, 0), inches(5.5, 5.2), inches(2.75, 6.5), inches(0, 5.2),
            inches(0, 0),
        ),
    )  # fmt: skip
    return _piece(
        5, "Patch pocket", "cut 1", "1", seam, allowance={"top": 1.25 * INCH},
        grain=(inches(0.8, 4.8), inches(0.8, 0.8)), text_size=15,
    )  # fmt: skip


def cord() -> Draft:
    """Strip for the drawcord, cut on the bias."""
    first = rounded("end", inches(20, 0), inches(0, 0), inches(20, 2.5), 1.0 * INCH)
    second = rounded("end", inches(20, 2.5), inches(20, 0), inches(0, 2.5), 1.0 * INCH)
    seam = (
        line("edge", inches(0, 0), first.start),
        first,
        line("end", first.end, second.start),
        second,
        line("edge", second.end, inches(0, 2.5)),
        line("join", inches(0, 2.5), inches(0, 0)),
    )
    return _piece(
        6, "Drawcord strip", "cut 2 on the bias", "2 same", seam,
        grain=(inches(3, 2.2), inches(4.9, 0.3)), text_size=15,
    )  # fmt: skip


def _piece(number: int, name: str, words: str, cut: str, seam: Chain, **more: object) -> Draft:
    """Return a piece of these trousers with its label and its 5/8 in allowance."""
    return Draft(
        id=name.lower().replace(" ", "-"),
        name=name,
        cut=cut,
        seam=seam,
        words=(name, words, f"No. 4 · {number} of 6"),
        usual=SEAM,
        **more,  # type: ignore[arg-type]
    )


@cache
def drafts() -> tuple[Draft, ...]:
    """All six pieces, in the order of their numbers."""
    return (front(), back(), waistband(), pocket(), patch(), cord())


def sheet() -> Sheet:
    """The trousers on one sheet. Matrices are in user units, 100 to the inch."""
    page = Sheet(
        Page(60 * INCH, 50 * INCH, UNITS / INCH, "in", INCH),
        "Ottervane No. 4 · Pyjama trousers",
        "Six pieces, one size, in inches",
    )
    page.heading(
        page.layer("Sheet heading"), inches(1.5, 2.6), 1.15 * INCH,
        (
            "No. 4 · Pyjama trousers",
            "Ottervane, an invented label. Seams 5/8 in and hems 1 1/4 in are included.",
        ),
    )  # fmt: skip
    layer = page.layer("Trousers", transform="translate(200,640)")
    # A copy mirrored and mirrored back, as it happens while both legs are drafted side by side.
    legs = page.add(layer, "g", id="legs", transform="matrix(-1,0,0,1,1400,0)")
    page.draw(legs, front(), transform="translate(1400,0) scale(-1,1)")
    page.draw(layer, back(), transform="matrix(-1,0,0,1,3250,0)", mirrored=True)
    small = page.add(layer, "g", id="small-pieces", transform="translate(3500,0)")
    page.draw(small, waistband(), transform="translate(2150,160) rotate(90)")
    turned = page.add(small, "g", id="turned", transform="translate(520,1150)")
    page.draw(turned, pocket(), transform="rotate(20)")
    mirror = page.add(small, "g", id="mirror", transform="matrix(0,-1,-1,0,1900,1250)")
    page.draw(mirror, patch(), transform="rotate(90)", mirrored=True)
    doubled = page.add(small, "g", id="doubled", transform="translate(0,2750) scale(2)")
    page.draw(doubled, cord(), transform="scale(0.5)")
    return page
