# SPDX-License-Identifier: GPL-2.0-or-later
"""Published counts of squares and rectangles per width and length: the length is the optimum.

N equal squares of side s that do not turn, on cloth W wide, need exactly ceil(N / floor(W / s)) s:
a column takes floor(W / s), and each takes s of the length. A chart that says "n squares from one
yard" therefore says that n take at most a yard, and n + 1 take more. Every row goes through the
whole engine. Charts whose printed figure is a known slip are left out.
"""

from __future__ import annotations

import math

import pytest

from nesting.judge.check import check
from nesting.model import Fabric, Job, Layout, Outline, Piece
from nesting.solve import solve
from nesting.stop import AfterRounds

INCH = 25.4
YARD = 36 * INCH


def squares(count: int, side: float, width: float, along: float | None = None) -> Layout:
    """Lay `count` rectangles (inches: `along` the cloth, `side` across it) on `width` inches."""
    length, across = (along or side) * INCH, side * INCH
    outline: Outline = ((0.0, 0.0), (length, 0.0), (length, across), (0.0, across))
    job = Job(Fabric(width * INCH), (Piece("square", outline, cut=count, hand="same"),))
    layout = solve(job, stop=AfterRounds(5), clock=lambda: 0.0)
    assert check(job, layout) == ()
    return layout


def expect(layout: Layout, inches: float) -> None:
    """The length is the optimum to a thousandth of a millimetre, and is known to be it."""
    assert layout.length == pytest.approx(inches * INCH, abs=1e-3)
    assert layout.lower_bound == pytest.approx(inches * INCH, abs=1e-3)


def per_yard(count: int, side: float, width: float) -> None:
    """`count` squares come out of one yard (36 in), one more does not."""
    across = math.floor(width / side + 1e-9)
    rows = math.ceil(count / across)
    layout = squares(count, side, width)
    expect(layout, rows * side)
    assert layout.length <= YARD + 1e-3
    more = squares(count + 1, side, width)
    expect(more, math.ceil((count + 1) / across) * side)
    assert more.length > YARD


# Squares from one yard of cloth 39, 40, 41 and 42 in wide between the selvedges
# (jajalger2018.org, "5-inch squares"; all its rows agree with the formula).
ONE_YARD = [
    (2.5, (210, 224, 224, 224)),
    (3, (156, 156, 156, 168)),
    (3.5, (110, 110, 110, 120)),
    (4, (81, 90, 90, 90)),
    (4.5, (64, 64, 72, 72)),
    (5, (49, 56, 56, 56)),
    (5.5, (42, 42, 42, 42)),
    (6, (36, 36, 36, 42)),
    (6.5, (30, 30, 30, 30)),
    (7, (25, 25, 25, 30)),
    (7.5, (20, 20, 20, 20)),
    (8, (16, 20, 20, 20)),
    (8.5, (16, 16, 16, 16)),
    (9, (16, 16, 16, 16)),
    (9.5, (12, 12, 12, 12)),
]


@pytest.mark.parametrize(
    ("side", "width", "count"),
    [
        (side, width, count)
        for side, counts in ONE_YARD
        for width, count in zip((39, 40, 41, 42), counts, strict=True)
    ],
)
def test_squares_from_one_yard(side: float, width: float, count: int) -> None:
    per_yard(count, side, width)


# Squares from 44 x 36 in (M. Hohn, quilterscache.com MathChartsPage, 2002; its heading says 42 in,
# the counts are for 44; the row for 7 in is a slip and left out).
FORTY_FOUR = [
    (2.875, 180),
    (3.875, 99),
    (4.875, 63),
    (5.875, 42),
    (6.875, 30),
    (8.875, 16),
    (10, 12),
    (11, 12),
    (11.5, 9),
    (12, 9),
    (12.5, 6),
    (12.875, 6),
]


@pytest.mark.parametrize(("side", "count"), FORTY_FOUR)
def test_squares_from_a_yard_of_44_inches(side: float, count: int) -> None:
    per_yard(count, side, 44)


# Squares from a fat quarter, 18 x 22 in (same source, 15 of 15 rows agree).
FAT_QUARTER = [
    (2, 99),
    (2.5, 56),
    (2.875, 42),
    (3, 42),
    (3.5, 30),
    (3.875, 20),
    (4, 20),
    (4.5, 16),
    (4.875, 12),
    (5, 12),
    (5.5, 12),
    (5.875, 9),
    (6, 9),
    (6.5, 6),
    (6.875, 6),
]


@pytest.mark.parametrize(("side", "count"), FAT_QUARTER)
def test_squares_from_a_fat_quarter(side: float, count: int) -> None:
    """On a fixed length: all of them fit, and of one more exactly one is left over."""
    edge = side * INCH
    outline: Outline = ((0.0, 0.0), (edge, 0.0), (edge, edge), (0.0, edge))
    quarter = Fabric(18 * INCH, length=22 * INCH)
    for extra in (0, 1):
        piece = Piece("square", outline, cut=count + extra, hand="same")
        job = Job(quarter, (piece,))
        layout = solve(job, stop=AfterRounds(2), clock=lambda: 0.0)
        assert check(job, layout) == ()
        assert sum(len(rest.copies) for rest in layout.left_over) == extra


# Squares from a yard of 36 and 45 in (quiltville.blogspot.com 2005/06; its 8 in and 12 in figures
# for 45 in are slips and left out).
@pytest.mark.parametrize(
    ("side", "narrow", "wide"),
    [(3, 144, 180), (4, 81, 99), (5, 49, 63), (6, 36, 42), (7, 25, 30), (9, 16, 20), (10, 9, 12)],
)
def test_squares_from_a_yard_of_36_and_45_inches(side: float, narrow: int, wide: int) -> None:
    per_yard(narrow, side, 36)
    per_yard(wide, side, 45)


def test_sixty_three_squares_of_nine_and_a_half_inches() -> None:
    """152 in on 42 in cloth (quiltingboard.com 6228687, 2013); 89.0625 % by arithmetic."""
    layout = squares(63, 9.5, 42)
    expect(layout, 152)
    assert layout.utilisation == pytest.approx(0.890625, abs=1e-9)


@pytest.mark.parametrize(("count", "inches"), [(9, 36), (12, 48)])
def test_napkins_of_twelve_inches_on_forty_five(count: int, inches: float) -> None:
    """Nine napkins per yard (allcottonandlinen.com, 12 napkins); twelve need 4 rows, 48 in."""
    expect(squares(count, 12, 45), inches)


def test_a_bedcover_of_three_metres_takes_three_widths() -> None:
    """300 x 300 cm from cloth 135 cm wide: 3 widths of 3 m, 9 m (designandmake.net, width): three
    rectangles 300 cm along and 100 cm across, of which only one fits side by side."""
    outline: Outline = ((0.0, 0.0), (3000.0, 0.0), (3000.0, 1000.0), (0.0, 1000.0))
    job = Job(Fabric(1350.0), (Piece("width", outline, cut=3, hand="same"),))
    layout = solve(job, stop=AfterRounds(1), clock=lambda: 0.0)
    assert layout.length == pytest.approx(9000.0)


# Rectangles: L = ceil(N / floor(W / w)) h, proven like the squares (arithmetic, no source).
@pytest.mark.parametrize(
    ("along", "across", "count", "width"),
    [(18, 10, 7, 36), (5, 13, 11, 42), (31.5, 25, 4, 44), (25, 6, 9, 44), (19, 2.5, 34, 44)],
)
def test_rectangles_that_may_not_turn(
    along: float, across: float, count: int, width: float
) -> None:
    rows = math.ceil(count / math.floor(width / across))
    expect(squares(count, across, width, along), rows * along)


# --- circle skirts ------------------------------------------------------------------------------


def circle_skirt(waist: float, length: float, share: float, points: int = 720) -> Outline:
    """The outline (mm) of a skirt that is `share` of a circle, cut in one piece, inches in.

    The whole circle is slit from hem to waist by a hair's breadth, as it is cut for the opening.
    """
    inner = waist * INCH / (2.0 * math.pi * share)
    outer = inner + length * INCH
    sweep = 2.0 * math.pi * share - (1e-4 if share == 1 else 0.0)
    angles = [sweep * n / points for n in range(points + 1)]
    return (
        *((outer * math.cos(a), outer * math.sin(a)) for a in angles),
        *((inner * math.cos(a), inner * math.sin(a)) for a in reversed(angles)),
    )


def lay_one(outline: Outline, width: float) -> Layout:
    job = Job(Fabric(width * INCH), (Piece("skirt", outline),))
    layout = solve(job, stop=AfterRounds(2), clock=lambda: 0.0)
    assert check(job, layout) == ()
    return layout


def test_a_whole_circle_skirt_needs_its_diameter() -> None:
    """Waist 28 in, length 24 in: radius 4.456 in, diameter 56.91 in, 1.58 yd
    (getcalculatortools.com circle skirt, 2026); 72.67 % of 60 in cloth by arithmetic."""
    layout = lay_one(circle_skirt(28, 24, 1.0), 60)
    assert layout.length / INCH == pytest.approx(56.91, abs=0.01)
    assert layout.length / YARD == pytest.approx(1.58, abs=0.005)
    assert layout.utilisation == pytest.approx(0.7267, abs=2e-4)


def test_a_half_circle_skirt_lies_with_its_straight_edge_along_the_selvedge() -> None:
    """Waist 28 in, length 24 in: r 8.913, R 32.913 in; width 32.91, length 65.83 in = 1.829 yd
    (arithmetic from the formula of the sources above)."""
    outline = circle_skirt(28, 24, 0.5)
    layout = lay_one(outline, 33)
    assert layout.length / INCH == pytest.approx(65.83, abs=0.01)
    assert layout.length / YARD == pytest.approx(1.829, abs=0.001)


@pytest.mark.parametrize(
    ("waist", "share", "radius"),
    [
        # prettyquirkypants.com 2014/03/07 (waist 26 in): printed to one or two digits.
        (26, 1, 4.13),
        (26, 1 / 2, 8.2),
        (26, 1 / 3, 12.4),
        (26, 1 / 4, 16.56),
        # quiltingboard.com 3156097 (2011).
        (24, 1, 3.82),
        # princeharrymemorial.com: half circle, waist 31 1/2 in.
        (31.5, 1 / 2, 10),
    ],
)
def test_the_waist_radius_of_the_outline_is_the_published_one(
    waist: float, share: float, radius: float
) -> None:
    outline = circle_skirt(waist, 20, share)
    nearest = min(math.hypot(x, y) for x, y in outline) / INCH
    assert nearest == pytest.approx(radius, rel=0.01)
